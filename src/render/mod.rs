//! Answers as text for people and as Markdown. Renderers see answers only.

mod text;

pub use text::{markdown, ranking_at, ranking_markdown, text, text_at, tree_at};
