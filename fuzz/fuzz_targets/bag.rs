//! Any bytes give a bag or an error that names the place, and never a panic.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    if let Err(fault) = boardwise::kit::parse_bag("fuzzed", bytes) {
        assert!(!fault.to_string().is_empty());
    }
});
