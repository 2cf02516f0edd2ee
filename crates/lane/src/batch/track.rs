//! The film on the track of each ball of a pack: the last revolution only.

use super::arithmetic::{least, most, nearest};
use super::pack::{Constants, Pack};
use super::{MEMORY, WIDTH};
use measure::math::sqrt_f32 as sqrt;

/// Finds the film each track carries ahead of its contact: what was left there one revolution ago, as far as the ring of
/// then and the ring of now overlap.
#[inline(always)]
pub(super) fn recall(pack: &mut Pack, index: usize, k: &Constants) {
    const TURN: f32 = core::f32::consts::TAU;
    let m = &pack.memory;
    let longest = least(index as f32, (MEMORY - 3) as f32);
    let slot = |bits: u32| (index as u32).wrapping_sub(bits & (MEMORY as u32 - 1)) & (MEMORY as u32 - 1);
    let (mut guess, mut slots, mut then) = ([0.0f32; WIDTH], [0u32; WIDTH], [0.0f32; WIDTH]);
    for i in 0..WIDTH {
        let (rows, bits) = nearest(least(most(TURN / most(pack.turn[i], 1e-6), 1.0), longest));
        (guess[i], slots[i]) = (rows, slot(bits));
    }
    for i in 0..WIDTH {
        then[i] = m.turned[(slots[i] as usize & (MEMORY - 1)) * WIDTH + i];
    }
    let mut shares = [0.0f32; WIDTH];
    for i in 0..WIDTH {
        // The ball turned a little slower then: one secant step, to a fraction of a row.
        let since = most(pack.turned[i] - then[i], 1e-6);
        let rows = least(most(guess[i] * TURN / since, 1.0), longest);
        let (whole, bits) = nearest(rows - 0.5);
        (slots[i], shares[i]) = (slot(bits), rows - whole);
    }
    let mut when = [0.0f32; WIDTH];
    let (mut lx, mut ly, mut lz, mut film) = ([0.0f32; WIDTH], [0.0f32; WIDTH], [0.0f32; WIDTH], [0.0f32; WIDTH]);
    for i in 0..WIDTH {
        let back = |rows: usize| ((slots[i] as usize).wrapping_sub(rows) & (MEMORY - 1)) * WIDTH + i;
        let (near, far) = (back(0), back(1));
        let between = |values: &[f32; MEMORY * WIDTH]| values[near] + shares[i] * (values[far] - values[near]);
        (lx[i], ly[i], lz[i], when[i]) = (between(&m.cx), between(&m.cy), between(&m.cz), between(&m.time));
        // A cubic for the film: it lies in short peaks, which straight lines would wear down a little each revolution.
        let (p, q, r, s) = (m.film[back(usize::MAX)], m.film[near], m.film[far], m.film[back(2)]);
        let t = shares[i];
        let cubic = q + 0.5 * t * (r - p + t * (2.0 * p - 5.0 * q + 4.0 * r - s + t * (3.0 * (q - r) + s - p)));
        film[i] = most(cubic, 0.0);
    }
    for i in 0..WIDTH {
        let (cx, cy, cz) = (pack.cx[i], pack.cy[i], pack.cz[i]);
        let (ax, ay, az) = (pack.ax[i], pack.ay[i], pack.az[i]);
        let slant = ax * cx + ay * cy + az * cz;
        let ring = sqrt(most(1.0 - slant * slant, 1e-12));
        let moved = ax * lx[i] + ay * ly[i] + az * lz[i] - slant;
        let shift = k.radius * moved.abs() / ring;
        let overlap = most(1.0 - shift * k.per_stripe, 0.0);
        // exp(−age/τ), where a revolution is far shorter than τ.
        let turned = pack.turned[i];
        let age = (pack.time[i] - when[i]) * k.per_absorption;
        let kept = 1.0 / (1.0 + age * (1.0 + age * (0.5 + age * (1.0 / 6.0))));
        // The first row to meet its own stripe stands for what of that stripe lies before its middle.
        let past = (turned - TURN) / most(pack.turn[i], 1e-6);
        let met = if past < 0.0 {
            0.0
        } else if past < 1.0 {
            0.5 + past
        } else {
            1.0
        };
        let remembered = TURN < 0.9 * pack.turn[i] * (MEMORY - 2) as f32;
        pack.before[i] = if remembered { met * overlap * film[i] * kept } else { 0.0 };
    }
}

/// Writes this row into the track's memory.
#[inline(always)]
pub(super) fn remember(pack: &mut Pack, index: usize) {
    let at = (index & (MEMORY - 1)) * WIDTH;
    let m = &mut pack.memory;
    m.turned[at..at + WIDTH].copy_from_slice(&pack.turned);
    m.time[at..at + WIDTH].copy_from_slice(&pack.time);
    m.cx[at..at + WIDTH].copy_from_slice(&pack.cx);
    m.cy[at..at + WIDTH].copy_from_slice(&pack.cy);
    m.cz[at..at + WIDTH].copy_from_slice(&pack.cz);
    m.film[at..at + WIDTH].copy_from_slice(&pack.laid);
}
