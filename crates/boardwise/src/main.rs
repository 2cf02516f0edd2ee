//! The binary: everything it does is in [`boardwise::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    boardwise::main()
}
