//! What blocks began with: words that the record keeps for whoever began them.

use serde::{Deserialize, Serialize};

use crate::Error;
use crate::roster::{Block, Bowler};
use crate::store::Store;
use crate::word::{BlockId, BowlerId};

/// What a bowler's block began with, in the words of the program that began it: so that it can say years later what the shots were thrown
/// at, and with what. The record does not read them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beginning {
    /// The block.
    pub block: BlockId,
    /// Whose sheet.
    pub bowler: BowlerId,
    /// The words.
    pub text: String,
}

impl Beginning {
    /// Longest text, in bytes: an event with all its files is a twentieth of it.
    pub const LONGEST: usize = 4_000_000;

    /// Keeps it, unless one of this sheet is kept: a block begins once.
    pub(crate) fn keep(&self, store: &Store) -> Result<(), Error> {
        let Self { block, bowler, text } = self;
        if text.is_empty() || text.len() > Self::LONGEST || text.contains('\0') {
            return Err(Error::BadText { long: text.len(), most: Self::LONGEST });
        }
        store.one::<Block>(block.as_str())?;
        store.one::<Bowler>(bowler.as_str())?;
        if store.beginning(block, bowler)?.is_none() {
            store.insert_beginning(self)?;
        }
        Ok(())
    }
}
