//! Flags of `new`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use crate::flags::Theme;

/// What is new.
#[derive(Debug, Subcommand)]
pub enum New {
    /// A lane: a usual pattern, or a sheet row by row as it is printed.
    Lane(Lane),
    /// A ball, from what its specification sheet says.
    Ball(Ball),
    /// A bowler: hand, speed, revs, rotation, tilt.
    Bowler(Bowler),
    /// An event: lanes, patterns, games, who bowls.
    Event(Event),
}

/// Where the file goes.
#[derive(Clone, Debug, Args)]
pub struct Place {
    /// The file to write; left out, named after its kind.
    pub file: Option<PathBuf>,
    /// Let it take the place of a file of that name.
    #[arg(long)]
    pub force: bool,
    /// Ask nothing: what no flag says is as usual.
    #[arg(long)]
    pub defaults: bool,
    /// Write a picture of it as SVG.
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Write a picture of it as PNG.
    #[arg(long, value_name = "FILE")]
    pub png: Option<PathBuf>,
    /// Colours of the picture.
    #[arg(long, value_enum, default_value_t = Theme::Light)]
    pub theme: Theme,
}

/// Flags of `new lane`.
#[derive(Debug, Args)]
pub struct Lane {
    /// Where the file goes.
    #[command(flatten)]
    pub place: Place,
    /// A usual pattern: house, short, long or flat.
    #[arg(long, value_name = "WORD", conflicts_with = "row")]
    pub pattern: Option<String>,
    /// A row of a sheet: from, to, loads, microlitres a board, start and end in feet, out or back. As "2L 2R 3 50 0 18 out".
    #[arg(long, value_name = "ROW")]
    pub row: Vec<String>,
    /// Oil of all rows as the sheet states it, microlitres.
    #[arg(long, value_name = "UL", requires = "row")]
    pub total: Option<f64>,
    /// What the sheet is called.
    #[arg(long)]
    pub name: Option<String>,
}

/// Flags of `new ball`.
#[derive(Debug, Args)]
pub struct Ball {
    /// Where the file goes.
    #[command(flatten)]
    pub place: Place,
    /// Short name of the ball.
    #[arg(long)]
    pub id: Option<String>,
    /// Cover: solid, hybrid, pearl, urethane or plastic.
    #[arg(long, value_name = "WORDS")]
    pub cover: Option<String>,
    /// Finish, as "3000 grit", "polished" or "0.25 Ra".
    #[arg(long, value_name = "WORDS")]
    pub finish: Option<String>,
    /// Weight, pounds.
    #[arg(long, value_name = "LB")]
    pub weight: Option<f64>,
    /// Radius of gyration, inches.
    #[arg(long, value_name = "IN")]
    pub rg: Option<f64>,
    /// Differential, inches.
    #[arg(long, value_name = "IN")]
    pub differential: Option<f64>,
    /// Intermediate differential, inches.
    #[arg(long, value_name = "IN")]
    pub intermediate: Option<f64>,
    /// Layout: angle at the pin x inches from pin to axis point x angle at the axis point, as "50 x 4.5 x 40".
    #[arg(long, value_name = "LAYOUT", conflicts_with_all = ["pin_to_pap", "mass_bias_to_pap", "pin_buffer"])]
    pub layout: Option<String>,
    /// Layout by distances: from pin to positive axis point, inches.
    #[arg(long, value_name = "IN", requires_all = ["mass_bias_to_pap", "pin_buffer"])]
    pub pin_to_pap: Option<f64>,
    /// From mass bias to positive axis point, inches.
    #[arg(long, value_name = "IN", requires = "pin_to_pap")]
    pub mass_bias_to_pap: Option<f64>,
    /// From pin to the vertical axis line, inches.
    #[arg(long, value_name = "IN", requires = "pin_to_pap")]
    pub pin_buffer: Option<f64>,
    /// Games since the surface was prepared.
    #[arg(long, value_name = "N")]
    pub games: Option<f64>,
}

/// Flags of `new bowler`.
#[derive(Debug, Args)]
pub struct Bowler {
    /// Where the file goes.
    #[command(flatten)]
    pub place: Place,
    /// What to call the bowler; with --from-record the bowler of the record, where it is not the present block's.
    #[arg(long)]
    pub name: Option<String>,
    /// Propose it from the shots of a record that film measured. Printed, and written only where FILE is given.
    #[arg(long, conflicts_with_all = ["hand", "manner", "speed", "revs", "rotation", "tilt", "slide_offset"])]
    pub from_record: bool,
    /// That record; left out, the usual one.
    #[arg(long, value_name = "FILE", requires = "from_record")]
    pub record: Option<PathBuf>,
    /// The hand that bowls: right or left.
    #[arg(long, value_name = "WORD")]
    pub hand: Option<String>,
    /// A sketch to start from: straight, steady or strong.
    #[arg(long, value_name = "WORD")]
    pub manner: Option<String>,
    /// Speed at release.
    #[arg(long, value_name = "MPH")]
    pub speed: Option<f64>,
    /// Rev rate at release.
    #[arg(long, value_name = "RPM")]
    pub revs: Option<f64>,
    /// Axis rotation.
    #[arg(long, value_name = "DEG")]
    pub rotation: Option<f64>,
    /// Axis tilt.
    #[arg(long, value_name = "DEG")]
    pub tilt: Option<f64>,
    /// Boards from the inner edge of the slide foot to the middle of the ball.
    #[arg(long, value_name = "BOARDS")]
    pub slide_offset: Option<f64>,
}

/// Flags of `new event`.
#[derive(Debug, Args)]
pub struct Event {
    /// Where the file goes; files that it names stand beside it.
    #[command(flatten)]
    pub place: Place,
    /// What to call it.
    #[arg(long)]
    pub name: Option<String>,
    /// The two lanes, as 11,12.
    #[arg(long, value_name = "N,N")]
    pub lanes: Option<String>,
    /// Lane file beside the event's, or a lane of the demo kit.
    #[arg(long, value_name = "FILE|ID")]
    pub pattern: Option<String>,
    /// The same for the second lane, where it differs.
    #[arg(long, value_name = "FILE|ID")]
    pub second_pattern: Option<String>,
    /// Bowler file beside the event's, or a bowler of the demo kit.
    #[arg(long, value_name = "FILE|ID")]
    pub bowler: Option<String>,
    /// Bag file beside the event's, or the demo kit's.
    #[arg(long, value_name = "FILE|ID")]
    pub bag: Option<String>,
    /// Games.
    #[arg(long, value_name = "N")]
    pub games: Option<u32>,
    /// Games of others on the same oil before.
    #[arg(long, value_name = "N")]
    pub games_before: Option<u32>,
    /// Practice throws on each lane.
    #[arg(long, value_name = "N")]
    pub practice_shots: Option<u32>,
}
