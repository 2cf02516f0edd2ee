//! What is not known of lanes, covers and the bowler's day: stated once, and used by every answer.
//!
//! A sheet says where the oil is, a bag how a cover grips, a file how somebody bowls. None of it is exact. [`Unknowns`] says
//! how far each may be off, [`World`] is one way in which it may really be, and [`Unknowns::worlds`] draws many. Lines, bags,
//! blocks, spares, practice and the first shot of a block all answer over the same worlds, so that they agree; a belief is
//! those worlds after shots. The constants of
//! the pins are not known either: each world takes one of the sets that the carry table holds.

use boardwise_units::{Degrees, Mph, Rpm};

/// How many worlds stand for all. Every answer uses these, or evenly chosen ones of them.
pub const WORLDS: u32 = 96;

/// How far lanes, covers and bowlers differ from what is said of them, as standard deviations (our judgement; no published
/// values were found).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unknowns {
    /// Logarithm of the oil everywhere over the pattern's.
    pub oil_log: f64,
    /// Logarithm of the oil at a place over that, alike within about ten boards and fifteen feet.
    pub place_log: f64,
    /// Logarithm of the lane's dry friction over the usual.
    pub friction_log: f64,
    /// Logarithm of how fast the lane wears.
    pub wear_log: f64,
    /// Slope across a lane, each lane by itself, that moves a ball as much as all of the lane's shape does. An even cross-tilt
    /// is legal up to 9.6e-4 \[C from S\] and moves it by a board; legal shapes together move it by four to five boards to
    /// either side at the extreme \[S\].
    pub tilt: f64,
    /// Share of all that, but for the slope, which the two lanes of a pair have in common.
    pub common: f64,
    /// Logarithm of a cover's dry friction over what its kind and surface say.
    pub cover_log: f64,
    /// Whether worlds differ in the constants of the pins too, each with one of the sets that fit what is published.
    pub pins: bool,
    /// Today's speed over the usual.
    pub speed: Mph,
    /// Today's launch over what is meant.
    pub launch: Degrees,
    /// Today's rev rate over the usual.
    pub rev_rate: Rpm,
    /// Logarithm of today's spread over the usual.
    pub spread_log: f64,
}

impl Default for Unknowns {
    /// Wider than we take lanes and bowlers to be, by as much as made 80% intervals hold in simulated blocks whose lanes are
    /// off in ways that no world has numbers for (docs/belief.md).
    fn default() -> Self {
        Self {
            oil_log: 0.10,
            place_log: 0.15,
            friction_log: 0.06,
            wear_log: 0.4,
            tilt: 1.0e-3,
            common: 0.5,
            cover_log: 0.05,
            pins: true,
            speed: Mph(0.25),
            launch: Degrees(0.12),
            rev_rate: Rpm(10.0),
            spread_log: 0.19,
        }
    }
}

impl Unknowns {
    /// Nothing is unknown: lanes, covers and the bowler are as said.
    pub const NONE: Self = Self {
        oil_log: 0.0,
        place_log: 0.0,
        friction_log: 0.0,
        wear_log: 0.0,
        tilt: 0.0,
        common: 0.5,
        cover_log: 0.0,
        pins: false,
        speed: Mph(0.0),
        launch: Degrees(0.0),
        rev_rate: Rpm(0.0),
        spread_log: 0.0,
    };

    /// The lanes are declared as known, for teaching; covers and the bowler's day are as unknown as before.
    #[must_use]
    pub const fn with_known_lanes(self) -> Self {
        let Self { cover_log, pins, speed, launch, rev_rate, spread_log, .. } = self;
        Self { cover_log, pins, speed, launch, rev_rate, spread_log, ..Self::NONE }
    }
}

/// Places of `count` worlds that stand for all: the first ones. The sequence that they are drawn from is even from its start,
/// and most even where `count` is a power of two; every second one of it would leave half of what may be out.
pub fn spread_over(count: usize, all: usize) -> core::ops::Range<usize> {
    0..count.min(all)
}
