//! Sets how the program is linked.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let set = |name: &str| std::env::var(name).unwrap_or_default();
    // A program that the system may load at any address has seventy thousand pointers put right each time that it starts, a fifth of the
    // time of a short command. What is released is loaded at a fixed one; its libraries, stack and heap still are where chance has them.
    if set("PROFILE") == "release" && set("CARGO_CFG_TARGET_OS") == "linux" {
        println!("cargo::rustc-link-arg-bins=-no-pie");
    }
}
