//! Names at the ends of lines, so that nobody hunts for a legend.

use crate::scale::Rise;
use crate::scene::{Anchor, Scene, Type};

/// The end of a line: what it is called, its last value in words and as a place.
pub(crate) struct End<'a> {
    pub name: &'a str,
    pub colour: &'a str,
    pub value: String,
    pub y: f64,
}

/// Height of a name with its value.
const ROOM: f64 = 27.0;

/// Draws names and last values to the right of `x`, apart from each other and beside the chart.
pub(crate) fn name_ends(scene: &mut Scene, rise: Rise, x: f64, mut ends: Vec<End>) {
    ends.sort_by(|a, b| a.y.total_cmp(&b.y));
    let lowest = |k: usize| rise.bottom - 12.0 - ROOM * (ends.len() - 1 - k) as f64;
    let mut free = rise.bottom - rise.height + 8.0;
    for (k, end) in ends.iter().enumerate() {
        let y = end.y.max(free).min(lowest(k));
        free = y + ROOM;
        scene.line((x, end.y), (x + 6.0, y), &format!("stroke=\"{}\" stroke-width=\"0.8\"", end.colour));
        let kind = Type { size: 11.0, colour: end.colour, bold: true, anchor: Anchor::Start };
        scene.text(x + 8.0, y + 3.0, end.name, kind);
        scene.note(x + 8.0, y + 14.5, &end.value, Anchor::Start);
    }
}
