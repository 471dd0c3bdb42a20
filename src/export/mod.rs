//! Finished pictures to bytes. Nothing is decided here: every place, word and colour comes with the
//! scene. SVG and PDF share [`number`] and [`look`], so that they show the same picture.

pub mod look;
pub mod number;
pub mod pdf;
pub mod png;
pub mod svg;

#[cfg(test)]
mod gallery;
#[cfg(test)]
mod tests;
