//! Learning from a first ball that a film measured.

use super::ensemble::Belief;
use super::estimate::good_throw;
use super::evidence::Seen;
use super::film::{Film, Thrower};
use super::moving::{move_by, worlds_of};
use boardwise_lane::Finish;
use boardwise_pins::carry::Carry;
use boardwise_search::{Payoff, Strikes, World};
use rayon::prelude::*;

/// What a world's throws come to, carried along with its numbers: mean board at the arrows, feet of the breakpoint, entry angle, and the board a
/// good one comes in on.
const PREDICTED: usize = 4;
/// A world's numbers with what its throws come to.
type Member = [f64; World::SIZE + PREDICTED];

/// Throws of one world against what was seen and measured of a shot.
struct Shown {
    predicted: [f64; PREDICTED],
    /// How likely each of the predicted is measured so, in the same order. The last hears all that is left.
    likely: [f64; PREDICTED],
}

impl Shown {
    fn of(seen: &Seen, film: &Film, strikes: &Strikes<'_>, finishes: &[Finish], offs: &[[f64; 6]]) -> Self {
        let noticed = &seen.noticed;
        let mean =
            |value: &dyn Fn(&Finish) -> f64| finishes.iter().map(value).sum::<f64>() / finishes.len().max(1) as f64;
        let angles: Vec<f64> = finishes.iter().filter_map(|one| one.touch).map(|touch| touch.angle().0).collect();
        let arrows = |one: &Finish| {
            let seen = if film.arrows_board.is_some() { 1.0 } else { noticed.of_arrows(one.arrows) };
            seen * film.of_arrows(one)
        };
        let rest = |one: &Finish, off: &[f64; 6]| {
            let boards =
                if film.breakpoint_board.is_some() { 1.0 } else { noticed.of_breakpoint(one.breakpoint.board) };
            noticed.of_calls(strikes.hit(one), off)
                * boards
                * film.of_boards(one)
                * strikes.chance_of(one, seen.standing)
        };
        let (mut passing, mut both, mut any) = (0.0, 0.0, 0.0);
        for (one, off) in finishes.iter().zip(offs) {
            let (arrows, rest) = (arrows(one), rest(one, off));
            passing += arrows;
            both += arrows * rest;
            any += rest;
        }
        let n = finishes.len().max(1) as f64;
        // Not a number where no throw met a pin: the angle then moves nothing.
        let angle = angles.iter().sum::<f64>() / angles.len() as f64;
        Self {
            predicted: [mean(&|one| one.arrows.0), mean(&|one| one.breakpoint.feet.0), angle, good_throw(finishes)],
            likely: [
                passing / n,
                mean(&|one| film.of_length(one)),
                mean(&|one| film.of_angle(one)),
                if passing > 1e-12 { both / passing } else { any / n },
            ],
        }
    }

    fn member((world, shown): (&World, &Self)) -> Member {
        let numbers = world.numbers();
        core::array::from_fn(|k| numbers.get(k).copied().unwrap_or_else(|| shown.predicted[k - World::SIZE]))
    }
}

impl Belief {
    /// The worlds after a first ball that a film measured.
    pub(super) fn moved_by_film(&self, seen: &Seen, film: &Film, carry: &Carry) -> Vec<World> {
        let noticed = &seen.noticed;
        let of = Thrower {
            bowler: self.bowler(),
            meant: &seen.meant,
            rev_share: self.law.rev_share(&self.balls()[seen.ball]),
        };
        let strikes = self.strikes(carry, seen.ball);
        let offs = self.deviations();
        let in_world = |world: &World| {
            let offs = film.left_open(&of, world, &offs);
            let finishes =
                self.runway(seen.lane, seen.ball, world).throw_many(&self.releases(world, &seen.meant, &offs));
            Shown::of(seen, film, &strikes, &finishes, &offs)
        };
        let shown: Vec<Shown> = self.worlds().par_iter().map(in_world).collect();
        let mut members: Vec<Member> = self.worlds().iter().zip(&shown).map(Shown::member).collect();
        for (today, likely) in film.of_day(&of, self.worlds()) {
            move_by(&mut members, &today, &noticed.held_back(&likely));
        }
        // Each look begins where the one before ended.
        let said = [
            film.arrows_board.is_some() || noticed.arrows.is_some(),
            film.breakpoint_feet.is_some(),
            film.entry_deg.is_some(),
            true,
        ];
        for k in (0..PREDICTED).filter(|&k| said[k]) {
            let predicted: Vec<f64> = members.iter().map(|member| member[World::SIZE + k]).collect();
            let likely: Vec<f64> = shown.iter().map(|one| one.likely[k]).collect();
            move_by(&mut members, &predicted, &noticed.held_back(&likely));
        }
        worlds_of(self.worlds(), &members)
    }
}
