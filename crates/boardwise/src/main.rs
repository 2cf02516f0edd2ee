//! The binary: everything it does is in the library of the same name.

use std::process::ExitCode;

fn main() -> ExitCode {
    boardwise::main()
}
