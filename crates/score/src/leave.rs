//! What the first ball of a rack leaves: split, washout or neither.

use crate::pins::bits;
use crate::{Error, Pin, PinSet};
use core::fmt;
use core::str::FromStr;

/// The pins that stand after the first ball at a full rack: at least one of them.
///
/// ```
/// use boardwise_score::{Leave, LeaveKind};
/// let leave: Leave = "3-10".parse()?;
/// assert!(leave.is_split());
/// assert_eq!(leave.to_string(), "3-10 split");
/// assert_eq!("1-2-10".parse::<Leave>()?.kind(), LeaveKind::Washout);
/// assert_eq!("10".parse::<Leave>()?.to_string(), "10 pin");
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Leave(PinSet);

/// What sort of leave it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LeaveKind {
    /// One pin.
    Single,
    /// Two pins, one straight behind the other: 1-5, 2-8 or 3-9.
    DoubleWood,
    /// A split by the rules, see [`Leave::is_split`].
    Split,
    /// A gap like a split's with the head pin standing, see [`Leave::is_washout`].
    Washout,
    /// All ten pins.
    FullRack,
    /// Several pins without a gap, such as 2-4-5.
    Together,
}

/// Pins by where the bowler sees them from the foul line, from left to right, 6 in apart.
const COLUMNS: [u16; 7] =
    [bits(&[7]), bits(&[4]), bits(&[2, 8]), bits(&[1, 5]), bits(&[3, 9]), bits(&[6]), bits(&[10])];

/// Two pins side by side in a row, and the pin immediately ahead of both.
const SIDE_BY_SIDE: [(u16, u16); 6] = [
    (bits(&[2, 3]), bits(&[1])),
    (bits(&[4, 5]), bits(&[2])),
    (bits(&[5, 6]), bits(&[3])),
    (bits(&[7, 8]), bits(&[4])),
    (bits(&[8, 9]), bits(&[5])),
    (bits(&[9, 10]), bits(&[6])),
];

impl Leave {
    /// The leave of these pins.
    ///
    /// # Errors
    /// [`Error::NothingLeft`] if there are none.
    pub const fn new(pins: PinSet) -> Result<Self, Error> {
        if pins.is_empty() { Err(Error::NothingLeft) } else { Ok(Self(pins)) }
    }

    /// All 1,023 leaves, in the order of their bits.
    ///
    /// ```
    /// assert_eq!(boardwise_score::Leave::all().count(), 1023);
    /// ```
    pub fn all() -> impl ExactSizeIterator<Item = Self> + Clone {
        (0..PinSet::ALL.bits()).map(|below| Self(PinSet::from_bits(below + 1).unwrap_or(PinSet::ALL)))
    }

    /// The pins.
    pub const fn pins(self) -> PinSet {
        self.0
    }

    /// The same leave in the mirror.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self(self.0.mirrored())
    }

    /// Whether the rules call it a split: the head pin is down, and another pin is down between two that stand, or
    /// immediately ahead of two that stand \[M, high confidence: the playing rules\].
    ///
    /// The rule's words leave room, and this is how they are read here:
    ///
    /// * *Between* is what the bowler sees from the foul line. Seen from there the pins stand in seven columns: 7, 4,
    ///   2 and 8, 1 and 5, 3 and 9, 6, 10. If all of a column is down while pins stand on both sides of it, a pin is
    ///   down between them. So 5-7 and 4-9 are splits although no pin's spot lies on the straight line between them,
    ///   and 2-8 is none: one stands behind the other, with nothing between as seen from the line.
    /// * *Immediately ahead of two* is the pin in front of two side by side in a row: 1 ahead of 2-3, 2 of 4-5, 3 of
    ///   5-6, 4 of 7-8, 5 of 8-9, 6 of 9-10. It counts even if a pin behind them fills the gap, as in 4-5-8.
    ///
    /// ```
    /// use boardwise_score::Leave;
    /// for split in ["7-10", "5-6", "3-10", "4-6-7-10", "2-7", "9-10", "4-5", "5-7", "4-9"] {
    ///     assert!(split.parse::<Leave>()?.is_split());
    /// }
    /// for none in ["2-4-5", "3-6-10", "1-2-10", "2-8", "10"] {
    ///     assert!(!none.parse::<Leave>()?.is_split());
    /// }
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn is_split(self) -> bool {
        let standing = self.0.bits();
        let ahead_down = |&(two, ahead): &(u16, u16)| standing & two == two && standing & ahead == 0;
        !self.0.contains(Pin::HEAD) && (self.has_empty_column() || SIDE_BY_SIDE.iter().any(ahead_down))
    }

    /// Whether it is a washout: the head pin stands, so it is not a split, but pins stand on both sides of an empty
    /// column, as in 1-2-10 \[S for the head pin; the columns are as in [`Leave::is_split`]\].
    pub fn is_washout(self) -> bool {
        self.0.contains(Pin::HEAD) && self.has_empty_column()
    }

    /// What sort of leave it is.
    pub fn kind(self) -> LeaveKind {
        let in_one_column = COLUMNS.iter().any(|column| self.0.bits() & !column == 0);
        match self.0.len() {
            1 => LeaveKind::Single,
            10 => LeaveKind::FullRack,
            _ if in_one_column => LeaveKind::DoubleWood,
            _ if self.is_split() => LeaveKind::Split,
            _ if self.is_washout() => LeaveKind::Washout,
            _ => LeaveKind::Together,
        }
    }

    /// Whether some column is empty with pins standing on both sides of it.
    fn has_empty_column(self) -> bool {
        let stands = |column: &u16| self.0.bits() & column != 0;
        let left = COLUMNS.iter().position(stands).unwrap_or(0);
        let right = COLUMNS.iter().rposition(stands).unwrap_or(0);
        !COLUMNS[left..=right].iter().all(stands)
    }
}

impl fmt::Display for Leave {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.kind() {
            LeaveKind::Single => write!(f, "{} pin", self.0),
            LeaveKind::DoubleWood => write!(f, "{} double wood", self.0),
            LeaveKind::Split => write!(f, "{} split", self.0),
            LeaveKind::Washout => write!(f, "{} washout", self.0),
            LeaveKind::FullRack => f.write_str("full rack"),
            LeaveKind::Together => write!(f, "{}", self.0),
        }
    }
}

impl FromStr for Leave {
    type Err = Error;

    /// Reads the pins as [`PinSet`] does.
    fn from_str(text: &str) -> Result<Self, Error> {
        Self::new(text.parse()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_units::court::PIN_SPOTS_IN;

    fn leave(text: &str) -> Leave {
        text.parse().unwrap()
    }

    #[test]
    fn truth_known_splits() {
        // The rule's own examples are 7-9, 3-10 and 5-6; the rest is common knowledge of the trade [M, high].
        for split in [
            "7-9",
            "3-10",
            "5-6",
            "7-10",
            "4-6-7-10",
            "2-7",
            "8-10",
            "9-10",
            "4-5",
            "7-8",
            "8-9",
            "4-6",
            "5-7",
            "5-10",
            "4-10",
            "6-7",
            "4-7-10",
            "6-7-10",
            "3-7",
            "2-10",
            "4-9",
            "6-8",
            "3-6-7-10",
            "2-4-10",
            "3-6-7",
            "4-7-9-10",
            "6-7-9-10",
            "5-7-10",
            "2-7-10",
            "4-6-7-9-10",
            "4-6-7-8-10",
            "3-4-6-7-10",
            "2-5-7",
            "3-5-10",
            "3-9-10",
        ] {
            assert!(leave(split).is_split(), "{split}");
            assert!(!leave(split).is_washout(), "{split}");
            assert_eq!(leave(split).kind(), LeaveKind::Split, "{split}");
        }
    }

    #[test]
    fn truth_known_leaves_that_are_no_splits() {
        for none in [
            "2-4-5", "3-6-10", "1-2-10", "2-8", "3-9", "1-5", "1-2-4", "2-4-5-8", "3-5-6-9", "6-10", "4-7", "2-4",
            "3-6", "2-4-7", "4-7-8", "6-9-10", "1-2-4-7", "1-3-6-10", "1-3-7", "2-5", "5-8", "5-9", "4-8", "6-9",
            "1-2-3",
        ] {
            assert!(!leave(none).is_split(), "{none}");
        }
        for pin in PinSet::ALL {
            let single = Leave::new(pin.into()).unwrap();
            assert_eq!(single.kind(), LeaveKind::Single);
            assert!(!single.is_split() && !single.is_washout());
        }
    }

    #[test]
    fn truth_washouts_keep_the_head_pin() {
        // [S]: the head pin stands, with a gap like a split's.
        for washout in ["1-2-10", "1-3-7", "1-2-4-10", "1-3-6-7", "1-10", "1-2-4-6-10"] {
            assert_eq!(leave(washout).kind(), LeaveKind::Washout, "{washout}");
        }
        for none in ["1-2-4", "1-3-6-10", "1-5", "1-2-3", "1-2-3-4-5-6-7-8-9-10"] {
            assert!(!leave(none).is_washout(), "{none}");
        }
    }

    /// The same reading of the rule once more, from the spots' places instead of from tables of pins.
    fn split_by_spots(leave: Leave) -> bool {
        let (standing, down) = (leave.pins(), PinSet::ALL - leave.pins());
        let spot = |pin: Pin| PIN_SPOTS_IN[pin.index()];
        let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
        let shadowed = |pin: Pin| standing.iter().any(|other| near(spot(other).0, spot(pin).0));
        let pairs = || standing.iter().flat_map(|a| standing.iter().map(move |b| (spot(a), spot(b))));
        let between = down
            .iter()
            .any(|pin| !shadowed(pin) && pairs().any(|(a, b)| a.0 < spot(pin).0 - 1e-6 && spot(pin).0 < b.0 - 1e-6));
        let row_in = 12.0 * 0.75_f64.sqrt();
        let ahead = down.iter().any(|pin| {
            let (x, y) = spot(pin);
            pairs().any(|(a, b)| near(a.1, y + row_in) && near(b.1, a.1) && near(a.0, x - 6.0) && near(b.0, x + 6.0))
        });
        down.contains(Pin::HEAD) && (between || ahead)
    }

    #[test]
    fn law_all_leaves_agree_with_the_rule_read_from_the_spots() {
        let mut splits = 0;
        for leave in Leave::all() {
            assert_eq!(leave.is_split(), split_by_spots(leave), "{leave}");
            assert_eq!(leave.is_split(), leave.mirrored().is_split(), "{leave}");
            assert_eq!(leave.kind(), leave.mirrored().kind(), "{leave}");
            assert!(!(leave.is_split() && leave.is_washout()), "{leave}");
            splits += u32::from(leave.is_split());
        }
        assert!(splits > 0);
    }

    #[test]
    fn law_nothing_left_is_no_leave() {
        assert_eq!(Leave::new(PinSet::NONE), Err(Error::NothingLeft));
        assert_eq!("none".parse::<Leave>(), Err(Error::NothingLeft));
        assert_eq!("7-11".parse::<Leave>(), Err(Error::NotAPin { found: "11".into(), place: 2 }));
    }
}
