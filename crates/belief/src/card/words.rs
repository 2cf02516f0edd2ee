//! Choices in a bowler's words.

use crate::advice::{Change, Choice, NextShot};
use boardwise_ball::Surface;
use boardwise_search::Move;
use boardwise_units::{Degrees, Mph, math};

/// What to do, whole: the ball, surface or hand if it is another, and where to stand and look.
pub fn headline(shot: &NextShot, balls: &[&str]) -> String {
    let line = line(&shot.choice);
    match shot.change {
        Change::Stay => "Same again".to_owned(),
        Change::Move(_) => upper(&line),
        Change::OwnHand(_) => format!("Usual hand: {line}"),
        Change::Ball => format!("{}: {line}", upper(balls.get(shot.choice.ball).copied().unwrap_or("another ball"))),
        Change::Surface(surface) => format!("{}: {line}", work(surface)),
        Change::Hand(by_speed, by_rotation) => format!("{}: {line}", hand(by_speed, by_rotation)),
    }
}

/// Small print: the move from the line in use, or where that line is if it stays.
pub(super) fn detail(shot: &NextShot) -> String {
    match shot.change {
        Change::Stay => line(&shot.choice),
        _ => move_in_words(shot.moved),
    }
}

/// Where to stand and where to look.
fn line(choice: &Choice) -> String {
    format!("slide {}, look at {}", half_boards(choice.slide.0), half_boards(choice.look.0))
}

/// What is done to a cover, with the grit of [`Surface::sanded`] that leaves such a roughness.
fn work(surface: Surface) -> String {
    if surface.ra_m <= Surface::polished().ra_m * 1.2 {
        return "Polish".to_owned();
    }
    let grit = 500.0 * math::pow(Surface::sanded(500.0).ra_m / surface.ra_m, 1.0 / 0.7);
    format!("Sand to {:.0}", 50.0 * (grit / 50.0).round())
}

/// A change of speed or of hand.
fn hand(speed: Mph, rotation: Degrees) -> String {
    let size =
        if (speed.0.abs() - 0.5).abs() < 0.01 { "Half a mile".to_owned() } else { format!("{:.1} mph", speed.0.abs()) };
    let way = if rotation.0 < 0.0 { "less" } else { "more" };
    match (speed.0 == 0.0, speed.0 < 0.0) {
        (true, _) => format!("A little {way} side rotation"),
        (false, true) => format!("{size} slower"),
        (false, false) => format!("{size} faster"),
    }
}

/// A board in whole or half boards, as a bowler says it.
pub fn half_boards(board: f64) -> String {
    let half = (2.0 * board).round() / 2.0 + 0.0;
    if half.fract() == 0.0 { format!("{half:.0}") } else { format!("{half:.1}") }
}

fn way(boards: f64) -> &'static str {
    if boards < 0.0 { "out" } else { "in" }
}

/// A move as a bowler says it: "2 and 1 in".
pub fn move_in_words(moved: Move) -> String {
    let (feet, eyes) = (moved.feet_boards, moved.eyes_boards);
    let size = |boards: f64| half_boards(boards.abs());
    match (feet.abs() < 0.25, eyes.abs() < 0.25) {
        (true, true) => "same feet, same target".to_owned(),
        (false, true) => format!("feet {} {}, same target", size(feet), way(feet)),
        (true, false) => format!("same feet, target {} {}", size(eyes), way(eyes)),
        (false, false) if way(feet) == way(eyes) => format!("{} and {} {}", size(feet), size(eyes), way(feet)),
        (false, false) => format!("feet {} {}, target {} {}", size(feet), way(feet), size(eyes), way(eyes)),
    }
}

pub(super) fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

pub(super) fn upper(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
