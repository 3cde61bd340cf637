//! The texts that knowledge and questions are read from, and places in them.
//!
//! Everything later keeps a [`Span`] instead of a line number; only messages turn spans into lines.

use std::sync::Arc;

/// The layer of what is built in. Every other layer is an overlay.
pub const BUILT_IN: &str = "built-in";

/// One text with the name it is shown under.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Path below the knowledge folder's parent, or a word such as `question`.
    pub name: Arc<str>,
    /// The whole text.
    pub text: Arc<str>,
    /// The layer it belongs to: `built-in`, or the name of an overlay.
    pub layer: Arc<str>,
}

impl SourceFile {
    /// A text under a name, in the built-in layer.
    pub fn new(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.into(), layer: BUILT_IN.into() }
    }

    /// Longer texts are refused: nothing that people write by hand is near it.
    pub const MAX_BYTES: usize = 4 * 1024 * 1024;

    /// A text from the bytes of a file, in the built-in layer. What is not UTF-8 becomes U+FFFD, which is refused
    /// with its place when the text is read.
    pub fn from_bytes(name: &str, bytes: &[u8]) -> Self {
        Self::new(name, &String::from_utf8_lossy(bytes))
    }

    /// The same text in an overlay, shown below the overlay's name.
    #[must_use]
    pub fn in_overlay(self, overlay: &str) -> Self {
        Self { name: format!("{overlay}/{}", self.name).into(), layer: overlay.into(), ..self }
    }

    /// Line and column (both from 1, in characters) of a byte offset.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let mut end = offset.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let before = &self.text[..end];
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        (line, column)
    }
}

/// A stretch of bytes in one of the texts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, serde::Serialize, serde::Deserialize)]
pub struct Span {
    /// Index of the text.
    pub file: u32,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A stretch inside this one, in bytes from its start. Of an empty one only the place is known.
    pub fn slice(self, start: usize, end: usize) -> Self {
        if self.start == self.end {
            return self;
        }
        Self { file: self.file, start: self.start + start as u32, end: self.start + end as u32 }
    }
}
