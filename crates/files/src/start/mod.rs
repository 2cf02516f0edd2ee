//! Files for somebody who has none yet: from a few answers to a lane, a bag, a bowler and an event.
//!
//! The page of the first minute and `boardwise new` both build their files here. Each text is a commented file that
//! [`crate::Library::check`] reads like any other: nothing is checked twice, and a value that cannot be is a [`Fault`] of that
//! reading.

mod ball;
mod bowler;
mod event;
mod lane;

use boardwise_units::Hand;
use serde::Deserialize;

pub use ball::{BallStart, CoverStart, FinishStart, LayoutStart, bag_of, newcomers_bag};
pub use bowler::{BowlerStart, Manner};
pub use event::EventStart;
pub use lane::{Pattern, SheetStart, StartRow, WayStart};

use crate::{Fault, Library, Shelf};

/// The answers to three questions: who bowls, what is on the lane, which lanes.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answers {
    /// Who bowls.
    pub who: Who,
    /// What is on the lane.
    pub lane: OnLane,
    /// Numbers of the pair's lanes.
    pub numbers: [u32; 2],
    /// Games.
    #[serde(default = "usual_games")]
    pub games: u32,
}

fn usual_games() -> u32 {
    3
}

/// Who bowls.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
pub enum Who {
    /// Somebody new.
    New {
        /// What to call them; left out, after the hand.
        name: Option<String>,
        /// The hand.
        hand: Side,
        /// How they throw.
        manner: Manner,
    },
    /// A bowler of the kit, with the bag that goes with them.
    Kept {
        /// The bowler's name on its shelf.
        bowler: String,
    },
}

/// A hand as an answer has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Right.
    Right,
    /// Left.
    Left,
}

impl From<Side> for Hand {
    fn from(side: Side) -> Self {
        match side {
            Side::Right => Self::Right,
            Side::Left => Self::Left,
        }
    }
}

/// What is on the lane.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
pub enum OnLane {
    /// A usual pattern.
    Usual(Pattern),
    /// A sheet as it is printed.
    Sheet(SheetStart),
    /// A lane file that was opened.
    Text(String),
    /// A lane of the kit.
    Kept(String),
}

/// A file to be kept: its shelf, the name it would like, and its text.
type New = (Shelf, String, String);

impl Answers {
    /// Keeps what the answers come to, and gives the event's name on its shelf. What is there already under the same words is
    /// used again; nothing is ever replaced.
    ///
    /// # Errors
    /// What is wrong with an answer; then nothing new is kept but what the others came to.
    pub fn keep(&self, library: &Library) -> Result<String, Fault> {
        let put = |(shelf, id, text): New| library.keep_new(shelf, &id, &text);
        let (lane, called) = match &self.lane {
            OnLane::Kept(id) => (id.clone(), called(library, id)?),
            OnLane::Usual(pattern) => {
                (put((Shelf::Lane, pattern.word().to_owned(), pattern.text()))?, pattern.title().to_owned())
            }
            OnLane::Sheet(sheet) => {
                let text = sheet.text();
                library.check(Shelf::Lane, SheetStart::NAMED, &text)?;
                (put((Shelf::Lane, id_of(&sheet.name), text))?, sheet.name.clone())
            }
            OnLane::Text(text) => {
                let called = crate::parse_lane(SheetStart::NAMED, text.as_bytes())?.value.name;
                (put((Shelf::Lane, id_of(&called), text.clone()))?, called)
            }
        };
        let (bowler, bag) = match &self.who {
            Who::New { name, hand, manner } => {
                let start = BowlerStart::newcomer(name.as_deref(), (*hand).into(), *manner);
                let bag = put((Shelf::Bag, "first-bag".to_owned(), newcomers_bag()))?;
                (put((Shelf::Bowler, id_of(&start.name), start.text()))?, bag)
            }
            Who::Kept { bowler } => {
                let own = library.all(Shelf::Bag).into_iter().find(|kept| !kept.demo);
                let bag = match own {
                    Some(kept) => kept.id,
                    None => put((Shelf::Bag, "first-bag".to_owned(), newcomers_bag()))?,
                };
                (bowler.clone(), bag)
            }
        };
        let [first, second] = self.numbers;
        let event = EventStart {
            name: called,
            lanes: self.numbers,
            patterns: [lane.clone(), lane.clone()],
            games: self.games,
            ..EventStart::of(&bowler, &bag)
        };
        put((Shelf::Event, id_of(&format!("{lane}-{first}-{second}")), event.text()))
    }
}

/// What a lane of the kit calls itself.
fn called(library: &Library, id: &str) -> Result<String, Fault> {
    let (name, bytes) = library.fetch(Shelf::Lane, id)?;
    Ok(crate::parse_lane(&name, &bytes)?.value.name)
}

/// A name for a shelf from words: small letters and digits with `-` between.
pub fn id_of(words: &str) -> String {
    let mut id = String::new();
    for c in words.chars().map(|c| c.to_ascii_lowercase()) {
        if c.is_ascii_alphanumeric() {
            id.push(c);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    // Room for a number behind it.
    id.truncate(36);
    let id = id.trim_end_matches('-');
    if id.is_empty() { "mine".to_owned() } else { id.to_owned() }
}

/// Words as a file writes them, in quotes.
fn quoted(words: &str) -> String {
    toml_edit::Value::from(words).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(lane: OnLane) -> Answers {
        let who = Who::New { name: None, hand: Side::Left, manner: Manner::Steady };
        Answers { who, lane, numbers: [11, 12], games: 3 }
    }

    #[test]
    fn law_three_answers_make_an_event_that_can_be_bowled() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::new(folder.path().to_owned());
        for pattern in Pattern::ALL {
            let id = answers(OnLane::Usual(pattern)).keep(&library).unwrap();
            let loaded = library.event(&id).unwrap().parse().unwrap();
            assert!(loaded.warnings.is_empty(), "{:?}", loaded.warnings);
            let event = loaded.value;
            assert_eq!((event.pairs[0].numbers, event.pairs[0].games), ([11, 12], 3));
            assert_eq!(event.seats[0].bowler.hand, Hand::Left);
            let covers: Vec<_> = event.seats[0].bag.balls().map(|one| one.ball.cover.kind).collect();
            assert_eq!(covers, [boardwise_ball::CoverKind::Reactive, boardwise_ball::CoverKind::Plastic]);
        }
    }

    #[test]
    fn law_the_same_answers_again_keep_nothing_twice_and_others_replace_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::new(folder.path().to_owned());
        let own = |shelf| library.all(shelf).into_iter().filter(|kept| !kept.demo).count();
        let first = answers(OnLane::Usual(Pattern::House)).keep(&library).unwrap();
        assert_eq!(answers(OnLane::Usual(Pattern::House)).keep(&library).unwrap(), first);
        assert_eq!(Shelf::ALL.map(own), [1, 1, 1, 1]);
        let mine = library.fetch(Shelf::Bowler, "left-handed-bowler").unwrap().1;
        let changed = String::from_utf8(mine).unwrap().replace("rotation_deg = 45", "rotation_deg = 50");
        library.keep(Shelf::Bowler, "left-handed-bowler", &changed).unwrap();
        let second = answers(OnLane::Usual(Pattern::House)).keep(&library).unwrap();
        assert_ne!(first, second);
        assert_eq!(library.fetch(Shelf::Bowler, "left-handed-bowler").unwrap().1, changed.as_bytes(), "it stays");
    }

    #[test]
    fn law_a_sheet_that_cannot_be_keeps_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let library = Library::new(folder.path().to_owned());
        let row = StartRow { loads: -1.0, ..StartRow::default() };
        let sheet = SheetStart { name: "league".into(), rows: vec![row], total_microlitres: None };
        assert!(answers(OnLane::Sheet(sheet)).keep(&library).is_err());
        assert!(Shelf::ALL.iter().all(|shelf| library.all(*shelf).iter().all(|kept| kept.demo)));
    }

    #[test]
    fn law_any_words_make_a_name_for_a_shelf() {
        for (words, id) in
            [("House pattern", "house-pattern"), ("  \u{e9}t\u{e9} 2 ", "t-2"), ("---", "mine"), ("", "mine")]
        {
            assert_eq!(id_of(words), id, "{words}");
        }
        assert_eq!(id_of(&"x".repeat(80)).len(), 36);
    }
}
