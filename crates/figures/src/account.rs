//! Where pins were won and lost: bars to both sides of zero, each on the band that chance alone makes, with a whisker of its doubt.

use crate::colour::Theme;
use crate::scene::{Anchor, Drawing, Scene, Type, fit};

const WIDTH: f64 = 360.0;
const ROW: f64 = 34.0;
const TOP: f64 = 12.0;
const LEFT: f64 = 104.0;
const RIGHT: f64 = 260.0;
/// Text as large as the picture is shown at its own size.
const SIZE: f64 = 13.0;
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
    /// How far chance alone moves it, as a standard deviation; 0 if that is not known, and then none is shown.
    pub chance: f64,
    /// Whether it is more than doubt and chance make: its bar is full then.
    pub stands_out: bool,
}

/// Draws the shares and, below them, the total, all on one scale.
pub fn account_picture(shares: &[Share], total: Share, title: &str, theme: Theme) -> Drawing {
    let foot = TOP + ROW * (shares.len() as f64 + 1.0);
    let height = foot + 44.0;
    let mut scene = Scene::bare(WIDTH, height, title, theme);
    let palette = scene.palette;
    let all = || shares.iter().chain([&total]).filter(|share| share.points.is_finite());
    let far = |share: &Share| (share.points.abs() + share.doubt.abs()).max(share.chance.abs());
    let reach = all().map(far).filter(|far| far.is_finite()).fold(1.0, f64::max);
    let middle = f64::midpoint(LEFT, RIGHT);
    let at = |points: f64| middle + (points / reach).clamp(-1.0, 1.0) * 0.5 * (RIGHT - LEFT);
    let mut said = Vec::new();
    for (k, share) in shares.iter().chain([&total]).enumerate() {
        let last = k == shares.len();
        let y = TOP + ROW * k as f64;
        if share.chance.abs() >= SHOWN {
            let (a, b) = (at(-share.chance.abs()), at(share.chance.abs()));
            let look = format!("class=\"chance\" fill=\"{}\" fill-opacity=\"0.7\"", palette.grid);
            scene.rect(a, y + 4.0, b - a, ROW - 8.0, &look);
        }
        let colour = if last || !share.stands_out { palette.quiet } else { palette.accent };
        let (a, b) = (at(0.0).min(at(share.points)), at(0.0).max(at(share.points)));
        let full = if share.stands_out || last { "0.95" } else { "0.55" };
        scene.rect(a, y + 10.0, b - a, 14.0, &format!("class=\"bar\" fill=\"{colour}\" fill-opacity=\"{full}\""));
        if share.doubt.abs() >= SHOWN {
            let ink = format!("class=\"doubt\" stroke=\"{}\" stroke-width=\"1.4\"", palette.ink);
            scene.line((at(share.points - share.doubt), y + 17.0), (at(share.points + share.doubt), y + 17.0), &ink);
        }
        let name = Type { size: SIZE, colour: palette.ink, bold: last || share.stands_out, anchor: Anchor::Start };
        scene.text(0.0, y + 21.5, &fit(share.label, SIZE, LEFT - 4.0), name);
        let words = words(*share);
        scene.text(WIDTH, y + 21.5, &words, Type { anchor: Anchor::End, ..name });
        said.push(format!("{} {words}", share.label));
        if last {
            scene.line((0.0, y), (WIDTH, y), &format!("stroke=\"{}\"", palette.grid));
        }
    }
    scene.line((middle, TOP), (middle, foot), &format!("stroke=\"{}\" stroke-width=\"1\"", palette.ink));
    let note = |anchor| Type { size: SIZE, colour: palette.quiet, bold: false, anchor };
    scene.text(middle - 6.0, foot + 16.0, "lost", note(Anchor::End));
    scene.text(middle + 6.0, foot + 16.0, "won", note(Anchor::Start));
    scene.text(WIDTH, foot + 16.0, "pins ± doubt", note(Anchor::End));
    if all().any(|share| share.chance.abs() >= SHOWN) {
        let look = format!("fill=\"{}\" fill-opacity=\"0.7\"", palette.grid);
        scene.rect(0.0, foot + 26.0, 22.0, 14.0, &look);
        scene.text(28.0, foot + 38.0, "what chance alone makes, two times in three", note(Anchor::Start));
    }
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
