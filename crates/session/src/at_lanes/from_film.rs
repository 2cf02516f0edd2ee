//! A shot that was measured from film, as `boardwise watch --json` tells it.

use boardwise_files::Fault;
use boardwise_record::{Figure, Key, Measured};
use boardwise_units::Hand;
use serde::Deserialize;
use serde::de::IgnoredAny;

/// What is read of the answer; keys that no such answer has are refused.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, expecting = "an answer of watch --json in { }")]
struct Answer {
    schema: u32,
    key: Key,
    boards_from: Side,
    laydown_board: Option<Estimate>,
    launch_deg: Option<Estimate>,
    arrows_board: Option<Estimate>,
    breakpoint_board: Option<Estimate>,
    breakpoint_feet: Option<Estimate>,
    exit_board: Option<Estimate>,
    entry_board: Option<Estimate>,
    entry_deg: Option<Estimate>,
    release_mph: Option<Estimate>,
    pins_mph: Option<Estimate>,
    rev_rate_rpm: Option<Estimate>,
    rotation_deg: Option<Estimate>,
    tilt_deg: Option<Estimate>,
    #[serde(rename = "path")]
    _path: IgnoredAny,
    #[serde(rename = "pictures")]
    _pictures: IgnoredAny,
    #[serde(rename = "sightings")]
    _sightings: IgnoredAny,
    #[serde(rename = "seen_feet")]
    _seen_feet: IgnoredAny,
    #[serde(rename = "lane_error")]
    _lane_error: IgnoredAny,
    #[serde(rename = "misfit")]
    _misfit: IgnoredAny,
}

/// The side that boards count from.
#[derive(Clone, Copy, PartialEq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Side {
    Right,
    Left,
}

/// A value with its error; the interval follows from them, as far as a belief needs it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, expecting = "a value with its error in { }")]
struct Estimate {
    value: f64,
    error: f64,
    #[serde(rename = "low")]
    _low: IgnoredAny,
    #[serde(rename = "high")]
    _high: IgnoredAny,
}

/// What a film measured, and the key of the shot on it.
///
/// # Errors
/// If the text is no answer of `watch --json`, or of a later form; if it was measured for the other hand.
pub fn read(name: &str, text: &str, hand: Hand) -> Result<(Measured, Key), Fault> {
    let refused = |why: String| Fault::Field { field: "measured", value: name.to_owned(), allowed: why };
    let answer: Answer = serde_json::from_str(text)
        .map_err(|why| refused(format!("{why}. It must be what `boardwise watch --json` prints")))?;
    if answer.schema != 1 {
        return Err(refused(format!("its form is {}; this program reads 1", answer.schema)));
    }
    let side = if hand == Hand::Right { Side::Right } else { Side::Left };
    if answer.boards_from != side {
        return Err(refused("it was measured for the other hand: measure it again with --bowler".to_owned()));
    }
    let figure = |one: Option<Estimate>| one.map(|Estimate { value, error, .. }| Figure { value, error });
    let measured = Measured {
        laydown_board: figure(answer.laydown_board),
        launch_deg: figure(answer.launch_deg),
        arrows_board: figure(answer.arrows_board),
        breakpoint_board: figure(answer.breakpoint_board),
        breakpoint_feet: figure(answer.breakpoint_feet),
        exit_board: figure(answer.exit_board),
        entry_board: figure(answer.entry_board),
        entry_deg: figure(answer.entry_deg),
        release_mph: figure(answer.release_mph),
        pins_mph: figure(answer.pins_mph),
        rev_rate_rpm: figure(answer.rev_rate_rpm),
        rotation_deg: figure(answer.rotation_deg),
        tilt_deg: figure(answer.tilt_deg),
    };
    Ok((measured, answer.key))
}
