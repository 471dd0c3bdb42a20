//! Access to one table of the file. Opening it reports the keys it may not have; reading a key
//! reports what is wrong with its value, or that it is missing. Nothing stops at an error.

use toml::de::{DeTable, DeValue};

use super::form::{Absent, Form, Key, Section};
use super::near;
use super::value::{self, Value};
use super::words::Word;
use crate::diag::Diagnostic;
use crate::source::{At, Span};
use crate::units::Quantity;

/// Where all findings go.
pub type Found = Vec<Diagnostic>;

/// A key with its value.
#[derive(Clone, Copy)]
pub struct Entry<'a> {
    pub key: &'a str,
    pub key_span: Span,
    pub value: Value<'a>,
}

/// One table whose legal keys are known.
pub struct Table<'a> {
    /// For messages: "turnout `T1`", "[layout]".
    pub what: String,
    /// The name in the header, and the place of it.
    pub name: At<String>,
    /// Whether it is written at all, or stands for one that is not.
    pub written: bool,
    legal: Vec<&'static Key>,
    entries: Vec<Entry<'a>>,
}

/// The entries of a table, in the order of the file.
pub fn entries<'a>(table: &'a DeTable<'_>, text: &'a str) -> Vec<Entry<'a>> {
    let mut entries: Vec<Entry<'a>> = table
        .iter()
        .map(|(key, value)| Entry {
            key: key.get_ref(),
            key_span: key.span().into(),
            value: Value::new(value, text),
        })
        .collect();
    // The parser keeps keys in alphabetical order; the builder's order is that of the file.
    entries.sort_by_key(|e| e.key_span);
    entries
}

impl<'a> Table<'a> {
    /// Stands for a table that is not written: every key has its default.
    pub fn absent(section: &'static Section, what: String, name: At<String>) -> Table<'a> {
        Table { what, name, written: false, legal: section.keys.iter().collect(), entries: Vec::new() }
    }

    /// Stands for something that is not a table: nothing in it is missing, nothing can be read.
    pub fn unreadable(what: String, name: At<String>) -> Table<'a> {
        Table { what, name, written: true, legal: Vec::new(), entries: Vec::new() }
    }

    pub fn open(
        section: &'static Section,
        what: String,
        name: At<String>,
        entries: Vec<Entry<'a>>,
        found: &mut Found,
    ) -> Table<'a> {
        let kind = entries.iter().find(|e| e.key == "kind").and_then(|e| e.value.as_str());
        let legal = match kind.and_then(|kind| section.with_variant(kind)) {
            Some(keys) => keys,
            None => section.all_keys(),
        };
        let table = Table { what, name, written: true, legal, entries };
        table.report_unknown(Some(section), found);
        table
    }

    /// A table inside a list: `members`.
    fn open_entry(keys: &'static [Key], what: String, value: Value<'a>, found: &mut Found) -> Option<Self> {
        let Some(table) = value.as_table() else {
            let form = Form::Tables(keys).describe();
            found.push(
                Diagnostic::error("wrong-form", format!("{what} must be a table of keys"))
                    .label(value.span, value.what())
                    .help(format!("write {form}")),
            );
            return None;
        };
        let entries = entries(table, value.source());
        let name = At::new(String::new(), value.span);
        let table = Table { what, name, written: true, legal: keys.iter().collect(), entries };
        table.report_unknown(None, found);
        Some(table)
    }

    fn report_unknown(&self, section: Option<&Section>, found: &mut Found) {
        for entry in &self.entries {
            if self.legal.iter().any(|k| k.name == entry.key) {
                continue;
            }
            let message = format!("{} has no key `{}`", self.what, entry.key.escape_debug());
            let mut d = Diagnostic::error("unknown-key", message).label(entry.key_span, "not a known key");
            let others: Vec<&str> = section
                .map(|s| s.variants)
                .unwrap_or_default()
                .iter()
                .filter(|(_, keys)| keys.iter().any(|k| k.name == entry.key))
                .map(|(kind, _)| *kind)
                .collect();
            if !others.is_empty() {
                d = d.help(format!("`{}` is for {} only", entry.key, near::list(others, "and")));
            } else if let Some(near) = self.near(entry.key) {
                d = d.help(format!("did you mean `{near}`?")).replacement(near);
            } else {
                let legal = near::list(self.legal.iter().map(|k| k.name), "and");
                d = d.help(format!("its keys are {legal}"));
            }
            found.push(d);
        }
    }

    /// Whether the key is written, rightly or wrongly.
    pub fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|e| e.key == key)
    }

    /// The legal key that an unknown one is probably meant for.
    fn near(&self, unknown: &str) -> Option<&'static str> {
        near::nearest(unknown, self.legal.iter().map(|k| k.name).filter(|name| !self.has(name)))
    }

    /// Whether the key is written, or a slip of it is. The slip has a message of its own, so the
    /// key is not missing as well.
    pub fn means(&self, key: &str) -> bool {
        let unknown = |e: &&Entry<'_>| self.legal.iter().all(|k| k.name != e.key);
        self.has(key) || self.entries.iter().filter(unknown).any(|e| self.near(e.key) == Some(key))
    }

    /// Whether it is a table at all, written or not.
    pub fn is_table(&self) -> bool {
        !self.legal.is_empty()
    }

    /// Whether this text, in any case, is written for the key.
    pub fn name_is(&self, key: &str, text: &str) -> bool {
        self.value(key).and_then(|v| v.as_str()).is_some_and(|written| written.eq_ignore_ascii_case(text))
    }

    /// The place of a key's value, or of the table's name if the key is not written.
    pub fn place(&self, key: &str) -> Span {
        self.value(key).map_or(self.name.span, |v| v.span)
    }

    /// What the builder wrote for a key, quotes and all, or what stands in for it.
    pub fn written(&self, key: &str) -> String {
        match self.value(key) {
            Some(v) => v.written().trim_matches(['"', '\'']).to_string(),
            None => self.legal(key).and_then(|k| k.absent.value()).unwrap_or_default().to_string(),
        }
    }

    fn legal(&self, key: &str) -> Option<&'static Key> {
        self.legal.iter().copied().find(|k| k.name == key)
    }

    /// How the value of a key is written, for messages.
    pub fn form(&self, key: &str) -> String {
        self.legal(key).map(|k| k.form.describe()).unwrap_or_default()
    }

    fn value(&self, key: &str) -> Option<Value<'a>> {
        self.entries.iter().find(|e| e.key == key).map(|e| e.value)
    }

    fn subject(&self, key: &str) -> String {
        format!("`{key}` of {}", self.what)
    }

    /// The value of a key that is legal here; reports it if it is required and missing.
    fn look(&self, key: &str, found: &mut Found) -> Option<(&'static Key, Option<Value<'a>>)> {
        let legal = self.legal(key)?;
        let value = self.value(key);
        if value.is_none() && legal.absent == Absent::Required {
            if self.means(key) {
                return None;
            }
            let message = format!("{} has no `{key}`", self.what);
            found.push(
                Diagnostic::error("missing-key", message)
                    .label(self.name.span, format!("`{key}` is missing here"))
                    .help(format!("write `{key} = …`: {}; {}", legal.phrase(), legal.form.describe())),
            );
            return None;
        }
        Some((legal, value))
    }

    /// A quantity; `None` if it is wrong, or absent without a default.
    pub fn quantity<T: Quantity + PartialOrd>(&self, key: &str, found: &mut Found) -> Option<At<T>> {
        let (legal, value) = self.look(key, found)?;
        let Form::Quantity(range) = legal.form else { return None };
        match value {
            Some(v) => value::quantity(v, &range, &self.subject(key), found),
            None => T::parse(legal.absent.value()?).ok().map(|v| At::new(v, self.name.span)),
        }
    }

    /// Two quantities in brackets.
    pub fn pair<T: Quantity + PartialOrd>(&self, key: &str, found: &mut Found) -> Option<At<(T, T)>> {
        let (legal, value) = self.look(key, found)?;
        let Form::Pair(range) = legal.form else { return None };
        let (value, subject) = (value?, self.subject(key));
        let Some([a, b]) = value.as_list().and_then(|l| <[Value<'a>; 2]>::try_from(l).ok()) else {
            found.push(value.wrong_form(&subject, &legal.form));
            return None;
        };
        let a = value::quantity(a, &range, &subject, found);
        let b = value::quantity(b, &range, &subject, found);
        Some(At::new((a?.value, b?.value), value.span))
    }

    /// A voltage that may say AC or DC after its unit.
    pub fn supply_voltage<T: Quantity + PartialOrd>(
        &self,
        key: &str,
        found: &mut Found,
    ) -> Option<(At<T>, Option<&'a str>)> {
        let (legal, value) = self.look(key, found)?;
        let Form::SupplyVoltage(range) = legal.form else { return None };
        value::supply_voltage(value?, &range, &self.subject(key), found)
    }

    /// One word of a choice, or its default.
    pub fn word<T: Word>(&self, key: &str, found: &mut Found) -> Option<At<T>> {
        let (legal, value) = self.look(key, found)?;
        match value {
            Some(v) => value::word(v, &self.subject(key), &legal.form, found),
            None => T::from_word(legal.absent.value()?).map(|v| At::new(v, self.name.span)),
        }
    }

    /// A text, or its default.
    pub fn text(&self, key: &str, found: &mut Found) -> Option<At<String>> {
        let (legal, value) = self.look(key, found)?;
        let Some(v) = value else {
            return legal.absent.value().map(|text| At::new(text.to_string(), self.name.span));
        };
        let Some(text) = v.as_str() else {
            found.push(v.wrong_form(&self.subject(key), &legal.form));
            return None;
        };
        let text = At::new(text.trim().to_string(), v.span);
        value::check_text(&text, &self.subject(key), found).then_some(text)
    }

    /// A date in ISO 8601, or its default.
    pub fn date(&self, key: &str, found: &mut Found) -> Option<String> {
        let (legal, value) = self.look(key, found)?;
        match value {
            Some(v) => value::date(v, &self.subject(key), &legal.form, found),
            None => legal.absent.value().map(str::to_string),
        }
    }

    pub fn flag(&self, key: &str, found: &mut Found) -> Option<bool> {
        let (legal, value) = self.look(key, found)?;
        match value.map(|v| (v, v.de())) {
            Some((_, DeValue::Boolean(flag))) => Some(*flag),
            Some((v, _)) => {
                found.push(v.wrong_form(&self.subject(key), &legal.form));
                None
            }
            None => legal.absent.value().map(|text| text == "true"),
        }
    }

    pub fn count(&self, key: &str, found: &mut Found) -> Option<usize> {
        let (legal, value) = self.look(key, found)?;
        let Form::Count { most } = legal.form else { return None };
        let Some(v) = value else {
            return legal.absent.value().and_then(|text| text.parse().ok());
        };
        value::count(v, most, &self.subject(key), &legal.form, found)
    }

    /// One text.
    pub fn name(&self, key: &str, found: &mut Found) -> Option<At<&'a str>> {
        let (legal, value) = self.look(key, found)?;
        let v = value?;
        if v.as_str().is_none() {
            found.push(v.wrong_form(&self.subject(key), &legal.form));
        }
        v.as_str().map(|text| At::new(text, v.span))
    }

    /// One text or a list of them; at least one.
    pub fn names(&self, key: &str, found: &mut Found) -> Option<Vec<At<&'a str>>> {
        let (legal, value) = self.look(key, found)?;
        let v = value?;
        let texts: Option<Vec<_>> = match v.as_str() {
            Some(text) => Some(vec![At::new(text, v.span)]),
            None => v.as_list().and_then(|list| {
                list.into_iter().map(|item| item.as_str().map(|text| At::new(text, item.span))).collect()
            }),
        };
        let texts = texts.filter(|t| !t.is_empty());
        if texts.is_none() {
            found.push(v.wrong_form(&self.subject(key), &legal.form));
        }
        texts
    }

    /// Names with a text each; at least one. A dotted key is one name.
    pub fn settings(&self, key: &str, found: &mut Found) -> Option<Vec<(At<String>, At<&'a str>)>> {
        let (legal, value) = self.look(key, found)?;
        let v = value?;
        let mut settings = Vec::new();
        let right = v.as_table().is_some_and(|table| flatten(entries(table, v.source()), "", &mut settings));
        if !right || settings.is_empty() {
            found.push(v.wrong_form(&self.subject(key), &legal.form));
            return None;
        }
        Some(settings)
    }

    /// A list of quantities without a range of their own; empty if it is not written.
    pub fn sizes<T: Quantity>(&self, key: &str, found: &mut Found) -> Option<Vec<T>> {
        let (legal, value) = self.look(key, found)?;
        let Some(v) = value else { return Some(Vec::new()) };
        let Some(list) = v.as_list() else {
            found.push(v.wrong_form(&self.subject(key), &legal.form));
            return None;
        };
        let subject = self.subject(key);
        let unit = T::EXAMPLE.split_once(' ').map_or("", |(_, unit)| unit);
        let sizes: Vec<_> =
            list.iter().map(|v| value::parse(*v, unit, T::EXAMPLE, &subject, found)).collect();
        sizes.into_iter().collect()
    }

    /// A list of tables; empty if it is not written.
    pub fn tables(&self, key: &str, found: &mut Found) -> Option<Vec<Table<'a>>> {
        let (legal, value) = self.look(key, found)?;
        let Form::Tables(keys) = legal.form else { return None };
        let Some(v) = value else { return Some(Vec::new()) };
        let Some(list) = v.as_list() else {
            found.push(v.wrong_form(&self.subject(key), &legal.form));
            return None;
        };
        let what = |i: usize| format!("entry {} in {}", i + 1, self.subject(key));
        let tables: Vec<_> =
            list.into_iter().enumerate().map(|(i, v)| Table::open_entry(keys, what(i), v, found)).collect();
        tables.into_iter().collect()
    }

    /// The keys among these whose typical figure stands in.
    pub fn typical(&self) -> Vec<&'static str> {
        let stands_in = |k: &&&'static Key| matches!(k.absent, Absent::Typical(_)) && !self.has(k.name);
        self.legal.iter().filter(stands_in).map(|k| k.name).collect()
    }
}

/// The texts of a table by their full names; false if something in it is no text.
fn flatten<'a>(entries: Vec<Entry<'a>>, before: &str, into: &mut Vec<(At<String>, At<&'a str>)>) -> bool {
    entries.into_iter().fold(true, |right, entry| {
        let name = format!("{before}{}", entry.key);
        let table = entry.value.as_table();
        match (entry.value.as_str(), table) {
            (Some(text), _) => {
                into.push((At::new(name, entry.key_span), At::new(text, entry.value.span)));
                right
            }
            (None, Some(table)) => {
                let inner = self::entries(table, entry.value.source());
                flatten(inner, &format!("{name}."), into) && right
            }
            (None, None) => false,
        }
    })
}
