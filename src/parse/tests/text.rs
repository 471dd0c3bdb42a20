//! The documentation and the schema say what the table of keys says.

use super::super::form::{Absent, Form, Key};
use super::super::{json_schema, keys};
use crate::units::{Amps, Angle, Celsius, Henries, Joules, Length, Ohms, Quantity, Seconds, Volts, WireSize};

const GUIDE: &str = include_str!("../../../docs/layout-file.md");

/// Every example of a quantity in the guide's section on quantities.
#[test]
fn the_quantities_of_the_guide_can_be_read() {
    let (_, below) = GUIDE.split_once("| quantity | written |\n").expect("the table");
    let rows: Vec<_> = below.lines().skip(1).take_while(|l| l.starts_with('|')).collect();
    assert_eq!(rows.len(), 10);
    for row in rows {
        let readable = |text: &str| match row.split('|').nth(1).map(str::trim) {
            Some("length") => Length::parse(text).is_ok(),
            Some("voltage") => Volts::parse(text).is_ok(),
            Some("current") => Amps::parse(text).is_ok(),
            Some("resistance") => Ohms::parse(text).is_ok(),
            Some("inductance") => Henries::parse(text).is_ok(),
            Some("energy") => Joules::parse(text).is_ok(),
            Some("time") => Seconds::parse(text).is_ok(),
            Some("temperature") => Celsius::parse(text).is_ok(),
            Some("angle") => Angle::parse(text).is_ok(),
            Some("wire size") => WireSize::parse(text).is_ok(),
            _ => false,
        };
        let examples: Vec<_> = row.split("`\"").skip(1).filter_map(|e| e.split("\"`").next()).collect();
        assert!(!examples.is_empty() && examples.into_iter().all(readable), "{row}");
    }
}

/// The complete file in the guide is right, and the errors it shows are what is really shown.
#[test]
fn the_files_of_the_guide_are_right() {
    let file = GUIDE.split("```toml\n").nth(1).and_then(|b| b.split("```").next()).expect("a file");
    assert_eq!(super::read(file).1, []);
    let shown = [
        super::shown(&[("length = \"120 mm\"", "length = 120")]),
        super::shown(&[("from = \"T2.diverging\"", "from = \"T2.straight\"")]),
    ];
    let blocks: Vec<_> = GUIDE.split("```text\n").skip(1).filter_map(|b| b.split("\n```").next()).collect();
    assert_eq!(blocks, shown);
}

/// The row of a key in a table of the guide, below the heading of its section.
fn row<'a>(section: &str, part: &str, key: &str) -> Option<&'a str> {
    let heading = |end: &str| GUIDE.split_once(&format!("\n## `[{section}{end}]`"));
    let (_, below) = heading("").or_else(|| heading(".NAME"))?;
    let below = below.split("\n## ").next()?;
    let below = if part.is_empty() { below } else { below.split_once(&format!("`{part}`:"))?.1 };
    below.lines().find(|line| line.starts_with(&format!("| `{key}` |")))
}

fn documented(section: &str, part: &str, key: &Key) {
    let row = row(section, part, key.name);
    let row = row.unwrap_or_else(|| panic!("no row for `{}` of [{section}] {part}", key.name));
    assert!(row.contains(key.absent.text()), "`{}` of [{section}] {part}: default missing: {row}", key.name);
    if let Form::Word(words) = key.form
        && section != "colours"
    {
        for (word, _) in words() {
            assert!(GUIDE.contains(&format!("`\"{word}\"`")), "`{word}` of `{}` is not explained", key.name);
        }
    }
}

#[test]
fn the_guide_has_every_key_with_its_default() {
    for section in keys::SECTIONS {
        for key in section.keys {
            documented(section.name, "", key);
        }
        for (kind, keys) in section.variants {
            for key in *keys {
                documented(section.name, &format!("kind = \"{kind}\""), key);
            }
        }
    }
    for key in keys::MEMBER {
        documented("board", "members", key);
    }
}

#[test]
fn every_figure_in_the_table_of_keys_can_be_read() {
    fn any(text: &str) -> bool {
        Volts::parse(text).is_ok()
            || Amps::parse(text).is_ok()
            || Ohms::parse(text).is_ok()
            || Henries::parse(text).is_ok()
            || Joules::parse(text).is_ok()
            || Seconds::parse(text).is_ok()
            || Length::parse(text).is_ok()
            || Celsius::parse(text).is_ok()
            || Angle::parse(text).is_ok()
    }
    for key in keys::SECTIONS.iter().flat_map(|s| s.all_keys()).chain(keys::MEMBER) {
        if let Form::Quantity(r) | Form::Pair(r) = key.form {
            assert!([r.example, r.least, r.most].into_iter().all(any), "{}", key.name);
            if let Some(default) = key.absent.value() {
                assert!(any(default), "{}", key.name);
            }
        }
        assert!(key.doc.ends_with('.'), "{}", key.name);
    }
}

#[test]
fn the_schema_has_every_key_and_nothing_besides() {
    let schema: serde_json::Value = serde_json::from_str(&json_schema()).expect("JSON");
    assert_eq!(schema["additionalProperties"], false);
    for section in keys::SECTIONS {
        let mut table = &schema["properties"][section.name];
        if section.named {
            table = &table["additionalProperties"];
        }
        let tables: Vec<_> = match table["oneOf"].as_array() {
            Some(variants) => variants.iter().collect(),
            None => vec![table],
        };
        for table in tables {
            assert_eq!(table["additionalProperties"], false, "{}", section.name);
            for key in section.keys {
                let property = &table["properties"][key.name];
                assert!(property["description"].as_str().is_some_and(|d| d.starts_with(key.doc)));
                let required = table["required"].as_array().is_some_and(|r| r.iter().any(|k| k == key.name));
                assert_eq!(required, key.absent == Absent::Required, "{}", key.name);
            }
        }
    }
}

#[test]
fn the_schema_is_the_same_each_time() {
    assert_eq!(json_schema(), json_schema());
    assert!(json_schema().ends_with("}\n"));
}
