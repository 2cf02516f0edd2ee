//! What the next frames need for a target.

use crate::{Game, Roll};

/// How the frames go once the strikes end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rest {
    /// Nine and a spare each, nine on the last fill ball.
    Spares,
    /// Nine and a miss each.
    Opens,
}

/// What a target needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// It is reached already, whatever follows.
    Reached,
    /// This many strikes in a row from here, once the pins that stand now are down; 0 if none is needed.
    Strikes(u8),
    /// Not even striking out reaches it.
    OutOfReach,
}

impl Game {
    /// The fewest strikes in a row that bring the game to `target`, if the frames after them go as `rest` says. Pins that
    /// still stand are taken as made first.
    ///
    /// ```
    /// use boardwise_score::{Game, Need, Rest, Scoring};
    /// let game = Game::from_marks(Scoring::Traditional, "X 9/ X 9/ X 9/ X 9/ X")?;
    /// assert_eq!(game.need(200, Rest::Spares), Need::Strikes(1));
    /// assert_eq!(game.need(170, Rest::Spares), Need::Reached);
    /// assert_eq!(game.need(221, Rest::Spares), Need::OutOfReach);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn need(&self, target: u16, rest: Rest) -> Need {
        if self.minimum() >= target {
            return Need::Reached;
        }
        let mut struck = *self;
        if !struck.next().first_at_rack {
            let _ = struck.push(Roll::ALL_DOWN);
        }
        for strikes in 0..=12 {
            if struck.filled(rest).minimum() >= target {
                return Need::Strikes(strikes);
            }
            if struck.push(Roll::ALL_DOWN).is_err() {
                break;
            }
        }
        Need::OutOfReach
    }

    /// The game played to its end without another strike.
    fn filled(mut self, rest: Rest) -> Self {
        loop {
            let roll = match rest {
                _ if self.next().first_at_rack => Roll::Down(9),
                Rest::Spares => Roll::ALL_DOWN,
                Rest::Opens => Roll::Down(0),
            };
            // Nine may always fall from a full rack, and what stands may fall or not: only the end of the game refuses.
            if self.push(roll).is_err() {
                return self;
            }
        }
    }
}
