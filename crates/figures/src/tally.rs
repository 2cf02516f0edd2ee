//! How often each board was crossed, with the mean and the spread of the balls.

use crate::scene::{Anchor, Scene, Type};
use boardwise_units::{Hand, court};

const WIDE: f64 = 300.0;
/// Height of the tallest bar, and the room above it for the mean.
const TALL: f64 = 54.0;
const ABOVE: f64 = 26.0;
/// The mean is shown from this many balls on.
const ENOUGH: usize = 5;
/// Fewest boards across, so that a few balls do not look far apart.
const FEWEST: usize = 12;

/// Draws a bar for every board, the bowling hand's side as the bowler sees it. Boards are those of a lane.
pub(crate) fn boards_tally(scene: &mut Scene, boards: &[f64], hand: Hand, (left, top): (f64, f64)) {
    let palette = scene.palette;
    let whole = |board: &f64| (board.round() as usize).clamp(1, court::BOARDS);
    let (Some(least), Some(most)) = (boards.iter().map(whole).min(), boards.iter().map(whole).max()) else {
        scene.note(left, top + 16.0, "not seen on any ball", Anchor::Start);
        return;
    };
    let widen = (FEWEST.saturating_sub(most - least + 1) / 2).max(1);
    let (from, to) = (least.saturating_sub(widen).max(1), (most + widen).min(court::BOARDS));
    let wide = WIDE / (to - from + 1) as f64;
    let across = |board: f64| {
        let part = (board - from as f64 + 0.5) * wide;
        left + if hand == Hand::Left { part } else { WIDE - part }
    };
    let foot = top + ABOVE + TALL;
    let count = |board: usize| boards.iter().filter(|&other| whole(other) == board).count();
    let highest = (from..=to).map(count).max().unwrap_or(1).max(1);
    for board in from..=to {
        let x = across(board as f64);
        if wide >= 15.0 || board % 5 == 0 {
            scene.note(x, foot + 13.0, &board.to_string(), Anchor::Middle);
        }
        let balls = count(board);
        if balls == 0 {
            continue;
        }
        let tall = TALL * balls as f64 / highest as f64;
        let look = format!("class=\"board\" fill=\"{}\" fill-opacity=\"0.6\"", palette.accent);
        scene.rect(x - 0.4 * wide, foot - tall, 0.8 * wide, tall, &look);
        if wide >= 15.0 || balls == highest {
            scene.note(x, foot - tall - 3.0, &balls.to_string(), Anchor::Middle);
        }
    }
    scene.line((left, foot), (left + WIDE, foot), &format!("stroke=\"{}\" stroke-width=\"1\"", palette.quiet));
    let kind = Type { size: 11.0, colour: palette.ink, bold: false, anchor: Anchor::Start };
    let balls = boards.len();
    if balls < ENOUGH {
        let words = format!("{balls} seen: too few for a mean");
        scene.text(left, foot + 32.0, &words, kind);
        return;
    }
    let mean = boards.iter().sum::<f64>() / balls as f64;
    let sd = (boards.iter().map(|board| (board - mean).powi(2)).sum::<f64>() / (balls as f64 - 1.0)).sqrt();
    let look = format!("class=\"spread\" stroke=\"{}\" stroke-width=\"1.4\"", palette.ink);
    let inside = |board: f64| across(board).clamp(left, left + WIDE);
    scene.line((inside(mean - sd), top + 8.0), (inside(mean + sd), top + 8.0), &look);
    let (x, ink) = (across(mean), format!("class=\"mean\" fill=\"{}\"", palette.ink));
    scene.polygon(&[(x, top + 13.0), (x - 4.5, top + 4.0), (x + 4.5, top + 4.0)], &ink);
    let error = sd / (balls as f64).sqrt();
    let words = format!("mean {mean:.1} ± {error:.1}, standard deviation {sd:.1} boards");
    scene.text(left, foot + 32.0, &words, kind);
    scene.note(left, foot + 47.0, &format!("{balls} seen; moves on purpose widen it too"), Anchor::Start);
}
