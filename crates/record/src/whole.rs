//! Everything as JSON: out of one record, into another.

use std::collections::HashMap;
use std::io::Write;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use sha2::{Digest, Sha256};

use crate::Error;
use crate::earlier::{self, Lines as EarlierLines};
use crate::fact::Fact;
use crate::import::{Import, Imported, Incoming};
use crate::record::Record;
use crate::roster::{Ball, Block, Bowler, Event, Lane};
use crate::row::Row;
use crate::store::Store;
use crate::tables::sealed::Table;
use crate::word::Seq;

/// The schema of the JSON, told in its first line.
pub const SCHEMA: u64 = 4;

/// The first schema whose last line is a digest of those before it.
const DIGESTED: u64 = 3;

/// The first schema in which lines and beginnings are facts of their own.
const TYPED: u64 = 2;

/// The earliest schema that can be imported.
const EARLIEST: u64 = 1;

/// The file, each list still as text so that what is wrong in one entry does not hide the others.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, expecting = "an export in { }")]
struct Whole<'a> {
    #[serde(rename = "schema")]
    _schema: u64,
    #[serde(borrow)]
    bowlers: Vec<&'a RawValue>,
    balls: Vec<&'a RawValue>,
    lanes: Vec<&'a RawValue>,
    events: Vec<&'a RawValue>,
    blocks: Vec<&'a RawValue>,
    facts: Vec<&'a RawValue>,
    /// Of schema 1 alone: with what blocks began, beside the facts.
    #[serde(default)]
    beginnings: Vec<&'a RawValue>,
    /// From schema 3 on: the SHA-256 of the lines before it.
    digest: Option<String>,
}

/// The one field that says whether the others can be understood.
#[derive(Deserialize)]
#[serde(expecting = "an export in { }")]
struct Version {
    schema: u64,
}

impl Record {
    /// Writes everything there is as JSON, an entry a line, and a digest last. What it writes can be imported and gives the same again.
    ///
    /// ```
    /// # let folder = tempfile::tempdir()?;
    /// # let mut record = boardwise_record::Record::open(folder.path().join("a.record"))?;
    /// # record.import_json(include_str!("../examples/people.json"))?;
    /// let mut all = Vec::new();
    /// record.export_json(&mut all)?;
    /// let mut other = boardwise_record::Record::open(folder.path().join("other.record"))?;
    /// other.import_json(std::str::from_utf8(&all)?)?;
    /// assert_eq!(other.bag(&"anna".parse()?)?, record.bag(&"anna".parse()?)?);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the record cannot be read, or the export cannot be written.
    pub fn export_json(&self, to: &mut impl Write) -> Result<(), Error> {
        let mut to = Digesting { to, digest: Sha256::new() };
        self.write_json(&mut to)?;
        let Digesting { to, digest } = to;
        write!(to, ",\n\"digest\":\"{}\"}}\n", hex::encode(digest.finalize())).map_err(Error::from)
    }

    /// The digest of everything there is, the one that an export ends with: two records have the same if they hold the same.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn digest(&self) -> Result<String, Error> {
        let mut to = Digesting { to: &mut std::io::sink(), digest: Sha256::new() };
        self.write_json(&mut to)?;
        Ok(hex::encode(to.digest.finalize()))
    }

    fn write_json(&self, to: &mut impl Write) -> Result<(), Error> {
        self.store.read(|store| {
            write!(to, "{{\"schema\":{SCHEMA}")?;
            list::<Bowler>(store, to, "bowlers")?;
            list::<Ball>(store, to, "balls")?;
            list::<Lane>(store, to, "lanes")?;
            list::<Event>(store, to, "events")?;
            list::<Block>(store, to, "blocks")?;
            let mut entries = Entries::begin(to, "facts")?;
            store.each_row(Seq(0), |row| entries.write(&row))?;
            entries.end()
        })
    }

    /// Adds everything from an export. What is here already stays as it is; facts are told from one another by their
    /// keys, and new ones are logged after those that are here, in the file's order.
    ///
    /// # Errors
    /// [`Error::Import`] with every fault and its line; [`Error::Json`] if the text is no JSON of this shape;
    /// [`Error::Schema`]; [`Error::NotAsExported`] if a line is missing or another. Nothing is imported then.
    pub fn import_json(&mut self, text: &str) -> Result<Imported, Error> {
        let Version { schema } = serde_json::from_str(text)?;
        if !(EARLIEST..=SCHEMA).contains(&schema) {
            return Err(Error::Schema { found: schema, ours: SCHEMA });
        }
        let whole: Whole<'_> = serde_json::from_str(text)?;
        if schema >= DIGESTED && whole.digest.as_deref() != digest_of(text).as_deref() {
            return Err(Error::NotAsExported);
        }
        self.store.write(|store| {
            let mut import = Import::new(store);
            let lines = Lines { text };
            whole.people(&mut import, &lines)?;
            whole.facts(&mut import, &lines, schema)?;
            whole.beginnings(store, &mut import, &lines)?;
            import.finish()
        })
    }
}

impl Whole<'_> {
    fn people(&self, import: &mut Import<'_>, lines: &Lines<'_>) -> Result<(), Error> {
        add::<Bowler>(&self.bowlers, import, lines)?;
        add::<Ball>(&self.balls, import, lines)?;
        add::<Lane>(&self.lanes, import, lines)?;
        add::<Event>(&self.events, import, lines)?;
        add::<Block>(&self.blocks, import, lines)
    }

    /// The remarks of schema 1 that are lines.
    fn earlier_lines(&self) -> EarlierLines {
        // What is no row is told where it is added.
        let rows: Vec<Row> = self.facts.iter().filter_map(|entry| serde_json::from_str(entry.get()).ok()).collect();
        EarlierLines::of(&rows)
    }

    /// Blocks begun as schema 1 has them.
    fn beginnings(&self, store: &Store, import: &mut Import<'_>, lines: &Lines<'_>) -> Result<(), Error> {
        let mut counter = lines.counter();
        for entry in &self.beginnings {
            let line = counter.line_of(entry);
            let parsed = serde_json::from_str::<Beginning>(entry.get()).map_err(Error::Entry);
            let Some((fact, key)) = import.noted(line, parsed)?.and_then(|new| earlier::begun(&new.text)) else {
                continue;
            };
            let since = match &fact {
                Fact::BlockBegun { opening, .. } => store.by_key(&opening.since)?.map(|logged| logged.at),
                _ => None,
            };
            let at = since.or(store.latest()?).unwrap_or_default();
            import.add(line, Incoming { fact, key, at, place: [0; 3] })?;
        }
        Ok(())
    }

    fn facts(&self, import: &mut Import<'_>, lines: &Lines<'_>, schema: u64) -> Result<(), Error> {
        let meant = if schema >= TYPED { EarlierLines::default() } else { self.earlier_lines() };
        // The numbers in the file, and those the facts have here.
        let mut here = HashMap::new();
        let mut counter = lines.counter();
        for entry in &self.facts {
            let line = counter.line_of(entry);
            let parsed = serde_json::from_str::<Row>(entry.get()).map_err(Error::Entry);
            let fact = parsed.and_then(|row| {
                let number = row.seq;
                Ok((number, renumbered(meant.retyped(row), &here)?.logged_exactly()?))
            });
            if let Some((number, logged)) = import.noted(line, fact)?
                && let Some(seq) =
                    import.add(line, Incoming { fact: logged.fact, key: logged.key, at: logged.at, place: [0; 3] })?
                && here.insert(number, seq).is_some()
            {
                import.faults.push(line, Error::NumberTwice { seq: Seq(number) });
            }
        }
        Ok(())
    }
}

/// What goes through is digested.
struct Digesting<'a, W> {
    to: &'a mut W,
    digest: Sha256,
}

impl<W: Write> Write for Digesting<'_, W> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        let many = self.to.write(bytes)?;
        self.digest.update(&bytes[..many]);
        Ok(many)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.to.flush()
    }
}

/// The digest of the lines before the digest's own. Programs that send files along may end lines in another way.
fn digest_of(text: &str) -> Option<String> {
    let (before, _) = text.rsplit_once("\"digest\"")?;
    let before = before.trim_end().strip_suffix(',')?;
    let mut digest = Sha256::new();
    for (k, line) in before.lines().enumerate() {
        digest.update(if k == 0 { "" } else { "\n" });
        digest.update(line);
    }
    Some(hex::encode(digest.finalize()))
}

/// With what a block began, as schema 1 has it: in the words of the program that began it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, expecting = "an entry in { }")]
struct Beginning {
    #[serde(rename = "block")]
    _block: String,
    #[serde(rename = "bowler")]
    _bowler: String,
    text: String,
}

/// The row with the facts it refers to under the numbers they have here.
fn renumbered(mut row: Row, here: &HashMap<i64, Seq>) -> Result<Row, Error> {
    for number in [&mut row.corrects, &mut row.undoes, &mut row.before].into_iter().flatten() {
        let seq = here.get(number).ok_or(Error::NoSuchFact { seq: Seq(*number) })?;
        *number = seq.0;
    }
    Ok(row)
}

fn add<T>(entries: &[&RawValue], import: &mut Import<'_>, lines: &Lines<'_>) -> Result<(), Error>
where
    T: Table + for<'de> Deserialize<'de>,
{
    let mut counter = lines.counter();
    for entry in entries {
        let line = counter.line_of(entry);
        let parsed = serde_json::from_str::<T>(entry.get()).map_err(Error::Entry);
        if let Some(new) = import.noted(line, parsed)? {
            let listed = import.writing.list_by_id(new);
            import.noted(line, listed)?;
        }
    }
    Ok(())
}

fn list<T: Table + Serialize>(store: &Store, to: &mut impl Write, name: &str) -> Result<(), Error> {
    let mut entries = Entries::begin(to, name)?;
    store.all::<T>()?.iter().try_for_each(|one| entries.write(one))?;
    entries.end()
}

/// A list of the file being written, an entry a line.
struct Entries<'a, W> {
    to: &'a mut W,
    first: bool,
}

impl<'a, W: Write> Entries<'a, W> {
    fn begin(to: &'a mut W, name: &str) -> Result<Self, Error> {
        write!(to, ",\n\"{name}\":[")?;
        Ok(Self { to, first: true })
    }

    fn write(&mut self, entry: &impl Serialize) -> Result<(), Error> {
        self.to.write_all(if self.first { b"\n" } else { b",\n" })?;
        self.first = false;
        Ok(serde_json::to_writer(&mut *self.to, entry)?)
    }

    fn end(self) -> Result<(), Error> {
        Ok(self.to.write_all(b"]")?)
    }
}

/// The lines of the file.
struct Lines<'a> {
    text: &'a str,
}

/// Counts lines along entries in the order in which they stand.
struct Counter<'a> {
    text: &'a str,
    at: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    const fn counter(&self) -> Counter<'a> {
        Counter { text: self.text, at: 0, line: 1 }
    }
}

impl Counter<'_> {
    fn line_of(&mut self, entry: &RawValue) -> u64 {
        // Entries are pieces of the text itself.
        let at = (entry.get().as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize);
        let passed = self.text.get(self.at..at).unwrap_or_default();
        self.line += passed.matches('\n').count() as u64;
        self.at = at.max(self.at);
        self.line
    }
}
