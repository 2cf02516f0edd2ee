//! A film whose description (the box `moov`) is any bytes can be opened, or an error says why not. What panics in the reader of containers
//! must be caught. No picture is decoded: that takes a third of a second.
#![no_main]

use boardwise_film::Reel;

/// What comes before the description in a film of a throw: the coded pictures.
const CODED: &[u8] = include_bytes!("../../crates/film/tests/clips/throw.mp4");
const DESCRIBED_AT: usize = 74_422;

libfuzzer_sys::fuzz_target!(
    init: {
        // The fuzzer's own hook ends the program at once: a panic that is caught would count as one that is not.
        std::panic::set_hook(Box::new(|_| ()));
    },
    |bytes: &[u8]| {
        match Reel::open(&[&CODED[..DESCRIBED_AT], bytes].concat()) {
            Ok(reel) => assert!(reel.pictures() > 0 && reel.rate_hz().is_none_or(|rate| rate.is_finite() && rate > 0.0)),
            Err(why) => assert!(!why.to_string().is_empty()),
        }
    }
);
