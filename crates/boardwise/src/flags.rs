//! Flags that several commands have in common.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// Who plays what, where.
#[derive(Debug, Args)]
#[command(next_help_heading = "Kit")]
pub struct Kit {
    /// Lane file, or a lane of the demo kit.
    #[arg(long, value_name = "FILE|ID", default_value = "house-40-walled")]
    pub lane: String,
    /// Bag file, or the demo kit's bag.
    #[arg(long, value_name = "FILE|ID", default_value = "demo")]
    pub bag: String,
    /// Ball of the bag by id, or a bag file that holds one ball.
    ///
    /// Left out: strong-solid if the bag has it, else the bag's first ball. `throw` takes several and compares
    /// them.
    #[arg(long, value_name = "ID|FILE")]
    pub ball: Vec<String>,
    /// Bowler file, or a bowler of the demo kit.
    #[arg(long, value_name = "FILE|ID", default_value = "right-straighter")]
    pub bowler: String,
}

/// Which ball, from which hand.
#[derive(Debug, Args)]
#[command(next_help_heading = "Kit")]
pub struct Thrower {
    /// Bag file, or the demo kit's bag.
    #[arg(long, value_name = "FILE|ID", default_value = "demo")]
    pub bag: String,
    /// Ball of the bag by id, or a bag file that holds one ball. Its weight and size count.
    #[arg(long, value_name = "ID|FILE")]
    pub ball: Option<String>,
    /// Bowler file, or a bowler of the demo kit. The hand counts.
    #[arg(long, value_name = "FILE|ID", default_value = "right-straighter")]
    pub bowler: String,
}

impl Thrower {
    /// As a whole kit; the lane plays no part.
    pub fn as_kit(&self) -> Kit {
        Kit {
            lane: boardwise_files::LANES[0].id.to_owned(),
            bag: self.bag.clone(),
            ball: self.ball.iter().cloned().collect(),
            bowler: self.bowler.clone(),
        }
    }
}

/// Where the answer goes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Output")]
pub struct Output {
    /// Print one JSON object and nothing else.
    #[arg(long)]
    pub json: bool,
    /// Write the picture as SVG.
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Write the picture as PNG.
    #[arg(long, value_name = "FILE")]
    pub png: Option<PathBuf>,
    /// Let the picture take the place of a file of that name. Links and devices are never replaced.
    #[arg(long)]
    pub force: bool,
    /// Colours of the picture.
    #[arg(long, value_enum, default_value_t = Theme::Light)]
    pub theme: Theme,
    /// Seed of everything random; the same seed gives the same answer.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
}

/// Colours of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Theme {
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

/// Which event, and what to change about it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Kit")]
pub struct EventKit {
    /// Event file, or an event of the demo kit.
    #[arg(long, value_name = "FILE|ID", default_value = "short-32-squad")]
    pub event: String,
    /// Lane file, or a lane of the demo kit, on every lane instead of the event's patterns.
    #[arg(long, value_name = "FILE|ID")]
    pub lane: Option<String>,
    /// Bag file, or the demo kit's bag, instead of the first bowler's.
    #[arg(long, value_name = "FILE|ID")]
    pub bag: Option<String>,
    /// Bowler file, or a bowler of the demo kit, instead of the event's first bowler.
    #[arg(long, value_name = "FILE|ID")]
    pub bowler: Option<String>,
    /// Games on each pair instead of the event's.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100))]
    pub games: Option<u32>,
}
