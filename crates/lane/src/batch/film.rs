//! The film under each ball of a pack: what lies on the lane, and what its own track carries.

use super::arithmetic::{cubic, dot, one_minus_exp, per_root};
use super::constants::Constants;
use super::cut::{Pull, Slopes};
use super::floor::PER_NODE;
use super::pack::Pack;
use super::pair::{ByPair, Number, PAIRS, Pair, least, most};
use super::track::{BEFORE, LEAST_TURN};
use super::window::abreast;
use super::{NODES, PARTS, ROW_M, ROWS, Runway, WIDTH};
use core::f32::consts::TAU;

/// Where the middle of a part lies from the middle of its row, in rows.
fn off_middle(part: usize) -> f32 {
    (part as f32 + 0.5) / PARTS as f32 - 0.5
}

/// What lies under each ball in each part of the row, unless the lane is `BARE` there, and the slope's pull at its middle.
#[inline(always)]
pub(super) fn sample<const SLOPED: bool, const BARE: bool>(pack: &mut Pack, runway: &Runway, row: usize) {
    let floor = &pack.floor;
    let row = row.min(ROWS - 1);
    if !BARE {
        let (near, far) = (abreast(&floor.near), abreast(&floor.far));
        for i in 0..PAIRS {
            let step = -PER_NODE * ROW_M / PARTS as f32 * pack.vx.of(i) * pack.per_vy.of(i);
            for part in 0..PARTS {
                let share = floor.share.of(i) + step * (part as f32 - 0.5 * (PARTS - 1) as f32);
                let share = least(most(share, 0.0), 1.0);
                let (near, far) = (near[part].of(i), far[part].of(i));
                pack.coat[part].set(i, near + share * (far - near));
            }
        }
    }
    if SLOPED && let Pull::Nodes(pull) = &runway.pull {
        let pull: &[Slopes; NODES] = pull.as_slice().try_into().expect("slopes for every node");
        for i in 0..WIDTH {
            let node = (floor.node[i] as usize).min(NODES - 2);
            let (near, far) = (pull[node][row], pull[node + 1][row]);
            pack.pull_x[i] = near[0] + floor.share[i] * (far[0] - near[0]);
            pack.pull_y[i] = near[1] + floor.share[i] * (far[1] - near[1]);
        }
    }
}

/// Finds the film each track carries ahead of its contact in each part of this row: what was left there one revolution ago, as
/// far as the ring of then and the ring of now overlap.
#[inline(always)]
pub(super) fn recall<const SECOND: usize>(pack: &mut Pack, row: usize, k: &Constants) {
    let track = &mut pack.track;
    let last = ((row - SECOND) as f32 - 3.0).max(1.0) + SECOND as f32;
    let [p0, p1, p2, p3] = &track.parts[SECOND];
    let [p4, p5, p6, _] = &track.parts[SECOND + 1];
    for i in 0..PAIRS {
        let then_turned = track.rows[1][0].of(i);
        let per_turn = 1.0 / most(track.rows[2][0].of(i) - then_turned, LEAST_TURN);
        let t = ((pack.turned.of(i) - TAU - then_turned) * per_turn).rounded();
        let steps = (pack.turn.of(i) * per_turn).rounded();
        let then = track.whole_row.of(i) + t;
        track.then.set(i, then);
        track.steps.set(i, steps);
        // How far the ring has moved over, in stripes: the latitude about the axis of now, at four rows of then. That is the spin's
        // share along a place, less its share along the contact, over its share across the contact.
        let (spin, contact) = (pack.spin.of(i), pack.contact.of(i));
        let upright = dot(spin, contact);
        let scale = k.radius * k.per_stripe * per_root(most(dot(spin, spin) - upright * upright, 1e-6));
        let scale = scale.rounded();
        let place = |row: usize| [track.rows[row][1].of(i), track.rows[row][2].of(i), track.rows[row][3].of(i)];
        let latitude = |row: usize| ((dot(spin, place(row)) - upright) * scale).rounded();
        let latitude = cubic([latitude(0), latitude(1), latitude(2), latitude(3)]);
        // The axis turns within the row too. (The spin grows as well: that moves nothing, as what meets lies at no latitude.)
        let change = pack.spin_change.of(i);
        let level = dot(change, contact);
        let turning = |row: usize| ((dot(change, place(row)) - level) * scale).rounded();
        let turning = [turning(1), turning(2)];
        let ring = Ring { latitude, turning, t, steps };
        let age = most(row as f32 - then, 0.0) * ROW_M * pack.mean_per_vy.of(i);
        let kept = 1.0 - one_minus_exp(age * k.per_absorption);
        let film = [p0.of(i), p1.of(i), p2.of(i), p3.of(i), p4.of(i), p5.of(i), p6.of(i)];
        // (Parts are spelled out: a loop so long is not unrolled, and then none of it would be reckoned for many throws at once.)
        let moved = [ring.moved(0), ring.moved(1), ring.moved(2), ring.moved(3)];
        let middle = [overlap(moved[0]), overlap(moved[1]), overlap(moved[2]), overlap(moved[3])];
        let edge = [
            overlap(1.5 * moved[0] - 0.5 * moved[1]),
            overlap(0.5 * (moved[0] + moved[1])),
            overlap(0.5 * (moved[1] + moved[2])),
            overlap(0.5 * (moved[2] + moved[3])),
            overlap(1.5 * moved[3] - 0.5 * moved[2]),
        ];
        // In parts, were the ball turning as fast as then.
        let place = most(least(then, last), -0.5) * PARTS as f32 - (track.whole_part.of(i) + (SECOND * PARTS) as f32);
        let faster = (steps - 1.0) * PARTS as f32;
        let look = Look { then, steps, place, faster: faster.rounded(), kept, film };
        pack.before[0].set(i, look.before(0, [edge[0], middle[0], edge[1]]));
        pack.before[1].set(i, look.before(1, [edge[1], middle[1], edge[2]]));
        pack.before[2].set(i, look.before(2, [edge[2], middle[2], edge[3]]));
        pack.before[3].set(i, look.before(3, [edge[3], middle[3], edge[4]]));
    }
}

/// How the ring of then lies to the ring of now, along this row: its latitude, in stripes, by rows of then from `t`, and how the turning of the axis in
/// this row moves what lies a row on to both sides.
struct Ring {
    latitude: [Pair; 4],
    turning: [Pair; 2],
    t: Pair,
    steps: Pair,
}

impl Ring {
    /// How far it has moved over in the middle of this part, in stripes.
    #[inline(always)]
    fn moved(&self, part: usize) -> Pair {
        let ([p0, p1, p2, p3], [near, far]) = (self.latitude, self.turning);
        let off = off_middle(part);
        let u = self.t + self.steps * off;
        p0 + u * (p1 + u * (p2 + u * p3)) + off * (near + 0.5 * (self.t + u) * (far - near))
    }
}

/// How far two rings overlap that lie so far apart, in stripes.
#[inline(always)]
fn overlap(apart: impl Number) -> Pair {
    most(1.0 - apart.rounded().abs(), 0.0)
}

/// What was left on the track about a revolution ago, and where this row looks for it.
struct Look {
    then: Pair,
    steps: Pair,
    /// Part of then at the middle of this row, among those read, and how many more of them a row of now is worth than of then.
    place: Pair,
    faster: Pair,
    /// Share that has not been soaked up since.
    kept: Pair,
    film: [Pair; PARTS + 3],
}

impl Look {
    /// Film ahead of the contact in this part of the row, at whose start, middle and end the rings overlap by so much.
    #[inline(always)]
    fn before(&self, part: usize, [start, middle, end]: [Pair; 3]) -> Pair {
        // The first part to meet its own stripe stands for what of that stripe it covers.
        let past = (self.then + 0.5 + self.steps * off_middle(part)) * PARTS as f32 + 0.5;
        let met = (least(most(past, 0.0), 1.0) * self.kept).rounded();
        // A cubic: the film lies in short peaks, which straight lines would wear down a little each revolution.
        let u = least(most(self.place + self.faster * off_middle(part), -0.5), 1.5);
        let [p0, p1, p2, p3] = cubic([self.film[part], self.film[part + 1], self.film[part + 2], self.film[part + 3]]);
        let left = most(p0 + u * (p1 + u * (p2 + u * p3)), 0.0);
        // The mean of a product over the part: film and overlap both have their peak where the rings cross.
        let overlap = 0.5 * middle + 0.25 * (start + end);
        let rise = p1 + u * (2.0 * p2 + (3.0 * u).rounded() * p3);
        let together = ((1.0 / 12.0) * (end - start)).rounded();
        (met * most(overlap * left + together * rise, 0.0)).rounded()
    }
}

/// Writes where this row passed into the track's memory.
#[inline(always)]
pub(super) fn pass(pack: &mut Pack, row: usize) {
    let mut here = [[0.0; 4]; WIDTH];
    for i in 0..WIDTH {
        let [cx, cy, cz] = &pack.contact;
        here[i] = [pack.turned[i], cx[i], cy[i], cz[i]];
    }
    for i in 0..WIDTH {
        pack.track.passed[i][row] = here[i];
    }
}

/// Writes the film that this row left into the track's memory.
#[inline(always)]
pub(super) fn keep(pack: &mut Pack, row: usize) {
    let mut left = [[0.0; PARTS]; WIDTH];
    for i in 0..WIDTH {
        left[i] = [pack.laid[0][i], pack.laid[1][i], pack.laid[2][i], pack.laid[3][i]];
    }
    let at = BEFORE + row * PARTS;
    for i in 0..WIDTH {
        pack.track.film[i][at..at + PARTS].copy_from_slice(&left[i]);
    }
}
