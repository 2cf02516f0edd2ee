//! A bowler's file from a sketch or from numbers.

use std::fmt::Write;

use boardwise_units::Hand;
use serde::Deserialize;

use super::quoted;

/// How somebody throws, as one of three sketches (our judgement of what each sort of bowler does; no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Manner {
    /// Fast, with little hook.
    Straight,
    /// A steady curve at a middling speed.
    Steady,
    /// Many turns and a strong hook.
    Strong,
}

impl Manner {
    /// All of them, from the least hook to the most.
    pub const ALL: [Self; 3] = [Self::Straight, Self::Steady, Self::Strong];

    /// In a word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Steady => "steady",
            Self::Strong => "strong",
        }
    }

    /// The one of this word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }

    /// What a bowler would say of it.
    pub fn title(self) -> &'static str {
        match self {
            Self::Straight => "Fast, fairly straight",
            Self::Steady => "A steady curve",
            Self::Strong => "A strong hook",
        }
    }

    /// Speed in mph, rev rate in rpm, axis rotation and tilt in degrees.
    pub fn numbers(self) -> [f64; 4] {
        match self {
            Self::Straight => [18.0, 260.0, 30.0, 12.0],
            Self::Steady => [17.0, 330.0, 45.0, 13.0],
            Self::Strong => [17.5, 430.0, 55.0, 14.0],
        }
    }
}

/// A bowler to be written down.
#[derive(Clone, Debug, PartialEq)]
pub struct BowlerStart {
    /// What to call them.
    pub name: String,
    /// The hand.
    pub hand: Hand,
    /// Speed at release, mph.
    pub speed_mph: f64,
    /// Rev rate at release, rpm.
    pub rev_rate_rpm: f64,
    /// Axis rotation, degrees.
    pub rotation_deg: f64,
    /// Axis tilt, degrees.
    pub tilt_deg: f64,
    /// From the inner edge of the slide foot to the middle of the ball, boards.
    pub slide_offset_boards: f64,
    /// Where the numbers come from; for the reader.
    pub from: &'static str,
}

impl BowlerStart {
    /// Where the numbers of a sketch come from.
    const SKETCHED: &'static str =
        "Speed, revs and hand are a sketch, chosen among three: change them when you have measured yours.";
    /// Where typed numbers come from.
    const TYPED: &'static str = "As it was typed.";

    /// Somebody of whom only the hand and a sketch are known.
    pub fn newcomer(name: Option<&str>, hand: Hand, manner: Manner) -> Self {
        let usual = match hand {
            Hand::Right => "Right-handed bowler",
            Hand::Left => "Left-handed bowler",
        };
        let name = name.map(str::trim).filter(|name| !name.is_empty()).unwrap_or(usual).to_owned();
        let [speed_mph, rev_rate_rpm, rotation_deg, tilt_deg] = manner.numbers();
        let slide_offset_boards = boardwise_search::USUAL_SLIDE_OFFSET_BOARDS;
        Self { name, hand, speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, slide_offset_boards, from: Self::SKETCHED }
    }

    /// The same with numbers of one's own.
    #[must_use]
    pub fn typed(self) -> Self {
        Self { from: Self::TYPED, ..self }
    }

    /// The file.
    pub fn text(&self) -> String {
        let Self { speed_mph, rev_rate_rpm, rotation_deg, tilt_deg, slide_offset_boards, .. } = self;
        let hand = match self.hand {
            Hand::Right => "right",
            Hand::Left => "left",
        };
        let mut text = format!("# {}\n", self.from);
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "name = {}\nhand = \"{hand}\"\n\
             # Speed as the ball leaves the hand; a display at the lanes shows about half a mile less.\n\
             speed_mph = {speed_mph}\n\
             # Turns of the ball in a minute: film four turns and count the frames.\n\
             rev_rate_rpm = {rev_rate_rpm}\n\
             # 0 is end over end, 90 full side roll.\n\
             rotation_deg = {rotation_deg}\n\
             # 0 is a level axis.\n\
             tilt_deg = {tilt_deg}\n\
             # From the inner edge of the slide foot to the middle of the ball, in boards.\n\
             slide_offset_boards = {slide_offset_boards}\n\n\
             # How far shots meant alike differ is that of a good league bowler until [spread] says otherwise.\n\
             # Other speeds and hands are offered only where [range] says that they can be thrown.\n",
            quoted(&self.name)
        );
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse_bowler;

    #[test]
    fn law_each_sketch_is_a_bowler_without_a_doubt_and_hooks_more_than_the_one_before() {
        let bowlers = Manner::ALL.map(|manner| {
            assert_eq!(Manner::of(manner.word()), Some(manner));
            let loaded = parse_bowler("x", BowlerStart::newcomer(None, Hand::Right, manner).text().as_bytes()).unwrap();
            assert!(loaded.warnings.is_empty(), "{:?}", loaded.warnings);
            loaded.value
        });
        let turn = |k: usize| bowlers[k].release.rev_rate.0 / bowlers[k].release.speed.0;
        assert!(turn(0) < turn(1) && turn(1) < turn(2));
    }

    #[test]
    fn law_a_name_with_quotes_comes_back() {
        let name = "Pat \"the \\ board\"\u{e9}";
        let text = BowlerStart::newcomer(Some(name), Hand::Left, Manner::Steady).text();
        assert_eq!(parse_bowler("x", text.as_bytes()).unwrap().value.name, name);
    }
}
