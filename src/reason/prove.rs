//! Makes the certificate of a decision.
//!
//! Sets are split without propagation, so that each step is one that an independent reader can follow: a part is
//! refused, accepted, impossible, or split further.

use super::decide::{Code, Decision, Verdict, base, fired, strongest};
use super::evaluate::{Evaluation, Truth};
use super::split::{Parts, follow, slot_of, split_clauses, split_node};
use crate::job::{Domain, JobSet, Slot};
use crate::model::{AttributeId, Effect, End, EntityId, Frame, Mask, Per, PropertyId, Role};
use crate::program::{Check, Instance, Need, Program};
use crate::proof::{Case, Claim, Evidence, Ground, Key, Part, Point, Proof, Said, Step, Tree, World};
use crate::quantity::{LEAST, MOST};
use crate::statement::{Finding, Stated};

/// Parts that a covering tree may have.
const PARTS: u32 = 3000;
/// Parts that the covering of an open answer may have.
const FEW: u32 = 300;
const DEPTH: u32 = 12;

/// The certificate of a decision about statements.
pub fn prove(program: &Program, stated: &Stated, decision: &Decision) -> Proof {
    let model = &program.model;
    let name = |id: AttributeId| id.of(model).map_or(String::new(), |a| a.name.clone());
    let said = stated.statements.iter();
    let prover = Prover { program };
    let found = |f: &Finding| Some((prover.fact(f.entity, f.property)?, f.domain.clone()));
    let world = World {
        layers: stated.layers.max(1),
        said: said.map(|s| Said { attribute: name(s.attribute), layer: s.layer, domain: s.domain.clone() }).collect(),
        found: stated.findings.iter().filter_map(found).collect(),
    };
    let assumed: Vec<(String, usize, usize)> =
        decision.assumed.iter().map(|a| (name(a.attribute), a.layer, a.index)).collect();
    let start = assumed_world(program, stated, decision);
    Proof {
        digest: model.digest.clone(),
        verdict: decision.verdict.word().to_owned(),
        code: decision.code.word().to_owned(),
        world,
        assumed,
        case: case(program, stated, decision, &start).unwrap_or(Case::Incomplete),
    }
}

/// What was said and assumed, not narrowed by anything that follows from it.
fn assumed_world(program: &Program, stated: &Stated, decision: &Decision) -> JobSet {
    let mut job = base(program, stated);
    for a in &decision.assumed {
        let Some(assumption) = a.attribute.of(&program.model).and_then(|x| x.assume.get(a.index)) else { continue };
        if let Some(d) = job.domain_mut(slot_of(program, a.attribute), a.layer) {
            *d = d.and(&assumption.value.domain());
        }
    }
    job
}

fn case(program: &Program, stated: &Stated, decision: &Decision, start: &JobSet) -> Option<Case> {
    let prover = Prover { program };
    let mut budget = PARTS;
    match (decision.verdict, decision.code) {
        (_, Code::Undecided) => None,
        (_, Code::Contradiction) => {
            let world = base(program, &stated.only(&decision.contradiction));
            let tree = prover.tree(&world, Wanted::Impossible, &mut budget)?;
            Some(Case::Contradiction(decision.contradiction.clone(), tree))
        }
        (Verdict::Yes, _) => prover.tree(start, Wanted::Plain, &mut budget).map(Case::Whole),
        (Verdict::YesIf, _) => prover.tree(start, Wanted::Accepted, &mut budget).map(Case::Whole),
        (Verdict::No, _) => prover.tree(start, Wanted::Refused, &mut budget).map(Case::Whole),
        (Verdict::Depends, Code::OpenFact) => {
            let one = prover.point(decision.accepted.as_ref()?)?;
            let other = prover.point(decision.refused.as_ref()?)?;
            let covering = prover.tree(start, Wanted::Anything, &mut FEW.clone());
            Some(Case::Differ { one, other, covering })
        }
        (Verdict::Depends, _) => prover.point(decision.ungrounded.as_ref()?).map(Case::Lacking),
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    Plain,
    Accepted,
    Refused,
    Impossible,
    Anything,
}

struct Prover<'a> {
    program: &'a Program,
}

impl Prover<'_> {
    /// Splits a set until each part has evidence of the wanted sort.
    fn tree(&self, job: &JobSet, wanted: Wanted, budget: &mut u32) -> Option<Tree> {
        *budget = budget.checked_sub(1)?;
        let mut job = job.clone();
        if let Some(key) = self.empty(&mut job) {
            return Some(Tree::Leaf(Evidence::Empty(key)));
        }
        let e = Evaluation::new(self.program, &job);
        if let Some(step) = self.first(&e, &self.program.excludes) {
            return Some(Tree::Leaf(Evidence::Excluded(step)));
        }
        if wanted != Wanted::Impossible
            && let Some(evidence) = self.evidence(&e, wanted)
        {
            return Some(Tree::Leaf(evidence));
        }
        let parts = self.next(&e, wanted)?;
        let (key, first, second) = self.difference(&job, &parts)?;
        let towards = self.tree(&parts.towards, wanted, budget)?;
        let away = self.tree(&parts.away, wanted, budget)?;
        Some(Tree::Split(key, vec![(first, towards), (second, away)]))
    }

    /// Narrows what follows a choice; names a domain of which nothing is left.
    fn empty(&self, job: &mut JobSet) -> Option<Key> {
        let left = follow(self.program, job);
        let all = self.keys(job);
        let gone = all.into_iter().find(|(_, slot, layer)| job.domain(*slot, *layer).is_some_and(Domain::is_empty));
        match gone {
            Some((key, ..)) => Some(key),
            // A follower and its leader have nothing in common: the follower is named.
            None if !left => {
                let (index, _) = self.program.model.attributes.iter().enumerate().find(|(_, a)| a.follows.is_some())?;
                self.key(slot_of(self.program, AttributeId(index as u16)), 0)
            }
            None => None,
        }
    }

    fn keys(&self, job: &JobSet) -> Vec<(Key, Slot, usize)> {
        let mut all = Vec::new();
        for (index, attribute) in self.program.model.attributes.iter().enumerate() {
            if attribute.role == Role::Derived {
                continue;
            }
            let slot = slot_of(self.program, AttributeId(index as u16));
            for layer in 0..if attribute.per_layer { job.layers.len() } else { 1 } {
                all.push((Key::Attribute(attribute.name.clone(), layer), slot, layer));
            }
        }
        for index in 0..self.program.hidden.len() {
            let slot = Slot::Hidden(index as u16);
            all.extend(self.key(slot, 0).map(|k| (k, slot, 0)));
        }
        all
    }

    fn key(&self, slot: Slot, layer: usize) -> Option<Key> {
        let model = &self.program.model;
        let attribute = |i: usize| model.attributes.get(i).map(|a| a.name.clone());
        Some(match slot {
            Slot::Root(i) => Key::Attribute(attribute(*self.program.layout.root.get(usize::from(i))?)?, 0),
            Slot::This(i) => Key::Attribute(attribute(*self.program.layout.layer.get(usize::from(i))?)?, layer),
            Slot::Below(_) => return None,
            Slot::Hidden(i) => {
                let hidden = self.program.hidden.get(usize::from(i))?;
                self.fact(hidden.entity, hidden.property)?
            }
        })
    }

    fn fact(&self, entity: EntityId, property: PropertyId) -> Option<Key> {
        let model = &self.program.model;
        let entity = model.entities.get(entity.index())?;
        let kind = model.kinds.get(entity.kind.index())?;
        let property = model.properties.get(property.index())?;
        Some(Key::Fact(kind.name.clone(), entity.id.clone(), property.name.clone()))
    }

    /// The one domain in which two parts differ from their whole.
    fn difference(&self, job: &JobSet, parts: &Parts) -> Option<(Key, Part, Part)> {
        let changed = self.keys(job).into_iter().find(|(_, slot, layer)| {
            parts.towards.domain(*slot, *layer) != job.domain(*slot, *layer)
                || parts.away.domain(*slot, *layer) != job.domain(*slot, *layer)
        });
        let (key, slot, layer) = changed?;
        let (a, b) = (parts.towards.domain(slot, layer)?, parts.away.domain(slot, layer)?);
        let (first, second) = match (a, b) {
            (Domain::Amounts(a), Domain::Amounts(b)) => {
                // Which sum was cut, and where? Either part says it.
                let cut = |mask: Mask, x: (i64, i64), y: (i64, i64)| {
                    let members: Vec<usize> = mask.iter().collect();
                    if x.0 > y.1 {
                        (Part::Sum(members.clone(), x.0, MOST), Part::Sum(members, LEAST, x.0 - 1))
                    } else {
                        (Part::Sum(members.clone(), LEAST, x.1), Part::Sum(members, x.1 + 1, MOST))
                    }
                };
                // A cut sum is written down in both parts; where none is, one member was cut.
                let sums = |m: Mask| (a.sums.iter().find(|s| s.0 == m), b.sums.iter().find(|s| s.0 == m));
                let many = a.sums.iter().chain(&b.sums).find_map(|s| match sums(s.0) {
                    (Some(x), Some(y)) if x.1 == y.2 + 1 || y.1 == x.2 + 1 => Some((s.0, (x.1, x.2), (y.1, y.2))),
                    _ => None,
                });
                match many {
                    Some((mask, x, y)) => cut(mask, x, y),
                    None => {
                        let i = a.ranges.iter().zip(&b.ranges).position(|(x, y)| x.0 == y.1 + 1 || y.0 == x.1 + 1)?;
                        cut(Mask::one(i), *a.ranges.get(i)?, *b.ranges.get(i)?)
                    }
                }
            }
            (a, b) => (Part::Domain(a.clone()), Part::Domain(b.clone())),
        };
        Some((key, first, second))
    }

    fn point(&self, job: &JobSet) -> Option<Point> {
        let e = Evaluation::new(self.program, job);
        let values = self.keys(job).into_iter().filter_map(|(k, s, l)| Some((k, job.domain(s, l)?.clone()))).collect();
        let evidence = self
            .evidence(&e, Wanted::Accepted)
            .or_else(|| self.evidence(&e, Wanted::Refused))
            .or_else(|| self.lacking(&e))?;
        Some(Point { values, evidence })
    }

    fn evidence(&self, e: &Evaluation<'_>, wanted: Wanted) -> Option<Evidence> {
        if matches!(wanted, Wanted::Refused | Wanted::Anything) {
            if let Some(step) = self.first(e, &self.program.refusals) {
                return Some(Evidence::Refused(step));
            }
            if let Some(crossed) = self.crossed(e) {
                return Some(crossed);
            }
        }
        if matches!(wanted, Wanted::Accepted | Wanted::Plain | Wanted::Anything)
            && e.refused() == Truth::False
            && e.all_grounded() == Truth::True
        {
            let requirements = match wanted {
                Wanted::Plain if e.conditional() != Truth::False => return None,
                Wanted::Plain => Some(self.falsified(e, |f| matches!(f, Effect::Require(_)))),
                _ => None,
            };
            let refusals = self.falsified(e, |f| matches!(f, Effect::Refuse(_)));
            return Some(Evidence::Accepted { refusals, grounds: self.grounds(e)?, requirements });
        }
        if wanted == Wanted::Anything { self.lacking(e) } else { None }
    }

    fn lacking(&self, e: &Evaluation<'_>) -> Option<Evidence> {
        if e.refused() != Truth::False {
            return None;
        }
        for need in &self.program.needs {
            for layer in e.need_frames(need) {
                if e.needed(need, layer).and(e.grounded(need, layer).opposite()) == Truth::True {
                    let (aspect, elements) = self.aspect(need)?;
                    let refusals = self.falsified(e, |f| matches!(f, Effect::Refuse(_)));
                    return Some(Evidence::Lacking { refusals, aspect, layer, elements });
                }
            }
        }
        None
    }

    /// The first instance of a list that surely fires.
    fn first(&self, e: &Evaluation<'_>, list: &[u32]) -> Option<Step> {
        let found = fired(e, list).into_iter().find(|f| f.sure)?;
        self.step(e, self.program.instance(found.instance)?, found.layer)
    }

    fn crossed(&self, e: &Evaluation<'_>) -> Option<Evidence> {
        for (setting, low, high) in &self.program.windows {
            for layer in 0..e.window_layers(*low) {
                if e.crossed(*low, *high, layer) == Truth::True {
                    let (by_low, low_at) = strongest(e, *low, layer, End::Low, Truth::True);
                    let (by_high, high_at) = strongest(e, *high, layer, End::High, Truth::True);
                    let step = |by: Option<(u32, usize)>| match by {
                        None => Some(None),
                        Some((i, frame)) => self.step(e, self.program.instance(i)?, frame).map(Some),
                    };
                    let setting = setting.of(&self.program.model)?.name.clone();
                    let (low, high) = (step(by_low)?, step(by_high)?);
                    return Some(Evidence::Crossed { setting, layer, low, high, at: (low_at, high_at) });
                }
            }
        }
        None
    }

    /// For every rule of an effect, entity possibly present and layer: the tests that are known, which make it false.
    fn falsified(&self, e: &Evaluation<'_>, of: impl Fn(&Effect) -> bool) -> Vec<Step> {
        let mut steps = Vec::new();
        for instance in &self.program.instances {
            let rule = self.program.model.rules.get(usize::from(instance.rule));
            if !rule.is_some_and(|r| of(&r.effect)) {
                continue;
            }
            for layer in e.frames(self.program.per(instance)) {
                if instance.presence.iter().all(|t| e.test(*t, layer) != Truth::False) {
                    steps.extend(self.step(e, instance, layer));
                }
            }
        }
        steps
    }

    fn aspect(&self, need: &Need) -> Option<(String, Vec<String>)> {
        let aspect = self.program.model.aspects.get(usize::from(need.aspect))?;
        Some((aspect.name.clone(), self.ids(&aspect.scope.bounds, &need.elements)))
    }

    fn ids(&self, bounds: &[crate::model::Bound], elements: &[usize]) -> Vec<String> {
        let pairs = bounds.iter().zip(elements);
        pairs.filter_map(|(b, m)| self.program.model.member(b.kind, *m)).map(|e| e.id.clone()).collect()
    }

    fn grounds(&self, e: &Evaluation<'_>) -> Option<Vec<Ground>> {
        let mut grounds = Vec::new();
        for need in &self.program.needs {
            let (aspect, elements) = self.aspect(need)?;
            for layer in e.need_frames(need) {
                if e.needed(need, layer) == Truth::False {
                    continue;
                }
                let mut by = None;
                for index in &need.grounds {
                    let instance = self.program.instance(*index)?;
                    let frame = if self.program.per(instance) == Per::Job { 0 } else { layer };
                    if e.fires(instance, frame) == Truth::True {
                        by = self.step(e, instance, frame);
                        break;
                    }
                }
                // Grounds that only several rules give together would need a split first.
                grounds.push(Ground { aspect: aspect.clone(), layer, elements: elements.clone(), by: Some(by?) });
            }
        }
        Some(grounds)
    }

    fn step(&self, e: &Evaluation<'_>, instance: &Instance, layer: usize) -> Option<Step> {
        let rule = self.program.model.rules.get(usize::from(instance.rule))?;
        let mut tests = Vec::new();
        for (number, id) in instance.tests.iter().enumerate() {
            let truth = e.test(*id, layer);
            if truth == Truth::Open {
                continue;
            }
            let sides = match self.program.tests.get(id.index()) {
                Some(Check::Compare(a, _, b)) => {
                    let (a, b) = (e.number(a, layer), e.number(b, layer));
                    (a.none == Truth::False && b.none == Truth::False).then_some(((a.low, a.high), (b.low, b.high)))
                }
                _ => None,
            };
            tests.push(Claim { test: number, holds: truth == Truth::True, sides });
        }
        let value = instance.value.as_ref().map(|v| e.number(v, layer)).map(|i| (i.low, i.high));
        let sources = rule.origin.sources.iter().filter_map(|s| self.program.model.sources.get(s.index()));
        Some(Step {
            rule: rule.id.clone(),
            layer,
            elements: self.ids(&rule.scope.bounds, &instance.elements),
            tests,
            value,
            basis: rule.origin.basis.words().to_owned(),
            sources: sources.map(|s| s.id.clone()).collect(),
        })
    }

    /// What to split on next: exclusions first, then what keeps the wanted evidence open.
    fn next(&self, e: &Evaluation<'_>, wanted: Wanted) -> Option<Parts> {
        let open = |list: &[u32]| {
            fired(e, list)
                .into_iter()
                .filter(|f| !f.sure)
                .find_map(|f| split_clauses(e, &self.program.instance(f.instance)?.clauses, f.layer, DEPTH))
        };
        if wanted == Wanted::Impossible {
            return open(&self.program.excludes);
        }
        let refusals = || open(&self.program.refusals);
        let windows = || {
            self.program.windows.iter().find_map(|(_, low, high)| {
                (0..e.window_layers(*low)).filter(|l| e.crossed(*low, *high, *l) == Truth::Open).find_map(|layer| {
                    let frame = |n: u16| match self.program.nodes.get(usize::from(n)) {
                        Some(x) if x.per_layer => Frame::This,
                        _ => Frame::Job,
                    };
                    split_node(e, *low, frame(*low), layer, DEPTH)
                        .or_else(|| split_node(e, *high, frame(*high), layer, DEPTH))
                })
            })
        };
        let needs = || {
            self.program.needs.iter().find_map(|need| {
                e.need_frames(need).find_map(|layer| {
                    if e.needed(need, layer) == Truth::Open
                        && e.grounded(need, layer) != Truth::True
                        && let Some(parts) = split_clauses(e, &need.clauses, layer, DEPTH)
                    {
                        return Some(parts);
                    }
                    let single = need.grounds.iter().filter_map(|g| self.program.instance(*g)).any(|i| {
                        let frame = if self.program.per(i) == Per::Job { 0 } else { layer };
                        e.fires(i, frame) == Truth::True
                    });
                    if e.needed(need, layer) == Truth::False || single {
                        return None;
                    }
                    need.grounds.iter().filter_map(|g| self.program.instance(*g)).find_map(|i| {
                        let frame = if self.program.per(i) == Per::Job { 0 } else { layer };
                        (e.fires(i, frame) == Truth::Open).then(|| split_clauses(e, &i.clauses, frame, DEPTH)).flatten()
                    })
                })
            })
        };
        let requirements = || if wanted == Wanted::Plain { open(&self.program.requirements) } else { None };
        // An exclusion that bears on what is open is split on before the rest, but not one that bears on nothing.
        let relevant = refusals().or_else(windows).or_else(needs).or_else(requirements)?;
        Some(open(&self.program.excludes).filter(|_| self.bears(e)).unwrap_or(relevant))
    }

    /// Whether some exclusion is one literal away from holding: splitting there gets rid of jobs that cannot exist.
    fn bears(&self, e: &Evaluation<'_>) -> bool {
        fired(e, &self.program.excludes).iter().filter(|f| !f.sure).any(|f| {
            self.program.instance(f.instance).is_some_and(|i| {
                i.clauses.iter().any(|c| {
                    e.clause(c, f.layer) == Truth::Open
                        && c.iter().filter(|l| e.literal(**l, f.layer) == Truth::Open).count() == 1
                })
            })
        })
    }
}
