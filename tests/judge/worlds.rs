//! Every complete job that statements leave, and the verdict on them by its definition.

use crate::reference::{Job, Judge, Level, Outcome, Val, count};
use std::collections::BTreeSet;
use washfast::job::{Domain, JobSet, Slot};
use washfast::model::{
    AssumedValue, AttributeId, AttributeType, Effect, EntityId, Formula, KindId, Mask, Model, Number, Place,
    PropertyId, PropertyType, Role, Scope, TestKind, Value,
};
use washfast::program::Program;
use washfast::quantity::{LEAST, MOST};
use washfast::reason::decide::{Code, Verdict};
use washfast::statement::{Finding, Stated};

/// More complete jobs than this are not enumerated.
const LIMIT: usize = 10_000;

/// Quantities that lie at, between and beyond all thresholds that the generated rules use.
const POINTS: [i64; 12] = [-30, -2, 0, 1, 2, 3, 4, 5, 6, 7, 9, 40];

/// All complete jobs (in coarse steps), and what is to be said of each.
pub(crate) struct Worlds {
    pub(crate) jobs: Vec<(Job, Outcome)>,
}

impl Worlds {
    /// Nothing where there are too many.
    pub(crate) fn of(model: &Model, stated: &Stated) -> Option<Self> {
        let jobs = all_jobs(model, stated)?;
        let judged = jobs.into_iter().map(|job| {
            let outcome = Judge { model, job: &job }.outcome();
            (job, outcome)
        });
        Some(Self { jobs: judged.collect() })
    }

    pub(crate) fn possible(&self) -> impl Iterator<Item = &(Job, Outcome)> {
        self.jobs.iter().filter(|(_, o)| o.is_possible())
    }

    /// Only the jobs of which something holds.
    pub(crate) fn narrowed(&self, keep: impl Fn(&Job) -> bool) -> Self {
        Self { jobs: self.jobs.iter().filter(|(j, _)| keep(j)).cloned().collect() }
    }

    pub(crate) fn seen(&self) -> Seen {
        self.possible().fold(Seen::default(), |seen, (_, outcome)| seen.with(outcome))
    }
}

/// What there is among the possible jobs.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Seen {
    pub(crate) plain: bool,
    pub(crate) conditional: bool,
    pub(crate) refused: bool,
    pub(crate) ungrounded: bool,
}

impl Seen {
    pub(crate) fn with(mut self, outcome: &Outcome) -> Self {
        match (outcome.is_refused(), outcome.lacking.is_empty(), outcome.required.is_empty()) {
            (true, _, _) => self.refused = true,
            (false, false, _) => self.ungrounded = true,
            (false, true, true) => self.plain = true,
            (false, true, false) => self.conditional = true,
        }
        self
    }

    /// The verdict by its definition.
    pub(crate) fn verdict(self) -> (Verdict, Code) {
        match (self.plain || self.conditional, self.refused, self.ungrounded) {
            (false, false, false) => (Verdict::Depends, Code::Contradiction),
            (true, false, false) if self.conditional => (Verdict::YesIf, Code::WorksIf),
            (true, false, false) => (Verdict::Yes, Code::Works),
            (true, true, _) => (Verdict::Depends, Code::OpenFact),
            (false, true, false) => (Verdict::No, Code::Refused),
            (_, _, true) => (Verdict::Depends, Code::NotKnown),
        }
    }
}

/// An attribute of a layer, or a value that the knowledge leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Unknown {
    Attribute(AttributeId, usize),
    Fact(EntityId, PropertyId),
}

#[derive(Debug, Clone)]
enum Candidate {
    Val(Val),
    Fact(Value),
}

/// What statements speak of: asked and not known is nothing said.
fn spoken_of(model: &Model, stated: &Stated) -> BTreeSet<(AttributeId, usize)> {
    let said = stated
        .statements
        .iter()
        .filter(|s| s.attribute.of(model).is_some_and(|a| s.domain != Domain::everything(a.ty, model)));
    said.map(|s| (s.attribute, s.layer)).collect()
}

fn all_jobs(model: &Model, stated: &Stated) -> Option<Vec<Job>> {
    let layers = stated.layers.max(1);
    let reads = Reads::of(model);
    let mut unknowns: Vec<(Unknown, Vec<Candidate>)> = Vec::new();
    for (index, attribute) in model.attributes.iter().enumerate() {
        let id = AttributeId(index as u16);
        let spoken = stated.statements.iter().any(|s| s.attribute == id);
        if attribute.role == Role::Derived || !(reads.attributes.contains(&id) || spoken) {
            continue;
        }
        for layer in 0..if attribute.per_layer { layers } else { 1 } {
            let said: Vec<&Domain> =
                stated.statements.iter().filter(|s| (s.attribute, s.layer) == (id, layer)).map(|s| &s.domain).collect();
            let mut values = values_of(model, id, &said);
            values.retain(|v| said.iter().all(|d| allows(d, v)));
            unknowns.push((Unknown::Attribute(id, layer), values.into_iter().map(Candidate::Val).collect()));
        }
    }
    for (entity, property) in open_facts(model, &reads) {
        let mut values = fact_values(model, entity, property);
        let found = stated.findings.iter().filter(|f| (f.entity, f.property) == (entity, property));
        found.for_each(|f| values.retain(|v| is_found(v, &f.domain)));
        unknowns.push((Unknown::Fact(entity, property), values.into_iter().map(Candidate::Fact).collect()));
    }
    let total = unknowns.iter().try_fold(1usize, |n, u| n.checked_mul(u.1.len()))?;
    if total > LIMIT {
        return None;
    }
    let stated = spoken_of(model, stated);
    let mut jobs = vec![Job { layers, stated, ..Job::default() }];
    for (unknown, candidates) in &unknowns {
        jobs = jobs
            .into_iter()
            .flat_map(|job| {
                candidates.iter().map(move |candidate| {
                    let mut job = job.clone();
                    match (unknown, candidate) {
                        (Unknown::Attribute(id, layer), Candidate::Val(v)) => {
                            job.values.insert((*id, *layer), v.clone());
                        }
                        (Unknown::Fact(e, p), Candidate::Fact(v)) => {
                            job.facts.insert((*e, *p), v.clone());
                        }
                        _ => {}
                    }
                    job
                })
            })
            .collect();
    }
    jobs.retain(|job| follows(model, job));
    Some(jobs)
}

/// Whether every following quantity lies where the property that it follows says.
pub(crate) fn follows(model: &Model, job: &Job) -> bool {
    job.values.iter().all(|((id, layer), value)| {
        let Some((leader, property)) = model.attributes[id.index()].follows else { return true };
        // What was measured stands, whatever its leader would say.
        if job.stated.contains(&(*id, *layer)) {
            return true;
        }
        let leader_layer = if model.attributes[leader.index()].per_layer { *layer } else { 0 };
        let (Val::Number(n), Some(Val::Choice(m))) = (value, job.values.get(&(leader, leader_layer))) else {
            return true;
        };
        let AttributeType::Choice(kind) = model.attributes[leader.index()].ty else { return true };
        let entity = model.kinds[kind.index()].members[*m];
        match model.entities[entity.index()].facts.get(&property).map(|f| &f.value) {
            Some(Value::Quantity(q)) => n == q,
            Some(Value::Varies(low, high)) => (low..=high).contains(&n),
            Some(Value::Disputed { plan, .. }) => n == plan,
            _ => true,
        }
    })
}

fn range_points(low: i64, high: i64) -> Vec<i64> {
    if high - low <= 12 {
        return (low..=high).collect();
    }
    let mut points: BTreeSet<i64> = POINTS.into_iter().filter(|p| (low..=high).contains(p)).collect();
    points.extend([low, high].into_iter().filter(|p| (LEAST + 1..MOST).contains(p)));
    points.into_iter().collect()
}

fn subsets(members: usize) -> Vec<Vec<bool>> {
    (0..1usize << members).map(|bits| (0..members).map(|m| bits >> m & 1 == 1).collect()).collect()
}

/// All ways to share a whole between members in steps of a part.
fn blends(members: usize, whole: i64, part: i64) -> Vec<Vec<i64>> {
    if members <= 1 {
        return vec![vec![whole; members]];
    }
    (0..=whole / part)
        .flat_map(|n| {
            blends(members - 1, whole - n * part, part).into_iter().map(move |mut rest| {
                rest.insert(0, n * part);
                rest
            })
        })
        .collect()
}

fn whole(model: &Model) -> i64 {
    model.dimensions.iter().find(|d| d.name == "percent").map_or(0, |d| d.units[0].steps * 100)
}

/// Everything that an attribute can be; what was said is used for where to look only.
fn values_of(model: &Model, id: AttributeId, said: &[&Domain]) -> Vec<Val> {
    let attribute = &model.attributes[id.index()];
    let unmentioned_material = attribute.role == Role::Chosen && attribute.material && said.is_empty();
    match attribute.ty {
        AttributeType::YesNo => vec![Val::YesNo(false), Val::YesNo(true)],
        AttributeType::Choice(k) => (0..count(model, k)).map(Val::Choice).collect(),
        AttributeType::Set(k) if unmentioned_material => vec![Val::Set(vec![false; count(model, k)])],
        AttributeType::Amounts(k) if unmentioned_material => vec![Val::Amounts(vec![0; count(model, k)])],
        AttributeType::Set(k) => subsets(count(model, k)).into_iter().map(Val::Set).collect(),
        AttributeType::Blend(k) => {
            let parts = if count(model, k) < 3 { 8 } else { 6 };
            blends(count(model, k), whole(model), whole(model) / parts).into_iter().map(Val::Amounts).collect()
        }
        AttributeType::Amounts(k) => {
            let mut all: Vec<Vec<i64>> = vec![Vec::new()];
            for member in 0..count(model, k) {
                let (mut low, mut high) = (0, whole(model));
                for domain in said {
                    if let Domain::Amounts(a) = domain {
                        let (a, b) = a.ranges[member];
                        (low, high) = (low.max(a), high.min(b));
                    }
                }
                let points: BTreeSet<i64> =
                    [low, high, 1, 150, 300, 301, 450].into_iter().filter(|p| (low..=high).contains(p)).collect();
                all = all.iter().flat_map(|d| points.iter().map(move |p| [d.as_slice(), &[*p]].concat())).collect();
            }
            all.into_iter().map(Val::Amounts).collect()
        }
        AttributeType::Quantity(d) => {
            let (mut low, mut high) = (model.dimensions[usize::from(d.0)].least.as_ref().map_or(LEAST, |l| l.0), MOST);
            for domain in said {
                if let Domain::Number { low: a, high: b } = domain {
                    (low, high) = (low.max(*a), high.min(*b));
                }
            }
            let mut points = range_points(low, high);
            if let Some((leader, property)) = attribute.follows
                && let AttributeType::Choice(k) = model.attributes[leader.index()].ty
            {
                for entity in &model.kinds[k.index()].members {
                    match model.entities[entity.index()].facts.get(&property).map(|f| &f.value) {
                        Some(Value::Quantity(q)) => points.push(*q),
                        Some(Value::Disputed { plan, .. }) => points.push(*plan),
                        _ => {}
                    }
                }
            }
            points.sort();
            points.dedup();
            points.into_iter().map(Val::Number).collect()
        }
        AttributeType::Setting(_) => {
            let (mut low, mut high) = (LEAST, MOST);
            for domain in said {
                if let Domain::Number { low: a, high: b } = domain {
                    (low, high) = (low.max(*a), high.min(*b));
                }
            }
            // Two statements that leave no value contradict each other: no job is as they say.
            if low > high { Vec::new() } else { vec![window(low, high)] }
        }
    }
}

fn window(low: i64, high: i64) -> Val {
    let level = |v: i64| match v {
        LEAST => Level::Below,
        MOST => Level::Above,
        v => Level::At(v),
    };
    Val::Window(level(low), level(high))
}

/// Whether a domain holds a value.
pub(crate) fn allows(domain: &Domain, value: &Val) -> bool {
    match (domain, value) {
        (Domain::Choice(mask), Val::Choice(m)) => mask.has(*m),
        (Domain::YesNo { yes, no }, Val::YesNo(b)) => {
            if *b {
                *yes
            } else {
                *no
            }
        }
        (Domain::Number { low, high }, Val::Number(n)) => (low..=high).contains(&n),
        (Domain::Set { must, may }, Val::Set(s)) => {
            s.iter().enumerate().all(|(m, there)| if *there { may.has(m) } else { !must.has(m) })
        }
        (Domain::Amounts(a), Val::Amounts(v)) => {
            a.ranges.iter().zip(v).all(|((low, high), x)| (low..=high).contains(&x))
                && a.sums.iter().all(|(mask, low, high)| {
                    let sum: i64 = mask.iter().map(|m| v[m]).sum();
                    (low..=high).contains(&&sum)
                })
        }
        // What was stated of a setting is its window.
        (Domain::Number { .. }, Val::Window(..)) => true,
        _ => panic!("{domain:?} is of another type than {value:?}"),
    }
}

/// Properties whose value in a complete job is not written.
fn open_facts(model: &Model, reads: &Reads) -> Vec<(EntityId, PropertyId)> {
    let mut open = Vec::new();
    for property in &reads.properties {
        let kind = model.properties[property.index()].kind;
        for entity in &model.kinds[kind.index()].members {
            match model.entities[entity.index()].facts.get(property).map(|f| &f.value) {
                None | Some(Value::Unknown | Value::Varies(..)) => open.push((*entity, *property)),
                _ => {}
            }
        }
    }
    open
}

fn fact_values(model: &Model, entity: EntityId, property: PropertyId) -> Vec<Value> {
    let ty = model.properties[property.index()].ty;
    if let Some(Value::Varies(low, high)) = model.entities[entity.index()].facts.get(&property).map(|f| &f.value) {
        return range_points(*low, *high).into_iter().map(Value::Quantity).collect();
    }
    match ty {
        PropertyType::Quantity(d) => {
            let least = model.dimensions[usize::from(d.0)].least.as_ref().map_or(LEAST, |l| l.0);
            range_points(least, MOST).into_iter().map(Value::Quantity).collect()
        }
        PropertyType::YesNo => vec![Value::YesNo(false), Value::YesNo(true)],
        PropertyType::Choice(k) => (0..count(model, k)).map(Value::Choice).collect(),
        PropertyType::Set(k) => subsets(count(model, k))
            .into_iter()
            .map(|s| {
                let mut mask = Mask::EMPTY;
                (0..s.len()).filter(|m| s[*m]).for_each(|m| mask.insert(m));
                Value::Set(mask)
            })
            .collect(),
        PropertyType::Window(_) => {
            let ends = [-30, 1, 3, 5, 40];
            let pairs = ends.iter().flat_map(|a| ends.iter().map(move |b| (*a, *b)));
            pairs.filter(|(a, b)| a <= b).map(|(a, b)| Value::Window(a, b)).collect()
        }
        PropertyType::Schedule { .. } => {
            let schedules: [&[(i64, i64)]; 5] =
                [&[(-90, -30)], &[(-90, 3)], &[(-90, 40)], &[(2, 5), (4, 1)], &[(90, 0)]];
            schedules.iter().map(|s| Value::Schedule(s.to_vec())).collect()
        }
        PropertyType::Text => vec![Value::Text(String::new())],
    }
}

/// What the rules and aspects read.
#[derive(Default)]
struct Reads {
    attributes: BTreeSet<AttributeId>,
    properties: BTreeSet<PropertyId>,
}

impl Reads {
    fn of(model: &Model) -> Self {
        let mut reads = Self::default();
        for rule in &model.rules {
            reads.scope(&rule.scope);
            reads.formula(&rule.formula);
            match &rule.effect {
                Effect::Bound { value, .. } | Effect::Derive { value: Some(value), .. } => reads.number(value),
                _ => {}
            }
        }
        for aspect in &model.aspects {
            reads.scope(&aspect.scope);
            reads.formula(&aspect.formula);
        }
        for attribute in &model.attributes {
            for assumption in &attribute.assume {
                if let Some(guard) = &assumption.guard {
                    reads.formula(guard);
                }
            }
        }
        // Settings have a window whether or not a rule reads it; a quantity comes with what it follows.
        for (index, attribute) in model.attributes.iter().enumerate() {
            let id = AttributeId(index as u16);
            if let Some((leader, _)) = attribute.follows {
                if reads.attributes.contains(&id) {
                    reads.attributes.insert(leader);
                } else if reads.attributes.contains(&leader) {
                    reads.attributes.insert(id);
                }
            }
        }
        reads
    }

    fn scope(&mut self, scope: &Scope) {
        self.attributes.extend(scope.bounds.iter().map(|b| b.attribute));
    }

    fn formula(&mut self, formula: &Formula) {
        for test in &formula.tests {
            match &test.kind {
                TestKind::Compare(a, _, b) => {
                    self.number(a);
                    self.number(b);
                }
                TestKind::OneOf(place, _) | TestKind::Holds(place) | TestKind::Has(place, _) => self.place(place),
                TestKind::InSet(a, b) => {
                    self.place(a);
                    self.place(b);
                }
                TestKind::Stated(..) => {}
                TestKind::Some(some) => {
                    self.attributes.insert(some.bound.attribute);
                    self.formula(&some.formula);
                }
            }
        }
    }

    fn place(&mut self, place: &Place) {
        match place {
            Place::Attribute(id, _) => {
                self.attributes.insert(*id);
            }
            Place::Property(inner, property) => {
                self.properties.insert(*property);
                self.place(inner);
            }
            Place::Bound(_) | Place::First(_) | Place::Last(_) => {}
        }
    }

    fn number(&mut self, number: &Number) {
        match number {
            Number::Constant(_) => {}
            Number::Of(place) | Number::End(place, _) | Number::Share(place, _) => self.place(place),
            Number::Lookup(place, at) => {
                self.place(place);
                self.number(at);
            }
            Number::Scale(a, _) => self.number(a),
            Number::Add(a, b) | Number::Subtract(a, b) | Number::Min(a, b) | Number::Max(a, b) => {
                self.number(a);
                self.number(b);
            }
        }
    }
}

/// A concrete job that the reasoner shows; nothing if something is still open in it.
fn stated_of(program: &Program, set: &JobSet) -> BTreeSet<(AttributeId, usize)> {
    let ids = (0..program.model.attributes.len()).map(|i| AttributeId(i as u16));
    let layers = set.layers.len();
    ids.flat_map(|id| (0..layers.max(1)).map(move |l| (id, l)))
        .filter(|(id, l)| {
            let (per_layer, slot) = program.layout.slots[id.index()];
            let slot = if per_layer { Slot::This(slot as u16) } else { Slot::Root(slot as u16) };
            (per_layer || *l == 0) && set.is_stated(slot, *l)
        })
        .collect()
}

pub(crate) fn concrete(program: &Program, set: &JobSet) -> Option<Job> {
    let model = &*program.model;
    let mut job = Job { layers: set.layers.len(), stated: stated_of(program, set), ..Job::default() };
    for (index, attribute) in model.attributes.iter().enumerate() {
        let (per_layer, slot) = program.layout.slots[index];
        if attribute.role == Role::Derived {
            continue;
        }
        for layer in 0..if per_layer { set.layers.len() } else { 1 } {
            let domain = if per_layer { &set.layers[layer][slot] } else { &set.root[slot] };
            let value = match (domain, attribute.ty) {
                (Domain::Number { low, high }, AttributeType::Setting(_)) => window(*low, *high),
                (Domain::Number { low, high }, _) if low == high => Val::Number(*low),
                (Domain::YesNo { yes, no }, _) if yes != no => Val::YesNo(*yes),
                (Domain::Choice(mask), _) => Val::Choice(mask.only()?),
                (Domain::Set { must, may }, AttributeType::Set(k)) if must == may => {
                    Val::Set((0..count(model, k)).map(|m| must.has(m)).collect())
                }
                (Domain::Amounts(a), _) if a.ranges.iter().all(|r| r.0 == r.1) => {
                    let values: Vec<i64> = a.ranges.iter().map(|r| r.0).collect();
                    assert!(values.iter().all(|v| *v >= 0), "an amount below nothing: {values:?}");
                    if matches!(attribute.ty, AttributeType::Blend(_)) {
                        assert_eq!(values.iter().sum::<i64>(), whole(model), "a blend that is no whole");
                    }
                    Val::Amounts(values)
                }
                _ => return None,
            };
            job.values.insert((AttributeId(index as u16), layer), value);
        }
    }
    // What no compiled rule reads may be anything.
    for (entity, property) in open_facts(model, &Reads::of(model)) {
        job.facts.insert((entity, property), fact_values(model, entity, property).swap_remove(0));
    }
    for (hidden, domain) in program.hidden.iter().zip(&set.hidden) {
        let value = match domain {
            Domain::Number { low, high } if low == high => Value::Quantity(*low),
            Domain::YesNo { yes, no } if yes != no => Value::YesNo(*yes),
            Domain::Choice(mask) => Value::Choice(mask.only()?),
            Domain::Set { must, may } if must == may => Value::Set(*must),
            _ => return None,
        };
        job.facts.insert((hidden.entity, hidden.property), value);
    }
    Some(job)
}

/// Whether a value of the knowledge is one of those that were found out.
pub(crate) fn is_found(value: &Value, found: &Domain) -> bool {
    match (value, found) {
        (Value::Quantity(q), Domain::Number { low, high }) => (low..=high).contains(&q),
        (Value::YesNo(b), Domain::YesNo { yes, no }) => *if *b { yes } else { no },
        (Value::Choice(m), Domain::Choice(mask)) => mask.has(*m),
        (Value::Set(s), Domain::Set { must, may }) => must.within(*s) && s.within(*may),
        _ => false,
    }
}

/// What a number makes of the open values of the knowledge: most stay open, the others are found to be something.
pub(crate) fn findings(model: &Model, seeds: &[usize]) -> Vec<Finding> {
    let mut open = open_facts(model, &Reads::of(model));
    open.sort_by_key(|(e, p)| (&model.entities[e.index()].id, &model.properties[p.index()].name));
    let found = open.into_iter().zip(seeds.iter().cycle()).filter(|(_, seed)| *seed % 3 == 0);
    let found = found.map(|((entity, property), seed)| {
        let values = fact_values(model, entity, property);
        let domain = match &values[seed / 3 % values.len()] {
            Value::Quantity(q) => Domain::Number { low: *q, high: *q },
            Value::YesNo(b) => Domain::YesNo { yes: *b, no: !*b },
            Value::Choice(m) => Domain::Choice(Mask::one(*m)),
            Value::Set(s) => Domain::Set { must: *s, may: *s },
            other => panic!("no value of an open fact: {other:?}"),
        };
        Finding { entity, property, domain, words: String::new() }
    });
    found.collect()
}

/// Whether a set that the reasoner shows holds a complete job.
pub(crate) fn contains(program: &Program, set: &JobSet, job: &Job) -> bool {
    let attributes = job.values.iter().all(|((id, layer), value)| {
        let (per_layer, slot) = program.layout.slots[id.index()];
        let domain = if per_layer { &set.layers[*layer][slot] } else { &set.root[slot] };
        allows(domain, value)
    });
    attributes
        && program.hidden.iter().zip(&set.hidden).all(|(hidden, domain)| {
            job.facts.get(&(hidden.entity, hidden.property)).is_none_or(|value| is_found(value, domain))
        })
}

/// A complete job as a set of one.
pub(crate) fn placed(program: &Program, set: &JobSet, job: &Job) -> JobSet {
    let mut one = set.clone();
    let mask = |members: &[bool]| {
        let mut mask = Mask::EMPTY;
        members.iter().enumerate().filter(|(_, there)| **there).for_each(|(m, _)| mask.insert(m));
        mask
    };
    for ((id, layer), value) in &job.values {
        let (per_layer, slot) = program.layout.slots[id.index()];
        let domain = if per_layer { &mut one.layers[*layer][slot] } else { &mut one.root[slot] };
        match (domain, value) {
            (Domain::Choice(own), Val::Choice(m)) => *own = Mask::one(*m),
            (Domain::YesNo { yes, no }, Val::YesNo(b)) => (*yes, *no) = (*b, !*b),
            (Domain::Number { low, high }, Val::Number(n)) => (*low, *high) = (*n, *n),
            (Domain::Set { must, may }, Val::Set(s)) => (*must, *may) = (mask(s), mask(s)),
            (Domain::Amounts(a), Val::Amounts(v)) => a.ranges = v.iter().map(|x| (*x, *x)).collect(),
            (Domain::Number { .. }, Val::Window(..)) => {}
            (domain, value) => panic!("{domain:?} is of another type than {value:?}"),
        }
    }
    for (hidden, domain) in program.hidden.iter().zip(&mut one.hidden) {
        match (job.facts.get(&(hidden.entity, hidden.property)), domain) {
            (Some(Value::Quantity(q)), Domain::Number { low, high }) => (*low, *high) = (*q, *q),
            (Some(Value::YesNo(b)), Domain::YesNo { yes, no }) => (*yes, *no) = (*b, !*b),
            (Some(Value::Choice(m)), Domain::Choice(own)) => *own = Mask::one(*m),
            (Some(Value::Set(s)), Domain::Set { must, may }) => (*must, *may) = (*s, *s),
            _ => {}
        }
    }
    one
}

/// The assumptions of the vocabulary, taken one by one where the guard holds of every job still possible.
pub(crate) fn assumed(
    model: &Model,
    stated: &Stated,
    worlds: &Worlds,
    skip: Option<(AttributeId, usize)>,
) -> (Worlds, Vec<(AttributeId, usize, usize)>) {
    let mut kept = worlds.narrowed(|_| true);
    let mut made = Vec::new();
    for (index, attribute) in model.attributes.iter().enumerate() {
        let id = AttributeId(index as u16);
        for layer in 0..if attribute.per_layer { stated.layers.max(1) } else { 1 } {
            // What was said bars an assumption, unless it only says which members are absent.
            let everyone = attribute.ty.members().map(|k| model.everyone(k));
            let rules_out = |d: &Domain| matches!(d, Domain::Set { must, may } if must.is_empty() && !may.is_empty() && Some(*may) != everyone);
            let mut said = stated.statements.iter().filter(|s| (s.attribute, s.layer) == (id, layer));
            if skip == Some((id, layer)) || said.any(|s| !rules_out(&s.domain)) {
                continue;
            }
            for (number, assumption) in attribute.assume.iter().enumerate() {
                let at = crate::reference::Instance { of: 0, layer, elements: Vec::new() };
                let guarded = assumption
                    .guard
                    .as_ref()
                    .is_none_or(|g| kept.possible().all(|(job, _)| Judge { model, job }.at(&at).holds(g)));
                if !guarded {
                    continue;
                }
                let tried = kept.narrowed(|job| match (job.values.get(&(id, layer)), &assumption.value) {
                    (Some(Val::YesNo(b)), AssumedValue::YesNo(a)) => a == b,
                    (Some(Val::Choice(m)), AssumedValue::Choice(a)) => a == m,
                    (Some(Val::Number(n)), AssumedValue::Quantity(a)) => a == n,
                    (Some(Val::Set(s)), AssumedValue::Set(a)) => (0..s.len()).all(|m| s[m] == a.has(m)),
                    _ => true,
                });
                // An assumption gives way to what was said.
                if tried.possible().next().is_some() {
                    kept = tried;
                    made.push((id, layer, number));
                    break;
                }
            }
        }
    }
    (kept, made)
}

/// Members of a kind by the ids of entities or classes.
pub(crate) fn members(model: &Model, kind: KindId, ids: &[&str]) -> Mask {
    ids.iter().fold(Mask::EMPTY, |mask, id| {
        mask.or(model.entity(kind, id).unwrap_or_else(|| panic!("no entity {id}")).members)
    })
}
