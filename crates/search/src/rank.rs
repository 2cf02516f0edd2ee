//! Lines ranked by the game they come to.

use crate::{GameScore, Lines};
use boardwise_pins::spare::Second;
use boardwise_score::Leave;
use boardwise_units::math;

/// Works out the game of every line that knows its leaves and puts the best first. Lines whose means differ by less
/// than their standard errors together share a rank: between them the numbers do not decide.
///
/// # Errors
/// As [`GameScore::of`].
pub fn rank_by_game(found: &mut Lines, second: impl Fn(Leave) -> Second) -> Result<(), boardwise_score::Error> {
    for line in &mut found.lines {
        line.game = line.first_ball.as_ref().map(|first| GameScore::of(first, &second)).transpose()?;
    }
    let mean = |game: Option<GameScore>| game.map_or(f64::NEG_INFINITY, |game| game.mean);
    found.lines.sort_by(|a, b| mean(b.game).total_cmp(&mean(a.game)).then(b.worth.total_cmp(&a.worth)));
    let mut first_of_rank = 0;
    for k in 0..found.lines.len() {
        let level = match (found.lines[first_of_rank].game, found.lines[k].game) {
            (Some(a), Some(b)) => a.mean - b.mean < math::hypot(a.error, b.error),
            _ => false,
        };
        if !level {
            first_of_rank = k;
        }
        found.lines[k].rank = first_of_rank + 1;
    }
    Ok(())
}
