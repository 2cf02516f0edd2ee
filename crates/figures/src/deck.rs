//! The deck from above: the ball's path, the pins that fell and in which order, and those that stand.

use crate::colour::Theme;
use crate::scene::{Anchor, Drawing, Scene, Type, number};
use boardwise_score::{Pin, PinSet};
use boardwise_search::{Instant, Story};
use boardwise_units::{Board, Hand, INCH_M, court};

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 376.0;
const MIDDLE: f64 = WIDTH / 2.0;
/// Units of the picture a metre: gutters included, the deck fills the width.
const SCALE: f64 = 222.0;
/// Where the head pin's spot lies.
const SPOT_Y: f64 = 246.0;
/// The picture's lower edge of the lane, and its upper one, the pit.
const NEAR_Y: f64 = 326.0;
/// Radius of a pin's belly, 4.77 in across \[S\].
pub(crate) const BELLY_M: f64 = 4.77 / 2.0 * INCH_M;

/// A place on the deck: metres to the right and behind the head pin's spot.
pub(crate) fn at(right_m: f64, behind_m: f64) -> (f64, f64) {
    (MIDDLE + SCALE * right_m, SPOT_Y - SCALE * behind_m)
}

/// A length on the deck.
pub(crate) fn long(metres: f64) -> f64 {
    SCALE * metres
}

/// Where a pin is set.
pub(crate) fn spot(pin: Pin) -> (f64, f64) {
    let (x_in, behind_in) = court::PIN_SPOTS_IN[pin.index()];
    at(x_in * INCH_M, behind_in * INCH_M)
}

/// Draws one rack from above, as the bowler sees it from the foul line, with the pit at the top. Pins that stand are solid.
/// Fallen pins are dashed, with the way they took and, in a small circle, their place in the order of falling.
pub fn deck(story: &Story, hand: Hand, title: &str, theme: Theme) -> Drawing {
    let mut scene = Scene::new(WIDTH, HEIGHT, title, theme);
    ground(&mut scene, hand);
    still(&mut scene, story);
    key(&mut scene, story);
    scene.finish()
}

/// Gutters, deck, boards and the head pin's row.
pub(crate) fn ground(scene: &mut Scene, hand: Hand) {
    let palette = scene.palette;
    let half = court::WIDTH_M / 2.0;
    let pit = at(0.0, court::PIT_BEHIND_HEAD_PIN_M).1;
    let (gutter, edge) = (at(-half - court::GUTTER_WIDTH_M, 0.0).0, at(-half, 0.0).0);
    scene.rect(gutter, pit, WIDTH - 2.0 * gutter, NEAR_Y - pit, &format!("fill=\"{}\"", palette.gutter));
    scene.rect(edge, pit, WIDTH - 2.0 * edge, NEAR_Y - pit, &format!("fill=\"{}\"", palette.lane));
    let hair = format!("stroke=\"{}\" stroke-width=\"0.5\" stroke-opacity=\"0.8\"", palette.grid);
    for board in (5..=35).step_by(5).map(f64::from) {
        let toward_hand_m = Board(board).to_metres();
        let right_m = if hand == Hand::Left { -toward_hand_m } else { toward_hand_m };
        let x = at(right_m, 0.0).0;
        scene.line((x, pit), (x, NEAR_Y), &hair);
        scene.note(x, NEAR_Y + 13.0, &number(board), Anchor::Middle);
    }
    scene.note(edge - 4.0, NEAR_Y + 13.0, "board", Anchor::End);
    let row = format!("stroke=\"{}\" stroke-width=\"0.8\" stroke-dasharray=\"2 3\"", palette.quiet);
    scene.line((edge, SPOT_Y), (WIDTH - edge, SPOT_Y), &row);
    scene.note(edge - 4.0, SPOT_Y + 3.5, "60 ft", Anchor::End);
    let dark = format!("stroke=\"{}\" stroke-width=\"1.5\"", palette.quiet);
    scene.line((edge, pit), (WIDTH - edge, pit), &dark);
    scene.note(MIDDLE, pit - 5.0, "pit", Anchor::Middle);
}

/// The whole story in one picture.
pub(crate) fn still(scene: &mut Scene, story: &Story) {
    let palette = scene.palette;
    let radius = long(BELLY_M);
    let way = format!("class=\"way\" stroke=\"{}\" stroke-width=\"1\" stroke-opacity=\"0.7\"", palette.quiet);
    for pin in story.order() {
        let points = on_deck(story.instants.iter().map_while(|instant| {
            let pose = instant.pins[pin.index()]?;
            Some(at(pose.centre_m[0], pose.centre_m[1]))
        }));
        scene.polyline(&points, &way);
    }
    ball(scene, story);
    let order = story.order();
    for pin in story.before {
        let (x, y) = spot(pin);
        let stands = story.after.contains(pin);
        let look = if stands {
            format!(
                "class=\"stands\" fill=\"{}\" fill-opacity=\"0.96\" stroke=\"{}\" stroke-width=\"2.2\"",
                palette.pin, palette.ink
            )
        } else {
            format!(
                "class=\"fell\" fill=\"{}\" fill-opacity=\"0.7\" stroke=\"{}\" stroke-width=\"1\" stroke-dasharray=\"3 2.5\"",
                palette.lane, palette.quiet
            )
        };
        scene.circle(x, y, radius, &look);
        // Pins are pale in both themes.
        let colour = if stands { "#16130f" } else { palette.quiet };
        let kind = Type { size: 11.0, colour, bold: stands, anchor: Anchor::Middle };
        scene.text(x, y + 4.0, &pin.to_string(), kind);
        if let Some(place) = order.iter().position(|fallen| *fallen == pin) {
            badge(scene, (x + 0.8 * radius, y - 0.8 * radius), place + 1);
        }
    }
}

/// The ball's way, with the ball where it first met something and where it left.
fn ball(scene: &mut Scene, story: &Story) {
    let palette = scene.palette;
    let radius = long(story.ball_radius_m);
    let place = |instant: &Instant| at(instant.ball_m[0], instant.ball_m[1]);
    let points = on_deck(story.instants.iter().map(place));
    let casing =
        format!("stroke=\"{}\" stroke-width=\"5\" stroke-opacity=\"0.8\" stroke-linejoin=\"round\"", palette.casing);
    scene.polyline(&points, &casing);
    let path = format!("class=\"ball\" stroke=\"{}\" stroke-width=\"2.4\" stroke-linejoin=\"round\"", palette.accent);
    scene.polyline(&points, &path);
    if let Some(&(x, y)) = points.first() {
        let look = format!(
            "class=\"arrives\" fill=\"{0}\" fill-opacity=\"0.16\" stroke=\"{0}\" stroke-width=\"1.4\"",
            palette.accent
        );
        scene.circle(x, y, radius, &look);
    }
}

/// Places up to the edge of what is drawn: the pit, the gutters' outer walls.
fn on_deck(places: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let pit = at(0.0, court::PIT_BEHIND_HEAD_PIN_M).1;
    let wall = at(-court::WIDTH_M / 2.0 - court::GUTTER_WIDTH_M, 0.0).0;
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for (x, y) in places {
        let inside = (x.clamp(wall, WIDTH - wall), y.min(NEAR_Y));
        if y >= pit {
            kept.push(inside);
            continue;
        }
        if let Some(&(from_x, from_y)) = kept.last() {
            let part = (from_y - pit) / (from_y - y);
            kept.push((from_x + (inside.0 - from_x) * part, pit));
        }
        break;
    }
    kept
}

fn badge(scene: &mut Scene, (x, y): (f64, f64), place: usize) {
    let palette = scene.palette;
    let look = format!("class=\"order\" fill=\"{}\" stroke=\"{}\" stroke-width=\"0.8\"", palette.paper, palette.quiet);
    scene.circle(x, y, 6.0, &look);
    let kind = Type { size: 8.5, colour: palette.ink, bold: false, anchor: Anchor::Middle };
    scene.text(x, y + 3.1, &place.to_string(), kind);
}

/// What the signs mean, and what is left in words.
pub(crate) fn key(scene: &mut Scene, story: &Story) {
    let palette = scene.palette;
    let y = NEAR_Y + 36.0;
    let kind = Type { size: 12.0, colour: palette.ink, bold: true, anchor: Anchor::Start };
    scene.text(12.0, y, &left_in_words(story), kind);
    if story.after != story.before {
        badge(scene, (WIDTH - 104.0, y - 4.0), 1);
        scene.note(WIDTH - 94.0, y - 0.5, "order of falling", Anchor::Start);
    }
}

fn left_in_words(story: &Story) -> String {
    if story.after.is_empty() && story.before == PinSet::ALL {
        "strike".to_owned()
    } else if story.after.is_empty() {
        format!("{} made", story.before)
    } else {
        format!("left: {}", story.after)
    }
}
