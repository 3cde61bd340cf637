//! From statements to a verdict: assumptions, evaluation, and searches where the set is open.

use super::evaluate::{Evaluation, Truth};
use super::rows::{Row, rows};
use super::search::{Found, Goal, search};
use super::split::{propagate, slot_of};
use crate::job::{Domain, JobSet};
use crate::model::{AttributeId, End, Role};
use crate::program::Program;
use crate::quantity::{LEAST, MOST};
use crate::statement::Stated;

/// May this be done as described?
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It works for every job still possible.
    Yes,
    /// It works, provided something particular to this job.
    YesIf,
    /// Some possible jobs work and some do not, or it cannot be said.
    Depends,
    /// It fails for every job still possible.
    No,
}

impl Verdict {
    /// How it is written.
    pub fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::YesIf => "yes-if",
            Self::Depends => "depends",
            Self::No => "no",
        }
    }

    /// Whether the job may be done.
    pub fn works(self) -> bool {
        matches!(self, Self::Yes | Self::YesIf)
    }
}

/// Why a verdict is what it is, where the reasons do not say it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Code {
    /// It works as described.
    Works,
    /// It works under conditions.
    WorksIf,
    /// Something refuses it.
    Refused,
    /// An open fact decides.
    OpenFact,
    /// Nothing is known that speaks for it.
    NotKnown,
    /// Statements contradict each other.
    Contradiction,
    /// The work budget ran out.
    Undecided,
}

impl Code {
    /// How it is written.
    pub fn word(self) -> &'static str {
        match self {
            Self::Works => "works",
            Self::WorksIf => "works-if",
            Self::Refused => "refused",
            Self::OpenFact => "open-fact",
            Self::NotKnown => "not-known",
            Self::Contradiction => "contradiction",
            Self::Undecided => "undecided",
        }
    }
}

/// How to decide.
#[derive(Debug, Clone, Copy)]
pub struct Options {
    /// Sets that searches may look at, in all.
    pub budget: u32,
    /// Take the vocabulary's assumptions.
    pub assume: bool,
    /// Lift each assumption, look for a safe way and for what would help.
    pub explore: bool,
    /// Find every case in which an open job fails.
    pub rows: bool,
    /// Of the conditions of an open job only those that every case has, and of the cases in which it fails those that are
    /// soon found: as much as is told of one of many.
    pub brief: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { budget: 4000, assume: true, explore: true, rows: true, brief: false }
    }
}

/// Something that fires, or may.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fired {
    /// The rule instance.
    pub instance: u32,
    /// The layer.
    pub layer: usize,
    /// It fires for every job still possible.
    pub sure: bool,
}

/// What refuses, or leaves without grounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// A refusal.
    Rule(u32, usize),
    /// A window with no value left: the two bounds that cross.
    Window {
        /// The setting.
        setting: AttributeId,
        /// Its layer.
        layer: usize,
        /// The bound from below; none where it was stated.
        low: Option<(u32, usize)>,
        /// The bound from above; none where it was stated.
        high: Option<(u32, usize)>,
        /// The lower end.
        low_at: i64,
        /// The upper end.
        high_at: i64,
    },
    /// An aspect without grounds.
    Lack(u32, usize),
}

/// An assumption that was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Assumed {
    /// Of which attribute.
    pub attribute: AttributeId,
    /// Of which layer.
    pub layer: usize,
    /// Which of its assumptions.
    pub index: usize,
    /// The verdict that would be reached if it were wrong, where it is another.
    pub changes_to: Option<Verdict>,
}

/// A blend whose parts, off as far as they may be, could lead to another verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Inexact {
    /// The blend.
    pub attribute: AttributeId,
    /// Of which layer.
    pub layer: usize,
    /// That verdict.
    pub changes_to: Verdict,
}

/// A verdict with everything that it rests on.
#[derive(Debug, Clone)]
pub struct Decision {
    /// The verdict.
    pub verdict: Verdict,
    /// Its code.
    pub code: Code,
    /// The set that it is about: what was said, assumed, and follows.
    pub job: JobSet,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
    /// What was said too exactly to be relied on.
    pub inexact: Vec<Inexact>,
    /// What surely refuses.
    pub causes: Vec<Cause>,
    /// The cases in which it fails, where it is open.
    pub rows: Vec<Row>,
    /// There are surely no other such cases.
    pub rows_complete: bool,
    /// What is required.
    pub conditions: Vec<Fired>,
    /// Cautions and advice.
    pub notes: Vec<Fired>,
    /// Aspects without grounds.
    pub lacking: Vec<(u32, usize)>,
    /// One job that works.
    pub accepted: Option<JobSet>,
    /// One job that does not: refused, or else without grounds.
    pub refused: Option<JobSet>,
    /// One job that is not refused and has no grounds.
    pub ungrounded: Option<JobSet>,
    /// Statements that contradict each other, by number.
    pub contradiction: Vec<usize>,
    /// Sets looked at.
    pub spent: u32,
}

/// The set that statements leave, before assumptions.
pub fn base(program: &Program, stated: &Stated) -> JobSet {
    let model = &program.model;
    let layers = stated.layers.max(1);
    let start = |index: &usize| match model.attributes.get(*index) {
        Some(a) if a.role == Role::Chosen && a.material => Domain::nothing(a.ty, model),
        Some(a) => Domain::everything(a.ty, model),
        None => Domain::YesNo { yes: true, no: true },
    };
    let mut job = JobSet {
        root: program.layout.root.iter().map(start).collect(),
        layers: vec![program.layout.layer.iter().map(start).collect(); layers],
        hidden: program.hidden.iter().map(|h| h.domain.clone()).collect(),
        stated: Vec::new(),
        decided: Vec::new(),
    };
    for finding in &stated.findings {
        let own = program.hidden.iter().position(|h| (h.entity, h.property) == (finding.entity, finding.property));
        if let Some(domain) = own.and_then(|i| job.hidden.get_mut(i)) {
            *domain = domain.and(&finding.domain);
        }
    }
    for (number, statement) in stated.statements.iter().enumerate() {
        let Some(attribute) = statement.attribute.of(model) else {
            continue;
        };
        let Some(domain) = job.domain_mut(slot_of(program, statement.attribute), statement.layer) else {
            continue;
        };
        let slot = slot_of(program, statement.attribute);
        let said = &statement.domain;
        let material = attribute.role == Role::Chosen && attribute.material;
        let mut earlier = stated.statements.iter().take(number);
        let first = !earlier.any(|s| (s.attribute, s.layer) == (statement.attribute, statement.layer));
        *domain = match said {
            // A material is absent until it is spoken of.
            Domain::Set { .. } | Domain::Amounts(_) if material && first => said.clone(),
            _ => domain.and(said),
        };
        // Asked and not known is spoken of, but says nothing.
        if *said != Domain::everything(attribute.ty, model) {
            job.stated.push((slot, statement.layer));
        }
    }
    job
}

/// The set that is decided, and what was assumed for it; nothing where no job fits what was said, as far as
/// propagation shows.
pub fn suppose(program: &Program, stated: &Stated, take: bool) -> Option<(JobSet, Vec<Assumed>)> {
    let mut job = base(program, stated);
    if !propagate(program, &mut job) {
        return None;
    }
    let mut assumed = Vec::new();
    if take {
        assume(program, stated, &mut job, &mut assumed);
    }
    Some((job, assumed))
}

/// The set of a job that is described anew, where all that is described as before is as it was found. Layers are
/// counted from the top. Nothing is found anew, so this is a first look, not a set to decide.
pub fn at_first_look(program: &Program, (before, found): (&Stated, &JobSet), after: &Stated) -> JobSet {
    let mut job = base(program, after);
    let said = |stated: &Stated, id: AttributeId, layer: usize| -> Vec<Domain> {
        let own = stated.statements.iter().filter(|s| s.attribute == id && s.layer == layer);
        own.map(|s| s.domain.clone()).collect()
    };
    for (index, attribute) in program.model.attributes.iter().enumerate() {
        let (id, slot) = (AttributeId(index as u16), slot_of(program, AttributeId(index as u16)));
        for from_top in 0..if attribute.per_layer { after.layers.min(before.layers) } else { 1 } {
            let layer = |s: &Stated| if attribute.per_layer { s.layers.saturating_sub(from_top + 1) } else { 0 };
            if said(before, id, layer(before)) == said(after, id, layer(after))
                && let (Some(own), Some(known)) =
                    (job.domain_mut(slot, layer(after)), found.domain(slot, layer(before)))
            {
                own.clone_from(known);
            }
        }
    }
    job
}

/// Decides.
pub fn decide(program: &Program, stated: &Stated, options: Options) -> Decision {
    let mut budget = options.budget;
    let mut job = base(program, stated);
    let possible = propagate(program, &mut job) && search(program, &job, Goal::Possible, &mut budget) != Found::Nothing;
    if !possible {
        return contradiction(program, stated, job, options.budget - budget);
    }
    let mut assumed = Vec::new();
    if options.assume {
        assume(program, stated, &mut job, &mut assumed);
    }
    let mut decision = judge(program, job, options.rows && !options.brief, &mut budget);
    if options.brief && decision.verdict == Verdict::Depends {
        decision.conditions = fired(&Evaluation::new(program, &decision.job), &program.requirements);
        decision.conditions.retain(|f| f.sure);
    }
    decision.assumed = assumed;
    let open = decision.verdict == Verdict::Depends || (decision.verdict == Verdict::No && decision.causes.is_empty());
    if options.rows && open {
        let (share, allowed) = if options.brief { (BRIEF_SHARE, budget.min(BRIEF)) } else { (SHARE, budget) };
        let mut left = allowed;
        (decision.rows, decision.rows_complete) = rows(program, &decision.job, share, &mut left);
        budget -= allowed - left;
    }
    if options.explore {
        sensitivity(program, stated, &mut decision, &mut budget);
        decision.inexact = inexact(program, stated, &decision, &mut budget);
    }
    decision.spent = options.budget - budget;
    decision
}

/// Takes the assumptions whose guard surely holds, until no more does.
fn assume(program: &Program, stated: &Stated, job: &mut JobSet, assumed: &mut Vec<Assumed>) {
    // One assumption may be what the guard of another waits for.
    while let Some((taken, narrowed)) = next_assumption(program, stated, job, assumed) {
        *job = narrowed;
        assumed.push(taken);
    }
}

fn next_assumption(program: &Program, stated: &Stated, job: &JobSet, assumed: &[Assumed]) -> Option<(Assumed, JobSet)> {
    let evaluation = Evaluation::new(program, job);
    for (index, attribute) in program.model.attributes.iter().enumerate() {
        let id = AttributeId(index as u16);
        let layers = if attribute.per_layer { job.layers.len() } else { 1 };
        for layer in 0..layers {
            let slot = slot_of(program, id);
            let settled = job.domain(slot, layer).is_none_or(Domain::is_single);
            let taken = assumed.iter().any(|a| a.attribute == id && a.layer == layer);
            if taken || settled {
                continue;
            }
            for (number, assumption) in attribute.assume.iter().enumerate() {
                if stated.bars(assumption, id, layer, &program.model) {
                    continue;
                }
                let guard = program.guards.get(index).and_then(|g| g.get(number)).and_then(Option::as_ref);
                if guard.is_some_and(|g| evaluation.clauses(g, layer) != Truth::True) {
                    continue;
                }
                let mut tried = job.clone();
                if let Some(domain) = tried.domain_mut(slot, layer) {
                    *domain = domain.and(&assumption.value.domain());
                }
                // An assumption gives way to what was said.
                if propagate(program, &mut tried) {
                    return Some((Assumed { attribute: id, layer, index: number, changes_to: None }, tried));
                }
            }
        }
    }
    None
}

/// Names the fewest statements that cannot hold together, found by leaving out one after another.
fn contradiction(program: &Program, stated: &Stated, job: JobSet, spent: u32) -> Decision {
    let mut kept: Vec<usize> = (0..stated.statements.len()).collect();
    let mut position = 0;
    while position < kept.len() {
        let mut fewer = kept.clone();
        fewer.remove(position);
        let mut tried = base(program, &stated.only(&fewer));
        let mut budget = 200;
        let still =
            !propagate(program, &mut tried) || search(program, &tried, Goal::Possible, &mut budget) == Found::Nothing;
        if still {
            kept = fewer;
        } else {
            position += 1;
        }
    }
    let causes = exclusions(program, stated, &kept);
    Decision { contradiction: kept, causes, ..empty(Verdict::Depends, Code::Contradiction, job, spent) }
}

/// The exclusion that the contradicting statements run into.
fn exclusions(program: &Program, stated: &Stated, kept: &[usize]) -> Vec<Cause> {
    let job = base(program, &stated.only(kept));
    let evaluation = Evaluation::new(program, &job);
    for index in &program.excludes {
        let Some(instance) = program.instance(*index) else {
            continue;
        };
        for layer in evaluation.frames(program.per(instance)) {
            if evaluation.fires(instance, layer) == Truth::True {
                return vec![Cause::Rule(*index, layer)];
            }
        }
    }
    Vec::new()
}

fn empty(verdict: Verdict, code: Code, job: JobSet, spent: u32) -> Decision {
    Decision {
        verdict,
        code,
        job,
        assumed: Vec::new(),
        inexact: Vec::new(),
        causes: Vec::new(),
        rows: Vec::new(),
        rows_complete: true,
        conditions: Vec::new(),
        notes: Vec::new(),
        lacking: Vec::new(),
        accepted: None,
        refused: None,
        ungrounded: None,
        contradiction: Vec::new(),
        spent,
    }
}

/// The verdict on a set, without what was assumed.
///
/// What is required of an open job is found only where it is told.
pub fn judge(program: &Program, job: JobSet, told: bool, budget: &mut u32) -> Decision {
    let (verdict, code, searches) = verdict_of(program, &job, budget);
    let evaluation = Evaluation::new(program, &job);
    let mut decision = empty(verdict, code, job.clone(), 0);
    decision.notes = fired(&evaluation, &program.notes);
    decision.causes = causes(&evaluation);
    for (index, need) in program.needs.iter().enumerate() {
        for layer in evaluation.need_frames(need) {
            let lacking = evaluation.needed(need, layer).and(evaluation.grounded(need, layer).opposite());
            if lacking == Truth::True && code == Code::NotKnown {
                decision.lacking.push((index as u32, layer));
            }
        }
    }
    if verdict.works() || (told && verdict != Verdict::No) {
        decision.conditions = fired(&evaluation, &program.requirements);
        // One accepted job shows of several conditions that they can arise.
        let mut accepted: Vec<JobSet> = searches.accepted.witness().cloned().into_iter().collect();
        decision.conditions.retain(|f| {
            let goal = Goal::AcceptedWith(f.instance, f.layer);
            if f.sure || accepted.iter().any(|job| goal.met(&Evaluation::new(program, job)) == Truth::True) {
                return true;
            }
            let found = limited(program, &job, goal, budget);
            accepted.extend(found.witness().cloned());
            found != Found::Nothing
        });
    }
    decision.accepted = searches.accepted.witness().cloned();
    decision.ungrounded = searches.ungrounded.witness().cloned();
    decision.refused = searches.refused.witness().or(searches.ungrounded.witness()).cloned();
    decision
}

struct Searches {
    accepted: Found,
    refused: Found,
    ungrounded: Found,
}

/// Sets that the search for the cases of one of many may look at.
const BRIEF: u32 = 1500;

/// Sets that the search for one of these cases may look at.
const BRIEF_SHARE: u32 = 40;

/// Sets that one search may look at: many small searches share the budget.
const SHARE: u32 = 400;

/// Searches with a share of the budget.
fn limited(program: &Program, job: &JobSet, goal: Goal<'_>, budget: &mut u32) -> Found {
    let mut share = (*budget).min(SHARE);
    let before = share;
    let found = search(program, job, goal, &mut share);
    *budget -= before - share;
    found
}

/// A witness for any of several goals, each searched for by itself; nothing only if each has none.
fn any_of(program: &Program, job: &JobSet, goals: impl Iterator<Item = Goal<'static>>, budget: &mut u32) -> Found {
    let mut undecided = false;
    for goal in goals {
        match limited(program, job, goal, budget) {
            Found::Witness(w) => return Found::Witness(w),
            Found::Undecided => undecided = true,
            Found::Nothing => {}
        }
    }
    if undecided { Found::Undecided } else { Found::Nothing }
}

/// Everything that may refuse a set.
fn refusal_goals(e: &Evaluation<'_>) -> Vec<Goal<'static>> {
    let mut goals: Vec<Goal> =
        fired(e, &e.program.refusals).into_iter().map(|f| Goal::Fires(f.instance, f.layer)).collect();
    for (_, low, high) in &e.program.windows {
        for layer in 0..e.window_layers(*low) {
            if e.crossed(*low, *high, layer) != Truth::False {
                goals.push(Goal::Crosses(*low, *high, layer));
            }
        }
    }
    goals
}

/// Every aspect that may lack grounds.
fn lack_goals(e: &Evaluation<'_>) -> Vec<Goal<'static>> {
    let mut goals = Vec::new();
    for (index, need) in e.program.needs.iter().enumerate() {
        for layer in e.need_frames(need) {
            if e.needed(need, layer).and(e.grounded(need, layer).opposite()) != Truth::False {
                goals.push(Goal::Lacks(index as u32, layer));
            }
        }
    }
    goals
}

/// The verdict alone.
fn verdict_of(program: &Program, job: &JobSet, budget: &mut u32) -> (Verdict, Code, Searches) {
    let evaluation = Evaluation::new(program, job);
    let nothing = || Searches { accepted: Found::Nothing, refused: Found::Nothing, ungrounded: Found::Nothing };
    let (refused, grounded) = (evaluation.refused(), evaluation.all_grounded());
    if refused == Truth::True {
        return (Verdict::No, Code::Refused, nothing());
    }
    let mut searches = nothing();
    if !(refused == Truth::False && grounded == Truth::True) {
        searches.accepted = limited(program, job, Goal::Accepted, budget);
        searches.refused = any_of(program, job, refusal_goals(&evaluation).into_iter(), budget);
        // Two witnesses prove that it depends: what else may lack grounds is not looked at.
        if searches.accepted.witness().is_none() || searches.refused.witness().is_none() {
            searches.ungrounded = any_of(program, job, lack_goals(&evaluation).into_iter(), budget);
        }
    } else {
        searches.accepted = Found::Witness(Box::new(job.clone()));
    }
    // One row a case: is there a job that works, one that is refused, one without grounds?
    use Found::{Nothing, Undecided, Witness};
    let verdict = match (&searches.accepted, &searches.refused, &searches.ungrounded) {
        (Witness(_), Witness(_), _) => (Verdict::Depends, Code::OpenFact),
        (_, _, Witness(_)) => (Verdict::Depends, Code::NotKnown),
        (Undecided, _, _) | (_, Undecided, _) | (_, _, Undecided) => (Verdict::Depends, Code::Undecided),
        (Witness(_), Nothing, Nothing) => {
            let conditional = match evaluation.conditional() {
                Truth::Open => conditional_exists(program, &evaluation, job, budget),
                sure => sure == Truth::True,
            };
            if conditional { (Verdict::YesIf, Code::WorksIf) } else { (Verdict::Yes, Code::Works) }
        }
        (Nothing, Witness(_), Nothing) => (Verdict::No, Code::Refused),
        // No job at all: the caller has made sure that there is one.
        (Nothing, Nothing, Nothing) => (Verdict::Depends, Code::Undecided),
    };
    (verdict.0, verdict.1, searches)
}

/// Whether some accepted job has a condition. An undecided search counts as one: a warning too many, never too few.
fn conditional_exists(program: &Program, evaluation: &Evaluation<'_>, job: &JobSet, budget: &mut u32) -> bool {
    fired(evaluation, &program.requirements)
        .into_iter()
        .any(|f| f.sure || limited(program, job, Goal::AcceptedWith(f.instance, f.layer), budget) != Found::Nothing)
}

/// The instances of a list that fire, or may.
pub fn fired(evaluation: &Evaluation<'_>, list: &[u32]) -> Vec<Fired> {
    let mut found = Vec::new();
    for index in list {
        let Some(instance) = evaluation.program.instance(*index) else {
            continue;
        };
        for layer in evaluation.frames(evaluation.program.per(instance)) {
            match evaluation.fires(instance, layer) {
                Truth::False => {}
                truth => found.push(Fired { instance: *index, layer, sure: truth == Truth::True }),
            }
        }
    }
    found
}

/// What surely refuses a set: windows first, since they carry their figures.
pub fn causes(evaluation: &Evaluation<'_>) -> Vec<Cause> {
    let mut found = Vec::new();
    for (setting, low, high) in &evaluation.program.windows {
        for layer in 0..evaluation.window_layers(*low) {
            if evaluation.crossed(*low, *high, layer) == Truth::True {
                found.push(crossing(evaluation, *setting, *low, *high, layer));
            }
        }
    }
    let refusals = fired(evaluation, &evaluation.program.refusals).into_iter().filter(|f| f.sure);
    found.extend(refusals.map(|f| Cause::Rule(f.instance, f.layer)));
    found
}

/// The two bounds that cross: the highest from below and the lowest from above.
fn crossing(evaluation: &Evaluation<'_>, setting: AttributeId, low: u16, high: u16, layer: usize) -> Cause {
    let (low_by, low_at) = strongest(evaluation, low, layer, End::Low, Truth::True);
    let (high_by, high_at) = strongest(evaluation, high, layer, End::High, Truth::True);
    Cause::Window { setting, layer, low: low_by, high: high_by, low_at, high_at }
}

/// The bound that decides an end, and where it lies: the statement where no rule goes further. Of the bounds that
/// surely fire (`True`), at where they surely lie; or of all that may (`Open`), at the furthest.
pub fn strongest(
    evaluation: &Evaluation<'_>,
    node: u16,
    layer: usize,
    end: End,
    least: Truth,
) -> (Option<(u32, usize)>, i64) {
    let Some(own) = evaluation.program.nodes.get(usize::from(node)) else {
        return (None, 0);
    };
    let stated = match (evaluation.domain(own.slot, layer), end) {
        (Some(Domain::Number { low, .. }), End::Low) => *low,
        (Some(Domain::Number { high, .. }), End::High) => *high,
        (_, End::Low) => LEAST,
        (_, End::High) => MOST,
    };
    let mut best = (None, stated);
    for (index, instance, frame) in evaluation.givers(own, layer) {
        if evaluation.fires(instance, frame) < least {
            continue;
        }
        let Some(value) = instance.value.as_ref().map(|v| evaluation.number(v, frame)) else {
            continue;
        };
        if value.none == Truth::True || (least == Truth::True && value.none != Truth::False) {
            continue;
        }
        let at = match (end, least) {
            (End::Low, Truth::True) | (End::High, Truth::Open | Truth::False) => value.low,
            _ => value.high,
        };
        let further = match end {
            End::Low => at > best.1,
            End::High => at < best.1,
        };
        if further {
            best = (Some((index, frame)), at);
        }
    }
    best
}

/// Lifts each assumption in turn and sees whether the verdict could be another.
fn sensitivity(program: &Program, stated: &Stated, decision: &mut Decision, budget: &mut u32) {
    for position in 0..decision.assumed.len() {
        let Some(own) = decision.assumed.get(position).copied() else {
            continue;
        };
        let quiet = own.attribute.of(&program.model).and_then(|a| a.assume.get(own.index)).is_some_and(|a| a.quiet);
        if quiet {
            continue;
        }
        // The others stay as they were taken: one is wrong at a time.
        let others = decision.assumed.iter().filter(|a| (a.attribute, a.layer) != (own.attribute, own.layer));
        let changed = assuming(program, base(program, stated), others)
            .and_then(|job| other_verdict(program, &job, decision.verdict, budget));
        if let Some(a) = decision.assumed.get_mut(position) {
            a.changes_to = changed;
        }
    }
}

/// Blends that were said to the last part: sees whether the verdict could be another where they are off.
fn inexact(program: &Program, stated: &Stated, decision: &Decision, budget: &mut u32) -> Vec<Inexact> {
    let mut found = Vec::new();
    for (position, said) in stated.statements.iter().enumerate() {
        let tolerance = said.attribute.of(&program.model).and_then(|a| a.tolerance.as_ref());
        let (Some(tolerance), Domain::Amounts(exact)) = (tolerance, &said.domain) else { continue };
        let mut off = stated.clone();
        if let Some(own) = off.statements.get_mut(position) {
            own.domain = Domain::Amounts(exact.loosened(tolerance.by));
        }
        let changed = assuming(program, base(program, &off), decision.assumed.iter())
            .and_then(|job| other_verdict(program, &job, decision.verdict, budget));
        let inexact = |changes_to| Inexact { attribute: said.attribute, layer: said.layer, changes_to };
        found.extend(changed.map(inexact));
    }
    found
}

/// A set with assumptions taken; nothing where no job is left.
fn assuming<'a>(program: &Program, mut job: JobSet, taken: impl Iterator<Item = &'a Assumed>) -> Option<JobSet> {
    for own in taken {
        let Some(assumption) = own.attribute.of(&program.model).and_then(|a| a.assume.get(own.index)) else { continue };
        if let Some(d) = job.domain_mut(slot_of(program, own.attribute), own.layer) {
            *d = d.and(&assumption.value.domain());
        }
    }
    propagate(program, &mut job).then_some(job)
}

/// A verdict that some job of a wider set has, other than that of the set itself.
fn other_verdict(program: &Program, job: &JobSet, verdict: Verdict, budget: &mut u32) -> Option<Verdict> {
    let mut share = (*budget).min(300);
    let before = share;
    let mut some = |goal| search(program, job, goal, &mut share).witness().is_some();
    let other = match verdict {
        Verdict::Yes | Verdict::YesIf if some(Goal::Refused) => Some(Verdict::No),
        Verdict::Yes | Verdict::YesIf => some(Goal::Ungrounded).then_some(Verdict::Depends),
        Verdict::No if some(Goal::Plain) => Some(Verdict::Yes),
        Verdict::No => some(Goal::Accepted).then_some(Verdict::YesIf),
        Verdict::Depends => None,
    };
    *budget -= before - share;
    other
}
