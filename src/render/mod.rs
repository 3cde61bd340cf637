//! Answers as text for people and as Markdown. Renderers see answers only.

mod back;
#[cfg(feature = "command")]
mod page;
mod plan;
mod text;

pub use back::{difference_at, question_at};
#[cfg(feature = "command")]
pub use page::page;
pub use plan::{plan_at, plan_markdown};
pub use text::{markdown, ranking_at, ranking_markdown, text, text_at, tree_at};
