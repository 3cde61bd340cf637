//! Any text as a condition: of a question and of a rule; also as a rule's quantity and as what it ranges over.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast::model::parse_where;
use washfast::source::Span;
use washfast_fuzz::{check_problem, check_problems, check_reply, knowledge, small_world};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    let whole = Span { file: 0, start: 0, end: text.len() as u32 };
    for problem in parse_where(text, whole, knowledge().model()).err().iter().flatten() {
        check_problem(problem, text);
    }
    match knowledge().ask(&format!("plastisol on cotton where {text}")) {
        Ok(reply) => check_reply(&reply),
        Err(problems) => check_problems(&problems),
    }
    // A JSON text is a YAML text too.
    let quoted = serde_json::Value::from(text).to_string();
    let rule = |fields: String| format!("- {{rule: a, says: b, basis: common practice, {fields}}}");
    for fields in [
        format!("when: {quoted}, refuse: no"),
        format!("for: [{quoted}], refuse: no"),
        format!("bound: heat, at_most: {quoted}, because: no"),
        format!("when: drink is tea, refuse: {quoted}"),
    ] {
        if let Err(problems) = small_world("knowledge/rules/r.yaml", &rule(fields)) {
            check_problems(&problems);
        }
    }
});
