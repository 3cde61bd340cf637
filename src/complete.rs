//! What may come next while a question is typed: names where names are due, words of the language everywhere.

use crate::knowledge::Knowledge;
use crate::model::{Attribute, AttributeType, KindId};

/// Beginnings of questions.
const FORMS: [&str; 21] = [
    "can",
    "which inks go on",
    "which fabrics take",
    "how to print",
    "why not",
    "why did",
    "what would let",
    "what must I know for",
    "compare",
    "what cleans",
    "how much",
    "convert",
    "belt for",
    "prints an hour at",
    "what is",
    "show",
    "show rules about",
    "same but",
    "given shop has",
    "forget",
    "record",
];

/// Words that lead to what is said next.
const LEADS: [&str; 10] = ["on", "over", "with", "without", "using", "at", "for", "through", "where", "go on"];

/// Where the word at the end of a line begins, and what it may become.
///
/// ```
/// use washfast::{Knowledge, complete::complete};
/// let knowledge = Knowledge::built_in()?;
/// let (start, words) = complete(&knowledge, "plastisol on cotton using conv");
/// assert_eq!(start, 26);
/// assert!(words.iter().any(|w| w == "conveyor dryer"), "{words:?}");
/// // Only machines come after `using`.
/// assert!(complete(&knowledge, "plastisol on cotton using cotto").1.is_empty());
/// # Ok::<(), washfast::diagnostic::Problems>(())
/// ```
pub fn complete(knowledge: &Knowledge, line: &str) -> (usize, Vec<String>) {
    // A name may have several words: the longest beginning counts.
    let starts =
        line.char_indices().filter(|(i, _)| *i == 0 || line.get(..*i).is_some_and(|b| b.ends_with([' ', ','])));
    for (start, _) in starts {
        let (before, begun) = line.split_at(start);
        let begun = begun.to_lowercase();
        if begun.trim().is_empty() {
            continue;
        }
        let known = due(knowledge, before);
        let mut fitting: Vec<String> = known.into_iter().filter(|w| w.to_lowercase().starts_with(&begun)).collect();
        fitting.dedup();
        if !fitting.is_empty() {
            return (start, fitting);
        }
    }
    (line.len(), Vec::new())
}

/// The names and words that may stand after this.
fn due(knowledge: &Knowledge, before: &str) -> Vec<String> {
    let model = knowledge.model();
    let said: Vec<String> = before.split_whitespace().map(str::to_lowercase).collect();
    let lead =
        said.iter().rev().find(|w| LEADS.contains(&w.as_str()) || ["show", "is", "cleans"].contains(&w.as_str()));
    let kinds = |pick: &dyn Fn(&Attribute) -> bool| -> Vec<KindId> {
        model.attributes.iter().filter(|a| pick(a)).filter_map(|a| a.ty.members()).collect()
    };
    let several = |a: &Attribute| matches!(a.ty, AttributeType::Set(_) | AttributeType::Amounts(_));
    let wanted: Option<Vec<KindId>> = match lead.map(String::as_str) {
        Some("using") => Some(kinds(&|a| a.clause.as_deref() == Some("using"))),
        Some("with") => Some(kinds(&|a| several(a) && a.clause.is_none())),
        Some("without") => Some(kinds(&several)),
        Some("on") => Some(kinds(&|a| a.phrase.as_deref() == Some("fabric"))),
        Some("at" | "for" | "through" | "where") => Some(Vec::new()),
        Some("over") => Some(kinds(&|a| a.phrase.as_deref() == Some("ink"))),
        _ => None,
    };
    let own = |kind: &KindId| wanted.as_ref().is_none_or(|w| w.contains(kind));
    let entities = model.entities.iter().filter(|e| e.ordinal.is_some() && own(&e.kind));
    let mut words: Vec<String> = entities.flat_map(|e| std::iter::once(&e.name).chain(&e.aliases)).cloned().collect();
    if lead.map(String::as_str) == Some("where") {
        let ink = model.properties.iter().filter(|p| model.kind("ink") == Some(p.kind));
        words.extend(ink.map(|p| p.name.clone()));
    }
    words.sort_by_key(|w| (w.to_lowercase(), w.starts_with(char::is_uppercase)));
    words.dedup_by_key(|w| w.to_lowercase());
    let language: &[&str] = if said.is_empty() { &FORMS } else { &LEADS };
    words.extend(language.iter().map(|w| (*w).to_owned()));
    words
}
