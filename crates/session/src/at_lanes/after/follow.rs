//! Drills followed: what was reached, written down as a note in fixed words, and whether a later block moved.

use boardwise_belief::Account;
use boardwise_record::{BlockId, BowlerId, Note, Seq};
use jiff::civil::Date;

use super::Story;
use super::practise::{About, Found, enough};
use super::words::SURE;
use crate::view::DrillView;

/// A drill that was done after a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrillDone {
    /// What it was about.
    pub about: About,
    /// How often it was reached.
    pub reached: u32,
    /// Of so many tries.
    pub tries: u32,
    /// What the block had before it, pins a game lost or boards.
    pub before: f64,
}

impl DrillDone {
    /// The note that keeps it, with this in the place of the number that was reached.
    pub(super) fn note(&self, reached: &str) -> String {
        let Self { about, tries, before, .. } = *self;
        format!("Drill, {}: {reached} of {tries}. Before: {before:.1} {}.", about.name(), about.unit())
    }

    /// What a note keeps; None of a note that keeps no drill, or one that cannot be.
    pub fn read(note: &str) -> Option<Self> {
        About::ALL.into_iter().find_map(|about| {
            let rest = note.trim().strip_prefix("Drill, ")?.strip_prefix(about.name())?.strip_prefix(": ")?;
            let (reached, rest) = rest.split_once(" of ")?;
            let (tries, before) = rest.split_once(". Before: ")?;
            let before = before.strip_suffix('.')?.strip_suffix(about.unit())?.trim_end();
            let (reached, tries) = (reached.parse().ok()?, tries.parse().ok()?);
            let before: f64 = before.parse().ok().filter(|before: &f64| before.is_finite())?;
            (reached <= tries && tries > 0).then_some(Self { about, reached, tries, before })
        })
    }
}

/// The drills that this bowler wrote down on other blocks before a shot, the newest of each.
pub(super) fn done_before(notes: &[Note], bowler: &BowlerId, block: &BlockId, shot: Seq) -> Vec<(Date, DrillDone)> {
    let mut newest: Vec<(Date, DrillDone)> = Vec::new();
    let own = notes.iter().filter(|note| note.bowler.as_ref() == Some(bowler) && note.block.as_ref() != Some(block));
    for note in own.filter(|note| note.seq < shot) {
        if let Some(done) = DrillDone::read(&note.text) {
            newest.retain(|(_, other)| other.about != done.about);
            newest.push((jiff::tz::TimeZone::UTC.to_datetime(note.at).date(), done));
        }
    }
    newest
}

/// Whether a block after a drill moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// When it was done.
    pub day: Date,
    /// The drill.
    pub done: DrillDone,
    /// What this block has; None where it has too few attempts to say.
    pub now: Option<Found>,
}

impl Followed {
    /// Drills of earlier blocks, as this one follows them.
    pub fn of(story: &Story, account: &Account) -> Vec<Self> {
        let follow = |&(day, done): &(Date, DrillDone)| {
            let now = done.about.in_account(account).filter(|_| enough(done.about, story, account));
            Self { day, done, now }
        };
        story.drills.iter().map(follow).collect()
    }

    /// Less is better: how much less it is than before, in standard deviations of the difference. The block before is taken to have been as
    /// unsure as this one.
    fn gained(&self, now: Found) -> f64 {
        (self.done.before - now.value) / (core::f64::consts::SQRT_2 * now.unsure).max(1e-9)
    }

    /// In words.
    pub fn words(&self) -> String {
        let DrillDone { about, reached, tries, before } = self.done;
        let mut name = about.name().to_owned();
        name[..1].make_ascii_uppercase();
        let drill = format!("{name}: {reached} of {tries} in the drill of {}.", self.day);
        let unit = about.unit();
        let Some(now) = self.now else {
            return format!("{drill} {before:.1} {unit} before it; this block has too few attempts to say.");
        };
        let verdict = match self.gained(now) {
            gained if gained > SURE => "Better, by more than chance makes.",
            gained if gained < -SURE => "Worse, by more than chance makes.",
            _ => "Chance makes as much.",
        };
        format!("{drill} {before:.1} {unit} before it, {:.1} \u{b1} {:.1} now. {verdict}", now.value, now.unsure)
    }
}

impl From<&Followed> for DrillView {
    fn from(followed: &Followed) -> Self {
        let DrillDone { about, reached, tries, before } = followed.done;
        Self {
            day: followed.day.to_string(),
            about: about.name().to_owned(),
            reached,
            tries,
            unit: about.unit().to_owned(),
            before,
            now: followed.now.map(|now| now.value),
            now_sd: followed.now.map(|now| now.unsure),
            say: followed.words(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use boardwise_score::LeaveKind;

    #[test]
    fn law_a_note_keeps_every_drill_and_reads_no_other_words() {
        for about in About::ALL {
            for (reached, tries, before) in [(0, 2, -0.4), (7, 10, 4.0), (15, 15, 12.3)] {
                let done = DrillDone { about, reached, tries, before };
                assert_eq!(DrillDone::read(&done.note(&reached.to_string())), Some(done));
            }
        }
        let good = "Drill, single pins: 7 of 10. Before: 4.0 pins a game lost.";
        assert!(DrillDone::read(good).is_some());
        for other in [
            "Drill, single pins: 11 of 10. Before: 4.0 pins a game lost.",
            "Drill, single pins: 7 of 10. Before: inf pins a game lost.",
            "Drill, single pins: 7 of 10. Before: 4.0 boards off.",
            "Drill, single pins: -1 of 10. Before: 4.0 pins a game lost.",
            "Drill, single pins: # of 10. Before: 4.0 pins a game lost.",
            "Drill, pins: 7 of 10. Before: 4.0 pins a game lost.",
            "A drill is a drill.",
            "",
        ] {
            assert_eq!(DrillDone::read(other), None, "{other}");
        }
    }

    #[test]
    fn law_a_block_says_better_only_beyond_what_chance_makes() {
        let done = DrillDone { about: About::Spares(LeaveKind::Single), reached: 8, tries: 10, before: 6.0 };
        let followed =
            |value| Followed { day: Date::constant(2026, 12, 1), done, now: Some(Found { value, unsure: 2.0 }) };
        // Two blocks, each unsure by 2: their difference by 2.83, and what chance does one time in ten begins at 3.6.
        assert!(followed(2.0).words().ends_with("Better, by more than chance makes."));
        assert!(followed(2.5).words().ends_with("Chance makes as much."));
        assert!(followed(9.5).words().ends_with("Chance makes as much."));
        assert!(followed(10.0).words().ends_with("Worse, by more than chance makes."));
        let none = Followed { now: None, ..followed(0.0) };
        let words = "Single pins: 8 of 10 in the drill of 2026-12-01. 6.0 pins a game lost before it; this block has too few attempts to say.";
        assert_eq!(none.words(), words);
    }
}
