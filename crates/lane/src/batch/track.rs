//! The film on the track of each ball of a pack: what was left there one revolution ago.

use super::arithmetic::{cubic, dot, nearest, one_minus_exp, per_root};
use super::pack::{Constants, Pack};
use super::pair::{ByPair, Number, PAIRS, Pair, least, most};
use super::window::{Window, abreast};
use super::{Each, PARTS, ROW_M, ROWS, WIDTH};
use alloc::boxed::Box;
use alloc::vec;
use core::f32::consts::TAU;

/// What the track of each throw remembers, throw by throw and in each row by row: neighbours in time are neighbours in memory,
/// and are read four at once.
pub(super) struct Track {
    /// Angle turned and the contact in the core's frame, at the middle of each row.
    passed: Box<[[[f32; 4]; PASSED]; WIDTH]>,
    /// Film left in each part of each row, behind `BEFORE` parts of nothing.
    film: Box<[[f32; FILM]; WIDTH]>,
    /// The row in which the ball passed here a revolution ago (not whole, and less than nothing in the first revolution), and
    /// how many rows of then one row of now is worth.
    then: Each,
    steps: Each,
    /// The windows read: their slots, the whole rows and parts of those, and what is seen through them.
    passed_slot: [u32; WIDTH],
    film_slot: [u32; WIDTH],
    whole_row: Each,
    whole_part: Each,
    passed_seen: [Window; 4],
    film_seen: [Window; 3],
    /// The same side by side: angle turned and contact in four rows; twelve parts of film.
    rows: [[Each; 4]; 4],
    parts: [[Each; 4]; 3],
}

/// Room for a row behind the head pin and for the last window, in whole lines of the cache, an odd number of them: else every throw
/// would claim the same places in it.
const PASSED: usize = 4 * ((ROWS + 4) / 8 * 2 + 1);
const FILM: usize = 4 * PASSED;
const _: () = assert!(PASSED > ROWS + 3 && FILM > BEFORE + (ROWS + 1) * PARTS);
const BEFORE: usize = 4;
/// A ball that turns less in a row never meets its own track; it must not divide by nothing.
const LEAST_TURN: f32 = 1e-6;

/// Where the middle of a part lies from the middle of its row, in rows.
pub(super) fn off_middle(part: usize) -> f32 {
    (part as f32 + 0.5) / PARTS as f32 - 0.5
}

/// The same for each throw.
#[expect(clippy::unnecessary_box_returns, reason = "what stands for each throw is too large for the stack")]
fn for_each<T: Clone>(value: T) -> Box<[T; WIDTH]> {
    let all: Box<[T]> = vec![value; WIDTH].into_boxed_slice();
    all.try_into().unwrap_or_else(|_| unreachable!("as many as throws"))
}

impl Track {
    pub fn new() -> Self {
        const UNSEEN: Window = [[0.0; 4]; WIDTH];
        Self {
            passed: for_each([[0.0; 4]; PASSED]),
            film: for_each([0.0; FILM]),
            then: [0.0; WIDTH],
            steps: [1.0; WIDTH],
            passed_slot: [0; WIDTH],
            film_slot: [0; WIDTH],
            whole_row: [0.0; WIDTH],
            whole_part: [0.0; WIDTH],
            passed_seen: [UNSEEN; 4],
            film_seen: [UNSEEN; 3],
            rows: [[[0.0; WIDTH]; 4]; 4],
            parts: [[[0.0; WIDTH]; 4]; 3],
        }
    }

    /// Forgets everything; the balls turn by `turn` in the first row.
    pub fn clear(&mut self, turn: &Each) {
        for i in 0..WIDTH {
            // A ball that turns often in a row reads these before they are written; no throw may find what another left.
            self.film[i][..BEFORE + 4 * PARTS].fill(0.0);
            for row in 0..4 {
                self.passed[i][row] = [(row as f32 + 0.5) * turn[i], 0.0, 0.0, 1.0];
            }
        }
    }

    /// Whether one of the balls, now turned by so much and in a row by so much, will soon meet its track; if so, guesses where each
    /// would have met its own in the last row.
    pub fn meet(&mut self, turned: &Each, turn: &Each) -> bool {
        if (0..WIDTH).all(|i| turned[i] + 4.0 * turn[i] < TAU) {
            return false;
        }
        for i in 0..WIDTH {
            self.then[i] = (turned[i] - TAU) / turn[i].max(LEAST_TURN) - 1.5;
        }
        self.steps = [1.0; WIDTH];
        true
    }

    /// Chooses the rows and parts of the last revolution to look at for two rows, as many rows on as in the last row, and no later than
    /// those whose neighbours have all been written.
    #[inline(always)]
    pub fn choose(&mut self, row: usize) {
        let last = (row as f32 - 3.0).max(1.0);
        for i in 0..PAIRS {
            let expected = self.then.of(i) + self.steps.of(i);
            let (whole, bits) = nearest(least(most(expected, 1.0), last));
            self.whole_row.set(i, whole);
            self.passed_slot.set(i, bits.map(|row| row.wrapping_sub(1)));
            let part = most(least(expected, last), -0.5) * PARTS as f32;
            let (whole, bits) = nearest(part - 0.5);
            self.whole_part.set(i, whole);
            self.film_slot.set(i, bits.map(|part| part.wrapping_add(BEFORE as u32 - 1)));
        }
    }

    /// Reads them, for one throw.
    #[inline(always)]
    pub fn look(&mut self, i: usize) {
        let slot = (self.passed_slot[i] as usize).min(PASSED - 4);
        for (k, window) in self.passed_seen.iter_mut().enumerate() {
            window[i] = self.passed[i][slot + k];
        }
        let slot = (self.film_slot[i] as usize).min(FILM - 12);
        for (k, window) in self.film_seen.iter_mut().enumerate() {
            window[i].copy_from_slice(&self.film[i][slot + 4 * k..slot + 4 * k + 4]);
        }
    }
}

/// Sets what was read side by side.
#[inline(always)]
pub(super) fn turn_over(track: &mut Track) {
    for k in 0..4 {
        track.rows[k] = abreast(&track.passed_seen[k]);
    }
    for k in 0..3 {
        track.parts[k] = abreast(&track.film_seen[k]);
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
