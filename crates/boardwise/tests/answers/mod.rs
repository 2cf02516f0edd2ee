//! Asking the program and reading its JSON.

use assert_cmd::Command;
use serde_json::Value;

pub fn run(arguments: &[&str]) -> std::process::Output {
    Command::cargo_bin("boardwise").unwrap().args(arguments).output().unwrap()
}

pub fn json(arguments: &[&str]) -> Value {
    let output = run(arguments);
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["schema"], 1);
    answer
}

pub fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}
