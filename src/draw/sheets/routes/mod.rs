//! Routes: a table of them, and the matrix that joins their buttons to the lines of the turnouts.

mod matrix;
mod table;

use super::Book;

pub(super) fn draw(book: &mut Book) {
    if book.design.plan.routes.is_empty() {
        return;
    }
    table::draw(book);
    matrix::draw(book);
}
