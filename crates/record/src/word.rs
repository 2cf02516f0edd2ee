//! Names and words: what a bowler, a ball or a log line is called, and the few words a shot is told in.

use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use serde::{Deserialize, Serialize};

/// A name or a word that is none.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WordError {
    /// A name or key that cannot be.
    #[error("{found:?} is no {what}: use 1 to 64 characters, no line breaks, no space at either end")]
    BadName {
        /// What it should name.
        what: &'static str,
        /// The beginning of it.
        found: String,
    },
    /// A word that is not one of those known.
    #[error("{found:?} is no {what}: {}use one of {}", meant(nearest.as_deref()), allowed.join(", "))]
    UnknownWord {
        /// What it should say.
        what: &'static str,
        /// The word.
        found: Box<str>,
        /// The known word most like it.
        nearest: Option<Box<str>>,
        /// All known words.
        allowed: &'static [&'static str],
    },
}

/// The place of a fact in the log, from 1 on. This, not the clock, is the order in which things happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seq(pub i64);

impl fmt::Display for Seq {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Longest name or key, in characters.
const LONGEST: usize = 64;

/// A type stored and sent as its text, read back through its own door.
macro_rules! as_text {
    ($name:ident) => {
        impl ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                Ok(ToSqlOutput::Borrowed(ValueRef::Text(self.as_str().as_bytes())))
            }
        }

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                value.as_str()?.parse().map_err(FromSqlError::other)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.as_str())
            }
        }

        impl TryFrom<String> for $name {
            type Error = WordError;
            fn try_from(text: String) -> Result<Self, WordError> {
                text.parse()
            }
        }
    };
}

macro_rules! name {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        ///
        /// 1 to 64 characters, no control characters, no space at either end. Cheap to clone.
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(Arc<str>);

        impl $name {
            /// The name as it is written.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        as_text!($name);

        impl FromStr for $name {
            type Err = WordError;
            fn from_str(text: &str) -> Result<Self, WordError> {
                let long = text.chars().count();
                let tidy = text.trim() == text && !text.chars().any(char::is_control);
                if long == 0 || long > LONGEST || !tidy {
                    return Err(WordError::BadName { what: stringify!($name), found: text.chars().take(LONGEST + 1).collect() });
                }
                Ok(Self(text.into()))
            }
        }

        impl From<$name> for String {
            fn from(name: $name) -> Self {
                name.as_str().to_owned()
            }
        }
    };
}

name!(
    /// What a bowler is called in the record.
    BowlerId
);
name!(
    /// What a ball is called in the record.
    BallId
);
name!(
    /// What a lane is called in the record.
    LaneId
);
name!(
    /// What a competition or practice is called in the record.
    EventId
);
name!(
    /// What a block of games is called in the record.
    BlockId
);
name!(
    /// The client's own key of one fact, so that what is sent twice is logged once. Any text nobody else makes will do,
    /// such as a random number.
    Key
);

impl Key {
    /// A key made from a digest of at most 24 bytes, with a word before it.
    pub(crate) fn of_digest(word: &'static str, digest: &[u8]) -> Self {
        Self(format!("{word}{}", hex::encode(digest)).into())
    }
}

macro_rules! words {
    ($(#[$doc:meta])* $name:ident, $what:literal { $($(#[$of:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "&'static str")]
        pub enum $name {
            $($(#[$of])* $variant,)+
        }

        impl $name {
            /// All there are.
            pub const ALL: &[Self] = &[$(Self::$variant),+];
            /// Their words, in the same order.
            pub const WORDS: &[&str] = &[$($word),+];

            /// The word for it in files.
            pub const fn as_str(&self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)+
                }
            }
        }

        as_text!($name);

        impl FromStr for $name {
            type Err = WordError;
            fn from_str(text: &str) -> Result<Self, WordError> {
                match text {
                    $($word => Ok(Self::$variant),)+
                    _ => Err(WordError::UnknownWord {
                        what: $what,
                        found: text.into(),
                        nearest: nearest(text, Self::WORDS.iter().copied()),
                        allowed: Self::WORDS,
                    }),
                }
            }
        }

        impl From<$name> for &'static str {
            fn from(word: $name) -> Self {
                word.as_str()
            }
        }
    };
}

words!(
    /// How the ball came to the pins, as the bowler saw it.
    Hit, "hit" {
        /// In the pocket.
        Pocket = "pocket",
        /// Too full on the head pin.
        High = "high",
        /// Too little of the head pin.
        Light = "light",
        /// The head pin square on.
        Nose = "nose",
        /// The far side of the head pin.
        OtherSide = "other-side",
    }
);
words!(
    /// How the shot felt in the hand.
    Felt, "felt" {
        /// As meant.
        Good = "good",
        /// Faster than meant.
        Fast = "fast",
        /// Slower than meant.
        Slow = "slow",
        /// Inside the target.
        In = "in",
        /// Outside the target.
        Out = "out",
        /// The hand came late round the ball.
        HandLate = "hand-late",
    }
);
words!(
    /// Whether it counted.
    EventKind, "kind" {
        /// A competition.
        Competition = "competition",
        /// Practice.
        Practice = "practice",
    }
);
words!(
    /// How the balls of a block are counted.
    Counting, "counting" {
        /// Games of ten frames in the traditional scoring.
        Traditional = "traditional",
        /// Games of ten frames in current-frame scoring.
        CurrentFrame = "current-frame",
        /// No games: every ball stands alone, any pins may stand after it. For warming up and drills.
        Nothing = "nothing",
    }
);
words!(
    /// What a ball's cover is made of.
    CoverKind, "cover" {
        /// Reactive resin.
        Reactive = "reactive",
        /// Urethane.
        Urethane = "urethane",
        /// Plastic.
        Plastic = "plastic",
    }
);
words!(
    /// What there may be of in a record.
    Thing, "thing" {
        /// A bowler.
        Bowler = "bowler",
        /// A ball.
        Ball = "ball",
        /// A lane.
        Lane = "lane",
        /// A competition or practice.
        Event = "event",
        /// A block of games.
        Block = "block",
    }
);
words!(
    /// The kinds of facts, as files name them.
    Kind, "kind" {
        /// A ball thrown.
        Shot = "shot",
        /// A ball thrown over the foul line.
        Foul = "foul",
        /// Another ball in the hand.
        Ball = "ball",
        /// A ball's surface worked on.
        Surface = "surface",
        /// Another lane or pair.
        Lane = "lane",
        /// Another line meant.
        Line = "line",
        /// A block begun.
        Begun = "begun",
        /// A block gone back to.
        Resumed = "resumed",
        /// A remark.
        Note = "note",
        /// Something taken back.
        Undo = "undo",
    }
);

/// The question about what was meant, as a message asks it.
pub(crate) fn meant(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |nearest| format!("did you mean {nearest:?}? "))
}

/// The known word most like the one given, if any is like it at all.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<Box<str>> {
    let word = word.to_lowercase();
    known
        .map(|k| (strsim::jaro_winkler(&word, &k.to_lowercase()), k))
        .filter(|&(likeness, _)| likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, k)| k.into())
}

/// What the reader of an entry says, without the place in the entry (the line in the file is told beside it) and in plain words.
pub(crate) fn placeless(why: &serde_json::Error) -> String {
    let why = why.to_string();
    let what = why.rsplit_once(" at line ").map_or(why.as_str(), |(what, _)| what);
    let words = [
        ("expected f64", "expected a number"),
        ("expected i64", "expected a whole number"),
        ("expected u8", "expected a whole number"),
    ];
    words.iter().fold(what.to_owned(), |what, (theirs, ours)| what.replace(theirs, ours))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_names_are_short_and_visible() {
        assert!("anna".parse::<BowlerId>().is_ok() && "7 / ä".parse::<LaneId>().is_ok());
        assert!("x".repeat(64).parse::<Key>().is_ok());
        for bad in ["", " anna", "anna\n", "an\u{0}na", "\t", &"x".repeat(65)] {
            assert!(matches!(bad.parse::<BowlerId>(), Err(WordError::BadName { .. })), "{bad:?}");
        }
    }

    #[test]
    fn law_words_return_to_themselves_and_others_are_told_the_nearest() {
        for &hit in Hit::ALL {
            assert_eq!(hit.as_str().parse::<Hit>().unwrap(), hit);
        }
        let why = "poket".parse::<Hit>().unwrap_err().to_string();
        assert!(why.contains("\"poket\"") && why.contains("did you mean \"pocket\""), "{why}");
        let why = "zzz".parse::<Felt>().unwrap_err().to_string();
        assert!(!why.contains("did you mean") && why.contains("hand-late"), "{why}");
    }
}
