//! Accounts of blocks that were worked out, each kept as long as nothing that it follows from changes.

use std::sync::{Arc, Mutex};

use super::lock::lock;
use boardwise_session::Failure;
use boardwise_session::at_lanes::after::{Reckoned, Replayed, Story};

/// Accounts kept: of two blocks side by side, and those looked at just before.
const MOST: usize = 8;

/// The account of one block, once there is one. Whoever works it out holds it.
type Place = Arc<Mutex<Option<Arc<Reckoned>>>>;

/// Accounts by what they follow from, those asked for last in front.
#[derive(Default)]
pub struct Accounts {
    kept: Mutex<Vec<(Replayed, Place)>>,
    #[cfg(test)]
    worked: std::sync::atomic::AtomicUsize,
}

impl Accounts {
    /// The account of a block: the one that is kept, else worked out now. Whoever asks for the same meanwhile waits for that work, and
    /// nobody else does. None where there can be none.
    ///
    /// # Errors
    /// If it cannot be worked out.
    pub fn of(&self, story: &Story) -> Result<Option<Arc<Reckoned>>, Failure> {
        let Some(from) = story.replayed() else { return Ok(None) };
        let place = self.place(from);
        let mut place = lock(&place);
        if let Some(known) = &*place {
            return Ok(Some(Arc::clone(known)));
        }
        #[cfg(test)]
        self.worked.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        let reckoned = story.reckon()?.map(Arc::new);
        place.clone_from(&reckoned);
        Ok(reckoned)
    }

    /// The account of a block if it is worked out already; nobody waits for it.
    pub fn known(&self, story: &Story) -> Option<Arc<Reckoned>> {
        let from = story.replayed()?;
        let place = lock(&self.kept).iter().find(|(of, _)| *of == from).map(|(_, place)| Arc::clone(place))?;
        place.try_lock().ok()?.clone()
    }

    /// The place of an account, in front from now on.
    fn place(&self, from: Replayed) -> Place {
        let mut kept = lock(&self.kept);
        let known = kept.iter().position(|(of, _)| *of == from);
        let (from, place) = known.map_or_else(|| (from, Place::default()), |at| kept.remove(at));
        kept.truncate(MOST - 1);
        kept.insert(0, (from, Arc::clone(&place)));
        place
    }

    /// How often one was worked out.
    #[cfg(test)]
    fn worked(&self) -> usize {
        self.worked.load(std::sync::atomic::Ordering::Relaxed)
    }
}

#[cfg(test)]
mod tests;
