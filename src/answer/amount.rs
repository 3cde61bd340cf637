//! Amounts of a job's sheet, by what they are called.

use super::{Answer, Quantity};

/// The verdict, the amounts whose names hold the first word of a question that any name holds, and what would have to
/// be said for more of them.
pub fn amounts_called(answer: &Answer, sought: &str) -> Vec<String> {
    let mut lines = vec![answer.summary.clone()];
    let Some(recipe) = &answer.recipe else {
        lines.push("  nothing is reckoned of what cannot be done as described".to_owned());
        return lines;
    };
    let called = |q: &Quantity, word: &str| {
        let name = q.text.split(':').next().unwrap_or_default().to_lowercase();
        name.split(|c: char| !c.is_alphanumeric()).any(|n| n == word)
    };
    let words = sought.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase);
    let found: Vec<&Quantity> = words
        .filter(|w| w.chars().count() > 3)
        .map(|word| recipe.quantities.iter().filter(|q| called(q, &word)).collect::<Vec<_>>())
        .find(|found| !found.is_empty())
        .unwrap_or_default();
    if found.is_empty() {
        lines.push(format!("  no `{}` can be reckoned from what was said", sought.trim()));
    }
    lines.extend(found.iter().map(|q| format!("  {} ({}) [{}]", q.text, q.why, q.basis)));
    lines.extend(recipe.asks.iter().map(|a| format!("  say also, and more can be reckoned: {}", a.ask)));
    lines
}
