//! A block in a bowler's words: the terms of its account, its shots, and what strays.

use std::fmt::Write;

use boardwise_belief::{Account, GameAccount, Stray};

use super::super::score_view::{lane_words, shot_words};
use super::Story;
use super::turning::turning;
use crate::Failure;

/// How far to trust it, for the foot of every paper.
pub const CAUTION: &str = "Estimates with their doubt, no promises: how far to trust them is told beside them. Build practice up slowly, stop at pain, \
                           ask a coach or a physician. The event's rules and officials decide what is allowed.";

/// Chance or doubt comes to more standard deviations than this one time in ten, toward one side.
pub(super) const SURE: f64 = 1.2816;

/// A term of an account.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// Its name.
    pub name: &'static str,
    /// Pins won; lost where less than nothing.
    pub pins: f64,
    /// How far it may be off, as a standard deviation.
    pub doubt: f64,
    /// How far it goes by chance alone, as a standard deviation.
    pub chance: f64,
}

/// The terms of a game or a block.
pub fn terms(told: &GameAccount) -> Vec<Term> {
    let all = told.terms.named().into_iter().zip(told.doubts.named()).zip(told.chance.named());
    all.map(|(((name, pins), (_, doubt)), (_, chance))| Term { name, pins, doubt, chance }).collect()
}

impl Term {
    /// What it is, for somebody who never read of it.
    pub fn meaning(&self) -> &'static str {
        match self.name {
            "lanes" => {
                "What the lanes gave or took against the start of the block, and how they turned out against what the shots before had suggested. \
                 A whole day on which you are slow or outside counts here too."
            }
            "ball" => {
                "The ball in your hand against the best one of the bag at that moment, each on its best line found. Below nothing: another \
                 ball was better."
            }
            "line" => {
                "The line you meant against the best one found for that ball. Below nothing: moves missed, or made late."
            }
            "execution" => {
                "The throw as you logged it (arrows, breakpoint, hit, feel) against your usual throws at that line, by the spread in your \
                 bowler's file."
            }
            "luck" => {
                "The pins that fell against what such a throw leaves on average. A pocket hit that leaves a ten loses here; a poor throw \
                 that strikes wins."
            }
            "spares" => {
                "Second balls against how often you make that leave with your spare ball, by the spread in your bowler's file."
            }
            _ => {
                "What cannot be told apart: fouls, pins that were only counted, and first balls of which nothing but the pins was logged. \
                 Log how it hit, and it parts into execution and luck."
            }
        }
    }

    /// The number, with its doubt where that is known: `+3.2 ± 1.5`.
    pub fn number(&self) -> String {
        if self.doubt < 0.05 { signed(self.pins) } else { format!("{} ± {:.1}", signed(self.pins), self.doubt) }
    }

    /// Whether doubt and chance together seldom (one time in ten, toward its side) come to as much, and it is half a pin at least: the
    /// same rule as for what to practise.
    pub fn stands_out(&self) -> bool {
        self.pins.abs() >= 0.5 && self.pins.abs() > SURE * self.unsure()
    }

    /// Doubt and chance together, as a standard deviation.
    pub fn unsure(&self) -> f64 {
        self.doubt.hypot(self.chance)
    }

    /// How sure it is, in words.
    pub fn doubt_words(&self) -> String {
        if self.pins.abs() < 0.05 && self.doubt < 0.05 {
            return "Nothing of it in this block.".to_owned();
        }
        let mut words = match (self.name, self.doubt) {
            ("spares", _) => {
                "How often you make a leave is taken as the model has it; how far that is off is not known.".to_owned()
            }
            (_, doubt) if doubt < 0.05 => "How far it may be off is not known.".to_owned(),
            (_, doubt) => format!("It may be off by {doubt:.1} pins (one standard deviation)."),
        };
        if self.chance >= 0.05 {
            // Writing to a string cannot fail.
            let _ = write!(words, " Where nothing is wrong, chance alone moves it by {:.1} pins.", self.chance);
        }
        let so = if self.stands_out() { "more than these make" } else { "no more than these make: no story" };
        let _ = write!(words, " It is {so}.");
        words
    }
}

/// Pins with their sign; what would be shown as nothing has none.
pub fn signed(pins: f64) -> String {
    signed_to(pins, 1)
}

/// A number with its sign and so many decimals; what would be shown as nothing has no sign.
pub(super) fn signed_to(value: f64, places: usize) -> String {
    let words = format!("{:.places$}", value.abs());
    let zero = words.chars().all(|letter| matches!(letter, '0' | '.'));
    let sign = match value {
        _ if zero => "",
        ..0.0 => "−",
        _ => "+",
    };
    format!("{sign}{words}")
}

/// The whole in one sentence.
pub fn verdict(told: &GameAccount) -> String {
    let (won, par) = (told.terms.sum(), told.par);
    let way = if won < 0.0 { "under" } else { "over" };
    format!("{:.1} pins {way} the {par:.1} that could be expected before the first ball", won.abs())
}

/// How far throws strayed at the arrows, in a sentence; `about` is the lane or ball, or all shots.
pub fn stray_words(stray: &Stray, about: &str) -> String {
    let way = if stray.off_boards < 0.0 { "outside" } else { "inside" };
    format!(
        "{about}: {:.1} boards either way (19 in 20: {:.1} to {:.1}; by your file {:.1}), on average {:.1} ± {:.1} {way} of what was meant; {} shots",
        stray.sd_boards,
        stray.sd_between.0,
        stray.sd_between.1,
        stray.sd_told,
        stray.off_boards.abs(),
        stray.off_error,
        stray.shots
    )
}

/// How wide throws were by all that was logged, the pins too, in a sentence.
pub fn spread_words(account: &Account) -> Option<String> {
    let told = account.spread?;
    Some(format!(
        "By all that was logged, the pins too, you throw {:.2} ± {:.2} times as wide as your file says",
        told.mean, told.sd
    ))
}

/// What a stray is about, in words.
pub fn about(story: &Story, balls: &[String], stray: &Stray) -> String {
    let number = stray.lane.and_then(|lane| Some(story.event.as_ref().ok()?.setting.numbers[lane]));
    match (number, stray.ball.and_then(|ball| balls.get(ball))) {
        (Some(number), _) => format!("Lane {number}"),
        (None, Some(ball)) => ball.clone(),
        (None, None) => "All shots".to_owned(),
    }
}

/// Where breakpoints are drawn, and why there.
///
/// # Errors
/// If the record cannot be read.
pub fn breakpoint_words(story: &Story, lane: &boardwise_record::LaneId) -> Result<String, Failure> {
    let lane_named = lane_words(lane);
    Ok(match turning(story, lane)? {
        Some(feet) => format!(
            "The record has the board of a breakpoint, not how far down it is: on {lane_named} all are drawn at {:.0} ft, where the present line turns on the lane as it lay fresh.",
            feet.0
        ),
        None => "The record has the board of a breakpoint, not how far down it is, and the event that would tell is not kept: only boards at the arrows are drawn.".to_owned(),
    })
}

/// Every shot as a row: number, what it did, hit, board at the arrows and at the breakpoint, feel.
pub fn shot_rows(story: &Story) -> Vec<Vec<String>> {
    let dash = || "-".to_owned();
    let rows = story.sheet.deliveries.iter().enumerate().map(|(k, one)| {
        vec![
            (k + 1).to_string(),
            shot_words(one),
            one.shot.hit.map_or_else(dash, |hit| hit.to_string()),
            one.shot.arrows.map_or_else(dash, |board| board.0.to_string()),
            one.shot.breakpoint.map_or_else(dash, |board| board.0.to_string()),
            one.shot.felt.map_or_else(dash, |felt| felt.to_string()),
        ]
    });
    rows.collect()
}
