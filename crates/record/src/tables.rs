//! How people and things lie in their tables.

use jiff::civil::Date;
use rusqlite::Row;
use rusqlite::types::{FromSqlError, ToSqlOutput, Value};

use self::sealed::Table;
use crate::Error;
use crate::fact::readable;
use crate::roster::{Ball, Block, Bowler, Event, Lane, Surface, SurfaceWords, hand};
use crate::word::Thing;

/// People and things a record lists by name: [`Bowler`], [`Ball`], [`Lane`], [`Event`], [`Block`]; no others.
pub trait Listed: sealed::Table {}

impl<T: sealed::Table> Listed for T {}

pub(crate) mod sealed {
    use rusqlite::Row;
    use rusqlite::types::ToSqlOutput;

    use crate::Error;
    use crate::word::Thing;

    /// Rows of one table, called as the thing is.
    pub trait Table: Sized + PartialEq {
        /// What such a thing belongs to; itself, if to nothing.
        type Owner: Table;
        const THING: Thing;
        /// The columns in the order of `values`.
        const COLUMNS: &'static str;

        fn id(&self) -> &str;
        /// What people call it.
        fn name(&mut self) -> &mut String;
        fn values(&self) -> Vec<ToSqlOutput<'_>>;
        fn read(row: &Row<'_>) -> rusqlite::Result<Self>;
        /// What is wrong with it by itself.
        fn check(&self) -> Result<(), Error>;
        /// The one that it belongs to, which must be there.
        fn owner(&self) -> Option<&str>;
    }
}

fn text(text: &str) -> ToSqlOutput<'_> {
    text.into()
}

fn maybe<T: Into<Value>>(value: Option<T>) -> ToSqlOutput<'static> {
    ToSqlOutput::Owned(value.map_or(Value::Null, Into::into))
}

fn parsed<T, E: std::error::Error + Send + Sync + 'static>(
    words: &str,
    parse: impl Fn(&str) -> Result<T, E>,
) -> rusqlite::Result<T> {
    parse(words).map_err(|why| FromSqlError::other(why).into())
}

impl Table for Bowler {
    type Owner = Self;

    const THING: Thing = Thing::Bowler;
    const COLUMNS: &'static str = "id, name, hand";

    fn id(&self) -> &str {
        self.id.as_str()
    }

    fn name(&mut self) -> &mut String {
        &mut self.name
    }

    fn values(&self) -> Vec<ToSqlOutput<'_>> {
        vec![text(self.id.as_str()), text(&self.name), text(hand::word(self.hand))]
    }

    fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        let hand = parsed(&row.get::<_, String>(2)?, hand::parse)?;
        Ok(Self { id: row.get(0)?, name: row.get(1)?, hand })
    }

    fn check(&self) -> Result<(), Error> {
        readable(&self.name)
    }

    fn owner(&self) -> Option<&str> {
        None
    }
}

impl Table for Ball {
    type Owner = Bowler;

    const THING: Thing = Thing::Ball;
    const COLUMNS: &'static str = "id, bowler, name, cover, ra_um, grit, polished, games_before";

    fn id(&self) -> &str {
        self.id.as_str()
    }

    fn name(&mut self) -> &mut String {
        &mut self.name
    }

    fn values(&self) -> Vec<ToSqlOutput<'_>> {
        let surface = self.surface.map_or_else(SurfaceWords::default, Into::into);
        let cover = self.cover.map(|cover| cover.as_str().to_owned());
        vec![
            text(self.id.as_str()),
            text(self.bowler.as_str()),
            text(&self.name),
            maybe(cover),
            maybe(surface.ra_um),
            maybe(surface.grit),
            maybe(surface.polished),
            self.games_before.into(),
        ]
    }

    fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        let words = SurfaceWords { ra_um: row.get(4)?, grit: row.get(5)?, polished: row.get(6)? };
        let surface = if words == SurfaceWords::default() {
            None
        } else {
            Some(Surface::try_from(words).map_err(FromSqlError::other)?)
        };
        Ok(Self {
            id: row.get(0)?,
            bowler: row.get(1)?,
            name: row.get(2)?,
            cover: row.get(3)?,
            surface,
            games_before: row.get(7)?,
        })
    }

    fn check(&self) -> Result<(), Error> {
        readable(&self.name)?;
        self.surface.map_or(Ok(()), Surface::check)?;
        if !(0.0..=1e6).contains(&self.games_before) {
            return Err(Error::OutOfRange { what: "games_before", value: self.games_before, most: 1e6 });
        }
        Ok(())
    }

    fn owner(&self) -> Option<&str> {
        Some(self.bowler.as_str())
    }
}

impl Table for Lane {
    type Owner = Self;

    const THING: Thing = Thing::Lane;
    const COLUMNS: &'static str = "id, name";

    fn id(&self) -> &str {
        self.id.as_str()
    }

    fn name(&mut self) -> &mut String {
        &mut self.name
    }

    fn values(&self) -> Vec<ToSqlOutput<'_>> {
        vec![text(self.id.as_str()), text(&self.name)]
    }

    fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self { id: row.get(0)?, name: row.get(1)? })
    }

    fn check(&self) -> Result<(), Error> {
        readable(&self.name)
    }

    fn owner(&self) -> Option<&str> {
        None
    }
}

impl Table for Event {
    type Owner = Self;

    const THING: Thing = Thing::Event;
    const COLUMNS: &'static str = "id, name, kind, day";

    fn id(&self) -> &str {
        self.id.as_str()
    }

    fn name(&mut self) -> &mut String {
        &mut self.name
    }

    fn values(&self) -> Vec<ToSqlOutput<'_>> {
        let day = self.day.map(|day| day.to_string());
        vec![text(self.id.as_str()), text(&self.name), text(self.kind.as_str()), maybe(day)]
    }

    fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        let day = row.get::<_, Option<String>>(3)?.map(|day| parsed(&day, str::parse::<Date>)).transpose()?;
        Ok(Self { id: row.get(0)?, name: row.get(1)?, kind: row.get(2)?, day })
    }

    fn check(&self) -> Result<(), Error> {
        readable(&self.name)
    }

    fn owner(&self) -> Option<&str> {
        None
    }
}

impl Table for Block {
    type Owner = Event;

    const THING: Thing = Thing::Block;
    const COLUMNS: &'static str = "id, event, name, counting, games";

    fn id(&self) -> &str {
        self.id.as_str()
    }

    fn name(&mut self) -> &mut String {
        &mut self.name
    }

    fn values(&self) -> Vec<ToSqlOutput<'_>> {
        vec![
            text(self.id.as_str()),
            text(self.event.as_str()),
            text(&self.name),
            text(self.counting.as_str()),
            maybe(self.games.map(i64::from)),
        ]
    }

    fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self { id: row.get(0)?, event: row.get(1)?, name: row.get(2)?, counting: row.get(3)?, games: row.get(4)? })
    }

    fn check(&self) -> Result<(), Error> {
        readable(&self.name)?;
        if self.games == Some(0) {
            return Err(Error::NoGames);
        }
        Ok(())
    }

    fn owner(&self) -> Option<&str> {
        Some(self.event.as_str())
    }
}
