//! Any bytes give an event with bowlers and lanes, or an error that can be shown, and never a panic. What an event names is looked for in the demo kit.
#![no_main]

use boardwise::Failure;
use boardwise_files::{self as kit, Fault};

fn of_the_kit(what: &'static str, name: &str) -> Result<(String, Vec<u8>), Fault> {
    let file = kit::files().find(|entry| entry.id == name || name.ends_with(entry.path));
    let missing = || Fault::Missing { what, name: name.to_owned(), known: Vec::new() };
    file.map(|entry| (entry.path.to_owned(), entry.text.as_bytes().to_vec())).ok_or_else(missing)
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match kit::parse_event("fuzzed", bytes, &of_the_kit) {
        Ok(loaded) => {
            let event = loaded.value;
            assert!(!event.pairs.is_empty() && !event.seats.is_empty());
            for seat in &event.seats {
                assert!(seat.bowler.check().is_ok() && !seat.bag.bag.balls().is_empty());
            }
            for pair in &event.pairs {
                assert_ne!(pair.numbers[0], pair.numbers[1]);
            }
        }
        Err(fault) => assert!(Failure::from(fault).shown(false).starts_with("error:")),
    }
});
