//! The spare, where something stands: where to stand, what to look at, which ball, how often it is made.

use boardwise_score::Leave;
use boardwise_search::{Conditions, Search, SpareGame, SpareLine, aim};

use super::line_meant::{AsRelease, LineMeant};
use super::names::ball_name;
use super::next::Question;
use crate::Failure;
use crate::leaves::{kind, pin_numbers};
use crate::view::{self, Form, SpareWay};

/// Ways to make what stands.
pub struct SpareAnswer {
    /// What stands.
    pub leave: Leave,
    /// With which ball.
    pub ball: String,
    /// Best first.
    pub lines: Vec<SpareLine>,
    /// Whether the first of them takes what is sure instead of trying for all.
    pub takes_sure: bool,
}

impl SpareAnswer {
    /// On the lane of the question.
    ///
    /// # Errors
    /// If the table of spares cannot be read.
    pub fn of(question: &Question<'_>, leave: Leave) -> Result<Self, Failure> {
        let setting = &question.state.setting;
        let seat = &setting.seat;
        let ball = seat.spare_ball.as_ref().unwrap_or(&seat.balls[0]);
        let search = Search { seed: question.seed, ..Search::default() };
        // A ball for spares hardly feels what has been worn off: the lane is taken fresh.
        let lane = &setting.fresh[question.lane];
        let conditions = Conditions::fresh(lane, ball, &setting.unknowns, question.seed);
        let game = SpareGame::new(boardwise_files::spares()?, conditions, ball, &seat.bowler, &search);
        let mut lines = game.lines(leave, 3);
        let sure = game.sure(leave, lines.first());
        let takes_sure = sure.is_some();
        lines.splice(0..0, sure);
        Ok(Self { leave, ball: ball.id.clone(), lines, takes_sure })
    }

    /// The answer as a view.
    pub fn view(&self, question: &Question<'_>) -> view::SpareAnswer {
        let bowler = &question.state.setting.seat.bowler;
        let spares = self.lines.iter().map(|one| SpareWay {
            line: LineMeant::of(&one.line.release).into(),
            slide_board: bowler.slide_board(one.line.release.laydown).0,
            look_board: aim(&one.line.release).0,
            make_pct: 100.0 * one.line.worth,
            make_se_pct: 100.0 * one.line.worth_error,
            mean_pins: one.down,
        });
        let begun = &question.state.desk.begun;
        view::SpareAnswer {
            schema: Form,
            block: begun.block.to_string(),
            bowler: begun.bowler.to_string(),
            lane: question.number(),
            ball: self.ball.clone(),
            pins: pin_numbers(self.leave.pins()),
            kind: kind(self.leave),
            say: self.say(),
            takes_sure: self.takes_sure,
            spares: spares.collect(),
        }
    }

    /// What stands and with what to make it, in words.
    pub fn say(&self) -> String {
        let (pins, ball) = (self.leave.pins(), ball_name(&self.ball));
        if self.lines.is_empty() {
            format!("Take what {pins} gives, with {ball}")
        } else if self.takes_sure {
            format!("Take what is sure of {pins}, with {ball}")
        } else {
            format!("{pins} with {ball}")
        }
    }
}
