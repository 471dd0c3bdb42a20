use super::*;
use crate::source::SourceFile;
