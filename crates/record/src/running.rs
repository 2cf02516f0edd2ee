//! A sheet that is read once and then takes in each new fact, so that a shot costs the same on a short sheet and on a long one.

use std::collections::BTreeSet;

use jiff::Timestamp;

use crate::Error;
use crate::fact::{Fact, Logged, Receipt, Shot};
use crate::reading::{Settled, taken_back};
use crate::record::Record;
use crate::roster::Block;
use crate::seal::Counts;
use crate::sheet::{Growing, Sheet};
use crate::store::Store;
use crate::word::{BlockId, BowlerId, Key, Seq};
use crate::writing::Writing;

/// A sheet that keeps up with its record. It always says what [`Record::sheet`] would.
///
/// What was logged since, by whomever, is read and taken in. The sheet is read anew only where that does not suffice: a ball in hand
/// was taken back, an undo was undone, a name was changed, records were joined.
///
/// ```
/// # use boardwise_record::{Fact, Shot};
/// # let folder = tempfile::tempdir()?;
/// # let mut record = boardwise_record::Record::open(folder.path().join("a.record"))?;
/// # record.import_json(include_str!("../examples/people.json"))?;
/// # let (block, anna, at) = ("qualifying".parse()?, "anna".parse()?, "2026-04-11T09:30:00Z".parse()?);
/// let mut running = record.running_sheet(&block, &anna)?;
/// let strike = Shot::standing(&block, &anna, "none".parse()?);
/// record.log_onto(&mut running, [(Fact::from(strike), "k1".parse()?)], at)?;
/// assert_eq!(running.sheet().games[0].to_string(), "X");
/// assert_eq!(*running.sheet(), record.sheet(&block, &anna)?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct RunningSheet {
    growing: Growing,
    /// What stands of the facts that the sheet was read from, in order: no undo, and nothing that is taken back.
    standing: Vec<Logged>,
    /// The others of those facts. Whatever changes one of them again changes more than can be told from what stands.
    fallen: BTreeSet<Seq>,
    /// The state of the record that it was read from; none where it must be read anew.
    seen: Option<Counts>,
}

/// What a new fact means to a sheet that was read before.
enum Taken {
    /// Nothing, or it was taken in at the end.
    AtEnd,
    /// The balls must be counted again from what stands.
    Recount,
    /// The sheet must be read anew.
    Anew,
}

impl RunningSheet {
    /// The sheet as it was read last.
    pub fn sheet(&self) -> &Sheet {
        &self.growing.sheet
    }

    /// Lets the sheet be read anew the next time. Needed where work of [`Record::alone`] failed in which facts were logged onto it: they
    /// were never written.
    pub fn forget(&mut self) {
        self.seen = None;
    }

    fn read(store: &Store, block: &BlockId, bowler: &BowlerId) -> Result<Self, Error> {
        let seen = store.counts()?;
        let mut standing = store.of_sheet(block, bowler)?;
        let back = taken_back(&standing);
        let falls = |logged: &Logged| matches!(logged.fact, Fact::Undo { .. }) || back.contains(&logged.seq);
        let fallen = standing.iter().filter(|logged| falls(logged)).map(|logged| logged.seq).collect();
        standing.retain(|logged| !falls(logged));
        let growing = Growing::read(store.one::<Block>(block.as_str())?, bowler.clone(), standing.clone())?;
        Ok(Self { growing, standing, fallen, seen: Some(seen) })
    }

    /// Takes in what was written since; returns whether the sheet may have changed.
    fn keep_up(&mut self, store: &Store) -> Result<bool, Error> {
        let now = store.counts()?;
        match self.seen.take() {
            Some(seen) if seen == now => {
                self.seen = Some(now);
                Ok(false)
            }
            Some(seen) if seen.names == now.names && seen.facts < now.facts => {
                let mut new = Vec::new();
                store.each_row(Seq(seen.facts), |row| {
                    new.push(store.whole_row(row)?);
                    Ok(())
                })?;
                if self.take_all(new)? {
                    self.seen = Some(now);
                    return Ok(true);
                }
                self.read_anew(store)
            }
            _ => self.read_anew(store),
        }
    }

    fn read_anew(&mut self, store: &Store) -> Result<bool, Error> {
        let Sheet { block, bowler, .. } = self.sheet();
        *self = Self::read(store, &block.id, bowler)?;
        Ok(true)
    }

    /// Takes in facts that were logged since, if that can be done.
    fn take_all(&mut self, new: Vec<Logged>) -> Result<bool, Error> {
        let mut recount = false;
        for logged in new {
            match self.take(logged, recount)? {
                Taken::AtEnd => {}
                Taken::Recount => recount = true,
                Taken::Anew => return Ok(false),
            }
        }
        if recount {
            let Sheet { block, bowler, .. } = self.sheet();
            self.growing = Growing::read(block.clone(), bowler.clone(), self.standing.clone())?;
        }
        Ok(true)
    }

    /// Takes in the next fact. Where all will be counted again, it is only kept.
    fn take(&mut self, logged: Logged, recount: bool) -> Result<Taken, Error> {
        match &logged.fact {
            Fact::Undo { of } | Fact::Correction { of, .. } if self.fallen.contains(of) => return Ok(Taken::Anew),
            Fact::Undo { of } => {
                let Some(place) = self.place(*of) else { return Ok(Taken::AtEnd) };
                if is_of_ball(&self.standing[place]) {
                    return Ok(Taken::Anew);
                }
                self.fallen.extend([*of, logged.seq]);
                self.standing.remove(place);
                return Ok(Taken::Recount);
            }
            Fact::Correction { of, to } => {
                let known = self.place(*of).map(|place| &self.standing[place]);
                return match known {
                    Some(first) if is_of_ball(first) => Ok(Taken::Anew),
                    Some(_) => {
                        self.standing.push(logged);
                        Ok(Taken::Recount)
                    }
                    None if self.is_ours(to) => Ok(Taken::Anew),
                    None => Ok(Taken::AtEnd),
                };
            }
            fact if !self.is_ours(fact) => return Ok(Taken::AtEnd),
            _ => {}
        }
        self.standing.push(logged.clone());
        let Logged { seq, key, at, fact } = logged;
        if recount || matches!(fact, Fact::Shot(Shot { before: Some(_), .. })) {
            return Ok(Taken::Recount);
        }
        self.growing.take_in(Settled { seq, key, at, fact })?;
        Ok(Taken::AtEnd)
    }

    fn place(&self, of: Seq) -> Option<usize> {
        self.standing.binary_search_by_key(&of, |logged| logged.seq).ok()
    }

    fn is_ours(&self, fact: &Fact) -> bool {
        let Sheet { block, bowler, .. } = self.sheet();
        match fact {
            Fact::BallChange { bowler: of, .. } => of == bowler,
            fact => fact.sheet().is_some_and(|(of, who)| *of == block.id && who == bowler),
        }
    }
}

/// Whether it is a change of ball, or a correction of one. Which changes the sheet needs follows from those that stand.
fn is_of_ball(logged: &Logged) -> bool {
    match &logged.fact {
        Fact::BallChange { .. } => true,
        Fact::Correction { to, .. } => matches!(**to, Fact::BallChange { .. }),
        _ => false,
    }
}

impl Record {
    /// What a bowler threw in a block, as a sheet that takes in what is logged from now on.
    ///
    /// # Errors
    /// As [`Record::sheet`].
    pub fn running_sheet(&self, block: &BlockId, bowler: &BowlerId) -> Result<RunningSheet, Error> {
        self.store.read(|store| {
            store.one::<crate::Bowler>(bowler.as_str())?;
            RunningSheet::read(store, block, bowler)
        })
    }

    /// Lets a sheet take in what was written since, by whomever; returns whether it may have changed.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn keep_up(&self, running: &mut RunningSheet) -> Result<bool, Error> {
        self.store.read(|store| running.keep_up(store))
    }

    /// Writes facts down, all or none, as [`Record::log_all`], and lets a sheet take them in. That sheet is not read again to see whether
    /// it adds up.
    ///
    /// # Errors
    /// As [`Record::log_all`].
    pub fn log_onto(
        &mut self,
        running: &mut RunningSheet,
        facts: impl IntoIterator<Item = (Fact, Key)>,
        at: Timestamp,
    ) -> Result<Vec<Receipt>, Error> {
        let done = self.store.write(|store| {
            running.keep_up(store)?;
            let mut writing = Writing::new(store);
            let receipts: Result<_, _> = facts.into_iter().map(|(fact, key)| writing.add(fact, &key, at)).collect();
            let receipts = receipts?;
            running.keep_up(store)?;
            writing.adds_up_beside(running.sheet())?;
            Ok(receipts)
        });
        if done.is_err() {
            running.forget();
        }
        done
    }
}
