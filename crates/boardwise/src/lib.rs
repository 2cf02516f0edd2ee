//! The command line of boardwise: flags in, text, JSON and pictures out.
//!
//! What a command asks, [`boardwise_session`] answers; the files that it names are read by [`boardwise_files`].

mod arguments;
mod at_lanes;
mod bag;
mod batch;
mod block;
mod brief;
mod carry;
mod event;
mod failure;
mod flags;
mod input;
mod keep;
mod leave;
mod line;
mod new;
mod output;
mod picture;
mod place;
mod practice;
mod read;
mod scene;
mod schema;
#[cfg(feature = "app")]
mod serve;
#[cfg(feature = "app")]
mod site;
mod table;
mod terminal;
mod throw;
mod update;
#[cfg(feature = "film")]
mod watch;
mod watched;

use std::path::Path;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

pub use arguments::{Arguments, Command};

pub use batch::{ThrowRows, Throws};
pub use failure::Failure;

use boardwise_files::{Fault, whole};

/// Runs the program and says how it ended: 0 done, 2 bad input, 1 anything else.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            return failure::refused(&error);
        }
    };
    match run(&arguments.command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprint!("{}", failure.shown(terminal::in_colour()));
            failure.status()
        }
    }
}

fn run(command: &Command) -> Result<(), Failure> {
    match command {
        Command::Read(asked) => read::run(asked),
        Command::Throw(asked) => match &asked.batch {
            Some(table) => batch::throws(asked, table),
            None => throw::run(asked),
        },
        #[cfg(feature = "film")]
        Command::Watch(asked) => watch::run(asked),
        #[cfg(not(feature = "film"))]
        Command::Watch(_) => Err(Failure::LeftOut("what reads film")),
        Command::Line(asked) => match &asked.batch {
            Some(table) => batch::lines(asked, table),
            None => line::run(asked),
        },
        Command::Carry(asked) => carry::run(asked),
        Command::Leave(asked) => leave::run(asked),
        Command::Block(asked) => block::run(asked),
        Command::Bag(asked) => bag::run(asked),
        Command::Practice(asked) => practice::run(asked),
        Command::Brief(asked) => brief::run(asked),
        Command::New { what } => new::run(what),
        Command::Start(asked) => at_lanes::start(asked),
        Command::Log(asked) => at_lanes::log(asked),
        Command::Undo(asked) => at_lanes::undo(asked),
        Command::Fix(asked) => at_lanes::fix(asked),
        Command::Sheet(asked) => at_lanes::sheet(asked),
        Command::Move(asked) => at_lanes::go(asked),
        Command::Next(asked) => at_lanes::next(asked),
        Command::After(asked) => at_lanes::after(asked),
        Command::Export(asked) => at_lanes::export(asked),
        Command::Import(asked) => at_lanes::import(asked),
        Command::Check(asked) => keep::check(asked),
        Command::Backup(asked) => keep::backup(asked),
        Command::Restore(asked) => keep::restore(asked),
        #[cfg(feature = "app")]
        Command::Serve(asked) => serve::run(asked),
        #[cfg(not(feature = "app"))]
        Command::Serve(_) => Err(Failure::LeftOut("the app")),
        #[cfg(feature = "app")]
        Command::Site(asked) => site::run(asked),
        #[cfg(not(feature = "app"))]
        Command::Site(_) => Err(Failure::LeftOut("the app")),
        Command::Demo { folder } => demo(folder),
        Command::Schema { of } => schema::run(of),
        Command::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(*shell, &mut Arguments::command(), "boardwise", &mut text);
            output::print_bytes(&text)
        }
        Command::Man { into: Some(folder), .. } => man_pages(folder),
        Command::Man { command, into: None } => man(command.as_deref()),
        Command::Update => update::run(),
    }
}

fn demo(folder: &Path) -> Result<(), Failure> {
    let refuse = |allowed: &str| {
        Failure::from(Fault::Field { field: "demo", value: folder.display().to_string(), allowed: allowed.to_owned() })
    };
    if folder.symlink_metadata().is_ok() {
        return Err(refuse("there is something of that name already; nothing was written. Give a new folder"));
    }
    whole::check_parent(folder).map_err(|_| refuse("the folder that is to hold it does not exist"))?;
    boardwise_files::write_to(folder).map_err(|source| Fault::Write { path: folder.to_owned(), source })?;
    output::print(&format!(
        "The demo kit is in {0}. Try: boardwise read --lane {0}/lanes/short-32-flat.toml\n",
        folder.display()
    ))
}

fn man(name: Option<&str>) -> Result<(), Failure> {
    let mut all = Arguments::command();
    all.build();
    let command = match name {
        None => all,
        Some(name) => all.find_subcommand(name).cloned().ok_or_else(|| Fault::Missing {
            what: "command",
            name: name.to_owned(),
            known: all.get_subcommands().map(|c| c.get_name().to_owned()).collect(),
        })?,
    };
    let mut page = Vec::new();
    clap_mangen::Man::new(command).render(&mut page).map_err(Failure::Print)?;
    output::print_bytes(&page)
}

/// The pages of the program and of every command, as files.
fn man_pages(folder: &Path) -> Result<(), Failure> {
    if !folder.is_dir() {
        let (field, value) = ("--into", folder.display().to_string());
        return Err(Fault::Field { field, value, allowed: "a folder that exists".to_owned() }.into());
    }
    clap_mangen::generate_to(Arguments::command(), folder)
        .map_err(|source| Fault::Write { path: folder.to_owned(), source }.into())
}
