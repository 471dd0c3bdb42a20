//! The sheets of the wiring book, one file per kind.
//!
//! A book is drawn twice: the first time to learn how many sheets there are and where everything
//! stands, the second time with sheet numbers and cross-references filled in.

mod connections;
mod contents;
mod feeds;
mod pen;
mod routes;
mod strips;
mod supply;
mod throw_margins;
pub mod track_plan;
mod turnouts;
pub mod underside;

use crate::Design;
use crate::circuit::{NetKind, PartId};
use crate::draw::page::{Page, PageFormat, TitleBlock};
use crate::draw::scene::{Item, Role, Scene};
use crate::draw::text::{self, lettering};
use crate::geom::Point;
use crate::hardware::{TerminalRef, WireId};
use crate::parse::{BarId, PageSize, Port, TrainControl, TurnoutKind, WireFunction};
use crate::track::{Feed, Pole, ZoneId};
use std::collections::{BTreeMap, BTreeSet};

/// Draws the whole book. A draft is stamped as one on every sheet.
pub fn draw(design: &Design, draft: bool) -> Vec<Scene> {
    let first = Book::new(design, draft, Known::default()).bind();
    let known =
        Known { total: first.pages.len(), places: first.places, titles: first.titles, bodies: first.bodies };
    let book = Book::new(design, draft, known).bind();
    book.pages.into_iter().map(|p| p.scene).collect()
}

/// Draws one setting of the layout: the track plan with every rail in the feed that it is joined to,
/// and a table of the frogs.
pub fn state(design: &Design, state: &crate::proof::State, draft: bool) -> Vec<Scene> {
    // Drawn twice, as the book is: the second time the number of sheets is known.
    let once = |total: usize| {
        let mut book = Book::new(design, draft, Known { total, ..Known::default() });
        let format = book.format();
        let pages = track_plan::state::draw(design, state, format, &mut |slug, title, scale| {
            book.page(slug, title, scale)
        });
        pages.into_iter().map(|p| p.scene).collect::<Vec<_>>()
    };
    let first = once(0);
    if first.len() < 2 { first } else { once(first.len()) }
}

/// A thing that sheets refer to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Thing {
    Part(PartId),
    Terminal(TerminalRef),
    Bar(BarId),
}

/// What draws sheets on framed pages that it is given: slug, title, scale.
type Placed = fn(&Design, PageFormat, &mut dyn FnMut(&str, &str, &str) -> Page) -> Vec<Page>;

/// What is on a sheet inside its frame.
#[derive(Clone)]
struct Body {
    /// Number of the first sheet of its kind.
    drawn_from: usize,
    slug: String,
    title: String,
    scale: String,
    items: Vec<Item>,
}

/// What the first drawing found out.
#[derive(Default)]
struct Known {
    total: usize,
    places: BTreeMap<Thing, String>,
    titles: Vec<(usize, String)>,
    bodies: Vec<Body>,
}

/// The book while it is drawn.
pub(super) struct Book<'a> {
    design: &'a Design,
    draft: bool,
    known: Known,
    pages: Vec<Page>,
    places: BTreeMap<Thing, String>,
    titles: Vec<(usize, String)>,
    bodies: Vec<Body>,
    /// Wires that some sheet shows.
    drawn: BTreeSet<WireId>,
    /// Wire labels have one size all through the book.
    label_size: f64,
}

impl<'a> Book<'a> {
    fn new(design: &'a Design, draft: bool, known: Known) -> Book<'a> {
        Book {
            design,
            draft,
            known,
            pages: Vec::new(),
            places: BTreeMap::new(),
            titles: Vec::new(),
            bodies: Vec::new(),
            drawn: BTreeSet::new(),
            label_size: label_size(design),
        }
    }

    fn bind(mut self) -> Book<'a> {
        contents::draw(&mut self);
        self.plan();
        supply::draw(&mut self);
        throw_margins::draw(&mut self);
        turnouts::draw(&mut self);
        routes::draw(&mut self);
        feeds::draw(&mut self);
        self.underside();
        connections::draw(&mut self);
        strips::draw(&mut self);
        self
    }

    fn plan(&mut self) {
        self.placed(track_plan::track_plan);
    }

    fn underside(&mut self) {
        self.placed(underside::underside);
    }

    /// Sheets whose things have to find their places among one another. That takes time and depends
    /// on no sheet number: the second drawing takes them over from the first.
    fn placed(&mut self, draw: Placed) {
        let (design, format) = (self.design, self.format());
        let from = self.titles.len() + 1;
        let kept: Vec<Body> = self.known.bodies.iter().filter(|b| b.drawn_from == from).cloned().collect();
        if !kept.is_empty() {
            for body in kept {
                let mut page = self.page(body.slug, body.title, &body.scale);
                page.scene.items.extend(body.items);
                self.pages.push(page);
            }
            return;
        }
        let mut frames = Vec::new();
        let pages = draw(design, format, &mut |slug, title, scale| {
            let page = self.page(slug, title, scale);
            frames.push((page.scene.items.len(), scale.to_owned()));
            page
        });
        for (page, (frame, scale)) in pages.iter().zip(frames) {
            self.bodies.push(Body {
                drawn_from: from,
                slug: page.scene.slug.clone(),
                title: page.scene.title.clone(),
                scale,
                items: page.scene.items[frame..].to_vec(),
            });
        }
        self.pages.extend(pages);
    }

    fn format(&self) -> PageFormat {
        match self.design.document.layout.page {
            PageSize::A4 => PageFormat::A4,
            PageSize::A3 => PageFormat::A3,
            PageSize::Letter => PageFormat::Letter,
        }
    }

    /// A new framed page at the end of the book, which is added with [`Book::add`].
    fn page(&mut self, slug: impl Into<String>, title: impl Into<String>, scale: &str) -> Page {
        let layout = &self.design.document.layout;
        let title = title.into();
        let sheet = self.titles.len() + 1;
        self.titles.push((sheet, title.clone()));
        let block = TitleBlock {
            title,
            layout: layout.name.value.clone(),
            sheet,
            of: self.known.total.max(sheet),
            revision: layout.revision.clone(),
            date: layout.date.clone(),
            scale: scale.to_owned(),
        };
        Page::new(self.format(), slug, &block, self.draft)
    }

    /// Adds a finished page. Wires are painted first, dots and texts last: whatever was drawn in
    /// which order, symbols stand on their wires and nothing covers a word.
    fn add(&mut self, mut page: Page) {
        page.scene.items.sort_by_key(|item| match item {
            Item::Path(p) if matches!(p.role, Role::Wire { .. }) => 0,
            Item::Circle { role: Role::Junction { .. }, .. } => 2,
            Item::Text(_) => 3,
            _ => 1,
        });
        self.pages.push(page);
    }

    /// Remembers where a thing stands on the page being drawn; the first place counts.
    fn place(&mut self, thing: Thing, page: &Page, at: Point) {
        let sheet = self.titles.len();
        self.places.entry(thing).or_insert_with(|| format!("{sheet}/{}", page.zone_of(at)));
    }

    /// Sheet and zone of a thing: "4/C3", or nothing while that is not known.
    fn reference(&self, thing: Thing) -> &str {
        self.known.places.get(&thing).map_or("", String::as_str)
    }
}

/// "left-hand", as seen from the toe.
fn hand(kind: TurnoutKind) -> &'static str {
    match kind {
        TurnoutKind::Left => "left-hand",
        TurnoutKind::Right => "right-hand",
        TurnoutKind::Wye => "wye",
        TurnoutKind::CurvedLeft => "curved, left hand",
        TurnoutKind::CurvedRight => "curved, right hand",
        TurnoutKind::ThreeWay => "three-way",
        TurnoutKind::Diamond => "diamond crossing",
        TurnoutKind::SingleSlip => "single slip",
        TurnoutKind::DoubleSlip => "double slip",
    }
}

/// Whether a port lies on its turnout's own line.
fn is_level(port: Port) -> bool {
    matches!(port, Port::Toe | Port::Straight | Port::Outer | Port::A | Port::B)
}

/// Whether a port lies at the end from which a turnout's heading is reckoned.
fn is_toe_end(port: Port) -> bool {
    matches!(port, Port::Toe | Port::A | Port::C)
}

/// What the wires of a feed are for; without one, those of a frog.
fn track_function(design: &Design, feed: Option<Feed>) -> WireFunction {
    let dcc = *design.document.layout.control == TrainControl::Dcc;
    feed.map_or(WireFunction::Other, |feed| NetKind::Track(Pole { zone: ZoneId(0), feed }).function(dcc))
}

/// The size of names, if the longest label fits between two columns of a turnout's band with it;
/// otherwise the smallest.
fn label_size(design: &Design) -> f64 {
    const ROOM: f64 = 18.8;
    let longest = design.wiring.wires.iter().map(|w| text::width(&w.label(), lettering::BODY, false));
    if longest.fold(0.0, f64::max) <= ROOM { lettering::BODY } else { lettering::SMALL }
}
