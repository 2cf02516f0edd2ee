//! Moves and changes of ball along a block: their words and signs.

use crate::scene::{Anchor, Scene, Type};
use boardwise_search::Outlook;

/// Words end before the picture's right edge.
const RIGHTMOST: f64 = 348.0;
/// Width of a character of a move, at most.
const CHARACTER: f64 = 4.9;

/// Rows of words, at most.
const MOST_ROWS: usize = 4;

/// A move or a change of ball.
pub(crate) struct MoveMark {
    pub stage: usize,
    /// Boards of the feet, in.
    pub feet_in: i32,
    pub words: String,
    /// The row of its words; `None` if they have no room, and then only the sign is drawn.
    pub row: Option<usize>,
}

/// The moves that at least half of the runs make, and the stages at which another ball becomes the commonest. Words stand in
/// rows, so that none covers another.
pub(crate) fn moves(stages: &[Outlook], xs: &[f64]) -> Vec<MoveMark> {
    let whole = |boards: f64| boards.round() as i32;
    let ball = |k: usize| stages[k].balls.first().map(|ball| ball.0);
    let mut free: Vec<f64> = Vec::new();
    let mut marks = Vec::new();
    for k in 1..stages.len() {
        let stage = &stages[k];
        let (feet, eyes) = match stage.moves {
            0.5.. => (whole(stage.feet_moved.0 / stage.moves), whole(stage.eyes_moved.0 / stage.moves)),
            _ => (0, 0),
        };
        let words = match (move_in_words(feet, eyes), ball(k) == ball(k - 1)) {
            (None, true) => continue,
            (Some(words), true) => words,
            (None, false) => "ball".to_owned(),
            (Some(words), false) => format!("{words}, ball"),
        };
        let (from, to) = extent(xs[k], &words);
        let another = (free.len() < MOST_ROWS).then_some(free.len());
        let row = free.iter().position(|end| *end < from).or(another);
        if let Some(row) = row {
            free.resize(free.len().max(row + 1), to);
            free[row] = to;
        }
        marks.push(MoveMark { stage: k, feet_in: feet, words, row });
    }
    marks
}

/// Feet and eyes in whole boards; `None` if neither moves.
fn move_in_words(feet: i32, eyes: i32) -> Option<String> {
    let way = |boards: i32| if boards < 0 { "out" } else { "in" };
    match (feet, eyes) {
        (0, 0) => None,
        (feet, eyes) if feet * eyes < 0 => Some(format!("{} {} & {} {}", feet.abs(), way(feet), eyes.abs(), way(eyes))),
        (feet, eyes) => Some(format!("{} & {} {}", feet.abs(), eyes.abs(), way(feet + eyes))),
    }
}

/// Where words about a place begin, or end near the right edge.
fn words_at(x: f64, words: &str) -> (f64, Anchor) {
    let wide = CHARACTER * words.chars().count() as f64;
    if x + wide > RIGHTMOST { (x + 2.0, Anchor::End) } else { (x - 2.0, Anchor::Start) }
}

fn extent(x: f64, words: &str) -> (f64, f64) {
    let wide = CHARACTER * words.chars().count() as f64;
    let (at, anchor) = words_at(x, words);
    if anchor == Anchor::End { (at - wide, at) } else { (at, at + wide) }
}

/// Writes what a move is over its stem; stems of others end behind the words.
pub(crate) fn tell(scene: &mut Scene, mark: &MoveMark, x: f64, foot: f64) {
    let palette = scene.palette;
    let (from, to) = extent(x, &mark.words);
    scene.rect(from - 1.0, foot - 10.5, to - from + 2.0, 10.5, &format!("fill=\"{}\"", palette.paper));
    let (at, anchor) = words_at(x, &mark.words);
    scene.text(at, foot - 2.0, &mark.words, Type { size: 10.0, colour: palette.ink, bold: false, anchor });
}

/// A move: upward is in, downward is out, round where the feet stay.
pub(crate) fn sign(scene: &mut Scene, (x, y): (f64, f64), feet_in: i32) {
    let palette = scene.palette;
    let look = format!("class=\"move\" fill=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"", palette.paper, palette.ink);
    if feet_in == 0 {
        return scene.circle(x, y, 3.6, &look);
    }
    let tip = 5.0 * f64::from(feet_in.signum());
    scene.polygon(&[(x, y - tip), (x + 4.5, y + 0.6 * tip), (x - 4.5, y + 0.6 * tip)], &look);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Stages half a game apart at which everybody moves alike.
    fn stages(moves: &[(f64, f64)]) -> Vec<Outlook> {
        let stage = |(k, &(feet, eyes)): (usize, &(f64, f64))| Outlook {
            games: 0.5 * k as f64,
            practised: true,
            strike: (0.5, 0.0),
            stay: (0.5, 0.0),
            first: (0.5, 0.0),
            laydown: (15.0, 0.0),
            arrows: (10.0, 0.0),
            room: (2.0, 0.0),
            feet_moved: (feet, 0.0),
            eyes_moved: (eyes, 0.0),
            moves: 1.0,
            balls: vec![(k / 4, 1.0)],
            forms: Vec::new(),
        };
        moves.iter().enumerate().map(stage).collect()
    }

    fn words_of(moves_made: &[(f64, f64)]) -> Vec<String> {
        let xs: Vec<f64> = (0..moves_made.len()).map(|k| 34.0 + 20.0 * k as f64).collect();
        moves(&stages(moves_made), &xs).into_iter().map(|mark| mark.words).collect()
    }

    #[test]
    fn law_a_move_is_told_in_whole_boards_in_or_out() {
        let made = [(0.0, 0.0), (2.2, 0.9), (-1.0, -0.6), (0.3, -0.4), (1.0, -2.0), (0.0, -1.0)];
        // The fourth step is a change of ball (after four stages), and what rounds to nothing is not told.
        assert_eq!(words_of(&made), ["2 & 1 in", "1 & 1 out", "1 in & 2 out, ball", "0 & 1 out"]);
    }

    #[test]
    fn law_a_move_of_some_is_told_as_they_make_it_and_that_of_few_not() {
        let mut stages = stages(&[(0.0, 0.0), (1.5, 0.75), (1.5, 0.75)]);
        (stages[1].moves, stages[2].moves) = (0.75, 0.4);
        let words = |stages: &[Outlook]| -> Vec<String> {
            moves(stages, &[34.0, 54.0, 74.0]).into_iter().map(|mark| mark.words).collect()
        };
        assert_eq!(words(&stages), ["2 & 1 in"]);
        // Another ball may become the commonest although few change at once.
        stages[2].balls = vec![(1, 0.6), (0, 0.4)];
        assert_eq!(words(&stages), ["2 & 1 in", "ball"]);
    }

    #[test]
    fn law_no_words_cover_others_and_none_leave_the_picture() {
        let xs: Vec<f64> = (0..16).map(|k| 34.0 + 16.0 * f64::from(k)).collect();
        let marks = moves(&stages(&[(2.0, 1.0); 16]), &xs);
        assert_eq!(marks.len(), 15);
        let placed: Vec<(usize, (f64, f64))> =
            marks.iter().filter_map(|mark| Some((mark.row?, extent(xs[mark.stage], &mark.words)))).collect();
        // Close as they are, at most one in four goes without words.
        assert!(placed.len() >= 11 && placed.iter().all(|(row, _)| *row < MOST_ROWS), "{}", placed.len());
        for (k, (row, (from, to))) in placed.iter().enumerate() {
            assert!(*from > 0.0 && *to < 360.0);
            assert!(placed[..k].iter().all(|(other, (_, end))| other != row || end < from));
        }
    }
}
