//! The layout file as text, and places in it.

/// A stretch of the layout file, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    pub start: usize,
    pub end: usize,
}

impl From<std::ops::Range<usize>> for Span {
    fn from(r: std::ops::Range<usize>) -> Span {
        Span { start: r.start, end: r.end }
    }
}

impl Span {
    pub fn range(self) -> std::ops::Range<usize> {
        self.start..self.end
    }
}

/// A layout file that has been read: its name as the builder gave it, and its text.
#[derive(Clone, Debug)]
pub struct SourceFile {
    pub name: String,
    pub text: String,
}

impl SourceFile {
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> SourceFile {
        SourceFile { name: name.into(), text: text.into() }
    }

    /// Line and column (both from 1, the column in characters) of a byte offset.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let before = &self.text[..offset];
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        (line, column)
    }
}

/// A value together with the place in the file that says so.
#[derive(Clone, Debug, PartialEq)]
pub struct At<T> {
    pub value: T,
    pub span: Span,
}

impl<T> At<T> {
    pub fn new(value: T, span: Span) -> At<T> {
        At { value, span }
    }
}

impl<T> std::ops::Deref for At<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_and_in_characters() {
        let f = SourceFile::new("x", "a\nµb = 1\n");
        assert_eq!(f.line_column(0), (1, 1));
        assert_eq!(f.line_column(2), (2, 1));
        assert_eq!(f.line_column(4), (2, 2));
        assert_eq!(f.line_column(999), (3, 1));
    }
}
