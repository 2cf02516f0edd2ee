//! Any bytes give a lane with a possible film, or an error that can be shown, and never a panic.
#![no_main]

use boardwise::Failure;
use boardwise_files as kit;
use boardwise_units::Hand;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match kit::parse_lane("fuzzed", bytes) {
        Ok(loaded) => {
            if let Some(film) = loaded.value.seen_by(Hand::Left).film() {
                assert!(film.volume().0.is_finite() && film.volume().0 >= 0.0);
                assert!(film.ratio().is_none_or(f64::is_finite));
            }
        }
        Err(fault) => assert!(Failure::from(fault).shown(false).starts_with("error:")),
    }
});
