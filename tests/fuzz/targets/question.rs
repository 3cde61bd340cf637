//! Any text as a question, as clauses, as a phrase.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast::question::parse::{parse_clauses, parse_phrase};
use washfast::question::{parse, pieces};
use washfast_fuzz::{check_pieces, check_problem, check_problems, check_reply, knowledge};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    for problem in [parse(text).err(), parse_clauses(text).err(), parse_phrase(text).err()].iter().flatten() {
        check_problem(problem, text);
    }
    match knowledge().ask(text) {
        Ok(reply) => check_reply(&reply),
        Err(problems) => check_problems(&problems),
    }
    // Where ink and cloth come in any order, the ink is not found yet.
    // Small words of other languages, and set phrases, are read as our own.
    let own = knowledge().in_own_words(text);
    let found = parse(&own).ok().and_then(|_| pieces(&own)).filter(|p| !p.stack.is_empty());
    let Some(pieces) = found else { return };
    check_pieces(&pieces);
    // Put together, it says the same.
    let said = |question: &str| {
        let stated = knowledge().statements(question).ok()?;
        let each = stated.statements.into_iter().map(|s| (s.attribute, s.layer, format!("{:?}", s.domain)));
        Some((stated.layers, each.collect::<Vec<_>>()))
    };
    if let Some(first) = said(text)
        && pieces.text().len() < 2000
    {
        assert_eq!(Some(first), said(&pieces.text()), "{text:?} and {:?}", pieces.text());
    }
});
