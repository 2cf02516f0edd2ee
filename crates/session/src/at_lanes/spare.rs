//! The spare, where something stands: where to stand, what to look at, which ball, how often it is made.

use boardwise_score::Leave;
use boardwise_search::{Conditions, Search, SpareGame, SpareLine, Unknowns};
use serde_json::{Value, json};

use super::meant::{AsRelease, Meant};
use super::next::Question;
use crate::Failure;
use crate::leaves::{kind, pins_json};

/// Ways to make what stands.
pub struct SpareAnswer {
    /// What stands.
    pub leave: Leave,
    /// With which ball.
    pub ball: String,
    /// Best first.
    pub lines: Vec<SpareLine>,
}

impl SpareAnswer {
    /// On the lane of the question.
    ///
    /// # Errors
    /// If the table of spares cannot be read.
    pub fn of(question: &Question<'_>, leave: Leave) -> Result<Self, Failure> {
        let setting = &question.so_far.setting;
        let seat = &setting.seat;
        let ball = seat.spare_ball.as_ref().unwrap_or(&seat.balls[0]);
        let search = Search { seed: question.seed, ..Search::default() };
        // A ball for spares hardly feels what has been worn off: the lane is taken fresh.
        let lane = &setting.fresh[question.lane];
        let conditions = Conditions::fresh(lane, ball, &Unknowns::default(), question.seed);
        let game = SpareGame::new(boardwise_files::spares()?, conditions, ball, &seat.bowler, &search, &|_| ());
        Ok(Self { leave, ball: ball.id.clone(), lines: game.lines(leave, 3) })
    }

    /// As JSON.
    pub fn json(&self, question: &Question<'_>) -> Value {
        let lines: Vec<_> = self
            .lines
            .iter()
            .map(|one| {
                json!({
                    "line": Meant::of(&one.line.release),
                    "make_pct": 100.0 * one.line.worth,
                    "make_se_pct": 100.0 * one.line.worth_error,
                    "mean_pins": one.down,
                })
            })
            .collect();
        json!({
            "schema": 1,
            "block": question.so_far.desk.begun.block.as_str(),
            "bowler": question.so_far.desk.begun.bowler.as_str(),
            "lane": question.number(),
            "ball": self.ball,
            "pins": pins_json(self.leave.pins()),
            "kind": kind(self.leave),
            "say": self.say(),
            "spares": lines,
        })
    }

    /// What stands and with what to make it, in words.
    pub fn say(&self) -> String {
        let (pins, ball) = (self.leave.pins(), &self.ball);
        if self.lines.is_empty() {
            format!("Take what {pins} gives, with {ball}")
        } else {
            format!("{pins} with {ball}")
        }
    }
}
