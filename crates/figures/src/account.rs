//! Where pins were won and lost: bars to both sides of zero, each with a whisker of one standard error.

use crate::colour::Theme;
use crate::scene::{Anchor, Drawing, Scene, Type, fit};

const WIDTH: f64 = 360.0;
const ROW: f64 = 30.0;
const TOP: f64 = 40.0;
const LEFT: f64 = 130.0;
const RIGHT: f64 = 270.0;
/// A smaller amount is shown as zero.
const SHOWN: f64 = 0.05;

/// One of the reasons why pins were won or lost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share<'a> {
    /// Its name.
    pub label: &'a str,
    /// Pins won (+) or lost (−).
    pub points: f64,
    /// One standard error; 0 if it is not known, and then none is shown.
    pub doubt: f64,
}

/// Draws the shares and, below them, the total, all on one scale.
pub fn account_picture(shares: &[Share], total: Share, title: &str, theme: Theme) -> Drawing {
    let height = TOP + ROW * (shares.len() as f64 + 1.0) + 26.0;
    let mut scene = Scene::new(WIDTH, height, title, theme);
    let palette = scene.palette;
    let all = || shares.iter().chain([&total]).filter(|share| share.points.is_finite());
    let reach = all().map(|share| share.points.abs() + share.doubt.abs()).filter(|r| r.is_finite()).fold(1.0, f64::max);
    let middle = f64::midpoint(LEFT, RIGHT);
    let at = |points: f64| middle + (points / reach).clamp(-1.0, 1.0) * 0.5 * (RIGHT - LEFT);
    let end = TOP + ROW * (shares.len() as f64 + 1.0);
    let mut said = Vec::new();
    for (k, share) in shares.iter().chain([&total]).enumerate() {
        let last = k == shares.len();
        let y = TOP + ROW * k as f64;
        let colour = if last || share.points < 0.0 { palette.quiet } else { palette.accent };
        let (a, b) = (at(0.0).min(at(share.points)), at(0.0).max(at(share.points)));
        scene.rect(a, y + 8.0, b - a, 14.0, &format!("class=\"bar\" fill=\"{colour}\" fill-opacity=\"0.6\""));
        let ink = format!("class=\"doubt\" stroke=\"{}\" stroke-width=\"1.4\"", palette.ink);
        scene.line((at(share.points - share.doubt), y + 15.0), (at(share.points + share.doubt), y + 15.0), &ink);
        let name = Type { size: 11.0, colour: palette.ink, bold: last, anchor: Anchor::Start };
        scene.text(12.0, y + 19.0, &fit(share.label, 11.0, LEFT - 16.0), name);
        let words = words(*share);
        scene.text(WIDTH - 12.0, y + 19.0, &words, Type { anchor: Anchor::End, ..name });
        said.push(format!("{} {words}", share.label));
        if last {
            scene.line((12.0, y + 1.0), (WIDTH - 12.0, y + 1.0), &format!("stroke=\"{}\"", palette.grid));
        }
    }
    scene.line((middle, TOP), (middle, end), &format!("stroke=\"{}\" stroke-width=\"1\"", palette.ink));
    scene.note(middle - 6.0, end + 15.0, "lost", Anchor::End);
    scene.note(middle + 6.0, end + 15.0, "won", Anchor::Start);
    scene.note(WIDTH - 12.0, end + 15.0, "pins ± one error", Anchor::End);
    scene.says(format!("{title}, in pins: {}.", said.join("; ")));
    scene.finish()
}

/// Pins with their sign and doubt. Zero has no sign; an unknown doubt is left out.
fn words(share: Share) -> String {
    let sign = match share.points {
        points if points.abs() < SHOWN => "",
        ..0.0 => "−",
        _ => "+",
    };
    let pins = format!("{sign}{:.1}", share.points.abs());
    if share.doubt.abs() < SHOWN { pins } else { format!("{pins} ± {:.1}", share.doubt.abs()) }
}
