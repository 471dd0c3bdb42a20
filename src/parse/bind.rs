//! What the names in the file refer to.

use super::document::{BarId, Port, TrackEnd, TurnoutId, TurnoutKind};
use super::form::Section;
use super::near;
use super::reader::{Found, Table};
use super::root::Root;
use super::words::Word;
use crate::diag::Diagnostic;
use crate::source::{At, Span};

/// Words for an end that joins nothing.
pub const OPEN_ENDS: [(&str, TrackEnd); 2] =
    [("buffer", TrackEnd::Buffer), ("off the layout", TrackEnd::OffTheLayout)];

/// The names of one sort of table, in the order of the file. They are known before any table is
/// read, so that a place in this list is the place in the [`super::Document`].
pub struct Names {
    /// "turnout"
    kind: &'static str,
    names: Vec<At<String>>,
    /// Whether the names could be read. If not, nothing can be said of a name.
    known: bool,
}

impl Names {
    pub fn of(section: &Section, tables: &[Table<'_>], root: &Root<'_>) -> Names {
        Names {
            kind: section.name,
            names: tables.iter().map(|t| t.name.clone()).collect(),
            known: root.is_readable(section),
        }
    }

    /// Whether the names could be read.
    pub fn is_known(&self) -> bool {
        self.known
    }

    pub fn len(&self) -> usize {
        self.names.len()
    }

    /// The name at a place of the list; empty beyond its end.
    pub fn name(&self, place: usize) -> &str {
        self.names.get(place).map_or("", |n| n.value.as_str())
    }

    /// Where the name at a place of the list stands in the file.
    pub fn span(&self, place: usize) -> Span {
        self.names.get(place).map_or(Span::default(), |n| n.span)
    }

    fn place(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|n| n.value == name)
    }

    /// The place of the table with this name.
    pub fn bind(&self, name: &At<&str>, found: &mut Found) -> Option<At<usize>> {
        match self.place(name.value) {
            Some(place) => Some(At::new(place, name.span)),
            None => {
                self.report_unknown(name.value, name, |near| format!("\"{near}\""), found);
                None
            }
        }
    }

    fn report_unknown(&self, name: &str, at: &At<&str>, mend: impl Fn(&str) -> String, found: &mut Found) {
        if !self.known {
            return;
        }
        let kind = self.kind;
        let d = Diagnostic::error("unknown-name", format!("there is no {kind} `{}`", name.escape_debug()))
            .label(at.span, "not in this file");
        let names = || self.names.iter().map(|n| n.value.as_str());
        found.push(match near::nearest(name, names()) {
            Some(near) => d.help(format!("did you mean `{near}`?")).replacement(mend(near)),
            None if self.names.is_empty() => d.help(format!("the file has no {kind}; add `[{kind}.NAME]`")),
            None if self.names.len() <= 20 => d.help(format!("this file has {}", near::list(names(), "and"))),
            None => d.help(format!("give the name as it stands after `{kind}.` in the header")),
        });
    }

    /// The tie bars that a name stands for: "T1", or one of several as in "T5.left". `kinds` is by
    /// turnout; `together` tells which turnouts throw both of their bars at once.
    pub fn bars(
        &self,
        at: &At<&str>,
        kinds: &[Option<TurnoutKind>],
        together: &[bool],
        found: &mut Found,
    ) -> Option<Vec<BarId>> {
        let first =
            |place: usize| -> usize { kinds[..place].iter().map(|k| k.map_or(1, |k| k.bars().len())).sum() };
        if let Some(place) = self.place(at.value) {
            let kind = kinds.get(place).copied().flatten()?;
            return match kind.bars() {
                [] => {
                    let message = format!("turnout `{}` has no blades to throw", at.value);
                    found.push(
                        Diagnostic::error("no-blades", message)
                            .label(at.span, "nothing moves here")
                            .label(self.span(place), format!("its kind is `{}`", kind.word()))
                            .help("leave it out; what decides its road is told by `decided-by`"),
                    );
                    None
                }
                [_] => Some(vec![BarId(first(place))]),
                _ if together[place] => Some(vec![BarId(first(place)), BarId(first(place) + 1)]),
                bars => {
                    let names: Vec<String> = bars.iter().map(|b| format!("{}.{b}", at.value)).collect();
                    let message = format!("turnout `{}` has two tie bars", at.value);
                    found.push(
                        Diagnostic::error("which-bar", message).label(at.span, "which of them?").help(
                            format!(
                                "give each a control of its own: throws = \"{}\" and throws = \"{}\"",
                                names[0], names[1]
                            ),
                        ),
                    );
                    None
                }
            };
        }
        if let Some((turnout, bar)) = at.value.rsplit_once('.')
            && let Some(place) = self.place(turnout)
        {
            let kind = kinds.get(place).copied().flatten()?;
            if let Some(index) = kind.bars().iter().position(|b| *b == bar && !b.is_empty()) {
                return Some(vec![BarId(first(place) + index)]);
            }
            let message = format!("turnout `{turnout}` has no tie bar `{}`", bar.escape_debug());
            let d = Diagnostic::error("unknown-bar", message)
                .label(at.span, "no such tie bar")
                .label(self.span(place), format!("its kind is `{}`", kind.word()));
            found.push(match kind.bars() {
                [] => d.help("it has no blades; leave it out"),
                [_] => {
                    d.help("it has one tie bar; write its name alone").replacement(format!("\"{turnout}\""))
                }
                bars => d.help(format!("its tie bars are {}", near::list(bars.iter().copied(), "and"))),
            });
            return None;
        }
        self.report_unknown(at.value, at, |near| format!("\"{near}\""), found);
        None
    }

    /// A track's end: a turnout's port, or a word. `kinds` is by turnout; an unknown kind accepts
    /// any port.
    pub fn track_end(
        &self,
        at: &At<&str>,
        kinds: &[Option<TurnoutKind>],
        found: &mut Found,
    ) -> Option<At<TrackEnd>> {
        let text = at.value;
        if let Some((_, end)) = OPEN_ENDS.iter().find(|(word, _)| *word == text) {
            return Some(At::new(*end, at.span));
        }
        // The last dot: a turnout's name may have dots of its own.
        let Some((turnout, port)) = text.rsplit_once('.') else {
            found.push(self.not_an_end(at, &OPEN_ENDS.map(|(word, _)| word)));
            return None;
        };
        let Some(place) = self.place(turnout) else {
            self.report_unknown(turnout, at, |near| format!("\"{near}.{port}\""), found);
            return None;
        };
        let kind = kinds.get(place).copied().flatten();
        match (Port::from_word(port), kind) {
            (Some(port), None) => Some(At::new(TrackEnd::Port(TurnoutId(place), port), at.span)),
            (Some(port), Some(kind)) if kind.ports().contains(&port) => {
                Some(At::new(TrackEnd::Port(TurnoutId(place), port), at.span))
            }
            (_, kind) => {
                found.push(self.unknown_port(at, place, port, kind));
                None
            }
        }
    }

    fn not_an_end(&self, at: &At<&str>, ends: &[&'static str]) -> Diagnostic {
        let text = at.value;
        let message = format!("`{}` is not an end that a track can have", text.escape_debug());
        let d = Diagnostic::error("unknown-end", message);
        if self.place(text).is_some() {
            return d
                .label(at.span, "which of its ports?")
                .help(format!("write the port after a dot, as in \"{text}.toe\""));
        }
        let d = d.label(at.span, "neither a port nor a word known here");
        match near::nearest(text, ends.iter().copied()) {
            Some(near) => d.help(format!("did you mean \"{near}\"?")).replacement(format!("\"{near}\"")),
            None => d.help(
                "write a turnout and its port, as in \"T1.toe\", or \"buffer\" where the rails end, \
                 or \"off the layout\" where they go on",
            ),
        }
    }

    fn unknown_port(&self, at: &At<&str>, place: usize, port: &str, kind: Option<TurnoutKind>) -> Diagnostic {
        let name = self.name(place);
        let message = format!("turnout `{name}` has no port `{}`", port.escape_debug());
        let ports: Vec<&str> = match kind {
            Some(kind) => kind.ports().iter().map(|p| p.word()).collect(),
            None => Port::WORDS.iter().map(|(word, _, _)| *word).collect(),
        };
        let d = Diagnostic::error("unknown-port", message).label(at.span, "no such port");
        let d = match kind {
            Some(kind) => d.label(self.span(place), format!("its kind is `{}`", kind.word())),
            None => d,
        };
        let d = d.help(format!("its ports are {}", near::list(ports.iter().copied(), "and")));
        match near::nearest(port, ports) {
            Some(near) => d.replacement(format!("\"{name}.{near}\"")),
            None => d,
        }
    }
}
