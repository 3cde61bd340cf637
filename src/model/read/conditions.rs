//! Conditions with their names resolved, their types and dimensions checked.

use super::Reader;
use super::fields::inside;
use super::names::{Names, Type, bound, resolve, unknown_path};
use super::numbers::wrong_dimension;
use super::vocabulary::unknown_member;
use crate::condition::{Comparison, Condition, Term, Word, parse_condition};
use crate::diagnostic::Problem;
use crate::document::Node;
use crate::model::{
    AttributeId, AttributeType, Basis, Bound, Effect, Formula, Frame, KindId, Members, Model, Origin, Per, Place, Rule,
    Scope, Shape, SomeMember, Template, Test, TestKind,
};
use crate::source::Span;

/// Reads a condition from a node.
pub(super) fn condition(node: &Node, names: &Names, model: &Model, reader: &mut Reader) -> Option<Formula> {
    let written = super::fields::text(node, reader)?;
    formula(&written, inside(node.span, &written), names, model, &mut reader.problems)
}

/// The condition of a question that chooses among things, as a rule that marks those for which it holds. A bare
/// property is one of the subject: an attribute of a layer, or the name of a member of an attribute.
///
/// # Errors
/// Everything that is wrong with the condition.
pub fn where_rule(written: &str, span: Span, chosen: AttributeId, model: &Model) -> Result<Rule, Vec<Problem>> {
    let Some(attribute) = chosen.of(model) else { return Err(Vec::new()) };
    let mut scope = Scope { per: if attribute.per_layer { Per::Layer } else { Per::Job }, bounds: Vec::new() };
    let mut subject = attribute.name.clone();
    if let AttributeType::Blend(kind) | AttributeType::Set(kind) | AttributeType::Amounts(kind) = attribute.ty {
        subject = model.kinds.get(kind.index()).map_or(subject, |k| k.name.clone());
        scope.bounds.push(Bound { name: subject.clone(), kind, attribute: chosen, frame: Frame::Job, span });
    }
    let names = Names { subject: Some(subject), ..Names::of(&scope) };
    let mut problems = Vec::new();
    let formula = formula(written, span, &names, model, &mut problems);
    let (Some(formula), true) = (formula, problems.is_empty()) else { return Err(problems) };
    let origin = Origin { basis: Basis::CommonPractice, sources: Vec::new(), note: None, span, inherited: None };
    let text = Template::default();
    Ok(Rule {
        id: WHERE.to_owned(),
        was: Vec::new(),
        says: written.to_owned(),
        aspect: None,
        told: None,
        untouched: None,
        prevents: None,
        takes: Vec::new(),
        lays: Vec::new(),
        only_if_done: false,
        step: None,
        lasts: None,
        scope,
        formula,
        effect: Effect::Note { about: "advice".to_owned(), text },
        origin,
    })
}

/// The id of the rule that stands for `where`; no rule of the knowledge can have it.
pub const WHERE: &str = "where";

fn formula(written: &str, span: Span, names: &Names, model: &Model, problems: &mut Vec<Problem>) -> Option<Formula> {
    let parsed = match parse_condition(written, span) {
        Ok(parsed) => parsed,
        Err(problem) => {
            problems.push(problem);
            return None;
        }
    };
    let mut check = Check::new(names.clone(), model);
    let shape = check.shape(&parsed);
    let Check { tests, problems: found, .. } = check;
    let clean = found.is_empty();
    problems.extend(found);
    clean.then_some(Formula { shape, tests })
}

/// Both conditions together: `first and not second`.
pub(super) fn and_not(first: Formula, second: Formula) -> Formula {
    let shift = first.tests.len();
    let mut tests = first.tests;
    tests.extend(second.tests);
    let second = Shape::Not(Box::new(shifted(second.shape, shift)));
    Formula { shape: Shape::All(vec![first.shape, second]), tests }
}

fn shifted(shape: Shape, by: usize) -> Shape {
    match shape {
        Shape::Any(parts) => Shape::Any(parts.into_iter().map(|p| shifted(p, by)).collect()),
        Shape::All(parts) => Shape::All(parts.into_iter().map(|p| shifted(p, by)).collect()),
        Shape::Not(part) => Shape::Not(Box::new(shifted(*part, by))),
        Shape::Test(i) => Shape::Test(i + by),
    }
}

/// A condition or quantity expression in the making: the tests so far, and what is wrong with it.
pub(super) struct Check<'a> {
    pub(super) names: Names,
    pub(super) model: &'a Model,
    tests: Vec<Test>,
    pub(super) problems: Vec<Problem>,
}

impl<'a> Check<'a> {
    pub(super) fn new(names: Names, model: &'a Model) -> Self {
        Self { names, model, tests: Vec::new(), problems: Vec::new() }
    }

    fn shape(&mut self, condition: &Condition) -> Shape {
        match condition {
            Condition::Any(parts) => Shape::Any(parts.iter().map(|p| self.shape(p)).collect()),
            Condition::All(parts) => Shape::All(parts.iter().map(|p| self.shape(p)).collect()),
            Condition::Not(part) => Shape::Not(Box::new(self.shape(part))),
            Condition::Compare(left, comparison, right, span) => {
                let kind = self.compare(left, *comparison, right, *span);
                self.test(kind, *span, false)
            }
            Condition::Is { path, negated, class, name } => {
                let kind = self.is(path, *class, name);
                self.test(kind, path.span, *negated)
            }
            Condition::IsIn { path, negated, set } => {
                let kind = self.is_in(path, set);
                self.test(kind, path.span, *negated)
            }
            Condition::Has { path, negated, class, name } => {
                let kind = self.has(path, *class, name);
                self.test(kind, path.span, *negated)
            }
            Condition::Some { name, set, condition, span } => {
                let kind = self.some(name, set, condition, *span);
                self.test(kind, *span, false)
            }
            Condition::Stated(path) => {
                let kind = match self.place(&path.text) {
                    Some((Place::Attribute(id, frame), _)) if !id.is_derived(self.model) => {
                        Some(TestKind::Stated(id, frame))
                    }
                    Some((Place::Attribute(..), _)) => {
                        let message = format!("`{}` is derived by rules, so nobody states it", path.text);
                        let problem = Problem::new("condition::wrong-type", path.span, "here", message);
                        self.problems.push(problem.help("ask for what the rules derive it from"));
                        None
                    }
                    _ => {
                        self.unknown(path, "an attribute of the job");
                        None
                    }
                };
                self.test(kind, path.span, false)
            }
            Condition::Holds(path) => {
                let kind = match self.place(&path.text) {
                    Some((place, Type::YesNo)) => Some(TestKind::Holds(place)),
                    Some((_, other)) => {
                        self.problems.push(
                            Problem::new(
                                "condition::wrong-type",
                                path.span,
                                "here",
                                format!("`{}` is {}, not a yes/no", path.text, other.words()),
                            )
                            .help("compare it with something"),
                        );
                        None
                    }
                    None => {
                        self.unknown(path, "a yes/no");
                        None
                    }
                };
                self.test(kind, path.span, false)
            }
        }
    }

    fn test(&mut self, kind: Option<TestKind>, span: Span, negated: bool) -> Shape {
        let Some(kind) = kind else {
            return Shape::All(Vec::new());
        };
        self.tests.push(Test { kind, span });
        let test = Shape::Test(self.tests.len() - 1);
        if negated { Shape::Not(Box::new(test)) } else { test }
    }

    pub(super) fn unknown(&mut self, word: &Word, wanted: &str) {
        // Looking for near names costs time; nobody needs them for more in one condition.
        if self.problems.len() >= 20 {
            return;
        }
        self.problems.push(unknown_path(word, wanted, &self.names, self.model));
    }

    fn compare(&mut self, left: &Term, comparison: Comparison, right: &Term, span: Span) -> Option<TestKind> {
        // A number without a unit takes the dimension of the other side.
        let bare = |t: &Term| matches!(t, Term::Quantity { unit: None, .. });
        let (left, right) = if bare(left) {
            let right = self.number(right, None)?;
            (self.number(left, Some(right.1))?, right)
        } else {
            let left = self.number(left, None)?;
            let right = self.number(right, Some(left.1))?;
            (left, right)
        };
        if left.1 != right.1 {
            self.problems.push(wrong_dimension(span, right.1, left.1, self.model));
            return None;
        }
        Some(TestKind::Compare(left.0, comparison, right.0))
    }

    fn is(&mut self, path: &Word, class: bool, name: &Word) -> Option<TestKind> {
        let (place, kind) = match self.place(&path.text) {
            Some((place, Type::Choice(kind))) => (place, kind),
            Some((_, other)) => {
                self.problems.push(Problem::new(
                    "condition::wrong-type",
                    path.span,
                    "here",
                    format!("`{}` is {}, not a choice", path.text, other.words()),
                ));
                return None;
            }
            None => {
                self.unknown(path, "a choice");
                return None;
            }
        };
        match self.model.entity(kind, &name.text) {
            Some(e) if class || e.ordinal.is_some() => Some(TestKind::OneOf(place, e.members)),
            Some(_) => {
                self.problems.push(
                    Problem::new("condition::class", name.span, "here", format!("`{}` is a class", name.text))
                        .help(format!("write `is {} {}`", article(&name.text), name.text)),
                );
                None
            }
            None => {
                self.problems.push(unknown_member(&name.text, name.span, kind, self.model, true));
                None
            }
        }
    }

    fn is_in(&mut self, path: &Word, set: &Word) -> Option<TestKind> {
        let choice = self.place(&path.text);
        let among = self.place(&set.text);
        match (choice, among) {
            (Some((place, Type::Choice(a))), Some((among, Type::Set(b) | Type::Many(b)))) if a == b => {
                Some(TestKind::InSet(place, among))
            }
            (None, _) => {
                self.unknown(path, "a choice");
                None
            }
            (_, None) => {
                self.unknown(set, "a set");
                None
            }
            _ => {
                self.problems.push(Problem::new(
                    "condition::wrong-type",
                    path.span,
                    "here",
                    format!("`{}` and `{}` are no choice and set of one kind", path.text, set.text),
                ));
                None
            }
        }
    }

    fn has(&mut self, path: &Word, _class: bool, name: &Word) -> Option<TestKind> {
        let (place, kind) = match self.place(&path.text) {
            Some((place, Type::Set(kind) | Type::Many(kind))) => (place, kind),
            _ => {
                self.unknown(path, "a blend, amounts or set");
                return None;
            }
        };
        let members = self.members(name, kind)?;
        Some(TestKind::Has(place, members))
    }

    pub(super) fn members(&mut self, name: &Word, kind: KindId) -> Option<Members> {
        let bound = self.names.bounds.iter().enumerate().find(|(_, b)| b.name == name.text && b.kind == kind);
        match (bound, self.model.entity(kind, &name.text)) {
            (Some((_, bound)), Some(_)) => {
                self.problems.push(
                    Problem::new(
                        "condition::name-of-two",
                        name.span,
                        "here",
                        format!("`{}` is both a bound name and an id", name.text),
                    )
                    .also(bound.span, "bound here")
                    .help("bind another name"),
                );
                None
            }
            (Some((i, _)), None) => Some(Members::Bound(i)),
            (None, Some(e)) => Some(Members::Any(e.members)),
            (None, None) => {
                self.problems.push(unknown_member(&name.text, name.span, kind, self.model, true));
                None
            }
        }
    }

    fn some(&mut self, name: &Word, set: &Word, condition: &Condition, span: Span) -> Option<TestKind> {
        let mut reader = Reader { documents: Vec::new(), problems: Vec::new(), names: Vec::new() };
        let bound = bound(name, set, &self.names, self.model, &mut reader);
        self.problems.extend(reader.problems);
        let bound = bound?;
        let outer = self.names.bounds.len();
        let mut names = self.names.clone();
        names.bounds.push(bound.clone());
        let mut check = Check::new(names, self.model);
        let shape = check.shape(condition);
        let Check { tests, problems, .. } = check;
        self.problems.extend(problems);
        Some(TestKind::Some(Box::new(SomeMember { bound, outer, formula: Formula { shape, tests }, span })))
    }

    pub(super) fn place(&self, path: &str) -> Option<(Place, Type)> {
        let subject = |s: &String| resolve(&format!("{s}.{path}"), &self.names, self.model);
        resolve(path, &self.names, self.model).or_else(|| self.names.subject.as_ref().and_then(subject))
    }
}

/// `a` or `an`.
fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}
