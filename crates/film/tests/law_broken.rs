//! Broken files give errors and never panic.

use boardwise_film::{FilmError, Picture, Pictures, Reel};
use proptest::prelude::*;

const CLIP: &[u8] = include_bytes!("clips/throw.mp4");

/// Reads a few pictures; how it ends is of no account, as long as it ends.
fn read(bytes: &[u8]) -> Result<usize, FilmError> {
    let mut reel = Reel::open(bytes)?;
    let mut picture = Picture::default();
    let mut pictures = 0;
    while pictures < 2 && reel.next(&mut picture)? {
        assert_eq!(picture.luma.len(), picture.width * picture.height);
        pictures += 1;
    }
    Ok(pictures)
}

#[test]
fn law_a_file_cut_short_is_refused() {
    for share in [0, 1, 10, 50, 90, 99] {
        assert!(Reel::open(&CLIP[..CLIP.len() * share / 100]).is_err(), "{share}%");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn law_changed_bytes_never_panic(changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..40)) {
        let mut bytes = CLIP.to_vec();
        for (place, byte) in changes {
            let at = place.index(bytes.len());
            bytes[at] = byte;
        }
        let _ = read(&bytes);
    }

    #[test]
    fn law_noise_is_no_film(bytes in prop::collection::vec(any::<u8>(), 0..3000)) {
        prop_assert!(read(&bytes).is_err());
    }
}

#[test]
fn law_parts_that_lead_round_in_a_circle_are_refused() {
    // A description that kept the reader of containers busy for ever; the fuzzer found it. Before it come the coded pictures.
    const CIRCLE: &[u8] = include_bytes!("clips/circle.moov");
    const DESCRIBED_AT: usize = 74_422;
    let why = Reel::open(&[&CLIP[..DESCRIBED_AT], CIRCLE].concat()).err().expect("refused").to_string();
    assert!(why.contains("circle"), "{why}");
}
