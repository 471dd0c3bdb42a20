//! Which boxes come near a box: a grid of square cells over the page.

use crate::geom::{Point, Rect};

/// Side of a cell in millimetres; a word or a stretch of wire touches a few.
const CELL: f64 = 10.0;

/// Things in cells, named by their number.
pub struct Grid {
    columns: usize,
    rows: usize,
    cells: Vec<Vec<u32>>,
}

impl Grid {
    pub fn new(width: f64, height: f64) -> Grid {
        // A page is never larger than this many cells; a faulty size must not take all memory.
        let cells = |v: f64| ((v / CELL).ceil().clamp(1.0, 500.0)) as usize;
        let (columns, rows) = (cells(width), cells(height));
        Grid { columns, rows, cells: vec![Vec::new(); columns * rows] }
    }

    /// The cells a box touches; what lies off the page counts to the cells at its border.
    fn touched(&self, r: &Rect) -> impl Iterator<Item = usize> + use<> {
        let cell = |v: f64, n: usize| (v / CELL).floor().clamp(0.0, (n - 1) as f64) as usize;
        let of = |p: Point| (cell(p.x, self.columns), cell(p.y, self.rows));
        let ((x0, y0), (x1, y1), columns) = (of(r.min), of(r.max), self.columns);
        (y0..=y1).flat_map(move |y| (x0..=x1).map(move |x| y * columns + x))
    }

    pub fn insert(&mut self, id: usize, r: &Rect) {
        for cell in self.touched(r) {
            self.cells[cell].push(id as u32);
        }
    }

    /// The first thing in the cells the box touches of which something holds. It may be asked about
    /// a thing more than once; nothing is kept, which makes it the quick way to look.
    pub fn find_near(&self, r: &Rect, mut holds: impl FnMut(usize) -> bool) -> Option<usize> {
        self.touched(r).find_map(|c| self.cells[c].iter().map(|i| *i as usize).find(|i| holds(*i)))
    }

    /// Numbers of the things in the cells the box touches, ascending, each once.
    pub fn near(&self, r: &Rect) -> Vec<usize> {
        let mut ids: Vec<usize> =
            self.touched(r).flat_map(|c| self.cells[c].iter().map(|i| *i as usize)).collect();
        ids.sort_unstable();
        ids.dedup();
        ids
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_things_are_found_once_also_beyond_the_page() {
        let mut g = Grid::new(100.0, 100.0);
        g.insert(0, &Rect::new(0.0, 0.0, 35.0, 1.0));
        g.insert(1, &Rect::new(80.0, 80.0, 1.0, 1.0));
        g.insert(2, &Rect::new(150.0, 80.0, 1.0, 1.0));
        assert_eq!(g.near(&Rect::new(5.0, 0.0, 20.0, 5.0)), [0]);
        assert_eq!(g.near(&Rect::new(75.0, 75.0, 90.0, 9.0)), [1, 2]);
    }
}
