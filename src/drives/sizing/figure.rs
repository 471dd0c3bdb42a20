//! A figure with its working.

/// A computed value and everything needed to check it by hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it belongs to: "points", "motors", "servos", "track".
    pub part: &'static str,
    pub name: String,
    pub value: String,
    /// Name and value of each input.
    pub inputs: Vec<(String, String)>,
    pub formula: &'static str,
    /// Standard, handbook, or "common practice, no source".
    pub source: &'static str,
    /// What it leaves out, or which inputs are typical rather than measured.
    pub note: String,
}

impl Figure {
    pub fn new(part: &'static str, name: impl Into<String>, value: impl ToString) -> Figure {
        Figure {
            part,
            name: name.into(),
            value: value.to_string(),
            inputs: Vec::new(),
            formula: "",
            source: "",
            note: String::new(),
        }
    }

    pub fn input(mut self, name: impl Into<String>, value: impl ToString) -> Figure {
        self.inputs.push((name.into(), value.to_string()));
        self
    }

    pub fn by(mut self, formula: &'static str, source: &'static str) -> Figure {
        self.formula = formula;
        self.source = source;
        self
    }

    pub fn note(mut self, note: impl Into<String>) -> Figure {
        self.note = note.into();
        self
    }
}
