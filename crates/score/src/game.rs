//! A game: the list of its balls, and all that follows from it.

use crate::frame::{Next, mark_of, points_of};
use crate::{Error, Frame, Mark, Roll, Scoring, Thrown};

/// Most balls a game can have: two in each of nine frames, three in the tenth.
const MOST_BALLS: usize = 21;

/// A game as the list of its balls. Nothing else is stored: frames, score and what is possible are worked out from the
/// list, so that taking the last ball back gives exactly the game before it.
///
/// ```
/// use boardwise_score::{Game, Roll, Scoring};
/// let mut game = Game::new(Scoring::Traditional);
/// game.push(Roll::Standing("3-10".parse()?))?;
/// game.push(Roll::ALL_DOWN)?;
/// game.push(Roll::Down(7))?;
/// assert_eq!(game.cumulative()[0], Some(17));
/// assert_eq!(game.to_string(), "8/ 7");
/// game.undo();
/// assert_eq!(game.cumulative()[0], None);
/// # Ok::<(), boardwise_score::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Game {
    scoring: Scoring,
    /// Legal up to `len`, and a gutter ball after it so that equal games are equal bit by bit.
    rolls: [Roll; MOST_BALLS],
    len: u8,
}

impl Game {
    /// A game before its first ball.
    pub const fn new(scoring: Scoring) -> Self {
        Self { scoring, rolls: [Roll::Down(0); MOST_BALLS], len: 0 }
    }

    /// A game with these balls thrown.
    ///
    /// ```
    /// use boardwise_score::{Error, Game, Roll, Scoring};
    /// let eight_then_three = [Roll::Down(8), Roll::Down(3)];
    /// let why = Game::from_rolls(Scoring::Traditional, eight_then_three).unwrap_err();
    /// assert_eq!(why, Error::TooManyDown { frame: 1, ball: 2, down: 3, standing: 2 });
    /// ```
    ///
    /// # Errors
    /// As [`Game::push`], for the first impossible ball.
    pub fn from_rolls(scoring: Scoring, rolls: impl IntoIterator<Item = Roll>) -> Result<Self, Error> {
        let mut game = Self::new(scoring);
        rolls.into_iter().try_for_each(|roll| game.push(roll).map(|_| ()))?;
        Ok(game)
    }

    /// Adds the next ball and returns what it did.
    ///
    /// # Errors
    /// If the ball is impossible: more pins down than stood, pins standing that were already down, or a game that is
    /// complete. The game then stays as it was.
    pub fn push(&mut self, roll: Roll) -> Result<Thrown, Error> {
        let thrown = self.next().take(roll)?;
        self.rolls[usize::from(self.len)] = roll;
        self.len += 1;
        Ok(thrown)
    }

    /// Takes the last ball back, if there is one.
    pub fn undo(&mut self) -> Option<Roll> {
        self.len = self.len.checked_sub(1)?;
        Some(core::mem::replace(&mut self.rolls[usize::from(self.len)], Roll::Down(0)))
    }

    /// How its frames become a score.
    pub const fn scoring(&self) -> Scoring {
        self.scoring
    }

    /// The balls as they were entered.
    pub fn rolls(&self) -> &[Roll] {
        &self.rolls[..usize::from(self.len)]
    }

    /// The balls with their frames, what they counted and what stood.
    pub fn thrown(&self) -> impl Iterator<Item = Thrown> + '_ {
        let mut next = Next::start(self.scoring);
        // Only legal balls are ever stored.
        self.rolls().iter().map_while(move |&roll| next.take(roll).ok())
    }

    /// Whether the tenth frame is over.
    pub fn is_complete(&self) -> bool {
        self.next().is_complete()
    }

    /// Frame (1 to 10) and ball (1 to 3) to be thrown next, `None` after the last.
    ///
    /// ```
    /// use boardwise_score::{Game, Scoring};
    /// assert_eq!(Game::from_marks(Scoring::Traditional, "X 8")?.up_next(), Some((2, 2)));
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn up_next(&self) -> Option<(u8, u8)> {
        let next = self.next();
        (!next.is_complete()).then_some((next.frame, next.ball))
    }

    /// What the next ball is thrown at, `None` after the last.
    pub fn deck(&self) -> Option<crate::Deck> {
        let next = self.next();
        (!next.is_complete()).then_some(next.deck)
    }

    /// The ten frames, thrown or still to come.
    ///
    /// ```
    /// use boardwise_score::{Game, Mark, Scoring};
    /// let frames = Game::from_marks(Scoring::Traditional, "9/ X 5")?.frames();
    /// assert_eq!((frames[0].mark, frames[0].score), (Some(Mark::Spare), Some(20)));
    /// assert_eq!((frames[1].mark, frames[1].score), (Some(Mark::Strike), None));
    /// assert_eq!(frames[2].mark, None);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn frames(&self) -> [Frame; 10] {
        let mut total = Some(0);
        self.each_frame(|number, balls| {
            let own = balls.iter().take_while(|b| b.frame == number).count();
            let (points, settled) = points_of(self.scoring, balls);
            let score = settled.then_some(points);
            total = total.and_then(|before: u16| Some(before + score?));
            Frame {
                number,
                balls: core::array::from_fn(|i| balls[..own].get(i).copied()),
                mark: mark_of(&balls[..own]),
                score,
                cumulative: total,
            }
        })
    }

    /// The score after each frame; `None` where a bonus or the frame itself is still to come.
    pub fn cumulative(&self) -> [Option<u16>; 10] {
        self.frames().map(|frame| frame.cumulative)
    }

    /// The score after the last frame that is certain; the final score once the game is complete.
    pub fn score(&self) -> u16 {
        self.cumulative().into_iter().flatten().last().unwrap_or(0)
    }

    /// The final score, once there is one.
    pub fn final_score(&self) -> Option<u16> {
        self.cumulative()[9]
    }

    /// The least score the game can still end with: what is counted already, bonuses so far included.
    pub fn minimum(&self) -> u16 {
        self.each_frame(|_, balls| points_of(self.scoring, balls).0).iter().sum()
    }

    /// The most the game can still end with: from here on everything that stands falls.
    ///
    /// ```
    /// use boardwise_score::{Game, Scoring};
    /// assert_eq!(Game::new(Scoring::Traditional).maximum(), 300);
    /// assert_eq!(Game::from_marks(Scoring::Traditional, "9")?.maximum(), 290);
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn maximum(&self) -> u16 {
        let mut best = *self;
        while best.push(Roll::ALL_DOWN).is_ok() {}
        best.minimum()
    }

    /// The score of ten frames if all go like those that are certain; `None` before the first is certain.
    ///
    /// ```
    /// use boardwise_score::{Game, Scoring};
    /// assert_eq!(Game::from_marks(Scoring::Traditional, "X 9/ 9- ")?.pace(), Some(480.0 / 3.0));
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn pace(&self) -> Option<f64> {
        let certain = self.cumulative().into_iter().flatten().count();
        (certain > 0).then(|| 10.0 * f64::from(self.score()) / certain as f64)
    }

    pub(crate) fn next(&self) -> Next {
        let mut next = Next::start(self.scoring);
        for &roll in self.rolls() {
            // Only legal balls are ever stored.
            let _ = next.take(roll);
        }
        next
    }

    /// How the frames went, `None` for those not over.
    pub(crate) fn marks(&self) -> [Option<Mark>; 10] {
        self.each_frame(|number, balls| mark_of(&balls[..balls.iter().take_while(|ball| ball.frame == number).count()]))
    }

    /// Calls `of` for every frame, with its number and all balls from its first one to the game's last.
    fn each_frame<T>(&self, mut of: impl FnMut(u8, &[Thrown]) -> T) -> [T; 10] {
        let mut next = Next::start(self.scoring);
        let blank = Thrown {
            frame: 0,
            ball: 0,
            roll: Roll::Down(0),
            down: 0,
            before: next.deck,
            after: next.deck,
            first_at_rack: false,
        };
        let mut balls = [blank; MOST_BALLS];
        let mut starts = [usize::from(self.len); 10];
        for (i, &roll) in self.rolls().iter().enumerate() {
            if let Ok(thrown) = next.take(roll) {
                balls[i] = thrown;
                let start = &mut starts[usize::from(thrown.frame) - 1];
                *start = i.min(*start);
            }
        }
        let balls = &balls[..usize::from(self.len)];
        core::array::from_fn(|i| of(i as u8 + 1, &balls[starts[i]..]))
    }
}
