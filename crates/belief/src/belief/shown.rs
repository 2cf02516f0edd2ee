//! What a world shows of a shot: where its throws pass and come in, and how likely they look like what was seen.

use super::estimate::good_throw;
use super::evidence::Seen;
use boardwise_lane::Finish;
use boardwise_search::{Payoff, Strikes, World};

/// Throws of one world against what was seen of a shot.
pub(super) struct Shown {
    /// Mean board at the arrows.
    pub passed: f64,
    /// The board a good one comes in on.
    came_in: f64,
    /// How likely the board at the arrows is seen as it was.
    pub arrows: f64,
    /// How likely all else is seen as it was, by the throws that pass the arrows where it was seen.
    pub rest: f64,
}

impl Shown {
    /// Of throws with these deviations. The board at the arrows counts once: it weighs the throws behind all else.
    pub fn by_world(seen: &Seen, strikes: &Strikes<'_>, finishes: &[Finish], offs: &[[f64; 6]]) -> Self {
        let n = finishes.len().max(1) as f64;
        let noticed = &seen.noticed;
        let of_throw = |(finish, off): (&Finish, &[f64; 6])| {
            let rest = noticed.of_rest(strikes.hit(finish), finish.breakpoint.board, off);
            (noticed.of_arrows(finish.arrows), rest * strikes.chance_of(finish, seen.standing))
        };
        let throws: Vec<(f64, f64)> = finishes.iter().zip(offs).map(of_throw).collect();
        let passing: f64 = throws.iter().map(|(arrows, _)| arrows).sum();
        let both: f64 = throws.iter().map(|(arrows, rest)| arrows * rest).sum();
        let any: f64 = throws.iter().map(|(_, rest)| rest).sum();
        Self {
            passed: finishes.iter().map(|finish| finish.arrows.0).sum::<f64>() / n,
            came_in: good_throw(finishes),
            arrows: passing / n,
            // Where no throw passes there at all, they count alike.
            rest: if passing > 1e-12 { both / passing } else { any / n },
        }
    }

    /// The world's numbers, and where the shot comes in.
    pub fn member((world, shown): (&World, &Self)) -> [f64; World::SIZE + 1] {
        let numbers = world.numbers();
        core::array::from_fn(|k| numbers.get(k).copied().unwrap_or(shown.came_in))
    }
}
