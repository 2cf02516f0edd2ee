//! One search: from its own start to constants within the errors of the published shares.
//!
//! Racks thrown at random about the place where it stands say how each share answers to each knob (a weighted linear
//! regression with a ridge). A step makes the misfits small and stays near the start, so that what the shares do not
//! decide stays where the start put it.

use crate::knobs::{FITTED, KNOBS, Point, Shares, misfits, setting, start};
use boardwise_units::stream::Stream;

const K: usize = KNOBS.len();
const ROUNDS: u64 = 4;
const BROOD: u64 = 28;
/// How far about the place racks are thrown, in widths of the knobs.
const ABOUT: f64 = 0.5;
/// Racks for one of a brood, for a closer look, and to confirm.
const FEW: u64 = 2500;
const MANY: u64 = 40_000;
const CONFIRM: u64 = 60_000;
const LOOKS: u64 = 5;
/// Weight of a squared width from the start against a squared error, and the longest step, in widths.
const HOMESICK: f64 = 0.2;
const STRIDE: f64 = 0.8;
/// The looks must fit within this share of the errors before racks that nobody saw confirm it.
const CLOSE: f64 = 0.6;

/// Where a search ended, and its misfits in errors, in racks that it had not seen before.
pub struct End {
    pub at: Point,
    pub misfits: [f64; FITTED.len()],
}

impl End {
    pub fn fits(&self) -> bool {
        self.misfits.iter().all(|y| y.abs() <= 1.0)
    }
}

struct Seen {
    at: Point,
    misfits: [f64; FITTED.len()],
}

type Slopes = [[f64; K]; FITTED.len()];

/// Searches; the same seed ends at the same place. If nothing was confirmed, the last place looked at.
pub fn search(seed: u64) -> End {
    let home = start(seed);
    let (mut here, mut seen, mut slopes) = (home, Vec::new(), [[0.0; K]; FITTED.len()]);
    for round in 0..ROUNDS {
        for child in 0..BROOD {
            let mut draw = Stream::keyed(64, "search", seed << 16 | round << 8 | child);
            let at: Point = here.map(|x| x + ABOUT * draw.normal());
            let shares = Shares::thrown(&setting(&at), seed << 8 | round, FEW);
            seen.push(Seen { at, misfits: misfits(&shares) });
        }
        let level;
        (level, slopes) = regress(&seen, &here);
        here = stepped(&here, &home, &level, &slopes);
    }
    // From here on only the level is put right: mean of all looks, carried to the place by the slopes.
    let mut looks: Vec<Seen> = Vec::new();
    for look in 0..LOOKS {
        looks
            .push(Seen { at: here, misfits: misfits(&Shares::thrown(&setting(&here), seed << 8 | (16 + look), MANY)) });
        here = stepped(&here, &home, &carried(&looks, &here, &slopes), &slopes);
        if looks.len() > 1 && carried(&looks, &here, &slopes).iter().all(|y| y.abs() <= CLOSE) {
            let fresh = misfits(&Shares::thrown(&setting(&here), seed << 8 | (32 + look), CONFIRM));
            let end = End { at: here, misfits: fresh };
            if end.fits() {
                return end;
            }
            looks.push(Seen { at: here, misfits: fresh });
        }
    }
    End { at: here, misfits: carried(&looks, &here, &slopes) }
}

/// Misfits at a place from looks at others.
fn carried(looks: &[Seen], here: &Point, slopes: &Slopes) -> [f64; FITTED.len()] {
    std::array::from_fn(|row| {
        let at_here =
            |look: &Seen| look.misfits[row] + (0..K).map(|k| slopes[row][k] * (here[k] - look.at[k])).sum::<f64>();
        looks.iter().map(at_here).sum::<f64>() / looks.len() as f64
    })
}

/// Misfits at a place and how they change with each knob; places farther away count less.
fn regress(seen: &[Seen], here: &Point) -> ([f64; FITTED.len()], Slopes) {
    const RIDGE: f64 = 0.5;
    let (mut levels, mut slopes) = ([0.0; FITTED.len()], [[0.0; K]; FITTED.len()]);
    for row in 0..FITTED.len() {
        let (mut matrix, mut right) = (vec![vec![0.0; K + 1]; K + 1], vec![0.0; K + 1]);
        for (k, line) in matrix.iter_mut().enumerate().skip(1) {
            line[k] = RIDGE;
        }
        for one in seen {
            let mut x = [1.0; K + 1];
            let mut far = 0.0;
            for k in 0..K {
                x[k + 1] = one.at[k] - here[k];
                far += x[k + 1] * x[k + 1];
            }
            let weight = 1.0 / (1.0 + far / (K as f64 * ABOUT * ABOUT));
            for i in 0..=K {
                right[i] += weight * x[i] * one.misfits[row];
                for j in 0..=K {
                    matrix[i][j] += weight * x[i] * x[j];
                }
            }
        }
        let found = solved(matrix, right);
        levels[row] = found[0];
        slopes[row].copy_from_slice(&found[1..]);
    }
    (levels, slopes)
}

/// The place that makes the sum of squared misfits and of the way from home least, or as far toward it as a stride goes.
fn stepped(here: &Point, home: &Point, level: &[f64; FITTED.len()], slopes: &Slopes) -> Point {
    let (mut matrix, mut right) = (vec![vec![0.0; K]; K], vec![0.0; K]);
    for i in 0..K {
        matrix[i][i] = HOMESICK;
        right[i] = HOMESICK * (home[i] - here[i]);
        for row in 0..FITTED.len() {
            right[i] -= slopes[row][i] * level[row];
            for j in 0..K {
                matrix[i][j] += slopes[row][i] * slopes[row][j];
            }
        }
    }
    let step = solved(matrix, right);
    std::array::from_fn(|k| here[k] + step[k].clamp(-STRIDE, STRIDE))
}

/// Solves a symmetric positive definite system by elimination.
fn solved(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let n = right.len();
    for i in 0..n {
        for j in i + 1..n {
            let factor = matrix[j][i] / matrix[i][i];
            let above = matrix[i].clone();
            for (value, known) in matrix[j].iter_mut().zip(above).skip(i) {
                *value -= factor * known;
            }
            right[j] -= factor * right[i];
        }
    }
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| matrix[i][k] * right[k]).sum();
        right[i] = (right[i] - known) / matrix[i][i];
    }
    right
}
