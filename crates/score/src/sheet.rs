//! The signs of a score sheet: X, /, -, F and numbers.

use crate::{Error, Game, Roll, Scoring};
use core::fmt;

impl Game {
    /// Reads a game from the signs of a score sheet: `X` strike, `/` spare, `-` nothing, `F` foul, `1` to `9` pins.
    /// Spaces are ignored.
    ///
    /// ```
    /// use boardwise_score::{Game, Scoring};
    /// // The example of the IBF Universal Playing Rules, ch. 2 [P].
    /// let game = Game::from_marks(Scoring::Traditional, "X X X 72 8/ F9 X 7/ 9- XX8")?;
    /// assert_eq!(game.cumulative().map(Option::unwrap), [30, 57, 76, 85, 95, 104, 124, 143, 152, 180]);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::BadMark`] for a sign that means nothing where it stands, otherwise as [`Game::push`].
    pub fn from_marks(scoring: Scoring, marks: &str) -> Result<Self, Error> {
        let mut game = Self::new(scoring);
        for (i, mark) in marks.chars().filter(|mark| !mark.is_whitespace()).enumerate() {
            let next = game.next();
            if next.is_complete() {
                return Err(Error::GameComplete);
            }
            let roll = match mark {
                'X' | 'x' if next.first_at_rack => Roll::ALL_DOWN,
                '/' if !next.first_at_rack => Roll::ALL_DOWN,
                '-' => Roll::Down(0),
                'F' | 'f' => Roll::Foul,
                // What takes the last pins is written X or /, so a number never does.
                '1'..='9' if mark as u8 - b'0' != next.deck.len() => Roll::Down(mark as u8 - b'0'),
                _ => return Err(Error::BadMark { mark, place: i + 1, frame: next.frame, ball: next.ball }),
            };
            game.push(roll)?;
        }
        Ok(game)
    }
}

/// Writes the signs of the score sheet, a space between frames, as [`Game::from_marks`] reads them. Which pins stood is
/// not written.
impl fmt::Display for Game {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for ball in self.thrown() {
            if ball.ball == 1 && ball.frame > 1 {
                f.write_str(" ")?;
            }
            write!(f, "{}", ball.sign())?;
        }
        Ok(())
    }
}
