//! From model to program.

use super::{Check, Clauses, Hidden, Instance, Literal, Name, Need, Node, Num, Program, Said, Slot, TestId};
use crate::job::{Layout, hidden_domain};
use crate::model::{
    AttributeId, AttributeType, Combine, Effect, End, EntityId, Formula, Frame, KindId, Mask, Members, Model, Number,
    Per, Piece, Place, PropertyId, PropertyType, Role, Scope, Shape, Template, TestKind, Value,
};
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// Compiles a checked model.
pub fn compile(model: Arc<Model>) -> Program {
    let layout = Layout::of(&model);
    let mut c = Compiler {
        model: &model,
        layout: &layout,
        tests: Vec::new(),
        interned: FxHashMap::default(),
        hidden: Vec::new(),
        hidden_of: FxHashMap::default(),
        nodes: Vec::new(),
        node_of: FxHashMap::default(),
    };
    c.declare_nodes();
    let mut instances = Vec::new();
    for (index, rule) in model.rules.iter().enumerate() {
        for elements in c.elements(&rule.scope) {
            let presence = c.presence(&rule.scope, &elements);
            let tests: Vec<TestId> = rule.formula.tests.iter().map(|t| c.test(&t.kind, &elements)).collect();
            let clauses = c.clauses(&rule.formula.shape, &tests, &presence);
            // A value is read only where the rule can fire: elsewhere it may ask for what nobody wrote.
            let value = match &rule.effect {
                _ if clauses.is_empty() => None,
                Effect::Bound { value, .. } => Some(c.number(value, &elements)),
                Effect::Derive { value: Some(value), .. } => Some(c.number(value, &elements)),
                _ => None,
            };
            let text = match rule.effect.text() {
                Some(template) if !clauses.is_empty() => c.text(template, &rule.scope, &elements),
                _ => Vec::new(),
            };
            instances.push(Instance { rule: index as u16, elements, presence, tests, clauses, value, text });
        }
    }
    let mut needs = Vec::new();
    for (index, aspect) in model.aspects.iter().enumerate() {
        for elements in c.elements(&aspect.scope) {
            let presence = c.presence(&aspect.scope, &elements);
            let tests: Vec<TestId> = aspect.formula.tests.iter().map(|t| c.test(&t.kind, &elements)).collect();
            let clauses = c.clauses(&aspect.formula.shape, &tests, &presence);
            let grounds = grounds(&model, index, &elements, &instances);
            needs.push(Need { aspect: index as u16, elements, clauses, grounds });
        }
    }
    let guards = model
        .attributes
        .iter()
        .map(|a| a.assume.iter().map(|s| s.guard.as_ref().map(|g| c.formula(g, &[]))).collect())
        .collect();
    let (mut refusals, mut requirements, mut notes) = (vec![], vec![], vec![]);
    let (mut work, mut excludes) = (vec![], vec![]);
    for (index, instance) in instances.iter().enumerate() {
        if instance.clauses.is_empty() {
            continue;
        }
        let index = index as u32;
        match model.rules.get(usize::from(instance.rule)).map(|r| &r.effect) {
            Some(Effect::Refuse(_)) => refusals.push(index),
            Some(Effect::Require(_)) => requirements.push(index),
            Some(Effect::Note { .. }) => notes.push(index),
            Some(Effect::Do(_)) => work.push(index),
            Some(Effect::Exclude(_)) => excludes.push(index),
            Some(Effect::Derive { attribute, .. }) => c.contribute(*attribute, None, index),
            Some(Effect::Bound { setting, end, .. }) => c.contribute(*setting, Some(*end), index),
            _ => {}
        }
    }
    let layered = c.layered();
    let Compiler { tests, hidden, nodes, .. } = c;
    let mut windows = Vec::new();
    for (index, node) in nodes.iter().enumerate() {
        if node.end == Some(End::Low) {
            let high = nodes.iter().position(|n| n.attribute == node.attribute && n.end == Some(End::High));
            windows.extend(high.map(|h| (node.attribute, index as u16, h as u16)));
        }
    }
    windows.sort();
    Program {
        layout,
        tests,
        layered,
        hidden,
        instances,
        nodes,
        windows,
        needs,
        refusals,
        requirements,
        notes,
        work,
        excludes,
        guards,
        model,
    }
}

/// Support instances whose elements are those of the need, or fewer.
fn grounds(model: &Model, aspect: usize, elements: &[usize], instances: &[Instance]) -> Vec<u32> {
    let Some(own) = model.aspects.get(aspect) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for (index, instance) in instances.iter().enumerate() {
        let Some(rule) = model.rules.get(usize::from(instance.rule)) else {
            continue;
        };
        let Effect::Support { aspect: a, .. } = &rule.effect else {
            continue;
        };
        if a.index() != aspect || instance.clauses.is_empty() {
            continue;
        }
        let same = rule.scope.bounds.iter().zip(&instance.elements).all(|(b, e)| {
            own.scope
                .bounds
                .iter()
                .zip(elements)
                .any(|(o, x)| o.attribute == b.attribute && o.kind == b.kind && o.frame == b.frame && x == e)
        });
        if same {
            found.push(index as u32);
        }
    }
    found
}

struct Compiler<'a> {
    model: &'a Model,
    layout: &'a Layout,
    tests: Vec<Check>,
    interned: FxHashMap<Check, TestId>,
    hidden: Vec<Hidden>,
    hidden_of: FxHashMap<(EntityId, PropertyId), u16>,
    nodes: Vec<Node>,
    node_of: FxHashMap<(AttributeId, Option<End>), u16>,
}

/// What a place stands for once the bound entities are known.
enum Found {
    /// A member of the kind at hand.
    Member(usize),
    /// An open choice.
    Choice(Slot),
    /// Any other attribute or open value.
    Slot(Slot),
    /// A derived attribute or an end.
    Node(AttributeId, Option<End>, Frame),
    /// A knowledge value.
    Value(Value),
    /// The layer's place in the stack.
    Layer(Check),
    /// Differs by member of a choice.
    Switch(Slot, Vec<Found>),
}

impl Compiler<'_> {
    fn declare_nodes(&mut self) {
        let mut wanted: Vec<(AttributeId, Option<End>)> = Vec::new();
        for (index, attribute) in self.model.attributes.iter().enumerate() {
            let id = AttributeId(index as u16);
            match (attribute.role, attribute.ty) {
                (Role::Derived, _) => wanted.push((id, None)),
                (_, AttributeType::Setting(_)) => wanted.extend([(id, Some(End::Low)), (id, Some(End::High))]),
                _ => {}
            }
        }
        // In the order in which they hang on each other; the model has no cycles.
        let needs = self.model.derivation_needs();
        let mut done: Vec<(AttributeId, Option<End>)> = Vec::new();
        while done.len() < wanted.len() {
            let ready = wanted.iter().find(|w| {
                !done.contains(w)
                    && needs
                        .iter()
                        .filter(|(from, _)| from == *w)
                        .all(|(_, to)| done.contains(to) || !wanted.contains(to))
            });
            match ready.or_else(|| wanted.iter().find(|w| !done.contains(w))) {
                Some(next) => done.push(*next),
                None => break,
            }
        }
        for (id, end) in done {
            let Some(attribute) = id.of(self.model) else {
                continue;
            };
            let per_layer = attribute.per_layer;
            let slot = self.slot(id, if per_layer { Frame::This } else { Frame::Job });
            self.node_of.insert((id, end), self.nodes.len() as u16);
            self.nodes.push(Node {
                attribute: id,
                end,
                slot,
                combine: attribute.combine.unwrap_or(match end {
                    Some(End::High) => Combine::Min,
                    _ => Combine::Max,
                }),
                otherwise: attribute.otherwise.unwrap_or(0),
                yes_no: attribute.ty == AttributeType::YesNo,
                per_layer,
                from: Vec::new(),
            });
        }
    }

    fn contribute(&mut self, attribute: AttributeId, end: Option<End>, instance: u32) {
        if let Some(node) = self.node_of.get(&(attribute, end)).and_then(|n| self.nodes.get_mut(usize::from(*n))) {
            node.from.push(instance);
        }
    }

    fn slot(&self, id: AttributeId, frame: Frame) -> Slot {
        let index = self.layout.slots.get(id.index()).map_or(0, |s| s.1) as u16;
        match frame {
            Frame::Job => Slot::Root(index),
            Frame::This => Slot::This(index),
            Frame::Below => Slot::Below(index),
        }
    }

    /// All choices of the entities that a scope ranges over.
    fn elements(&self, scope: &Scope) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new()];
        for bound in &scope.bounds {
            let count = self.model.everyone(bound.kind).count();
            all = all
                .into_iter()
                .flat_map(|e: Vec<usize>| {
                    (0..count).map(move |m| {
                        let mut longer = e.clone();
                        longer.push(m);
                        longer
                    })
                })
                .collect();
        }
        all
    }

    fn presence(&mut self, scope: &Scope, elements: &[usize]) -> Vec<TestId> {
        let mut tests = Vec::new();
        for (bound, element) in scope.bounds.iter().zip(elements) {
            let slot = self.slot(bound.attribute, bound.frame);
            tests.push(self.intern(Check::Has(slot, Mask::one(*element))));
        }
        tests
    }

    fn intern(&mut self, check: Check) -> TestId {
        if let Some(id) = self.interned.get(&check) {
            return *id;
        }
        let id = TestId(self.tests.len() as u32);
        self.tests.push(check.clone());
        self.interned.insert(check, id);
        id
    }

    fn constant(&mut self, value: bool) -> TestId {
        self.intern(Check::Constant(value))
    }

    fn formula(&mut self, formula: &Formula, elements: &[usize]) -> Clauses {
        let tests: Vec<TestId> = formula.tests.iter().map(|t| self.test(&t.kind, elements)).collect();
        self.clauses(&formula.shape, &tests, &[])
    }

    /// Alternatives of literals, constants folded; presence leads each.
    fn clauses(&self, shape: &Shape, tests: &[TestId], presence: &[TestId]) -> Clauses {
        let mut clauses = self.expand(shape, false, tests);
        for clause in &mut clauses {
            let mut all: Vec<Literal> = presence.iter().map(|t| Literal { test: *t, negated: false }).collect();
            all.append(clause);
            let mut seen = Vec::new();
            all.retain(|l| {
                let fresh = !seen.contains(l);
                seen.push(*l);
                fresh
            });
            *clause = all;
        }
        clauses.retain(|c| !c.iter().any(|l| c.contains(&Literal { test: l.test, negated: !l.negated })));
        clauses
    }

    fn expand(&self, shape: &Shape, negated: bool, tests: &[TestId]) -> Clauses {
        match (shape, negated) {
            (Shape::Not(inner), _) => self.expand(inner, !negated, tests),
            (Shape::Test(i), _) => {
                let Some(test) = tests.get(*i).copied() else {
                    return vec![Vec::new()];
                };
                match self.tests.get(test.index()) {
                    Some(Check::Constant(value)) if *value != negated => vec![Vec::new()],
                    Some(Check::Constant(_)) => Vec::new(),
                    _ => vec![vec![Literal { test, negated }]],
                }
            }
            (Shape::Any(parts), false) | (Shape::All(parts), true) => {
                let mut all: Clauses = parts.iter().flat_map(|p| self.expand(p, negated, tests)).collect();
                // An alternative without conditions makes the others idle.
                if all.iter().any(Vec::is_empty) {
                    all = vec![Vec::new()];
                }
                all
            }
            (Shape::All(parts), false) | (Shape::Any(parts), true) => {
                let mut all: Clauses = vec![Vec::new()];
                for part in parts {
                    let next = self.expand(part, negated, tests);
                    let mut product = Vec::new();
                    for left in &all {
                        for right in &next {
                            let mut both = left.clone();
                            both.extend(right.iter().copied());
                            product.push(both);
                        }
                    }
                    all = product;
                }
                all
            }
        }
    }

    fn test(&mut self, kind: &TestKind, elements: &[usize]) -> TestId {
        match kind {
            TestKind::Compare(a, op, b) => {
                let (a, b) = (self.number(a, elements), self.number(b, elements));
                match (&a, &b) {
                    (Num::None, _) | (_, Num::None) => self.constant(false),
                    (Num::Constant(x), Num::Constant(y)) => {
                        let truth = op.holds(*x, *y);
                        self.constant(truth)
                    }
                    _ => self.intern(Check::Compare(a, *op, b)),
                }
            }
            TestKind::OneOf(place, mask) => {
                let found = self.find(place, elements);
                self.each(found, &|c, f| match f {
                    Found::Member(m) => Check::Constant(mask.has(*m)),
                    Found::Choice(slot) => Check::OneOf(*slot, *mask),
                    Found::Value(Value::Choice(m)) => Check::Constant(mask.has(*m)),
                    _ => {
                        let _ = c;
                        Check::Constant(false)
                    }
                })
            }
            TestKind::Holds(place) => {
                let found = self.find(place, elements);
                self.each(found, &|c, f| match f {
                    Found::Value(Value::YesNo(b)) => Check::Constant(*b),
                    Found::Slot(slot) => Check::Holds(*slot),
                    Found::Node(id, end, frame) => match c.node_of.get(&(*id, *end)) {
                        Some(node) => Check::Derived(*node, *frame),
                        None => Check::Constant(false),
                    },
                    Found::Layer(check) => check.clone(),
                    _ => Check::Constant(false),
                })
            }
            TestKind::Has(place, members) => {
                let mask = mask_of(members, elements);
                let found = self.find(place, elements);
                self.each(found, &|_, f| match f {
                    Found::Slot(slot) => Check::Has(*slot, mask),
                    Found::Value(Value::Set(s)) => Check::Constant(s.meets(mask)),
                    _ => Check::Constant(false),
                })
            }
            TestKind::InSet(choice, set) => {
                let set = self.find(set, elements);
                let choice = self.find(choice, elements);
                self.in_set(&choice, &set)
            }
            TestKind::Stated(id, frame) => self.intern(Check::Stated(self.slot(*id, *frame))),
            TestKind::Some(some) => {
                let slot = self.slot(some.bound.attribute, some.bound.frame);
                let count = self.model.everyone(some.bound.kind).count();
                let mut arms = Vec::new();
                for member in 0..count {
                    let mut inner = elements.to_vec();
                    inner.truncate(some.outer);
                    inner.push(member);
                    let clauses = self.formula(&some.formula, &inner);
                    if !clauses.is_empty() {
                        arms.push((member, clauses));
                    }
                }
                self.intern(Check::Some(slot, arms))
            }
        }
    }

    fn in_set(&mut self, choice: &Found, set: &Found) -> TestId {
        if let Found::Switch(slot, arms) = set {
            let arms: Vec<TestId> = arms.iter().map(|a| self.in_set(choice, a)).collect();
            return self.switch(*slot, arms);
        }
        if let Found::Switch(slot, arms) = choice {
            let arms: Vec<TestId> = arms.iter().map(|a| self.in_set(a, set)).collect();
            return self.switch(*slot, arms);
        }
        let member = match choice {
            Found::Member(m) | Found::Value(Value::Choice(m)) => Some(*m),
            _ => None,
        };
        let check = match (member, choice, set) {
            (Some(m), _, Found::Value(Value::Set(s))) => Check::Constant(s.has(m)),
            (Some(m), _, Found::Slot(s)) => Check::Has(*s, Mask::one(m)),
            (None, Found::Choice(c), Found::Value(Value::Set(s))) => Check::OneOf(*c, *s),
            (None, Found::Choice(c), Found::Slot(s)) => Check::Among(*c, *s),
            _ => Check::Constant(false),
        };
        self.intern(check)
    }

    fn each(&mut self, found: Found, leaf: &dyn Fn(&Self, &Found) -> Check) -> TestId {
        match found {
            Found::Switch(slot, arms) => {
                let arms: Vec<TestId> = arms.into_iter().map(|a| self.each(a, leaf)).collect();
                self.switch(slot, arms)
            }
            other => {
                let check = leaf(self, &other);
                self.intern(check)
            }
        }
    }

    fn switch(&mut self, slot: Slot, arms: Vec<TestId>) -> TestId {
        let constants: Option<Vec<bool>> = arms
            .iter()
            .map(|a| match self.tests.get(a.index()) {
                Some(Check::Constant(b)) => Some(*b),
                _ => None,
            })
            .collect();
        let check = match constants {
            Some(values) => {
                let mut mask = Mask::EMPTY;
                for (i, v) in values.iter().enumerate() {
                    if *v {
                        mask.insert(i);
                    }
                }
                if mask.is_empty() {
                    Check::Constant(false)
                } else if mask.count() == values.len() {
                    Check::Constant(true)
                } else {
                    Check::OneOf(slot, mask)
                }
            }
            None => Check::Switch(slot, arms),
        };
        self.intern(check)
    }

    fn find(&mut self, place: &Place, elements: &[usize]) -> Found {
        match place {
            Place::Attribute(id, frame) => {
                let Some(attribute) = id.of(self.model) else {
                    return Found::Value(Value::None);
                };
                match (attribute.role, attribute.ty) {
                    (Role::Derived, _) => Found::Node(*id, None, *frame),
                    (_, AttributeType::Choice(_)) => Found::Choice(self.slot(*id, *frame)),
                    _ => Found::Slot(self.slot(*id, *frame)),
                }
            }
            Place::Bound(i) => elements.get(*i).map_or(Found::Value(Value::None), |m| Found::Member(*m)),
            Place::Property(inner, property) => {
                let inner = self.find(inner, elements);
                self.property_of(inner, *property)
            }
            Place::First(frame) => Found::Layer(Check::First(*frame)),
            Place::Last(frame) => Found::Layer(Check::Last(*frame)),
        }
    }

    fn property_of(&mut self, inner: Found, property: PropertyId) -> Found {
        let Some(kind) = self.model.properties.get(property.index()).map(|p| p.kind) else {
            return Found::Value(Value::None);
        };
        match inner {
            Found::Member(m) | Found::Value(Value::Choice(m)) => self.fact(kind, m, property),
            Found::Choice(slot) => {
                let count = self.model.everyone(kind).count();
                Found::Switch(slot, (0..count).map(|m| self.fact(kind, m, property)).collect())
            }
            Found::Switch(slot, arms) => {
                Found::Switch(slot, arms.into_iter().map(|a| self.property_of(a, property)).collect())
            }
            _ => Found::Value(Value::None),
        }
    }

    fn fact(&mut self, kind: KindId, member: usize, property: PropertyId) -> Found {
        let Some(entity) = self.model.kinds.get(kind.index()).and_then(|k| k.members.get(member)).copied() else {
            return Found::Value(Value::None);
        };
        // A property that is not required and not written is not known.
        let value = self
            .model
            .entities
            .get(entity.index())
            .and_then(|e| e.facts.get(&property))
            .map_or(Value::Unknown, |f| f.value.clone());
        match hidden_domain(&value, property, self.model) {
            None => match value {
                Value::Disputed { plan, .. } => Found::Value(Value::Quantity(plan)),
                other => Found::Value(other),
            },
            Some(domain) => {
                let next = self.hidden.len() as u16;
                let index = *self.hidden_of.entry((entity, property)).or_insert(next);
                if index == next {
                    self.hidden.push(Hidden { entity, property, domain });
                }
                let slot = Slot::Hidden(index);
                match self.model.properties.get(property.index()).map(|p| p.ty) {
                    Some(PropertyType::Choice(_)) => Found::Choice(slot),
                    _ => Found::Slot(slot),
                }
            }
        }
    }

    fn number(&mut self, number: &Number, elements: &[usize]) -> Num {
        let both = |c: &mut Self, a: &Number, b: &Number| (c.number(a, elements), c.number(b, elements));
        match number {
            Number::Constant(v) => Num::Constant(*v),
            Number::Of(place) => {
                let found = self.find(place, elements);
                self.quantity(&found, None)
            }
            Number::End(Place::Attribute(id, frame), end) => match self.node_of.get(&(*id, Some(*end))) {
                Some(node) => Num::Node(*node, *frame),
                None => Num::None,
            },
            Number::End(place, end) => {
                let found = self.find(place, elements);
                self.quantity(&found, Some(*end))
            }
            Number::Share(place, members) => match self.find(place, elements) {
                Found::Slot(slot) => Num::Amount(slot, mask_of(members, elements)),
                _ => Num::None,
            },
            Number::Lookup(place, at) => {
                let at = self.number(at, elements);
                let found = self.find(place, elements);
                self.schedule(&found, &at)
            }
            Number::Add(a, b) => match both(self, a, b) {
                (Num::Constant(x), Num::Constant(y)) => Num::Constant(x + y),
                (Num::None, _) | (_, Num::None) => Num::None,
                // One sum of all: what two sums together may be is known less exactly.
                (Num::Amount(x, m), Num::Amount(y, n)) if x == y && !m.meets(n) => Num::Amount(x, m.or(n)),
                (a, b) => Num::Add(Box::new(a), Box::new(b)),
            },
            Number::Subtract(a, b) => match both(self, a, b) {
                (Num::Constant(x), Num::Constant(y)) => Num::Constant(x - y),
                (Num::None, _) | (_, Num::None) => Num::None,
                (a, b) => Num::Subtract(Box::new(a), Box::new(b)),
            },
            Number::Scale(a, by) => match self.number(a, elements) {
                Num::None => Num::None,
                a => Num::Scale(Box::new(a), *by),
            },
            Number::Min(a, b) => match both(self, a, b) {
                (Num::None, _) | (_, Num::None) => Num::None,
                (a, b) => Num::Min(Box::new(a), Box::new(b)),
            },
            Number::Max(a, b) => match both(self, a, b) {
                (Num::None, _) | (_, Num::None) => Num::None,
                (a, b) => Num::Max(Box::new(a), Box::new(b)),
            },
        }
    }

    fn text(&mut self, template: &Template, scope: &Scope, elements: &[usize]) -> Vec<Said> {
        let pieces = template.pieces.iter();
        pieces
            .map(|piece| match piece {
                Piece::Text(t) => Said::Text(t.clone()),
                Piece::Number(path, n, d) => Said::Number(path.clone(), self.number(n, elements), *d),
                Piece::Range(path, a, b, d) => {
                    Said::Range(path.clone(), self.number(a, elements), self.number(b, elements), *d)
                }
                Piece::Name(path, place) => {
                    let kind = self.kind_at(place, scope);
                    let found = self.find(place, elements);
                    Said::Name(path.clone(), self.name(&found, kind))
                }
            })
            .collect()
    }

    fn kind_at(&self, place: &Place, scope: &Scope) -> Option<KindId> {
        match place {
            Place::Attribute(id, _) => match id.of(self.model)?.ty {
                AttributeType::Choice(k)
                | AttributeType::Set(k)
                | AttributeType::Blend(k)
                | AttributeType::Amounts(k) => Some(k),
                _ => None,
            },
            Place::Bound(i) => scope.bounds.get(*i).map(|b| b.kind),
            Place::Property(_, p) => match self.model.properties.get(p.index())?.ty {
                PropertyType::Choice(k) | PropertyType::Set(k) => Some(k),
                _ => None,
            },
            Place::First(_) | Place::Last(_) => None,
        }
    }

    fn name(&self, found: &Found, kind: Option<KindId>) -> Name {
        let of = |m: usize| kind.and_then(|k| self.model.member(k, m)).map_or(String::new(), |e| e.name.clone());
        match (found, kind) {
            (Found::Member(m), _) | (Found::Value(Value::Choice(m)), _) => Name::Fixed(of(*m)),
            (Found::Choice(slot) | Found::Slot(slot), Some(k)) => Name::Of(*slot, k),
            (Found::Value(Value::Text(t)), _) => Name::Fixed(t.clone()),
            (Found::Value(Value::Set(m)), Some(k)) => Name::Fixed(self.model.names(k, *m).join(", ")),
            (Found::Switch(slot, arms), _) => Name::Switch(*slot, arms.iter().map(|a| self.name(a, kind)).collect()),
            (Found::Value(Value::None), _) => Name::Fixed("none".to_owned()),
            _ => Name::Fixed("not known".to_owned()),
        }
    }

    fn quantity(&self, found: &Found, end: Option<End>) -> Num {
        match (found, end) {
            (Found::Value(Value::Quantity(q)), _) => Num::Constant(*q),
            (Found::Value(Value::Window(low, _)), Some(End::Low)) => Num::Constant(*low),
            (Found::Value(Value::Window(_, high)), Some(End::High)) => Num::Constant(*high),
            (Found::Value(Value::Unknown), _) => Num::Unknown,
            (Found::Slot(slot), _) => Num::Slot(*slot),
            (Found::Node(id, e, frame), _) => match self.node_of.get(&(*id, *e)) {
                Some(node) => Num::Node(*node, *frame),
                None => Num::None,
            },
            (Found::Switch(slot, arms), _) => Num::Switch(*slot, arms.iter().map(|a| self.quantity(a, end)).collect()),
            _ => Num::None,
        }
    }

    fn schedule(&self, found: &Found, at: &Num) -> Num {
        match found {
            Found::Value(Value::Schedule(points)) => Num::Schedule(points.clone(), Box::new(at.clone())),
            Found::Switch(slot, arms) => Num::Switch(*slot, arms.iter().map(|a| self.schedule(a, at)).collect()),
            Found::Value(Value::Unknown) => Num::Unknown,
            _ => Num::None,
        }
    }

    fn layered(&self) -> Vec<bool> {
        let mut layered = vec![false; self.tests.len()];
        // Tests refer to earlier tests only.
        for (i, test) in self.tests.iter().enumerate() {
            let reads = match test {
                Check::Constant(_) => false,
                Check::OneOf(s, _) | Check::Holds(s) | Check::Has(s, _) | Check::Stated(s) => is_layer(*s),
                Check::Derived(_, f) => *f != Frame::Job,
                Check::First(_) | Check::Last(_) => true,
                Check::Among(a, b) => is_layer(*a) || is_layer(*b),
                Check::Switch(s, arms) => is_layer(*s) || arms.iter().any(|a| layered.get(a.index()) == Some(&true)),
                Check::Compare(a, _, b) => num_layered(a) || num_layered(b),
                Check::Some(s, arms) => {
                    is_layer(*s)
                        || arms.iter().flat_map(|a| &a.1).flatten().any(|l| layered.get(l.test.index()) == Some(&true))
                }
            };
            if let Some(l) = layered.get_mut(i) {
                *l = reads;
            }
        }
        layered
    }
}

fn is_layer(slot: Slot) -> bool {
    matches!(slot, Slot::This(_) | Slot::Below(_))
}

fn num_layered(num: &Num) -> bool {
    match num {
        Num::Constant(_) | Num::None | Num::Unknown => false,
        Num::Slot(s) | Num::Amount(s, _) => is_layer(*s),
        Num::Node(_, f) => *f != Frame::Job,
        Num::Switch(s, arms) => is_layer(*s) || arms.iter().any(num_layered),
        Num::Schedule(_, a) | Num::Scale(a, _) => num_layered(a),
        Num::Add(a, b) | Num::Subtract(a, b) | Num::Min(a, b) | Num::Max(a, b) => num_layered(a) || num_layered(b),
    }
}

fn mask_of(members: &Members, elements: &[usize]) -> Mask {
    match members {
        Members::Any(mask) => *mask,
        Members::Bound(i) => elements.get(*i).map_or(Mask::EMPTY, |m| Mask::one(*m)),
    }
}

impl Program {
    /// What a rule ranges over, by its number.
    pub fn rule_per(&self, rule: u16) -> Per {
        self.model.rules.get(usize::from(rule)).map_or(Per::Job, |r| r.scope.per)
    }
}
