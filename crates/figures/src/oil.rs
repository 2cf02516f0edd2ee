//! Oil or friction on the lane, as coloured cells with their scale.

use crate::colour::{self, Theme};
use crate::scene::number;
use boardwise_lane::{Coat, Coating, Ground, Lane};
use boardwise_units::{Board, Feet, OilUnits, court};

/// Steps of colour: fine enough to look smooth, few enough to merge into runs.
pub(crate) const STEPS: usize = 16;
/// The look of oil in a picture: muted, so that what lies on it stays readable.
pub(crate) const OIL_LOOK: &str = "opacity=\"0.72\" shape-rendering=\"crispEdges\"";

/// Film or friction averaged over a board and a foot, row after row from the foul line.
pub(crate) struct Cells {
    pub values: Vec<[f64; court::BOARDS]>,
    /// The end of the scale.
    pub most: f64,
    /// What the scale counts.
    pub counts: &'static str,
}

impl Cells {
    pub fn of(lane: &Lane) -> Self {
        Self::of_scale(lane, None)
    }

    /// As [`Cells::of`], on a scale that ends elsewhere: that of another lane beside it.
    pub fn of_scale(lane: &Lane, most: Option<f64>) -> Self {
        let value = |coat| match coat {
            Coat::Oil(thickness_m) => OilUnits::from_metres(thickness_m).0,
            Coat::Friction(mu) => mu,
        };
        let values: Vec<[f64; court::BOARDS]> = (0..60)
            .map(|foot| {
                let feet = Feet(f64::from(foot) + 0.5);
                match lane.film() {
                    Some(film) => film.boards_at(feet).map(|units| units.0),
                    None => {
                        std::array::from_fn(|k| value(lane.coat(Board((k + 1) as f64).to_metres(), feet.to_metres())))
                    }
                }
            })
            .collect();
        let own = || round_up(values.iter().flatten().copied().fold(0.0, f64::max));
        let most = most.unwrap_or_else(own);
        let counts = match lane.coating {
            Coating::Oil(_) => "oil, units",
            Coating::Friction(_) | Coating::Step { .. } => "friction",
        };
        Self { values, most, counts }
    }

    /// One path of rectangles per step of colour, with the colour's share of the scale. `place` turns a board and feet
    /// into a place of the picture.
    pub fn paths(&self, place: impl Fn(f64, f64) -> (f64, f64)) -> Vec<(f64, String)> {
        let paths = runs(&self.values, STEPS, |value| self.step(value), place);
        let share = |step: usize| (step as f64 + 0.5) / STEPS as f64;
        paths.into_iter().map(|(step, d)| (share(step), d)).collect()
    }

    /// The step of a value; `None` where the lane is nearly bare.
    fn step(&self, value: f64) -> Option<usize> {
        let share = value / self.most;
        (share > 0.01).then(|| ((share * STEPS as f64) as usize).min(STEPS - 1))
    }
}

/// Rectangles over neighbouring boards of the same step, as one path a step; steps without any are left out.
pub(crate) fn runs(
    rows: &[[f64; court::BOARDS]],
    steps: usize,
    step_of: impl Fn(f64) -> Option<usize>,
    place: impl Fn(f64, f64) -> (f64, f64),
) -> Vec<(usize, String)> {
    let mut paths = vec![String::new(); steps];
    for (row, values) in rows.iter().enumerate() {
        let mut from = 0;
        while from < values.len() {
            let step = step_of(values[from]);
            let mut to = from + 1;
            while to < values.len() && step_of(values[to]) == step {
                to += 1;
            }
            if let Some(step) = step {
                let from = place(from as f64 + 0.5, row as f64);
                let to = place(to as f64 + 0.5, row as f64 + 1.0);
                paths[step].push_str(&block(from, to));
            }
            from = to;
        }
    }
    paths.into_iter().enumerate().filter(|(_, d)| !d.is_empty()).collect()
}

/// A rectangle between two corners as path data. Corners are absolute, so that neighbours meet after rounding.
pub(crate) fn block((x, y): (f64, f64), (to_x, to_y): (f64, f64)) -> String {
    let (x, y, to_x, to_y) = (number(x), number(y), number(to_x), number(to_y));
    format!("M{x} {y}H{to_x}V{to_y}H{x}z")
}

/// The next round number: 1, 1.5, 2, 3, 4, 5, 6 or 8 times a power of ten.
pub(crate) fn round_up(value: f64) -> f64 {
    if !(value > 0.0 && value.is_finite()) {
        return 1.0;
    }
    let power = 10f64.powf(value.log10().floor());
    let steps = [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
    let found = steps.into_iter().find(|step| step * power >= value * (1.0 - 1e-9));
    found.unwrap_or(10.0) * power
}

/// The colour of a value between nothing and the scale's end, in the same steps as the cells.
pub(crate) fn stepped(theme: Theme, share: f64) -> String {
    let step = ((share.clamp(0.0, 1.0) * STEPS as f64) as usize).min(STEPS - 1);
    colour::oil(theme, (step as f64 + 0.5) / STEPS as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_scales_end_at_or_just_above_the_most() {
        for k in 1..400 {
            let value = f64::from(k) * 0.37;
            let end = round_up(value);
            assert!(end >= value * (1.0 - 1e-9) && end <= value * 1.51, "{value}: {end}");
        }
        assert_eq!(round_up(0.0), 1.0);
        assert_eq!(round_up(f64::NAN), 1.0);
        assert_eq!(round_up(60.0), 60.0);
    }
}
