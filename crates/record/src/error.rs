//! What can go wrong with a record: what, where, what is allowed and what to do.

use std::fmt;
use std::path::{Path, PathBuf};
use std::time::Duration;

use boardwise_units::Board;

use crate::row_error::RowError;
use crate::word::{BlockId, BowlerId, Key, Kind, Seq, Thing, WordError, meant, placeless};

/// Why something could not be written down, read or opened. Whatever the reason, nothing was half done.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A name or a word that is none.
    #[error(transparent)]
    Word(#[from] WordError),
    /// A number outside its range.
    #[error("{what} = {value} is out of range: use more than 0 (a count may be 0) and at most {most}")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// The number.
        value: f64,
        /// The most it may be.
        most: f64,
    },
    /// A number below or above its range.
    #[error("{what} = {value} is out of range: use {low} to {high}")]
    NotWithin {
        /// Which number.
        what: &'static str,
        /// The number.
        value: f64,
        /// The least it may be.
        low: f64,
        /// The most it may be.
        high: f64,
    },
    /// A board that is not on the lane.
    #[error("{what} = {} is not on the lane: boards go from 0.5 to 39.5, counted from the bowling-hand side", board.0)]
    OffLane {
        /// Which board.
        what: &'static str,
        /// The board.
        board: Board,
    },
    /// A block that nobody can bowl in.
    #[error("a block of 0 games cannot be bowled: give 1 or more, or no number for as many as there will be")]
    NoGames,
    /// A remark that is empty or too long.
    #[error("a text of {long} characters cannot be kept: write 1 to {most}")]
    BadText {
        /// Its length.
        long: usize,
        /// The longest there may be.
        most: usize,
    },
    /// A surface told in no way, or in several.
    #[error("a surface is told in exactly one way: ra_um, grit, or polished = true")]
    NoOneSurface,
    /// A fact without something it needs.
    #[error("a fact of kind {kind} needs `{field}`")]
    Lacks {
        /// Its kind.
        kind: Kind,
        /// What is missing.
        field: &'static str,
    },
    /// A fact with something it cannot have.
    #[error("a fact of kind {kind} has a field that such a fact does not have: take it out")]
    TooMuch {
        /// Its kind.
        kind: Kind,
    },
    /// Pins that cannot be.
    #[error(transparent)]
    Pins(#[from] boardwise_score::Error),

    /// Nothing of this name in the record.
    #[error("the record has no {thing} {id:?}: {}add it first", meant(nearest.as_deref()))]
    NoSuch {
        /// What was looked for.
        thing: Thing,
        /// Its name.
        id: Box<str>,
        /// The name most like it.
        nearest: Option<Box<str>>,
    },
    /// A name that is already another's.
    #[error("there is already another {thing} {id:?}: choose another id, or give the same content")]
    Taken {
        /// What it names.
        thing: Thing,
        /// The name.
        id: Box<str>,
    },
    /// A key that was used for another fact.
    #[error("key {:?} already stands for another fact, number {seq}: make a new key for each new fact", key.as_str())]
    KeyTaken {
        /// The key.
        key: Key,
        /// The fact logged under it.
        seq: Seq,
    },
    /// No fact has this number.
    #[error("the record has no fact number {seq}")]
    NoSuchFact {
        /// The number.
        seq: Seq,
    },
    /// A fact that was taken back already.
    #[error("fact number {seq} is taken back already: undo its undo to have it again")]
    Undone {
        /// Its number.
        seq: Seq,
    },
    /// A correction of what cannot be corrected so.
    #[error(
        "fact number {of} cannot be corrected by this: a correction says what a fact of the same kind should have said"
    )]
    CorrectsNothing {
        /// The number of the fact to be corrected.
        of: Seq,
    },
    /// A forgotten shot put before what is no shot of the same sheet.
    #[error(
        "number {seq} is no place for a forgotten shot: name a shot of the same bowler and block that was not itself put in"
    )]
    NoPlace {
        /// The number of the fact it was put before.
        seq: Seq,
    },
    /// A ball that cannot be: the sheet would not add up.
    #[error("{bowler} in {block}, game {game} (fact number {seq}): {source}")]
    DoesNotFit {
        /// Whose sheet.
        bowler: BowlerId,
        /// In which block.
        block: BlockId,
        /// In which of its games.
        game: u16,
        /// The shot that does not fit.
        seq: Seq,
        /// Why not.
        source: boardwise_score::Error,
    },
    /// A ball after the last game of a block: an eleventh frame.
    #[error(
        "{bowler} in {block} (fact number {seq}): game {games} of {games} is complete and has no eleventh frame; log into another block"
    )]
    BlockComplete {
        /// Whose sheet.
        bowler: BowlerId,
        /// In which block.
        block: BlockId,
        /// How many games it has.
        games: u16,
        /// The shot too many.
        seq: Seq,
    },

    /// The file was written by a later version of this program.
    #[error("{} is of version {found}, this program knows versions up to {ours}: use a newer program", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: i64,
        /// The latest version known here.
        ours: i64,
    },
    /// The file is something else.
    #[error("{} is no record: it is another kind of file; choose another path", path.display())]
    NotARecord {
        /// The file.
        path: PathBuf,
    },
    /// The file is damaged.
    #[error(
        "{} is damaged ({what}): keep this file, and go on with a backup or with what an export of it still gives",
        path.display()
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What the check found.
        what: String,
    },
    /// The file cannot be written.
    #[error("{} cannot be written: allow writing to the file and its folder, or copy it elsewhere", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// A copy of a file that was in use, without the log beside it.
    #[error(
        "{} was copied while it was in use, without {}-wal beside it: it holds {facts} facts, the last of {last}, and may lack what \
         was logged after; copy both files, or let this program make a backup",
        path.display(), path.file_name().unwrap_or_default().display()
    )]
    Lone {
        /// The file.
        path: PathBuf,
        /// Facts that it holds.
        facts: i64,
        /// The time of the last of them.
        last: String,
    },
    /// The file was deleted or replaced while it was open.
    #[error(
        "{} was deleted or replaced while it was open: nothing was logged{}; put it back, or start again with the file that is there",
        path.display(), saved(rescued.as_deref())
    )]
    Gone {
        /// The file.
        path: PathBuf,
        /// Where what it held was saved, if it was deleted.
        rescued: Option<PathBuf>,
    },
    /// The file lies where it cannot be written safely.
    #[error("{} lies where no write-ahead log can be kept (its journal is {mode}): put it on a disk of this machine", path.display())]
    NoWriteAhead {
        /// The file.
        path: PathBuf,
        /// The journal it has.
        mode: String,
    },
    /// The file cannot be opened at all.
    #[error("{} cannot be opened: check that its folder exists and may be used", path.display())]
    CannotOpen {
        /// The file.
        path: PathBuf,
    },
    /// Another process is writing.
    #[error("another program has been writing to {} for {waited:?}: nothing was logged; try again with the same key", path.display())]
    Busy {
        /// The file.
        path: PathBuf,
        /// How long was waited.
        waited: Duration,
    },
    /// No room left.
    #[error("no room left on the disk of {}: nothing was logged; make room and try again with the same key", path.display())]
    DiskFull {
        /// The file.
        path: PathBuf,
    },
    /// A copy that does not hold what the record holds.
    #[error("the copy {} did not come out the same: it was not kept; try again, on another disk if need be", path.display())]
    BadCopy {
        /// Where it should have been.
        path: PathBuf,
    },
    /// A copy that could not be made.
    #[error("no copy at {}: {source}", path.display())]
    NoCopy {
        /// Where it should have been.
        path: PathBuf,
        /// Why not.
        source: std::io::Error,
    },
    /// The database failed in a way not foreseen.
    #[error("{}: {source}", path.display())]
    Database {
        /// The file.
        path: PathBuf,
        /// What it said.
        source: rusqlite::Error,
    },

    /// A file to be imported has something wrong in it; nothing of it was imported.
    #[error("nothing imported, {} wrong:\n{faults}", faults.count)]
    Import {
        /// What, line by line.
        faults: Faults,
    },
    /// The file's JSON cannot be read.
    #[error("not the JSON of a record: {0}")]
    Json(#[from] serde_json::Error),
    /// An entry of the file that says something else than an entry may.
    #[error("{}", placeless(.0))]
    Entry(#[source] serde_json::Error),
    /// An export whose digest is not that of its lines.
    #[error("the file is not as it was exported: a line is missing or was changed; export it again, or copy it again")]
    NotAsExported,
    /// Two facts of a file with one number.
    #[error("the file has two facts with seq {seq}")]
    NumberTwice {
        /// The number.
        seq: Seq,
    },
    /// A file of another schema.
    #[error("the file's schema is {found}, this program reads {ours}")]
    Schema {
        /// The schema it says it has.
        found: u64,
        /// The one read here.
        ours: u64,
    },
    /// The file's CSV cannot be read or written.
    #[error("not the CSV of shots: {0}")]
    Csv(#[from] csv::Error),
    /// A row of shots that cannot be one.
    #[error(transparent)]
    Row(#[from] RowError),
    /// Writing an export failed.
    #[error("the export could not be written: {0}")]
    Write(#[from] std::io::Error),
}

impl Error {
    /// Whether the record itself failed, rather than what was to be written into it.
    pub const fn is_of_record(&self) -> bool {
        use Error::{Busy, CannotOpen, Damaged, Database, DiskFull, Gone, Lone, ReadOnly};
        matches!(
            self,
            Busy { .. }
                | CannotOpen { .. }
                | Damaged { .. }
                | Database { .. }
                | DiskFull { .. }
                | Gone { .. }
                | Lone { .. }
                | ReadOnly { .. }
        )
    }

    /// The same of the file that people know, where a copy of it was opened.
    pub(crate) fn of_file(mut self, file: &Path) -> Self {
        if let Self::Newer { path, .. }
        | Self::NotARecord { path }
        | Self::Damaged { path, .. }
        | Self::CannotOpen { path }
        | Self::Database { path, .. } = &mut self
        {
            file.clone_into(path);
        }
        self
    }

    /// The shot that does not fit, if that is what is wrong.
    pub(crate) const fn seq(&self) -> Option<Seq> {
        match self {
            Self::DoesNotFit { seq, .. } | Self::BlockComplete { seq, .. } => Some(*seq),
            _ => None,
        }
    }
}

fn saved(copy: Option<&Path>) -> String {
    copy.map_or_else(String::new, |copy| format!("; all of before is in {}", copy.display()))
}

/// Everything that is wrong with a file, as far as it is told.
#[derive(Debug, Default)]
pub struct Faults {
    /// What is wrong, by line; the first [`Faults::TOLD`].
    pub told: Vec<Fault>,
    /// How many there are in all.
    pub count: usize,
}

/// One thing wrong in a file.
#[derive(Debug)]
pub struct Fault {
    /// The line, from 1 on.
    pub line: u64,
    /// What is wrong in it.
    pub why: Error,
}

impl Faults {
    /// How many are told.
    pub const TOLD: usize = 100;

    pub(crate) fn push(&mut self, line: u64, why: Error) {
        self.count += 1;
        if self.told.len() < Self::TOLD {
            self.told.push(Fault { line, why });
        }
    }

    pub(crate) fn into_result(mut self) -> Result<(), Error> {
        self.told.sort_by_key(|fault| fault.line);
        if self.count == 0 { Ok(()) } else { Err(Error::Import { faults: self }) }
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, Fault { line, why }) in self.told.iter().enumerate() {
            let ends = if i == 0 { "" } else { "\n" };
            write!(f, "{ends}line {line}: {why}")?;
        }
        match self.count - self.told.len() {
            0 => Ok(()),
            more => write!(f, "\nand {more} more"),
        }
    }
}
