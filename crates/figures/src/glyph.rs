//! A leave as a sign, small enough for a line of text.

use crate::colour::Theme;
use crate::scene::{Drawing, Scene};
use boardwise_score::PinSet;
use boardwise_units::court;

/// Side of the sign.
pub(crate) const SIDE: f64 = 24.0;

/// The ten pins as the bowler sees them, the head pin lowest. A standing pin is an upright stroke, a fallen one a lying
/// stroke. It is drawn for 24 pixels and more and without a ground, so that it can stand in text.
///
/// ```
/// let sign = boardwise_figures::leave_glyph("3-10".parse()?, boardwise_figures::Theme::Light);
/// assert!(sign.svg().contains("<title>3-10 stand"));
/// # Ok::<(), boardwise_score::Error>(())
/// ```
pub fn leave_glyph(standing: PinSet, theme: Theme) -> Drawing {
    let title = if standing.is_empty() { "all down".to_owned() } else { format!("{standing} stand") };
    let mut scene = Scene::bare(SIDE, SIDE, &title, theme);
    stand(&mut scene, standing);
    scene.finish()
}

/// The sign itself, from the corner on.
pub(crate) fn stand(scene: &mut Scene, standing: PinSet) {
    let palette = scene.palette;
    for pin in PinSet::ALL {
        let (x_in, behind_in) = court::PIN_SPOTS_IN[pin.index()];
        let (x, foot) = (SIDE / 2.0 + x_in / 2.0, 22.5 - behind_in / 10.392_3 * 5.5);
        if standing.contains(pin) {
            scene.rect(
                x - 1.45,
                foot - 4.6,
                2.9,
                4.6,
                &format!("class=\"stands\" rx=\"1.2\" fill=\"{}\"", palette.ink),
            );
        } else {
            let look = format!("class=\"down\" rx=\"0.5\" fill=\"{}\" fill-opacity=\"0.55\"", palette.quiet);
            scene.rect(x - 1.25, foot - 1.0, 2.5, 1.0, &look);
        }
    }
}
