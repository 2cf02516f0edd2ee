//! Why a film gives no measured throw.

use thiserror::Error;

/// Why a film, or the lane or the ball in it, cannot be measured. Each message says what to do.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FilmError {
    /// Bytes that are no film, or a film that ends too early.
    #[error("this is not a film that can be read: {0}; give an MP4 or MOV file, whole, as the phone saved it")]
    Container(String),
    /// A film without pictures.
    #[error("the file holds no video track; give a film with pictures")]
    NoVideo,
    /// A coding that no decoder here reads.
    #[error("the film is coded as {0}; only H.264 and H.265 can be read: set the camera to one of them")]
    Codec(String),
    /// A picture that the decoder could not make.
    #[error("picture {index} cannot be decoded: {reason}; the file may be damaged, copy it again")]
    Picture {
        /// Its place in the file, from 0.
        index: usize,
        /// What the decoder said.
        reason: String,
    },
    /// Pictures of a size that cannot be handled.
    #[error("pictures of {width} by {height} cannot be measured; 160 to 8192 pixels a side can")]
    Size {
        /// Width, pixels.
        width: usize,
        /// Height, pixels.
        height: usize,
    },
    /// The film is shorter than a throw.
    #[error("the film has {pictures} pictures; a throw needs at least {least}")]
    TooShort {
        /// Pictures read.
        pictures: usize,
        /// Pictures needed.
        least: usize,
    },
    /// A point that cannot be read.
    #[error("point \"{text}\": {reason}; a point is a mark and its place in the picture, such as arrow-4:540,1210")]
    Point {
        /// What was given.
        text: String,
        /// What is wrong with it.
        reason: &'static str,
    },
    /// Too few points.
    #[error("{given} points are too few: give four to eight, at the foul line, at the arrows and at the pins")]
    FewPoints {
        /// Points given.
        given: usize,
    },
    /// No camera sees the lane so.
    #[error(
        "no camera can see the lane's marks at these points: one misses by {worst_px:.0} pixels ({mark}); point it out again"
    )]
    NoPose {
        /// The worst miss, pixels.
        worst_px: f64,
        /// The mark that misses most.
        mark: String,
    },
    /// The lane in the picture does not fit the published one well enough.
    #[error(
        "the lane is not known well enough here: {arrows_boards:.2} boards at the arrows and {pins_boards:.2} at 60 ft, where {allowed_boards} is allowed; point out more marks, or film from higher up"
    )]
    PoorLane {
        /// Error at the arrows, boards.
        arrows_boards: f64,
        /// Error at 60 ft, boards.
        pins_boards: f64,
        /// What is allowed, boards.
        allowed_boards: f64,
    },
    /// The camera moved during the film.
    #[error("the camera moved by {pixels:.0} pixels at {time_s:.1} s; put it on something that stands still")]
    Moved {
        /// How far, pixels.
        pixels: f64,
        /// When, seconds into the film.
        time_s: f64,
    },
    /// Most of the picture no longer shows what it showed at first.
    #[error(
        "from {time_s:.1} s on the picture is another one: the camera was kicked, the light went, or somebody stood before it; film the throw again"
    )]
    SceneGone {
        /// When, seconds into the film.
        time_s: f64,
    },
    /// No ball was found on the lane.
    #[error(
        "no ball was seen rolling down the lane; the lane must be in the picture from the arrows to the pins, and lit"
    )]
    NoBall,
    /// Two balls roll at once.
    #[error("two balls roll down the lane at {time_s:.1} s; give a film with one throw")]
    TwoBalls {
        /// When both are seen, seconds into the film.
        time_s: f64,
    },
    /// The ball was seen too rarely.
    #[error(
        "the ball was seen in {seen} pictures only, from {from_ft:.0} to {to_ft:.0} ft; at least {least} over 25 ft are needed"
    )]
    FewSightings {
        /// Pictures with the ball.
        seen: usize,
        /// First seen, feet.
        from_ft: f64,
        /// Last seen, feet.
        to_ft: f64,
        /// Pictures needed.
        least: usize,
    },
    /// No throw explains what was seen.
    #[error("what was followed does not move as a ball on a lane does: it strays by {miss:.1} times its error")]
    NoThrow {
        /// Root mean square miss over its stated error.
        miss: f64,
    },
}
