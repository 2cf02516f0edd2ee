//! How long a gain lasts: what a choice has won or lost by the end of the game, when more balls have worn the lane.
//!
//! The lane is looked at twice: now, and as it will lie at our last first ball of the game on it. In between a gain is taken to
//! change evenly. By then the bowler has moved with the lane: by that one of a few moves which suits the choices best on the
//! whole. It is the same for all, because what is wrong with a line now is to be mended now. Worlds and deviations are those
//! behind the choices now, so that the difference is that of the lane.

use super::choices::{Choice, Open};
use super::weighing::{Ground, Outcome, Weighing};
use boardwise_lane::Lane;
use boardwise_search::{Move, Spread};
use rayon::prelude::*;

/// Worlds and throws behind the end of the game: as many throws as behind the last look at the lane now.
const WORLDS: usize = 8;
/// Moves that may be made by then, feet and eyes: with a lane that hooks more, and with one that hooks less.
const THEN: [(f64, f64); 4] = [(0.0, 0.0), (2.0, 1.0), (4.0, 2.0), (-2.0, -1.0)];

/// Pins a game that each choice wins by the end of the game over what it comes to now, by the lane as it will lie at the end; `now`
/// holds what came of them by world on the lane as it is, with so many throws.
pub(super) fn trend(weighing: &Weighing<'_>, now: &[Vec<Outcome>], throws: u32, end: &Lane) -> Vec<f64> {
    let Weighing { belief, at, open, .. } = *weighing;
    let then: Vec<Open> = open.iter().flat_map(|one| THEN.map(|step| moved(weighing, one, step))).collect();
    let then = Weighing { open: &then, ..*weighing };
    let (places, offs) = (belief.spread_over(WORLDS.min(now.len())), Spread::points(throws, 0));
    let by_world = |&place: &usize| {
        let world = &belief.worlds()[place];
        let ground = &mut Ground::new(belief.lane_worn_to(at.lane, world, end));
        then.by_world(world, ground, &offs).iter().map(|one| one.pins).collect()
    };
    let ended: Vec<Vec<f64>> = places.par_iter().map(by_world).collect();
    let mean = |pins: &dyn Fn(usize) -> f64| (0..ended.len()).map(pins).sum::<f64>() / ended.len().max(1) as f64;
    let after = |k: usize, m: usize| mean(&|world| ended[world][k * THEN.len() + m]);
    let of_all = |m: usize| (0..open.len()).map(|k| after(k, m)).sum::<f64>();
    let with_lane =
        (0..THEN.len()).max_by(|&a, &b| of_all(a).total_cmp(&of_all(b)).then(b.cmp(&a))).unwrap_or_default();
    (0..open.len()).map(|k| after(k, with_lane) - mean(&|world| now[world][k].pins)).collect()
}

/// A choice after a move.
fn moved(weighing: &Weighing<'_>, one: &Open, (feet_boards, eyes_boards): (f64, f64)) -> Open {
    let step = Move { feet_boards, eyes_boards };
    let Choice { ball, surface, release, .. } = one.choice;
    let release = if step == Move::STAY { release } else { step.of(&release) };
    Open { choice: Choice::new(weighing.belief.bowler(), ball, surface, release), ..*one }
}
