//! Blocks of a season beside each other: a number of each with its interval. No line joins them, since that would claim a trend.

use crate::colour::Theme;
use crate::scale::{Rise, ticks_between};
use crate::scene::{Anchor, Drawing, Scene, Type};

const WIDTH: f64 = 320.0;
const HEIGHT: f64 = 176.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = 308.0;
const TOP: f64 = 40.0;
const FOOT: f64 = 146.0;
/// Text as large as the picture is shown at its own size.
const SIZE: f64 = 12.5;
/// Room that a label below the axis needs.
const LABEL: f64 = 46.0;

/// A block of a season.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeasonPoint<'a> {
    /// Its day in short.
    pub label: &'a str,
    /// Its number; None where it has none.
    pub value: Option<f64>,
    /// The interval that holds it; None where it is not known.
    pub between: Option<(f64, f64)>,
    /// Whether this is the block that the page is about.
    pub shown: bool,
}

/// Draws one measure of a season; `decimals` is how closely its numbers are written in words.
pub fn season_picture(points: &[SeasonPoint], title: &str, unit: &str, decimals: usize, theme: Theme) -> Drawing {
    let mut scene = Scene::bare(WIDTH, HEIGHT, title, theme);
    let palette = scene.palette;
    let words = |colour, bold, anchor| Type { size: SIZE, colour, bold, anchor };
    scene.text(0.0, 14.0, title, words(palette.ink, true, Anchor::Start));
    scene.text(WIDTH, 14.0, unit, words(palette.quiet, false, Anchor::End));
    let ends = || {
        let known = |point: &SeasonPoint| {
            let value = point.value.filter(|value| value.is_finite())?;
            let (low, high) = point.between.unwrap_or((value, value));
            Some([value, low, high])
        };
        points.iter().filter_map(known).flatten().filter(|value| value.is_finite())
    };
    let (low, high) = ends().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), value| (a.min(value), b.max(value)));
    if low > high {
        scene.text(
            LEFT,
            0.5 * (TOP + FOOT),
            "nothing logged that tells it",
            words(palette.quiet, false, Anchor::Start),
        );
        return scene.finish();
    }
    let room = (0.06 * (high - low)).max(0.5);
    let rise = Rise { low: low - room, high: high + room, bottom: FOOT, height: FOOT - TOP };
    for tick in ticks_between(rise.low, rise.high, 4.0) {
        let y = rise.at(tick);
        scene.line((LEFT, y), (RIGHT, y), &format!("stroke=\"{}\" stroke-width=\"1\"", palette.grid));
        scene.text(LEFT - 6.0, y + 4.0, &crate::scene::number(tick), words(palette.quiet, false, Anchor::End));
    }
    let step = (RIGHT - LEFT) / points.len().max(1) as f64;
    let across = |k: usize| LEFT + step * (k as f64 + 0.5);
    let every = (LABEL / step).ceil().max(1.0) as usize;
    let mut said = Vec::new();
    for (k, point) in points.iter().enumerate() {
        let x = across(k);
        // The newest is always named; the others as far from it as their words need.
        if (points.len() - 1 - k).is_multiple_of(every) {
            let colour = if point.shown { palette.ink } else { palette.quiet };
            scene.text(x, FOOT + 20.0, point.label, words(colour, point.shown, Anchor::Middle));
        }
        let Some(value) = point.value.filter(|value| value.is_finite()) else { continue };
        let colour = if point.shown { palette.accent } else { palette.quiet };
        if let Some((low, high)) = point.between.filter(|(low, high)| low.is_finite() && high.is_finite()) {
            let look = format!("class=\"between\" stroke=\"{colour}\" stroke-width=\"2\"");
            scene.line((x, rise.at(low)), (x, rise.at(high)), &look);
        }
        let radius = if point.shown { 5.5 } else { 4.0 };
        scene.circle(x, rise.at(value), radius, &format!("class=\"block\" fill=\"{colour}\""));
        said.push(format!("{} {value:.decimals$}", point.label));
    }
    scene.line((LEFT, FOOT), (RIGHT, FOOT), &format!("stroke=\"{}\" stroke-width=\"1\"", palette.ink));
    scene.says(format!("{title}, {unit}, block by block: {}.", said.join("; ")));
    scene.finish()
}
