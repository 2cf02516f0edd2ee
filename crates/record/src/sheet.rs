//! A sheet: what one bowler threw in one block, ball by ball, with frames and scores.

use boardwise_score::{Game, Thrown};
use jiff::Timestamp;

use crate::Error;
use crate::fact::{Fact, Logged, Shot};
use crate::reading::{Settled, settle};
use crate::roster::Block;
use crate::word::{BallId, BowlerId, Key, LaneId, Seq};

/// What one bowler threw in one block.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The block.
    pub block: Block,
    /// Whose sheet it is.
    pub bowler: BowlerId,
    /// The balls thrown, in order.
    pub deliveries: Vec<Delivery>,
    /// The games, in order, the last perhaps unfinished. Empty where nothing is counted.
    pub games: Vec<Game>,
    /// The ball in the hand, if one is remembered.
    pub ball: Option<BallId>,
    /// The lane the last ball went down, or the one changed to since.
    pub lane: Option<LaneId>,
}

/// One ball thrown, with all that follows from the facts before it.
#[derive(Clone, Debug, PartialEq)]
pub struct Delivery {
    /// The number under which the shot was logged first.
    pub seq: Seq,
    /// The client's key of it.
    pub key: Key,
    /// When, by the client's clock.
    pub at: Timestamp,
    /// Its place among the facts: its number, or that of the shot it was put before.
    pub place: Seq,
    /// The shot as it was last corrected.
    pub shot: Shot,
    /// The ball thrown, if it is known.
    pub ball: Option<BallId>,
    /// The lane it went down, if it is known.
    pub lane: Option<LaneId>,
    /// Which game of the block, from 1 on; 0 where nothing is counted.
    pub game: u16,
    /// Its frame and what it counted, unless nothing is counted.
    pub thrown: Option<Thrown>,
}

impl Sheet {
    /// The balls of one game, from 1 on.
    pub fn of_game(&self, game: u16) -> impl Iterator<Item = &Delivery> {
        self.deliveries.iter().filter(move |delivery| delivery.game == game)
    }

    /// Pins in all games, as far as they are certain.
    pub fn total(&self) -> u32 {
        self.games.iter().map(|game| u32::from(game.score())).sum()
    }

    /// Reads a sheet from all facts that have to do with it.
    ///
    /// # Errors
    /// If a ball cannot be: [`Error::DoesNotFit`] or [`Error::BlockComplete`].
    pub(crate) fn read(block: Block, bowler: BowlerId, log: Vec<Logged>) -> Result<Self, Error> {
        Growing::read(block, bowler, log).map(|growing| growing.sheet)
    }

    fn deliver(&mut self, Ball { seq, key, at, shot }: Ball, pair: &mut Option<Pair>) -> Result<(), Error> {
        let thrown = self.count(seq, &shot)?;
        if let Some(Pair { other, fresh }) = pair {
            let new_frame = thrown.is_some_and(|thrown| thrown.ball == 1);
            if new_frame
                && !*fresh
                && let Some(lane) = &mut self.lane
            {
                std::mem::swap(lane, other);
            }
            *fresh = false;
        }
        let place = shot.before.unwrap_or(seq);
        let ball = shot.ball.clone().or_else(|| self.ball.clone());
        let lane = shot.lane.clone().or_else(|| self.lane.clone());
        let game = self.games.len() as u16;
        self.deliveries.push(Delivery { seq, key, at, place, shot, ball, lane, game, thrown });
        Ok(())
    }

    /// Puts the ball into the game, and begins the next one where the last is complete.
    fn count(&mut self, seq: Seq, shot: &Shot) -> Result<Option<Thrown>, Error> {
        let Some(scoring) = self.block.counting.scoring() else {
            return Ok(None);
        };
        if self.games.last().is_none_or(Game::is_complete) {
            if let Some(games) = self.block.games
                && self.games.len() >= usize::from(games)
            {
                let (block, bowler) = (self.block.id.clone(), self.bowler.clone());
                return Err(Error::BlockComplete { bowler, block, games, seq });
            }
            self.games.push(Game::new(scoring));
        }
        let game = self.games.len() as u16;
        let misfit = |source| {
            let (block, bowler) = (self.block.id.clone(), self.bowler.clone());
            Error::DoesNotFit { bowler, block, game, seq, source }
        };
        match self.games.last_mut().map(|game| game.push(shot.roll)) {
            Some(Ok(thrown)) => Ok(Some(thrown)),
            Some(Err(source)) => Err(misfit(source)),
            None => Ok(None),
        }
    }
}

/// A sheet as far as it was read, and what the next fact is read with.
#[derive(Clone, Debug)]
pub(crate) struct Growing {
    pub sheet: Sheet,
    pair: Option<Pair>,
}

impl Growing {
    /// Before anything was thrown.
    fn begun(block: Block, bowler: BowlerId) -> Self {
        let sheet = Sheet { block, bowler, deliveries: Vec::new(), games: Vec::new(), ball: None, lane: None };
        Self { sheet, pair: None }
    }

    /// As [`Sheet::read`].
    pub fn read(block: Block, bowler: BowlerId, log: Vec<Logged>) -> Result<Self, Error> {
        let mut facts = settle(log);
        // A forgotten shot goes just before another; everything else stands where it was logged.
        facts.sort_by_key(|fact| match &fact.fact {
            Fact::Shot(Shot { before: Some(before), .. }) => (*before, false, fact.seq),
            _ => (fact.seq, true, fact.seq),
        });
        let mut growing = Self::begun(block, bowler);
        facts.into_iter().try_for_each(|fact| growing.take_in(fact))?;
        Ok(growing)
    }

    /// Takes in a fact that comes after all others.
    pub fn take_in(&mut self, Settled { seq, key, at, fact }: Settled) -> Result<(), Error> {
        let Self { sheet, pair } = self;
        match fact {
            Fact::Shot(shot) if shot.block == sheet.block.id && shot.bowler == sheet.bowler => {
                sheet.deliver(Ball { seq, key, at, shot }, pair)?;
            }
            Fact::LaneChange { block, bowler, lane, other } if block == sheet.block.id && bowler == sheet.bowler => {
                sheet.lane = Some(lane);
                *pair = other.map(|other| Pair { other, fresh: true });
            }
            Fact::BallChange { bowler, ball } if bowler == sheet.bowler => sheet.ball = Some(ball),
            _ => {}
        }
        Ok(())
    }
}

/// A shot that stands, not yet put into a game.
struct Ball {
    seq: Seq,
    key: Key,
    at: Timestamp,
    shot: Shot,
}

/// The other lane of the pair, and whether no ball has been thrown since the bowler came to it.
#[derive(Clone, Debug)]
struct Pair {
    other: LaneId,
    fresh: bool,
}
