//! A command done.

use super::block_state::BlockState;
use super::command::{Command, Done, Move, Stamp};
use super::line_meant::LineMeant;
use super::{moves, shots};
use crate::Failure;

impl BlockState {
    /// Does what a command says, all of it or nothing, on the block as it is at that moment: nobody writes in between.
    ///
    /// # Errors
    /// [`Failure::NotTheirTurn`] if a shot belongs elsewhere on the sheet; which field cannot be, and what is allowed; what the record
    /// refuses. A key that stands for something else already.
    pub fn run(&mut self, command: &Command, stamp: &Stamp) -> Result<Done, Failure> {
        self.alone(|state| state.run_alone(command, stamp))
    }

    fn run_alone(&mut self, command: &Command, stamp: &Stamp) -> Result<Done, Failure> {
        match command {
            Command::Log(shot) => shots::log(self, shot, stamp),
            Command::Correct { block, number, shot } => shots::correct(self, (block, *number), shot, stamp),
            Command::Undo { of } => shots::undo(self, of.as_ref(), stamp),
            Command::Move(to) => moves::shift(self, to, stamp),
            Command::Take(choice) => {
                let LineMeant { laydown, arrows, speed_mph, rotation_deg } = choice.line;
                let to = Move {
                    line: Some([laydown, arrows]),
                    speed: Some(speed_mph),
                    rotation: Some(rotation_deg),
                    ball: Some(choice.ball.clone()),
                    surface: choice.surface,
                    lane: Some(choice.lane),
                    ..Move::default()
                };
                moves::shift(self, &to, stamp)
            }
            Command::ChangeSurface { ball, surface, how } => {
                shots::change_surface(self, ball, *surface, how.as_deref(), stamp)
            }
        }
    }
}
