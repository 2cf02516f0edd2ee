//! A ball's path on a lane: the line, and signs where it turns, leaves the oil or is lost.

use crate::colour::DASHES;
use crate::frame::Places;
use crate::scene::Scene;
use boardwise_lane::Path;
use boardwise_units::{Board, Feet, court};

/// One ball's path on a lane picture.
#[derive(Clone, Copy, Debug)]
pub struct Trace<'a> {
    /// Its name, shown beside its breakpoint.
    pub label: &'a str,
    /// The throw.
    pub path: &'a Path,
}

pub(crate) fn on_lane(frame: impl Places, path: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let finite = path.iter().filter(|(board, feet)| board.is_finite() && feet.is_finite());
    finite.map(|&(board, feet)| frame.spot(board, feet)).collect()
}

/// The path as boards and feet, up to the first touch of a pin.
pub(crate) fn until_touch(path: &Path) -> Vec<(f64, f64)> {
    let rows = path.rows.iter().map(|row| (row.board, row.feet));
    let Some(touch) = path.touch else { return rows.collect() };
    let feet = Feet::from_metres(touch.entry.y_m).0;
    // Pins behind the head pin are not drawn to scale along the lane: there the head pin's row ends the path.
    if feet > court::HEAD_PIN_FT {
        return rows.collect();
    }
    rows.filter(|row| row.1 < feet).chain([(Board::from_metres(touch.entry.x_m).0, feet)]).collect()
}

pub(crate) fn follow(scene: &mut Scene, frame: impl Places, k: usize, path: &Path) {
    let points = on_lane(frame, &until_touch(path));
    let palette = scene.palette;
    let round = "stroke-linejoin=\"round\" stroke-linecap=\"round\"";
    let casing = palette.casing;
    scene.polyline(&points, &format!("stroke=\"{casing}\" stroke-width=\"5\" stroke-opacity=\"0.85\" {round}"));
    let dash = match DASHES[(k + k / 4) % 4] {
        "" => String::new(),
        dash => format!(" stroke-dasharray=\"{dash}\""),
    };
    let colour = palette.traces[k % 4];
    scene.polyline(&points, &format!("class=\"trace\" stroke=\"{colour}\" stroke-width=\"2.2\" {round}{dash}"));
}

pub(crate) fn points(scene: &mut Scene, frame: impl Places, k: usize, path: &Path) {
    let colour = scene.palette.traces[k % 4];
    if let Some(exit) = path.exit {
        bar(scene, frame.spot(exit.board.0, exit.feet.0), colour);
    }
    diamond(scene, frame.spot(path.breakpoint.board.0, path.breakpoint.feet.0), colour);
    if let (Some(_), Some(last)) = (path.gutter, path.rows.last()) {
        cross(scene, frame.spot(last.board, last.feet), colour);
    }
}

pub(crate) fn diamond(scene: &mut Scene, (x, y): (f64, f64), colour: &str) {
    let look = format!("class=\"breakpoint\" fill=\"{colour}\" stroke=\"{}\" stroke-width=\"1\"", scene.palette.casing);
    scene.polygon(&[(x, y - 5.5), (x + 5.5, y), (x, y + 5.5), (x - 5.5, y)], &look);
}

pub(crate) fn bar(scene: &mut Scene, (x, y): (f64, f64), colour: &str) {
    let look = format!("class=\"exit\" fill=\"{colour}\" stroke=\"{}\" stroke-width=\"1\"", scene.palette.casing);
    scene.rect(x - 6.5, y - 2.0, 13.0, 4.0, &look);
}

pub(crate) fn cross(scene: &mut Scene, (x, y): (f64, f64), colour: &str) {
    let look = format!("stroke=\"{colour}\" stroke-width=\"2\"");
    scene.line((x - 4.0, y - 4.0), (x + 4.0, y + 4.0), &look);
    scene.line((x - 4.0, y + 4.0), (x + 4.0, y - 4.0), &look);
}
