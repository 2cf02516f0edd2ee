//! One ball at a time: which frame it belongs to, what it may knock down, and what it counts.

use crate::{Error, Leave, PinSet};
use alloc::string::ToString;

/// How frames become a score.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Scoring {
    /// Ten frames; a strike counts the next two balls as well, a spare the next one; fill balls in the tenth \[P: IBF
    /// Universal Playing Rules, ch. 2; USBC Playing Rules, rule 2\].
    #[default]
    Traditional,
    /// Ten frames that stand alone, without fill balls: a strike counts 30, a spare 10 and that frame's first ball \[S:
    /// the world body's current-frame scoring\].
    CurrentFrame,
}

/// What one ball did, entered by count or by what stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Roll {
    /// This many pins fell.
    Down(u8),
    /// These pins stand after it.
    Standing(PinSet),
    /// The bowler fouled: the ball counts, its pins do not, and they are set up again \[P\].
    Foul,
}

impl Roll {
    /// All down.
    pub const ALL_DOWN: Self = Self::Standing(PinSet::NONE);
}

/// What stands on the deck: the pins themselves if they were entered, else only how many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Deck {
    /// These pins.
    Pins(PinSet),
    /// This many pins, 1 to 9; nobody entered which ones.
    Count(u8),
}

impl Deck {
    /// The full rack.
    pub const FULL: Self = Self::Pins(PinSet::ALL);

    /// This many pins. With none or ten standing, which ones stand is known.
    fn of_count(standing: u8) -> Self {
        match standing {
            0 => Self::Pins(PinSet::NONE),
            10 => Self::FULL,
            _ => Self::Count(standing),
        }
    }

    /// How many pins stand.
    pub const fn len(self) -> u8 {
        match self {
            Self::Pins(pins) => pins.len(),
            Self::Count(count) => count,
        }
    }

    /// Whether all are down.
    pub const fn is_empty(self) -> bool {
        self.len() == 0
    }
}

/// One ball of a game with all that follows from the balls before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thrown {
    /// Frame, 1 to 10.
    pub frame: u8,
    /// Ball within the frame, 1 to 3.
    pub ball: u8,
    /// What was entered.
    pub roll: Roll,
    /// Pins it counts.
    pub down: u8,
    /// What stood before it.
    pub before: Deck,
    /// What stands after it, before any new rack is set.
    pub after: Deck,
    /// Whether it was the first ball at its rack.
    pub first_at_rack: bool,
}

impl Thrown {
    /// Whether it took all ten at once.
    pub const fn is_strike(&self) -> bool {
        self.first_at_rack && self.after.is_empty()
    }

    /// Whether it took the rest of what an earlier ball had left.
    pub const fn is_spare(&self) -> bool {
        !self.first_at_rack && self.after.is_empty()
    }

    /// What it left, if it was the first ball at its rack, no foul, no strike, and the pins were entered.
    pub fn leave(&self) -> Option<Leave> {
        match self.after {
            Deck::Pins(pins) if self.first_at_rack && self.roll != Roll::Foul => Leave::new(pins).ok(),
            _ => None,
        }
    }

    /// Its sign on a score sheet: X, /, F, - or the number of pins.
    ///
    /// ```
    /// use boardwise_score::{Game, Scoring};
    /// let game = Game::from_marks(Scoring::Traditional, "X 8/ F9")?;
    /// assert_eq!(game.thrown().map(|ball| ball.sign()).collect::<String>(), "X8/F9");
    /// # Ok::<(), boardwise_score::Error>(())
    /// ```
    pub fn sign(&self) -> char {
        match self.down {
            _ if self.is_strike() => 'X',
            _ if self.is_spare() => '/',
            _ if self.roll == Roll::Foul => 'F',
            0 => '-',
            down => char::from(b'0' + down),
        }
    }
}

/// How the first rack of a frame ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// All ten with the first ball.
    Strike,
    /// All ten with two balls.
    Spare,
    /// Pins still stand after two balls.
    Open,
}

/// One of the ten frames as it stands now, thrown or still to come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame {
    /// Frame, 1 to 10.
    pub number: u8,
    /// Its balls, in order; the third only in a traditional tenth frame.
    pub balls: [Option<Thrown>; 3],
    /// How its first rack ended, once it has.
    pub mark: Option<Mark>,
    /// What it counts, once all balls it counts are thrown.
    pub score: Option<u16>,
    /// The score up to and with it, once that is certain.
    pub cumulative: Option<u16>,
}

/// How a frame ended that begins with these balls; `None` while it is not over.
pub(crate) fn mark_of(balls: &[Thrown]) -> Option<Mark> {
    match balls {
        [first, ..] if first.is_strike() => Some(Mark::Strike),
        [_, second, ..] if second.is_spare() => Some(Mark::Spare),
        [_, _, ..] => Some(Mark::Open),
        _ => None,
    }
}

/// What a frame counts with the balls thrown so far, and whether that is final. `balls` begin with the frame's first and
/// go on to the last one of the game.
pub(crate) fn points_of(scoring: Scoring, balls: &[Thrown]) -> (u16, bool) {
    let mark = mark_of(balls);
    match scoring {
        Scoring::Traditional => {
            // The tenth frame needs no rule of its own: its fill balls stand where other frames have their bonus balls.
            let wanted = if matches!(mark, Some(Mark::Strike | Mark::Spare)) { 3 } else { 2 };
            (balls.iter().take(wanted).map(|b| u16::from(b.down)).sum(), balls.len() >= wanted)
        }
        Scoring::CurrentFrame => match mark {
            Some(Mark::Strike) => (30, true),
            Some(Mark::Spare) => (10 + u16::from(balls[0].down), true),
            _ => (balls.iter().take(2).map(|b| u16::from(b.down)).sum(), mark.is_some()),
        },
    }
}

/// The place of the next ball.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Next {
    scoring: Scoring,
    /// 1 to 10; 11 when the game is complete.
    pub frame: u8,
    pub ball: u8,
    pub deck: Deck,
    pub first_at_rack: bool,
    /// Whether the tenth frame has earned its third ball.
    third: bool,
}

impl Next {
    pub fn start(scoring: Scoring) -> Self {
        Self { scoring, frame: 1, ball: 1, deck: Deck::FULL, first_at_rack: true, third: false }
    }

    pub fn is_complete(&self) -> bool {
        self.frame > 10
    }

    /// Takes one ball in and moves on. An impossible ball changes nothing.
    pub fn take(&mut self, roll: Roll) -> Result<Thrown, Error> {
        if self.is_complete() {
            return Err(Error::GameComplete);
        }
        let Self { frame, ball, deck: before, first_at_rack, .. } = *self;
        let after = self.after(roll)?;
        let thrown = Thrown { frame, ball, roll, down: before.len() - after.len(), before, after, first_at_rack };
        let fills = self.scoring == Scoring::Traditional && frame == 10;
        self.third |= fills && after.is_empty() && ball < 3;
        let ends = if fills { ball == 3 || (ball == 2 && !self.third) } else { ball == 2 || after.is_empty() };
        if ends {
            *self = Self { frame: frame + 1, ..Self::start(self.scoring) };
        } else {
            self.ball += 1;
            self.first_at_rack = after.is_empty();
            self.deck = if after.is_empty() { Deck::FULL } else { after };
        }
        Ok(thrown)
    }

    /// What stands after the ball.
    fn after(&self, roll: Roll) -> Result<Deck, Error> {
        let Self { frame, ball, deck, .. } = *self;
        let standing = deck.len();
        match (roll, deck) {
            (Roll::Foul | Roll::Down(0), _) => Ok(deck),
            (Roll::Down(down), _) if down <= standing => Ok(Deck::of_count(standing - down)),
            (Roll::Down(down), _) => Err(Error::TooManyDown { frame, ball, down, standing }),
            (Roll::Standing(pins), Deck::Pins(before)) if !pins.is_within(before) => {
                Err(Error::AlreadyDown { frame, ball, pins: (pins - before).to_string().into() })
            }
            (Roll::Standing(pins), _) if pins.len() > standing => {
                Err(Error::TooManyStanding { frame, ball, after: pins.len(), before: standing })
            }
            (Roll::Standing(pins), _) => Ok(Deck::Pins(pins)),
        }
    }
}
