//! Handicap: pins given for an average below a basis.

use crate::Error;

/// What becomes of part of a pin.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rounding {
    /// Dropped.
    #[default]
    Down,
    /// Half a pin and more is a pin.
    Nearest,
    /// Counts as a pin.
    Up,
}

/// A league's handicap: a percentage of what an average lacks to a basis, never below 0. Percentage, basis, rounding and
/// limit differ between leagues.
///
/// ```
/// use boardwise_score::Handicap;
/// // 80% of 220 less 170 is 40 [S].
/// assert_eq!(Handicap::new(80, 220)?.pins(170), 40);
/// assert_eq!(Handicap::new(80, 220)?.pins(230), 0);
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handicap {
    percent: u16,
    basis: u16,
    rounding: Rounding,
    most: u16,
}

impl Handicap {
    /// `percent` of what an average lacks to `basis` pins, parts of a pin dropped, without a limit.
    ///
    /// # Errors
    /// [`Error::HandicapOutOfRange`] above 150%, [`Error::NoSuchScore`] if the basis is above 300.
    pub const fn new(percent: u16, basis: u16) -> Result<Self, Error> {
        if percent > 150 {
            Err(Error::HandicapOutOfRange { percent })
        } else if basis > 300 {
            Err(Error::NoSuchScore { score: basis })
        } else {
            Ok(Self { percent, basis, rounding: Rounding::Down, most: u16::MAX })
        }
    }

    /// The same with another rounding.
    #[must_use]
    pub const fn rounded(self, rounding: Rounding) -> Self {
        Self { rounding, ..self }
    }

    /// The same with at most this many pins a game.
    #[must_use]
    pub const fn at_most(self, most: u16) -> Self {
        Self { most, ..self }
    }

    /// Pins a game for a bowler of this average.
    pub fn pins(self, average: u16) -> u16 {
        // Whole numbers throughout, so that 80% of 50 is 40 and never a hair less. At most 150 x 300 = 45,000.
        let hundredths = self.percent * self.basis.saturating_sub(average);
        let pins = match self.rounding {
            Rounding::Down => hundredths / 100,
            Rounding::Nearest => (hundredths + 50) / 100,
            Rounding::Up => hundredths.div_ceil(100),
        };
        pins.min(self.most)
    }
}

/// The average in whole pins, parts dropped; `None` without games.
///
/// ```
/// assert_eq!(boardwise_score::whole_average(1799, 9), Some(199));
/// assert_eq!(boardwise_score::whole_average(0, 0), None);
/// ```
pub fn whole_average(pins: u32, games: u32) -> Option<u16> {
    u16::try_from(pins.checked_div(games)?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn truth_handicap_of_a_league() {
        // floor(80% x (220 - 170)) = 40 [S]; the others by hand [C].
        let league = Handicap::new(80, 220).unwrap();
        assert_eq!(league.pins(170), 40);
        assert_eq!(league.pins(221), 0);
        let ninety = Handicap::new(90, 210).unwrap();
        assert_eq!(ninety.pins(187), 20); // 20.7
        assert_eq!(ninety.rounded(Rounding::Nearest).pins(187), 21);
        assert_eq!(ninety.rounded(Rounding::Nearest).pins(205), 5); // 4.5
        assert_eq!(ninety.rounded(Rounding::Up).pins(188), 20); // 19.8
        assert_eq!(ninety.rounded(Rounding::Up).pins(200), 9); // exactly 9
        assert_eq!(ninety.at_most(50).pins(100), 50);
        assert!(Handicap::new(800, 220).is_err());
        assert!(Handicap::new(80, 301).is_err());
    }

    proptest! {
        #[test]
        fn law_a_lower_average_never_gets_fewer_pins(percent in 0u16..=150, basis in 0u16..=300, average in 0u16..300) {
            for rounding in [Rounding::Down, Rounding::Nearest, Rounding::Up] {
                let handicap = Handicap::new(percent, basis).unwrap().rounded(rounding);
                prop_assert!(handicap.pins(average) >= handicap.pins(average + 1));
                let exact = f64::from(percent) / 100.0 * (f64::from(basis) - f64::from(average)).max(0.0);
                prop_assert!((f64::from(handicap.pins(average)) - exact).abs() < 1.0);
            }
        }
    }
}
