//! The newest thing that was done in a block: what an undo takes back, and what it is called.

use boardwise_record::{Fact, Key, Logged, Seq, Sheet, Shot};
use boardwise_units::Board;

use super::desk::{self, BlockBegun, Setting};
use super::names::{ball_name, half_boards};
use super::score_view::shot_in_short;
use super::standing::Standing;

/// Something done that can be taken back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Newest {
    /// The key that all of it was logged under.
    pub key: Key,
    /// What it is, in a few words.
    pub words: String,
}

/// What was logged together last and still stands, the last fact first; with a key, what was logged under it.
pub(super) fn find<'a>(standing: &'a Standing, begun: &BlockBegun, of: Option<&Key>) -> Option<Vec<&'a Logged>> {
    let facts = standing.facts();
    // A change of ball is of the block whose shot or line was logged with it: the bowler may have bowled in another block since.
    let with_ours =
        |key: &Key| facts.iter().any(|other| desk::stem(&other.key) == desk::stem(key) && belongs(&other.fact, begun));
    let alone = |key: &Key| desk::stem(key) == key.as_str();
    let ours = |logged: &&Logged| {
        // What is cheap to see comes first.
        of.is_none_or(|of| desk::stem(&logged.key) == of.as_str())
            && match &logged.fact {
                Fact::BallChange { .. } => with_ours(&logged.key),
                // Surface work that was logged by itself is of whoever bowls with that ball.
                Fact::SurfaceChange { ball, .. } => {
                    with_ours(&logged.key) || alone(&logged.key) && begun.in_bag(ball).is_some()
                }
                fact => belongs(fact, begun),
            }
    };
    let last = facts.iter().rev().find(ours)?;
    let together = desk::stem(&last.key);
    let all = facts.iter().rev().filter(|one| desk::stem(&one.key) == together);
    Some(all.collect())
}

impl Newest {
    /// Of what was logged together.
    pub fn of(found: &[&Logged], begun: &BlockBegun, setting: &Setting, sheet: &Sheet) -> Self {
        let key = desk::stem(&found[0].key).parse().unwrap_or_else(|_| found[0].key.clone());
        let named = |ball: &boardwise_record::BallId| {
            begun.in_bag(ball).map(|place| ball_name(&setting.event.seats[0].bag.bag.balls()[place].id))
        };
        let shot = |seq: Seq| sheet.deliveries.iter().find(|one| one.seq == seq).map(shot_in_short);
        let words = |logged: &&Logged| {
            let (rank, words) = match &logged.fact {
                Fact::Shot(_) => (0, shot(logged.seq).unwrap_or_else(|| "a ball".to_owned())),
                Fact::Correction { of, .. } => {
                    (1, shot(*of).map_or_else(|| "a correction".to_owned(), |shot| format!("correction of {shot}")))
                }
                Fact::SurfaceChange { ball, .. } => {
                    (2, format!("surface of {}", named(ball).unwrap_or_else(|| "a ball".to_owned())))
                }
                Fact::BallChange { ball, .. } => {
                    (3, format!("change to {}", named(ball).unwrap_or_else(|| "a ball".to_owned())))
                }
                Fact::LineMeant { line, .. } => {
                    let slide = setting.seat.bowler.slide_board(Board(line.laydown)).0;
                    (4, format!("move to slide {}, look at {}", half_boards(slide), half_boards(line.arrows)))
                }
                Fact::Note { text, .. } => (5, format!("\"{text}\"")),
                Fact::LaneChange { .. } => (6, "change of lanes".to_owned()),
                Fact::BlockBegun { .. } | Fact::BlockResumed { .. } | Fact::Undo { .. } => (7, "a change".to_owned()),
            };
            (rank, words)
        };
        let words = found.iter().map(words).min().map(|(_, words)| words).unwrap_or_default();
        Self { key, words }
    }
}

/// Whether a fact is of this block.
pub fn belongs(fact: &Fact, begun: &BlockBegun) -> bool {
    let (ours, us) = (&begun.block, &begun.bowler);
    match fact {
        Fact::Shot(Shot { block, bowler, .. }) | Fact::LaneChange { block, bowler, .. } => {
            block == ours && bowler == us
        }
        Fact::LineMeant { block, bowler, .. } => block == ours && bowler == us,
        Fact::Note { block, .. } => block.as_ref() == Some(ours),
        Fact::Correction { to, .. } => belongs(to, begun),
        Fact::BallChange { .. }
        | Fact::SurfaceChange { .. }
        | Fact::BlockBegun { .. }
        | Fact::BlockResumed { .. }
        | Fact::Undo { .. } => false,
    }
}
