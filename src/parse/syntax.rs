//! Text that is not TOML, in words for people who never heard of it.
use super::reader::Found;
use crate::diag::Diagnostic;

pub fn explain(errors: &[toml::de::Error], found: Found, text: &str) -> Found {
    let _ = (text, found);
    errors
        .iter()
        .map(|e| Diagnostic::error("syntax", e.message()).label(e.span().unwrap_or(0..0).into(), "here"))
        .collect()
}
