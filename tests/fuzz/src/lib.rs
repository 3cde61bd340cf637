//! What the targets share: knowledge that is made once, and what holds of every error and every reply.

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme};
use std::sync::OnceLock;
use washfast::Knowledge;
use washfast::diagnostic::{Problem, Problems};
use washfast::knowledge::Reply;
use washfast::question::{Pieces, parse};
use washfast::reason::decide::Options;
use washfast::source::{SourceFile, Span};

/// Little work, so that reading is tried and not deciding.
pub const LITTLE: Options = Options { budget: 20, assume: true, explore: false, rows: false, brief: false };

/// The built-in knowledge.
pub fn knowledge() -> &'static Knowledge {
    static MADE: OnceLock<Knowledge> = OnceLock::new();
    MADE.get_or_init(|| Knowledge::built_in().expect("the built-in knowledge").with_options(LITTLE))
}

/// A small world of tea and pots, with one file put in or in the place of one that it has.
pub fn small_world(name: &str, text: &str) -> Result<Knowledge, Problems> {
    macro_rules! files {
        ($($name:literal),*) => {
            [$(($name, include_str!(concat!("../../knowledge_errors/base/", $name)))),*]
        };
    }
    let base = files![
        "knowledge/units.yaml",
        "knowledge/vocabulary.yaml",
        "knowledge/sources.yaml",
        "knowledge/liquids/tea.yaml",
        "knowledge/liquids/infusion.yaml",
        "knowledge/vessels/pot.yaml"
    ];
    let kept = base.iter().filter(|f| f.0 != name);
    let files = kept.map(|f| SourceFile::new(f.0, f.1)).chain([SourceFile::new(name, text)]);
    Knowledge::from_files(files.collect()).map(|k| k.with_options(LITTLE))
}

/// Every problem says what is wrong, at places that are in its text, and can be drawn.
pub fn check_problems(problems: &Problems) {
    assert!(!problems.list().is_empty(), "wrong, but nothing is said");
    problems.list().iter().for_each(|p| check_drawn(p));
}

fn check_drawn(problem: &dyn Diagnostic) {
    assert!(!problem.to_string().trim().is_empty(), "an empty message: {problem:?}");
    assert!(problem.help().is_none_or(|h| !h.to_string().trim().is_empty()), "an empty help: {problem:?}");
    let source = problem.source_code().unwrap_or_else(|| panic!("no text: {problem:?}"));
    for label in problem.labels().into_iter().flatten() {
        let found = source.read_span(label.inner(), 0, 0).unwrap_or_else(|e| panic!("{e}: {problem:?}"));
        assert!(std::str::from_utf8(found.data()).is_ok(), "inside a character: {problem:?}");
    }
    for other in problem.related().into_iter().flatten() {
        check_drawn(other);
    }
    let mut drawn = String::new();
    let handler = GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor()).with_width(100);
    handler.render_report(&mut drawn, problem).expect("drawn");
}

/// A problem that has no text yet: its places are in this one.
pub fn check_problem(problem: &Problem, text: &str) {
    assert!(!problem.message.trim().is_empty(), "an empty message: {problem:?}");
    for (Span { start, end, .. }, _) in &problem.labels {
        let (start, end) = (*start as usize, *end as usize);
        // The end of the text is pointed at with one place beyond it.
        assert!(start <= end && end <= text.len() + 1, "beyond the text: {problem:?}");
        assert!(text.get(start..end.min(text.len())).is_some(), "inside a character: {problem:?}");
    }
}

/// A reply says something and can be written.
pub fn check_reply(reply: &Reply) {
    match reply {
        Reply::Answer(answer) => {
            assert!(["yes", "yes-if", "no", "depends"].contains(&answer.verdict));
            assert!(!answer.summary.trim().is_empty());
            assert!(!washfast::render::text(answer).trim().is_empty());
            serde_json::to_string(answer).expect("JSON");
        }
        Reply::Ranking(ranking) => {
            assert!(!washfast::render::ranking_at(ranking, 80).trim().is_empty());
        }
        Reply::Difference(difference) => {
            assert!(!washfast::render::difference_at(difference, 80).trim().is_empty());
            serde_json::to_string(difference).expect("JSON");
        }
        Reply::Ask(ask) => {
            assert!(!washfast::render::question_at(ask, 80).trim().is_empty());
            serde_json::to_string(ask).expect("JSON");
        }
        Reply::Page(lines) => assert!(!lines.is_empty()),
    }
}

/// The question that pieces make is read again, and to as many pieces.
pub fn check_pieces(pieces: &Pieces) {
    let text = pieces.text();
    if let Err(problem) = parse(&text) {
        assert_eq!(problem.code, "question::too-long", "{text:?}: {problem:?}");
    }
    let again = washfast::question::pieces(&text).map(|p| p.clauses.len());
    assert_eq!(again, Some(pieces.clauses.len()), "{text:?}: {pieces:?}");
}
