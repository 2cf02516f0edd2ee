//! The score sheet of one game: ten boxes, two rows of five, so that it reads on a phone and on paper.

use crate::colour::Theme;
use crate::scene::{Anchor, Drawing, Scene, Type, fit};
use boardwise_score::{Deck, Frame, Game, Mark, Roll, Scoring, Thrown};

const WIDTH: f64 = 360.0;
const LEFT: f64 = 12.0;
const TOP: f64 = 54.0;
/// A box, and the room to the next one.
const BOX: (f64, f64) = (64.0, 76.0);
const STEP: (f64, f64) = (68.0, 84.0);
/// From a box's left edge to the middle of its first ball's sign, and from there to the next.
const FIRST_BALL: f64 = 13.0;
const NEXT_BALL: f64 = 19.0;
const SMALL: f64 = 11.0;

/// Draws a game as far as it is bowled. A strike's box has a bar along its whole foot, a spare's along half of it. An open
/// frame's box is dashed and has no bar. The words say the same. Two strokes apart above a ball mark a split; its pins stand
/// below the ball.
///
/// ```
/// use boardwise_score::{Game, Scoring};
/// let game = Game::from_marks(Scoring::Traditional, "X 9/ 9-")?;
/// let sheet = boardwise_figures::sheet_picture(&game, "Game 1", boardwise_figures::Theme::Light);
/// assert!(sheet.svg().contains(">48<"));
/// # Ok::<(), boardwise_score::Error>(())
/// ```
pub fn sheet_picture(game: &Game, title: &str, theme: Theme) -> Drawing {
    let keys = keys(game);
    let bottom = TOP + STEP.1 + BOX.1;
    let mut scene = Scene::new(WIDTH, bottom + 16.0 + 17.0 * keys.len() as f64, title, theme);
    summary(&mut scene, game);
    let next = game.up_next().map(|(frame, _)| frame);
    for frame in game.frames() {
        let place = usize::from(frame.number) - 1;
        let corner = (LEFT + STEP.0 * (place % 5) as f64, TOP + STEP.1 * (place / 5) as f64);
        draw_frame(&mut scene, corner, &frame, next == Some(frame.number));
    }
    for (k, key) in keys.iter().enumerate() {
        let y = bottom + 20.0 + 17.0 * k as f64;
        let kind = Type { size: SMALL, colour: scene.palette.quiet, bold: false, anchor: Anchor::Start };
        let words = match key {
            Key::Split => {
                split_sign(&mut scene, (LEFT + 8.0, y - 8.0));
                "a split, and the pins of it".to_owned()
            }
            Key::Foul => {
                sign(&mut scene, (LEFT + 8.0, y), 'F');
                "a foul: its pins do not count".to_owned()
            }
            Key::Waits => {
                sign(&mut scene, (LEFT + 8.0, y), '…');
                "waits for balls to come".to_owned()
            }
            Key::NotSeen(1) => "pins not written after one first ball: no split told there".to_owned(),
            Key::NotSeen(balls) => format!("pins not written after {balls} first balls: no splits told there"),
        };
        let x = if matches!(key, Key::NotSeen(_)) { LEFT } else { LEFT + 22.0 };
        scene.text(x, y, &words, kind);
    }
    scene.says(format!("{title}, score sheet. {}.", said(game).join("; ")));
    scene.finish()
}

/// The frames bowled, in words.
fn said(game: &Game) -> Vec<String> {
    let of = |frame: &Frame| {
        let balls: Vec<String> = frame.balls.iter().flatten().map(|ball| ball.sign().to_string()).collect();
        let total = frame.cumulative.map_or_else(String::new, |total| format!(", {total}"));
        (!balls.is_empty()).then(|| format!("frame {}: {}{total}", frame.number, balls.join(" ")))
    };
    game.frames().iter().filter_map(of).collect()
}

/// What needs a note below the boxes.
enum Key {
    Split,
    Foul,
    Waits,
    NotSeen(usize),
}

fn keys(game: &Game) -> Vec<Key> {
    let has = |what: fn(&Thrown) -> bool| game.thrown().any(|ball| what(&ball));
    // One pin, whichever it is, and the full rack are never a split.
    let unseen = |ball: &Thrown| {
        ball.first_at_rack && ball.roll != Roll::Foul && matches!(ball.after, Deck::Count(standing) if standing > 1)
    };
    let unseen = game.thrown().filter(unseen).count();
    let mut keys = Vec::new();
    if has(is_split) {
        keys.push(Key::Split);
    }
    if has(|ball| ball.roll == Roll::Foul) {
        keys.push(Key::Foul);
    }
    if game.frames().iter().any(waits) {
        keys.push(Key::Waits);
    }
    if unseen > 0 {
        keys.push(Key::NotSeen(unseen));
    }
    keys
}

fn is_split(ball: &Thrown) -> bool {
    ball.leave().is_some_and(boardwise_score::Leave::is_split)
}

/// Whether it is bowled but its running score is not certain yet.
fn waits(frame: &Frame) -> bool {
    frame.mark.is_some() && frame.cumulative.is_none()
}

fn summary(scene: &mut Scene, game: &Game) {
    let scoring = match game.scoring() {
        Scoring::Traditional => "bonus balls count",
        Scoring::CurrentFrame => "each frame counts alone",
    };
    let kind = Type { size: SMALL, colour: scene.palette.quiet, bold: false, anchor: Anchor::Start };
    scene.text(LEFT, 42.0, scoring, kind);
    let counted = game.frames().iter().any(|frame| frame.cumulative.is_some());
    let words = match game.final_score() {
        Some(score) => score.to_string(),
        None if counted => format!("{} so far, at most {}", game.score(), game.maximum()),
        // A strike that waits for its count must not read as zero.
        None => format!("at most {}", game.maximum()),
    };
    let bold = Type { size: 14.0, colour: scene.palette.ink, bold: true, anchor: Anchor::End };
    scene.text(WIDTH - LEFT, 42.0, &words, bold);
}

fn draw_frame(scene: &mut Scene, (x, y): (f64, f64), frame: &Frame, next: bool) {
    let palette = scene.palette;
    let dash = if frame.mark == Some(Mark::Open) { " stroke-dasharray=\"3 3\"" } else { "" };
    let edge = if frame.balls[0].is_some() { palette.ink } else { palette.grid };
    let look = format!("class=\"frame\" rx=\"4\" fill=\"{}\" stroke=\"{edge}\" stroke-width=\"1\"{dash}", palette.lane);
    scene.rect(x, y, BOX.0, BOX.1, &look);
    let (word, bar) = match frame.mark {
        Some(Mark::Strike) => ("strike", 1.0),
        Some(Mark::Spare) => ("spare", 0.5),
        Some(Mark::Open) => ("open", 0.0),
        None if next => ("next", 0.0),
        None => ("", 0.0),
    };
    if bar > 0.0 {
        let look = format!("class=\"made\" fill=\"{}\"", palette.accent);
        scene.rect(x + 5.0, y + BOX.1 - 6.0, bar * (BOX.0 - 10.0), 3.0, &look);
    }
    let quiet = Type { size: SMALL, colour: palette.quiet, bold: false, anchor: Anchor::Start };
    scene.text(x + 5.0, y + 13.0, &frame.number.to_string(), quiet);
    if !word.is_empty() {
        scene.text(x + BOX.0 - 5.0, y + 13.0, word, Type { anchor: Anchor::End, ..quiet });
    }
    let mut splits = Vec::new();
    for (k, ball) in frame.balls.iter().flatten().enumerate() {
        let middle = x + FIRST_BALL + NEXT_BALL * k as f64;
        sign(scene, (middle, y + 38.0), ball.sign());
        if let Some(leave) = ball.leave().filter(|leave| leave.is_split()) {
            split_sign(scene, (middle, y + 17.5));
            splits.push(leave.pins().to_string());
        }
    }
    if !splits.is_empty() {
        let words = fit(&splits.join(", "), 10.0, BOX.0 - 6.0);
        scene.note(x + 5.0, y + 50.0, &words, Anchor::Start);
    }
    let total = match frame.cumulative {
        Some(total) => total.to_string(),
        None if waits(frame) => "…".to_owned(),
        None => return,
    };
    let kind = Type { size: 14.0, colour: palette.ink, bold: true, anchor: Anchor::End };
    scene.text(x + BOX.0 - 5.0, y + 66.0, &total, kind);
}

/// The sign of a ball, its middle and its foot given.
fn sign(scene: &mut Scene, (x, y): (f64, f64), sign: char) {
    let words = if sign == '-' { "–".to_owned() } else { sign.to_string() };
    let kind = Type { size: 16.0, colour: scene.palette.ink, bold: false, anchor: Anchor::Middle };
    scene.text(x, y, &words, kind);
}

/// Two pins apart.
fn split_sign(scene: &mut Scene, (x, y): (f64, f64)) {
    let look = format!("class=\"split\" rx=\"1.2\" fill=\"{}\"", scene.palette.ink);
    for side in [-1.0, 1.0] {
        scene.rect(x + 4.5 * side - 1.3, y, 2.6, 6.5, &look);
    }
}
