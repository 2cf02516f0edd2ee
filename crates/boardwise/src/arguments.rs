//! Commands and flags.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use super::at_lanes::arguments as at_lanes;
use super::flags::{EventKit, Kit, Output, Thrower};
use super::keep;
use super::new::arguments::New;
use boardwise_session::{bag, block, practice};

/// Prepare for an oil pattern and find the line to play.
///
/// `read`, `throw`, `line`, `carry`, `leave`, `block` and `bag` work without arguments, on a built-in demo kit. Boards count from the gutter on the bowling-hand side,
/// feet from the foul line. Exit status: 0 done, 2 bad input, 1 anything else.
#[derive(Debug, Parser)]
#[command(name = "boardwise", version, max_term_width = 100)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What a schema is of.
#[derive(Clone, Debug, PartialEq, Eq, Subcommand)]
pub enum SchemaOf {
    /// A lane file.
    Lane,
    /// A bag file.
    Bag,
    /// A bowler file.
    Bowler,
    /// An event file.
    Event,
    /// What a command prints with --json; without a command, the list of those that do.
    Answer {
        /// The command.
        command: Option<String>,
    },
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read a pattern: volume, oil by board and distance, ratio, rule-of-31 exit.
    Read(Read),
    /// Throw one ball (or several, to compare): path, breakpoint, exit, entry.
    ///
    /// Angles in the answer are positive away from the bowling-hand side, as entry angles are; a launch angle is
    /// positive toward the bowling-hand gutter. With several balls, JSON holds a list `throws` in place of one throw's
    /// keys.
    Throw(Throw),
    /// Measure a throw from film: laydown, launch, breakpoint, entry and speed, each with its error.
    ///
    /// The film shows the whole lane from behind or beside the bowler, and the camera stands still. Ask people before you film them, and
    /// leave nothing on the approach.
    Watch(Watch),
    /// Search lines for a ball and a bowler: strikes, what is left, the score it comes to, and the room it leaves.
    Line(Line),
    /// What an entry leaves: strikes, leaves, splits.
    Carry(Carry),
    /// How to make a leave: where to stand and aim, how often it falls, what a miss leaves.
    Leave(Leave),
    /// Forecast how a pair of lanes changes over a block, and the moves it will ask for.
    Block(Block),
    /// Rank balls and surfaces over a block, and pick the set worth carrying.
    Bag(Bag),
    /// Plan practice on a pair: which throws teach most about it, in which order, and what each outcome means.
    Practice(Practice),
    /// The evening before: where to start, what a miss does, balls, moves, practice and spares, from one set of unknowns.
    Brief(Brief),
    /// A guided start: write a lane, a ball, a bowler or an event as a commented file.
    ///
    /// At a terminal it asks for what no flag says. Nothing that is there is replaced without --force.
    New {
        /// What is new.
        #[command(subcommand)]
        what: New,
    },
    /// Begin a block at the lanes: bowler, balls, lanes and event go into the record.
    Start(at_lanes::Start),
    /// Log a shot: what stands, and what was seen of it.
    Log(at_lanes::Log),
    /// Take back what was logged last in the block.
    Undo(at_lanes::Undo),
    /// Put a shot right that was logged wrongly.
    Fix(at_lanes::Fix),
    /// The score sheet: frames, maximum, pace, what the game may come to, what a target needs.
    Sheet(at_lanes::Sheet),
    /// Say that feet, eyes, speed, hand or ball are another from now on.
    Move(at_lanes::Move),
    /// The next shot: stay, move or change, by what was logged; or the spare, if something stands.
    Next(at_lanes::Next),
    /// After a block: where pins were won and lost, what to practise, shots, lines and notes; as a handout, too.
    ///
    /// The account takes some seconds, and needs the event: it is told of the block begun last.
    After(at_lanes::After),
    /// Write the whole record, or its shots, to a file.
    Export(at_lanes::Export),
    /// Add a whole record, or shots, from a file.
    Import(at_lanes::Import),
    /// Whether the record is whole: every row as it was written, every sheet adding up.
    Check(keep::Check),
    /// Copy everything into a new folder: record, kit, paired devices. It is read again and compared before it is called good.
    Backup(keep::Backup),
    /// Put a backup, or a record alone, in place: after a loss, or on a new laptop. Nothing that is there is replaced.
    Restore(keep::Restore),
    /// Serve the app to browsers: the phone at the lanes, the desk at home.
    ///
    /// Only browsers on this machine can open it, unless --network lets devices of the local network be paired by a code.
    Serve(Serve),
    /// Write the app as a folder for any web host, to run on a phone alone.
    ///
    /// A phone opens it once over https, and needs no network from then on. docs/phone.md says how, step by step.
    Site(Site),
    /// Copy the demo kit into a new folder, to start from.
    Demo {
        /// The folder to make; it must not exist yet.
        #[arg(default_value = "boardwise-demo")]
        folder: PathBuf,
    },
    /// Print the JSON Schema of a kind of file, for editors, or of an answer, for programs.
    Schema {
        /// What it is of.
        #[command(subcommand)]
        of: SchemaOf,
    },
    /// Print completions for a shell.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page, in troff.
    Man {
        /// Of one command instead of the whole.
        command: Option<String>,
        /// Write the pages of the program and of every command into this folder instead, which must exist.
        #[arg(long, value_name = "FOLDER", conflicts_with = "command")]
        into: Option<PathBuf>,
    },
    /// Say which version this is, what is new in it, and how to get a newer one. Nothing is fetched.
    Update,
}

/// Flags of `read`.
#[derive(Debug, Args)]
pub struct Read {
    /// Who plays what, where.
    #[command(flatten)]
    pub kit: Kit,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `throw`.
#[derive(Debug, Args)]
pub struct Throw {
    /// Who plays what, where; `--ball` may be repeated.
    #[command(flatten)]
    pub kit: Kit,
    /// Board under the ball at the foul line.
    #[arg(long, value_name = "BOARD", default_value_t = 17.0, allow_negative_numbers = true)]
    pub laydown: f64,
    /// Launch angle in degrees, positive toward the bowling-hand gutter.
    #[arg(long, value_name = "DEG", conflicts_with = "arrows", allow_negative_numbers = true)]
    pub launch: Option<f64>,
    /// Board to aim at 15 ft from the foul line [default: 13].
    #[arg(long, value_name = "BOARD", allow_negative_numbers = true)]
    pub arrows: Option<f64>,
    /// Speed at release instead of the bowler's.
    #[arg(long, value_name = "MPH", allow_negative_numbers = true)]
    pub speed: Option<f64>,
    /// Rev rate instead of the bowler's.
    #[arg(long, value_name = "RPM", allow_negative_numbers = true)]
    pub revs: Option<f64>,
    /// Axis rotation instead of the bowler's.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub rotation: Option<f64>,
    /// Axis tilt instead of the bowler's.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub tilt: Option<f64>,
    /// Throw every row of a file instead: Parquet (.parquet), Arrow (.arrow), else CSV. Its columns are those of the answer's release,
    /// or `arrows`, and `ball` and `id`; what it has no column for is as the flags say.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "svg", "png"])]
    pub batch: Option<PathBuf>,
    /// Where the rows go, in the form that its name ends with; left out, they are printed as CSV.
    #[arg(long, value_name = "FILE", requires = "batch")]
    pub out: Option<PathBuf>,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `watch`.
#[derive(Debug, Args)]
pub struct Watch {
    /// The film: an MP4 or MOV file with one throw.
    pub film: PathBuf,
    /// Where marks of the lane are seen in the picture, such as "foul-left:212,1630 arrow-4:540,1010 pin-7:490,402", or a file of such
    /// points. Four to eight of them: foul-left, foul-right, arrow-1 to arrow-7 and dot-1 to dot-10 from the left, pin-1 to pin-10.
    #[arg(long, value_name = "POINTS|FILE")]
    pub points: String,
    /// Bowler file, or a bowler of the demo kit. The hand counts.
    #[arg(long, value_name = "FILE|ID", default_value = "right-straighter")]
    pub bowler: String,
    /// Lane file, or a lane of the demo kit, to read the exit at the end of its oil.
    #[arg(long, value_name = "FILE|ID")]
    pub lane: Option<String>,
    /// How many times slower the film is than what happened, such as 8 for 240 pictures a second shown as 30.
    #[arg(long, value_name = "TIMES")]
    pub slowed: Option<f64>,
    /// Draw the throw over a still of the film, as PNG: path, boards, breakpoint, entry and numbers.
    #[arg(long, value_name = "FILE")]
    pub png: Option<PathBuf>,
    /// Write a transparent PNG for each picture of the film into this folder, to lay over the film.
    #[arg(long, value_name = "FOLDER")]
    pub overlay: Option<PathBuf>,
    /// Replace pictures that are there.
    #[arg(long)]
    pub force: bool,
    /// Print one JSON object and nothing else.
    #[arg(long)]
    pub json: bool,
}

/// Flags of `line`.
#[derive(Debug, Args)]
pub struct Line {
    /// Who plays what, where.
    #[command(flatten)]
    pub kit: Kit,
    /// Lightest and highest entry board that count as the pocket.
    #[arg(long, num_args = 2, value_names = ["LIGHT", "HIGH"], default_values_t = [16.5, 18.5])]
    pub pocket: Vec<f64>,
    /// Most lines to show.
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub lines: u8,
    /// Draw the map of strike percentage over laydown and launch instead of the lane.
    #[arg(long)]
    pub map: bool,
    /// Find the best line for every row of a file instead: Parquet (.parquet), Arrow (.arrow), else CSV. Its columns are `lane`, `bowler`,
    /// `ball`, `surface`, what the bowler changes (`speed_mph` and so on), and `id`; what it has no column for is as the flags say.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "svg", "png", "map"])]
    pub batch: Option<PathBuf>,
    /// Where the rows go, in the form that its name ends with; left out, they are printed as CSV.
    #[arg(long, value_name = "FILE", requires = "batch")]
    pub out: Option<PathBuf>,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `carry`.
#[derive(Debug, Args)]
pub struct Carry {
    /// Which ball, from which hand.
    #[command(flatten)]
    pub kit: Thrower,
    /// Entry board: where the ball's line of entry crosses the head pin's row, 60 ft.
    #[arg(long, value_name = "BOARD", default_value_t = 17.5, allow_negative_numbers = true)]
    pub board: f64,
    /// Entry angle in degrees, positive from the hand side toward the pocket.
    #[arg(long, value_name = "DEG", default_value_t = 6.0, allow_negative_numbers = true)]
    pub angle: f64,
    /// Speed at the pins; the ball rolls.
    #[arg(long, value_name = "MPH", default_value_t = 16.5, allow_negative_numbers = true)]
    pub speed: f64,
    /// Throw this many racks instead of looking the entry up in the table.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub racks: Option<u32>,
    /// Draw strikes over entry board and angle instead of one rack.
    #[arg(long)]
    pub map: bool,
    /// Draw the rack in motion (in SVG; PNG stays still).
    #[arg(long, conflicts_with = "map")]
    pub moving: bool,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `leave`.
#[derive(Debug, Args)]
pub struct Leave {
    /// The pins that stand, as in 3-10.
    #[arg(default_value = "10")]
    pub pins: String,
    /// Who plays what, where; `--ball` may be repeated. Left out, the plastic ball, else the one that hooks least.
    #[command(flatten)]
    pub kit: Kit,
    /// Most lines to show.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=20))]
    pub lines: u8,
    /// Racks thrown along the best line, to see what a miss leaves.
    #[arg(long, value_name = "N", default_value_t = 400, value_parser = clap::value_parser!(u32).range(1..=4096))]
    pub racks: u32,
    /// Draw the deck with one rack instead of the lane.
    #[arg(long)]
    pub deck: bool,
    /// Draw that rack in motion (in SVG; PNG stays still).
    #[arg(long)]
    pub moving: bool,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `block`.
#[derive(Debug, Args)]
pub struct Block {
    /// Which event.
    #[command(flatten)]
    pub kit: EventKit,
    /// Ball of the bag to start with; left out, the one that strikes most on the fresh lane.
    #[arg(long, value_name = "ID")]
    pub ball: Option<String>,
    /// Frames after which the line is looked for anew.
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u32).range(block::LOOK))]
    pub look: u32,
    /// Times to run the block, each with other throws: how sure the forecast is.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u32).range(block::RUNS))]
    pub runs: u32,
    /// Draw the oil, fresh and at the end, instead of the timeline.
    #[arg(long)]
    pub oil: bool,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `bag`.
#[derive(Debug, Args)]
pub struct Bag {
    /// Which event.
    #[command(flatten)]
    pub kit: EventKit,
    /// How many balls to take; the one for spares comes on top.
    #[arg(long, value_name = "N", default_value_t = 3)]
    pub take: usize,
    /// Surfaces to try on every ball but plastic, beside the one it has: grits, or `polished`; `none` tries no other.
    #[arg(long, value_name = "SURFACES", value_delimiter = ',', default_value = "1000,polished")]
    pub surfaces: Vec<String>,
    /// Worlds to weigh in: how oily and how grippy the lane may turn out to be, and how others bowl.
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u32).range(bag::WORLDS))]
    pub worlds: u32,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `practice`.
#[derive(Debug, Args)]
pub struct Practice {
    /// Which event.
    #[command(flatten)]
    pub kit: EventKit,
    /// Throws on the pair, both lanes together; left out, twice the event's practice shots.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(practice::SHOTS))]
    pub shots: Option<u32>,
    /// Print one JSON object and nothing else.
    #[arg(long)]
    pub json: bool,
    /// Seed of everything random; the same seed gives the same answer.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
}

/// Flags of `site`.
#[derive(Debug, Args)]
pub struct Site {
    /// The folder to write; what an earlier version left in it stays.
    pub folder: PathBuf,
    /// The app built for browsers; left out, `boardwise.wasm` beside this program, or where `cargo xtask wasm` leaves it.
    #[arg(long, value_name = "FILE")]
    pub module: Option<PathBuf>,
}

/// Flags of `brief`.
#[derive(Debug, Args)]
pub struct Brief {
    /// Which event.
    #[command(flatten)]
    pub kit: EventKit,
    /// Which pair of the event, from 1 on.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub pair: u32,
    /// Write it as a page to print.
    #[arg(long, value_name = "FILE")]
    pub pdf: Option<PathBuf>,
    /// Where the answer goes.
    #[command(flatten)]
    pub output: Output,
}

/// Flags of `serve`.
#[derive(Debug, Args)]
pub struct Serve {
    /// The record; left out, `boardwise.record` in the folder where programs of this user keep their data.
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Folder of your own lanes, bags, bowlers and events; left out, `kit` beside the record.
    #[arg(long, value_name = "FOLDER")]
    pub kit: Option<PathBuf>,
    /// Port; 0 takes any that is free.
    #[arg(long, value_name = "N", default_value_t = 4310)]
    pub port: u16,
    /// Let devices of the local network be paired, by a code shown here.
    #[arg(long)]
    pub network: bool,
    /// Print one line of JSON for each request to standard error.
    #[arg(long)]
    pub log: bool,
}
