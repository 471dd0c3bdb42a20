//! Stands in for the sheets of the book.

use crate::Design;
use crate::draw::scene::Scene;

pub fn draw(_design: &Design, _draft: bool) -> Vec<Scene> {
    Vec::new()
}
