//! What there is to say about reversing sections.

use super::{Rails, Reversing};
use crate::diag::Diagnostic;
use crate::parse::{Document, TrackId};

pub(super) fn of(document: &Document, rails: &Rails) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for section in &rails.reversing {
        let name = &rails[section.zone].name;
        if !section.ring.is_empty() {
            found.push(proposed(document, section, name));
        } else if !section.is_needed() {
            found.push(not_needed(document, section, name));
            continue;
        }
        found.extend(too_short(document, section, name));
    }
    found
}

fn names(document: &Document, tracks: &[TrackId]) -> String {
    let names: Vec<String> = tracks.iter().map(|t| format!("`{}`", *document[*t].name)).collect();
    names.join(" – ")
}

fn proposed(document: &Document, section: &Reversing, name: &str) -> Diagnostic {
    let (plural, form) = if section.ring.len() == 1 { ("", "forms") } else { ("s", "form") };
    let mut d = Diagnostic::note(
        "reversing-connection",
        format!(
            "a train can come back facing the other way: track{plural} {} {form} a reversing connection; \
             `{name}` is made the reversing section",
            names(document, &section.ring)
        ),
    );
    for track in &section.tracks {
        d = d.label(
            document[*track].span,
            "both rails are cut at both ends, and it is fed through a changeover",
        );
    }
    for track in section.ring.iter().filter(|t| !section.tracks.contains(t)) {
        d = d.label(document[*track].span, "on the way round");
    }
    d.help("to choose another, write [section.NAME] with feed = \"reversing\" and section = \"NAME\" at its tracks")
}

fn not_needed(document: &Document, section: &Reversing, name: &str) -> Diagnostic {
    let span = document.sections.get(section.zone.0).map(|s| s.span).unwrap_or_default();
    Diagnostic::error(
        "reversing-not-needed",
        format!("section `{name}` is to be reversing, but no train comes out of it facing the other way"),
    )
    .label(span, "all its borders fit one polarity")
    .help("give it feed = \"shared\", or correct which tracks lie in it")
}

fn too_short(document: &Document, section: &Reversing, name: &str) -> Option<Diagnostic> {
    let span = section.tracks.first().map(|t| document[*t].span)?;
    let Some(train) = &document.layout.longest_train else {
        return Some(
            Diagnostic::note(
                "reversing-section-length",
                format!(
                    "the reversing section `{name}` must be longer than the longest train, which is not given"
                ),
            )
            .label(span, "a train on both its borders at once shorts the feeds")
            .help("give longest-train = \"900 mm\" under [layout], and the `length` of the tracks"),
        );
    };
    match section.length {
        None => Some(
            Diagnostic::warning(
                "reversing-section-length",
                format!("the length of the reversing section `{name}` is not known"),
            )
            .label(span, "its `length` is not given")
            .help(format!("measure it: it must be longer than the longest train, {}", train.value)),
        ),
        Some(length) if length < train.value => Some(
            Diagnostic::error(
                "reversing-section-length",
                format!("the reversing section `{name}` is {length} long, shorter than the longest train"),
            )
            .label(span, "a train on both its borders at once shorts the feeds")
            .label(train.span, format!("{} long", train.value))
            .help(
                "put more tracks into the section ([section.NAME] with feed = \"reversing\"), or run shorter trains",
            ),
        ),
        Some(_) => None,
    }
}
