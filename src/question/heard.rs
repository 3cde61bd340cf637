//! What words would say by themselves, whatever they are meant as.

use super::parse::{Clause, Coat, Order, TokenKind, parse_clauses};
use super::phrase::resolve_order;
use super::{Question, parse};
use crate::diagnostic::Problem;
use crate::model::{KindId, Model};
use crate::names::Names;
use crate::words::folded;

/// Words that say whose a thing is: `our dryer` may be another dryer than any, but no other sort of thing.
const OWN: [&str; 2] = ["our ", "my "];

/// Whether a text that is to name a thing of a kind says something else: as a question, of an ink, of a cloth, or
/// behind one of the words that begin a clause. Words that are understood but asked about say something too; with one
/// unknown word among them they do not,
/// unless one denies.
pub fn says_something_else(text: &str, kind: KindId, model: &Model, names: &Names) -> bool {
    let words = match parse(text) {
        Ok(Question::Loose(order)) => order,
        Ok(_) => return true,
        Err(problem) => return problem.code != "question::syntax",
    };
    let tokens = words.cloth.clone();
    if tokens.iter().any(|t| t.kind == TokenKind::Negation) {
        return true;
    }
    // That no ink is named with them is no matter here.
    let stack = vec![Coat { ink: tokens, clauses: Vec::new(), asked_for: true }];
    let ink = Order { stack, ..Order::default() };
    let behind = model.attributes.iter().filter_map(|a| a.clause.as_deref()).chain(["with"]);
    let clauses = behind.filter_map(|word| {
        let clauses: Vec<Clause> = parse_clauses(&format!("{word} {text}")).ok()?;
        Some(Order { clauses, ..Order::default() })
    });
    let own = OWN.iter().any(|o| folded(text).starts_with(o));
    let unknown = |p: &Problem| p.code.ends_with("::unknown-name");
    [words, ink].into_iter().chain(clauses).any(|order| match resolve_order(&order, model, names) {
        Ok(resolved) => resolved.stated.statements.iter().any(|s| {
            let same = s.attribute.of(model).and_then(|a| a.ty.members()) == Some(kind);
            !(own && same)
        }),
        Err(problems) => !problems.iter().any(unknown),
    })
}
