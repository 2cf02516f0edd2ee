//! Facts from a file: all of them or none, and everything that is wrong, line by line.

use jiff::Timestamp;

use crate::Error;
use crate::error::Faults;
use crate::fact::Fact;
use crate::row_error::RowError;
use crate::sheet::{Delivery, Sheet};
use crate::store::Store;
use crate::word::{Key, Seq};
use crate::writing::Writing;

/// How much an import brought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// Facts that are new.
    pub added: usize,
    /// Facts that were logged before under the same key.
    pub again: usize,
}

/// An import under way.
pub(crate) struct Import<'a> {
    pub writing: Writing<'a>,
    pub faults: Faults,
    /// New facts in order of their numbers.
    sources: Vec<Source>,
    done: Imported,
}

/// A fact as a file has it.
pub(crate) struct Incoming {
    pub fact: Fact,
    pub key: Key,
    pub at: Timestamp,
    /// Game, frame and ball by the file; 0 where it does not say.
    pub place: [u16; 3],
}

/// Where a new fact comes from.
#[derive(Clone, Copy)]
struct Source {
    seq: Seq,
    line: u64,
    place: [u16; 3],
}

impl<'a> Import<'a> {
    pub fn new(store: &'a Store) -> Self {
        let (sources, done) = (Vec::new(), Imported::default());
        Self { writing: Writing::of_another(store), faults: Faults::default(), sources, done }
    }

    /// Adds a fact, or notes what is wrong with it. Fails only if the record itself does.
    pub fn add(&mut self, line: u64, incoming: Incoming) -> Result<Option<Seq>, Error> {
        let Incoming { fact, key, at, place } = incoming;
        let receipt = self.writing.add(fact, &key, at);
        let Some(receipt) = self.noted(line, receipt)? else {
            return Ok(None);
        };
        if receipt.again {
            self.done.again += 1;
        } else {
            self.done.added += 1;
            self.sources.push(Source { seq: receipt.seq, line, place });
        }
        Ok(Some(receipt.seq))
    }

    /// The value, or nothing and a fault noted. What is wrong with the record is no fault of the file.
    pub fn noted<T>(&mut self, line: u64, result: Result<T, Error>) -> Result<Option<T>, Error> {
        match result {
            Ok(value) => Ok(Some(value)),
            Err(why) if why.is_of_record() => Err(why),
            Err(why) => {
                self.faults.push(line, why);
                Ok(None)
            }
        }
    }

    /// Reads the sheets again that the new facts changed, and says whether all is well.
    pub fn finish(self) -> Result<Imported, Error> {
        let Self { writing, mut faults, sources, done } = self;
        writing.reread(|sheet| match sheet {
            Ok(sheet) => {
                misplaced(&sheet, &sources, &mut faults);
                Ok(())
            }
            Err(why) if why.is_of_record() => Err(why),
            Err(why) => {
                let line = why.seq().and_then(|seq| source(&sources, seq)).map_or(0, |source| source.line);
                faults.push(line, why);
                Ok(())
            }
        })?;
        faults.into_result()?;
        Ok(done)
    }
}

fn source(sources: &[Source], seq: Seq) -> Option<Source> {
    sources.binary_search_by_key(&seq, |source| source.seq).ok().map(|index| sources[index])
}

/// Notes the first shot of a sheet that is not where the file says. Those after it would only say the same again.
fn misplaced(sheet: &Sheet, sources: &[Source], faults: &mut Faults) {
    let wrong = sheet.deliveries.iter().find_map(|delivery| {
        let Source { line, place: said, .. } = source(sources, delivery.seq)?;
        let is = place(delivery);
        let agree = said.iter().zip(is).all(|(&said, is)| said == 0 || said == is);
        (!agree).then_some((line, RowError::OtherPlace { said, is }.into()))
    });
    if let Some((line, why)) = wrong {
        faults.push(line, why);
    }
}

/// Game, frame and ball of a shot; 0 where nothing is counted.
pub(crate) fn place(delivery: &Delivery) -> [u16; 3] {
    delivery.thrown.map_or([0; 3], |thrown| [delivery.game, u16::from(thrown.frame), u16::from(thrown.ball)])
}
