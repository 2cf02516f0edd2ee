//! The rules of a frame as a table, so that a device can log on without the server and without rules of its own.

use boardwise_score::{Deck, Game, Pin, PinSet, Roll, Scoring, Thrown};

use crate::view::{FrameRules, FrameStep, StepEnd};

/// The rules under a way of counting.
pub fn of(scoring: Scoring) -> FrameRules {
    FrameRules { usual: steps(&before(scoring, 0)), last: steps(&before(scoring, 9)) }
}

/// The step of the ball to come in its frame; 0 for its first.
pub fn step_of(game: &Game) -> usize {
    let Some((frame, _)) = game.up_next() else { return 0 };
    let thrown: Vec<Thrown> = game.thrown().filter(|ball| ball.frame == frame).collect();
    let steps = steps(&before(game.scoring(), frame - 1));
    thrown.iter().fold(0, |step, ball| {
        let end = if ball.after.is_empty() { &steps[step].down } else { &steps[step].left };
        end.then.unwrap_or_default()
    })
}

/// A game with so many frames over.
fn before(scoring: Scoring, frames: u8) -> Game {
    let mut game = Game::new(scoring);
    while game.up_next().is_some_and(|(frame, _)| frame <= frames) && game.push(one_left(&game)).is_ok() {}
    game
}

/// A ball that leaves something: the head pin, wherever it stood.
fn one_left(game: &Game) -> Roll {
    match game.deck() {
        Some(Deck::Pins(pins)) if pins.contains(Pin::HEAD) => Roll::Standing(PinSet::from(Pin::HEAD)),
        Some(Deck::Pins(pins)) => Roll::Standing(pins),
        _ => Roll::Down(0),
    }
}

/// The steps of the frame that is up, by what every ball of it may do: take all that stands, or leave something.
fn steps(game: &Game) -> Vec<FrameStep> {
    let mut steps = Vec::new();
    add(game, &mut steps);
    steps
}

/// Adds the step of the ball to come and all that may follow it in its frame; gives its place.
fn add(game: &Game, steps: &mut Vec<FrameStep>) -> usize {
    let Some((frame, ball)) = game.up_next() else { return 0 };
    let place = steps.len();
    let nowhere = StepEnd { sign: String::new(), then: None };
    let full = game.deck() == Some(Deck::FULL);
    steps.push(FrameStep { ball, full, down: nowhere.clone(), left: nowhere });
    let end = |roll: Roll, steps: &mut Vec<FrameStep>| {
        let mut after = *game;
        let sign = after
            .push(roll)
            .map(|thrown| if thrown.after.is_empty() { thrown.sign().to_string() } else { String::new() });
        let goes_on = after.up_next().is_some_and(|(next, _)| next == frame);
        StepEnd { sign: sign.unwrap_or_default(), then: goes_on.then(|| add(&after, steps)) }
    };
    steps[place].down = end(Roll::ALL_DOWN, steps);
    steps[place].left = end(one_left(game), steps);
    place
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn law_the_table_goes_the_way_the_game_goes(
            balls in prop::collection::vec((0_u8..4, 0_u16..1024), 0..24), current in any::<bool>()
        ) {
            let scoring = if current { Scoring::CurrentFrame } else { Scoring::Traditional };
            let (rules, mut game, mut step) = (of(scoring), Game::new(scoring), 0);
            for (kind, bits) in balls {
                let Some((frame, ball)) = game.up_next() else { break };
                let here = if frame == 10 { &rules.last } else { &rules.usual };
                prop_assert_eq!(here[step].ball, ball);
                // A rack of which nothing fell, or that was fouled at, stands full as well.
                let Some(Deck::Pins(pins)) = game.deck() else { unreachable!() };
                prop_assert!(!here[step].full || pins == PinSet::ALL);
                prop_assert_eq!(step, step_of(&game));
                let left = PinSet::from_bits(bits & pins.bits()).unwrap_or(pins);
                let thrown = game.push([Roll::ALL_DOWN, Roll::Foul, Roll::Standing(left), Roll::Standing(pins)][usize::from(kind)]).unwrap();
                let down = thrown.after.is_empty();
                let end = if down { &here[step].down } else { &here[step].left };
                if down {
                    prop_assert_eq!(&end.sign, &thrown.sign().to_string());
                }
                let same_frame = game.up_next().is_some_and(|(next, _)| next == frame);
                prop_assert_eq!(end.then.is_some(), same_frame);
                step = end.then.unwrap_or_default();
            }
        }
    }
}
