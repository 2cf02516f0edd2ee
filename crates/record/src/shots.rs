//! Shots as CSV: a row a ball, for spreadsheets and from them.

use std::io::{Read, Write};
use std::str::FromStr;

use boardwise_score::{PinSet, Roll};
use boardwise_units::Board;
use csv::StringRecord;
use jiff::Timestamp;

use crate::Error;
use crate::fact::Shot;
use crate::import::{Import, Imported, Incoming, place};
use crate::record::Record;
use crate::row_error::RowError;
use crate::sheet::Delivery;
use crate::word::{Key, WordError, nearest};

/// The columns, in the order in which they are written.
pub(crate) const COLUMNS: [&str; 16] = [
    "key",
    "at",
    "block",
    "bowler",
    "game",
    "frame",
    "ball_of_frame",
    "standing",
    "down",
    "foul",
    "ball",
    "lane",
    "arrows_board",
    "breakpoint_board",
    "hit",
    "felt",
];

impl Record {
    /// Writes every shot that stands, sheet by sheet, as it was last corrected, with the ball and lane that follow from
    /// the facts. The columns are told in `docs/record.md`.
    ///
    /// # Errors
    /// If the record cannot be read, or the export cannot be written.
    pub fn export_csv(&self, to: &mut impl Write) -> Result<(), Error> {
        let mut rows = csv::Writer::from_writer(to);
        rows.write_record(COLUMNS)?;
        self.store.read(|store| {
            for (block, bowler) in store.sheets(None)? {
                for delivery in store.sheet(&block, &bowler)?.deliveries {
                    rows.write_record(cells(&delivery).map(defused))?;
                }
            }
            Ok(())
        })?;
        Ok(rows.flush()?)
    }

    /// Adds the shots of a file, in its order. Who and what they name must be in the record already.
    ///
    /// A row without a key gets `BATCH:LINE`, so that the same file sent twice is imported once; a row without a time
    /// gets `at`. Lines may end in LF or CRLF, and the file may begin with a byte order mark.
    ///
    /// ```
    /// # let folder = tempfile::tempdir()?;
    /// # let mut record = boardwise_record::Record::open(folder.path().join("a.record"))?;
    /// # record.import_json(include_str!("../examples/people.json"))?;
    /// let (batch, at) = ("old sheet".parse()?, "2026-04-11T09:30:00Z".parse()?);
    /// let rows = "block,bowler,standing\nqualifying,anna,7-10\nqualifying,ana,7\n";
    /// let why = record.import_csv(rows.as_bytes(), &batch, at).unwrap_err().to_string();
    /// assert!(why.ends_with("line 3: the record has no bowler \"ana\": did you mean \"anna\"? add it first"));
    ///
    /// let rows = rows.replace(",ana,", ",anna,");
    /// assert_eq!(record.import_csv(rows.as_bytes(), &batch, at)?.added, 2);
    /// assert_eq!(record.import_csv(rows.as_bytes(), &batch, at)?.again, 2);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::Import`] with every fault and its line. Nothing is imported then.
    pub fn import_csv(&mut self, from: impl Read, batch: &Key, at: Timestamp) -> Result<Imported, Error> {
        let mut rows = csv::ReaderBuilder::new().has_headers(false).trim(csv::Trim::All).from_reader(Lines::of(from));
        self.store.write(|store| {
            let mut import = Import::new(store);
            let mut record = StringRecord::new();
            rows.read_record(&mut record)?;
            // Without its columns no row means anything; only the header is told then.
            if let Some(columns) = Columns::read(&record, &mut import) {
                loop {
                    let more = rows.read_record(&mut record);
                    // The reader stands behind the line break, before any empty lines that follow.
                    let line = rows.position().line() - 1;
                    match more {
                        Ok(false) => break,
                        Ok(true) => {
                            let shot = Cells { columns: &columns, record: &record }.shot(line, batch, at);
                            if let Some(shot) = import.noted(line, shot)? {
                                import.add(line, shot)?;
                            }
                        }
                        Err(why) if matches!(why.kind(), csv::ErrorKind::Io(_)) => return Err(why.into()),
                        Err(why) => import.faults.push(line, unreadable(why)),
                    }
                }
            }
            import.finish()
        })
    }
}

/// A text whose lines, however they end, end in LF, the last one too: so that they can be counted.
struct Lines<R> {
    from: R,
    last: u8,
}

impl<R: Read> Lines<R> {
    const fn of(from: R) -> Self {
        Self { from, last: b'\n' }
    }
}

impl<R: Read> Read for Lines<R> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        loop {
            let many = self.from.read(into)?;
            if many == 0 {
                let ends = matches!(self.last, b'\n' | b'\r');
                self.last = b'\n';
                return match into.first_mut() {
                    Some(first) if !ends => {
                        *first = b'\n';
                        Ok(1)
                    }
                    _ => Ok(0),
                };
            }
            let mut kept = 0;
            for at in 0..many {
                let byte = into[at];
                if byte != b'\n' || self.last != b'\r' {
                    into[kept] = if byte == b'\r' { b'\n' } else { byte };
                    kept += 1;
                }
                self.last = byte;
            }
            // A lone half of a line break is no end of the text.
            if kept > 0 {
                return Ok(kept);
            }
        }
    }
}

/// What is wrong with a row, without the reader's own opinion of which line it is on.
fn unreadable(why: csv::Error) -> Error {
    match why.kind() {
        csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
            RowError::RowLength { cells: *len, columns: *expected_len }.into()
        }
        csv::ErrorKind::Utf8 { .. } => RowError::NotUtf8.into(),
        _ => why.into(),
    }
}

/// A shot as cells, in the order of [`COLUMNS`].
fn cells(delivery: &Delivery) -> [String; 16] {
    fn text<T: ToString>(value: Option<T>) -> String {
        value.map_or_else(String::new, |value| value.to_string())
    }
    let Delivery { key, at, shot, ball, lane, .. } = delivery;
    let [game, frame, of_frame] = place(delivery).map(|number| text((number > 0).then_some(number)));
    let (standing, down, foul) = match shot.roll {
        Roll::Standing(pins) => (pins.to_string(), String::new(), String::new()),
        Roll::Down(down) => (String::new(), down.to_string(), String::new()),
        Roll::Foul => (String::new(), String::new(), "yes".to_owned()),
    };
    [
        key.to_string(),
        at.to_string(),
        shot.block.to_string(),
        shot.bowler.to_string(),
        game,
        frame,
        of_frame,
        standing,
        down,
        foul,
        text(ball.as_ref()),
        text(lane.as_ref()),
        text(shot.arrows.map(|board| board.0)),
        text(shot.breakpoint.map(|board| board.0)),
        text(shot.hit),
        text(shot.felt),
    ]
}

/// Whether a spreadsheet would take a cell for a formula, were it not for quotes before it.
fn is_formula(cell: &str) -> bool {
    cell.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r'])
}

/// A cell of words that no spreadsheet computes: a quote stands before what would be a formula.
///
/// ```
/// use boardwise_record::defused;
/// assert_eq!(defused("=1+1".to_owned()), "'=1+1");
/// assert_eq!(defused("medium-solid".to_owned()), "medium-solid");
/// ```
pub fn defused(cell: String) -> String {
    if is_formula(&cell) { format!("'{cell}") } else { cell }
}

/// The cell as it was before [`defused`].
fn restored(cell: &str) -> &str {
    cell.strip_prefix('\'').filter(|_| is_formula(cell)).unwrap_or(cell)
}

/// Where each of [`COLUMNS`] stands in the file, if it is there.
struct Columns([Option<usize>; 16]);

impl Columns {
    /// Reads the header; nothing if the rows below it cannot be understood.
    fn read(header: &StringRecord, import: &mut Import<'_>) -> Option<Self> {
        let faults_before = import.faults.count;
        let mut columns = [None; 16];
        for (at, found) in header.iter().enumerate() {
            match COLUMNS.iter().position(|&known| known == found) {
                Some(known) if columns[known].is_some() => {
                    import.faults.push(1, RowError::ColumnTwice { column: COLUMNS[known] }.into());
                }
                Some(known) => columns[known] = Some(at),
                None => {
                    let nearest = nearest(found, COLUMNS.iter().copied());
                    let why = RowError::UnknownColumn { found: found.to_owned(), nearest, allowed: &COLUMNS };
                    import.faults.push(1, why.into());
                }
            }
        }
        let columns = Self(columns);
        for column in ["block", "bowler"] {
            if columns.of(column).is_none() {
                import.faults.push(1, RowError::MissingColumn { column }.into());
            }
        }
        if ["standing", "down", "foul"].iter().all(|column| columns.of(column).is_none()) {
            import.faults.push(1, RowError::MissingColumn { column: "standing" }.into());
        }
        (import.faults.count == faults_before).then_some(columns)
    }

    fn of(&self, column: &str) -> Option<usize> {
        COLUMNS.iter().position(|&known| known == column).and_then(|known| self.0[known])
    }
}

/// One row of the file.
struct Cells<'a> {
    columns: &'a Columns,
    record: &'a StringRecord,
}

impl Cells<'_> {
    /// The shot with its key and time, and the game, frame and ball that the row says it was.
    fn shot(&self, line: u64, batch: &Key, at: Timestamp) -> Result<Incoming, Error> {
        let needed = |column| RowError::Cell { column, value: String::new(), allowed: "must not be empty" };
        let block = self.parsed("block")?.ok_or_else(|| needed("block"))?;
        let bowler = self.parsed("bowler")?.ok_or_else(|| needed("bowler"))?;
        let shot = Shot {
            ball: self.parsed("ball")?,
            lane: self.parsed("lane")?,
            arrows: self.number("arrows_board", "use a board, 0.5 to 39.5")?.map(Board),
            breakpoint: self.number("breakpoint_board", "use a board, 0.5 to 39.5")?.map(Board),
            hit: self.parsed("hit")?,
            felt: self.parsed("felt")?,
            ..Shot::new(&block, &bowler, self.roll()?)
        };
        let key = match self.parsed("key")? {
            Some(key) => key,
            None => format!("{batch}:{line}").parse()?,
        };
        let at = self.number("at", "use a time like 2026-04-11T09:30:00Z")?.unwrap_or(at);
        let [game, frame, ball] = ["game", "frame", "ball_of_frame"].map(|column| {
            self.number::<u16>(column, "use a number from 1 on, or nothing").map(Option::unwrap_or_default)
        });
        Ok(Incoming { fact: shot.into(), key, at, place: [game?, frame?, ball?] })
    }

    fn roll(&self) -> Result<Roll, Error> {
        let foul = match self.cell("foul") {
            None | Some("no") => None,
            Some("yes") => Some(Roll::Foul),
            Some(other) => {
                let (value, allowed) = (other.to_owned(), "use yes, no or nothing");
                return Err(RowError::Cell { column: "foul", value, allowed }.into());
            }
        };
        let standing = self.cell("standing").map(str::parse::<PinSet>).transpose()?.map(Roll::Standing);
        let down = self.number("down", "use a number of pins, 0 to 10")?.map(Roll::Down);
        let mut said = [standing, down, foul].into_iter().flatten();
        match (said.next(), said.next()) {
            (Some(roll), None) => Ok(roll),
            _ => Err(RowError::NoOneRoll.into()),
        }
    }

    /// A cell, unless it is empty or its column is not there.
    fn cell(&self, column: &str) -> Option<&str> {
        self.columns.of(column).and_then(|at| self.record.get(at)).map(restored).filter(|cell| !cell.is_empty())
    }

    fn parsed<T: FromStr<Err = WordError>>(&self, column: &str) -> Result<Option<T>, Error> {
        Ok(self.cell(column).map(str::parse).transpose()?)
    }

    fn number<T: FromStr>(&self, column: &'static str, allowed: &'static str) -> Result<Option<T>, Error> {
        let read = |cell: &str| {
            cell.parse().map_err(|_| RowError::Cell { column, value: cell.chars().take(40).collect(), allowed }.into())
        };
        self.cell(column).map(read).transpose()
    }
}
