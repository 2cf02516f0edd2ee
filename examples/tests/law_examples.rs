//! The numbered examples run as they stand, each to its end.

use std::process::Command;

#[test]
fn law_every_example_runs_to_its_end_and_prints_something() {
    let programs = [
        env!("CARGO_BIN_EXE_01_throw"),
        env!("CARGO_BIN_EXE_02_rack"),
        env!("CARGO_BIN_EXE_03_line"),
        env!("CARGO_BIN_EXE_04_block"),
        env!("CARGO_BIN_EXE_05_belief"),
        env!("CARGO_BIN_EXE_06_record"),
    ];
    for program in programs {
        let output = Command::new(program).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success() && !output.stdout.is_empty(), "{program}: {} {said}", output.status);
    }
}
