//! A golden hash over a belief after twelve shots: a change here needs a line in the changelog that says why.

use crate::typical::{CARRY, adapting, dull, pattern, shiny};
use boardwise_belief::{Belief, Feel, Noticed, Seen};
use boardwise_lane::Release;
use boardwise_search::{Hit, Unknowns};
use boardwise_units::{Board, Feet};

/// Folds a number into a hash (FNV-1a over its bits).
fn fold(hash: u64, value: f64) -> u64 {
    (hash ^ value.to_bits()).wrapping_mul(0x0100_0000_01b3)
}

#[test]
fn keep_a_belief_after_twelve_shots() {
    let lane = pattern(40.0, 0.3);
    let mut belief = Belief::new([lane.clone(), lane], adapting(), vec![dull(), shiny()], &Unknowns::default(), 4);
    let from = Release { laydown: Board(17.0), ..Release::default() };
    let meant = [from.aimed_at(Board(10.0), Feet(15.0)), from.aimed_at(Board(11.5), Feet(15.0))];
    let shots = [
        (Some(Hit::High), "4", None, None),
        (Some(Hit::Pocket), "none", Some(10.5), None),
        (Some(Hit::High), "4-9", None, Some(Feel::Good)),
        (None, "3-6-10", None, None),
        (Some(Hit::Light), "2-8", Some(9.0), None),
        (Some(Hit::Pocket), "10", None, None),
    ];
    for (number, (hit, standing, arrows, feel)) in shots.into_iter().cycle().take(12).enumerate() {
        let noticed = Noticed { hit, arrows: arrows.map(Board), feel, ..Noticed::default() };
        let (lane, ball) = (number % 2, usize::from(number >= 8));
        let standing = standing.parse().expect("pins");
        belief.saw(&Seen { lane, ball, meant: meant[number % 2], standing, noticed }, &CARRY).expect("possible");
    }

    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for world in belief.worlds() {
        hash = world.numbers().iter().copied().fold(hash, fold);
        hash = fold(hash, world.pins().map_or(-1.0, f64::from));
    }
    for (lane, ball) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
        let comes_in = belief.comes_in(lane, ball, &meant[lane]);
        let strike = belief.strike(lane, ball, &meant[lane], &CARRY);
        hash = [comes_in.mean, comes_in.sd, strike.mean, strike.sd].into_iter().fold(hash, fold);
    }
    assert_eq!(hash, GOLDEN, "{hash:#x}");
}
const GOLDEN: u64 = 0xb310_1e71_1ee8_2a73;
