pub(super) fn draw(_book: &mut super::Book) {}
