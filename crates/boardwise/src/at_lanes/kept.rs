//! The belief kept beside the record, so that the next command need not throw every shot anew. It is a copy of what follows from the
//! record: where it does not fit, or cannot be read or written, the shots are thrown.

use std::path::Path;

use boardwise_belief::Checkpoint;
use boardwise_pins::carry::Carry;
use boardwise_record::{Key, beside};
use serde::{Deserialize, Serialize};

use boardwise_session::Failure;
use boardwise_session::at_lanes::belief_replay::BeliefReplay;
use boardwise_session::at_lanes::block_state::BlockState;

/// What is kept.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KeptBelief {
    /// Whose work it is: another version may believe otherwise.
    program: String,
    since: Key,
    seed: u64,
    /// The opening, then each first ball, in words that are the same only if they are.
    shots: Vec<String>,
    checkpoint: Checkpoint,
}

fn read(path: &Path) -> Option<KeptBelief> {
    serde_json::from_slice(&std::fs::read(path).ok()?).ok()
}

/// The belief after all shots so far, from the one kept where that leads to it; it is kept in its place.
///
/// # Errors
/// As [`BeliefReplay::of`].
pub fn replay(state: &BlockState, carry: &Carry, seed: u64) -> Result<BeliefReplay, Failure> {
    let desk = &state.desk;
    let (path, program) = (beside(&desk.place, ".belief.json"), env!("CARGO_PKG_VERSION").to_owned());
    let since = desk.begun.since.clone();
    let known = read(&path).filter(|kept| kept.program == program && kept.since == since && kept.seed == seed);
    let resumed = known.and_then(|kept| BeliefReplay::resumed(state, seed, &kept.shots, &kept.checkpoint));
    let replay = match resumed {
        Some(mut replay) => {
            replay.learn(state, carry)?;
            replay
        }
        None => BeliefReplay::of(state, carry, seed)?,
    };
    let kept = KeptBelief { program, since, seed, shots: replay.words(), checkpoint: replay.belief.checkpoint() };
    if let Ok(bytes) = serde_json::to_vec(&kept) {
        // A copy that cannot be kept costs time the next time, nothing else.
        let _ = boardwise_files::whole::write(&path, &bytes);
    }
    Ok(replay)
}
