//! How a command can fail, and how that is shown.

use std::fmt;
use std::io;
use std::process::ExitCode;

use super::terminal;
use boardwise_files::Fault;
use boardwise_files::text::visible;
use boardwise_session::Failure as Unanswered;
#[cfg(feature = "app")]
use boardwise_web::CannotServe;
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode};
use thiserror::Error;

/// Why a command did not do what was asked.
#[derive(Debug, Error)]
pub enum Failure {
    /// What was asked could not be answered.
    #[error(transparent)]
    Unanswered(#[from] Unanswered),
    /// Standard output that could not be written.
    #[error("cannot print: {0}")]
    Print(io::Error),
    /// A value that JSON cannot hold.
    #[error("cannot turn the answer into JSON: {0}")]
    Json(serde_json::Error),
    /// The app that could not be served.
    #[error("cannot serve on port {at}: {source}; --port takes another")]
    Serve {
        /// The port.
        at: u16,
        /// The system's reason.
        source: io::Error,
    },
    /// A part that this program was built without.
    #[error(
        "this program was built without {0}; build the whole of it with: cargo build --release -p boardwise (without --no-default-features)"
    )]
    LeftOut(&'static str),
    /// A picture that could not be turned into pixels.
    #[error("cannot draw the picture: {0}")]
    Picture(Box<dyn std::error::Error + Send + Sync>),
}

/// Errors of the libraries below, which a session knows how to tell apart.
macro_rules! through_session {
    ($($error:ty),+) => {
        $(impl From<$error> for Failure {
            fn from(error: $error) -> Self {
                Self::Unanswered(error.into())
            }
        })+
    };
}

through_session!(
    Fault,
    boardwise_lane::LaneError,
    boardwise_pins::carry::CarryError,
    boardwise_record::Error,
    boardwise_score::Error
);

#[cfg(feature = "app")]
impl From<CannotServe> for Failure {
    fn from(error: CannotServe) -> Self {
        match error {
            CannotServe::Port { at, source } => Self::Serve { at, source },
            CannotServe::Failed(failure) => failure.into(),
        }
    }
}

impl Failure {
    /// 2 for bad input, 1 for anything else.
    pub fn status(&self) -> ExitCode {
        ExitCode::from(if self.is_bad_input() { 2 } else { 1 })
    }

    fn is_bad_input(&self) -> bool {
        matches!(self, Self::Unanswered(failure) if failure.is_bad_input())
    }

    /// The message for people, pointing into the file where there is one. Nothing in it steers the terminal.
    pub fn shown(&self, in_colour: bool) -> String {
        let fault = match self {
            Self::Unanswered(Unanswered::Input(fault)) => fault,
            Self::Unanswered(failure) => return visible(&format!("error: {}\n", words(failure))).into_owned(),
            _ => return visible(&format!("error: {self}\n")).into_owned(),
        };
        let render = |theme| {
            let handler = GraphicalReportHandler::new_themed(theme).with_wrap_lines(false).with_width(200);
            let mut text = String::from("error:\n");
            let rendered = handler.render_report(&mut text, &Shown::of(fault));
            rendered.map_or_else(|_| format!("error: {fault}\n"), |()| text)
        };
        let plain = render(GraphicalTheme::none());
        let seen = visible(&plain);
        // Colours are signs to the terminal themselves: where there is anything else to hide, there are none.
        if in_colour && seen == plain { render(GraphicalTheme::unicode()) } else { seen.into_owned() }
    }
}

/// The flag or argument that a field is on the command line.
fn flag(field: &str) -> String {
    const FLAGS: [&str; 19] = [
        "arrows",
        "bag",
        "ball",
        "block",
        "bowler",
        "breakpoint",
        "counting",
        "event",
        "key",
        "lane",
        "line",
        "measured",
        "module",
        "pair",
        "record",
        "rotation",
        "speed",
        "surfaces",
        "take",
    ];
    match field {
        "pins" => "PINS".to_owned(),
        "feet" => "FEET".to_owned(),
        "eyes" => "EYES".to_owned(),
        "feet and eyes" => "FEET EYES".to_owned(),
        field if FLAGS.contains(&field) => format!("--{field}"),
        field => field.to_owned(),
    }
}

/// What could not be answered, with the commands that help.
fn words(failure: &Unanswered) -> String {
    match failure {
        Unanswered::NoRecord { place } => {
            format!("--record {}: there is no record; `boardwise start` begins one", place.display())
        }
        Unanswered::NoBlock => "no block has been begun here; `boardwise start` begins one".to_owned(),
        Unanswered::BlockComplete { pins: Some(pins), games: Some(games) } => format!(
            "PINS {pins}: game {games} of {games} is complete and there is no eleventh frame; `boardwise start` begins another block"
        ),
        Unanswered::BlockComplete { .. } => "the block is complete: `boardwise start` begins another".to_owned(),
        Unanswered::PinsNotKnown { .. } => format!("{failure}; `boardwise fix` says it"),
        Unanswered::NothingToMove => {
            "say what: FEET EYES, --line LAYDOWN ARROWS, --speed, --rotation or --ball".to_owned()
        }
        Unanswered::NoSuchShot { number, shots: 0 } => {
            format!("N {number}: no shot has been logged in this block")
        }
        Unanswered::NoSuchShot { number, shots } => {
            format!("N {number}: the block has shots 1 to {shots}; `boardwise sheet` lists them")
        }
        Unanswered::WhoseSheet { block, bowlers } => {
            format!("--block {block}: say whose with --bowler: {}", bowlers.join(", "))
        }
        other => other.to_string(),
    }
}

/// A fault as it is shown in a terminal: with the lines of the file that it points to.
#[derive(Debug)]
struct Shown<'a> {
    fault: &'a Fault,
    text: Option<NamedSource<String>>,
}

impl<'a> Shown<'a> {
    fn of(fault: &'a Fault) -> Self {
        let text = match fault {
            Fault::InFile(mistake) => Some(NamedSource::new(&mistake.file, mistake.text.clone())),
            _ => None,
        };
        Self { fault, text }
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.fault {
            Fault::Field { field, value, allowed } => write!(f, "{} {value}: {allowed}", flag(field)),
            fault => fault.fmt(f),
        }
    }
}

impl std::error::Error for Shown<'_> {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.fault.source()
    }
}

impl Diagnostic for Shown<'_> {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        if let Fault::Empty { .. } = self.fault {
            return Some(Box::new("`boardwise demo FOLDER` writes commented examples to start from"));
        }
        self.fault.help().map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.text.as_ref().map(|text| text as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let Fault::InFile(mistake) = self.fault else { return None };
        let here = LabeledSpan::new_with_span(Some("here".to_owned()), mistake.span.clone());
        Some(Box::new(std::iter::once(here)))
    }
}

/// Words of a number's reader, and ours.
const NUMBERS: [(&str, &str); 6] = [
    ("invalid float literal", "not a number"),
    ("cannot parse float from empty string", "no number"),
    ("invalid digit found in string", "not a whole number"),
    ("cannot parse integer from empty string", "no number"),
    ("number too large to fit in target type", "too large"),
    ("number too small to fit in target type", "too small"),
];

/// Says what is wrong with the arguments, or prints the help that was asked for.
pub fn refused(error: &clap::Error) -> ExitCode {
    if !error.use_stderr() {
        // A closed pipe is the only way this fails, and then nobody reads what we would say about it.
        let _ = error.print();
        return ExitCode::SUCCESS;
    }
    let rendered = error.render();
    let plain = rendered.to_string();
    let seen = visible(&plain);
    let shown = if terminal::in_colour() && seen == plain { rendered.ansi().to_string() } else { seen.into_owned() };
    eprint!("{}", NUMBERS.iter().fold(shown, |shown, (theirs, ours)| shown.replace(theirs, ours)));
    ExitCode::from(2)
}
