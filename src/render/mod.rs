//! Answers as text for people and as Markdown. Renderers see answers only.

mod text;

pub use text::{markdown, text, text_at};
