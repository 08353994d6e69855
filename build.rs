//! Sets how the program is linked.

use std::path::Path;
use std::process::Command;

/// GCC's static library that unwinds the stack after a panic.
const UNWINDER: &str = "libgcc_eh.a";

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let set = |name: &str| std::env::var(name).unwrap_or_default();
    // A program that the system may load at any address has seventy thousand pointers put right each time that it starts, a fifth of the
    // time of a short command. What is released is loaded at a fixed one; its libraries, stack and heap still are where chance has them.
    if set("PROFILE") == "release" && set("CARGO_CFG_TARGET_OS") == "linux" {
        println!("cargo::rustc-link-arg-bins=-no-pie");
        // Each library that is not part of the program is looked up and mapped each time too.
        // The compiler of this machine knows its own archive alone, which fits no other system or C library.
        let is_native = set("HOST") == set("TARGET") && set("CARGO_CFG_TARGET_ENV") == "gnu";
        if let Some(folder) = folder_of_unwinder().filter(|_| is_native) {
            println!("cargo::rustc-link-search=native={folder}");
            println!("cargo::rustc-link-lib=static=gcc_eh");
        }
    }
}

/// Where the linker has the archive; `None` where it has none, and the library is loaded.
fn folder_of_unwinder() -> Option<String> {
    let mut asked = Command::new("cc");
    asked.arg(format!("-print-file-name={UNWINDER}"));
    let answer = String::from_utf8(asked.output().ok()?.stdout).ok()?;
    let found = Path::new(answer.trim());
    let folder = found.is_file().then(|| found.parent()).flatten()?;
    folder.to_str().map(String::from)
}
