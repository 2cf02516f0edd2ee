//! A block in figures.

use std::path::Path;

use boardwise_record::{BlockId, BowlerId, Event, Record, Sheet};
use boardwise_score::{Game, Mark, Roll};
use jiff::civil::Date;
use jiff::tz::Offset;

use super::super::belief_replay::first_balls;
use super::super::desk;
use super::super::score_view::Certain;
use crate::Failure;
use crate::view::{BlockListed, FiguresView};

/// A sheet of the record as a list has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// The block.
    pub block: BlockId,
    /// Whose sheet it is.
    pub bowler: BowlerId,
    /// Name of its event.
    pub event: String,
    /// The day of its first shot by universal time; without a shot, of the event, if that is known.
    pub day: Option<Date>,
    /// The score of each game, so far.
    pub scores: Vec<u16>,
    /// Of the last of them what is certain, if it is not over.
    pub unfinished: Option<Certain>,
    /// Shots logged.
    pub shots: usize,
}

impl Listed {
    /// Of a sheet.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(record: &Record, sheet: &Sheet) -> Result<Self, Failure> {
        let event: Event = record.get(sheet.block.event.as_str())?;
        let first = sheet.deliveries.first().map(|first| Offset::UTC.to_datetime(first.at).date());
        Ok(Self {
            block: sheet.block.id.clone(),
            bowler: sheet.bowler.clone(),
            event: event.name,
            day: first.or(event.day),
            scores: sheet.games.iter().map(Game::score).collect(),
            unfinished: sheet.games.last().filter(|game| !game.is_complete()).map(Certain::of),
            shots: sheet.deliveries.len(),
        })
    }

    /// Sheets that make a page of the list.
    pub const PAGE: usize = 20;

    /// A page of the list of sheets, the one begun last first, after so many that are skipped; and how many there are in all.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn page(record: &Record, skip: usize) -> Result<(Vec<Self>, usize), Failure> {
        let sheets = record.sheets()?;
        let shown = sheets.iter().rev().skip(skip).take(Self::PAGE);
        let listed =
            shown.map(|(block, bowler)| Self::of(record, &record.sheet(block, bowler)?)).collect::<Result<_, _>>()?;
        Ok((listed, sheets.len()))
    }

    /// The sheets begun last in a record, the last first.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn latest(place: &Path) -> Result<Vec<Self>, Failure> {
        Ok(Self::page(&desk::open(place)?, 0)?.0)
    }

    /// Pins in all games.
    pub fn total(&self) -> u32 {
        self.scores.iter().map(|&score| u32::from(score)).sum()
    }

    /// The scores in words.
    pub fn scores_words(&self) -> String {
        let last = |score: u16| match self.unfinished {
            None => score.to_string(),
            Some(certain) => certain.words(" so far").unwrap_or_else(|| "just begun".to_owned()),
        };
        match self.scores.as_slice() {
            [] if self.shots == 0 => "nothing bowled yet".to_owned(),
            [] => format!("{} shots, nothing counted", self.shots),
            [only] => last(*only),
            [before @ .., only] => {
                let scores: Vec<String> = before.iter().map(u16::to_string).chain([last(*only)]).collect();
                format!("{}; {} in all", scores.join(", "), self.total())
            }
        }
    }

    /// As a view.
    pub fn view(&self) -> BlockListed {
        BlockListed {
            block: self.block.to_string(),
            bowler: self.bowler.to_string(),
            event: self.event.clone(),
            day: self.day.map(|day| day.to_string()),
            scores: self.scores.clone(),
            total: self.total(),
            shots: self.shots,
        }
    }
}

/// Strikes and spares of a sheet, counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Figures {
    /// Games over.
    pub games: usize,
    /// Pins in them.
    pub pins: u32,
    /// First balls at a full rack.
    pub first_balls: usize,
    /// Strikes among them.
    pub strikes: usize,
    /// Second balls at what was left.
    pub spares_tried: usize,
    /// Those that took all of it.
    pub spares_made: usize,
    /// Open frames.
    pub opens: usize,
}

impl Figures {
    /// Of a sheet.
    pub fn of(sheet: &Sheet) -> Self {
        Self::counted(sheet, |_| true)
    }

    /// Of each game of a sheet.
    pub fn by_game(sheet: &Sheet) -> Vec<Self> {
        (1..=sheet.games.len()).map(|game| Self::counted(sheet, |one| usize::from(one) == game)).collect()
    }

    /// Of the games, counted from 1 on, that `keep` holds for.
    fn counted(sheet: &Sheet, keep: impl Fn(u16) -> bool) -> Self {
        let games: Vec<&Game> =
            (1..).zip(&sheet.games).filter(|(number, _)| keep(*number)).map(|(_, game)| game).collect();
        let over: Vec<u16> = games.iter().filter_map(|game| game.final_score()).collect();
        let ours = sheet.deliveries.iter().filter(|one| keep(one.game));
        let seconds = ours.filter_map(|one| one.thrown).filter(|thrown| !thrown.first_at_rack);
        let firsts: Vec<Roll> =
            first_balls(sheet).filter(|(_, one)| keep(one.game)).map(|(_, one)| one.shot.roll).collect();
        let frames = games.iter().flat_map(|game| game.frames());
        Self {
            games: over.len(),
            pins: over.iter().map(|&score| u32::from(score)).sum(),
            first_balls: firsts.len(),
            strikes: firsts.iter().filter(|roll| **roll == Roll::ALL_DOWN).count(),
            spares_tried: seconds.clone().count(),
            spares_made: seconds.filter(boardwise_score::Thrown::is_spare).count(),
            opens: frames.filter(|frame| frame.mark == Some(Mark::Open)).count(),
        }
    }

    /// Pins a game, over the games that are over.
    pub fn average(&self) -> Option<f64> {
        (self.games > 0).then(|| f64::from(self.pins) / self.games as f64)
    }

    /// Strikes in a hundred first balls.
    pub fn strike_pct(&self) -> Option<f64> {
        pct(self.strikes, self.first_balls)
    }

    /// Spares made of a hundred tried.
    pub fn spare_pct(&self) -> Option<f64> {
        pct(self.spares_made, self.spares_tried)
    }

    /// Each figure with its name, in words, for tables.
    pub fn rows(&self) -> [(&'static str, String); 4] {
        let share = |part: usize, of: usize| match pct(part, of) {
            Some(pct) => format!("{pct:.0}% ({part} of {of})"),
            None => "-".to_owned(),
        };
        let average = self.average().map_or_else(|| "-".to_owned(), |average| format!("{average:.1} pins"));
        [
            ("average", average),
            ("strikes", share(self.strikes, self.first_balls)),
            ("spares", share(self.spares_made, self.spares_tried)),
            ("open frames", self.opens.to_string()),
        ]
    }

    /// As a view.
    pub fn view(&self) -> FiguresView {
        FiguresView {
            games_over: self.games,
            average: self.average(),
            first_balls: self.first_balls,
            strikes: self.strikes,
            strike_pct: self.strike_pct(),
            spares_tried: self.spares_tried,
            spares_made: self.spares_made,
            spare_pct: self.spare_pct(),
            open_frames: self.opens,
        }
    }
}

fn pct(part: usize, of: usize) -> Option<f64> {
    (of > 0).then(|| 100.0 * part as f64 / of as f64)
}
