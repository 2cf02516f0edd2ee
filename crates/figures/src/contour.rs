//! Lines of equal value on a grid.

/// Segments along which a grid of values, row after row, crosses a level; places in columns and rows.
pub(crate) fn segments(values: &[f64], columns: usize, level: f64) -> Vec<[(f64, f64); 2]> {
    let mut found = Vec::new();
    if columns < 2 {
        return found;
    }
    let rows = values.len() / columns;
    let at = |column: usize, row: usize| values[row * columns + column];
    for row in 0..rows.saturating_sub(1) {
        for column in 0..columns - 1 {
            let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(c, r)| (column + c, row + r));
            let mut cuts: Vec<(f64, f64)> = Vec::with_capacity(4);
            for k in 0..4 {
                let (a, b) = (corners[k], corners[(k + 1) % 4]);
                let (from, to) = (at(a.0, a.1), at(b.0, b.1));
                if (from >= level) != (to >= level) {
                    let part = (level - from) / (to - from);
                    let mix = |a: usize, b: usize| a as f64 + (b as f64 - a as f64) * part;
                    cuts.push((mix(a.0, b.0), mix(a.1, b.1)));
                }
            }
            match cuts[..] {
                [a, b] => found.push([a, b]),
                // A saddle: the middle decides which corners belong together.
                [a, b, c, d] => {
                    let middle = 0.25 * corners.iter().map(|&(c, r)| at(c, r)).sum::<f64>();
                    let first_inside = at(corners[0].0, corners[0].1) >= level;
                    if (middle >= level) == first_inside {
                        found.extend([[a, b], [c, d]]);
                    } else {
                        found.extend([[a, d], [b, c]]);
                    }
                }
                _ => {}
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_cone_is_cut_in_circles() {
        let values: Vec<f64> =
            (0..41 * 41).map(|k| (f64::from(k % 41) - 20.0).hypot(f64::from(k / 41) - 20.0)).collect();
        let ring = segments(&values, 41, 10.5);
        let mut length = 0.0;
        for [a, b] in &ring {
            assert!(((a.0 - 20.0).hypot(a.1 - 20.0) - 10.5).abs() < 0.05);
            length += (a.0 - b.0).hypot(a.1 - b.1);
        }
        assert!((length / (std::f64::consts::TAU * 10.5) - 1.0).abs() < 0.01);
        assert_eq!(segments(&values, 41, 99.0).len(), 0);
    }

    #[test]
    fn law_a_saddle_joins_what_the_middle_joins() {
        // High corners at 0 and 2, high in the middle: the cuts keep the low corners apart.
        let high = segments(&[1.0, 0.0, 0.0, 1.0], 2, 0.4);
        let low = segments(&[1.0, 0.0, 0.0, 1.0], 2, 0.6);
        let around = |[a, b]: [(f64, f64); 2], c: (f64, f64)| {
            (a.0 - c.0).hypot(a.1 - c.1) < 0.7 && (b.0 - c.0).hypot(b.1 - c.1) < 0.7
        };
        assert!(high.iter().any(|&s| around(s, (1.0, 0.0))) && high.iter().any(|&s| around(s, (0.0, 1.0))));
        assert!(low.iter().any(|&s| around(s, (0.0, 0.0))) && low.iter().any(|&s| around(s, (1.0, 1.0))));
    }
}
