//! docs/commands.md tells of every command, every long flag and every key that the program has.

use std::collections::BTreeSet;

use crate::answers::run;
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
        for argument in command.get_arguments().chain(command.get_subcommands().flat_map(clap::Command::get_arguments))
        {
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
        .chain(all.get_subcommands().flat_map(clap::Command::get_subcommands))
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

/// Every key that a schema names, at any depth.
fn keys(schema: &Value, found: &mut BTreeSet<String>) {
    match schema {
        Value::Object(map) => {
            if let Some(Value::Object(named)) = map.get("properties") {
                found.extend(named.keys().cloned());
            }
            map.values().for_each(|inner| keys(inner, found));
        }
        Value::Array(list) => list.iter().for_each(|inner| keys(inner, found)),
        _ => {}
    }
}

/// Whose sections tell the rest: a line, a leave or a shot is the same thing in several answers.
fn also(command: &str) -> &'static [&'static str] {
    match command {
        "line" => &["throw"],
        "throw" | "carry" => &["leave"],
        "block" => &["line", "throw"],
        "bag" => &["block", "line"],
        "practice" => &["block"],
        "undo" | "fix" | "sheet" | "after" => &["log"],
        "restore" => &["backup"],
        _ => &[],
    }
}

/// The schemas hold every key that an answer may have (`law_every_answer_is_what_its_schema_says`), the rare ones too.
#[test]
fn law_every_key_of_an_answer_is_told() {
    let listed = String::from_utf8(run(&["schema", "answer"]).stdout).unwrap();
    for command in listed.lines() {
        let mut found = BTreeSet::new();
        keys(&serde_json::from_slice(&run(&["schema", "answer", command]).stdout).unwrap(), &mut found);
        assert!(found.len() >= 4, "{command}: {found:?}");
        let told: String = also(command).iter().chain([&command]).map(|one| section(one)).chain([shared()]).collect();
        for key in found {
            assert!(tells(&told, &key), "{command}: the key {key} is not told");
        }
    }
}
