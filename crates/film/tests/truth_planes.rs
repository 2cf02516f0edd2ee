//! Planes as another decoder gives them.

use boardwise_film::{Picture, Pictures, Reel};
use sha2::{Digest, Sha256};

const CLIP: &[u8] = include_bytes!("clips/throw.mp4");

/// SHA-256 of the brightness of the first ten pictures, as ffmpeg 5.1.9 decodes them:
/// `ffmpeg -i throw.mp4 -frames:v 10 -vf extractplanes=y -f rawvideo - | sha256sum`.
const FIRST_TEN: &str = "52dd091b1b936c690ad91377611fa7245ded57a9c4cbc43cf31eb09c66ed46f7";

#[test]
fn truth_the_first_planes_are_those_of_an_outside_decoder() {
    let mut reel = Reel::open(CLIP).unwrap();
    let mut picture = Picture::default();
    let mut digest = Sha256::new();
    for index in 0..10 {
        assert!(reel.next(&mut picture).unwrap());
        assert!((picture.time_s - f64::from(index) / 60.0).abs() < 1e-3, "picture {index} at {} s", picture.time_s);
        digest.update(&picture.luma);
    }
    assert_eq!((picture.width, picture.height), (1080, 1920));
    assert_eq!(hex::encode(digest.finalize()), FIRST_TEN);
}
