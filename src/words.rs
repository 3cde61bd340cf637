//! Words as people type them: folded so that case, punctuation and hyphens do not matter.

/// Lower case, with everything that is no letter, digit, `%`, `/`, `.` or `&` turned into single spaces.
///
/// ```
/// assert_eq!(washfast::words::folded("Low-cure  Plastisol"), "low cure plastisol");
/// ```
pub fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        if c.is_alphanumeric() || matches!(c, '%' | '/' | '.' | '&') {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with(' ') {
            out.push(' ');
        }
    }
    out.truncate(out.trim_end().len());
    out
}
