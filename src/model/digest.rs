//! A digest of what the knowledge means: the order of files and rules, layout and comments do not count.

use super::Model;
use crate::document::{Node, Value};
use std::fmt::Write as _;

/// FNV-1a, 64 bits: it tells versions apart and is no protection against forgery.
pub(super) fn of(model: &Model) -> String {
    let mut text = String::new();
    for d in &model.dimensions {
        let _ = writeln!(text, "dimension {:?}", (&d.name, &d.difference, &d.units, &d.nominal, &d.least));
    }
    for step in &model.steps {
        let _ = writeln!(text, "step {} {}", step.name, step.tests);
    }
    for kind in &model.kinds {
        let _ = writeln!(text, "kind {} {:?}", kind.name, kind.members);
    }
    for a in &model.attributes {
        let _ = writeln!(
            text,
            "attribute {} {:?}",
            a.name,
            (a.per_layer, a.ty, a.role, &a.usual, a.follows, a.combine, a.otherwise, a.material)
        );
        for assumption in &a.assume {
            let guard = formula(assumption.guard.as_ref());
            let _ = writeln!(text, "  assume {:?} {:?} {guard}", assumption.value, assumption.among);
        }
    }
    for w in &model.wishes.all {
        let _ = writeln!(text, "wish {} {:?}", w.name, (w.property, &w.best));
    }
    for aspect in &model.aspects {
        let _ = writeln!(text, "aspect {} {} {}", aspect.name, scope(&aspect.scope), formula(Some(&aspect.formula)));
    }
    let mut entities: Vec<_> = model.entities.iter().collect();
    entities.sort_by(|a, b| (a.kind, &a.id).cmp(&(b.kind, &b.id)));
    for e in entities {
        let mut aliases = e.aliases.clone();
        aliases.sort();
        let _ = writeln!(text, "entity {:?} {} {} {:?} {:?}", e.kind, e.id, e.name, aliases, e.members);
        let mut facts: Vec<_> = e.facts.iter().collect();
        facts.sort_by_key(|f| f.0);
        for (p, fact) in facts {
            let _ = writeln!(text, "  {:?} {:?} {:?} {:?}", p, fact.value, fact.origin.basis, fact.origin.sources);
        }
    }
    for rule in &model.rules {
        let _ = writeln!(
            text,
            "rule {} {} {} {} {:?} {:?} {:?}",
            rule.id,
            scope(&rule.scope),
            formula(Some(&rule.formula)),
            effect(&rule.effect),
            rule.lays,
            rule.origin.basis,
            rule.origin.sources
        );
    }
    for s in &model.sources {
        let _ = writeln!(text, "source {} {} {}", s.id, s.citation, s.read);
    }
    hash(&text)
}

/// As [`of`], for the documents of one overlay, each with its name below the overlay's folder: which file of a folder
/// an entry stands in does not count.
pub(super) fn of_documents<'a>(documents: impl Iterator<Item = (&'a str, &'a Node)>) -> String {
    let mut lines: Vec<String> = Vec::new();
    for (name, node) in documents {
        let folder = name.split_once('/').map_or(name, |p| p.0);
        match &node.value {
            Value::List(items) => lines.extend(items.iter().map(|i| format!("{folder} {}", canonical(i)))),
            _ => lines.push(format!("{folder} {}", canonical(node))),
        }
    }
    lines.sort();
    hash(&lines.join("\n"))
}

/// A document without its places, the keys of its maps in order.
fn canonical(node: &Node) -> String {
    match &node.value {
        Value::Null => "~".to_owned(),
        Value::Bool(b) => b.to_string(),
        Value::Text(t) => format!("{t:?}"),
        Value::List(items) => format!("{:?}", items.iter().map(canonical).collect::<Vec<_>>()),
        Value::Map(pairs) => {
            let mut pairs: Vec<(&str, String)> = pairs.iter().map(|(k, v)| (k.name.as_str(), canonical(v))).collect();
            pairs.sort();
            format!("{pairs:?}")
        }
    }
}

fn hash(text: &str) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in text.bytes() {
        hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    }
    format!("{hash:016x}")
}

fn scope(s: &super::Scope) -> String {
    let bounds: Vec<_> = s.bounds.iter().map(|b| (&b.name, b.kind, b.attribute, b.frame)).collect();
    format!("{:?} {bounds:?}", s.per)
}

fn formula(f: Option<&super::Formula>) -> String {
    match f {
        None => String::new(),
        Some(f) => {
            let tests: Vec<String> = f.tests.iter().map(test).collect();
            format!("{:?} {tests:?}", f.shape)
        }
    }
}

fn test(t: &super::Test) -> String {
    match &t.kind {
        super::TestKind::Some(some) => format!("some {:?} {}", some.bound.attribute, formula(Some(&some.formula))),
        other => format!("{other:?}"),
    }
}

fn effect(e: &super::Effect) -> String {
    format!("{e:?}")
}
