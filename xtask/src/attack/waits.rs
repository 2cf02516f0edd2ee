//! How long something took, again and again.

use std::fmt;
use std::time::Duration;

/// Waits, in milliseconds.
#[derive(Default)]
pub struct Waits(Vec<f64>);

impl Waits {
    pub fn add(&mut self, took: Duration) {
        self.0.push(1e3 * took.as_secs_f64());
    }

    pub fn join(&mut self, other: Self) {
        self.0.extend(other.0);
    }

    /// So many of them took less.
    pub fn at(&self, share: f64) -> f64 {
        let mut all = self.0.clone();
        all.sort_by(f64::total_cmp);
        all.get((share * all.len().saturating_sub(1) as f64).round() as usize).copied().unwrap_or(f64::NAN)
    }
}

impl fmt::Display for Waits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [median, most, worst] = [0.5, 0.99, 1.0].map(|share| self.at(share));
        write!(f, "{} times: median {median:.0} ms, p99 {most:.0} ms, worst {worst:.0} ms", self.0.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_worst_of_a_hundred_is_above_all_others() {
        let mut waits = Waits::default();
        (1..=101).for_each(|ms| waits.add(Duration::from_millis(ms)));
        assert_eq!([0.0, 0.5, 1.0].map(|share| waits.at(share).round()), [1.0, 51.0, 101.0]);
    }
}
