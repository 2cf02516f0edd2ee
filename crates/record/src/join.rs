//! What another device logged comes into a record. What comes of it is the same on both, however often and in whichever order they
//! exchange.

use std::cmp::Reverse;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BinaryHeap};

use jiff::Timestamp;

use crate::Error;
use crate::record::Record;
use crate::roster::{Ball, Block, Bowler, Event, Lane};
use crate::row::Row;
use crate::store::Store;
use crate::tables::sealed::Table;
use crate::word::{Key, Seq};
use crate::writing::Writing;

/// What came of taking in another record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Joined {
    /// Facts that are here now.
    pub facts: usize,
    /// Facts that came from the other.
    pub new: usize,
    /// Facts that the other lacks.
    pub lacks: usize,
}

impl Record {
    /// Takes in everything that another record holds: each fact once, by its key. Two devices that take in each other's records hold
    /// the same afterwards, byte for byte of an export.
    ///
    /// Facts stand in the order of their times. What was logged together stays together, a correction or undo comes after what it
    /// names, and keys decide where times are equal. So a device whose clock is wrong puts its shots in the wrong place. Facts
    /// that came late get their place among those that were there, which may get other numbers; their keys stay. Where a name was
    /// changed, the longer one stays.
    ///
    /// ```
    /// # use boardwise_record::{Record, Shot};
    /// # let folder = tempfile::tempdir()?;
    /// # let path = |name: &str| folder.path().join(name);
    /// # let (mut phone, mut laptop) = (Record::open(path("phone"))?, Record::open(path("laptop"))?);
    /// # phone.import_json(include_str!("../examples/people.json"))?;
    /// # laptop.import_json(include_str!("../examples/people.json"))?;
    /// # let (block, anna) = ("qualifying".parse()?, "anna".parse()?);
    /// phone.log(Shot::standing(&block, &anna, "10".parse()?), &"p1".parse()?, "2026-04-11T09:30:00Z".parse()?)?;
    /// laptop.log(Shot::standing(&block, &anna, "none".parse()?), &"l1".parse()?, "2026-04-11T09:31:00Z".parse()?)?;
    /// let joined = laptop.join(&phone)?;
    /// assert_eq!((joined.facts, joined.new, joined.lacks), (2, 1, 1));
    /// phone.join(&laptop)?;
    /// assert_eq!(phone.digest()?, laptop.digest()?);
    /// assert_eq!(phone.sheet(&block, &anna)?.games[0].to_string(), "9/");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::KeyTaken`] if a key stands for two facts; [`Error::Taken`] if an id stands for two things; [`Error::DoesNotFit`] or
    /// [`Error::BlockComplete`] if a sheet does not add up, as where both logged the same ball: take it back in one of them first.
    /// Nothing is written then, and both stay as they are.
    pub fn join(&mut self, other: &Self) -> Result<Joined, Error> {
        let (theirs, people) = other.store.read(|store| Ok((Facts::of(store)?, People::of(store)?)))?;
        self.store.write(|store| {
            let ours = rows(store)?;
            let (here, there) = (ours.len(), theirs.0.len());
            let all = Facts::of_rows(ours.clone())?.with(theirs)?.rows()?;
            let joined = Joined { facts: all.len(), new: all.len() - here, lacks: all.len() - there };
            let mut writing = Writing::of_another(store);
            people.join(store, &mut writing)?;
            let stay = ours.iter().zip(&all).take_while(|(old, new)| old == new).count();
            if stay < here {
                store.take_out_after(Seq(i64::try_from(stay).unwrap_or(i64::MAX)))?;
            }
            for row in all.into_iter().skip(stay) {
                let logged = row.logged_exactly()?;
                writing.add(logged.fact, &logged.key, logged.at)?;
            }
            writing.adds_up()?;
            Ok(joined)
        })
    }
}

/// Everybody and everything that a record lists.
struct People {
    bowlers: Vec<Bowler>,
    balls: Vec<Ball>,
    lanes: Vec<Lane>,
    events: Vec<Event>,
    blocks: Vec<Block>,
}

impl People {
    fn of(store: &Store) -> Result<Self, Error> {
        let (bowlers, balls, lanes) = (store.all()?, store.all()?, store.all()?);
        Ok(Self { bowlers, balls, lanes, events: store.all()?, blocks: store.all()? })
    }

    fn join(self, store: &Store, writing: &mut Writing<'_>) -> Result<(), Error> {
        list(store, writing, self.bowlers)?;
        list(store, writing, self.balls)?;
        list(store, writing, self.lanes)?;
        list(store, writing, self.events)?;
        list(store, writing, self.blocks)
    }
}

/// Everybody or everything of one kind. Of two names the longer stays; of equally long ones, the later in the alphabet.
fn list<T: Table>(store: &Store, writing: &mut Writing<'_>, all: Vec<T>) -> Result<(), Error> {
    let rank = |name: &str| (name.chars().count(), name.to_owned());
    for mut new in all {
        if let Some(mut old) = store.find::<T>(new.id())?
            && old.name() != new.name()
        {
            if rank(old.name()) < rank(new.name()) {
                let id = new.id().to_owned();
                store.rename::<T>(&id, new.name())?;
            } else {
                std::mem::swap(old.name(), new.name());
            }
        }
        // Only names may differ.
        writing.list(&new)?;
    }
    Ok(())
}

/// All facts of a record.
fn rows(store: &Store) -> Result<Vec<Row>, Error> {
    let mut rows = Vec::new();
    store.each_row(Seq(0), |row| {
        rows.push(row);
        Ok(())
    })?;
    Ok(rows)
}

impl Store {
    /// Takes out all facts after this one, which come in again in another order before the transaction ends.
    fn take_out_after(&self, stays: Seq) -> Result<(), Error> {
        // By its own text, which the seal of the tables knows.
        let guard = "SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND name = 'fact_is_kept'";
        self.ask(|| {
            let guard: String = self.db.query_row(guard, [], |row| row.get(0))?;
            self.db.execute_batch("DROP TRIGGER fact_is_kept")?;
            self.db.execute("DELETE FROM fact WHERE seq > ?1", [stays.0])?;
            self.db.execute_batch(&guard)?;
            // Whoever has read the record sees that it is another, also where no fact is new.
            self.db.execute("UPDATE seal SET facts = ?1, names = names + 1", [stays.0]).map(drop)
        })?;
        // Facts that come in are counted, those that went are not.
        self.tally_anew()
    }
}

/// A fact that names others by their keys, since numbers differ from record to record.
#[derive(Clone, Debug)]
struct Keyed {
    row: Row,
    corrects: Option<Key>,
    undoes: Option<Key>,
    before: Option<Key>,
    /// Its place among those that were logged together with it.
    rank: usize,
}

impl Keyed {
    /// Whether both say the same; when it was said may differ, for a device may have told two records.
    fn is_like(&self, other: &Self) -> bool {
        let mut row = other.row.clone();
        let of = &self.row;
        (row.at, row.seq, row.corrects, row.undoes, row.before) = (of.at, of.seq, of.corrects, of.undoes, of.before);
        row == *of && (&self.corrects, &self.undoes, &self.before) == (&other.corrects, &other.undoes, &other.before)
    }

    fn names(&self) -> impl Iterator<Item = &Key> {
        [&self.corrects, &self.undoes, &self.before].into_iter().flatten()
    }
}

/// Facts by their keys.
#[derive(Debug)]
struct Facts(BTreeMap<Key, Keyed>);

/// What facts that were logged together have in common: their keys up to the `/`.
fn stem(key: &Key) -> &str {
    key.as_str().split_once('/').map_or(key.as_str(), |(stem, _)| stem)
}

impl Facts {
    fn of(store: &Store) -> Result<Self, Error> {
        Self::of_rows(rows(store)?)
    }

    fn of_rows(rows: Vec<Row>) -> Result<Self, Error> {
        let (mut facts, mut keys) = (BTreeMap::new(), BTreeMap::new());
        let mut logged_together: BTreeMap<String, usize> = BTreeMap::new();
        for row in rows {
            keys.insert(row.seq, row.key.clone());
            let key = |seq: Option<i64>| {
                seq.map(|seq| keys.get(&seq).cloned().ok_or(Error::NoSuchFact { seq: Seq(seq) })).transpose()
            };
            let (corrects, undoes, before) = (key(row.corrects)?, key(row.undoes)?, key(row.before)?);
            let many = logged_together.entry(stem(&row.key).to_owned()).or_default();
            let rank = *many;
            *many += 1;
            facts.insert(row.key.clone(), Keyed { row, corrects, undoes, before, rank });
        }
        Ok(Self(facts))
    }

    fn with(mut self, other: Self) -> Result<Self, Error> {
        for (key, theirs) in other.0 {
            match self.0.entry(key) {
                Entry::Vacant(place) => drop(place.insert(theirs)),
                Entry::Occupied(mut place) => {
                    let ours = place.get_mut();
                    if !ours.is_like(&theirs) {
                        return Err(Error::KeyTaken { key: theirs.row.key, seq: Seq(ours.row.seq) });
                    }
                    ours.row.at = ours.row.at.min(theirs.row.at);
                    ours.rank = ours.rank.min(theirs.rank);
                }
            }
        }
        Ok(self)
    }

    /// In order: groups of facts that were logged together, by time and key, each once all that it names is there.
    fn groups(&self) -> Vec<Vec<&Keyed>> {
        let mut groups: BTreeMap<&str, Vec<&Keyed>> = BTreeMap::new();
        for (key, fact) in &self.0 {
            groups.entry(stem(key)).or_default().push(fact);
        }
        let (mut waits, mut waited_for) = (BTreeMap::<&str, usize>::new(), BTreeMap::<&str, Vec<&str>>::new());
        for (of, group) in &mut groups {
            group.sort_by_key(|fact| (fact.rank, &fact.row.key));
            for other in group.iter().flat_map(|fact| fact.names()).map(stem).filter(|other| other != of) {
                *waits.entry(of).or_default() += 1;
                waited_for.entry(other).or_default().push(of);
            }
        }
        let first = |of: &str| groups[of].iter().map(|fact| fact.row.at).min().unwrap_or(Timestamp::MIN);
        let free = groups.keys().filter(|of| !waits.contains_key(**of));
        let mut ready: BinaryHeap<Reverse<(Timestamp, &str)>> = free.map(|of| Reverse((first(of), *of))).collect();
        let mut order = Vec::new();
        while let Some(Reverse((_, of))) = ready.pop() {
            order.push(groups[of].clone());
            for other in waited_for.remove(of).unwrap_or_default() {
                let left = waits.entry(other).or_default();
                *left -= 1;
                if *left == 0 {
                    ready.push(Reverse((first(other), other)));
                }
            }
        }
        order
    }

    /// The rows of a record that holds them, in order and with their numbers there.
    fn rows(&self) -> Result<Vec<Row>, Error> {
        let mut here: BTreeMap<&Key, i64> = BTreeMap::new();
        let mut rows = Vec::with_capacity(self.0.len());
        for (seq, fact) in (1..).zip(self.groups().into_iter().flatten()) {
            let number = |key: &Option<Key>| key.as_ref().and_then(|key| here.get(key).copied());
            let (corrects, undoes, before) = (number(&fact.corrects), number(&fact.undoes), number(&fact.before));
            rows.push(Row { seq, corrects, undoes, before, ..fact.row.clone() });
            here.insert(&fact.row.key, seq);
        }
        // Facts that name each other in a ring are no work of this program.
        if rows.len() == self.0.len() { Ok(rows) } else { Err(Error::NotAsExported) }
    }
}

#[cfg(test)]
mod tests {
    use boardwise_units::stream::Stream;

    use super::*;
    use crate::fact::{Fact, Logged};

    /// Interleavings of two devices and a server.
    const RUNS: u64 = 10_000;
    /// What happens in each.
    const STEPS: i64 = 40;

    /// Somebody with a record.
    #[derive(Clone, Default)]
    struct Place {
        rows: Vec<Row>,
        /// By how much its clock is off, s.
        off_s: i64,
        made: u32,
    }

    impl Place {
        /// Takes in what another sent.
        fn join(&mut self, sent: &[Row]) {
            let both = Facts::of_rows(self.rows.clone()).unwrap().with(Facts::of_rows(sent.to_vec()).unwrap());
            self.rows = both.unwrap().rows().unwrap();
        }

        fn log(&mut self, name: char, now_s: i64, fact: Fact, end: &str) -> Key {
            let key: Key = format!("{name}{}{end}", self.made).parse().unwrap();
            let at = Timestamp::from_second(now_s + self.off_s).unwrap();
            let seq = Seq(self.rows.len().cast_signed() as i64 + 1);
            self.rows.push(Logged { seq, key: key.clone(), at, fact }.into());
            key
        }

        /// A note with another beside it, or a correction or undo of any fact that is here.
        fn act(&mut self, name: char, now_s: i64, draw: &mut Stream) -> Vec<Key> {
            let note = |text: String| Fact::Note { text, block: None, bowler: None };
            let text = format!("{name}{}", self.made);
            let of = |rows: &[Row], draw: &mut Stream| Seq(1 + (draw.bits() % rows.len() as u64).cast_signed());
            let keys = match draw.bits() % 4 {
                0 if !self.rows.is_empty() => {
                    let fact = Fact::Undo { of: of(&self.rows, draw) };
                    vec![self.log(name, now_s, fact, "/0")]
                }
                1 if !self.rows.is_empty() => {
                    let fact = Fact::Correction { of: of(&self.rows, draw), to: Box::new(note(text)) };
                    vec![self.log(name, now_s, fact, "")]
                }
                // Sorted by key, what stands beside a shot would come after it.
                2 => vec![
                    self.log(name, now_s, note(format!("{text} first")), "/ball"),
                    self.log(name, now_s, note(text), ""),
                ],
                _ => vec![self.log(name, now_s, note(text), "")],
            };
            self.made += 1;
            keys
        }
    }

    fn keys(rows: &[Row]) -> Vec<&str> {
        rows.iter().map(|row| row.key.as_str()).collect()
    }

    #[test]
    fn law_however_two_devices_and_a_server_exchange_all_end_with_the_same_facts() {
        for run in 0..RUNS {
            let mut draw = Stream::keyed(1, "join", run);
            let mut places = [Place::default(), Place::default(), Place::default()];
            let mut logged: Vec<Key> = Vec::new();
            let mut under_way: Vec<(usize, Vec<Row>)> = Vec::new();
            for now_s in 0..STEPS {
                let who = (draw.bits() % 3) as usize;
                match draw.bits() % 8 {
                    // A clock is put right, or wrong.
                    0 => places[who].off_s = (draw.bits() % 21).cast_signed() - 10,
                    1..=4 => {
                        let name = ['a', 'b', 's'][who];
                        logged.extend(places[who].act(name, now_s, &mut draw));
                    }
                    // Sent, and it may come late, twice, never or after what was sent later.
                    5 => under_way.push(([2, 2, (draw.bits() % 2) as usize][who], places[who].rows.clone())),
                    _ if under_way.is_empty() => {}
                    how => {
                        let which = (draw.bits() % under_way.len() as u64) as usize;
                        let (to, sent) = under_way[which].clone();
                        places[to].join(&sent);
                        if how == 6 {
                            under_way.swap_remove(which);
                        }
                    }
                }
            }
            // At last all are within reach.
            for (from, to) in [(0, 2), (1, 2), (2, 0), (2, 1)] {
                let sent = places[from].rows.clone();
                places[to].join(&sent);
            }
            let [a, b, server] = &places;
            assert_eq!(a.rows, server.rows, "run {run}");
            assert_eq!(b.rows, server.rows, "run {run}");
            let mut there = keys(&server.rows);
            for (k, key) in there.iter().enumerate() {
                if let Some((stem, "ball")) = key.split_once('/') {
                    assert_eq!(there.get(k + 1), Some(&stem), "run {run}: what was logged together was parted");
                }
            }
            for row in &server.rows {
                let named = [row.corrects, row.undoes].into_iter().flatten().max();
                assert!(named.is_none_or(|named| named < row.seq), "run {run}: {row:?}");
            }
            there.sort_unstable();
            logged.sort_unstable();
            assert_eq!(there, logged.iter().map(Key::as_str).collect::<Vec<_>>(), "run {run}: lost or doubled");
        }
    }
}
