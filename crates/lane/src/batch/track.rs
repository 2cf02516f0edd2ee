//! The film on the track of each ball of a pack: what was left there one revolution ago.

use super::arithmetic::nearest;
use super::pair::{ByPair, PAIRS, least, most};
use super::window::{Window, abreast};
use super::{Each, PARTS, ROWS, WIDTH};
use alloc::boxed::Box;
use alloc::vec;
use core::f32::consts::TAU;

/// What the track of each throw remembers, throw by throw and in each row by row: neighbours in time are neighbours in memory,
/// and are read four at once.
pub(super) struct Track {
    /// Angle turned and the contact in the core's frame, at the middle of each row.
    pub passed: Box<[[[f32; 4]; PASSED]; WIDTH]>,
    /// Film left in each part of each row, behind `BEFORE` parts of nothing.
    pub film: Box<[[f32; FILM]; WIDTH]>,
    /// The row in which the ball passed here a revolution ago (not whole, and less than nothing in the first revolution), and
    /// how many rows of then one row of now is worth.
    pub then: Each,
    pub steps: Each,
    /// The windows read: their slots, the whole rows and parts of those, and what is seen through them.
    passed_slot: [u32; WIDTH],
    film_slot: [u32; WIDTH],
    pub whole_row: Each,
    pub whole_part: Each,
    passed_seen: [Window; 4],
    film_seen: [Window; 3],
    /// The same side by side: angle turned and contact in four rows; twelve parts of film.
    pub rows: [[Each; 4]; 4],
    pub parts: [[Each; 4]; 3],
}

/// Room for a row behind the head pin and for the last window, in whole lines of the cache, an odd number of them: else every throw
/// would claim the same places in it.
const PASSED: usize = 4 * ((ROWS + 4) / 8 * 2 + 1);
const FILM: usize = 4 * PASSED;
const _: () = assert!(PASSED > ROWS + 3 && FILM > BEFORE + (ROWS + 1) * PARTS);
/// Parts of nothing before the first row.
pub(super) const BEFORE: usize = 4;
/// A ball that turns less in a row never meets its own track; it must not divide by nothing.
pub(super) const LEAST_TURN: f32 = 1e-6;

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
