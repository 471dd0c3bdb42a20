//! Single values of the file: what they are, and what is wrong with them.

use toml::Spanned;
use toml::de::DeValue;

use super::form::{Form, Range};
use super::reader::Found;
use super::words::Word;
use super::{lettering, near};
use crate::diag::Diagnostic;
use crate::source::{At, Span};
use crate::units::{Quantity, QuantityError, Volts};

/// A value with its place in the file.
#[derive(Clone, Copy)]
pub struct Value<'a> {
    value: &'a DeValue<'a>,
    pub span: Span,
    source: &'a str,
}

impl<'a> Value<'a> {
    pub fn new(value: &'a Spanned<DeValue<'_>>, source: &'a str) -> Value<'a> {
        Value { value: value.get_ref(), span: value.span().into(), source }
    }

    pub fn de(&self) -> &'a DeValue<'a> {
        self.value
    }

    pub fn source(&self) -> &'a str {
        self.source
    }

    /// As the builder wrote it.
    pub fn written(&self) -> &'a str {
        self.source.get(self.span.range()).unwrap_or_default()
    }

    pub fn as_str(&self) -> Option<&'a str> {
        self.value.as_str()
    }

    pub fn as_table(&self) -> Option<&'a toml::de::DeTable<'a>> {
        self.value.as_table()
    }

    pub fn is_table(&self) -> bool {
        self.value.is_table()
    }

    pub fn is_array(&self) -> bool {
        self.value.is_array()
    }

    pub fn as_list(&self) -> Option<Vec<Value<'a>>> {
        let array = self.value.as_array()?;
        Some(array.iter().map(|v| Value::new(v, self.source)).collect())
    }

    fn is_number(&self) -> bool {
        matches!(self.value, DeValue::Integer(_) | DeValue::Float(_))
    }

    /// "this is a number", for a label.
    pub fn what(&self) -> &'static str {
        match self.value {
            DeValue::String(_) => "this is a text",
            DeValue::Integer(_) | DeValue::Float(_) => "this is a number",
            DeValue::Boolean(_) => "this is true or false",
            DeValue::Datetime(_) => "this is a date or a time",
            DeValue::Array(list) if list.is_empty() => "this list is empty",
            DeValue::Array(_) => "this is a list",
            DeValue::Table(_) => "this is a table",
        }
    }

    pub fn wrong_form(&self, subject: &str, form: &Form) -> Diagnostic {
        Diagnostic::error("wrong-form", format!("{subject} is not in the right form"))
            .label(self.span, self.what())
            .help(format!("write {}", form.describe()))
    }
}

/// The longest text that labels and title block hold, in characters.
const LONGEST: usize = 80;

/// Refuses what cannot be printed on a label or in a title block, and warns of letters that the
/// printed font lacks.
pub fn check_text(text: &At<String>, subject: &str, found: &mut Found) -> bool {
    let message = if text.value.trim().is_empty() {
        format!("{subject} is empty")
    } else if text.value.chars().any(char::is_control) {
        format!("{subject} has characters in it that cannot be printed")
    } else if text.value.chars().count() > LONGEST {
        let length = text.value.chars().count();
        format!("{subject} is too long to be printed: {length} characters, where {LONGEST} are the most")
    } else {
        found.extend(lettering::missing(text, subject));
        return true;
    };
    let help = format!("write one line of not more than {LONGEST} characters");
    found.push(Diagnostic::error("unprintable-text", message).label(text.span, "here").help(help));
    false
}

/// A quantity that lies in the range.
pub fn quantity<T: Quantity + PartialOrd>(
    v: Value<'_>,
    range: &Range,
    subject: &str,
    found: &mut Found,
) -> Option<At<T>> {
    let quantity: T = parse(v, range.unit(), range.example, subject, found)?;
    in_range(quantity, v, range, subject, found).then(|| At::new(quantity, v.span))
}

/// A quantity of any size.
pub fn parse<T: Quantity>(
    v: Value<'_>,
    unit: &str,
    example: &str,
    subject: &str,
    found: &mut Found,
) -> Option<T> {
    let d = match v.as_str().map(T::parse) {
        Some(Ok(quantity)) => return Some(quantity),
        Some(Err(error)) => bad_quantity::<T>(v, error, unit, example, subject),
        None if v.is_number() => missing_unit::<T>(v, v.written(), unit, subject),
        None => Diagnostic::error("wrong-form", format!("{subject} must be {}", T::WHAT))
            .label(v.span, v.what())
            .help(format!("write it with its unit in quotes, as in \"{example}\"")),
    };
    found.push(d);
    None
}

fn missing_unit<T: Quantity>(v: Value<'_>, number: &str, unit: &str, subject: &str) -> Diagnostic {
    Diagnostic::error("missing-unit", format!("{subject} is a number without a unit"))
        .label(v.span, format!("{} needs its unit, in quotes", T::WHAT))
        .help(format!("if you mean {unit}, write"))
        .replacement(format!("\"{} {unit}\"", number.trim().replace('_', "")))
}

fn bad_quantity<T: Quantity>(
    v: Value<'_>,
    error: QuantityError,
    unit: &str,
    example: &str,
    subject: &str,
) -> Diagnostic {
    let help = format!("write {} such as \"{example}\"", T::WHAT);
    match error {
        QuantityError::MissingUnit => missing_unit::<T>(v, v.as_str().unwrap_or_default(), unit, subject),
        QuantityError::NotANumber => {
            let grouped = v.as_str().is_some_and(|t| t.contains([',', ' ']) && t.contains(char::is_numeric));
            let marks = if grouped { "; no comma or blank between thousands" } else { "" };
            Diagnostic::error("not-a-number", format!("{subject} cannot be read"))
                .label(v.span, format!("{} is a number and its unit", T::WHAT))
                .help(help + marks)
        }
        QuantityError::WrongUnit(unit) => {
            Diagnostic::error("wrong-unit", format!("{subject} has a unit that does not fit"))
                .label(v.span, format!("`{}` is not a unit of {}", unit.escape_debug(), T::WHAT))
                .help(help)
        }
    }
}

fn in_range<T: Quantity + PartialOrd>(
    quantity: T,
    v: Value<'_>,
    range: &Range,
    subject: &str,
    found: &mut Found,
) -> bool {
    let (least, most) = (T::parse(range.least), T::parse(range.most));
    let high_enough = least.map_or(true, |least| quantity >= least);
    let low_enough = most.map_or(true, |most| quantity <= most);
    if high_enough && low_enough {
        return true;
    }
    if is_dangerous(quantity) {
        found.push(dangerous(v, subject));
        return false;
    }
    let beyond = if high_enough {
        format!("more than {} is not believed", range.most)
    } else {
        format!("less than {} is not believed", range.least)
    };
    found.push(
        Diagnostic::error("absurd-value", format!("{subject} cannot be right")).label(v.span, beyond).help(
            format!(
                "anything from {} to {} is believed; look at the unit and the decimal point",
                range.least, range.most
            ),
        ),
    );
    false
}

/// Whether this is a voltage that no part of a layout may have, of whatever kind: above 60 V even
/// direct current is not to be touched (IEC 61140).
fn is_dangerous<T: Quantity + PartialOrd>(quantity: T) -> bool {
    T::WHAT == Volts::WHAT && T::parse("60 V").is_ok_and(|most| quantity > most)
}

fn dangerous(v: Value<'_>, subject: &str) -> Diagnostic {
    Diagnostic::error("unsafe-voltage", format!("{subject} is dangerous to touch"))
        .label(v.span, "mains and other dangerous voltages never belong in this file or under a layout")
        .help(
            "write what an approved plug-in supply gives on its low side; the limits are 24 V AC \
             (supplies of toys, IEC 61558-2-7) and 60 V DC (bare parts, IEC 61140)",
        )
}

/// A whole number from 0 to `most`.
pub fn count(v: Value<'_>, most: usize, subject: &str, form: &Form, found: &mut Found) -> Option<usize> {
    let (why, label) = match v.de() {
        DeValue::Integer(n) => match usize::from_str_radix(n.as_str(), n.radix()) {
            Ok(n) if n <= most => return Some(n),
            _ if n.as_str().starts_with('-') => ("is below zero", "none is 0".into()),
            _ => ("cannot be right", format!("more than {most} is not believed")),
        },
        DeValue::Float(_) => ("must be whole", "a part of one is none".into()),
        _ => {
            found.push(v.wrong_form(subject, form));
            return None;
        }
    };
    let d = Diagnostic::error("wrong-form", format!("{subject} {why}")).label(v.span, label);
    found.push(d.help(format!("write {}", form.describe())));
    None
}

/// A voltage, and the word AC or DC after it.
pub fn supply_voltage<'a, T: Quantity + PartialOrd>(
    v: Value<'a>,
    range: &Range,
    subject: &str,
    found: &mut Found,
) -> Option<(At<T>, Option<&'a str>)> {
    let text = v.as_str().unwrap_or_default().trim_end();
    let cut = text.len().checked_sub(2).filter(|cut| text.is_char_boundary(*cut)).unwrap_or(text.len());
    let (volts, word) = text.split_at(cut);
    if !(word.eq_ignore_ascii_case("ac") || word.eq_ignore_ascii_case("dc")) {
        return quantity(v, range, subject, found).map(|at| (at, None));
    }
    let quantity = match T::parse(volts) {
        Ok(quantity) => quantity,
        Err(QuantityError::MissingUnit) => {
            let unit = format!("V {}", word.to_uppercase());
            found.push(missing_unit::<T>(v, volts, &unit, subject));
            return None;
        }
        Err(error) => {
            found.push(bad_quantity::<T>(v, error, range.unit(), range.example, subject));
            return None;
        }
    };
    in_range(quantity, v, range, subject, found).then(|| (At::new(quantity, v.span), Some(word)))
}

/// One word of a choice.
pub fn word<T: Word>(v: Value<'_>, subject: &str, form: &Form, found: &mut Found) -> Option<At<T>> {
    let Some(text) = v.as_str() else {
        found.push(v.wrong_form(subject, form));
        return None;
    };
    if let Some(value) = T::from_word(text) {
        return Some(At::new(value, v.span));
    }
    let legal = T::WORDS.iter().map(|(word, _, _)| *word);
    let message = format!("{subject} cannot be `{}`", text.escape_debug());
    let d = Diagnostic::error("unknown-word", message).label(v.span, "not one of the words known here");
    // A colour may be written as a word: its meaning leads to its code.
    let meant = T::WORDS.iter().find(|(_, _, meaning)| meaning.eq_ignore_ascii_case(text));
    found.push(match meant.map(|(word, _, _)| *word).or_else(|| near::nearest_word(text, legal)) {
        Some(near) => d.help(format!("did you mean \"{near}\"?")).replacement(format!("\"{near}\"")),
        None => d.help(format!("write {}", form.describe())),
    });
    None
}

/// A date, bare or in quotes.
pub fn date(v: Value<'_>, subject: &str, form: &Form, found: &mut Found) -> Option<String> {
    let read = match v.de() {
        DeValue::Datetime(d) => Some(*d),
        DeValue::String(text) => text.trim().parse::<toml::value::Datetime>().ok(),
        _ => None,
    };
    let date = read.and_then(|d| d.date).map(|d| d.to_string());
    if date.is_none() {
        found.push(match no_such_day(v.as_str().unwrap_or_default().trim()) {
            Some((message, label)) => Diagnostic::error("wrong-form", format!("{subject} {message}"))
                .label(v.span, label)
                .help("write year, month and day, such as 2026-05-02"),
            None => v.wrong_form(subject, form),
        });
    }
    date
}

/// What is wrong with a text that has the form of a date, for the message and its label.
pub fn no_such_day(text: &str) -> Option<(&'static str, String)> {
    let [year, month, day] = <[&str; 3]>::try_from(text.split('-').collect::<Vec<_>>()).ok()?;
    let figures = |part: &str, count: usize| {
        let right = part.len() == count && part.bytes().all(|b| b.is_ascii_digit());
        right.then(|| part.parse::<u32>().ok()).flatten()
    };
    let (_, month, day) = (figures(year, 4)?, figures(month, 2)?, figures(day, 2)?);
    match (month, day) {
        (1..=12, _) => Some(("has a wrong day", format!("this month has no day {day}"))),
        (_, 1..=12) => Some(("has a wrong month", format!("there is no month {month}; the day comes last"))),
        _ => Some(("has a wrong month", format!("there is no month {month}"))),
    }
}
