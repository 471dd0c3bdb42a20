//! What a table of the layout file may hold: the shape of the entries in [`super::keys`].

use super::words::{Word, words};

/// A table of the file.
pub struct Section {
    /// The name in the header: `turnout`.
    pub name: &'static str,
    /// Whether the tables have names of their own: `[turnout.T1]`.
    pub named: bool,
    pub doc: &'static str,
    pub keys: &'static [Key],
    /// Further keys, by the value of `kind`.
    pub variants: &'static [(&'static str, &'static [Key])],
}

impl Section {
    /// The keys of one variant together with the common ones.
    pub fn with_variant(&self, kind: &str) -> Option<Vec<&'static Key>> {
        let (_, more) = self.variants.iter().find(|(word, _)| *word == kind)?;
        Some(self.keys.iter().chain(more.iter()).collect())
    }

    /// Every key of the section; a key that several variants have is listed once.
    pub fn all_keys(&self) -> Vec<&'static Key> {
        let mut keys: Vec<&'static Key> = self.keys.iter().collect();
        for key in self.variants.iter().flat_map(|(_, more)| more.iter()) {
            if keys.iter().all(|k| k.name != key.name) {
                keys.push(key);
            }
        }
        keys
    }
}

/// A key of a table.
pub struct Key {
    pub name: &'static str,
    pub form: Form,
    pub absent: Absent,
    pub doc: &'static str,
}

impl Key {
    /// What it means, to go on with in a sentence.
    pub fn phrase(&self) -> String {
        let doc = self.doc.trim_end_matches('.');
        let mut letters = doc.chars();
        letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
    }
}

/// What holds when a key is not written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Absent {
    /// The file is not complete without it.
    Required,
    /// As if this had been written.
    Default(&'static str),
    /// A typical figure stands in for one the builder should measure; the book says so.
    Typical(&'static str),
    /// Told in words, because it depends on something else.
    Otherwise(&'static str),
}

impl Absent {
    /// The value that stands in, in the form of the file.
    pub fn value(self) -> Option<&'static str> {
        match self {
            Absent::Default(text) | Absent::Typical(text) => Some(text),
            Absent::Required | Absent::Otherwise(_) => None,
        }
    }

    /// What the documentation has in its column of defaults.
    #[cfg(test)]
    pub fn text(self) -> &'static str {
        match self {
            Absent::Required => "required",
            Absent::Default(text) | Absent::Typical(text) | Absent::Otherwise(text) => text,
        }
    }
}

/// A quantity with the range in which it is believed.
#[derive(Clone, Copy)]
pub struct Range {
    pub example: &'static str,
    pub least: &'static str,
    pub most: &'static str,
}

impl Range {
    /// The unit of the example: what a bare number most probably lacks.
    pub fn unit(&self) -> &'static str {
        self.example.split_once(' ').map_or("", |(_, unit)| unit)
    }
}

/// How a value is written.
#[derive(Clone, Copy)]
pub enum Form {
    /// The number of the file format.
    Format,
    Text,
    /// A date, bare or in quotes.
    Date,
    /// `true` or `false`.
    Flag,
    /// A whole number from 0.
    Count {
        most: usize,
    },
    Quantity(Range),
    /// Two quantities in brackets.
    Pair(Range),
    /// One of some words.
    Word(fn() -> Vec<(&'static str, &'static str)>),
    /// The name of a table: `board`, `drive`.
    Name(&'static str),
    /// One name or a list of names.
    Names(&'static str),
    /// A table of turnouts, each with a position or road.
    Settings,
    /// A port of a turnout, or a word for an open end.
    TrackEnd,
    /// A voltage that may say AC or DC.
    SupplyVoltage(Range),
    /// A list of wire sizes.
    WireSizes,
    /// A list of capacitances.
    Capacitances,
    /// A list of tables.
    Tables(&'static [Key]),
}

impl Form {
    /// "two quantities in brackets, such as `[\"0 mm\", \"0 mm\"]`", for messages and the schema.
    pub fn describe(&self) -> String {
        match self {
            Form::Format => "the number of the format, 1".into(),
            Form::Text => "a text in quotes".into(),
            Form::Date => "a date such as 2026-05-02".into(),
            Form::Flag => "true or false".into(),
            Form::Count { most } => format!("a whole number from 0 to {most}"),
            Form::Quantity(r) | Form::SupplyVoltage(r) => {
                format!("a quantity with its unit in quotes, such as \"{}\"", r.example)
            }
            Form::Pair(r) => {
                format!("two quantities in brackets, such as [\"{0}\", \"{0}\"]", r.example)
            }
            Form::Word(words) => {
                let words: Vec<_> = words().iter().map(|(w, _)| format!("\"{w}\"")).collect();
                format!("one of {}", words.join(", "))
            }
            Form::Name(of) => format!("the name of a {of} in quotes"),
            Form::Names(of) => format!("the name of a {of} in quotes, or a list of names in brackets"),
            Form::Settings => {
                "turnouts with a position or road each, such as { T1 = \"reverse\", T5 = \"left\" }".into()
            }
            Form::TrackEnd => {
                "a turnout and its port, such as \"T1.toe\", or \"buffer\", or \"off the layout\"".into()
            }
            Form::WireSizes => "a list of wire sizes, such as [\"0.5 mm2\", \"1.5 mm2\"]".into(),
            Form::Capacitances => "a list of capacitances, such as [\"2200 uF\", \"4700 uF\"]".into(),
            Form::Tables(keys) => {
                let names: Vec<_> = keys.iter().map(|k| format!("{} = …", k.name)).collect();
                format!("a list of {{ {} }}", names.join(", "))
            }
        }
    }
}

/// Short forms for the table of keys.
pub(super) const fn key(name: &'static str, form: Form, absent: Absent, doc: &'static str) -> Key {
    Key { name, form, absent, doc }
}

pub(super) const fn quantity(example: &'static str, least: &'static str, most: &'static str) -> Form {
    Form::Quantity(Range { example, least, most })
}

pub(super) const fn pair(example: &'static str, least: &'static str, most: &'static str) -> Form {
    Form::Pair(Range { example, least, most })
}

pub(super) const fn word<T: Word>() -> Form {
    Form::Word(words::<T>)
}
