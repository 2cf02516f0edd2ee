//! Any bytes give a bowler or an error that names the place, and never a panic.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Err(fault) = boardwise::kit::parse_bowler("fuzzed", bytes) {
        assert!(!fault.to_string().is_empty());
    }
});
