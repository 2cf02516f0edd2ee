//! Blocks of one bowler beside each other: averages, strikes, spares and spread, each with an interval, and whether they make a trend.

use std::path::Path;

use boardwise_belief::spread_at_arrows;
use boardwise_figures::{Drawing, SeasonPoint, Theme};
use boardwise_record::{BlockId, BowlerId, Record, Sheet};
use boardwise_score::Game;
use serde::{Deserialize, Serialize};

use super::super::belief_replay::first_balls;
use super::super::desk;
use super::super::outlook::other;
use super::interval::{Interval, average, pooled, share, slope};
use super::words::signed_to;
use super::{Figures, Listed};
use crate::Failure;

/// Blocks looked at, the newest ones: more do not fit a picture.
const MOST: usize = 24;
/// Fewest blocks before anything is called a trend: four degrees of freedom beside the straight line.
const TREND_BLOCKS: usize = 6;

/// What is followed from block to block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Measure {
    /// Pins a game.
    Average,
    /// Strikes in a hundred first balls.
    Strikes,
    /// Spares made in a hundred tried.
    Spares,
    /// How far throws stray at the arrows from the board meant, boards, one standard deviation.
    Spread,
}

/// A block of a season.
#[derive(Clone, Debug, PartialEq)]
pub struct SeasonBlock {
    /// Its day and scores.
    pub listed: Listed,
    measures: [Option<Interval>; 4],
}

/// The blocks of one bowler, the oldest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Season {
    /// The blocks in which something counted.
    pub blocks: Vec<SeasonBlock>,
    /// Earlier ones that were left out.
    pub left_out: usize,
}

impl Measure {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Average, Self::Strikes, Self::Spares, Self::Spread];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Average => "Average",
            Self::Strikes => "Strikes",
            Self::Spares => "Spares",
            Self::Spread => "Spread at the arrows",
        }
    }

    /// What its numbers count.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Average => "pins a game",
            Self::Strikes => "in 100 first balls",
            Self::Spares => "in 100 tried",
            Self::Spread => "boards",
        }
    }

    const fn decimals(self) -> usize {
        match self {
            Self::Average | Self::Spread => 1,
            Self::Strikes | Self::Spares => 0,
        }
    }
}

impl Interval {
    /// In words: `182.3 (170.1 to 194.5)`.
    pub fn words(&self, measure: Measure) -> String {
        let places = measure.decimals();
        let value = format!("{:.places$}", self.value);
        match self.between {
            None => value,
            Some((low, high)) => format!("{value} ({low:.places$} to {high:.places$})"),
        }
    }
}

impl SeasonBlock {
    /// A number of this block; None where it has none.
    pub fn of(&self, measure: Measure) -> Option<Interval> {
        self.measures[measure as usize]
    }
}

impl Season {
    /// Of a bowler.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub fn of(place: &Path, bowler: &BowlerId) -> Result<Self, Failure> {
        Self::read(&desk::open(place)?, bowler)
    }

    /// One measure as a picture, for the page of a block.
    ///
    /// # Errors
    /// If there is no such block or bowler, or the record cannot be read.
    pub fn picture_beside(
        place: &Path,
        block: &str,
        bowler: &str,
        measure: Measure,
        theme: Theme,
    ) -> Result<Drawing, Failure> {
        let record = desk::open(place)?;
        let shown = other(&record, block, Some(bowler))?;
        Ok(Self::read(&record, &shown.bowler)?.picture(measure, &shown.block.id, theme))
    }

    fn read(record: &Record, bowler: &BowlerId) -> Result<Self, Failure> {
        let own: Vec<BlockId> =
            record.sheets()?.into_iter().filter(|(_, whose)| whose == bowler).map(|(block, _)| block).collect();
        let left_out = own.len().saturating_sub(MOST);
        let mut sheets = Vec::new();
        for block in &own[left_out..] {
            let sheet = record.sheet(block, bowler)?;
            if sheet.games.iter().any(Game::is_complete) {
                sheets.push((Listed::of(record, &sheet)?, Figures::of(&sheet), games(&sheet), spread(record, &sheet)?));
            }
        }
        let scores: Vec<Vec<f64>> = sheets.iter().map(|(_, _, games, _)| games.clone()).collect();
        let pooled = pooled(&scores);
        let block = |(listed, figures, games, spread): (Listed, Figures, Vec<f64>, Option<Interval>)| SeasonBlock {
            listed,
            measures: [
                average(&games, pooled),
                share(figures.strikes, figures.first_balls),
                share(figures.spares_made, figures.spares_tried),
                spread,
            ],
        };
        Ok(Self { blocks: sheets.into_iter().map(block).collect(), left_out })
    }

    /// Whether the blocks make a trend, in words.
    pub fn trend_words(&self, measure: Measure) -> String {
        let values: Vec<f64> = self.blocks.iter().filter_map(|block| Some(block.of(measure)?.value)).collect();
        let have = values.len();
        if have < TREND_BLOCKS {
            let blocks = match have {
                0 => "No block tells it yet".to_owned(),
                1 => "One block is no trend".to_owned(),
                _ => format!("{} blocks are no trend", count(have)),
            };
            return format!("{blocks}; it takes {TREND_BLOCKS}.");
        }
        let Some((slope, (low, high))) = slope(&values) else { return String::new() };
        let places = if measure == Measure::Spread { 2 } else { 1 };
        let (low, high) = (signed_to(low, places), signed_to(high, places));
        if slope.abs() > 0.0
            && (low.starts_with('+') == high.starts_with('+'))
            && !low.starts_with('0')
            && !high.starts_with('0')
        {
            return format!(
                "Changes by {} a block, over {have} blocks (19 in 20: {low} to {high}).",
                signed_to(slope, places)
            );
        }
        format!("No trend that chance does not make as well: {low} to {high} a block, over {have} blocks.")
    }

    /// A picture of one measure, block by block; `shown` is the block whose page it stands on.
    fn picture(&self, measure: Measure, shown: &BlockId, theme: Theme) -> Drawing {
        let labels: Vec<String> = self
            .blocks
            .iter()
            .map(|block| block.listed.day.map_or_else(String::new, |day| day.strftime("%-d %b").to_string()))
            .collect();
        let points: Vec<SeasonPoint<'_>> = self
            .blocks
            .iter()
            .zip(&labels)
            .map(|(block, label)| {
                let told = block.of(measure);
                SeasonPoint {
                    label,
                    value: told.map(|told| told.value),
                    between: told.and_then(|told| told.between),
                    shown: block.listed.block == *shown,
                }
            })
            .collect();
        boardwise_figures::season_picture(&points, measure.name(), measure.unit(), measure.decimals(), theme)
    }
}

fn count(number: usize) -> String {
    match number {
        2 => "Two".to_owned(),
        3 => "Three".to_owned(),
        4 => "Four".to_owned(),
        5 => "Five".to_owned(),
        _ => number.to_string(),
    }
}

/// Scores of the games that are over.
fn games(sheet: &Sheet) -> Vec<f64> {
    sheet.games.iter().filter_map(Game::final_score).map(f64::from).collect()
}

/// How far throws of a sheet stray from the boards meant at the arrows.
fn spread(record: &Record, sheet: &Sheet) -> Result<Option<Interval>, Failure> {
    let lines = record.lines(&sheet.block.id, &sheet.bowler)?;
    let off = first_balls(sheet).filter_map(|(_, one)| {
        let (board, lane) = (one.shot.arrows?, one.lane.as_ref()?);
        let meant = lines.iter().rev().find(|meant| meant.lane == *lane && meant.seq < one.place)?;
        Some(board.0 - meant.line.arrows)
    });
    let told = spread_at_arrows(&off.collect::<Vec<_>>());
    Ok(told.map(|(value, between)| Interval { value, between: Some(between) }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn season(averages: &[f64]) -> Season {
        let block = |&value: &f64| SeasonBlock {
            listed: Listed {
                block: "a block".parse().unwrap(),
                bowler: "somebody".parse().unwrap(),
                event: String::new(),
                day: None,
                scores: Vec::new(),
                unfinished: None,
                shots: 0,
            },
            measures: [Some(Interval { value, between: None }), None, None, None],
        };
        Season { blocks: averages.iter().map(block).collect(), left_out: 0 }
    }

    #[test]
    fn law_three_blocks_are_no_trend_however_steep() {
        let words = season(&[150.0, 180.0, 210.0]).trend_words(Measure::Average);
        assert_eq!(words, "Three blocks are no trend; it takes 6.");
        assert_eq!(season(&[]).trend_words(Measure::Average), "No block tells it yet; it takes 6.");
    }

    #[test]
    fn law_a_trend_is_claimed_as_often_by_chance_as_it_says() {
        use boardwise_units::stream::Stream;
        const TRIES: u64 = 2000;
        let claimed = (0..TRIES)
            .filter(|seed| {
                let mut draw = Stream::keyed(*seed, "season", 0);
                let averages: Vec<f64> = (0..8).map(|_| 180.0 + 12.0 * draw.normal()).collect();
                season(&averages).trend_words(Measure::Average).starts_with("Changes")
            })
            .count();
        // One in twenty, within four standard errors of so many tries.
        let (share, error) = (claimed as f64 / TRIES as f64, (0.05_f64 * 0.95 / TRIES as f64).sqrt());
        assert!((share - 0.05).abs() < 4.0 * error + 0.005, "{share}");
        let rising: Vec<f64> = (0..8).map(|k| 170.0 + 4.0 * f64::from(k) + f64::from(k % 2)).collect();
        assert!(season(&rising).trend_words(Measure::Average).starts_with("Changes by +4"));
    }
}
