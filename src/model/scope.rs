//! Conditions and texts with their names resolved, their types and dimensions checked.

use super::vocabulary::unknown_member;
use super::{
    AttributeId, AttributeType, Basis, Bound, Effect, End, Formula, Frame, KindId, Members, Model, Number, Origin, Per,
    Piece, Place, PropertyType, Reader, Role, Rule, Scope, Shape, SomeMember, Template, Test, TestKind,
};
use crate::condition::{Binding, Comparison, Condition, Term, Word, parse_binding, parse_condition, parse_term};
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::Node;
use crate::quantity::{Decimal, DimensionId};
use crate::source::Span;

/// The names that a condition may use besides the vocabulary's.
#[derive(Debug, Clone)]
pub(crate) struct Names {
    per: Per,
    bounds: Vec<Bound>,
    /// What a bare property is a property of, where a question chooses among things.
    subject: Option<String>,
}

impl Names {
    pub(super) fn of(scope: &Scope) -> Self {
        Self { per: scope.per, bounds: scope.bounds.clone(), subject: None }
    }

    /// Which layers are at hand.
    pub(super) fn per(&self) -> Per {
        self.per
    }

    /// The bound names.
    pub(super) fn bounds(&self) -> &[Bound] {
        &self.bounds
    }

    pub(super) fn for_attribute(per_layer: bool) -> Self {
        Self { per: if per_layer { Per::Layer } else { Per::Job }, bounds: Vec::new(), subject: None }
    }
}

/// Reads the entries of `for`.
pub(super) fn scope_of(entries: Vec<(String, Span)>, model: &Model, reader: &mut Reader) -> Scope {
    let mut scope = Scope::job();
    let mut each = Vec::new();
    for (written, span) in entries {
        match parse_binding(&written, inside(span, &written)) {
            Ok(Binding::Layers) => scope.per = Per::Layer,
            Ok(Binding::Pairs) => scope.per = Per::Pair,
            Ok(Binding::Each { name, set }) => each.push((name, set)),
            Err(problem) => {
                reader.report(problem.help("write `each layer`, `each pair of layers` or `each fibre in fabric`"))
            }
        }
    }
    for (name, set) in each {
        let names = Names::of(&scope);
        if let Some(bound) = bound(&name, &set, &names, model, reader) {
            scope.bounds.push(bound);
        }
    }
    scope
}

fn bound(name: &Word, set: &Word, names: &Names, model: &Model, reader: &mut Reader) -> Option<Bound> {
    if names.bounds.iter().any(|b| b.name == name.text) {
        let problem = Problem::new(
            "knowledge::bound-twice",
            name.span,
            "bound before",
            format!("`{}` is already the name of another element here", name.text),
        );
        reader.report(problem.help(format!("give this one a name of its own: other-{}", name.text)));
        return None;
    }
    let (attribute, frame, rest) = attribute_at(&set.text, names, model).unwrap_or((AttributeId(0), Frame::Job, "?"));
    let kind = match attribute.of(model).map(|a| a.ty) {
        Some(AttributeType::Blend(k) | AttributeType::Amounts(k) | AttributeType::Set(k)) if rest.is_empty() => k,
        _ => {
            reader.report(unknown_path(set, "a blend, amounts or set attribute", names, model));
            return None;
        }
    };
    Some(Bound { name: name.text.clone(), kind, attribute, frame })
}

/// The place of a scalar's text. Where it does not stand as it is, over several lines or with escapes, only the
/// beginning is known.
fn inside(span: Span, text: &str) -> Span {
    let verbatim = span.end.saturating_sub(span.start) as usize == text.len();
    if verbatim { span } else { Span { end: span.start, ..span } }
}

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
        scope.bounds.push(Bound { name: subject.clone(), kind, attribute: chosen, frame: Frame::Job });
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
        prevents: None,
        takes: Vec::new(),
        only_if_done: false,
        step: None,
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
    let mut check = Check { names: names.clone(), model, tests: Vec::new(), problems: Vec::new() };
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

/// Reads a quantity expression that must be of a dimension.
pub(super) fn number(
    node: &Node,
    dimension: DimensionId,
    names: &Names,
    model: &Model,
    reader: &mut Reader,
) -> Option<Number> {
    let written = super::fields::text(node, reader)?;
    let parsed = match parse_term(&written, inside(node.span, &written)) {
        Ok(parsed) => parsed,
        Err(problem) => {
            reader.report(problem.help("write a quantity such as `layer.ink.cure_min - 5 K`"));
            return None;
        }
    };
    let mut check = Check { names: names.clone(), model, tests: Vec::new(), problems: Vec::new() };
    let found = check.number(&parsed, Some(dimension));
    let mut problems = check.problems;
    if let Some((_, d)) = &found
        && problems.is_empty()
        && *d != dimension
    {
        problems.push(wrong_dimension(node.span, *d, dimension, model));
    }
    let clean = problems.is_empty();
    reader.problems.extend(problems);
    found.filter(|_| clean).map(|f| f.0)
}

/// Reads a text with `{paths}`.
pub(super) fn template(written: &str, span: Span, names: &Names, model: &Model, reader: &mut Reader) -> Template {
    let mut pieces = Vec::new();
    let mut rest = written;
    while let Some(open) = rest.find('{') {
        let (before, after) = rest.split_at(open);
        if !before.is_empty() {
            pieces.push(Piece::Text(before.to_owned()));
        }
        let Some(close) = after.find('}') else {
            reader.report(Problem::new("knowledge::bad-text", span, "here", "a brace is opened and never closed"));
            return Template { pieces };
        };
        let inner = &after[1..close];
        pieces.extend(piece(inner, span, names, model, reader));
        rest = &after[close + 1..];
    }
    if !rest.is_empty() {
        pieces.push(Piece::Text(rest.to_owned()));
    }
    Template { pieces }
}

fn piece(inner: &str, span: Span, names: &Names, model: &Model, reader: &mut Reader) -> Option<Piece> {
    let word = Word { text: inner.trim().to_owned(), span };
    let mut check = Check { names: names.clone(), model, tests: Vec::new(), problems: Vec::new() };
    if let Some((place, ty)) = check.place(&word.text) {
        match ty {
            Type::Quantity(d) => return Some(Piece::Number(word.text, Number::Of(place), d)),
            Type::Window(d) | Type::Setting(d) => {
                let (low, high) = (Number::End(place.clone(), End::Low), Number::End(place, End::High));
                return Some(Piece::Range(word.text, low, high, d));
            }
            Type::Choice(_) | Type::Text | Type::Many(..) | Type::Set(_) => {
                return Some(Piece::Name(word.text, place));
            }
            _ => {}
        }
    }
    match parse_term(&word.text, span) {
        Ok(term) => {
            let found = check.number(&term, None);
            if check.problems.is_empty()
                && let Some((number, dimension)) = found
            {
                return Some(Piece::Number(word.text, number, dimension));
            }
        }
        Err(problem) => check.problems.push(problem),
    }
    reader.report(
        Problem::new("knowledge::bad-text", span, "here", format!("`{{{}}}` names no value", word.text))
            .help("put a quantity, a choice or a bound name between the braces"),
    );
    None
}

/// What a path stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Type {
    Quantity(DimensionId),
    Window(DimensionId),
    Setting(DimensionId),
    YesNo,
    Choice(KindId),
    Set(KindId),
    Many(KindId),
    Schedule { at: DimensionId, needs: DimensionId },
    Text,
}

impl Type {
    fn words(self) -> &'static str {
        match self {
            Self::Quantity(_) => "a quantity",
            Self::Window(_) | Self::Setting(_) => "a window",
            Self::YesNo => "a yes/no",
            Self::Choice(_) => "a choice",
            Self::Set(_) => "a set",
            Self::Many(_) => "a blend or amounts",
            Self::Schedule { .. } => "a schedule",
            Self::Text => "a text",
        }
    }
}

struct Check<'a> {
    names: Names,
    model: &'a Model,
    tests: Vec<Test>,
    problems: Vec<Problem>,
}

impl Check<'_> {
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
                    Some((Place::Attribute(id, frame), _)) if !is_derived(id, self.model) => {
                        Some(TestKind::Stated(id, frame))
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

    fn unknown(&mut self, word: &Word, wanted: &str) {
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

    fn members(&mut self, name: &Word, kind: KindId) -> Option<Members> {
        if let Some(i) = self.names.bounds.iter().position(|b| b.name == name.text)
            && self.names.bounds.get(i).is_some_and(|b| b.kind == kind)
        {
            return Some(Members::Bound(i));
        }
        match self.model.entity(kind, &name.text) {
            Some(e) => Some(Members::Any(e.members)),
            None => {
                self.problems.push(unknown_member(&name.text, name.span, kind, self.model, true));
                None
            }
        }
    }

    fn some(&mut self, name: &Word, set: &Word, condition: &Condition, span: Span) -> Option<TestKind> {
        let mut reader = Reader { documents: Vec::new(), problems: Vec::new() };
        let bound = bound(name, set, &self.names, self.model, &mut reader);
        self.problems.extend(reader.problems);
        let bound = bound?;
        let outer = self.names.bounds.len();
        let mut names = self.names.clone();
        names.bounds.push(bound.clone());
        let mut check = Check { names, model: self.model, tests: Vec::new(), problems: Vec::new() };
        let shape = check.shape(condition);
        let Check { tests, problems, .. } = check;
        self.problems.extend(problems);
        Some(TestKind::Some(Box::new(SomeMember { bound, outer, formula: Formula { shape, tests }, span })))
    }

    fn place(&self, path: &str) -> Option<(Place, Type)> {
        let subject = |s: &String| resolve(&format!("{s}.{path}"), &self.names, self.model);
        resolve(path, &self.names, self.model).or_else(|| self.names.subject.as_ref().and_then(subject))
    }

    fn number(&mut self, term: &Term, wanted: Option<DimensionId>) -> Option<(Number, DimensionId)> {
        match term {
            Term::Quantity { number, unit } => self.constant(number, unit.as_ref(), wanted),
            Term::Path(word) => self.path_number(word),
            Term::Share { name, set } => {
                let Some((place, Type::Many(kind))) = self.place(&set.text) else {
                    self.unknown(set, "a blend or amounts");
                    return None;
                };
                let members = self.members(name, kind)?;
                let Some(percent) = self.model.dimension("percent") else {
                    self.problems.push(Problem::new(
                        "condition::wrong-type",
                        set.span,
                        "here",
                        "no unit is declared for `percent`",
                    ));
                    return None;
                };
                Some((Number::Share(place, members), percent))
            }
            Term::Lookup { schedule, at } => {
                let Some((place, Type::Schedule { at: level, needs })) = self.place(&schedule.text) else {
                    self.unknown(schedule, "a schedule");
                    return None;
                };
                self.written(&place, schedule);
                let (inner, found) = self.number(at, Some(level))?;
                if found != level {
                    self.problems.push(wrong_dimension(schedule.span, found, level, self.model));
                    return None;
                }
                Some((Number::Lookup(place, Box::new(inner)), needs))
            }
            Term::Add(a, b, span) | Term::Subtract(a, b, span) => {
                let minus = matches!(term, Term::Subtract(..));
                let left = self.number(a, wanted)?;
                let difference = self.model.dim(left.1).and_then(|d| d.difference);
                let right = self.number(b, Some(difference.unwrap_or(left.1)))?;
                // A temperature less a temperature is a difference; with a difference, it is a temperature.
                let result = match (difference, minus) {
                    (Some(d), _) if right.1 == d => left.1,
                    (Some(d), true) if right.1 == left.1 => d,
                    (None, _) if right.1 == left.1 => left.1,
                    _ => {
                        self.problems.push(wrong_dimension(*span, right.1, difference.unwrap_or(left.1), self.model));
                        return None;
                    }
                };
                let (l, r) = (Box::new(left.0), Box::new(right.0));
                Some((if minus { Number::Subtract(l, r) } else { Number::Add(l, r) }, result))
            }
            Term::Multiply(a, b, span) => {
                let plain = |t: &Term| match t {
                    Term::Quantity { number, unit: None } => {
                        Decimal::parse(&number.text).map(|d| (d.to_f64() * 1000.0).round() as i64)
                    }
                    _ => None,
                };
                let (factor, rest) = match (plain(a), plain(b)) {
                    (Some(f), _) => (f, b),
                    (_, Some(f)) => (f, a),
                    _ => {
                        self.problems.push(
                            Problem::new(
                                "condition::wrong-type",
                                *span,
                                "here",
                                "one side of `*` must be a plain number",
                            )
                            .help("write it like `2 * fibre.regain`"),
                        );
                        return None;
                    }
                };
                let (inner, dimension) = self.number(rest, wanted)?;
                Some((Number::Scale(Box::new(inner), factor), dimension))
            }
            Term::Min(a, b, span) | Term::Max(a, b, span) => {
                let left = self.number(a, wanted)?;
                let right = self.number(b, Some(left.1))?;
                if left.1 != right.1 {
                    self.problems.push(wrong_dimension(*span, right.1, left.1, self.model));
                    return None;
                }
                let (l, r) = (Box::new(left.0), Box::new(right.0));
                Some((if matches!(term, Term::Min(..)) { Number::Min(l, r) } else { Number::Max(l, r) }, left.1))
            }
        }
    }

    fn constant(
        &mut self,
        number: &Word,
        unit: Option<&Word>,
        wanted: Option<DimensionId>,
    ) -> Option<(Number, DimensionId)> {
        let dimension = match (unit, wanted) {
            (None, Some(w)) => Some(w),
            (None, None) => self.model.dimension("number"),
            (Some(u), Some(w)) if self.model.dim(w).is_some_and(|d| d.unit(&u.text).is_some()) => Some(w),
            (Some(u), _) => {
                self.model.dimensions.iter().position(|d| d.unit(&u.text).is_some()).map(|i| DimensionId(i as u16))
            }
        };
        let Some(dimension) = dimension else {
            let place = unit.map_or(number.span, |u| u.span);
            let text = unit.map_or("", |u| u.text.as_str());
            let known: Vec<&str> = self
                .model
                .dimensions
                .iter()
                .flat_map(|d| &d.units)
                .map(|u| u.symbol.as_str())
                .filter(|s| !s.is_empty())
                .collect();
            self.problems.push(
                Problem::new("condition::unknown-unit", place, "here", format!("unknown unit `{text}`"))
                    .help(format!("units are {}", crate::diagnostic::one_of(&known))),
            );
            return None;
        };
        let written = format!("{} {}", number.text, unit.map_or("", |u| u.text.as_str()));
        match super::units::parse_quantity(&written, dimension, self.model) {
            Ok(steps) => Some((Number::Constant(steps), dimension)),
            Err((message, help)) => {
                self.problems.push(Problem::new("condition::bad-quantity", number.span, "here", message).help(help));
                None
            }
        }
    }

    /// A window or schedule that a rule reads is written for every entity: it cannot be open.
    fn written(&mut self, place: &Place, word: &Word) {
        let Place::Property(_, id) = place else { return };
        let Some(property) = self.model.properties.get(id.index()) else { return };
        if !property.required {
            self.problems.push(
                Problem::new(
                    "condition::may-be-missing",
                    word.span,
                    "here",
                    format!("`{}` need not be written, so it cannot be counted on", property.name),
                )
                .help(format!("declare `{}` with `required: yes`", property.name)),
            );
        }
    }

    fn path_number(&mut self, word: &Word) -> Option<(Number, DimensionId)> {
        match self.place(&word.text) {
            Some((place, Type::Quantity(d))) => return Some((Number::Of(place), d)),
            Some((_, Type::Setting(_) | Type::Window(_))) => {
                self.problems.push(
                    Problem::new("condition::needs-end", word.span, "here", format!("`{}` is a window", word.text))
                        .help(format!("write `{0}.min` or `{0}.max`", word.text)),
                );
                return None;
            }
            Some((_, other)) => {
                self.problems.push(Problem::new(
                    "condition::wrong-type",
                    word.span,
                    "here",
                    format!("`{}` is {}, not a quantity", word.text, other.words()),
                ));
                return None;
            }
            None => {}
        }
        let ended = word.text.rsplit_once('.').and_then(|(front, end)| {
            let end = match end {
                "min" => End::Low,
                "max" => End::High,
                _ => return None,
            };
            match self.place(front)? {
                (place, Type::Window(d) | Type::Setting(d)) => Some((Number::End(place, end), d)),
                _ => None,
            }
        });
        match &ended {
            Some((Number::End(place, _), _)) => self.written(&place.clone(), word),
            _ => self.unknown(word, "a quantity"),
        }
        ended
    }
}

/// `a` or `an`.
fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// The attribute that a path begins with, the frame it is read in, and the rest of the path.
fn attribute_at<'p>(path: &'p str, names: &Names, model: &Model) -> Option<(AttributeId, Frame, &'p str)> {
    let (written, frame): (std::borrow::Cow<'p, str>, Option<Frame>) = match (path.split_once('.'), names.per) {
        (Some(("upper", rest)), Per::Pair) => (format!("layer.{rest}").into(), Some(Frame::This)),
        (Some(("lower", rest)), Per::Pair) => (format!("layer.{rest}").into(), Some(Frame::Below)),
        _ => (path.into(), None),
    };
    let mut cut = written.len();
    loop {
        let front = written.get(..cut)?;
        if let Some(id) = model.attribute(front) {
            let per_layer = id.of(model).is_some_and(|a| a.per_layer);
            let frame = match (per_layer, frame, names.per) {
                (false, None, _) => Frame::Job,
                (true, Some(f), _) => f,
                (true, None, Per::Layer) => Frame::This,
                _ => return None,
            };
            let rest_length = written.len() - cut;
            let rest = path.get(path.len() - rest_length..)?;
            return Some((id, frame, rest.strip_prefix('.').unwrap_or(rest)));
        }
        cut = front.rfind('.')?;
    }
}

fn resolve(path: &str, names: &Names, model: &Model) -> Option<(Place, Type)> {
    match (path, names.per) {
        ("layer.is_first", Per::Layer) | ("upper.is_first", Per::Pair) => {
            return Some((Place::First(Frame::This), Type::YesNo));
        }
        ("layer.is_last", Per::Layer) | ("upper.is_last", Per::Pair) => {
            return Some((Place::Last(Frame::This), Type::YesNo));
        }
        ("lower.is_first", Per::Pair) => return Some((Place::First(Frame::Below), Type::YesNo)),
        ("lower.is_last", Per::Pair) => return Some((Place::Last(Frame::Below), Type::YesNo)),
        _ => {}
    }
    let (head, rest) = path.split_once('.').unwrap_or((path, ""));
    let bound = names.bounds.iter().position(|b| b.name == head).and_then(|i| names.bounds.get(i).map(|b| (i, b.kind)));
    let (mut place, mut ty, rest) = match bound {
        Some((i, kind)) => (Place::Bound(i), Type::Choice(kind), rest),
        None => {
            let (id, frame, rest) = attribute_at(path, names, model)?;
            let ty = match id.of(model)?.ty {
                AttributeType::YesNo => Type::YesNo,
                AttributeType::Choice(k) => Type::Choice(k),
                AttributeType::Set(k) => Type::Set(k),
                AttributeType::Blend(k) | AttributeType::Amounts(k) => Type::Many(k),
                AttributeType::Quantity(d) => Type::Quantity(d),
                AttributeType::Setting(d) => Type::Setting(d),
            };
            (Place::Attribute(id, frame), ty, rest)
        }
    };
    for name in rest.split('.').filter(|n| !n.is_empty()) {
        let Type::Choice(kind) = ty else { return None };
        let id = model.property(kind, name)?;
        place = Place::Property(Box::new(place), id);
        ty = match model.properties.get(id.index())?.ty {
            PropertyType::Quantity(d) => Type::Quantity(d),
            PropertyType::Window(d) => Type::Window(d),
            PropertyType::YesNo => Type::YesNo,
            PropertyType::Choice(k) => Type::Choice(k),
            PropertyType::Set(k) => Type::Set(k),
            PropertyType::Schedule { at, needs } => Type::Schedule { at, needs },
            PropertyType::Text => Type::Text,
        };
    }
    Some((place, ty))
}

fn unknown_path(word: &Word, wanted: &str, names: &Names, model: &Model) -> Problem {
    if let Some(subject) = &names.subject {
        let start = format!("{subject}.");
        let names = Names { subject: None, ..names.clone() };
        let known: Vec<String> =
            known_paths(&names, model).into_iter().filter_map(|k| k.strip_prefix(&start).map(str::to_owned)).collect();
        let message = format!("`{}` is not {wanted} to choose by", word.text);
        let problem = Problem::new("condition::unknown-name", word.span, "not known here", message);
        return match crate::diagnostic::nearest(&word.text, known.iter().map(String::as_str)).as_slice() {
            [] => problem.help(format!("choose by one of: {}", known.join(", "))),
            near => problem.help(format!("did you mean {}?", crate::diagnostic::one_of(near))),
        };
    }
    let known = known_paths(names, model);
    let mut problem = Problem::new(
        "condition::unknown-name",
        word.span,
        "not known here",
        format!("`{}` is not {wanted} that is known here", word.text),
    );
    let needs_layer = word.text.starts_with("layer.") && names.per == Per::Job;
    problem.help = if needs_layer {
        Some("a rule about a layer says `for: each layer`".to_owned())
    } else {
        did_you_mean(&word.text, known.iter().map(String::as_str))
    };
    problem
}

/// Every path that a condition can name here.
fn known_paths(names: &Names, model: &Model) -> Vec<String> {
    let mut known: Vec<String> = model.attributes.iter().map(|a| a.name.clone()).collect();
    for bound in &names.bounds {
        let kind = model.kinds.get(bound.kind.index());
        let properties = kind.iter().flat_map(|k| &k.properties).filter_map(|p| model.properties.get(p.index()));
        known.extend(properties.map(|p| format!("{}.{}", bound.name, p.name)));
        known.push(bound.name.clone());
    }
    for attribute in &model.attributes {
        if let AttributeType::Choice(k) = attribute.ty {
            let kind = model.kinds.get(k.index());
            let properties = kind.iter().flat_map(|k| &k.properties).filter_map(|p| model.properties.get(p.index()));
            known.extend(properties.map(|p| format!("{}.{}", attribute.name, p.name)));
        }
    }
    if names.per == Per::Pair {
        let pairs: Vec<String> =
            known.iter().filter_map(|k| k.strip_prefix("layer.").map(|r| format!("upper.{r}"))).collect();
        known.extend(pairs);
    }
    known
}

fn wrong_dimension(span: Span, found: DimensionId, wanted: DimensionId, model: &Model) -> Problem {
    let name = |d: DimensionId| model.dim(d).map_or("quantity", |x| x.name.as_str());
    Problem::new(
        "condition::wrong-dimension",
        span,
        "here",
        format!("a {} stands where a {} belongs", name(found), name(wanted)),
    )
    .help("both sides of a comparison, sum or bound measure the same thing")
}

/// Whether a place or number reads a derived attribute or a setting's end; for the order of derivations.
pub(super) fn reads(formula: &Formula, visit: &mut impl FnMut(AttributeId, Option<End>)) {
    for test in &formula.tests {
        match &test.kind {
            TestKind::Compare(a, _, b) => {
                number_reads(a, visit);
                number_reads(b, visit);
            }
            TestKind::OneOf(p, _) | TestKind::Holds(p) | TestKind::Has(p, _) => place_reads(p, visit),
            TestKind::InSet(a, b) => {
                place_reads(a, visit);
                place_reads(b, visit);
            }
            TestKind::Stated(..) => {}
            TestKind::Some(some) => {
                visit(some.bound.attribute, None);
                reads(&some.formula, visit);
            }
        }
    }
}

fn place_reads(place: &Place, visit: &mut impl FnMut(AttributeId, Option<End>)) {
    match place {
        Place::Attribute(id, _) => visit(*id, None),
        Place::Property(inner, _) => place_reads(inner, visit),
        Place::Bound(_) | Place::First(_) | Place::Last(_) => {}
    }
}

/// As [`reads`], for a quantity.
pub(super) fn number_reads(number: &Number, visit: &mut impl FnMut(AttributeId, Option<End>)) {
    match number {
        Number::Constant(_) => {}
        Number::Of(p) | Number::Share(p, _) => place_reads(p, visit),
        Number::End(Place::Attribute(id, _), end) => visit(*id, Some(*end)),
        Number::End(p, _) => place_reads(p, visit),
        Number::Lookup(p, at) => {
            place_reads(p, visit);
            number_reads(at, visit);
        }
        Number::Add(a, b) | Number::Subtract(a, b) | Number::Min(a, b) | Number::Max(a, b) => {
            number_reads(a, visit);
            number_reads(b, visit);
        }
        Number::Scale(a, _) => number_reads(a, visit),
    }
}

/// Whether an attribute may be given a value by a rule.
pub(super) fn is_derived(id: AttributeId, model: &Model) -> bool {
    id.of(model).is_some_and(|a| a.role == Role::Derived)
}
