//! Numbers with the interval that holds them 19 times in 20: means, shares, slopes.

/// Of a normal deviate, 19 in 20 lie within so many standard deviations.
const WITHIN: f64 = 1.96;

/// A number with the interval that holds it 19 times in 20.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The number.
    pub value: f64,
    /// The ends of the interval; None where so few games tell none.
    pub between: Option<(f64, f64)>,
}

pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// How far games of one block lie apart, as a standard deviation taken from all blocks together, and its degrees of freedom.
pub(super) fn pooled(blocks: &[Vec<f64>]) -> Option<(f64, usize)> {
    let squares = |games: &Vec<f64>| {
        let middle = mean(games);
        games.iter().map(|score| (score - middle).powi(2)).sum::<f64>()
    };
    let sum: f64 = blocks.iter().filter(|games| !games.is_empty()).map(squares).sum();
    let degrees: usize = blocks.iter().map(|games| games.len().saturating_sub(1)).sum();
    (degrees > 0).then(|| ((sum / degrees as f64).sqrt(), degrees))
}

pub(super) fn average(games: &[f64], pooled: Option<(f64, usize)>) -> Option<Interval> {
    if games.is_empty() {
        return None;
    }
    let value = mean(games);
    let between = pooled.map(|(sd, degrees)| {
        let off = student(degrees) * sd / (games.len() as f64).sqrt();
        (value - off, value + off)
    });
    Some(Interval { value, between })
}

/// A share in percent with Wilson's interval, which stays between 0 and 100 also for few tries (Wilson 1927).
pub(super) fn share(part: usize, of: usize) -> Option<Interval> {
    if of == 0 {
        return None;
    }
    let (n, p) = (of as f64, part as f64 / of as f64);
    let z2 = WITHIN * WITHIN;
    let middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let off = WITHIN / (1.0 + z2 / n) * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    let between = (100.0 * (middle - off).max(0.0), 100.0 * (middle + off).min(1.0));
    Some(Interval { value: 100.0 * p, between: Some(between) })
}

/// A straight line through values one step apart, by least squares: its slope, and the interval that holds it 19 times in 20.
pub(super) fn slope(values: &[f64]) -> Option<(f64, (f64, f64))> {
    let n = values.len();
    if n < 3 {
        return None;
    }
    let (middle, at) = (mean(values), (n as f64 - 1.0) / 2.0);
    let across: f64 = (0..n).map(|k| (k as f64 - at).powi(2)).sum();
    let slope = (0..n).map(|k| (k as f64 - at) * (values[k] - middle)).sum::<f64>() / across;
    let left: f64 = (0..n).map(|k| (values[k] - middle - slope * (k as f64 - at)).powi(2)).sum();
    let off = student(n - 2) * (left / (n as f64 - 2.0) / across).sqrt();
    Some((slope, (slope - off, slope + off)))
}

/// Student's t: 19 in 20 lie within so many standard errors. Standard table up to 30 degrees (from memory, checked in the tests
/// against the series of its distribution); beyond them two terms of its expansion about
/// the normal (Abramowitz and Stegun 26.7.5).
fn student(degrees: usize) -> f64 {
    const TABLE: [f64; 30] = [
        12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160, 2.145, 2.131,
        2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042,
    ];
    let beyond = |degrees: usize| {
        let (z, n) = (WITHIN, degrees as f64);
        z + (z.powi(3) + z) / (4.0 * n) + (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / (96.0 * n * n)
    };
    degrees.checked_sub(1).and_then(|k| TABLE.get(k).copied()).unwrap_or_else(|| beyond(degrees.max(1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How often Student's t lies within ± t, for a whole number of degrees: Abramowitz and Stegun 26.7.3 and 26.7.4.
    fn held(t: f64, degrees: usize) -> f64 {
        let n = degrees as f64;
        let angle = (t / n.sqrt()).atan();
        let (sine, cosine) = angle.sin_cos();
        let odd = degrees % 2 == 1;
        let (mut term, mut sum) = if odd { (cosine, cosine) } else { (1.0, 1.0) };
        let mut k = if odd { 3.0 } else { 2.0 };
        while k < n - 0.5 {
            term *= (k - 1.0) / k * cosine * cosine;
            sum += term;
            k += 2.0;
        }
        match (odd, degrees) {
            (true, 1) => 2.0 / core::f64::consts::PI * angle,
            (true, _) => 2.0 / core::f64::consts::PI * (angle + sine * sum),
            (false, _) => sine * sum,
        }
    }

    #[test]
    fn truth_students_t_holds_nineteen_in_twenty() {
        for degrees in 1..=120 {
            let share = held(student(degrees), degrees);
            assert!((share - 0.95).abs() < 2e-4, "{degrees}: {share}");
        }
    }

    #[test]
    fn truth_a_line_has_the_slope_and_interval_worked_by_hand() {
        // By hand: values 1, 3, 2, 4; slope 0.8, squares left 1.8, standard error sqrt(0.9 / 5), t 4.303 for two degrees.
        let (slope, (low, high)) = slope(&[1.0, 3.0, 2.0, 4.0]).unwrap();
        let off = 4.303 * (0.9_f64 / 5.0).sqrt();
        assert!((slope - 0.8).abs() < 1e-12 && (high - slope - off).abs() < 1e-9 && (slope - low - off).abs() < 1e-9);
    }

    #[test]
    fn truth_wilsons_interval_is_as_worked_by_hand() {
        // 8 of 10: middle (0.8 + 0.19208) / 1.38416, off 1.96 / 1.38416 * sqrt(0.016 + 0.009604).
        let told = share(8, 10).unwrap();
        let (low, high) = told.between.unwrap();
        assert!((low - 49.02).abs() < 0.02 && (high - 94.33).abs() < 0.02, "{low} {high}");
        assert_eq!(share(0, 0), None);
        let (low, _) = share(0, 5).unwrap().between.unwrap();
        assert!(low.abs() < 1e-9);
    }
}
