//! `[section]`: parts of the track with a feed of their own.

use crate::diag::Diagnostic;
use crate::parse::document::{Layout, Section, SectionFeed, TrainControl};
use crate::parse::reader::{Found, Table};
use crate::parse::words::Word;
use crate::source::{At, Span};

/// The sections; a file that describes none has one.
pub fn sections(tables: &[Table<'_>], layout: &Layout, found: &mut Found) -> Option<Vec<Section>> {
    if tables.is_empty() {
        let name = At::new("main".to_string(), Span::default());
        return Some(vec![Section { name, feed: SectionFeed::Shared, span: Span::default() }]);
    }
    let read: Vec<Option<Section>> = tables.iter().map(|t| section(t, layout, found)).collect();
    let sections: Vec<Section> = read.into_iter().collect::<Option<_>>()?;
    if sections.iter().all(|s| s.feed == SectionFeed::Reversing) {
        found.push(
            Diagnostic::error("missing-table", "every section is reversing; nothing feeds the rest")
                .label(sections[0].span, "this one, and all others")
                .help("describe the rest as well, first of all: `[section.main]`"),
        );
        return None;
    }
    Some(sections)
}

fn section(table: &Table<'_>, layout: &Layout, found: &mut Found) -> Option<Section> {
    let feed = table.word::<SectionFeed>("feed", found)?;
    let digital = matches!(feed.value, SectionFeed::District | SectionFeed::Booster);
    if digital && *layout.control == TrainControl::Dc {
        found.push(
            Diagnostic::error("section-does-not-fit", format!("{} needs DCC", table.what))
                .label(feed.span, format!("\"{}\" is for a layout with control = \"dcc\"", feed.word()))
                .help("write feed = \"shared\": each section of a DC layout has a switch of its own"),
        );
        return None;
    }
    Some(Section { name: table.name.clone(), feed: feed.value, span: table.name.span })
}
