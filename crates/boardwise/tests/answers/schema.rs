//! Whether an answer is what its JSON Schema says, for the part of JSON Schema that the views use. Stricter than a validator: a key that
//! the schema does not name is wrong, too.

use std::collections::BTreeSet;

use serde_json::Value;

/// What is wrong with a value.
pub type Wrong = String;

/// Checks a whole answer.
pub fn check(answer: &Value, schema: &Value) -> Result<(), Wrong> {
    Checking { root: schema }.whole(answer, schema, "$")
}

struct Checking<'a> {
    root: &'a Value,
}

impl Checking<'_> {
    /// A value and every key of it.
    fn whole(&self, value: &Value, schema: &Value, at: &str) -> Result<(), Wrong> {
        let known = self.part(value, schema, at)?;
        let keys = value.as_object().into_iter().flatten().map(|(key, _)| key);
        match keys.into_iter().find(|key| !known.contains(*key)) {
            Some(key) => Err(format!("{at}.{key}: the schema does not name it")),
            None => Ok(()),
        }
    }

    /// A value as far as this schema speaks of it; gives the keys that it names.
    fn part(&self, value: &Value, schema: &Value, at: &str) -> Result<BTreeSet<String>, Wrong> {
        if let Some(name) = schema["$ref"].as_str() {
            let target = self.root.pointer(name.trim_start_matches('#')).ok_or_else(|| format!("{at}: no {name}"))?;
            return self.part(value, target, at);
        }
        let wrong = |what: String| Err(format!("{at}: {value} is not {what}"));
        let constant = schema.get("const").is_none_or(|only| only == value);
        let word = schema["enum"].as_array().is_none_or(|words| words.contains(value));
        if !constant || !word || !of_type(value, &schema["type"]) {
            return wrong(schema.to_string());
        }
        let mut known = BTreeSet::new();
        for required in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
            if value.is_object() && value.get(required).is_none() {
                return Err(format!("{at}.{required} is not there"));
            }
        }
        for (key, schema) in schema["properties"].as_object().into_iter().flatten() {
            known.insert(key.clone());
            if let Some(value) = value.get(key) {
                self.whole(value, schema, &format!("{at}.{key}"))?;
            }
        }
        if let Some(items) = value.as_array() {
            let first = schema["prefixItems"].as_array().into_iter().flatten();
            let rest = schema.get("items").into_iter().cycle();
            for (k, (item, schema)) in items.iter().zip(first.chain(rest)).enumerate() {
                self.whole(item, schema, &format!("{at}[{k}]"))?;
            }
            let length = |key: &str| schema[key].as_u64().map(|length| length as usize);
            if length("minItems").is_some_and(|least| items.len() < least)
                || length("maxItems").is_some_and(|most| items.len() > most)
            {
                return wrong(format!("so many items: {schema}"));
            }
        }
        if let Some(choices) = schema.get("anyOf").or(schema.get("oneOf")).and_then(Value::as_array) {
            let fits: Vec<_> = choices.iter().map(|choice| self.part(value, choice, at)).collect();
            let reasons: Vec<String> = fits.iter().filter_map(|fit| fit.clone().err()).collect();
            match fits.into_iter().find_map(Result::ok) {
                Some(more) => known.extend(more),
                None => return Err(reasons.join(" | ")),
            }
        }
        Ok(known)
    }
}

fn of_type(value: &Value, types: &Value) -> bool {
    let is = |name: &str| match name {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        _ => false,
    };
    match types {
        Value::String(name) => is(name),
        Value::Array(names) => names.iter().filter_map(Value::as_str).any(is),
        _ => true,
    }
}
