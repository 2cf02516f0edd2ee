//! Whether two samples of racks can come from one chance: the test by which engines are compared, settled before its
//! results were seen.
//!
//! Twelve figures of an entry are compared: the share of strikes and the share in which each of ten pins stands, by
//! Fisher's exact test, and the mean of pins left, by Welch's, which is left out where all racks of a sample left the same:
//! it has no meaning there, and the exact tests cover the case. The entry agrees if none of the twelve has a chance below
//! 5% / 12 (Bonferroni): if the engines are alike, an entry is called different once in twenty. Entries are not
//! corrected for each other.
#![allow(dead_code)]

/// Chance below which one of an entry's figures counts as different.
pub const LEAST_CHANCE: f64 = 0.05 / 12.0;

/// Leaves of many racks.
#[derive(Clone, Debug)]
pub struct Sample(pub [u32; 1024]);

impl Default for Sample {
    fn default() -> Self {
        Self([0; 1024])
    }
}

impl Sample {
    pub fn add(&mut self, standing: u16) {
        self.0[usize::from(standing)] += 1;
    }

    pub fn racks(&self) -> u32 {
        self.0.iter().sum()
    }

    pub fn strikes(&self) -> u32 {
        self.0[0]
    }

    /// Racks in which a pin stands; pins from zero.
    pub fn standing(&self, pin: usize) -> u32 {
        self.0.iter().enumerate().filter(|(mask, _)| mask >> pin & 1 == 1).map(|(_, n)| n).sum()
    }

    /// Mean of pins left and its variance.
    pub fn left(&self) -> (f64, f64) {
        let moment = |power: i32| {
            let one = |(mask, &n): (usize, &u32)| f64::from(mask.count_ones()).powi(power) * f64::from(n);
            self.0.iter().enumerate().map(one).sum::<f64>() / f64::from(self.racks())
        };
        let mean = moment(1);
        (mean, (moment(2) - mean * mean).max(0.0))
    }
}

/// What the test says of one entry.
pub struct Verdict {
    /// Chance of so large a difference if there is none: strikes, pins left, each pin.
    pub strikes: f64,
    pub left: f64,
    pub pins: [f64; 10],
}

impl Verdict {
    pub fn of(a: &Sample, b: &Sample) -> Self {
        let (n, m) = (a.racks(), b.racks());
        let (left_a, left_b) = (a.left(), b.left());
        let error = (left_a.1 / f64::from(n) + left_b.1 / f64::from(m)).sqrt();
        let off = (left_a.0 - left_b.0).abs();
        Self {
            strikes: fisher(a.strikes(), n, b.strikes(), m),
            left: if left_a.1 == 0.0 || left_b.1 == 0.0 { 1.0 } else { two_tails(off / error) },
            pins: std::array::from_fn(|pin| fisher(a.standing(pin), n, b.standing(pin), m)),
        }
    }

    pub fn least(&self) -> f64 {
        self.pins.into_iter().fold(self.strikes.min(self.left), f64::min)
    }

    pub fn agrees(&self) -> bool {
        self.least() >= LEAST_CHANCE
    }
}

/// Chance that a standard normal figure is farther from nought: a continued fraction of Mills' ratio for large ones, the
/// series for small (Abramowitz and Stegun 26.2.10 and 26.2.14).
fn two_tails(z: f64) -> f64 {
    let density = (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt();
    if z > 3.0 {
        return 2.0 * density / (1..=60).rev().fold(z, |below, k| z + f64::from(k) / below);
    }
    let (mut term, mut sum) = (z, z);
    for k in 1..100 {
        term *= z * z / f64::from(2 * k + 1);
        sum += term;
    }
    1.0 - 2.0 * density * sum
}

/// Fisher's exact test of two shares, both tails: all tables as unlikely as the one found or more.
fn fisher(a: u32, of_a: u32, b: u32, of_b: u32) -> f64 {
    let mut logs = vec![0.0];
    for k in 1..=of_a + of_b {
        logs.push(logs[k as usize - 1] + f64::from(k).ln());
    }
    let choose = |n: u32, k: u32| logs[n as usize] - logs[k as usize] - logs[(n - k) as usize];
    let hits = a + b;
    let whole = choose(of_a + of_b, hits);
    let chance = |k: u32| (choose(of_a, k) + choose(of_b, hits - k) - whole).exp();
    let here = chance(a);
    (hits.saturating_sub(of_b)..=hits.min(of_a)).map(chance).filter(|&p| p <= here * (1.0 + 1e-9)).sum::<f64>().min(1.0)
}
