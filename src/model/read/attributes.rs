//! Attributes and aspects: first their types, and once the entities are known, the values that name them.

use super::Reader;
use super::conditions::condition;
use super::fields::{Fields, flag, items, origin, text, texts};
use super::names::{Names, scope_of};
use super::rules::{named_attribute, step};
use super::speech::{speech, told};
use super::units::{quantity, unknown_dimension};
use super::vocabulary::{kind_of, member, property_type, unknown_member};
use crate::diagnostic::Problem;
use crate::document::Node;
use crate::model::{
    Aspect, AssumedValue, Assumption, Attribute, AttributeId, AttributeType, Combine, Formula, KindId, Limits,
    MAX_MEMBERS, Mask, Model, PropertyId, PropertyType, Role, Speech, Tolerance,
};
use crate::source::Span;
use crate::words::folded;

fn attribute_type(written: &str, span: Span, model: &Model, reader: &mut Reader) -> Option<AttributeType> {
    let words: Vec<&str> = written.split_whitespace().collect();
    match words.as_slice() {
        ["blend", "of", kind] => kind_of(kind, span, model, reader).map(AttributeType::Blend),
        ["amounts", "of", kind] => kind_of(kind, span, model, reader).map(AttributeType::Amounts),
        ["setting", dimension] => match model.dimension(dimension) {
            Some(d) => Some(AttributeType::Setting(d)),
            None => {
                unknown_dimension(dimension, span, model, reader);
                None
            }
        },
        _ => match property_type(written, span, model, reader)? {
            PropertyType::Quantity(d) => Some(AttributeType::Quantity(d)),
            PropertyType::YesNo => Some(AttributeType::YesNo),
            PropertyType::Choice(k) => Some(AttributeType::Choice(k)),
            PropertyType::Set(k) => Some(AttributeType::Set(k)),
            _ => {
                unknown_dimension(written, span, model, reader);
                None
            }
        },
    }
}

pub(super) fn attribute(item: &Node, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = Fields::of(item, "an attribute", reader) else {
        return;
    };
    let name = f.need_text("attribute", reader).unwrap_or_default();
    let ty = f.need("type", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let role = f.need("role", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let per = f.get("per").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let says = f.need_text("says", reader).unwrap_or_default();
    let label = f.text("label", reader).unwrap_or_else(|| name.replace('.', " "));
    let ask = f.text("ask", reader);
    let json = f.text("json", reader);
    let clause = f.text("clause", reader);
    let phrase = f.text("phrase", reader);
    let material = f.flag("material", reader);
    let never_offered = f.flag("never_offered", reader);
    let place = f.text("place", reader);
    let step = step(&mut f, model, reader);
    let told = told(&mut f, reader);
    let combine = f.get("combine").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let mut words = (Vec::new(), Vec::new());
    if let Some(mut w) = f.get("words").and_then(|n| Fields::of(n, "`words`", reader)) {
        words.0 = w.texts("yes", reader).into_iter().map(|t| folded(&t.0)).collect();
        words.1 = w.texts("no", reader).into_iter().map(|t| folded(&t.0)).collect();
        // The others may name members.
        w.excuse();
        w.done(reader);
    }
    // Values are read once the entities are known.
    for later in [
        "usual",
        "assume",
        "otherwise",
        "follows",
        "usually",
        "unstated",
        "closes",
        "alike",
        "akin",
        "does_for_all",
        "below",
        "aim",
        "limits",
        "tolerance",
        "fits",
        "stock",
    ] {
        let _ = f.get(later);
    }
    let span = f.span;
    f.done(reader);
    let Some(ty) = ty.and_then(|(t, s)| attribute_type(&t, s, model, reader)) else {
        return;
    };
    let role = match role.as_ref().map(|r| r.0.as_str()) {
        Some("given") => Role::Given,
        Some("chosen") => Role::Chosen,
        Some("capability") => Role::Capability,
        Some("derived") => Role::Derived,
        _ => {
            let place = role.map_or(span, |r| r.1);
            reader.report(
                Problem::new("knowledge::unknown-role", place, "here", "unknown role")
                    .help("use `given`, `chosen`, `capability` or `derived`"),
            );
            return;
        }
    };
    if role == Role::Chosen && !material && !matches!(ty, AttributeType::Setting(_)) {
        reader.report(
            Problem::new("knowledge::chosen-what", span, "here", "a chosen attribute is a setting or a material")
                .help("write `type: setting …`, or `material: yes` for something that is absent unless stated"),
        );
    }
    if matches!(ty, AttributeType::Setting(_)) && role != Role::Chosen {
        reader.report(Problem::new("knowledge::chosen-what", span, "here", "a setting has the role `chosen`"));
    }
    let combine = match combine {
        None => None,
        Some((word, place)) => match word.as_str() {
            "max" => Some(Combine::Max),
            "min" => Some(Combine::Min),
            "sum" => Some(Combine::Sum),
            "any" => Some(Combine::Any),
            _ => {
                reader.report(
                    Problem::new(
                        "knowledge::unknown-combine",
                        place,
                        "here",
                        format!("unknown way to combine `{word}`"),
                    )
                    .help("use `max`, `min`, `sum`, or `any` for yes/no"),
                );
                None
            }
        },
    };
    let fits = match (ty, combine) {
        (AttributeType::YesNo, None | Some(Combine::Any)) => true,
        (AttributeType::Quantity(_), None | Some(Combine::Max | Combine::Min | Combine::Sum)) => true,
        (_, None) => role != Role::Derived,
        _ => false,
    };
    if !fits {
        reader.report(
            Problem::new(
                "knowledge::wrong-type",
                span,
                "here",
                "a derived attribute is a quantity or yes/no, combined accordingly",
            )
            .help("yes/no combines by `any`; a quantity by `max`, `min` or `sum`"),
        );
    }
    if let Some((word, place)) = per.as_ref().filter(|p| p.0 != "layer") {
        reader.report(
            Problem::new("knowledge::wrong-type", *place, "here", format!("`per: {word}` is not known"))
                .help("write `per: layer`"),
        );
    }
    if model.attribute(&name).is_some() {
        reader.report(Problem::new(
            "knowledge::duplicate-id",
            span,
            "again",
            format!("attribute `{name}` is declared twice"),
        ));
        return;
    }
    model.attributes.push(Attribute {
        name,
        per_layer: per.is_some(),
        ty,
        role,
        label,
        says,
        ask,
        aim: None,
        usual: Vec::new(),
        assume: Vec::new(),
        follows: None,
        usually: None,
        stock: None,
        alike: None,
        akin: None,
        does_for_all: None,
        never_offered,
        below: None,
        json,
        clause,
        phrase,
        words,
        speech: Speech::default(),
        limits: None,
        tolerance: None,
        fits: None,
        combine,
        otherwise: None,
        material,
        unstated: None,
        closes: None,
        place,
        step,
        told,
        span,
    });
}

/// Reads the values of attributes, and the aspects: they name entities.
pub(super) fn read(model: &mut Model, reader: &mut Reader) {
    for (_, node) in reader.below("vocabulary.yaml") {
        let Some(mut f) = Fields::of(&node, "the vocabulary", reader) else {
            continue;
        };
        for item in f.get("attributes").map(|n| items(n, reader)).unwrap_or_default() {
            attribute_values(item, model, reader);
        }
        for item in f.get("aspects").map(|n| items(n, reader)).unwrap_or_default() {
            aspect(item, model, reader);
        }
    }
    for kind in model.kinds.iter().filter(|k| k.members.len() > MAX_MEMBERS) {
        reader.report(
            Problem::nowhere("knowledge::too-many", format!("there are more than {MAX_MEMBERS} {}", kind.plural))
                .help("a kind holds no more; a class is no member"),
        );
    }
}

fn attribute_values(item: &Node, model: &mut Model, reader: &mut Reader) {
    // Structural problems were reported in the first pass.
    let mut quiet = Reader { documents: Vec::new(), problems: Vec::new(), names: Vec::new() };
    let Some(mut f) = Fields::of(item, "an attribute", &mut quiet) else {
        return;
    };
    let Some(id) = f.text("attribute", &mut quiet).and_then(|n| model.attribute(&n)) else {
        return;
    };
    let Some(attribute) = model.attributes.get(id.index()).cloned() else {
        return;
    };
    let mut usual = Vec::new();
    if let Some(node) = f.get("usual") {
        for (word, span) in texts(node, reader) {
            match attribute.ty {
                AttributeType::Quantity(d) | AttributeType::Setting(d) => {
                    usual.extend(quantity(&word, span, d, model, reader))
                }
                AttributeType::YesNo if ["yes", "no"].contains(&word.as_str()) => usual.push(i64::from(word == "yes")),
                AttributeType::YesNo => {
                    reader.report(Problem::new("knowledge::wrong-type", span, "here", "this must be `yes` or `no`"));
                }
                AttributeType::Choice(k)
                | AttributeType::Set(k)
                | AttributeType::Blend(k)
                | AttributeType::Amounts(k) => {
                    usual.extend(member(&word, span, k, model, reader).map(|m| m as i64));
                }
            }
        }
    }
    let otherwise = f.get("otherwise").and_then(|node| match attribute.ty {
        AttributeType::Quantity(d) => text(node, reader).and_then(|t| quantity(&t, node.span, d, model, reader)),
        _ => flag(node, reader).map(i64::from),
    });
    if attribute.role == Role::Derived && otherwise.is_none() && !matches!(attribute.ty, AttributeType::YesNo) {
        reader.report(
            Problem::new(
                "knowledge::missing-key",
                attribute.span,
                "here",
                "a derived quantity needs a value where no rule derives one",
            )
            .help("add `otherwise:`"),
        );
    }
    let follows = f.get("follows").and_then(|node| property_of_choice(node, model, reader));
    let usually = f.get("usually").and_then(|node| property_of_choice(node, model, reader));
    let unstated = f.get("unstated").and_then(|node| own_property(&attribute, node, model, reader));
    let closes = f.get("closes").and_then(|node| own_property(&attribute, node, model, reader));
    let alike = f.get("alike").and_then(|node| own_choice(&attribute, node, model, reader));
    let akin = f.get("akin").and_then(|node| own_choice(&attribute, node, model, reader)).map(|a| a.0);
    let does_for_all = f.get("does_for_all").and_then(|node| {
        let Some((_, kind)) = alike else {
            let problem = Problem::new("knowledge::missing-key", node.span, "here", "this is a value of `alike`");
            reader.report(problem.help("name the property: `alike: …`"));
            return None;
        };
        member(&text(node, reader)?, node.span, kind, model, reader)
    });
    let below = f.get("below").and_then(|node| {
        let kind = attribute.ty.members()?;
        member(&text(node, reader)?, node.span, kind, model, reader)
    });
    let aim = f.get("aim").and_then(|node| {
        let name = text(node, reader)?;
        let found = model.attribute(&name).filter(|a| a.of(model).is_some_and(|a| a.role == Role::Derived));
        if found.is_none() {
            reader.report(Problem::new(
                "knowledge::unknown-name",
                node.span,
                "here",
                format!("`{name}` is no derived attribute"),
            ));
        }
        found
    });
    let speech = f.get("words").map(|n| speech(n, &attribute, model, reader)).unwrap_or_default();
    let limits = f.get("limits").and_then(|n| limits(n, &attribute, model, reader));
    let fits = f.get("fits").and_then(|node| {
        let mut w = Fields::of(node, "`fits`", reader)?;
        let into = w.need("into", reader);
        let by = w.need("by", reader);
        w.done(reader);
        let property = own_property(&attribute, by?, model, reader)?;
        Some((property, named_attribute(into?, model, reader)?))
    });
    let stock = f.get("stock").and_then(|node| {
        let mut w = Fields::of(node, "`stock`", reader)?;
        let set = w.need("in", reader).and_then(|n| named_attribute(n, model, reader));
        let by = w.need("by", reader);
        w.done(reader);
        Some((set?, own_property(set?.of(model)?, by?, model, reader)?))
    });
    let mut assume = Vec::new();
    for entry in f.get("assume").map(|n| items(n, reader)).unwrap_or_default() {
        assume.extend(assumption(entry, &attribute, model, reader));
    }
    let tolerance = f.get("tolerance").and_then(|n| tolerance(n, &attribute, model, reader));
    if let Some(own) = model.attributes.get_mut(id.index()) {
        own.usual = usual;
        own.otherwise = otherwise;
        own.follows = follows;
        own.usually = usually;
        own.stock = stock;
        own.unstated = unstated;
        own.closes = closes;
        own.alike = alike.map(|a| a.0);
        own.akin = akin;
        own.does_for_all = does_for_all;
        own.below = below;
        own.aim = aim;
        own.assume = assume;
        own.speech = speech;
        own.limits = limits;
        own.tolerance = tolerance;
        own.fits = fits;
    }
}

/// A property of what a choice attribute holds, written `layer.ink.mesh`.
fn property_of_choice(node: &Node, model: &Model, reader: &mut Reader) -> Option<(AttributeId, PropertyId)> {
    let path = text(node, reader)?;
    let found = path.rsplit_once('.').and_then(|(leader, property)| {
        let leader = model.attribute(leader)?;
        match model.attributes.get(leader.index())?.ty {
            AttributeType::Choice(k) => Some((leader, model.property(k, property)?)),
            _ => None,
        }
    });
    if found.is_none() {
        let message = format!("`{path}` is no property of a choice");
        reader.report(Problem::new("knowledge::unknown-name", node.span, "here", message));
    }
    found
}

fn limits(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<Limits> {
    let mut f = Fields::of(node, "`limits`", reader)?;
    let dimension = match attribute.ty {
        AttributeType::Quantity(d) | AttributeType::Setting(d) => Some(d),
        AttributeType::Amounts(_) | AttributeType::Blend(_) => model.dimension("percent"),
        _ => None,
    };
    let mut end = |key: &'static str, reader: &mut Reader| {
        let node = f.get(key)?;
        quantity(&text(node, reader)?, node.span, dimension?, model, reader)
    };
    let (least, most) = (end("least", reader), end("most", reader));
    let says = f.need_text("says", reader).unwrap_or_default();
    f.done(reader);
    Some(Limits { least, most, says })
}

fn tolerance(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<Tolerance> {
    let mut f = Fields::of(node, "`tolerance`", reader)?;
    let by = f.need("by", reader)?;
    let words = f.need_text("words", reader).unwrap_or_default();
    let origin = origin(&mut f, None, model, reader);
    f.done(reader);
    let AttributeType::Blend(_) = attribute.ty else {
        let message = "only the parts of a blend may be off what was said";
        reader.report(Problem::new("knowledge::wrong-type", node.span, "here", message));
        return None;
    };
    let by = quantity(&text(by, reader)?, by.span, model.dimension("percent")?, model, reader)?;
    Some(Tolerance { by, words, origin: origin? })
}

/// A property of an attribute's members that is itself a choice, and of which kind.
fn own_choice(attribute: &Attribute, node: &Node, model: &Model, reader: &mut Reader) -> Option<(PropertyId, KindId)> {
    let id = own_property(attribute, node, model, reader)?;
    match model.properties.get(id.index())?.ty {
        PropertyType::Choice(kind) => Some((id, kind)),
        _ => {
            let problem = Problem::new("knowledge::wrong-type", node.span, "here", "this property is no choice");
            reader.report(problem.help("name a property whose type is `choice of …`"));
            None
        }
    }
}

fn own_property(attribute: &Attribute, node: &Node, model: &Model, reader: &mut Reader) -> Option<PropertyId> {
    let name = text(node, reader)?;
    let found = match attribute.ty {
        AttributeType::Choice(k) | AttributeType::Set(k) | AttributeType::Amounts(k) | AttributeType::Blend(k) => {
            model.property(k, &name)
        }
        _ => None,
    };
    if found.is_none() {
        reader.report(Problem::new(
            "knowledge::unknown-name",
            node.span,
            "here",
            format!("`{name}` is no property of its members"),
        ));
    }
    found
}

/// The members of a class of a choice.
fn any_of(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<Mask> {
    let AttributeType::Choice(kind) = attribute.ty else {
        let problem = Problem::new("knowledge::wrong-type", node.span, "here", "only a choice has classes");
        reader.report(problem);
        return None;
    };
    let word = text(node, reader)?;
    match model.entity(kind, &word) {
        Some(class) => Some(class.members),
        None => {
            reader.report(unknown_member(&word, node.span, kind, model, true));
            None
        }
    }
}

fn assumption(entry: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<Assumption> {
    let mut f = Fields::of(entry, "an assumption", reader)?;
    let value_node = f.need("value", reader)?;
    let value = match attribute.ty {
        AttributeType::YesNo => flag(value_node, reader).map(AssumedValue::YesNo),
        AttributeType::Choice(k) => {
            let word = text(value_node, reader)?;
            member(&word, value_node.span, k, model, reader).map(AssumedValue::Choice)
        }
        AttributeType::Set(k) => {
            let words = texts(value_node, reader);
            if words.iter().any(|w| w.0 == "all") {
                Some(AssumedValue::Set(model.everyone(k)))
            } else {
                let mut mask = Mask::EMPTY;
                for (word, span) in words {
                    mask.insert(member(&word, span, k, model, reader)?);
                }
                Some(AssumedValue::Set(mask))
            }
        }
        AttributeType::Quantity(d) => text(value_node, reader)
            .and_then(|t| quantity(&t, value_node.span, d, model, reader))
            .map(AssumedValue::Quantity),
        _ => {
            reader.report(Problem::new(
                "knowledge::wrong-type",
                value_node.span,
                "here",
                "nothing can be assumed for this type",
            ));
            None
        }
    };
    let names = Names::for_attribute(attribute.per_layer);
    let guard = f.get("when").and_then(|n| condition(n, &names, model, reader));
    let among = f.get("among").and_then(|n| any_of(n, attribute, model, reader));
    let words = f.need_text("words", reader).unwrap_or_default();
    let quiet = f.flag("quiet", reader);
    let span = f.span;
    f.done(reader);
    Some(Assumption { value: value?, guard, among, words, quiet, span })
}

fn aspect(item: &Node, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = Fields::of(item, "an aspect", reader) else {
        return;
    };
    let name = f.need_text("aspect", reader).unwrap_or_default();
    let says = f.need_text("says", reader).unwrap_or_default();
    let trial = f.need_text("trial", reader).unwrap_or_default();
    let scope = scope_of(f.texts("for", reader), model, reader);
    let names = Names::of(&scope);
    let formula = match f.get("when") {
        Some(node) => condition(node, &names, model, reader).unwrap_or_else(Formula::always),
        None => Formula::always(),
    };
    let span = f.span;
    f.done(reader);
    model.aspects.push(Aspect { name, says, trial, scope, formula, span });
}
