//! Many throws at once.
//!
//! The same rigid body and the same contact law as [`crate::throw()`], arranged for speed: throws stand side by side in
//! arrays, advance together from one line across the lane to the next (equal distances, not equal times), and feel
//! the lane once a row, as an impulse. Friction stops the slip and no more, so rolling needs no small steps. Single
//! precision; only operations whose results IEEE 754 gives exactly, so every machine and every vector width gives the same bits.
//!
//! Agreement with the reference is measured in `tests/law_batch.rs` and stated in docs/path.md.

// The kernels are written for the vectoriser: everything inlined into the function that is compiled for each processor, no
// short-circuits, loops by index over arrays that stand side by side. Written the usual way they ran five times slower.
#![allow(
    clippy::inline_always,
    clippy::manual_midpoint,
    clippy::needless_bitwise_bool,
    clippy::needless_range_loop,
    clippy::too_many_lines,
    reason = "measured: see the note above"
)]

mod advance;
mod arithmetic;
mod constants;
mod cut;
mod film;
mod floor;
mod glide;
mod pack;
mod pair;
mod track;
#[cfg(test)]
mod widths;
mod window;

use crate::field::Field;
use crate::friction::{Contact, ContactLaw};
use crate::path::{Approach, Path, PinTouch, Place, Side};
use crate::release::Release;
use crate::surface::Lane;
use crate::throw::APPROACH_FT;
use alloc::vec::Vec;
use boardwise_ball::{Ball, Entry};
use boardwise_units::math;
use boardwise_units::{Board, FOOT_M, Feet, court};
use glam::DVec3;
use pack::Pack;

/// Rows from the foul line to the head pin: the ball moves on and feels the lane once a row.
pub const ROWS: usize = 240;
/// Length of a row.
const ROW_FT: f64 = court::HEAD_PIN_FT / ROWS as f64;
const ROW_M: f32 = (ROW_FT * FOOT_M) as f32;
/// Rows in a foot of lane.
const ROWS_A_FOOT: usize = ROWS / 60;
/// Places at which a throw that is followed is seen: every foot from 0 to 60.
const FEET: usize = 61;
/// Parts of a row, in each of which the oil is read and exchanged.
const PARTS: usize = 4;
const PART_FT: f64 = ROW_FT / PARTS as f64;
/// Every foot and every node of the lane's fields lies on a line between rows or parts.
const _: () = assert!(ROWS.is_multiple_of(60) && (ROWS * PARTS).is_multiple_of(Field::ALONG - 1));
/// Throws that advance together. A whole number of the widest vectors, and small enough to stay in the nearest cache.
const WIDTH: usize = 32;
/// One number of each throw of a pack.
type Each = [f32; WIDTH];
/// Nodes across a row of lane.
const NODES: usize = Field::ACROSS;

/// A lane cut into rows for one ball: what the batch engine reads.
#[derive(Clone, Debug)]
pub struct Runway {
    /// At each node across, row after row: film in metres in each part of the row, or friction where that is given.
    coat: Vec<cut::Column>,
    /// Rise across and along, times gravity.
    pull: cut::Pull,
    oiled: bool,
    /// The row from which on no oil lies on the lane.
    bare_from: usize,
    pattern_end: Option<Feet>,
    contact: Contact,
    ball: Ball,
    lane: Lane,
}

/// What came of one throw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// First touch of a pin, unless the ball left the lane or missed them all.
    pub touch: Option<PinTouch>,
    /// Where it dropped into a gutter.
    pub gutter: Option<(Feet, Side)>,
    /// The place closest to the bowling-hand gutter.
    pub breakpoint: Place,
    /// Where it crossed the end of the pattern, if there is one: of the longest stroke, which may lie on other boards than the ball.
    pub exit: Option<Place>,
    /// Board at 15 ft.
    pub arrows: Board,
    /// Time to 60 ft, s.
    pub time_s: f64,
}

impl From<&Path> for Finish {
    /// What came of a throw that was followed as a path. A ball that never reached the arrows has the board it started on there.
    fn from(path: &Path) -> Self {
        let start = path.rows.first().map_or(0.0, |row| row.board);
        Self {
            touch: path.touch,
            gutter: path.gutter,
            breakpoint: path.breakpoint,
            exit: path.exit,
            arrows: path.arrows.map_or(Board(start), |place| place.board),
            time_s: path.time_s,
        }
    }
}

impl Runway {
    /// Cuts a lane for a ball under a contact law.
    pub fn new(lane: &Lane, ball: &Ball, law: &ContactLaw) -> Self {
        let oiled = lane.film().is_some();
        let contact = law.between(ball, lane.surface_ra_m);
        let coat = cut::coat(lane, &contact);
        Self {
            bare_from: cut::bare_from(&coat),
            coat,
            pull: cut::Pull::of(lane.shape.as_ref()),
            oiled,
            pattern_end: lane.pattern_end(),
            contact,
            ball: ball.clone(),
            lane: lane.clone(),
        }
    }

    /// Throws them all and says what came of each, in order.
    pub fn throw_many(&self, releases: &[Release]) -> Vec<Finish> {
        let mut finishes = Vec::with_capacity(releases.len());
        let mut pack = Pack::new();
        for chunk in releases.chunks(WIDTH) {
            pack.load(chunk, self);
            advance::roll_pack(&mut pack, self);
            finishes.extend((0..chunk.len()).map(|i| self.finish(&pack, i)));
        }
        finishes
    }

    /// As [`throw_many`](Self::throw_many), with where each ball was at every foot from 0 to 60; one that drops into a gutter is seen
    /// there last.
    pub fn follow_many(&self, releases: &[Release]) -> Vec<(Finish, Vec<Place>)> {
        let mut seen = Vec::with_capacity(releases.len());
        let mut pack = Pack::new();
        pack.followed = true;
        for chunk in releases.chunks(WIDTH) {
            pack.load(chunk, self);
            advance::roll_pack(&mut pack, self);
            seen.extend(chunk.iter().enumerate().map(|(i, release)| {
                let finish = self.finish(&pack, i);
                let places = places(&pack, i, release, &finish);
                (finish, places)
            }));
        }
        seen
    }

    fn finish(&self, pack: &Pack, i: usize) -> Finish {
        let gutter = (pack.gutter_row[i] >= 0.0).then(|| {
            let side = if pack.gutter_x[i] > 0.0 { Side::Hand } else { Side::Away };
            (Feet(f64::from(pack.gutter_row[i]) * ROW_FT + 0.5 * ROW_FT), side)
        });
        let speed_m_s = math::hypot(f64::from(pack.end_vx[i]), f64::from(pack.end_vy[i]));
        let lean_end = f64::from(pack.end_vx[i] / pack.end_vy[i]);
        let y_m = Feet(APPROACH_FT).to_metres();
        let lean = f64::from(pack.approach_lean[i]);
        let approach = Approach {
            x_m: f64::from(pack.approach_x[i]),
            y_m,
            lean,
            bend_per_m: (lean_end - lean) / (court::HEAD_PIN_M - y_m),
        };
        let touch =
            gutter.is_none().then(|| approach.first_touch(self.ball.radius_m)).flatten().map(|(pin, x_m, y)| {
                let lean = lean + (y - y_m) * approach.bend_per_m;
                let along = speed_m_s / math::sqrt(1.0 + lean * lean);
                let spin_rad_s = DVec3::from_array(pack.end_spin.each_ref().map(|spin| spin[i].into()));
                let velocity_m_s = DVec3::new(along * lean, along, 0.0);
                PinTouch { pin, entry: Entry { x_m, y_m: y, velocity_m_s, spin_rad_s } }
            });
        let board = |x_m: f32| Board::from_metres(x_m.into());
        let reached = |feet: Feet| gutter.is_none_or(|(left, _)| left.0 > feet.0);
        Finish {
            touch,
            gutter,
            breakpoint: Place {
                board: Board(board(pack.widest_x[i]).0.max(0.5)),
                feet: Feet((f64::from(pack.widest_row[i]) + 0.5) * ROW_FT),
            },
            exit: self.pattern_end.filter(|&end| reached(end)).map(|feet| Place { board: board(pack.exit_x[i]), feet }),
            arrows: board(pack.arrows_x[i]),
            time_s: pack.end_time[i].into(),
        }
    }
}

/// Where one ball of a pack that was followed has been.
fn places(pack: &Pack, i: usize, release: &Release, finish: &Finish) -> Vec<Place> {
    let foot = |foot: usize| Place {
        board: if foot == 0 { release.laydown } else { Board::from_metres(pack.feet_x[foot][i].into()) },
        feet: Feet(foot as f64),
    };
    let lost = finish.gutter.map(|(feet, _)| Place { board: Board::from_metres(pack.gutter_x[i].into()), feet });
    let on_lane = (0..FEET).map(foot).take_while(|place| lost.is_none_or(|lost| place.feet.0 < lost.feet.0));
    on_lane.chain(lost).collect()
}
