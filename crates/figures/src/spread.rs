//! How much a bowler's shots spread: bands on the lane.

use crate::frame::Places;
use crate::scene::Scene;

/// Fewest paths whose quantiles are worth drawing.
pub(crate) const CROWD: usize = 20;

/// The two bands of a spread: the share of shots left out on each side, how strongly it is inked, what it is called
/// where several throws are drawn and where one is.
pub(crate) const BANDS: [(f64, f64, &str, &str); 2] =
    [(0.1, 0.16, "8 in 10", "8 in 10 shots"), (0.25, 0.22, "half", "half the shots")];

/// Foot by foot, the boards between which the middle half and the middle eight tenths of many shots pass.
pub(crate) fn spread(scene: &mut Scene, frame: impl Places, band: &[Vec<(f64, f64)>]) {
    if band.len() < CROWD {
        return;
    }
    let crossings = crossings(band);
    let ink = scene.palette.ink;
    for (tail, part, ..) in BANDS {
        let (mut low, mut high) = (Vec::new(), Vec::new());
        for (feet, boards) in &crossings {
            let Some(last) = boards.len().checked_sub(1) else { continue };
            let at = |share: f64| boards[(share * last as f64).round() as usize];
            low.push(frame.spot(at(tail), *feet));
            high.push(frame.spot(at(1.0 - tail), *feet));
        }
        low.extend(high.into_iter().rev());
        let look = format!("class=\"band\" fill=\"{ink}\" fill-opacity=\"{part}\"");
        scene.polygon(&low, &look);
    }
}

/// At each foot of the lane the boards on which the shots cross it, in order.
fn crossings(band: &[Vec<(f64, f64)>]) -> Vec<(f64, Vec<f64>)> {
    let mut at: Vec<(f64, Vec<f64>)> = (0..=60).map(|feet| (f64::from(feet), Vec::with_capacity(band.len()))).collect();
    for path in band {
        // A ball only goes on down the lane, so the search for the next foot begins where the last one ended.
        let mut from = 0;
        for (feet, boards) in &mut at {
            if let Some((board, piece)) = board_at(path, *feet, from) {
                boards.push(board);
                from = piece;
            }
        }
    }
    for (_, boards) in &mut at {
        boards.sort_unstable_by(f64::total_cmp);
    }
    at
}

/// The board of a polyline at a distance, and the piece of the polyline there; the search begins at piece `from`. A ball in the
/// gutter stays on its last board, so that it still counts on the side where it was lost.
fn board_at(path: &[(f64, f64)], feet: f64, from: usize) -> Option<(f64, usize)> {
    let finite = |(a, b): (f64, f64)| a.is_finite() && b.is_finite();
    if let Some(&end) = path.last().filter(|&&end| finite(end) && end.1 <= feet) {
        return Some((end.0, from));
    }
    path.windows(2).enumerate().skip(from).find_map(|(piece, pair)| {
        let [(a, from), (b, to)] = *pair else { return None };
        let part = (feet - from) / (to - from);
        ((0.0..=1.0).contains(&part) && a.is_finite() && b.is_finite()).then_some((a + (b - a) * part, piece))
    })
}
