//! Any bytes give a bowler who can be, or an error that can be shown, and never a panic.
#![no_main]

use boardwise::Failure;
use boardwise_files as kit;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match kit::parse_bowler("fuzzed", bytes) {
        Ok(loaded) => assert_eq!(loaded.value.check(), Ok(())),
        Err(fault) => assert!(Failure::from(fault).shown(false).starts_with("error:")),
    }
});
