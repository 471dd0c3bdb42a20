//! The whole file: which tables it has, and the way to each of them.

use toml::de::{DeTable, DeValue};

use super::form::{Absent, Section};
use super::reader::{Entry, Found, Table, entries};
use super::{keys, near, value};
use crate::diag::Diagnostic;
use crate::source::{At, Span};

/// The whole file.
pub struct Root<'a> {
    text: &'a str,
    entries: Vec<Entry<'a>>,
}

/// Whether an entry of a section with named tables is a key that belongs into one of them: the
/// header lacks its name.
fn is_stray(section: &Section, entry: &Entry<'_>) -> bool {
    section.named && !entry.value.is_table() && section.all_keys().iter().any(|k| k.name == entry.key)
}

impl<'a> Root<'a> {
    /// Reports tables that do not exist and the number of the format.
    pub fn open(tree: &'a DeTable<'_>, text: &'a str, found: &mut Found) -> Root<'a> {
        let root = Root { text, entries: entries(tree, text) };
        let sections = keys::SECTIONS.iter().map(|s| s.name);
        for entry in &root.entries {
            if entry.key == "format" || keys::SECTIONS.iter().any(|s| s.name == entry.key) {
                continue;
            }
            let code = if entry.value.is_table() { "unknown-table" } else { "unknown-key" };
            let what = if entry.value.is_table() { "table" } else { "key" };
            let mut d =
                Diagnostic::error(code, format!("there is no {what} `{}` in a layout file", entry.key))
                    .label(entry.key_span, "not known");
            if let Some(near) = root.near(entry.key) {
                d = d.help(format!("did you mean `{near}`?")).replacement(near);
            } else if let Some(section) = keys::SECTIONS
                .iter()
                .find(|s| !s.named && !entry.value.is_table() && s.keys.iter().any(|k| k.name == entry.key))
            {
                d = d.help(format!("`{}` belongs under [{}]", entry.key, section.name));
            } else {
                d = d.help(format!("the tables are {}", near::list(sections.clone(), "and")));
            }
            found.push(d);
        }
        root.format(found);
        root
    }

    fn format(&self, found: &mut Found) {
        const CODE: &str = "file-format";
        match self.entries.iter().find(|e| e.key == "format") {
            None => found.push(
                Diagnostic::error("missing-key", "the file does not say which format it is written in")
                    .label(Span::default(), "the first line should be `format = 1`")
                    .help("write `format = 1` above everything else"),
            ),
            Some(entry) => match entry.value.de() {
                DeValue::Integer(n) if n.as_str() == "1" => {}
                DeValue::Integer(n) => found.push(
                    Diagnostic::error(
                        CODE,
                        format!("this file is written in format {n}, which is not known"),
                    )
                    .label(entry.value.span, "only format 1 is known")
                    .help("a newer version of the program may read it"),
                ),
                _ => found.push(
                    Diagnostic::error(CODE, "`format` must be the number 1")
                        .label(entry.value.span, entry.value.what())
                        .help("write it without quotes")
                        .replacement("1"),
                ),
            },
        }
    }

    fn section(&self, name: &str) -> Option<&Entry<'a>> {
        self.entries.iter().find(|e| e.key == name)
    }

    /// The section that an unknown key or table is probably meant for.
    fn near(&self, unknown: &str) -> Option<&'static str> {
        near::nearest(unknown, keys::SECTIONS.iter().map(|s| s.name))
    }

    /// Whether an unknown key or table is probably meant for this section. That has a message of
    /// its own, so the section is not missing as well.
    fn is_misspelt(&self, section: &Section) -> bool {
        let unknown = |e: &&Entry<'_>| e.key != "format" && keys::SECTIONS.iter().all(|s| s.name != e.key);
        self.section(section.name).is_none()
            && self.entries.iter().filter(unknown).any(|e| self.near(e.key) == Some(section.name))
    }

    /// Whether the file has this section at all, rightly spelt or not.
    pub fn has(&self, section: &Section) -> bool {
        self.section(section.name).is_some() || self.is_misspelt(section)
    }

    /// Whether what the section holds could be read: it is there and is a table, or it is not there.
    pub fn is_readable(&self, section: &Section) -> bool {
        let Some(entry) = self.section(section.name) else { return !self.is_misspelt(section) };
        entry
            .value
            .as_table()
            .is_some_and(|all| entries(all, self.text).iter().all(|e| !is_stray(section, e)))
    }

    /// The place of a section's first mention.
    pub fn place(&self, section: &Section) -> Span {
        self.section(section.name).map_or(Span::default(), |e| e.key_span)
    }

    /// A table without a name of its own. If it is not written, an empty one stands for it.
    pub fn table(&self, section: &'static Section, found: &mut Found) -> Table<'a> {
        let what = format!("[{}]", section.name);
        let Some(entry) = self.section(section.name) else {
            let name = At::new(section.name.to_string(), Span::default());
            if self.is_misspelt(section) {
                return Table::unreadable(what, name);
            }
            return Table::absent(section, what, name);
        };
        let name = At::new(section.name.to_string(), entry.key_span);
        let Some(table) = entry.value.as_table() else {
            let mut d = Diagnostic::error("wrong-form", format!("{what} must be one table of keys"))
                .label(entry.key_span, entry.value.what());
            if entry.value.is_array() {
                d = d.help(format!("write the header with single brackets: `{what}`"));
            }
            found.push(d);
            return Table::unreadable(what, name);
        };
        Table::open(section, what, name, entries(table, self.text), found)
    }

    /// The tables of a section whose tables have names, in the order of the file.
    pub fn named(&self, section: &'static Section, found: &mut Found) -> Vec<Table<'a>> {
        let Some(entry) = self.section(section.name) else {
            return Vec::new();
        };
        let kind = section.name;
        let Some(all) = entry.value.as_table() else {
            let d = Diagnostic::error("wrong-form", format!("every {kind} needs a name of its own"))
                .label(entry.key_span, entry.value.what())
                .help(format!("write each as `[{kind}.NAME]`, with the name you write on the label"));
            found.push(d);
            return Vec::new();
        };
        let all = entries(all, self.text);
        if let Some(stray) = all.iter().find(|e| is_stray(section, e)) {
            found.push(
                Diagnostic::error("wrong-form", format!("a {kind} needs a name in its header"))
                    .label(entry.key_span, "no name here")
                    .label(stray.key_span, format!("a key of one {kind}"))
                    .help(format!("write `[{kind}.NAME]`, with the name you write on the label")),
            );
        }
        let mut tables = Vec::new();
        for entry in all.into_iter().filter(|e| !is_stray(section, e)) {
            let what = format!("{kind} `{}`", entry.key.escape_debug());
            let name = At::new(entry.key.to_string(), entry.key_span);
            value::check_text(&name, &format!("the name of {what}"), found);
            match entry.value.as_table() {
                Some(table) => {
                    tables.push(Table::open(section, what, name, entries(table, self.text), found));
                }
                None => {
                    found.push(Self::not_a_table(section, &what, &entry));
                    // Its name is known all the same, and what refers to it is right.
                    tables.push(Table::unreadable(what, name));
                }
            }
        }
        tables
    }

    fn not_a_table(section: &Section, what: &str, entry: &Entry<'_>) -> Diagnostic {
        let example: Vec<_> = section.keys.iter().filter(|k| k.absent == Absent::Required).collect();
        let example: Vec<_> = example.iter().map(|k| format!("{} = …", k.name)).collect();
        let d = Diagnostic::error("wrong-form", format!("{what} must be a table of keys"))
            .label(entry.value.span, entry.value.what());
        d.help(format!("write `{} = {{ {} }}`", entry.key, example.join(", ")))
    }
}
