//! Facts: what is written down, once and for good.

use boardwise_score::{PinSet, Roll};
use boardwise_units::Board;
use jiff::Timestamp;

use crate::Error;
use crate::bounds::on_lane;
use crate::measured::Measured;
use crate::opening::{LineMeant, Opening};
use crate::roster::Surface;
use crate::word::{BallId, BlockId, BowlerId, Felt, Hit, Key, Kind, LaneId, Seq};

/// One fact. Nothing else is stored of what happened; frames, scores, balls and surfaces follow from the facts.
#[derive(Clone, Debug, PartialEq)]
pub enum Fact {
    /// A ball was thrown.
    Shot(Shot),
    /// From now on the bowler throws this ball, until the next change, in this block and later ones.
    BallChange {
        /// Who.
        bowler: BowlerId,
        /// With what.
        ball: BallId,
    },
    /// A ball's surface was worked on.
    SurfaceChange {
        /// Which ball.
        ball: BallId,
        /// What it is now.
        surface: Surface,
        /// What was done, in the bowler's words.
        how: Option<String>,
    },
    /// The bowler is on another lane, or on another pair.
    LaneChange {
        /// In which block.
        block: BlockId,
        /// Who.
        bowler: BowlerId,
        /// Where the next ball is thrown.
        lane: LaneId,
        /// The other lane of the pair: from the next frame on the two alternate. Without it the bowler stays on `lane`.
        other: Option<LaneId>,
    },
    /// From now on the bowler means to throw this line on a lane, in this block.
    LineMeant {
        /// In which block.
        block: BlockId,
        /// Who.
        bowler: BowlerId,
        /// On which lane.
        lane: LaneId,
        /// The line.
        line: LineMeant,
    },
    /// A bowler begins a block, which is the present one from now on.
    BlockBegun {
        /// Which block.
        block: BlockId,
        /// Who.
        bowler: BowlerId,
        /// With what.
        opening: Box<Opening>,
    },
    /// A bowler goes back to a block that was begun before: it is the present one from now on.
    BlockResumed {
        /// Which block.
        block: BlockId,
        /// Who.
        bowler: BowlerId,
    },
    /// A remark.
    Note {
        /// The words.
        text: String,
        /// The block it is about.
        block: Option<BlockId>,
        /// The bowler it is about.
        bowler: Option<BowlerId>,
    },
    /// An earlier fact was written down wrongly: this is what it should have said. It keeps its place.
    Correction {
        /// Which fact.
        of: Seq,
        /// What it should have said; of the same kind, and itself no correction or undo.
        to: Box<Fact>,
    },
    /// An earlier fact is taken back. To take back an undo is to do it again.
    Undo {
        /// Which fact.
        of: Seq,
    },
}

/// A ball thrown. What fell must be said; everything else may be left to what is remembered, or unknown.
///
/// ```
/// use boardwise_record::{Hit, Shot};
/// use boardwise_units::Board;
/// let (block, bowler) = ("qualifying".parse()?, "anna".parse()?);
/// let shot = Shot { hit: Some(Hit::Light), arrows: Some(Board(9.5)), ..Shot::standing(&block, &bowler, "10".parse()?) };
/// assert_eq!(shot.ball, None); // The ball in the hand.
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Shot {
    /// In which block.
    pub block: BlockId,
    /// By whom.
    pub bowler: BowlerId,
    /// What it did.
    pub roll: Roll,
    /// The ball, if it is another than the one remembered. It holds for this shot alone, as a spare ball does.
    pub ball: Option<BallId>,
    /// The lane, if it is another than the one remembered. It holds for this shot alone.
    pub lane: Option<LaneId>,
    /// If it was forgotten at first: the shot just before which it was thrown. A correction that says nothing here leaves
    /// it where it is.
    pub before: Option<Seq>,
    /// Where it crossed the arrows.
    pub arrows: Option<Board>,
    /// Its board at the breakpoint.
    pub breakpoint: Option<Board>,
    /// How it came to the pins.
    pub hit: Option<Hit>,
    /// How it felt.
    pub felt: Option<Felt>,
    /// What a film measured of it.
    pub measured: Option<Box<Measured>>,
}

impl Shot {
    /// A shot of which only the roll is known.
    pub fn new(block: &BlockId, bowler: &BowlerId, roll: Roll) -> Self {
        let (block, bowler) = (block.clone(), bowler.clone());
        let (ball, lane, before, arrows, breakpoint) = (None, None, None, None, None);
        let (hit, felt, measured) = (None, None, None);
        Self { block, bowler, roll, ball, lane, before, arrows, breakpoint, hit, felt, measured }
    }

    /// A shot after which these pins stand.
    pub fn standing(block: &BlockId, bowler: &BowlerId, pins: PinSet) -> Self {
        Self::new(block, bowler, Roll::Standing(pins))
    }

    /// A shot over the foul line: its ball counts, its pins do not.
    pub fn foul(block: &BlockId, bowler: &BowlerId) -> Self {
        Self::new(block, bowler, Roll::Foul)
    }
}

impl From<Shot> for Fact {
    fn from(shot: Shot) -> Self {
        Self::Shot(shot)
    }
}

impl From<&Shot> for Fact {
    fn from(shot: &Shot) -> Self {
        Self::Shot(shot.clone())
    }
}

impl From<&Fact> for Fact {
    fn from(fact: &Fact) -> Self {
        fact.clone()
    }
}

impl Fact {
    /// Longest remark, in characters.
    pub const LONGEST_TEXT: usize = 2000;

    /// What kind it is; a correction is of the kind of what it corrects.
    pub fn kind(&self) -> Kind {
        match self {
            Self::Shot(Shot { roll: Roll::Foul, .. }) => Kind::Foul,
            Self::Shot(_) => Kind::Shot,
            Self::BallChange { .. } => Kind::Ball,
            Self::SurfaceChange { .. } => Kind::Surface,
            Self::LaneChange { .. } => Kind::Lane,
            Self::LineMeant { .. } => Kind::Line,
            Self::BlockBegun { .. } => Kind::Begun,
            Self::BlockResumed { .. } => Kind::Resumed,
            Self::Note { .. } => Kind::Note,
            Self::Correction { to, .. } => to.kind(),
            Self::Undo { .. } => Kind::Undo,
        }
    }

    /// The sheet it is on, if it is on one.
    pub(crate) fn sheet(&self) -> Option<(&BlockId, &BowlerId)> {
        match self {
            Self::Shot(Shot { block, bowler, .. }) | Self::LaneChange { block, bowler, .. } => Some((block, bowler)),
            Self::Correction { to, .. } => to.sheet(),
            _ => None,
        }
    }

    /// What is wrong with it by itself, without looking at others.
    pub(crate) fn check(&self) -> Result<(), Error> {
        match self {
            Self::Shot(shot) => {
                shot.arrows.map_or(Ok(()), |board| on_lane("arrows_board", board))?;
                shot.breakpoint.map_or(Ok(()), |board| on_lane("breakpoint_board", board))?;
                shot.measured.as_ref().map_or(Ok(()), |measured| measured.check())?;
                match shot.roll {
                    Roll::Down(down @ 11..) => {
                        Err(Error::OutOfRange { what: "down", value: f64::from(down), most: 10.0 })
                    }
                    _ => Ok(()),
                }
            }
            Self::SurfaceChange { surface, how, .. } => {
                surface.check()?;
                how.as_deref().map_or(Ok(()), readable)
            }
            Self::Note { text, .. } => readable(text),
            Self::LineMeant { line, .. } => line.check(),
            Self::BlockBegun { opening, .. } => opening.check(),
            Self::Correction { of, to } => match **to {
                Self::Correction { .. } | Self::Undo { .. } => Err(Error::CorrectsNothing { of: *of }),
                _ => to.check(),
            },
            Self::BallChange { .. } | Self::LaneChange { .. } | Self::BlockResumed { .. } | Self::Undo { .. } => Ok(()),
        }
    }
}

pub(crate) fn readable(text: &str) -> Result<(), Error> {
    let long = text.chars().count();
    if text.trim().is_empty() || long > Fact::LONGEST_TEXT || text.contains('\0') {
        return Err(Error::BadText { long, most: Fact::LONGEST_TEXT });
    }
    Ok(())
}

/// A fact as it stands in the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Its place.
    pub seq: Seq,
    /// The client's key of it.
    pub key: Key,
    /// When it happened by the client's clock. Told, never used to put facts in order.
    pub at: Timestamp,
    /// What happened.
    pub fact: Fact,
}

/// What a client gets when a fact is safely on disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Receipt {
    /// Its place in the log.
    pub seq: Seq,
    /// The client's key of it.
    pub key: Key,
    /// The time it was logged with.
    pub at: Timestamp,
    /// Whether it had been logged before, under the same key: nothing was added this time.
    pub again: bool,
}
