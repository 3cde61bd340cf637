//! What may be wished of things, as the vocabulary declares it.

use super::Reader;
use super::fields::{Fields, flag, items, text, texts};
use super::speech::asides;
use super::units::quantity;
use super::vocabulary::{kind_of, member};
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::Node;
use crate::model::{Best, Model, PropertyType, Wish, Wishes};
use crate::words::folded;

/// Reads `wishes:`; properties and kinds are known.
pub(super) fn wishes(node: Option<&Node>, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = node.and_then(|n| Fields::of(n, "`wishes`", reader)) else { return };
    let mut words = |key: &'static str| f.texts(key, reader).into_iter().map(|t| folded(&t.0)).collect();
    let (leads, trails, joins) = (words("leads"), words("trails"), words("joins"));
    let asks = f.text("asks", reader).unwrap_or_default();
    let mut all = Vec::new();
    for item in f.get("all").map(|n| items(n, reader)).unwrap_or_default() {
        all.extend(wish(item, model, reader));
    }
    let aside = asides(f.get("aside"), reader);
    f.done(reader);
    model.wishes = Wishes { asks, leads, trails, joins, all, aside };
}

fn wish(item: &Node, model: &Model, reader: &mut Reader) -> Option<Wish> {
    let mut f = Fields::of(item, "a wish", reader)?;
    let name = f.need_text("wish", reader).unwrap_or_default();
    let called = f.need_text("called", reader).unwrap_or_default();
    let of = f.need("of", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let by = f.need("by", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    // A number may stand in the words.
    let number = |t: &str| t.split('#').map(folded).collect::<Vec<_>>().join(" # ").trim().to_owned();
    let words: Vec<String> = f.texts("words", reader).into_iter().map(|t| number(&t.0)).collect();
    let best = f.get("best");
    let most = f.get("at_least").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let least = f.get("at_most").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let told = f.get("told").map(|n| texts(n, reader));
    let span = f.span;
    f.done(reader);
    let (of, at) = of?;
    let kind = kind_of(&of, at, model, reader)?;
    let (by, at) = by?;
    let Some(property) = model.property(kind, &by) else {
        let own = model.properties.iter().filter(|p| p.kind == kind).map(|p| p.name.as_str());
        let mut problem = Problem::new("knowledge::unknown-name", at, "here", format!("unknown property `{by}`"));
        problem.help = did_you_mean(&by, own);
        reader.report(problem);
        return None;
    };
    let ty = model.properties.get(property.index())?.ty;
    let best = match (ty, best, most, least) {
        (PropertyType::Choice(of), Some(node), None, None) => {
            let named = texts(node, reader).into_iter().filter_map(|(t, s)| member(&t, s, of, model, reader));
            Some(Best::Order(named.collect())).filter(|b| *b != Best::Order(Vec::new()))
        }
        (PropertyType::YesNo, Some(node), None, None) => flag(node, reader).map(Best::YesNo),
        (PropertyType::Quantity(d) | PropertyType::Window(d), None, Some((most, at)), None) => {
            quantity(&most, at, d, model, reader).map(Best::Most)
        }
        (PropertyType::Quantity(d) | PropertyType::Window(d), None, None, Some((least, at))) => {
            quantity(&least, at, d, model, reader).map(Best::Least)
        }
        _ => {
            let message = format!("what is best of `{by}` is not said");
            reader.report(Problem::new("knowledge::wrong-type", span, "here", message).help(
                "write `best: [soft, medium]` of a choice, `best: yes` of a yes/no, `at_least:` or `at_most:` of a quantity",
            ));
            None
        }
    }?;
    let told = told.and_then(|t| {
        let told = <[String; 2]>::try_from(t.into_iter().map(|t| t.0).collect::<Vec<_>>()).ok();
        if told.is_none() {
            let problem = Problem::new("knowledge::wrong-type", span, "here", "yes and no are told by one word each");
            reader.report(problem.help("write `told: [good, weak]`"));
        }
        told
    });
    Some(Wish { name, called, property, best, words, told })
}
