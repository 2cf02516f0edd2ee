//! What a person types of a shot.

use boardwise_record::{BallId, Measured, Shot};
use boardwise_score::{Deck, PinSet, Roll};
use boardwise_units::Board;

use super::block_state::BlockState;
use super::command::Details;
use boardwise_files::Fault;

/// What stands, from the words for it. `deck` is what stood before.
///
/// # Errors
/// If the words name no pins.
pub fn roll(typed: &str, deck: Deck) -> Result<Roll, Fault> {
    let refuse = |allowed: String| Fault::Field { field: "pins", value: typed.to_owned(), allowed };
    match (typed.trim().to_lowercase().as_str(), deck) {
        ("x" | "/" | "none", _) => Ok(Roll::ALL_DOWN),
        ("foul" | "f", _) => Ok(Roll::Foul),
        ("all", Deck::Pins(pins)) => Ok(Roll::Standing(pins)),
        ("all", Deck::Count(_)) => Ok(Roll::Down(0)),
        (pins, _) => pins.parse::<PinSet>().map(Roll::Standing).map_err(|why| {
            refuse(format!("{why}. What stands: pins as in 3-10, none or X for all down, all if nothing fell, foul"))
        }),
    }
}

/// The board of a field.
///
/// # Errors
/// If there is no such board.
pub fn board(field: &'static str, typed: Option<f64>) -> Result<Option<Board>, Fault> {
    let on_lane = |value: f64| Board(value).on_lane().then_some(Board(value));
    typed
        .map(|value| {
            on_lane(value).ok_or_else(|| Fault::Field {
                field,
                value: value.to_string(),
                allowed: "boards go from 0.5 to 39.5, counted from the bowling-hand side".to_owned(),
            })
        })
        .transpose()
}

impl Details {
    /// The ball named, as the record calls it.
    ///
    /// # Errors
    /// If the bag has no such ball.
    pub fn ball(&self, state: &BlockState) -> Result<Option<BallId>, Fault> {
        let BlockState { desk, setting, .. } = state;
        self.ball.as_deref().map(|id| setting.ball(id).map(|place| desk.begun.balls[place].clone())).transpose()
    }

    /// The shot with all that is said here but the ball.
    ///
    /// # Errors
    /// If a board, a word or a lane cannot be.
    pub fn put(&self, state: &BlockState, shot: Shot) -> Result<Shot, Fault> {
        let BlockState { desk, setting, .. } = state;
        let lane =
            self.lane.map(|number| setting.lane(number).map(|lane| desk.begun.lanes[lane].clone())).transpose()?;
        let film = self.measured.as_deref();
        // Where nobody says what an eye saw, the sheet shows what the film did.
        let (arrows, breakpoint) = (film.and_then(Measured::arrows), film.and_then(Measured::breakpoint));
        Ok(Shot {
            arrows: board("arrows", self.arrows)?.or(arrows).or(shot.arrows),
            breakpoint: board("breakpoint", self.breakpoint)?.or(breakpoint).or(shot.breakpoint),
            measured: self.measured.clone().or(shot.measured),
            hit: self.hit.or(shot.hit),
            felt: self.felt.or(shot.felt),
            lane: lane.or(shot.lane),
            ..shot
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn law_words_for_what_stands() {
        let ten = Deck::Pins("10".parse().unwrap());
        for down in ["x", "X", "/", "none", " None "] {
            assert_eq!(roll(down, ten).unwrap(), Roll::ALL_DOWN);
        }
        assert_eq!(roll("all", ten).unwrap(), Roll::Standing("10".parse().unwrap()));
        assert_eq!(roll("all", Deck::Count(3)).unwrap(), Roll::Down(0));
        assert_eq!(roll("F", Deck::FULL).unwrap(), Roll::Foul);
        assert!(roll("-", ten).is_err() && roll("", ten).is_err() && roll("+3", ten).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_no_words_panic(text in "\\PC{0,40}") {
            let _ = roll(&text, Deck::FULL);
        }
    }
}
