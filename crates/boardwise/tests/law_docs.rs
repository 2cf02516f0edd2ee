//! docs/commands.md tells of every command, every long flag and every key that the program has.

use assert_cmd::Command;
use boardwise::Arguments;
use clap::CommandFactory;
use serde_json::Value;

const PAGE: &str = include_str!("../../../docs/commands.md");

/// The part of the page between a command's heading and the next heading.
fn section(command: &str) -> &'static str {
    let heading = format!("\n## `boardwise {command}`\n");
    let start =
        PAGE.find(&heading).unwrap_or_else(|| panic!("docs/commands.md has no heading{heading}")) + heading.len();
    let rest = &PAGE[start..];
    &rest[..rest.find("\n## ").unwrap_or(rest.len())]
}

/// What holds for several commands.
fn shared() -> &'static str {
    let start = PAGE.find("## Kit and output").expect("the flags in common");
    &PAGE[start..start + PAGE[start..].find("\n## `").expect("the commands after them")]
}

/// Whether a text tells of a word in code marks, alone or before its value.
fn tells(text: &str, word: &str) -> bool {
    [format!("`{word}`"), format!("`{word} ")].iter().any(|marked| text.contains(marked))
}

#[test]
fn law_every_command_and_long_flag_is_told() {
    let mut all = Arguments::command();
    all.build();
    let mut flags = 0;
    for command in all.get_subcommands() {
        let told = section(command.get_name());
        for argument in command.get_arguments() {
            let Some(long) = argument.get_long().filter(|&long| long != "help") else { continue };
            flags += 1;
            let flag = format!("--{long}");
            assert!(tells(told, &flag) || tells(shared(), &flag), "{}: {flag} is not told", command.get_name());
            for value in argument.get_default_values().iter().map(|value| value.to_string_lossy()) {
                let mut rows = told.lines().chain(shared().lines());
                let row = rows.find(|line| line.starts_with(&format!("| `{flag}"))).unwrap_or_default();
                assert!(
                    argument.get_action().takes_values() && row.contains(&*value) || value == "false",
                    "{row}: {value}"
                );
            }
        }
    }
    assert!(flags > 20, "{flags} flags seen");
}

#[test]
fn law_no_flag_is_told_that_is_not_there() {
    let mut all = Arguments::command();
    all.build();
    let known: Vec<String> = all
        .get_subcommands()
        .chain([&all])
        .flat_map(|command| command.get_arguments().filter_map(|a| a.get_long()).map(|long| format!("--{long}")))
        .collect();
    let is_flag = |c: char| c == '-' || c.is_ascii_lowercase();
    for (at, _) in PAGE.match_indices("--").filter(|(at, _)| !PAGE[..*at].ends_with('-')) {
        let flag: String = PAGE[at..].chars().take_while(|&c| is_flag(c)).collect();
        // Longer runs of dashes are rules of tables.
        if flag.trim_matches('-').is_empty() {
            continue;
        }
        assert!(known.contains(&flag), "docs/commands.md tells of {flag}, which no command has");
    }
}

/// Every key of an answer, at any depth.
fn keys(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                found.push(key.clone());
                keys(inner, found);
            }
        }
        Value::Array(list) => {
            for inner in list {
                keys(inner, found);
            }
        }
        _ => {}
    }
}

#[test]
fn law_every_key_of_an_answer_is_told() {
    for arguments in [
        &["read", "--json"][..],
        &["throw", "--json"],
        &["throw", "--json", "--laydown", "3", "--launch", "4", "--ball", "plastic"],
        &["throw", "--json", "--ball", "plastic", "--ball", "weak-pearl"],
        &["line", "--json", "--lines", "1"],
        &["carry", "--json", "--board", "19"],
        &["leave", "3-10", "--json", "--racks", "20"],
    ] {
        let output = Command::cargo_bin("boardwise").unwrap().args(arguments).output().unwrap();
        let mut found = Vec::new();
        keys(&serde_json::from_slice(&output.stdout).unwrap(), &mut found);
        found.sort();
        found.dedup();
        assert!(found.len() > 8, "{arguments:?}: {found:?}");
        // What `line` says of a shot is told under `throw`.
        let told = [section(arguments[0]), section("throw"), shared()].concat();
        for key in found {
            assert!(tells(&told, &key), "{}: the key {key} is not told", arguments[0]);
        }
    }
}

/// One bowler who knows ball and line: quick to begin.
const EVENT: &str = r#"name = "club night"
practice_shots = 0
cut = { after_games = 1, pins = 190 }
[[pair]]
lanes = [7, 8]
patterns = ["house-40-walled", "house-40-walled"]
games = 1
[[bowler]]
file = "right-straighter"
ball = "strong-solid"
line = { laydown = 20, arrows = 13 }
"#;

#[test]
fn law_every_key_at_the_lanes_is_told() {
    let folder = tempfile::TempDir::new().unwrap();
    std::fs::write(folder.path().join("event.toml"), EVENT).unwrap();
    // What `undo` and `fix` say is told under `log`; a shot of `sheet` too.
    for (arguments, also) in [
        (&["start", "--event", "event.toml"][..], ""),
        (&["next"], ""),
        (&["log", "10", "--hit", "light", "--felt", "fast", "--arrows", "12", "--breakpoint", "6"], ""),
        (&["next"], ""),
        (&["move", "2", "1"], ""),
        (&["undo"], "log"),
        (&["fix", "1", "7"], "log"),
        (&["sheet", "--target", "200"], "log"),
        (&["after"], "log"),
        (&["export", "all.json"], ""),
        (&["import", "all.json"], ""),
    ] {
        let mut command = Command::cargo_bin("boardwise").unwrap();
        let asked = command.current_dir(folder.path()).args(arguments).args(["--json", "--record", "a.record"]);
        let output = asked.output().unwrap();
        let mut found = Vec::new();
        keys(&serde_json::from_slice(&output.stdout).unwrap(), &mut found);
        assert!(found.len() >= 4, "{arguments:?}: {found:?}");
        let also = if also.is_empty() { "" } else { section(also) };
        let told = [section(arguments[0]), also, shared()].concat();
        for key in found {
            assert!(tells(&told, &key), "{}: the key {key} is not told", arguments[0]);
        }
    }
}
