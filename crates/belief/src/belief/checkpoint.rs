//! A belief put aside: only what the shots changed, to be kept beside a record so that they need not be thrown anew.

use super::ensemble::Belief;
use boardwise_lane::{Coating, Lane};
use boardwise_search::World;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// What shots have made of a belief. It belongs to the lanes, bowler, balls, prior and seed the belief was begun with, and does not hold them: who keeps it
/// keeps with it what tells whether they are still the same.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Checkpoint {
    /// Form of what follows.
    version: u32,
    seed: u64,
    shots: u64,
    worlds: Vec<Vec<f64>>,
    /// By lane: nodes of the film that wear has changed and their film in metres.
    worn: [Vec<(u32, f64)>; 2],
    /// Balls that wore them.
    balls: u32,
}

/// The form written now; another too where the same shots make another belief of the same worlds.
const VERSION: u32 = 5;

/// Why a checkpoint does not fit a belief.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum CheckpointError {
    /// Written in another form.
    #[error("checkpoint of form {0}, not {VERSION}: throw the shots anew")]
    Version(u32),
    /// Of a belief begun otherwise.
    #[error("checkpoint of another belief ({0} differs): throw the shots anew")]
    Other(&'static str),
}

impl Belief {
    /// What the shots so far have made of it.
    pub fn checkpoint(&self) -> Checkpoint {
        Checkpoint {
            version: VERSION,
            seed: self.seed,
            shots: self.shots,
            worlds: self.worlds.iter().map(|world| world.numbers().to_vec()).collect(),
            worn: [0, 1].map(|lane| worn(&self.fresh[lane], &self.now[lane])),
            balls: self.worn,
        }
    }

    /// The belief as it was when the checkpoint was taken, from one that was begun alike: bit for bit what throwing the shots anew would give.
    ///
    /// # Errors
    /// If the checkpoint has another form, or was plainly not taken of such a belief.
    pub fn resumed(&self, from: &Checkpoint) -> Result<Self, CheckpointError> {
        if from.version != VERSION {
            return Err(CheckpointError::Version(from.version));
        }
        if from.seed != self.seed {
            return Err(CheckpointError::Other("the seed"));
        }
        if from.worlds.len() != self.worlds.len() {
            return Err(CheckpointError::Other("the number of worlds"));
        }
        let world = |(was, numbers): (&World, &Vec<f64>)| {
            let numbers: [f64; World::SIZE] = numbers.as_slice().try_into().ok()?;
            numbers.iter().all(|number| number.is_finite()).then(|| was.with_numbers(numbers))
        };
        let worlds: Option<Vec<World>> = self.worlds.iter().zip(&from.worlds).map(world).collect();
        let worlds = worlds.ok_or(CheckpointError::Other("what a world holds"))?;
        let mut now = self.fresh.clone();
        for (lane, worn) in now.iter_mut().zip(&from.worn) {
            wear(lane, worn).ok_or(CheckpointError::Other("the film"))?;
        }
        let mut resumed = self.clone();
        (resumed.worlds, resumed.now, resumed.foreseen) = (worlds, now, None);
        (resumed.shots, resumed.worn) = (from.shots, from.balls);
        Ok(resumed)
    }
}

fn worn(fresh: &Lane, now: &Lane) -> Vec<(u32, f64)> {
    let (Some(fresh), Some(now)) = (fresh.film(), now.film()) else { return Vec::new() };
    let nodes = fresh.thickness_m.values().iter().zip(now.thickness_m.values()).enumerate();
    nodes.filter(|(_, (was, is))| was.to_bits() != is.to_bits()).map(|(node, (_, is))| (node as u32, *is)).collect()
}

/// Lays the worn film; None if it is no film of this lane.
fn wear(lane: &mut Lane, worn: &[(u32, f64)]) -> Option<()> {
    if worn.is_empty() {
        return Some(());
    }
    let Coating::Oil(film) = &mut lane.coating else { return None };
    let across = film.thickness_m.row(0).len();
    let along = film.thickness_m.values().len() / across;
    for &(node, film_m) in worn {
        let (row, column) = (node as usize / across, node as usize % across);
        if row >= along || !film_m.is_finite() || film_m < 0.0 {
            return None;
        }
        film.thickness_m.row_mut(row)[column] = film_m;
    }
    Some(())
}
