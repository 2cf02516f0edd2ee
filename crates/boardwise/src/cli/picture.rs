//! Pictures: which one a command draws, and where it goes.

use draw::{Drawing, LanePicture, Trace, pocket_map};
use lane::Path;
use play::{Lines, Pocket};
use score::PinSet;

use super::arguments::{Output, Theme};
use crate::job::Scene;
use crate::job::{Failure, files};
use crate::kit::{Fault, KitBall};

/// Width of a PNG.
const WIDTH_PX: u32 = 1400;

/// Refuses places that cannot be written, before any work.
pub fn check(asked: &Output) -> Result<(), Fault> {
    for (flag, path) in [("--svg", &asked.svg), ("--png", &asked.png)] {
        if let Some(path) = path {
            files::check_place(flag, path)?;
        }
    }
    Ok(())
}

/// Whether any picture was asked for.
pub fn wanted(asked: &Output) -> bool {
    asked.svg.is_some() || asked.png.is_some()
}

/// Draws the picture if one was asked for; both files are drawn before either is written.
pub fn write(asked: &Output, drawn: impl FnOnce(draw::Theme) -> Drawing) -> Result<(), Failure> {
    write_if(asked, |theme| Some(drawn(theme)))
}

/// The same for a picture that may not be there.
pub fn write_if(asked: &Output, drawn: impl FnOnce(draw::Theme) -> Option<Drawing>) -> Result<(), Failure> {
    if !wanted(asked) {
        return Ok(());
    }
    let theme = match asked.theme {
        Theme::Light => draw::Theme::Light,
        Theme::Dark => draw::Theme::Dark,
    };
    let Some(drawing) = drawn(theme) else { return Ok(()) };
    let png = match &asked.png {
        Some(path) => Some((path, drawing.png(WIDTH_PX).map_err(|e| Failure::Picture(Box::new(e)))?)),
        None => None,
    };
    if let Some(path) = &asked.svg {
        files::write(path, drawing.svg().as_bytes())?;
    }
    if let Some((path, bytes)) = png {
        files::write(path, &bytes)?;
    }
    Ok(())
}

/// The lane with a path for each ball, and the band of these shots.
pub fn throws(scene: &Scene, thrown: &[(&KitBall, Path)], shots: &[Path], theme: draw::Theme) -> Drawing {
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
    theme: draw::Theme,
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
    theme: draw::Theme,
) -> Drawing {
    let traces: Vec<Trace<'_>> = paths.iter().map(|(label, path)| Trace { label, path }).collect();
    on_lane(scene, title, &traces, shots, None, Some(standing), theme)
}

/// The map of worth over laydown and launch.
pub fn map(found: &Lines, title: &str, theme: draw::Theme) -> Drawing {
    pocket_map(&found.map, &found.lines, title, theme)
}

fn on_lane(
    scene: &Scene,
    title: &str,
    traces: &[Trace<'_>],
    shots: &[Path],
    pocket: Option<&Pocket>,
    standing: Option<PinSet>,
    theme: draw::Theme,
) -> Drawing {
    let band: Vec<Vec<(f64, f64)>> =
        shots.iter().map(|path| path.rows.iter().map(|row| (row.board, row.feet)).collect()).collect();
    let band = (!band.is_empty()).then_some(band.as_slice());
    let window = pocket.map(|pocket| (pocket.light, pocket.high));
    LanePicture { lane: &scene.lane, hand: scene.bowler.hand, title, traces, band, window, standing }.draw(theme)
}
