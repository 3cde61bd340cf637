//! The names that a condition may use: attributes, what `for` binds, and the properties of both.

use super::Reader;
use super::fields::inside;
use crate::condition::{Binding, Word, parse_binding};
use crate::diagnostic::{Problem, did_you_mean};
use crate::model::{AttributeId, AttributeType, Bound, Frame, KindId, Model, Per, Place, PropertyType, Scope};
use crate::quantity::DimensionId;
use crate::source::Span;

/// The names that a condition may use besides the vocabulary's.
#[derive(Debug, Clone)]
pub(crate) struct Names {
    /// Which layers are at hand.
    pub(super) per: Per,
    /// The bound names.
    pub(super) bounds: Vec<Bound>,
    /// What a bare property is a property of, where a question chooses among things.
    pub(super) subject: Option<String>,
}

impl Names {
    pub(super) fn of(scope: &Scope) -> Self {
        Self { per: scope.per, bounds: scope.bounds.clone(), subject: None }
    }

    pub(super) fn for_attribute(per_layer: bool) -> Self {
        Self { per: if per_layer { Per::Layer } else { Per::Job }, bounds: Vec::new(), subject: None }
    }
}

/// So many things can `for` range over.
const MAX_EACH: usize = 4;

/// Reads the entries of `for`.
pub(super) fn scope_of(entries: Vec<(String, Span)>, model: &Model, reader: &mut Reader) -> Scope {
    let mut scope = Scope::job();
    let mut each = Vec::new();
    if let Some((_, span)) = entries.get(MAX_EACH) {
        let message = format!("this ranges over more than {MAX_EACH} things");
        reader.report(Problem::new("knowledge::too-many", *span, "here", message).help("write several rules"));
        return scope;
    }
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

pub(super) fn bound(name: &Word, set: &Word, names: &Names, model: &Model, reader: &mut Reader) -> Option<Bound> {
    free(name, set, names, model, reader);
    let (attribute, frame, rest) = attribute_at(&set.text, names, model).unwrap_or((AttributeId(0), Frame::Job, "?"));
    let kind = match attribute.of(model).map(|a| a.ty) {
        Some(AttributeType::Blend(k) | AttributeType::Amounts(k) | AttributeType::Set(k)) if rest.is_empty() => k,
        _ => {
            reader.report(unknown_path(set, "a blend, amounts or set attribute", names, model));
            return None;
        }
    };
    Some(Bound { name: name.text.clone(), kind, attribute, frame, span: name.span })
}

/// A name that is bound must not hide another: the reader would take one for the other.
fn free(name: &Word, set: &Word, names: &Names, model: &Model, reader: &mut Reader) {
    let own_name = format!("give it a name of its own, such as `other-{} in {}`", name.text, set.text);
    if let Some(outer) = names.bounds.iter().find(|b| b.name == name.text) {
        reader.report(
            Problem::new("condition::bound-twice", name.span, "again", format!("`{}` is bound twice", name.text))
                .also(outer.span, "bound here")
                .help(own_name),
        );
        return;
    }
    let attribute = model.attributes.iter().find(|a| a.name.split('.').next() == Some(&name.text));
    if attribute.is_some() || ["layer", "upper", "lower"].contains(&name.text.as_str()) {
        let mut problem = Problem::new(
            "condition::hides-attribute",
            name.span,
            "here",
            format!("`{}` already begins the name of an attribute", name.text),
        )
        .help(own_name);
        if let Some(a) = attribute {
            problem = problem.also(a.span, format!("`{}` is declared here", a.name));
        }
        reader.report(problem);
    }
}

/// What a path stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Type {
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
    pub(super) fn words(self) -> &'static str {
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

/// The attribute that a path begins with, the frame it is read in, and the rest of the path.
pub(super) fn attribute_at<'p>(path: &'p str, names: &Names, model: &Model) -> Option<(AttributeId, Frame, &'p str)> {
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

pub(super) fn resolve(path: &str, names: &Names, model: &Model) -> Option<(Place, Type)> {
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

pub(super) fn unknown_path(word: &Word, wanted: &str, names: &Names, model: &Model) -> Problem {
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
