//! A digest of what the knowledge means: the order of files and rules, layout and comments do not count.

use super::Model;
use std::fmt::Write as _;

/// FNV-1a, 64 bits: it tells versions apart and is no protection against forgery.
pub(super) fn of(model: &Model) -> String {
    let mut text = String::new();
    for d in &model.dimensions {
        let _ = writeln!(text, "dimension {:?}", (&d.name, &d.difference, &d.units, &d.nominal, &d.least));
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
            let _ = writeln!(text, "  assume {:?} {}", assumption.value, formula(assumption.guard.as_ref()));
        }
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
            "rule {} {} {} {} {:?} {:?}",
            rule.id,
            scope(&rule.scope),
            formula(Some(&rule.formula)),
            effect(&rule.effect),
            rule.origin.basis,
            rule.origin.sources
        );
    }
    for s in &model.sources {
        let _ = writeln!(text, "source {} {} {}", s.id, s.citation, s.read);
    }
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
