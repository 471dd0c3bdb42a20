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
    /// Of turnouts: what stands for several of them.
    composed: Vec<Composed>,
}

/// A composition, as far as names may refer to it.
pub struct Composed {
    /// "crossover"
    pub kind: &'static str,
    pub name: At<String>,
    /// Whether its parts are known for certain. If not, nothing can be said of a name.
    pub whole: bool,
    /// Its ends by their full names, each with the port that it is.
    pub ends: Vec<(String, TurnoutId, Port)>,
    pub sets: Vec<Set>,
}

/// Turnouts of a composition that one name stands for.
pub struct Set {
    pub name: String,
    pub turnouts: Vec<TurnoutId>,
    /// Whether they always stand alike.
    pub alike: bool,
}

/// The place of a turnout's first tie bar among all.
pub fn first_bar(kinds: &[Option<TurnoutKind>], turnout: usize) -> usize {
    kinds.iter().take(turnout).map(|k| k.map_or(1, |k| k.bars().len())).sum()
}

impl Names {
    pub fn of(section: &Section, tables: &[Table<'_>], root: &Root<'_>) -> Names {
        Names {
            kind: section.name,
            names: tables.iter().map(|t| t.name.clone()).collect(),
            known: root.is_readable(section),
            composed: Vec::new(),
        }
    }

    /// Adds the members of a composition and what else its names mean.
    pub fn compose(&mut self, members: impl Iterator<Item = At<String>>, composed: Composed) {
        self.names.extend(members);
        self.composed.push(composed);
    }

    /// Says that there may be more names, which could not be read.
    pub fn forget(&mut self) {
        self.known = false;
    }

    /// The composition whose name a text is, or begins with.
    fn composition(&self, text: &str) -> Option<&Composed> {
        let begins = |c: &&Composed| {
            text.strip_prefix(c.name.value.as_str())
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        self.composed.iter().filter(begins).max_by_key(|c| c.name.value.len())
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
        let first = |place: usize| first_bar(kinds, place);
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
                if together[place] {
                    found.push(bar_apart(at, turnout, self.span(place)));
                    return None;
                }
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
        if let Some(composed) = self.composition(at.value) {
            let set = composed.sets.iter().find(|s| s.name == at.value);
            if set.is_none() && composed.whole {
                found.push(composed.unknown_set(at));
            }
            return set.map(|s| s.turnouts.iter().map(|t| BarId(first(t.0))).collect());
        }
        self.report_unknown(at.value, at, |near| format!("\"{near}\""), found);
        None
    }

    /// The turnout with this name.
    pub fn turnout(&self, name: &str) -> Option<TurnoutId> {
        self.place(name).map(TurnoutId)
    }

    /// Whether what a name stands for lies in one position at a time: one bar, or several that
    /// always stand alike.
    pub fn stands_alike(&self, name: &str) -> bool {
        self.composed.iter().flat_map(|c| &c.sets).find(|s| s.name == name).is_none_or(|s| s.alike)
    }

    /// The kind of the turnout with this name.
    pub fn kind(&self, name: &str, kinds: &[Option<TurnoutKind>]) -> Option<TurnoutKind> {
        kinds.get(self.place(name)?).copied().flatten()
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
        let ends = self.composed.iter().flat_map(|c| &c.ends);
        if let Some((_, turnout, port)) = ends.into_iter().find(|(name, _, _)| name == text) {
            return Some(At::new(TrackEnd::Port(*turnout, *port), at.span));
        }
        // The last dot: a turnout's name may have dots of its own.
        let parts = text.rsplit_once('.').filter(|(turnout, _)| self.place(turnout).is_some());
        if let (None, Some(composed)) = (parts, self.composition(text)) {
            if composed.whole {
                found.push(composed.unknown_end(at));
            }
            return None;
        }
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

/// One bar of a slip whose bars must agree.
fn bar_apart(at: &At<&str>, turnout: &str, span: Span) -> Diagnostic {
    Diagnostic::error(
        "bars-apart",
        format!("the tie bars of `{turnout}` must lie alike, so one control throws both"),
    )
    .label(at.span, "throws one of them alone")
    .label(span, "its `blades` are \"both-agree\"")
    .help("give both one control; write")
    .replacement(format!("\"{turnout}\""))
}

impl Composed {
    fn unknown_end(&self, at: &At<&str>) -> Diagnostic {
        let (kind, name) = (self.kind, &self.name.value);
        let ends = || self.ends.iter().map(|(end, _, _)| end.as_str());
        let (message, label) = match at.value == name {
            true => (format!("`{name}` is a {kind}, which has several ends"), "which of them?"),
            false => (format!("{kind} `{name}` has no end `{}`", at.value.escape_debug()), "no such end"),
        };
        let d = Diagnostic::error("unknown-end", message)
            .label(at.span, label)
            .label(self.name.span, format!("a {kind}"));
        d.help(format!("its ends are {}", near::list(ends(), "and")))
    }

    fn unknown_set(&self, at: &At<&str>) -> Diagnostic {
        let (kind, name) = (self.kind, &self.name.value);
        let sets: Vec<&str> = self.sets.iter().map(|s| s.name.as_str()).collect();
        let (code, message, label) = match at.value == name {
            true => {
                let message = format!("the tie bars of {kind} `{name}` must not all be thrown together");
                ("which-bar", message, "which of them?")
            }
            false => {
                let message =
                    format!("{kind} `{name}` has nothing called `{}` to throw", at.value.escape_debug());
                ("unknown-name", message, "no such part")
            }
        };
        Diagnostic::error(code, message)
            .label(at.span, label)
            .label(self.name.span, format!("a {kind}"))
            .help(format!("write {} or the name of one of its turnouts", near::list(sets, "or")))
    }
}
