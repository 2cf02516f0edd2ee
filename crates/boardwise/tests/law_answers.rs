//! Every answer of `--json` is what its JSON Schema says.

use crate::schema;
use std::collections::BTreeSet;
use std::fs;

use crate::answers::{json, run};
use clap::CommandFactory;
use serde_json::Value;
use tempfile::TempDir;

/// Two bowlers, one game, two balls: quick.
const EVENT: &str = r#"name = "club night"
practice_shots = 1
cut = { after_games = 4, pins = 760 }
[[pair]]
lanes = [7, 8]
patterns = ["short-32-flat", "house-40-walled"]
games = 1
[[bowler]]
file = "right-straighter"
bag = "bag.toml"
[[bowler]]
file = "left-handed"
ball = "urethane-dull"
line = { laydown = 14, arrows = 9 }
"#;

/// A lane known by its friction.
const FRICTION: &str = "name = \"dry\"\n[[friction]]\nto_feet = 40\nmu = 0.05\n[[friction]]\nto_feet = 60\nmu = 0.2\n";

/// Arguments of every command that answers with `--json`; `{}` is a folder, and R stands for the record in it.
const ASKED: &[&str] = &[
    "read",
    "read --lane {}/friction.toml",
    "throw",
    "throw --ball strong-solid --ball weak-pearl --laydown 20 --arrows 12",
    "throw --laydown 38 --arrows 39.5",
    "watch {}/throw.mp4 --points {}/throw.points --lane house-40-walled",
    "line --lines 2",
    "carry",
    "carry --racks 20",
    "leave 3-10",
    "leave 7-10 --racks 20",
    "block --event {}/event.toml --runs 1",
    "bag --event {}/event.toml --take 1 --surfaces 1000 --worlds 2",
    "practice --event {}/event.toml --shots 2",
    "brief --event {}/event.toml",
    "start --event {}/event.toml R",
    "next R",
    "log 3-10 --hit light --felt slow --arrows 12 --breakpoint 8 R",
    "next R",
    "log none --note hello R",
    "log X --measured {}/throw.json R",
    "undo R",
    "undo R",
    "log foul R",
    "fix 1 7-10 --hit high R",
    "sheet --target 200 R",
    "sheet --target 300 R",
    "move 2 1 R",
    "move --ball spare --both R",
    "after R",
    "export {}/all.json R",
    "import {}/all.json --record {}/other.record",
    "check R",
    "backup {}/saved R",
    "restore {}/saved --record {}/new.record --kit {}/new-kit",
    "start --event {}/event.toml --counting nothing R",
    "log X R",
    "sheet R",
    "after R",
];

fn schema_of(command: &str) -> Value {
    let output = run(&["schema", "answer", command]);
    assert!(output.status.success(), "{command}");
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn law_every_answer_is_what_its_schema_says() {
    let folder = TempDir::new().unwrap();
    for (name, text) in
        [("event.toml", EVENT), ("bag.toml", include_str!("answers/two-balls.toml")), ("friction.toml", FRICTION)]
    {
        fs::write(folder.path().join(name), text).unwrap();
    }
    // A film of a known throw, and where the lane's marks are seen in it.
    fs::write(folder.path().join("throw.mp4"), include_bytes!("../../film/tests/clips/throw.mp4")).unwrap();
    fs::write(folder.path().join("throw.points"), include_str!("../../film/tests/clips/throw.points")).unwrap();
    fs::write(folder.path().join("throw.json"), include_str!("answers/throw.json")).unwrap();
    let path = folder.path().to_str().unwrap();
    let mut asked = BTreeSet::new();
    for line in ASKED {
        let line = line.replace(" R", " --record {}/a.record").replace("{}", path);
        let arguments: Vec<&str> = line.split(' ').chain(["--json"]).collect();
        let (answer, schema) = (json(&arguments), schema_of(arguments[0]));
        if let Err(wrong) = schema::check(&answer, &schema) {
            panic!("{line}: {wrong}");
        }
        every_change_is_noticed(&line, &answer, &schema);
        asked.insert(arguments[0].to_owned());
    }
    assert_eq!(asked, listed(), "every command with a schema is asked");
}

/// A check that cannot fail is none: a key more, a key less and a value of another type are each found.
fn every_change_is_noticed(line: &str, answer: &Value, schema: &Value) {
    let mut more = answer.clone();
    more["of_no_schema"] = Value::Null;
    assert!(schema::check(&more, schema).is_err(), "{line}");
    for (key, value) in answer.as_object().unwrap() {
        let mut less = answer.clone();
        less.as_object_mut().unwrap().remove(key);
        assert!(schema::check(&less, schema).is_err(), "{line}: without {key}");
        let mut other = answer.clone();
        other[key] = if value.is_object() { Value::Bool(true) } else { serde_json::json!({ "of_no_schema": 1 }) };
        assert!(schema::check(&other, schema).is_err(), "{line}: {key}");
    }
}

fn listed() -> BTreeSet<String> {
    String::from_utf8(run(&["schema", "answer"]).stdout).unwrap().lines().map(str::to_owned).collect()
}

#[test]
fn law_every_command_with_json_has_a_schema() {
    let arguments = boardwise::Arguments::command();
    let with_json = |command: &&clap::Command| command.get_arguments().any(|one| one.get_id() == "json");
    let commands: BTreeSet<String> =
        arguments.get_subcommands().filter(with_json).map(|command| command.get_name().to_owned()).collect();
    assert_eq!(listed(), commands);
}

#[test]
fn law_a_schema_says_what_every_key_means() {
    for command in listed() {
        let schema = schema_of(&command);
        let objects =
            std::iter::once(&schema).chain(schema["$defs"].as_object().into_iter().flatten().map(|(_, def)| def));
        for (key, meaning) in objects.filter_map(|object| object["properties"].as_object()).flatten() {
            assert!(meaning["description"].is_string(), "{command}: {key}");
        }
    }
}

#[test]
fn law_a_command_that_is_none_is_told_with_the_nearest() {
    let output = run(&["schema", "answer", "thorw"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("thorw") && said.contains("throw"), "{said}");
}
