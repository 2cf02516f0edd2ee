//! One step of a chore: its name is printed before it runs, the time it took afterwards.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use anyhow::{Context, Result, bail};

/// Runs `work` as the step `name`. A failure carries the step's name.
pub fn step<T>(name: &str, work: impl FnOnce() -> Result<T>) -> Result<T> {
    println!("==> {name}");
    let start = Instant::now();
    let outcome = work();
    let verdict = if outcome.is_ok() { "done" } else { "FAILED" };
    println!("<== {name}: {verdict} in {:.1} s", start.elapsed().as_secs_f64());
    outcome.with_context(|| format!("step \"{name}\" failed"))
}

/// The root of the repository.
pub fn root() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    own.parent().map_or_else(|| own.to_path_buf(), Path::to_path_buf)
}

/// The cargo that started this program, ready to run in the root of the repository.
///
/// The arguments are split at blanks, which no argument used here contains.
pub fn cargo(arguments: &str) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(arguments.split_whitespace()).current_dir(root());
    command
}

/// Runs a command; any exit status but 0 is an error that names the command.
pub fn run(command: &mut Command) -> Result<()> {
    let shown = shown(command);
    println!("    {shown}");
    let status = command.status().with_context(|| format!("cannot start {shown}"))?;
    if !status.success() {
        bail!("{shown}: {status}");
    }
    Ok(())
}

/// Runs a command and gives back what it printed on standard output.
pub fn output(command: &mut Command) -> Result<Vec<u8>> {
    let shown = shown(command);
    println!("    {shown}");
    let output =
        command.stderr(std::process::Stdio::inherit()).output().with_context(|| format!("cannot start {shown}"))?;
    if !output.status.success() {
        bail!("{shown}: {}", output.status);
    }
    Ok(output.stdout)
}

/// Whether `cargo NAME --version` answers, that is, whether this cargo extension is installed.
pub fn has_extension(name: &str) -> bool {
    cargo(name).arg("--version").output().is_ok_and(|output| output.status.success())
}

fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or_default().to_string_lossy().into_owned();
    command.get_args().fold(program, |line, argument| line + " " + &argument.to_string_lossy())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_failed_step_names_itself() {
        let error = step("count to ten", || -> Result<()> { bail!("stopped at seven") }).unwrap_err();
        assert_eq!(format!("{error:#}"), "step \"count to ten\" failed: stopped at seven");
    }

    #[test]
    fn law_a_failing_command_is_an_error() {
        assert!(run(&mut cargo("no-such-subcommand-anywhere")).is_err());
        assert!(output(&mut cargo("no-such-subcommand-anywhere")).is_err());
        assert!(!has_extension("no-such-subcommand-anywhere"));
    }
}
