//! The first balls of a block on a lane that lies on its side, as far as they were seen.

use crate::colour::Theme;
use crate::glyph::{SIDE, stand};
use crate::lying::{Lying, WHOLE};
use crate::scene::{Anchor, Drawing, Scene, Type, number};
use crate::tally::boards_tally;
use boardwise_lane::Place;
use boardwise_score::PinSet;
use boardwise_search::Hit;
use boardwise_units::{Board, Hand, court};
use std::collections::BTreeMap;

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 560.0;
const EDGE: f64 = 12.0;
/// The distance that counts as "at the arrows", as for a [`boardwise_lane::Path`].
const ARROWS_FT: f64 = 15.0;
/// Headings of what stands below the lane.
const BELOW: f64 = 402.0;
/// Half the size of a sign, and the step by which signs of one place lie side by side.
const HALF: f64 = 5.0;
const ASIDE: f64 = 10.5;
/// Places tried for a sign: its own and three to each side, up to three feet off. Beyond that signs cover each other.
const MOST_ASIDE: i32 = 7;
const ROW: f64 = 19.0;
const HITS: [(Option<Hit>, &str); 6] = [
    (Some(Hit::Pocket), "pocket"),
    (Some(Hit::High), "high"),
    (Some(Hit::Light), "light"),
    (Some(Hit::OtherSide), "other side"),
    (Some(Hit::Gutter), "gutter"),
    (None, "not written"),
];

/// What was seen of a first ball at a full rack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeenShot<'a> {
    /// Its board at the arrows.
    pub arrows: Option<Board>,
    /// Where it turned.
    pub breakpoint: Option<Place>,
    /// How it met the pins.
    pub hit: Option<Hit>,
    /// The pins it left, by their own numbers; none is a strike.
    pub left: Option<PinSet>,
    /// Its number, or another word of a few letters, beside its sign; may be empty.
    pub label: &'a str,
}

/// Draws first balls, the earliest first, on a lane that lies on its side. The shape of a ball's sign says how it hit; a
/// filled sign struck. It lies where the ball turned, or at the arrows if only those were seen. Signs of one place lie side
/// by side along the lane. A label without room is left out. Places off the lane count as not seen.
///
/// ```
/// use boardwise_figures::{SeenShot, Theme, shots_picture};
/// use boardwise_units::{Board, Hand};
/// let seen = SeenShot { arrows: Some(Board(9.5)), breakpoint: None, hit: None, left: None, label: "1" };
/// assert!(shots_picture(&[seen], Hand::Left, "Game 1", Theme::Light).svg().contains("1 first ball;"));
/// ```
pub fn shots_picture(shots: &[SeenShot], hand: Hand, title: &str, theme: Theme) -> Drawing {
    let mut scene = Scene::new(WIDTH, HEIGHT, title, theme);
    let lying = Lying { hand, foul_x: 52.0, pins_x: 640.0, top_y: 80.0, foot_y: 356.0, cut: cut(shots) };
    lying.draw(&mut scene);
    let (x, _) = lying.at(20.0, ARROWS_FT);
    scene.note(x, lying.foot_y + 22.0, "arrows", Anchor::Middle);
    let places = places(shots, lying);
    courses(&mut scene, lying, shots, &places);
    for (shot, place) in shots.iter().zip(&places) {
        if let Some(place) = *place {
            sign(&mut scene, place, shot.hit, struck(shot), lying.away());
        }
    }
    labels(&mut scene, shots, &places);
    summary(&mut scene, &places, lying.cut);
    let boards: Vec<f64> = shots.iter().filter_map(at_arrows).collect();
    heading(&mut scene, EDGE, "boards at the arrows");
    boards_tally(&mut scene, &boards, hand, (EDGE, BELOW + 10.0));
    hits(&mut scene, shots, lying.away());
    leaves(&mut scene, shots);
    let counted = HITS.iter().filter_map(|(hit, name)| {
        let count = shots.iter().filter(|shot| shot.hit == *hit).count();
        (count > 0).then(|| format!("{name} {count}"))
    });
    let struck = shots.iter().filter(|shot| struck(shot)).count();
    let counted = counted.collect::<Vec<_>>().join(", ");
    scene.says(format!(
        "{title}: {} first balls where they crossed the lane. Strikes {struck}; hits: {counted}.",
        shots.len()
    ));
    scene.finish()
}

/// The board at which the lane is cut off: no ball was seen there, and the head pin is shown.
fn cut(shots: &[SeenShot]) -> f64 {
    let boards = shots.iter().flat_map(|shot| [at_arrows(shot), turned(shot).map(|place| place.0)]).flatten();
    let cut = boards.fold(22.5, |far: f64, board| far.max(board.ceil() + 1.5));
    if cut > WHOLE - 4.0 { WHOLE } else { cut }
}

fn on_lane(board: Board) -> Option<f64> {
    (0.5..=WHOLE).contains(&board.0).then_some(board.0)
}

fn at_arrows(shot: &SeenShot) -> Option<f64> {
    on_lane(shot.arrows?)
}

fn turned(shot: &SeenShot) -> Option<(f64, f64)> {
    let place = shot.breakpoint?;
    let feet = (0.0..=court::HEAD_PIN_FT).contains(&place.feet.0).then_some(place.feet.0)?;
    Some((on_lane(place.board)?, feet))
}

fn struck(shot: &SeenShot) -> bool {
    shot.left.is_some_and(PinSet::is_empty)
}

/// Where the signs lie.
fn places(shots: &[SeenShot], lying: Lying) -> Vec<Option<(f64, f64)>> {
    let mut places: Vec<Option<(f64, f64)>> = Vec::with_capacity(shots.len());
    for shot in shots {
        let wanted = turned(shot).or_else(|| Some((at_arrows(shot)?, ARROWS_FT)));
        let wanted = wanted.map(|(board, feet)| lying.at(board, feet));
        let place = wanted.map(|(x, y)| {
            // Nearest first: in place, a step on, a step back, two steps on.
            let aside = |k: i32| f64::from((k + 1) / 2) * ASIDE * if k % 2 == 1 { 1.0 } else { -1.0 };
            let free = |x: f64| places.iter().flatten().all(|at| (at.0 - x).abs() > 8.0 || (at.1 - y).abs() > 5.0);
            let found = (0..MOST_ASIDE).map(|k| x + aside(k)).find(|&x| x > lying.foul_x && free(x));
            (found.unwrap_or(x), y)
        });
        places.push(place);
    }
    places
}

/// A line from the arrows to where it turned, fainter the older it is.
fn courses(scene: &mut Scene, lying: Lying, shots: &[SeenShot], places: &[Option<(f64, f64)>]) {
    let ink = scene.palette.ink;
    for (k, (shot, place)) in shots.iter().zip(places).enumerate() {
        let (Some(board), Some(_), Some(place)) = (at_arrows(shot), turned(shot), *place) else { continue };
        let part = 0.2 + 0.6 * (k as f64 + 1.0) / shots.len() as f64;
        let look = format!("class=\"course\" stroke=\"{ink}\" stroke-width=\"0.9\" stroke-opacity=\"{part:.2}\"");
        let arrows = lying.at(board, ARROWS_FT);
        scene.line(arrows, place, &look);
        scene.circle(arrows.0, arrows.1, 2.2, &format!("class=\"arrows\" fill=\"{ink}\""));
    }
}

/// How a ball hit, by shape: a disc, triangles that point to the side of the miss, a square, a cross, a small ring.
fn sign(scene: &mut Scene, (x, y): (f64, f64), hit: Option<Hit>, strike: bool, away: f64) {
    let palette = scene.palette;
    let ink = if hit == Some(Hit::Pocket) { palette.accent } else { palette.ink };
    let fill = if strike { ink } else { palette.lane };
    let class = if strike { "hit struck" } else { "hit" };
    let look = format!("class=\"{class}\" fill=\"{fill}\" stroke=\"{ink}\" stroke-width=\"1.5\"");
    let pointing = |way: f64| [(x, y + way * 6.0), (x - 5.5, y - way * 4.0), (x + 5.5, y - way * 4.0)];
    match hit {
        Some(Hit::Pocket) => scene.circle(x, y, HALF, &look),
        Some(Hit::High) => scene.polygon(&pointing(away), &look),
        Some(Hit::Light) => scene.polygon(&pointing(-away), &look),
        Some(Hit::OtherSide) => scene.rect(x - 4.5, y - 4.5, 9.0, 9.0, &look),
        Some(Hit::Gutter) => {
            let (a, b) = (number(x - 4.5), number(x + 4.5));
            let (c, d) = (number(y - 4.5), number(y + 4.5));
            scene.path(&format!("M{a} {c}L{b} {d}M{a} {d}L{b} {c}"), &look);
        }
        None => scene.circle(x, y, 3.0, &look),
    }
}

/// Labels beside the signs, the latest first, where nothing else stands.
fn labels(scene: &mut Scene, shots: &[SeenShot], places: &[Option<(f64, f64)>]) {
    let kind = Type { size: 10.0, colour: scene.palette.ink, bold: true, anchor: Anchor::Middle };
    // Middles and half sizes of what is taken.
    let mut taken: Vec<[f64; 4]> = places.iter().flatten().map(|&(x, y)| [x, y, HALF, HALF]).collect();
    for (shot, place) in shots.iter().zip(places).rev() {
        let (Some((x, y)), false) = (*place, shot.label.is_empty()) else { continue };
        let half = 1.0 + 3.0 * shot.label.chars().count() as f64;
        let beside = half + HALF + 3.0;
        let free = |&(x, y): &(f64, f64)| {
            taken.iter().all(|at| (at[0] - x).abs() > at[2] + half || (at[1] - y).abs() > at[3] + 4.0)
        };
        let found = [(beside, 0.0), (-beside, 0.0), (0.0, -11.0), (0.0, 11.0)].map(|(dx, dy)| (x + dx, y + dy));
        if let Some((x, y)) = found.into_iter().find(free) {
            taken.push([x, y, half, 4.0]);
            scene.text(x, y + 3.5, shot.label, kind);
        }
    }
}

fn summary(scene: &mut Scene, places: &[Option<(f64, f64)>], cut: f64) {
    let unseen = places.iter().filter(|place| place.is_none()).count();
    let balls = if places.len() == 1 { "1 first ball".to_owned() } else { format!("{} first balls", places.len()) };
    let words = if unseen > 0 { format!("{balls}, {unseen} of them not seen on the lane") } else { balls };
    scene.note(EDGE, 40.0, &format!("{words}; signs that would meet stand side by side"), Anchor::Start);
    let words = "dots: at the arrows; signs: where it turned, else at the arrows; lines: fainter the longer ago";
    scene.note(EDGE, 54.0, words, Anchor::Start);
    if cut < WHOLE {
        scene.note(WIDTH - EDGE, 40.0, &format!("no ball seen beyond board {}", number(cut - 0.5)), Anchor::End);
    }
}

fn heading(scene: &mut Scene, x: f64, words: &str) {
    let kind = Type { size: 12.0, colour: scene.palette.ink, bold: true, anchor: Anchor::Start };
    scene.text(x, BELOW, words, kind);
}

/// The signs' names, and how often each came.
fn hits(scene: &mut Scene, shots: &[SeenShot], away: f64) {
    const X: f64 = 352.0;
    heading(scene, X, "how they hit");
    scene.note(X + 122.0, BELOW, "balls", Anchor::End);
    scene.note(X + 168.0, BELOW, "strikes", Anchor::End);
    let ink = Type { size: 11.0, colour: scene.palette.ink, bold: false, anchor: Anchor::Start };
    let number = Type { anchor: Anchor::End, ..ink };
    let mut y = BELOW + ROW;
    for (hit, name) in HITS {
        let of: Vec<&SeenShot> = shots.iter().filter(|shot| shot.hit == hit).collect();
        if of.is_empty() {
            continue;
        }
        sign(scene, (X + 6.0, y - 4.0), hit, false, away);
        scene.text(X + 20.0, y, name, ink);
        scene.text(X + 122.0, y, &of.len().to_string(), number);
        scene.text(X + 168.0, y, &of.iter().filter(|shot| struck(shot)).count().to_string(), number);
        y += ROW;
    }
    scene.note(X, y, "filled: strike", Anchor::Start);
}

/// What was left most often.
fn leaves(scene: &mut Scene, shots: &[SeenShot]) {
    const X: f64 = 560.0;
    const MOST: usize = 4;
    heading(scene, X, "what they left");
    let mut counts: BTreeMap<PinSet, usize> = BTreeMap::new();
    for pins in shots.iter().filter_map(|shot| shot.left).filter(|pins| !pins.is_empty()) {
        *counts.entry(pins).or_default() += 1;
    }
    let mut counts: Vec<(PinSet, usize)> = counts.into_iter().collect();
    counts.sort_by_key(|&(_, count)| std::cmp::Reverse(count));
    let ink = Type { size: 11.0, colour: scene.palette.ink, bold: false, anchor: Anchor::Start };
    let mut y = BELOW + SIDE;
    let mut line = |scene: &mut Scene, words: &str, count: usize, pins: Option<PinSet>| {
        if let Some(pins) = pins {
            scene.open(&format!("transform=\"translate({} {})\"", number(X), number(y - 15.0)));
            stand(scene, pins);
            scene.close();
        }
        scene.text(if pins.is_some() { X + SIDE + 8.0 } else { X }, y, words, ink);
        scene.text(WIDTH - EDGE, y, &count.to_string(), Type { anchor: Anchor::End, ..ink });
        y += SIDE;
    };
    for &(pins, count) in counts.iter().take(MOST) {
        line(scene, &pins.to_string(), count, Some(pins));
    }
    let others: usize = counts.iter().skip(MOST).map(|&(_, count)| count).sum();
    if others > 0 {
        line(scene, "other pins", others, None);
    }
    let unknown = shots.iter().filter(|shot| shot.left.is_none()).count();
    if unknown > 0 {
        line(scene, "not written", unknown, None);
    }
}
