//! The JSON Schema of the layout file, made from the table of keys. Editors that know TOML show
//! the documentation from it and complete keys and words.

use serde_json::{Map, Value, json};

use super::form::{Absent, Form, Key, Section};
use super::words::words;
use super::{bind, keys};

/// The schema as text: draft 07, keys in alphabetical order, a newline at the end.
pub fn json_schema() -> String {
    let mut properties = properties(keys::ROOT.iter());
    for section in keys::SECTIONS {
        properties.insert(section.name.into(), section_schema(section));
    }
    // Something to throw, in whatever form.
    let turnouts = std::iter::once(&&keys::TURNOUT).chain(keys::COMPOSITIONS);
    let turnouts: Vec<Value> = turnouts.map(|s| json!({ "required": [s.name] })).collect();
    let schema = json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "Layout file of Underboard",
        "type": "object",
        "properties": properties,
        "required": ["format", "layout", "drive"],
        "anyOf": turnouts,
        "additionalProperties": false,
    });
    format!("{schema:#}\n")
}

fn section_schema(section: &Section) -> Value {
    let one = if section.variants.is_empty() {
        table(section.keys.iter())
    } else {
        let variants: Vec<Value> =
            section.variants.iter().map(|(kind, more)| variant(section, kind, more)).collect();
        json!({ "type": "object", "oneOf": variants })
    };
    let mut schema =
        if section.named { json!({ "type": "object", "additionalProperties": one }) } else { one };
    schema["description"] = section.doc.into();
    schema
}

/// The table of one kind: the common keys, with `kind` fixed, and its own.
fn variant(section: &Section, kind: &str, more: &'static [Key]) -> Value {
    let mut schema = table(section.keys.iter().chain(more));
    schema["title"] = kind.into();
    if let Some(of) = schema["properties"].get_mut("kind").and_then(Value::as_object_mut) {
        of.remove("enum");
        of.insert("const".into(), kind.into());
    }
    schema
}

fn table<'a>(keys: impl Iterator<Item = &'a Key> + Clone) -> Value {
    let required: Vec<&str> = keys.clone().filter(|k| k.absent == Absent::Required).map(|k| k.name).collect();
    let mut schema = json!({
        "type": "object",
        "properties": properties(keys),
        "additionalProperties": false,
    });
    // Draft 04 readers refuse an empty list.
    if !required.is_empty() {
        schema["required"] = required.into();
    }
    schema
}

fn properties<'a>(keys: impl Iterator<Item = &'a Key>) -> Map<String, Value> {
    keys.map(|key| (key.name.to_string(), property(key))).collect()
}

fn property(key: &Key) -> Value {
    let mut schema = form(&key.form);
    let mut doc = key.doc.to_string();
    if let Form::Quantity(r) | Form::Pair(r) | Form::SupplyVoltage(r) = key.form {
        doc.push_str(&format!(" From {} to {}.", r.least, r.most));
    }
    match key.absent {
        Absent::Required => {}
        Absent::Default(text) => doc.push_str(&format!(" If absent: {text}.")),
        Absent::Typical(text) => doc.push_str(&format!(" If absent: {text}, a typical figure.")),
        Absent::Otherwise(text) => doc.push_str(&format!(" If absent: {text}.")),
    }
    if let Form::Word(words) = key.form {
        // Editors show the description as Markdown.
        doc.extend(words().iter().map(|(word, meaning)| format!("\n- `{word}`: {meaning}")));
    }
    schema["description"] = doc.into();
    schema
}

/// A number and something after it.
const QUANTITY: &str = r"^\s*-?[.,]?[0-9].*[^0-9.,\s]\s*$";

fn form(form: &Form) -> Value {
    let quantity = |example: &str| json!({ "type": "string", "pattern": QUANTITY, "examples": [example] });
    match form {
        Form::Format => json!({ "const": 1 }),
        Form::Text => json!({ "type": "string", "minLength": 1, "maxLength": 80 }),
        // A bare TOML date reaches the validator as a text or as a value of its own.
        Form::Date => json!({ "examples": ["2026-05-02"] }),
        Form::Flag => json!({ "type": "boolean" }),
        Form::Count { most } => json!({ "type": "integer", "minimum": 0, "maximum": most }),
        Form::Quantity(r) | Form::SupplyVoltage(r) => quantity(r.example),
        Form::Pair(r) => {
            json!({ "type": "array", "items": quantity(r.example), "minItems": 2, "maxItems": 2 })
        }
        Form::Word(words) => {
            let words: Vec<&str> = words().iter().map(|(word, _)| *word).collect();
            json!({ "type": "string", "enum": words })
        }
        Form::Name(_) => json!({ "type": "string" }),
        Form::Names(_) => json!({ "oneOf": [
            { "type": "string" },
            { "type": "array", "items": { "type": "string" }, "minItems": 1, "uniqueItems": true },
        ]}),
        Form::Settings => {
            // A dotted key, as in `T5.left`, is a table in a table.
            let position = json!({ "type": "string", "minLength": 1, "examples": ["reverse"] });
            let bars = json!({ "type": "object", "additionalProperties": position });
            json!({
                "type": "object",
                "additionalProperties": { "anyOf": [position, bars] },
                "minProperties": 1,
            })
        }
        Form::TrackEnd => {
            // After the dot: a port, or an end of a composition.
            let mut after: Vec<&str> = words::<super::Port>().iter().map(|(word, _)| *word).collect();
            after.extend(["from", "to", "road-[0-9]+"]);
            let ends = bind::OPEN_ENDS.map(|(word, _)| word).join("|");
            let pattern = format!(r"^({ends}|.+\.({}))$", after.join("|"));
            json!({ "type": "string", "pattern": pattern, "examples": ["T1.toe"] })
        }
        Form::WireSizes => {
            json!({ "type": "array", "items": { "type": "string", "examples": ["0.5 mm2"] } })
        }
        Form::Capacitances => {
            json!({ "type": "array", "items": { "type": "string", "examples": ["4700 uF"] } })
        }
        Form::Tables(keys) => json!({ "type": "array", "items": table(keys.iter()) }),
    }
}
