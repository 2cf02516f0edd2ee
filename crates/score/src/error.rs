//! What can be wrong with the pins, balls, chances and formats that somebody enters.

use alloc::boxed::Box;

/// Why an entry is impossible: what is wrong, where, what is allowed and what to do.
///
/// ```
/// let why = "3-11".parse::<boardwise_score::PinSet>().unwrap_err();
/// assert_eq!(why.to_string(), "`11` (entry 2) is no pin: pins are numbered 1 to 10, written like 3-10");
/// ```
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The text names no pin at all.
    #[error("no pins named: write those that stand, like 3-10, or `none` if all are down")]
    NoPins,
    /// A piece of the text is not a number from 1 to 10.
    #[error("`{found}` (entry {place}) is no pin: pins are numbered 1 to 10, written like 3-10")]
    NotAPin {
        /// The piece as it was written.
        found: Box<str>,
        /// Which piece it was, counted from 1.
        place: usize,
    },
    /// A number that is not a pin's.
    #[error("{number} is no pin: pins are numbered 1 to 10")]
    NoSuchPin {
        /// The number.
        number: u8,
    },
    /// A pin is named twice.
    #[error("pin {pin} is named twice: name each standing pin once")]
    PinTwice {
        /// The pin.
        pin: u8,
    },
    /// A leave without pins.
    #[error("no pin stands, so there is no leave: that is a strike")]
    NothingLeft,
    /// More pins fell than stood.
    #[error("frame {frame}, ball {ball}: {down} pins cannot fall where {standing} stand; enter 0 to {standing}")]
    TooManyDown {
        /// Frame, 1 to 10.
        frame: u8,
        /// Ball within the frame, 1 to 3.
        ball: u8,
        /// Pins said to have fallen.
        down: u8,
        /// Pins that stood.
        standing: u8,
    },
    /// Pins are said to stand that were down before the ball.
    #[error("frame {frame}, ball {ball}: {pins} cannot stand, already down before this ball; correct one of the two")]
    AlreadyDown {
        /// Frame, 1 to 10.
        frame: u8,
        /// Ball within the frame, 1 to 3.
        ball: u8,
        /// The pins that cannot stand, as in 3-10.
        pins: Box<str>,
    },
    /// More pins are said to stand than stood before the ball.
    #[error("frame {frame}, ball {ball}: {after} pins cannot stand where {before} stood; correct one of the two")]
    TooManyStanding {
        /// Frame, 1 to 10.
        frame: u8,
        /// Ball within the frame, 1 to 3.
        ball: u8,
        /// Pins said to stand afterwards.
        after: u8,
        /// Pins that stood before.
        before: u8,
    },
    /// A ball after the last one of the game.
    #[error("the game is complete: there is no frame after the tenth; start the next game, or take the last ball back")]
    GameComplete,
    /// A sign that means nothing where it stands on a score sheet.
    #[error("`{mark}` (sign {place}) means nothing at frame {frame}, ball {ball}: use X, /, -, F or 1 to 9")]
    BadMark {
        /// The sign.
        mark: char,
        /// Which sign it was, counted from 1 without spaces.
        place: usize,
        /// Frame, 1 to 10.
        frame: u8,
        /// Ball within the frame, 1 to 3.
        ball: u8,
    },
    /// A chance outside 0 to 1.
    #[error("{value} is no chance: use 0 to 1 (a percentage divided by 100)")]
    NotAChance {
        /// The value.
        value: f64,
    },
    /// Chances that should make a whole.
    #[error(
        "the chances add up to {sum}, they must add up to 1: strikes and leaves, or the results of one missed spare"
    )]
    ChancesNotWhole {
        /// Their sum.
        sum: f64,
    },
    /// A first-ball count that leaves nothing or is impossible.
    #[error("{down} down leaves no spare: a leave has 0 to 9 pins down")]
    LeavesNoSpare {
        /// The count.
        down: u8,
    },
    /// A leave, or an unnamed count, listed twice in one skill.
    #[error("a leave with {standing} standing is listed twice: list each leave, and each count of the others, once")]
    LeaveTwice {
        /// Pins that stand in it.
        standing: u8,
    },
    /// A swing of form out of range.
    #[error("a form swing of {value} is out of range: use 0 (every game alike) to 1, in units of log odds")]
    FormOutOfRange {
        /// The value.
        value: f64,
    },
    /// A game score over 300.
    #[error("{score} is no game score: the least is 0, the most 300")]
    NoSuchScore {
        /// The score.
        score: u16,
    },
    /// A percentage out of range.
    #[error("a handicap of {percent}% is out of range: use 0 to 150")]
    HandicapOutOfRange {
        /// The percentage.
        percent: u16,
    },
    /// A team that cannot share ten frames evenly.
    #[error("{bowlers} bowlers cannot share ten frames evenly: use 1, 2, 5 or 10")]
    UnevenTeam {
        /// Bowlers of the team.
        bowlers: usize,
    },
}
