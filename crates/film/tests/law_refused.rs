//! Films that are no throw to be measured are refused with a sentence that says what is wrong.
//!
//! Each is made from the pictures of the one rendered clip, so that all but what is wrong is right.

use boardwise_film::{FilmError, Measured, Picture, Pictures, Point, Reel, Settings, measure, parse_points};

const CLIP: &[u8] = include_bytes!("clips/throw.mp4");
const POINTS: &str = include_str!("clips/throw.points");

/// Pictures held in memory.
struct Held(std::vec::IntoIter<Picture>);

impl Pictures for Held {
    fn next(&mut self, into: &mut Picture) -> Result<bool, FilmError> {
        let next = self.0.next();
        Ok(next.is_some_and(|picture| {
            *into = picture;
            true
        }))
    }
}

/// The clip at half its size, which is enough to be refused in and takes a quarter of the time.
fn pictures() -> Vec<Picture> {
    let mut reel = Reel::open(CLIP).unwrap();
    let (mut picture, mut all) = (Picture::default(), Vec::new());
    while reel.next(&mut picture).unwrap() {
        let (width, height) = (picture.width / 2, picture.height / 2);
        let mean = |at: usize| {
            let (column, row) = (2 * (at % width), 2 * (at / width));
            let luma = |i: usize, j: usize| u16::from(picture.luma[(row + j) * picture.width + column + i]);
            ((luma(0, 0) + luma(1, 0) + luma(0, 1) + luma(1, 1) + 2) / 4) as u8
        };
        all.push(Picture { width, height, luma: (0..width * height).map(mean).collect(), time_s: picture.time_s });
    }
    all
}

fn points() -> Vec<Point> {
    let half = |p: Point| Point { seen_px: (p.seen_px - 0.5) / 2.0, ..p };
    parse_points(POINTS).unwrap().into_iter().map(half).collect()
}

fn measured(pictures: Vec<Picture>) -> Result<Measured, FilmError> {
    measure(&mut Held(pictures.into_iter()), &points(), &Settings::default())
}

/// The film as it is passes: what the others are refused for is what was done to them.
#[test]
fn law_the_clip_itself_is_measured() {
    measured(pictures()).unwrap();
}

/// The ball follows itself after 0.4 s.
#[test]
fn law_two_balls_are_refused() {
    let plain = pictures();
    let still = plain[0].clone();
    let late = 24;
    let two = (0..plain.len()).map(|k| {
        let mut picture = plain[k].clone();
        if k >= late {
            for ((out, other), still) in picture.luma.iter_mut().zip(&plain[k - late].luma).zip(&still.luma) {
                // Whatever differs more from the scene stands before it.
                if other.abs_diff(*still) > out.abs_diff(*still) {
                    *out = *other;
                }
            }
        }
        picture
    });
    let error = measured(two.collect()).unwrap_err();
    assert!(matches!(error, FilmError::TwoBalls { .. }), "{error}");
}

#[test]
fn law_a_picture_without_a_lane_is_refused() {
    let noise = |k: usize| ((k as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 60) as u8;
    let mut pictures = pictures();
    for picture in &mut pictures {
        for (k, luma) in picture.luma.iter_mut().enumerate() {
            *luma = 90 + noise(k);
        }
    }
    let error = measured(pictures).unwrap_err();
    assert!(matches!(error, FilmError::PoorLane { .. } | FilmError::NoPose { .. }), "{error}");
}

/// Broad stripes up and down, as lines on a field: they are no lane.
#[test]
fn law_another_sport_is_refused() {
    let mut pictures = pictures();
    for picture in &mut pictures {
        let width = picture.width;
        for (k, luma) in picture.luma.iter_mut().enumerate() {
            let (column, row) = (k % width, k / width);
            let line = (column + row / 3) % 90 < 6 || row % 240 < 5;
            *luma = if line { 220 } else { 80 + (row / 40 % 2 * 8) as u8 };
        }
    }
    let error = measured(pictures).unwrap_err();
    let right = matches!(error, FilmError::PoorLane { .. } | FilmError::NoPose { .. } | FilmError::NoBall);
    assert!(right, "{error}");
}

/// The clip with the camera turned to the left by so many pixels from its middle on.
fn kicked(by_px: usize) -> Vec<Picture> {
    let mut pictures = pictures();
    let middle = pictures.len() / 2;
    for picture in &mut pictures[middle..] {
        let width = picture.width;
        for row in picture.luma.chunks_exact_mut(width) {
            row.rotate_right(by_px);
        }
    }
    pictures
}

/// More than a shake may be (12 pixels here), and little enough to be found again: it must say that the camera moved, and by how much.
#[test]
fn law_a_camera_that_is_nudged_is_said_to_have_moved() {
    for by_px in [14, 30] {
        let error = refused(kicked(by_px), by_px);
        let FilmError::Moved { pixels, .. } = error else { panic!("{by_px} pixels: {error}") };
        assert!((pixels - by_px as f64).abs() < 1.0, "{by_px} pixels: {error}");
    }
}

/// So far that nothing brings the scene back. Any of these sentences is right: the camera moved, the scene is gone, the ball is lost.
#[test]
fn law_a_camera_kicked_far_is_refused() {
    for by_px in [60, 150] {
        let error = refused(kicked(by_px), by_px);
        let right = matches!(
            error,
            FilmError::Moved { .. } | FilmError::SceneGone { .. } | FilmError::FewSightings { .. } | FilmError::NoBall
        );
        assert!(right, "{by_px} pixels: {error}");
    }
}

/// A shake that may be: the ball is found all the same.
#[test]
fn law_a_shake_of_some_pixels_is_borne() {
    let seen = measured(kicked(8)).unwrap();
    let plain = measured(pictures()).unwrap();
    assert!(seen.sightings.len() + 5 > plain.sightings.len(), "{} of {}", seen.sightings.len(), plain.sightings.len());
    let (seen, plain) = (seen.breakpoint_board, plain.breakpoint_board);
    assert!((seen.value - plain.value).abs() < 2.0 * plain.error.max(0.2), "{} and {}", seen.value, plain.value);
}

/// What a film is refused with.
fn refused(pictures: Vec<Picture>, by_px: usize) -> FilmError {
    let Err(error) = measured(pictures) else { panic!("{by_px} pixels: nothing was refused") };
    error
}

/// The film ends when the ball is halfway, or before it comes.
#[test]
fn law_a_film_that_ends_too_early_is_refused() {
    let pictures = pictures();
    for (share, least) in [(0.45, "few"), (0.1, "none")] {
        let count = (pictures.len() as f64 * share) as usize;
        let error = measured(pictures[..count].to_vec()).unwrap_err();
        let early = matches!(error, FilmError::FewSightings { .. } | FilmError::NoBall | FilmError::TooShort { .. });
        assert!(early, "{least}: {error}");
    }
}
