//! The command `trayful`: parse arguments, call the library, print.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
