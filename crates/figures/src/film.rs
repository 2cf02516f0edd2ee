//! The film by board at chosen distances, one small chart below the other on a common scale.

use crate::colour::Theme;
use crate::oil::{OIL_LOOK, round_up, stepped};
use crate::scene::{Anchor, Drawing, Scene, Type, number};
use boardwise_lane::Film;
use boardwise_units::{Feet, Hand, court};

const WIDTH: f64 = 360.0;
const TOP: f64 = 54.0;
const ROW: f64 = 64.0;
const CHART: f64 = 50.0;
/// Edges of the charts, the same distance from both sides of the picture.
const LEFT: f64 = 48.0;
const RIGHT: f64 = WIDTH - LEFT;

/// Draws the film by board at these distances, from the pins' side down to the foul line as on a lane.
pub fn film_by_board(film: &Film, hand: Hand, feet: &[f64], title: &str, theme: Theme) -> Drawing {
    let mut feet: Vec<f64> = feet.iter().copied().filter(|feet| (0.0..=court::HEAD_PIN_FT).contains(feet)).collect();
    feet.sort_by(|a, b| b.total_cmp(a));
    feet.dedup();
    let profiles: Vec<[f64; court::BOARDS]> =
        feet.iter().map(|&feet| film.boards_at(Feet(feet)).map(|units| units.0)).collect();
    let most = round_up(profiles.iter().flatten().copied().fold(0.0, f64::max));
    let height = TOP + ROW * feet.len() as f64 + 34.0;
    let mut scene = Scene::new(WIDTH, height, title, theme);
    let palette = scene.palette;
    let step = (RIGHT - LEFT) / court::BOARDS as f64;
    let middle = |board: usize| match hand {
        Hand::Right => RIGHT - (board as f64 - 0.5) * step,
        Hand::Left => LEFT + (board as f64 - 0.5) * step,
    };
    scene.note(12.0, 40.0, "film by board, units", Anchor::Start);
    for (k, (feet, profile)) in feet.iter().zip(&profiles).enumerate() {
        let base = TOP + ROW * k as f64 + CHART;
        let level = |units: f64| base - CHART * (units / most).clamp(0.0, 1.0);
        let back = format!("fill=\"{}\"", palette.lane);
        scene.rect(LEFT, base - CHART, RIGHT - LEFT, CHART, &back);
        scene.open(OIL_LOOK);
        for (k, &units) in profile.iter().enumerate() {
            let share = units / most;
            if share > 0.01 {
                let look = format!("class=\"bar\" fill=\"{}\"", stepped(theme, share));
                scene.rect(middle(k + 1) - 0.5 * step, level(units), step, base - level(units), &look);
            }
        }
        scene.close();
        let outline: Vec<(f64, f64)> = profile
            .iter()
            .enumerate()
            .flat_map(|(k, &units)| {
                let (x, side) = (middle(k + 1), if hand == Hand::Right { -0.5 } else { 0.5 });
                [(x - side * step, level(units)), (x + side * step, level(units))]
            })
            .collect();
        scene.polyline(&outline, &format!("class=\"profile\" stroke=\"{}\" stroke-width=\"1.1\"", palette.ink));
        for part in [0.5, 1.0] {
            let y = base - CHART * part;
            let look = format!("stroke=\"{}\" stroke-width=\"0.5\"", palette.grid);
            scene.line((LEFT, y), (RIGHT, y), &look);
            scene.note(RIGHT + 5.0, y + 3.5, &number(most * part), Anchor::Start);
        }
        scene.line((LEFT, base), (RIGHT, base), &format!("stroke=\"{}\" stroke-width=\"1\"", palette.quiet));
        let kind = Type { size: 11.0, colour: palette.ink, bold: true, anchor: Anchor::End };
        scene.text(LEFT - 6.0, base - 2.0, &format!("{} ft", number(*feet)), kind);
    }
    let base = TOP + ROW * feet.len() as f64;
    for board in (5..=35).step_by(5) {
        let look = format!("stroke=\"{}\" stroke-width=\"0.8\"", palette.quiet);
        if !feet.is_empty() {
            scene.line((middle(board), base - ROW + CHART), (middle(board), base - ROW + CHART + 3.0), &look);
        }
        scene.note(middle(board), base + 2.0, &board.to_string(), Anchor::Middle);
    }
    scene.note(0.5 * WIDTH, base + 18.0, "board", Anchor::Middle);
    scene.finish()
}
