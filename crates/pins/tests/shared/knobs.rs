//! What a search may turn, and the published figures it looks for.
#![allow(dead_code)]

use crate::entries;
use boardwise_pins::ensemble::{ENSEMBLE, Professionals};
use boardwise_pins::{BallBody, Constants, Mask, Rack, mirrored};
use boardwise_units::stream::Stream;

/// Share of left-handers among televised professionals, whose leaves are mirrored: a guess, held fast.
const LEFT_SHARE: f64 = 0.14;

/// Constants of a rack, and the entries of the professionals that go with them.
#[derive(Clone, Copy)]
pub struct Setting {
    pub constants: Constants,
    pub professionals: Professionals,
}

/// One number searched over: where starts lie, how widely (as a factor, if `is_factor`), and where it lives.
pub struct Knob {
    pub name: &'static str,
    middle: f64,
    width: f64,
    is_factor: bool,
    of: fn(&mut Setting) -> &mut f64,
}

const fn knob(name: &'static str, middle: f64, width: f64, is_factor: bool, of: fn(&mut Setting) -> &mut f64) -> Knob {
    Knob { name, middle, width, is_factor, of }
}

/// Middles are the corner that an earlier search of 1,900 sets ended in (docs/pins.md says what it had looked at); widths are
/// our judgement. Speed: 18.61 mph less 2 to 2.5 \[S\].
pub const KNOBS: [Knob; 16] = [
    knob("ball on pin, restitution", 0.622, 0.03, false, |s| &mut s.constants.ball_pin.restitution),
    knob("ball on pin, friction", 0.061, 0.25, true, |s| &mut s.constants.ball_pin.friction),
    knob("pin on pin, restitution", 0.647, 0.035, false, |s| &mut s.constants.pin_pin.restitution),
    knob("pin on pin, friction", 0.050, 0.50, true, |s| &mut s.constants.pin_pin.friction),
    knob("pin on deck, restitution", 0.599, 0.05, false, |s| &mut s.constants.pin_deck.restitution),
    knob("pin on deck, friction", 0.265, 0.15, true, |s| &mut s.constants.pin_deck.friction),
    knob("kickback, restitution", 0.481, 0.08, false, |s| &mut s.constants.kickback.restitution),
    knob("ball on deck, friction", 0.191, 0.20, true, |s| &mut s.constants.ball_deck.friction),
    knob("spots, m", 0.0033, 0.20, true, |s| &mut s.constants.spot_jitter_m),
    knob("spread of restitution", 0.076, 0.30, true, |s| &mut s.constants.restitution_jitter),
    knob("spread of friction", 0.08, 0.40, true, |s| &mut s.constants.friction_jitter),
    knob("mean board", 17.5, 0.25, false, |s| &mut s.professionals.board.0),
    knob("deviation of boards", 1.41, 0.10, true, |s| &mut s.professionals.board.1),
    knob("mean angle", 5.5, 0.30, false, |s| &mut s.professionals.angle_deg.0),
    knob("deviation of angles", 0.69, 0.20, true, |s| &mut s.professionals.angle_deg.1),
    knob("mean speed, m/s", 7.22, 0.10, false, |s| &mut s.professionals.speed_m_s.0),
];

/// Places of the knobs, in widths from the middle.
pub type Point = [f64; KNOBS.len()];

impl Knob {
    pub fn value(&self, place: f64) -> f64 {
        if self.is_factor { self.middle * (self.width * place).exp() } else { self.middle + self.width * place }
    }
}

pub fn setting(at: &Point) -> Setting {
    let mut setting = Setting { constants: ENSEMBLE[0].constants, professionals: ENSEMBLE[0].professionals };
    for (knob, place) in KNOBS.iter().zip(at) {
        *(knob.of)(&mut setting) = knob.value(*place);
    }
    setting
}

/// Shares of leaves among non-strikes, both hands together.
pub struct Shares {
    pub racks: u64,
    pub strikes: f64,
    of_misses: Vec<f64>,
}

impl Shares {
    /// What racks of this number leave; `streams` tells apart throws that must not share their chances.
    pub fn thrown(setting: &Setting, streams: u64, racks: u64) -> Self {
        let (rack, ball) = (Rack::new(setting.constants), BallBody::of_pounds(15.0));
        Self::of(&entries::leaves(&rack, &setting.professionals, &ball, streams << 32, (streams << 32) + racks))
    }

    /// Mean of the shares of several settings, thrown equally often.
    pub fn mean(parts: &[Self]) -> Self {
        let over = |share: &dyn Fn(&Self) -> f64| parts.iter().map(share).sum::<f64>() / parts.len() as f64;
        Self {
            racks: parts.iter().map(|part| part.racks).sum(),
            strikes: over(&|part| part.strikes),
            of_misses: (0..1024).map(|mask| over(&|part| part.of_misses[mask])).collect(),
        }
    }

    pub fn of(counts: &[u32; 1024]) -> Self {
        let total = counts.iter().map(|&n| u64::from(n)).sum::<u64>();
        let misses = (total - u64::from(counts[0])) as f64;
        let share = |mask: Mask| {
            let of = |m: Mask| f64::from(counts[usize::from(m)]) / misses;
            (1.0 - LEFT_SHARE) * of(mask) + LEFT_SHARE * of(mirrored(mask))
        };
        Self { racks: total, strikes: 1.0 - misses / total as f64, of_misses: (0..1024).map(share).collect() }
    }

    /// Share of the non-strikes that left just these pins.
    pub fn leave(&self, pins: &[u32]) -> f64 {
        self.of_misses[pins.iter().map(|pin| 1usize << (pin - 1)).sum::<usize>()]
    }

    /// All leaves, commonest first.
    pub fn order(&self) -> Vec<(Mask, f64)> {
        let mut order: Vec<(Mask, f64)> = (1..1024).map(|m| (m, self.of_misses[usize::from(m)])).collect();
        order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        order
    }
}

/// A published share and its error.
pub struct Row {
    pub name: &'static str,
    pub published: f64,
    pub error: f64,
    pub found: fn(&Shares) -> f64,
}

/// What is fitted: the published shares that are sure enough \[S: 7,155 televised first balls, 2,781 leaves\].
pub const FITTED: [Row; 4] = [
    Row { name: "strikes", published: 0.611, error: 0.006, found: |s| s.strikes },
    Row { name: "7 and 10", published: 0.375, error: 0.009, found: |s| s.leave(&[7]) + s.leave(&[10]) },
    Row { name: "9", published: 0.032, error: 0.003, found: |s| s.leave(&[9]) },
    Row { name: "7-10", published: 0.019, error: 0.003, found: |s| s.leave(&[7, 10]) },
];

/// What is never fitted: published shares kept out of every fit, of the same source.
pub const KEPT_OUT: [Row; 2] = [
    Row { name: "3-10", published: 0.013, error: 0.002, found: |s| s.leave(&[3, 10]) },
    Row { name: "4-6-7-10", published: 0.011, error: 0.002, found: |s| s.leave(&[4, 6, 7, 10]) },
];

/// Misfit of each fitted row, in errors.
pub fn misfits(shares: &Shares) -> [f64; FITTED.len()] {
    std::array::from_fn(|k| ((FITTED[k].found)(shares) - FITTED[k].published) / FITTED[k].error)
}

/// A start of its own for a search.
pub fn start(seed: u64) -> Point {
    let mut draw = Stream::keyed(63, "starts of searches", seed);
    std::array::from_fn(|_| draw.normal().clamp(-2.0, 2.0))
}
