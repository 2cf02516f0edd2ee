//! What stands of what was logged since a block began.

use boardwise_record::{Fact, Logged, Seq, taken_back};

/// The facts since a block began that nobody took back, without the undos, as they were logged. An undo that comes later takes its fact
/// out, so that nothing taken back is looked at twice.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Standing {
    facts: Vec<Logged>,
    /// The last fact before the block began.
    since: Seq,
    /// The last fact that was looked at.
    last: Seq,
}

impl Standing {
    /// Of all facts from after `since` to `last` that the block can feel.
    pub fn of(mut facts: Vec<Logged>, since: Seq, last: Seq) -> Self {
        let back = taken_back(&facts);
        facts.retain(|logged| !matches!(logged.fact, Fact::Undo { .. }) && !back.contains(&logged.seq));
        Self { facts, since, last }
    }

    /// The facts, the oldest first.
    pub fn facts(&self) -> &[Logged] {
        &self.facts
    }

    /// The last fact that was looked at.
    pub fn last(&self) -> Seq {
        self.last
    }

    /// Takes in all facts that were logged since. Returns whether that could be done: not where an undo was undone, for what it had
    /// taken back is no longer here.
    pub fn extend(&mut self, new: Vec<Logged>) -> bool {
        for logged in new {
            self.last = logged.seq;
            match logged.fact {
                Fact::Undo { of } if of <= self.since => {}
                Fact::Undo { of } => match self.facts.binary_search_by_key(&of, |one| one.seq) {
                    Ok(place) => drop(self.facts.remove(place)),
                    Err(_) => return false,
                },
                _ => self.facts.push(logged),
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn logged(seq: i64, fact: Fact) -> Logged {
        let at = jiff::Timestamp::UNIX_EPOCH;
        Logged { seq: Seq(seq), key: format!("{seq}").parse().unwrap(), at, fact }
    }

    /// A log of remarks and undos: of each fact the number it takes back, counted from the end, or none.
    fn log(undoes: &[Option<i64>]) -> Vec<Logged> {
        let fact = |(seq, undoes): (i64, &Option<i64>)| match undoes.map(|back| seq - 1 - back) {
            Some(of) if of > 0 => logged(seq, Fact::Undo { of: Seq(of) }),
            _ => logged(seq, Fact::Note { text: "well".into(), block: None, bowler: None }),
        };
        (1..).zip(undoes).map(fact).collect()
    }

    proptest! {
        #[test]
        fn law_what_stands_is_the_same_whether_it_came_at_once_or_bit_by_bit(
            undoes in proptest::collection::vec(proptest::option::of(0_i64..6), 0..40),
            since in 0_i64..5,
        ) {
            let all = log(&undoes);
            let after: Vec<Logged> = all.iter().filter(|one| one.seq.0 > since).cloned().collect();
            let whole = |facts: &[Logged]| {
                let last = facts.last().map_or(Seq(since), |last| last.seq);
                Standing::of(facts.to_vec(), Seq(since), last)
            };
            let mut bit_by_bit = whole(&[]);
            for (known, one) in after.iter().enumerate() {
                let taken_back_before = matches!(one.fact, Fact::Undo { of }
                    if of.0 > since && bit_by_bit.facts().iter().all(|standing| standing.seq != of));
                let taken = bit_by_bit.extend(vec![one.clone()]);
                prop_assert_eq!(taken, !taken_back_before);
                if !taken {
                    bit_by_bit = whole(&after[..=known]);
                }
                prop_assert_eq!(&bit_by_bit, &whole(&after[..=known]));
            }
        }
    }
}
