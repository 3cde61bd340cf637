//! Any text as a condition: of a question and of a rule; also as a rule's quantity and as what it ranges over.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast_fuzz::{check_problems, check_reply, knowledge, small_world};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    match knowledge().ask(&format!("which inks go on cotton where {text}")) {
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
