//! Writing facts down: each is looked at by itself, against what it names, and with the sheets it changes.

use std::collections::{BTreeSet, HashSet};
use std::mem::discriminant;

use jiff::Timestamp;

use crate::Error;
use crate::fact::{Fact, Receipt, Shot};
use crate::reading::taken_back;
use crate::roster::{Ball, Block, Bowler, Lane};
use crate::sheet::Sheet;
use crate::store::Store;
use crate::tables::sealed::Table;
use crate::word::{BlockId, BowlerId, Key, Seq, Thing};

/// Facts being written in one transaction.
pub(crate) struct Writing<'a> {
    store: &'a Store,
    /// Sheets to be read again before the transaction may end.
    touched: BTreeSet<(BlockId, BowlerId)>,
    /// Names found in the record already, so that a long import asks once for each.
    known: HashSet<(Thing, String)>,
    /// Whether the facts come from another record.
    of_another: bool,
}

impl<'a> Writing<'a> {
    pub fn new(store: &'a Store) -> Self {
        Self { store, touched: BTreeSet::new(), known: HashSet::new(), of_another: false }
    }

    /// Facts of another record. There two people may have taken back or corrected the same fact, each on a device of their own: both
    /// are kept, and it is taken back as long as one of them says so.
    pub fn of_another(store: &'a Store) -> Self {
        Self { of_another: true, ..Self::new(store) }
    }

    /// Adds someone or something to the record; `false` if it was there already.
    pub fn list<T: Table>(&mut self, new: &T) -> Result<bool, Error> {
        match self.store.find::<T>(new.id())? {
            Some(old) if old == *new => Ok(false),
            Some(_) => Err(Error::Taken { thing: T::THING, id: new.id().into() }),
            None => {
                new.check()?;
                new.owner().map_or(Ok(()), |owner| self.needs::<T::Owner>(owner))?;
                self.store.insert(new)?;
                Ok(true)
            }
        }
    }

    /// The same for one from another record: it may have another name there, and keeps the one it has here.
    pub fn list_by_id<T: Table>(&mut self, mut new: T) -> Result<bool, Error> {
        if let Some(mut old) = self.store.find::<T>(new.id())? {
            std::mem::swap(old.name(), new.name());
        }
        self.list(&new)
    }

    /// Adds a fact to the log, unless it was logged before under the same key.
    pub fn add(&mut self, fact: Fact, key: &Key, at: Timestamp) -> Result<Receipt, Error> {
        let root = match fact {
            Fact::Undo { of } | Fact::Correction { of, .. } => Some(self.store.root(of)?),
            _ => None,
        };
        // A correction of a correction is one of what that corrected.
        let fact = match (fact, root) {
            (Fact::Correction { to, .. }, Some(of)) => Fact::Correction { of, to },
            (fact, _) => fact,
        };
        if let Some(earlier) = self.store.by_key(key)? {
            if earlier.fact != fact {
                return Err(Error::KeyTaken { key: key.clone(), seq: earlier.seq });
            }
            return Ok(Receipt { seq: earlier.seq, key: earlier.key, at: earlier.at, again: true });
        }
        fact.check()?;
        self.refers(&fact, root)?;
        if let Some((block, bowler)) = fact.sheet() {
            self.touched.insert((block.clone(), bowler.clone()));
        }
        let seq = self.store.append(fact, key.clone(), at, root)?;
        Ok(Receipt { seq, key: key.clone(), at, again: false })
    }

    /// That whatever it names is there, and that the facts it refers to may be referred to so.
    fn refers(&mut self, fact: &Fact, root: Option<Seq>) -> Result<(), Error> {
        match fact {
            Fact::Shot(shot) => {
                self.needs::<Block>(shot.block.as_str())?;
                self.needs::<Bowler>(shot.bowler.as_str())?;
                shot.ball.as_ref().map_or(Ok(()), |ball| self.needs::<Ball>(ball.as_str()))?;
                shot.lane.as_ref().map_or(Ok(()), |lane| self.needs::<Lane>(lane.as_str()))?;
                shot.before.map_or(Ok(()), |before| self.may_stand_before(before, shot))
            }
            Fact::BallChange { bowler, ball } => {
                self.needs::<Bowler>(bowler.as_str())?;
                self.needs::<Ball>(ball.as_str())
            }
            Fact::SurfaceChange { ball, .. } => self.needs::<Ball>(ball.as_str()),
            Fact::LaneChange { block, bowler, lane, other } => {
                self.needs::<Block>(block.as_str())?;
                self.needs::<Bowler>(bowler.as_str())?;
                self.needs::<Lane>(lane.as_str())?;
                other.as_ref().map_or(Ok(()), |other| self.needs::<Lane>(other.as_str()))
            }
            Fact::LineMeant { block, bowler, lane, .. } => {
                self.needs::<Block>(block.as_str())?;
                self.needs::<Bowler>(bowler.as_str())?;
                self.needs::<Lane>(lane.as_str())
            }
            Fact::BlockBegun { block, bowler, opening } => {
                self.needs::<Block>(block.as_str())?;
                self.needs::<Bowler>(bowler.as_str())?;
                opening.lanes.iter().try_for_each(|lane| self.needs::<Lane>(lane.as_str()))?;
                opening.balls.iter().try_for_each(|ball| self.needs::<Ball>(ball.as_str()))
            }
            Fact::BlockResumed { block, bowler } => {
                self.needs::<Block>(block.as_str())?;
                self.needs::<Bowler>(bowler.as_str())
            }
            Fact::Note { block, bowler, .. } => {
                block.as_ref().map_or(Ok(()), |block| self.needs::<Block>(block.as_str()))?;
                bowler.as_ref().map_or(Ok(()), |bowler| self.needs::<Bowler>(bowler.as_str()))
            }
            Fact::Correction { of, to } => {
                self.may_be_changed(*of, *of, |first| {
                    let onto_itself = matches!(&**to, Fact::Shot(Shot { before: Some(before), .. }) if before == of);
                    if onto_itself || discriminant(first) != discriminant(&**to) {
                        return Err(Error::CorrectsNothing { of: *of });
                    }
                    Ok(())
                })?;
                self.refers(to, None)
            }
            Fact::Undo { of } => self.may_be_changed(*of, root.unwrap_or(*of), |_| Ok(())),
        }
    }

    /// That fact `of` stands, and that what it is about in the end may be changed. Every sheet it was ever on is read again.
    fn may_be_changed(
        &mut self,
        of: Seq,
        root: Seq,
        may: impl FnOnce(&Fact) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let history = self.store.history(root)?;
        if !self.of_another && taken_back(&history).contains(&of) {
            return Err(Error::Undone { seq: of });
        }
        if let Some(first) = history.first() {
            may(&first.fact)?;
        }
        let sheets = history.iter().filter_map(|logged| logged.fact.sheet());
        self.touched.extend(sheets.map(|(block, bowler)| (block.clone(), bowler.clone())));
        Ok(())
    }

    /// That a forgotten shot may be put before this fact: a shot of the same sheet that stands where it was logged.
    fn may_stand_before(&self, before: Seq, shot: &Shot) -> Result<(), Error> {
        let history = self.store.history(before)?;
        match history.first().map(|logged| &logged.fact) {
            Some(Fact::Shot(other))
                if other.block == shot.block && other.bowler == shot.bowler && other.before.is_none() =>
            {
                Ok(())
            }
            None => Err(Error::NoSuchFact { seq: before }),
            _ => Err(Error::NoPlace { seq: before }),
        }
    }

    fn needs<T: Table>(&mut self, id: &str) -> Result<(), Error> {
        let name = (T::THING, id.to_owned());
        if !self.known.contains(&name) {
            self.store.one::<T>(id)?;
            self.known.insert(name);
        }
        Ok(())
    }

    /// That every sheet that was changed adds up.
    pub fn adds_up(self) -> Result<(), Error> {
        for (block, bowler) in self.touched {
            // Where nothing is counted there is nothing to add up, however long the sheet.
            if self.store.one::<Block>(block.as_str())?.counting.scoring().is_some() {
                self.store.sheet(&block, &bowler)?;
            }
        }
        Ok(())
    }

    /// The same, where one sheet took in the facts and adds up.
    pub fn adds_up_beside(mut self, known: &Sheet) -> Result<(), Error> {
        self.touched.remove(&(known.block.id.clone(), known.bowler.clone()));
        self.adds_up()
    }

    /// Reads every sheet again that was changed, and hands it to `each` or says why it does not add up.
    pub fn reread(self, mut each: impl FnMut(Result<Sheet, Error>) -> Result<(), Error>) -> Result<(), Error> {
        for (block, bowler) in self.touched {
            each(self.store.sheet(&block, &bowler))?;
        }
        Ok(())
    }
}

impl Store {
    /// The sheet of a bowler in a block, empty if nothing was thrown.
    pub fn sheet(&self, block: &BlockId, bowler: &BowlerId) -> Result<Sheet, Error> {
        let log = self.of_sheet(block, bowler)?;
        Sheet::read(self.one(block.as_str())?, bowler.clone(), log)
    }
}
