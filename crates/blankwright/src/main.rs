//! The program's entry: everything it does is in the library beside it.

use std::process::ExitCode;

fn main() -> ExitCode {
    blankwright::main(std::env::args_os())
}
