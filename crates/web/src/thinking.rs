//! What is thought of the lanes, kept from one question to the next.

use std::sync::Arc;

use super::open_block::OpenBlock;
use boardwise_session::Failure;
use boardwise_session::at_lanes::belief_replay::BeliefReplay;
use boardwise_session::at_lanes::block_state::BlockState;

/// Seed of all advice: the same shots get the same answer.
pub const SEED: u64 = 1;

/// The block as it was when it was last thought of. It has the record open for itself, so that no shot waits for it.
#[derive(Default)]
pub struct Thinking {
    /// The block.
    pub block: Option<OpenBlock>,
    /// What is thought of its lanes.
    pub thought: Thought,
    /// What was asked and said of the block as it stands, so that ten devices that ask the same make it once.
    pub said: Vec<(String, Arc<str>)>,
}

/// What is thought of the lanes.
#[derive(Default)]
pub struct Thought {
    /// After the latest shot that was asked about.
    now: Option<BeliefReplay>,
    /// After the one before, in case that shot is taken back.
    before: Option<BeliefReplay>,
}

impl Thinking {
    /// Says something about the block as it stands, or says again what was said of it. What is thought of the lanes is learned if it is
    /// needed.
    ///
    /// # Errors
    /// If it cannot be said.
    pub fn say(
        &mut self,
        question: &str,
        ask: impl FnOnce(&BlockState, &mut dyn FnMut() -> Result<BeliefReplay, Failure>) -> Result<String, Failure>,
    ) -> Result<Arc<str>, Failure> {
        /// Answers worth remembering: card and picture, by day and dark, for both lanes.
        const MOST: usize = 12;
        let Self { block, thought, said } = self;
        let state = &block.as_ref().ok_or(Failure::NoBlock)?.state;
        if let Some((_, known)) = said.iter().find(|(asked, _)| asked == question) {
            return Ok(Arc::clone(known));
        }
        let text: Arc<str> = ask(state, &mut || thought.learned(state).cloned())?.into();
        if said.len() < MOST {
            said.push((question.to_owned(), Arc::clone(&text)));
        }
        Ok(text)
    }

    /// Learns what has been logged, and throws ahead what comes next.
    ///
    /// # Errors
    /// If it cannot be learned.
    pub fn look_ahead(&mut self) -> Result<(), Failure> {
        let state = &self.block.as_ref().ok_or(Failure::NoBlock)?.state;
        self.thought.learned(state)?.look_ahead(state)
    }
}

impl Thought {
    /// What is thought now, learned from the shots that are new since it was needed last.
    fn learned(&mut self, state: &BlockState) -> Result<&mut BeliefReplay, Failure> {
        let carry = boardwise_files::carry()?;
        self.now.take_if(|now| !now.leads_to(state));
        self.before.take_if(|before| !before.leads_to(state));
        let learned = match self.now.take().or_else(|| self.before.clone()) {
            Some(known) => {
                let mut learned = known.clone();
                if learned.learn(state, carry)? {
                    self.before = Some(known);
                }
                learned
            }
            None => BeliefReplay::of(state, carry, SEED)?,
        };
        Ok(self.now.insert(learned))
    }
}

#[cfg(test)]
mod tests {
    use super::super::state::tests::{evening, log, undo};
    use super::*;

    #[test]
    fn law_a_shot_taken_back_is_not_learned_anew_however_often_the_block_was_looked_at() {
        let (_folder, app) = evening();
        for (pins, key) in [("none", "first"), ("7", "second")] {
            app.change(|state| log(state, pins, key)).unwrap();
            for _ in 0..3 {
                app.think(Thinking::look_ahead).unwrap();
            }
        }
        app.change(undo).unwrap();
        app.think(|thinking| {
            let Thinking { block, thought, .. } = thinking;
            let state = &block.as_ref().unwrap().state;
            let leads = |known: &Option<BeliefReplay>| known.as_ref().is_some_and(|known| known.leads_to(state));
            assert!(!leads(&thought.now) && leads(&thought.before));
            assert_eq!(thought.learned(state)?.seen.len(), 1);
            Ok(())
        })
        .unwrap();
    }
}
