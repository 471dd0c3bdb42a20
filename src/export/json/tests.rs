use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::Design;
use crate::source::SourceFile;

const EXAMPLES: [(&str, &str); 5] = [
    ("single-turnout", include_str!("../../../examples/single-turnout/layout.toml")),
    ("quarry-tramway", include_str!("../../../examples/quarry-tramway/layout.toml")),
    ("branch-terminus", include_str!("../../../examples/branch-terminus/layout.toml")),
    ("dockside-yard", include_str!("../../../examples/dockside-yard/layout.toml")),
    ("fiddle-yard", include_str!("../../../examples/fiddle-yard/layout.toml")),
];

fn designs() -> impl Iterator<Item = (&'static str, Design)> {
    EXAMPLES.into_iter().map(|(name, text)| {
        let (design, found) = crate::design(&SourceFile::new(name, text));
        (name, design.unwrap_or_else(|| panic!("{name}: {found:#?}")))
    })
}

fn parse(text: &str) -> Value {
    serde_json::from_str(text).expect("what is written is JSON")
}

fn keys(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                found.insert(key.clone());
                keys(value, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|v| keys(v, found)),
        _ => {}
    }
}

/// Every key must stand in the document as `code`.
fn assert_documented(text: &str, document: &str) {
    let mut found = BTreeSet::new();
    keys(&parse(text), &mut found);
    let missing: Vec<_> = found.iter().filter(|k| !document.contains(&format!("`{k}`"))).collect();
    assert!(missing.is_empty(), "not documented: {missing:?}");
    assert!(found.len() > 10, "{found:?}");
}

#[test]
fn every_key_is_documented() {
    for (_, design) in designs() {
        assert_documented(&super::circuit(&design), include_str!("../../../docs/circuit-json.md"));
        assert_documented(&super::sizing(&design), include_str!("../../../docs/sizing.md"));
        assert_documented(&super::rails(&design), include_str!("../../../docs/rails-json.md"));
        assert_documented(&super::proof(&design), include_str!("../../../docs/proof-json.md"));
    }
}

#[test]
fn every_kind_is_documented() {
    let document = include_str!("../../../docs/circuit-json.md");
    for (name, design) in designs() {
        let json = parse(&super::circuit(&design));
        for list in ["parts", "nets"] {
            for item in json[list].as_array().into_iter().flatten() {
                let kind = item["kind"].as_str().unwrap_or_default();
                assert!(document.contains(&format!("`{kind}`")), "{name}: {kind:?} of {list}");
            }
        }
    }
}

/// The file can be taken apart by names alone: they are unique, and both directions agree.
#[test]
fn names_join_pins_and_nets() {
    for (name, design) in designs() {
        let json = parse(&super::circuit(&design));
        let mut by_pin = BTreeMap::new();
        for part in json["parts"].as_array().into_iter().flatten() {
            for pin in part["pins"].as_array().into_iter().flatten() {
                let text = |v: &Value| v.as_str().map(str::to_owned);
                let key = format!(
                    "{}:{}",
                    part["designation"].as_str().unwrap_or(""),
                    pin["name"].as_str().unwrap_or("")
                );
                assert!(by_pin.insert(key.clone(), text(&pin["net"])).is_none(), "{name}: {key} twice");
            }
        }
        let mut nets = BTreeSet::new();
        let mut joined = 0;
        for net in json["nets"].as_array().into_iter().flatten() {
            let net_name = net["name"].as_str().unwrap_or("");
            assert!(nets.insert(net_name.to_owned()), "{name}: net {net_name} twice");
            for pin in net["pins"].as_array().into_iter().flatten() {
                let pin = pin.as_str().unwrap_or("");
                assert_eq!(by_pin.get(pin), Some(&Some(net_name.to_owned())), "{name}: {pin}");
                joined += 1;
            }
        }
        assert_eq!(joined, by_pin.values().flatten().count(), "{name}");
    }
}

#[test]
fn wires_and_jumpers_end_on_what_the_file_names() {
    for (name, design) in designs() {
        let json = parse(&super::circuit(&design));
        let mut ends = BTreeMap::new();
        let lists =
            [("parts", "designation", "pins", "name"), ("strips", "designation", "terminals", "number")];
        for (list, own, inner, key) in lists {
            for outer in json[list].as_array().into_iter().flatten() {
                for item in outer[inner].as_array().into_iter().flatten() {
                    let tail = item[key].as_str().map_or_else(|| item[key].to_string(), str::to_owned);
                    ends.insert(format!("{}:{tail}", outer[own].as_str().unwrap_or("")), item["net"].clone());
                }
            }
        }
        for list in ["wires", "jumpers"] {
            for item in json[list].as_array().into_iter().flatten() {
                for end in ["from", "to"] {
                    let end = item[end].as_str().unwrap_or("");
                    assert_eq!(ends.get(end), Some(&item["net"]), "{name}: {list} at {end}");
                }
            }
        }
    }
}

#[test]
fn numbers_have_four_digits() {
    assert_eq!(super::rounded(1.0 / 3.0), 0.3333);
    assert_eq!(super::rounded(12_345.6), 12_350.0);
    assert_eq!(super::rounded(0.0), 0.0);
}
