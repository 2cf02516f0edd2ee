//! What is drawn of a question: the lane with throws, lines or ways to a spare, the film, the map of a search.

use boardwise_figures::{Drawing, LanePicture, Trace, pocket_map};
use boardwise_lane::Path;
use boardwise_score::PinSet;
use boardwise_search::{Lines, Pocket};

use super::Scene;
use boardwise_files::KitBall;

/// The lane with a path for each ball, and the band of these shots.
pub fn throws(scene: &Scene, thrown: &[(&KitBall, Path)], shots: &[Path], theme: boardwise_figures::Theme) -> Drawing {
    let traces: Vec<Trace<'_>> = thrown.iter().map(|(one, path)| Trace { label: &one.ball.id, path }).collect();
    on_lane(scene, &scene.lane_name, &traces, shots, None, None, theme)
}

/// The lane with a path for each line, and the band of these shots around the first.
pub fn lines(
    scene: &Scene,
    title: &str,
    paths: &[Path],
    shots: &[Path],
    pocket: &Pocket,
    theme: boardwise_figures::Theme,
) -> Drawing {
    let names: Vec<String> = (1..=paths.len()).map(|k| format!("line {k}")).collect();
    let traces: Vec<Trace<'_>> = names.iter().zip(paths).map(|(label, path)| Trace { label, path }).collect();
    on_lane(scene, title, &traces, shots, Some(pocket), None, theme)
}

/// The lane with a path for each way to make what stands, and the band of these shots around the first.
pub fn spares(
    scene: &Scene,
    title: &str,
    paths: &[(String, Path)],
    shots: &[Path],
    standing: PinSet,
    theme: boardwise_figures::Theme,
) -> Drawing {
    let traces: Vec<Trace<'_>> = paths.iter().map(|(label, path)| Trace { label, path }).collect();
    on_lane(scene, title, &traces, shots, None, Some(standing), theme)
}

/// The map of worth over laydown and launch.
pub fn map(found: &Lines, title: &str, theme: boardwise_figures::Theme) -> Drawing {
    pocket_map(&found.map, &found.lines, title, theme)
}

fn on_lane(
    scene: &Scene,
    title: &str,
    traces: &[Trace<'_>],
    shots: &[Path],
    pocket: Option<&Pocket>,
    standing: Option<PinSet>,
    theme: boardwise_figures::Theme,
) -> Drawing {
    let band: Vec<Vec<(f64, f64)>> =
        shots.iter().map(|path| path.rows.iter().map(|row| (row.board, row.feet)).collect()).collect();
    let band = (!band.is_empty()).then_some(band.as_slice());
    let window = pocket.map(|pocket| (pocket.light, pocket.high));
    LanePicture { lane: &scene.lane, hand: scene.bowler.hand, title, traces, band, window, standing }.draw(theme)
}
