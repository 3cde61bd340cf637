//! Answers as text for people and as Markdown. Renderers see answers only.

mod back;
mod text;

pub use back::{difference_at, question_at};
pub use text::{markdown, ranking_at, ranking_markdown, text, text_at, tree_at};
