//! What a log says once undos and corrections are taken at their word.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;

use crate::fact::{Fact, Logged, Shot};
use crate::word::{Key, Seq};

/// A fact that stands, as it was last corrected, at the place where it was first logged.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Settled {
    pub seq: Seq,
    pub key: Key,
    pub at: Timestamp,
    pub fact: Fact,
}

impl Settled {
    /// What it should have said. A shot that was put before another stays there, unless the correction says where else.
    fn correct(&mut self, mut to: Fact) {
        if let (Fact::Shot(Shot { before: there, .. }), Fact::Shot(Shot { before, .. })) = (&self.fact, &mut to) {
            *before = before.or(*there);
        }
        self.fact = to;
    }
}

/// The facts that are taken back. An undo that is itself taken back takes nothing back, so the latest are read first.
///
/// ```
/// use boardwise_record::{Shot, taken_back};
/// # let folder = tempfile::tempdir()?;
/// # let mut record = boardwise_record::Record::open(folder.path().join("a.record"))?;
/// # record.import_json(include_str!("../examples/people.json"))?;
/// # let (block, anna, at) = ("qualifying".parse()?, "anna".parse()?, "2026-04-11T09:30:00Z".parse()?);
/// let strike = record.log(Shot::standing(&block, &anna, "none".parse()?), &"k1".parse()?, at)?;
/// record.undo(strike.seq, &"k2".parse()?, at)?;
/// let facts = record.facts(boardwise_record::Seq(0))?;
/// assert!(taken_back(&facts).contains(&strike.seq));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn taken_back(log: &[Logged]) -> BTreeSet<Seq> {
    let mut back = BTreeSet::new();
    for logged in log.iter().rev() {
        if let Fact::Undo { of } = logged.fact
            && !back.contains(&logged.seq)
        {
            back.insert(of);
        }
    }
    back
}

/// What stands of a log in order of its numbers. It must be whole: with each fact, all that undoes or corrects it.
pub(crate) fn settle(log: Vec<Logged>) -> Vec<Settled> {
    let back = taken_back(&log);
    let mut standing = BTreeMap::new();
    for Logged { seq, key, at, fact } in log {
        if back.contains(&seq) {
            continue;
        }
        match fact {
            Fact::Undo { .. } => {}
            // Where the fact it corrects is taken back, the correction has nothing to say.
            Fact::Correction { of, to } => {
                standing.entry(of).and_modify(|settled: &mut Settled| settled.correct(*to));
            }
            fact => {
                standing.insert(seq, Settled { seq, key, at, fact });
            }
        }
    }
    standing.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(text: &str) -> Fact {
        Fact::Note { text: text.into(), block: None, bowler: None }
    }

    /// What stands of facts numbered from 1.
    fn texts(facts: &[Fact]) -> Vec<String> {
        let log = (1..).zip(facts).map(|(seq, fact)| Logged {
            seq: Seq(seq),
            key: format!("{seq}").parse().unwrap(),
            at: Timestamp::UNIX_EPOCH,
            fact: fact.clone(),
        });
        let text = |settled: Settled| match settled.fact {
            Fact::Note { text, .. } => format!("{} {text}", settled.seq),
            other => panic!("{other:?}"),
        };
        settle(log.collect()).into_iter().map(text).collect()
    }

    fn undo(of: i64) -> Fact {
        Fact::Undo { of: Seq(of) }
    }

    fn correction(of: i64, text: &str) -> Fact {
        Fact::Correction { of: Seq(of), to: Box::new(note(text)) }
    }

    #[test]
    fn law_an_undo_undone_is_no_undo() {
        let (a, b) = (note("a"), note("b"));
        assert_eq!(texts(&[a.clone(), b.clone(), undo(1)]), ["2 b"]);
        assert_eq!(texts(&[a.clone(), b.clone(), undo(1), undo(3)]), ["1 a", "2 b"]);
        assert_eq!(texts(&[a.clone(), b.clone(), undo(1), undo(3), undo(4)]), ["2 b"]);
        assert_eq!(texts(&[a, b, undo(1), undo(3), undo(1)]), ["2 b"]);
    }

    #[test]
    fn law_the_last_correction_that_stands_is_what_counts() {
        let (a, b) = (note("a"), note("b"));
        let to = |text| correction(1, text);
        assert_eq!(texts(&[a.clone(), b.clone(), to("c")]), ["1 c", "2 b"]);
        assert_eq!(texts(&[a.clone(), b.clone(), to("c"), to("d")]), ["1 d", "2 b"]);
        assert_eq!(texts(&[a.clone(), b.clone(), to("c"), to("d"), undo(4)]), ["1 c", "2 b"]);
        assert_eq!(texts(&[a.clone(), b.clone(), to("c"), to("d"), undo(3)]), ["1 d", "2 b"]);
        assert_eq!(texts(&[a.clone(), b.clone(), to("c"), undo(1)]), ["2 b"]);
        assert_eq!(texts(&[a, b, to("c"), undo(1), undo(4)]), ["1 c", "2 b"]);
    }
}
