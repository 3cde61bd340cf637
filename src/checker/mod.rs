//! Checks a certificate against the knowledge, believing nothing of the reasoner's.
//!
//! It reads the model and the [`Proof`] alone. It never searches: whoever made the proof has to show the way.

mod set;

use crate::job::{Amounts, Domain};
use crate::model::{
    AspectId, AssumedValue, AttributeId, AttributeType, Effect, End, EntityId, Frame, Mask, Model, PropertyId, Rule,
    Scope, TestKind, Value,
};
use crate::proof::{Case, Evidence, Ground, Key, Part, Point, Proof, Step, Tree};
use crate::quantity::{LEAST, MOST};
use set::{At, Range, Set, compare, heard, kleene};
use std::collections::BTreeMap;

/// What is wrong with a proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Stable code.
    pub code: &'static str,
    /// Where: a rule, attribute or aspect.
    pub at: String,
}

type Checked = Result<(), Fault>;

fn fault<T>(code: &'static str, at: impl Into<String>) -> Result<T, Fault> {
    Err(Fault { code, at: at.into() })
}

/// Checks a proof.
///
/// # Errors
/// The first thing that does not hold.
pub fn check(model: &Model, proof: &Proof) -> Checked {
    if proof.digest != model.digest {
        return fault("other-knowledge", proof.digest.clone());
    }
    let every: Vec<usize> = (0..proof.world.said.len()).collect();
    let said = world(model, proof, &every)?;
    let mut whole = said.clone();
    for (name, layer, number) in &proof.assumed {
        assumption(&mut whole, name, *layer, *number, proof)?;
    }
    let mut seen = Seen::default();
    match (proof.verdict.as_str(), proof.code.as_str(), &proof.case) {
        ("yes", "works", Case::Whole(t)) => {
            tree(&whole, t, &|e| matches!(e, Evidence::Accepted { requirements: Some(_), .. }), &mut seen)?;
            if seen.accepted == 0 { fault("nothing-accepted", "") } else { Ok(()) }
        }
        ("yes-if", "works-if", Case::Whole(t)) => {
            tree(&whole, t, &|e| matches!(e, Evidence::Accepted { .. }), &mut seen)?;
            if seen.accepted == 0 { fault("nothing-accepted", "") } else { Ok(()) }
        }
        ("no", "refused", Case::Whole(t)) => {
            tree(&whole, t, &|e| matches!(e, Evidence::Refused(_) | Evidence::Crossed { .. }), &mut seen)?;
            if seen.refused == 0 { fault("nothing-refused", "") } else { Ok(()) }
        }
        ("depends", "open-fact", Case::Differ { one, other, covering }) => {
            point(&whole, one)?;
            point(&whole, other)?;
            if !matches!(one.evidence, Evidence::Accepted { .. }) {
                return fault("not-accepted", "");
            }
            if !matches!(other.evidence, Evidence::Refused(_) | Evidence::Crossed { .. }) {
                return fault("not-refused", "");
            }
            match covering {
                Some(t) => tree(&whole, t, &|_| true, &mut seen),
                None => Ok(()),
            }
        }
        ("depends", "not-known", Case::Lacking(p)) => {
            point(&whole, p)?;
            if matches!(p.evidence, Evidence::Lacking { .. }) { Ok(()) } else { fault("not-lacking", "") }
        }
        ("depends", "contradiction", Case::Contradiction(kept, t)) => {
            let some = world(model, proof, kept)?;
            tree(&some, t, &|_| false, &mut seen)
        }
        (_, _, Case::Incomplete) => fault("incomplete", ""),
        _ => fault("verdict", proof.verdict.clone()),
    }
}

#[derive(Default)]
struct Seen {
    accepted: usize,
    refused: usize,
}

fn attribute(model: &Model, name: &str) -> Result<AttributeId, Fault> {
    match model.attribute(name) {
        Some(id) => Ok(id),
        None => fault("unknown-attribute", name),
    }
}

/// The world of some of the statements.
fn world<'m>(model: &'m Model, proof: &Proof, kept: &[usize]) -> Result<Set<'m>, Fault> {
    if proof.world.layers == 0 || proof.world.layers > 64 {
        return fault("layers", proof.world.layers.to_string());
    }
    let mut set = Set::everything(model, proof.world.layers);
    let mut spoken: Vec<(AttributeId, usize)> = Vec::new();
    for number in kept {
        let Some(said) = proof.world.said.get(*number) else { return fault("statement", number.to_string()) };
        let id = attribute(model, &said.attribute)?;
        let Some(declared) = model.attributes.get(id.index()) else { return fault("unknown-attribute", "") };
        let whole = set.whole(declared.ty, false);
        let at = (id, said.layer);
        let Some(before) = set.values.get(&at) else { return fault("statement", said.attribute.clone()) };
        // A material is absent until it is spoken of.
        let before = if declared.material && !spoken.contains(&at) { whole.clone() } else { before.clone() };
        let Some(both) = meet(&before, &said.domain) else { return fault("statement-type", said.attribute.clone()) };
        set.values.insert(at, both);
        spoken.push(at);
        if said.domain != whole {
            set.stated.insert(at);
        }
    }
    for (key, left) in &proof.world.found {
        let (place, open) = lookup(&set, key)?;
        match (&place, meet(&open, left)) {
            (Place::Fact(_), Some(both)) => put(&mut set, &place, both),
            _ => return fault("finding", format!("{key:?}")),
        }
    }
    Ok(set)
}

fn assumption(set: &mut Set<'_>, name: &str, layer: usize, number: usize, proof: &Proof) -> Checked {
    let id = attribute(set.model, name)?;
    let found = set.model.attributes.get(id.index()).and_then(|a| a.assume.get(number));
    let Some(assumption) = found else { return fault("assumption", name) };
    let declared = set.model.attributes.get(id.index()).map(|a| a.ty);
    let bars = |d: &Domain| declared.is_none_or(|ty| !d.only_rules_out(ty, set.model));
    let mut said = proof.world.said.iter().filter(|s| s.attribute == name && s.layer == layer);
    let barred = match assumption.among {
        Some(class) => !said.any(|s| s.domain == Domain::Choice(class)),
        None => said.any(|s| bars(&s.domain)),
    };
    if barred {
        return fault("assumed-against-statement", name);
    }
    if let Some(guard) = &assumption.guard
        && set.formula(guard, &At { layer, elements: Vec::new() }) == Some(false)
    {
        return fault("guard", name);
    }
    let domain = match &assumption.value {
        AssumedValue::YesNo(b) => Domain::YesNo { yes: *b, no: !*b },
        AssumedValue::Choice(m) => Domain::Choice(Mask::one(*m)),
        AssumedValue::Set(m) => Domain::Set { must: *m, may: *m },
        AssumedValue::Quantity(q) => Domain::Number { low: *q, high: *q },
    };
    let Some(both) = set.values.get(&(id, layer)).and_then(|d| meet(d, &domain)) else {
        return fault("assumption", name);
    };
    set.values.insert((id, layer), both);
    Ok(())
}

/// What both domains allow; nothing if they are of different sorts.
fn meet(a: &Domain, b: &Domain) -> Option<Domain> {
    Some(match (a, b) {
        (Domain::Choice(x), Domain::Choice(y)) => Domain::Choice(x.and(*y)),
        (Domain::YesNo { yes: a, no: b }, Domain::YesNo { yes: c, no: d }) => {
            Domain::YesNo { yes: *a && *c, no: *b && *d }
        }
        (Domain::Number { low: a, high: b }, Domain::Number { low: c, high: d }) => {
            Domain::Number { low: *a.max(c), high: *b.min(d) }
        }
        (Domain::Set { must: a, may: b }, Domain::Set { must: c, may: d }) => {
            Domain::Set { must: a.or(*c), may: b.and(*d) }
        }
        (Domain::Amounts(x), Domain::Amounts(y)) if x.ranges.len() == y.ranges.len() => Domain::Amounts(Amounts {
            ranges: x.ranges.iter().zip(&y.ranges).map(|(a, b)| (a.0.max(b.0), a.1.min(b.1))).collect(),
            total: x.total.or(y.total),
            sums: x.sums.iter().chain(&y.sums).copied().collect(),
        }),
        _ => return None,
    })
}

fn is_empty(domain: &Domain) -> bool {
    match domain {
        Domain::Choice(m) => m.is_empty(),
        Domain::YesNo { yes, no } => !yes && !no,
        Domain::Number { low, high } => low > high,
        Domain::Set { must, may } => !must.within(*may),
        Domain::Amounts(a) => heard(a).is_none(),
    }
}

/// A quantity that follows a choice lies where one of its members has it; members that have it elsewhere are out.
fn follow(set: &mut Set<'_>) -> bool {
    for (index, attribute) in set.model.attributes.iter().enumerate() {
        let Some((leader, property)) = attribute.follows else { continue };
        let Some(AttributeType::Choice(kind)) = set.model.attributes.get(leader.index()).map(|a| a.ty) else {
            continue;
        };
        for layer in 0..if attribute.per_layer { set.layers } else { 1 } {
            let own = (AttributeId(index as u16), layer);
            let (Some(Domain::Number { low, high }), Some(Domain::Choice(possible))) =
                (set.values.get(&own).cloned(), set.values.get(&(leader, layer)).cloned())
            else {
                continue;
            };
            if set.stated.contains(&own) {
                continue;
            }
            let mut kept = Mask::EMPTY;
            let mut ends = (MOST, LEAST);
            for member in possible.iter() {
                let value = set.model.member(kind, member).and_then(|e| e.facts.get(&property)).map(|f| &f.value);
                let (a, b) = match value {
                    Some(Value::Quantity(q) | Value::Disputed { plan: q, .. }) => (*q, *q),
                    Some(Value::Varies(a, b)) => (*a, *b),
                    _ => (LEAST, MOST),
                };
                if a <= high && b >= low {
                    kept.insert(member);
                    ends = (ends.0.min(a), ends.1.max(b));
                }
            }
            if kept.is_empty() {
                return false;
            }
            set.values.insert((leader, layer), Domain::Choice(kept));
            set.values.insert(own, Domain::Number { low: low.max(ends.0), high: high.min(ends.1) });
        }
    }
    true
}

fn lookup(set: &Set<'_>, key: &Key) -> Result<(Place, Domain), Fault> {
    match key {
        Key::Attribute(name, layer) => {
            let at = (attribute(set.model, name)?, *layer);
            match set.values.get(&at) {
                Some(d) => Ok((Place::Attribute(at), d.clone())),
                None => fault("unknown-attribute", name.clone()),
            }
        }
        Key::Fact(kind, entity, property) => {
            let found = set.model.kind(kind).and_then(|k| {
                let id = set.model.entities.iter().position(|e| e.kind == k && e.id == *entity)?;
                let at = (EntityId(id as u16), set.model.property(k, property)?);
                Some((at, set.fact(at.0, at.1)?))
            });
            match found {
                Some((at, d)) => Ok((Place::Fact(at), d)),
                None => fault("unknown-fact", entity.clone()),
            }
        }
    }
}

enum Place {
    Attribute((AttributeId, usize)),
    Fact((EntityId, PropertyId)),
}

fn put(set: &mut Set<'_>, place: &Place, domain: Domain) {
    match place {
        Place::Attribute(at) => {
            set.values.insert(*at, domain);
        }
        Place::Fact(at) => {
            set.facts.insert(*at, domain);
        }
    }
}

fn tree(set: &Set<'_>, t: &Tree, fits: &dyn Fn(&Evidence) -> bool, seen: &mut Seen) -> Checked {
    let mut set = set.clone();
    let left = follow(&mut set);
    match t {
        Tree::Leaf(Evidence::Empty(key)) => {
            let (_, domain) = lookup(&set, key)?;
            if !left || is_empty(&domain) { Ok(()) } else { fault("not-empty", format!("{key:?}")) }
        }
        Tree::Leaf(Evidence::Excluded(step)) => excluded(&set, step),
        Tree::Leaf(evidence) => {
            if !fits(evidence) {
                return fault("evidence", "of another sort than the verdict needs");
            }
            match evidence {
                Evidence::Accepted { .. } => seen.accepted += 1,
                _ => seen.refused += 1,
            }
            self::evidence(&set, evidence)
        }
        Tree::Split(key, parts) => {
            let (place, domain) = lookup(&set, key)?;
            if !covers(&domain, parts.iter().map(|p| &p.0)) {
                return fault("not-covered", format!("{key:?}"));
            }
            for (part, inner) in parts {
                let narrowed = match (part, &domain) {
                    (Part::Domain(d), _) => meet(&domain, d),
                    (Part::Sum(members, low, high), Domain::Amounts(a)) => {
                        let mut a = a.clone();
                        let mut mask = Mask::EMPTY;
                        members.iter().for_each(|m| mask.insert(*m));
                        a.sums.push((mask, *low, *high));
                        Some(Domain::Amounts(a))
                    }
                    _ => None,
                };
                let Some(narrowed) = narrowed else { return fault("part", format!("{key:?}")) };
                let mut next = set.clone();
                put(&mut next, &place, narrowed);
                tree(&next, inner, fits, seen)?;
            }
            Ok(())
        }
    }
}

/// Whether parts together hold everything that a domain does.
fn covers<'a>(domain: &Domain, parts: impl Iterator<Item = &'a Part> + Clone) -> bool {
    let domains = || parts.clone().filter_map(|p| if let Part::Domain(d) = p { Some(d) } else { None });
    match domain {
        Domain::Choice(all) => {
            let held = domains().fold(Mask::EMPTY, |m, d| if let Domain::Choice(x) = d { m.or(*x) } else { m });
            all.within(held)
        }
        Domain::YesNo { yes, no } => {
            let holds = |pick: fn(bool, bool) -> bool| {
                domains().any(|d| matches!(d, Domain::YesNo { yes, no } if pick(*yes, *no)))
            };
            (!yes || holds(|y, _| y)) && (!no || holds(|_, n| n))
        }
        Domain::Number { low, high } => {
            let mut reached = *low;
            let mut pieces: Vec<(i64, i64)> = domains()
                .filter_map(|d| if let Domain::Number { low, high } = d { Some((*low, *high)) } else { None })
                .collect();
            pieces.sort_unstable();
            for (a, b) in pieces {
                if a <= reached && b >= reached {
                    reached = b.saturating_add(1);
                }
            }
            reached > *high
        }
        Domain::Set { must, may } => {
            // One part has a member in it, the other has it out; all else is as it was.
            let sets: Vec<(Mask, Mask)> = domains()
                .filter_map(|d| if let Domain::Set { must, may } = d { Some((*must, *may)) } else { None })
                .collect();
            sets.iter().any(|(m, y)| {
                let added = m.without(*must).only();
                *y == *may
                    && added.is_some_and(|x| sets.iter().any(|(n, z)| *n == *must && *z == may.without(Mask::one(x))))
            })
        }
        Domain::Amounts(_) => {
            let mut by_members: BTreeMap<&[usize], Vec<(i64, i64)>> = BTreeMap::new();
            for part in parts {
                if let Part::Sum(members, low, high) = part {
                    by_members.entry(members).or_default().push((*low, *high));
                }
            }
            by_members.values_mut().any(|pieces| {
                pieces.sort_unstable();
                let mut reached = 0;
                for (a, b) in pieces.iter() {
                    if *a <= reached && *b >= reached {
                        reached = b.saturating_add(1);
                    }
                }
                reached > MOST / 2
            })
        }
    }
}

/// A concrete job: inside the world, possible, and as its evidence says.
fn point(whole: &Set<'_>, p: &Point) -> Checked {
    let mut set = whole.clone();
    for (key, domain) in &p.values {
        let (place, allowed) = lookup(&set, key)?;
        let setting = match &place {
            Place::Attribute((id, _)) => {
                set.model.attributes.get(id.index()).is_some_and(|a| matches!(a.ty, AttributeType::Setting(_)))
            }
            Place::Fact(_) => false,
        };
        match meet(&allowed, domain) {
            Some(both) if both == *domain || settled(&both) => {
                if !setting && !settled(&both) {
                    return fault("point-open", format!("{key:?}"));
                }
                if is_empty(&both) {
                    return fault("point-outside", format!("{key:?}"));
                }
                put(&mut set, &place, both);
            }
            _ => return fault("point-outside", format!("{key:?}")),
        }
    }
    let open = set.values.iter().find(|((id, _), d)| {
        let setting = set.model.attributes.get(id.index()).is_some_and(|a| matches!(a.ty, AttributeType::Setting(_)));
        !setting && !settled(d)
    });
    if let Some(((id, _), _)) = open {
        return fault("point-open", set.model.attributes.get(id.index()).map_or(String::new(), |a| a.name.clone()));
    }
    let before = set.values.clone();
    if !follow(&mut set) || set.values != before {
        return fault("point-impossible", "what follows a choice");
    }
    for rule in set.model.rules.iter().filter(|r| matches!(r.effect, Effect::Exclude(_))) {
        for layer in set.frames(rule.scope.per) {
            for (elements, sure) in set.elements(&rule.scope, layer) {
                if set.rule(rule, layer, &elements, sure) != Some(false) {
                    return fault("point-impossible", rule.id.clone());
                }
            }
        }
    }
    evidence(&set, &p.evidence)
}

fn settled(domain: &Domain) -> bool {
    match domain {
        Domain::Choice(m) => m.only().is_some(),
        Domain::YesNo { yes, no } => yes != no,
        Domain::Number { low, high } => low == high,
        Domain::Set { must, may } => must == may,
        Domain::Amounts(a) => a.ranges.iter().all(|r| r.0 == r.1),
    }
}

fn evidence(set: &Set<'_>, e: &Evidence) -> Checked {
    match e {
        Evidence::Refused(step) => {
            let (rule, elements, sure) = read(set, step)?;
            if !matches!(rule.effect, Effect::Refuse(_)) {
                return fault("not-a-refusal", step.rule.clone());
            }
            stands(set, rule, &elements, sure, step, true)
        }
        Evidence::Crossed { setting, layer, low, high, at } => {
            crossed(set, setting, *layer, low.as_ref(), high.as_ref(), *at)
        }
        Evidence::Accepted { refusals, grounds, requirements } => {
            falsified(set, refusals, |f| matches!(f, Effect::Refuse(_)), "refusal-missing")?;
            open_windows(set)?;
            grounded(set, grounds)?;
            match requirements {
                Some(list) => falsified(set, list, |f| matches!(f, Effect::Require(_)), "requirement-missing"),
                None => Ok(()),
            }
        }
        Evidence::Lacking { refusals, aspect, layer, elements } => {
            falsified(set, refusals, |f| matches!(f, Effect::Refuse(_)), "refusal-missing")?;
            open_windows(set)?;
            lacking(set, aspect, *layer, elements)
        }
        Evidence::Excluded(step) => excluded(set, step),
        Evidence::Empty(key) => fault("not-empty", format!("{key:?}")),
    }
}

fn excluded(set: &Set<'_>, step: &Step) -> Checked {
    let (rule, elements, sure) = read(set, step)?;
    if !matches!(rule.effect, Effect::Exclude(_)) {
        return fault("not-an-exclusion", step.rule.clone());
    }
    stands(set, rule, &elements, sure, step, true)
}

/// The rule of a step, its entities and whether they are surely present. Basis and sources must be the rule's own.
fn read<'m>(set: &Set<'m>, step: &Step) -> Result<(&'m Rule, Vec<usize>, bool), Fault> {
    let Some(rule) = set.model.rules.iter().find(|r| r.id == step.rule) else {
        return fault("unknown-rule", step.rule.clone());
    };
    if rule.origin.basis.words() != step.basis {
        return fault("wrong-basis", step.rule.clone());
    }
    let sources = rule.origin.sources.iter().filter_map(|s| set.model.sources.get(s.index())).map(|s| s.id.as_str());
    if !sources.eq(step.sources.iter().map(String::as_str)) {
        return fault("wrong-source", step.rule.clone());
    }
    if !set.frames(rule.scope.per).contains(&step.layer) {
        return fault("layer", step.rule.clone());
    }
    let elements = ordinals(set, &rule.scope, &step.elements)?;
    let sure = set.elements(&rule.scope, step.layer).into_iter().find(|(e, _)| *e == elements);
    Ok((rule, elements, sure.is_some_and(|s| s.1)))
}

fn ordinals(set: &Set<'_>, scope: &Scope, names: &[String]) -> Result<Vec<usize>, Fault> {
    if scope.bounds.len() != names.len() {
        return fault("elements", names.join(", "));
    }
    let mut elements = Vec::new();
    for (bound, name) in scope.bounds.iter().zip(names) {
        match set.model.entity(bound.kind, name).and_then(|e| e.ordinal) {
            Some(o) => elements.push(o),
            None => return fault("elements", name.clone()),
        }
    }
    Ok(elements)
}

/// The jobs of a set in which these entities are present.
fn with<'m>(set: &Set<'m>, scope: &Scope, elements: &[usize], layer: usize) -> Set<'m> {
    let mut there = set.clone();
    for (bound, member) in scope.bounds.iter().zip(elements) {
        let layer = match bound.frame {
            Frame::Job => 0,
            Frame::This => layer,
            Frame::Below => layer.saturating_sub(1),
        };
        match there.values.get_mut(&(bound.attribute, layer)) {
            Some(Domain::Amounts(a)) => {
                if let Some(r) = a.ranges.get_mut(*member) {
                    r.0 = r.0.max(1);
                }
            }
            Some(Domain::Set { must, .. }) => must.insert(*member),
            _ => {}
        }
    }
    there
}

/// Whether the tests that a step lists are as it says, and make its rule hold or fail.
fn stands(set: &Set<'_>, rule: &Rule, elements: &[usize], sure: bool, step: &Step, holds: bool) -> Checked {
    let known = claims(set, rule, elements, step)?;
    let truth = kleene(&rule.formula.shape, &|i| known.get(&i).copied());
    match (truth, holds, sure) {
        (Some(true), true, true) | (Some(false), false, _) => Ok(()),
        (_, true, false) => fault("not-present", step.rule.clone()),
        _ => fault("not-shown", step.rule.clone()),
    }
}

/// The tests that a step lists, each found to be as it says.
fn claims(set: &Set<'_>, rule: &Rule, elements: &[usize], step: &Step) -> Result<BTreeMap<usize, bool>, Fault> {
    let at = At { layer: step.layer, elements: elements.to_vec() };
    let mut known: BTreeMap<usize, bool> = BTreeMap::new();
    for claim in &step.tests {
        let Some(test) = rule.formula.tests.get(claim.test) else { return fault("test", step.rule.clone()) };
        if set.test(&test.kind, &at) != Some(claim.holds) {
            return fault("test-wrong", format!("{} test {}", step.rule, claim.test));
        }
        if let (Some((a, b)), TestKind::Compare(left, op, right)) = (claim.sides, &test.kind) {
            let within = |claimed: (i64, i64), own: Range| claimed.0 <= own.low && own.high <= claimed.1;
            let sides = within(a, set.number(left, &at)) && within(b, set.number(right, &at));
            if !sides || compare(Range::of(a.0, a.1), *op, Range::of(b.0, b.1)) != Some(claim.holds) {
                return fault("sides-wrong", format!("{} test {}", step.rule, claim.test));
            }
        }
        known.insert(claim.test, claim.holds);
    }
    Ok(known)
}

/// For every rule of an effect, layer and entities possibly there: a step that shows it false.
fn falsified(set: &Set<'_>, steps: &[Step], of: impl Fn(&Effect) -> bool, missing: &'static str) -> Checked {
    for rule in set.model.rules.iter().filter(|r| of(&r.effect)) {
        for layer in set.frames(rule.scope.per) {
            for (elements, _) in set.elements(&rule.scope, layer) {
                let ids = names(set, &rule.scope, &elements);
                let step = steps.iter().find(|s| s.rule == rule.id && s.layer == layer && s.elements == ids);
                let Some(step) = step else { return fault(missing, format!("{} {}", rule.id, ids.join(", "))) };
                read(set, step)?;
                // Where the entities are absent there is nothing to show.
                let there = with(set, &rule.scope, &elements, layer);
                let at = At { layer, elements: elements.clone() };
                if there.formula(&rule.formula, &at) != Some(false) {
                    return fault("not-shown", step.rule.clone());
                }
                claims(set, rule, &elements, step)?;
            }
        }
    }
    Ok(())
}

fn names(set: &Set<'_>, scope: &Scope, elements: &[usize]) -> Vec<String> {
    let pairs = scope.bounds.iter().zip(elements);
    pairs.filter_map(|(b, m)| set.model.member(b.kind, *m)).map(|e| e.id.clone()).collect()
}

/// No window can be without a value.
fn open_windows(set: &Set<'_>) -> Checked {
    for (index, attribute) in set.model.attributes.iter().enumerate() {
        if !matches!(attribute.ty, AttributeType::Setting(_)) {
            continue;
        }
        let id = AttributeId(index as u16);
        for layer in 0..if attribute.per_layer { set.layers } else { 1 } {
            let (low, high) = (set.end(id, layer, End::Low), set.end(id, layer, End::High));
            if low.high > high.low || low.high >= MOST {
                return fault("window-may-cross", attribute.name.clone());
            }
        }
    }
    Ok(())
}

fn crossed(
    set: &Set<'_>,
    setting: &str,
    layer: usize,
    low: Option<&Step>,
    high: Option<&Step>,
    at: (i64, i64),
) -> Checked {
    let id = attribute(set.model, setting)?;
    let stated = set.values.get(&(id, layer));
    for (step, which, place) in [(low, End::Low, at.0), (high, End::High, at.1)] {
        match step {
            None => {
                let own = match (stated, which) {
                    (Some(Domain::Number { low, .. }), End::Low) => *low,
                    (Some(Domain::Number { high, .. }), End::High) => *high,
                    _ => return fault("setting", setting),
                };
                if own != place {
                    return fault("bound-moved", setting);
                }
            }
            Some(step) => {
                let (rule, elements, sure) = read(set, step)?;
                let Effect::Bound { setting: s, end, value, .. } = &rule.effect else {
                    return fault("not-a-bound", step.rule.clone());
                };
                if *s != id || *end != which {
                    return fault("not-a-bound", step.rule.clone());
                }
                stands(set, rule, &elements, sure, step, true)?;
                let own = set.number(value, &At { layer: step.layer, elements });
                let lies = if which == End::Low { own.low } else { own.high };
                if own.none != Some(false) || lies != place || step.value != Some((own.low, own.high)) {
                    return fault("bound-moved", step.rule.clone());
                }
            }
        }
    }
    if at.0 > at.1 || at.0 >= MOST { Ok(()) } else { fault("no-crossing", setting) }
}

fn aspect<'m>(set: &Set<'m>, name: &str) -> Result<(AspectId, &'m crate::model::Aspect), Fault> {
    let found = set.model.aspects.iter().enumerate().find(|(_, a)| a.name == name);
    match found {
        Some((i, a)) => Ok((AspectId(i as u16), a)),
        None => fault("unknown-aspect", name),
    }
}

/// Every aspect that may be needed has a support that surely fires.
fn grounded(set: &Set<'_>, grounds: &[Ground]) -> Checked {
    for (index, aspect) in set.model.aspects.iter().enumerate() {
        for layer in set.frames(aspect.scope.per) {
            for (elements, _) in set.elements(&aspect.scope, layer) {
                let at = At { layer, elements: elements.clone() };
                // Grounds are needed only where the entities are.
                if with(set, &aspect.scope, &elements, layer).formula(&aspect.formula, &at) == Some(false) {
                    continue;
                }
                let ids = names(set, &aspect.scope, &elements);
                let ground = grounds.iter().find(|g| g.aspect == aspect.name && g.layer == layer && g.elements == ids);
                let Some(step) = ground.and_then(|g| g.by.as_ref()) else {
                    return fault("ground-missing", format!("{} {}", aspect.name, ids.join(", ")));
                };
                let (rule, own, sure) = read(set, step)?;
                let ours = matches!(rule.effect, Effect::Support { aspect: a, .. } if a.index() == index);
                let same_layer = step.layer == layer || rule.scope.per == crate::model::Per::Job;
                if !ours || !same_layer || !reaches(&rule.scope, &own, &aspect.scope, &elements) {
                    return fault("wrong-ground", step.rule.clone());
                }
                // Where the element itself is only possibly present, its grounds are needed only where it is.
                stands(set, rule, &own, sure || !own.is_empty(), step, true)?;
            }
        }
    }
    Ok(())
}

/// Whether a support's entities are the aspect's own, or fewer.
fn reaches(rule: &Scope, own: &[usize], aspect: &Scope, elements: &[usize]) -> bool {
    rule.bounds.iter().zip(own).all(|(b, e)| {
        aspect
            .bounds
            .iter()
            .zip(elements)
            .any(|(o, x)| (o.attribute, o.kind, o.frame, *x) == (b.attribute, b.kind, b.frame, *e))
    })
}

/// An aspect is needed, and no support can fire.
fn lacking(set: &Set<'_>, name: &str, layer: usize, ids: &[String]) -> Checked {
    let (id, aspect) = aspect(set, name)?;
    let elements = ordinals(set, &aspect.scope, ids)?;
    let present = set.elements(&aspect.scope, layer).into_iter().find(|(e, _)| *e == elements);
    let at = At { layer, elements: elements.clone() };
    if !present.is_some_and(|p| p.1) || set.formula(&aspect.formula, &at) != Some(true) {
        return fault("not-needed", name);
    }
    for rule in set.model.rules.iter().filter(|r| matches!(r.effect, Effect::Support { aspect, .. } if aspect == id)) {
        let frames = if rule.scope.per == crate::model::Per::Job { 0..1 } else { layer..layer + 1 };
        for frame in frames {
            for (own, sure) in set.elements(&rule.scope, frame) {
                if reaches(&rule.scope, &own, &aspect.scope, &elements)
                    && set.rule(rule, frame, &own, sure) != Some(false)
                {
                    return fault("grounds-exist", rule.id.clone());
                }
            }
        }
    }
    Ok(())
}
