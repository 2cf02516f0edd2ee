//! The types of every answer, as the scripts' JSDoc uses them: written from the views' JSON Schema into `assets/answers.d.ts`.

use std::fmt::Write;

use boardwise_session::view::{CheckAnswer, GameShots, LabFile, LabLanes, LabLines, LabParcel, LabThrows, NextSaid};
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value};

use super::views::{
    Did, Forgotten, Kept, LanesState, LongState, Looked, Notes, PageReady, Paired, PracticeAtLanes, Refused,
    SheetLooked, Stopped,
};

/// Every type that an answer of the app holds, with its schema.
fn definitions() -> Map<String, Value> {
    let mut generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    macro_rules! all {
        ($($view:ty),*) => { $( generator.subschema_for::<$view>(); )* };
    }
    all!(
        LanesState, Did, NextSaid, LabThrows, LabLanes, LabLines, LabFile, LabParcel, LongState, PageReady, Stopped,
        Looked, Kept
    );
    all!(CheckAnswer, GameShots, Notes, Paired, Forgotten, Refused, SheetLooked, PracticeAtLanes);
    generator.take_definitions(true)
}

/// A schema as a type of TypeScript.
fn type_of(schema: &Value) -> String {
    let Some(schema) = schema.as_object() else { return "unknown".to_owned() };
    let text = |key: &str| schema.get(key).and_then(Value::as_str);
    let list = |key: &str| schema.get(key).and_then(Value::as_array);
    if let Some(reference) = text("$ref") {
        return reference.rsplit('/').next().unwrap_or_default().to_owned();
    }
    if let Some(only) = schema.get("const") {
        return only.to_string();
    }
    if let Some(words) = list("enum") {
        return either(words.iter().map(Value::to_string));
    }
    let choices = list("anyOf").or(list("oneOf")).map(|all| either(all.iter().map(type_of)));
    let own = schema.get("properties").and_then(Value::as_object).map(|keys| members(keys, list("required")));
    match (own, choices) {
        (Some(own), Some(choices)) => return format!("{own} & ({choices})"),
        (Some(one), None) | (None, Some(one)) => return one,
        (None, None) => {}
    }
    match schema.get("type") {
        Some(Value::Array(types)) => {
            let one = |name: &Value| {
                let mut alone = schema.clone();
                alone.insert("type".to_owned(), name.clone());
                type_of(&Value::Object(alone))
            };
            either(types.iter().map(one))
        }
        Some(Value::String(name)) => match name.as_str() {
            "number" | "integer" => "number".to_owned(),
            "array" => match list("prefixItems") {
                Some(items) => format!("[{}]", items.iter().map(type_of).collect::<Vec<_>>().join(", ")),
                None => array(schema),
            },
            name => name.to_owned(),
        },
        _ => "unknown".to_owned(),
    }
}

fn array(schema: &Map<String, Value>) -> String {
    let item = schema.get("items").map_or_else(|| "unknown".to_owned(), type_of);
    let length = |key: &str| schema.get(key).and_then(Value::as_u64);
    match (length("minItems"), length("maxItems")) {
        (Some(least), Some(most)) if least == most => format!("[{}]", vec![item; most as usize].join(", ")),
        _ if item.contains(' ') => format!("({item})[]"),
        _ => format!("{item}[]"),
    }
}

fn either(types: impl Iterator<Item = String>) -> String {
    types.collect::<Vec<_>>().join(" | ")
}

/// What an object holds; what need not be there is marked so.
fn members(keys: &Map<String, Value>, required: Option<&Vec<Value>>) -> String {
    let mut text = "{\n".to_owned();
    for (key, schema) in keys {
        let must = required.is_some_and(|all| all.iter().any(|one| one == key));
        let mark = if must { "" } else { "?" };
        let inside = type_of(schema).replace('\n', "\n  ");
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}  {key}{mark}: {inside};", remark(schema, "  "));
    }
    text + "}"
}

/// The description of a schema, as a comment.
fn remark(schema: &Value, margin: &str) -> String {
    let words = schema.get("description").and_then(Value::as_str);
    words.map_or_else(String::new, |words| {
        format!("{margin}/** {} */\n", words.split_whitespace().collect::<Vec<_>>().join(" "))
    })
}

fn written() -> String {
    let mut text = "// Types of every answer that the app gives to its scripts. Written from crates/web/src/views.rs and the session's views by the\n\
                    // test `keep_types_for_scripts`: BOARDWISE_BLESS=1 cargo nextest run -p boardwise-web keep_types\n"
        .to_owned();
    for (name, schema) in definitions() {
        let _ = write!(text, "\n{}export type {name} = {};\n", remark(&schema, ""), type_of(&schema));
    }
    text
}

#[test]
fn keep_types_for_scripts_are_those_of_the_answers() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/src/assets/answers.d.ts");
    let written = written();
    assert!(!written.contains("unknown"), "a schema that is not understood:\n{written}");
    if std::env::var_os("BOARDWISE_BLESS").is_some() {
        std::fs::write(path, &written).unwrap();
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(kept == written, "assets/answers.d.ts is out of date: run this test with BOARDWISE_BLESS=1");
}
