//! A composition taken apart: which turnouts and tracks it stands for. Nothing is bound yet.

use crate::parse::document::{Port, TurnoutKind};
use crate::parse::words::Hand;
use crate::units::Length;

/// A composition taken apart. Members are told by their place in the list; names lack that of the
/// composition and its dot.
#[derive(Default)]
pub struct Outline {
    pub members: Vec<Member>,
    pub links: Vec<Link>,
    /// Ends that tracks may join.
    pub ends: Vec<(String, usize, Port)>,
    /// What a control may throw besides single members.
    pub groups: Vec<Group>,
    /// One for each control that `with` asks for: its name, and the members it throws.
    pub controls: Vec<(String, Vec<usize>)>,
    /// Groups of which no two may be set at once, and the reason.
    pub exclusive: Option<(Vec<usize>, &'static str)>,
    /// Whether its parts are known for certain; if not, nothing can be said of a name.
    pub whole: bool,
}

pub struct Member {
    pub name: String,
    pub kind: TurnoutKind,
    /// `None`: not to be worked out.
    pub spot: Option<Spot>,
    /// Of a diamond: the member whose normal position means that road a–b is in use.
    pub decided_by: Option<usize>,
}

/// Where a member lies, seen from the composition's toe and along its heading, in millimetres.
#[derive(Clone, Copy)]
pub struct Spot {
    pub along: f64,
    pub left: f64,
    /// Whether it looks the other way.
    pub turned: bool,
}

pub struct Link {
    pub name: String,
    pub from: (usize, Port),
    pub to: (usize, Port),
    pub length: Option<Length>,
}

pub struct Group {
    /// Empty: the composition itself.
    pub name: &'static str,
    pub members: Vec<usize>,
    /// Whether its members always stand alike.
    pub alike: bool,
}

impl Outline {
    pub fn member(&mut self, name: impl Into<String>, hand: Hand, spot: Option<Spot>) -> usize {
        let kind = match hand {
            Hand::Left => TurnoutKind::Left,
            Hand::Right => TurnoutKind::Right,
        };
        self.members.push(Member { name: name.into(), kind, spot, decided_by: None });
        self.members.len() - 1
    }

    pub fn link(
        &mut self,
        name: impl Into<String>,
        from: (usize, Port),
        to: (usize, Port),
        length: Option<Length>,
    ) {
        self.links.push(Link { name: name.into(), from, to, length });
    }

    pub fn end(&mut self, name: impl Into<String>, member: usize, port: Port) {
        self.ends.push((name.into(), member, port));
    }
}
