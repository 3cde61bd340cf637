//! The cases that an open answer lists: each has a job that shows it, what is said of it holds for every complete job
//! in it, and a job that fails lies in one.

use super::sample::Chance;
use super::{KNOWLEDGE, ORDERS};
use std::sync::LazyLock;
use washfast::job::{Domain, JobSet, Slot};
use washfast::model::{AttributeId, Mask, Role};
use washfast::reason::decide::{Cause, Decision, Options, Verdict, causes, decide};
use washfast::reason::evaluate::{Evaluation, Truth};
use washfast::reason::outlook::{complete, given};
use washfast::reason::rows::{Part, Row};
use washfast::reason::search::Goal;
use washfast::reason::split::{slot_of, split_test};

/// Complete jobs that are drawn of each order, and of each of its cases.
const DRAWN: usize = 40;

/// More orders of which little is known.
const MORE: [&str; 10] = [
    "white plastisol on tee",
    "water-based on 60% cotton 40% polyester",
    "silicone ink on nylon",
    "plastisol on cap",
    "puff on fleece",
    "discharge on cotton",
    "solvent-based nylon ink on nylon jacket",
    "white plastisol over red plastisol on polyester",
    "plastisol with nylon bonding catalyst 5% on nylon shell",
    "low-cure plastisol on cotton polyester elastane leggings",
];

type Place = (Slot, usize);

/// The open orders, each decided.
static DECIDED: LazyLock<Vec<(&str, Decision)>> = LazyLock::new(|| {
    let decided = |order: &&'static str| {
        let stated = KNOWLEDGE.statements(order).unwrap_or_else(|p| panic!("{order}: {p:?}"));
        let options = Options { explore: false, rows: true, ..Options::default() };
        (*order, decide(KNOWLEDGE.program(), &stated, options))
    };
    ORDERS.iter().chain(&MORE).map(decided).filter(|d| d.1.verdict == Verdict::Depends).collect()
});

/// Where the order, or a value that varies from item to item, may still be one thing or another; what the shop sets is
/// not drawn, for one workable value of it suffices.
fn places(job: &JobSet) -> Vec<Place> {
    let model = KNOWLEDGE.model();
    let given = model.attributes.iter().enumerate().filter(|(_, a)| a.role == Role::Given);
    let given = given.flat_map(|(index, a)| {
        let slot = slot_of(KNOWLEDGE.program(), AttributeId(index as u16));
        (0..if a.per_layer { job.layers.len() } else { 1 }).map(move |layer| (slot, layer))
    });
    given.chain((0..job.hidden.len()).map(|i| (Slot::Hidden(i as u16), 0))).collect()
}

/// The ends at which a case begins: there a quantity or a share tips over.
fn edges(whole: &JobSet, rows: &[Row]) -> Vec<(Place, Domain)> {
    let e = Evaluation::new(KNOWLEDGE.program(), whole);
    let mut found = Vec::new();
    let mut note = |part: &JobSet| {
        let moved = places(whole).into_iter().filter(|(s, l)| part.domain(*s, *l) != whole.domain(*s, *l));
        found.extend(moved.filter_map(|place| Some((place, part.domain(place.0, place.1)?.clone()))));
    };
    for row in rows {
        note(&row.part.set);
        for (literal, layer) in &row.part.open {
            if let Some(parts) = split_test(&e, literal.test, *layer, 6) {
                note(&parts.towards);
                note(&parts.away);
            }
        }
    }
    found.retain(|(_, domain)| matches!(domain, Domain::Number { .. } | Domain::Amounts(_)));
    found
}

/// One of the ends of an interval, what lies between, or a neighbour of an end.
fn between(low: i64, high: i64, chance: &mut Chance) -> i64 {
    let near = 1 + chance.below(3) as i64;
    let middle = low + (high - low) / 2;
    [low, high, middle, low.saturating_add(near), high.saturating_sub(near)][chance.below(5)].clamp(low, high)
}

/// A value of what is still open, by chance; of amounts one member's at a time.
fn value(open: &Domain, edge: Option<&Domain>, chance: &mut Chance) -> Domain {
    match open {
        Domain::Choice(mask) => Domain::Choice(Mask::one(one_of(*mask, chance))),
        Domain::YesNo { .. } => {
            let yes = chance.below(2) == 0;
            Domain::YesNo { yes, no: !yes }
        }
        Domain::Set { must, may } => {
            let rest = may.without(*must);
            let one =
                if rest.is_empty() || chance.below(2) == 0 { *must } else { must.or(Mask::one(one_of(rest, chance))) };
            Domain::Set { must: one, may: one }
        }
        Domain::Number { low, high } => {
            let value = match edge {
                Some(Domain::Number { low: a, high: b }) => between(*a, *b, chance).clamp(*low, *high),
                _ => between(*low, *high, chance),
            };
            Domain::Number { low: value, high: value }
        }
        Domain::Amounts(amounts) => {
            let mut narrowed = amounts.clone();
            let open: Vec<usize> =
                (0..amounts.ranges.len()).filter(|i| amounts.ranges[*i].0 < amounts.ranges[*i].1).collect();
            let moved = |e: &Domain, i: usize| matches!(e, Domain::Amounts(a) if a.ranges[i] != amounts.ranges[i]);
            let at = open.iter().copied().find(|i| edge.is_some_and(|e| moved(e, *i)));
            let at = at.unwrap_or_else(|| open[chance.below(open.len())]);
            let (low, high) = match edge {
                Some(Domain::Amounts(a)) => a.ranges[at],
                _ => amounts.ranges[at],
            };
            let share = between(low, high, chance).clamp(amounts.ranges[at].0, amounts.ranges[at].1);
            narrowed.ranges[at] = (share, share);
            Domain::Amounts(narrowed)
        }
    }
}

fn one_of(mask: Mask, chance: &mut Chance) -> usize {
    let all: Vec<usize> = mask.iter().collect();
    all[chance.below(all.len())]
}

/// A complete job of a set by chance, often at an edge; nothing where chance leads to none.
fn drawn(set: &JobSet, edges: &[(Place, Domain)], chance: &mut Chance) -> Option<JobSet> {
    let program = KNOWLEDGE.program();
    let mut job = set.clone();
    let mut left = places(set);
    // What has edges comes first as often as not: later values are what earlier ones leave.
    let bearing: Vec<Place> = edges.iter().map(|e| e.0).collect();
    left.sort_by_cached_key(|p| (chance.below(2) == 0 && bearing.contains(p), chance.below(1000)));
    while let Some(place) = left.pop() {
        // A blend is drawn fibre by fibre, all else at once; the rest is what is ordinary.
        for _ in 0..3 {
            let own: Vec<&Domain> = edges.iter().filter(|e| e.0 == place).map(|e| &e.1).collect();
            let edge = if own.is_empty() || chance.below(3) == 0 { None } else { Some(own[chance.below(own.len())]) };
            let Some(open) = job.domain(place.0, place.1).filter(|d| !d.is_single()) else { break };
            if let Some(part) = given(program, &job, place, &value(open, edge, chance)) {
                job = part;
            }
        }
        if chance.below(12) == 0 {
            break;
        }
    }
    complete(program, &job)
}

/// Whether a complete job lies in a part of a set.
fn lies_in(job: &JobSet, part: &Part) -> bool {
    let e = Evaluation::new(KNOWLEDGE.program(), job);
    let inside = |(slot, layer): &Place| match (job.domain(*slot, *layer), part.set.domain(*slot, *layer)) {
        (Some(own), Some(whole)) => own.and(whole) == *own,
        _ => false,
    };
    part.narrowed.iter().all(inside) && part.open.iter().all(|(l, layer)| e.literal(*l, *layer) == Truth::True)
}

/// The causes of a failing job, as rows name them.
fn named(cause: &Cause) -> String {
    match cause {
        Cause::Window { setting, layer, low, high, .. } => format!("{setting:?} {layer} {low:?} {high:?}"),
        other => format!("{other:?}"),
    }
}

/// What a sampled job tells against the rows; nothing where all is well.
fn wrong(decision: &Decision, job: &JobSet) -> Option<String> {
    let program = KNOWLEDGE.program();
    let e = Evaluation::new(program, job);
    let (works, refused) = (Goal::Accepted.met(&e), e.refused());
    let own: Vec<&Row> = decision.rows.iter().filter(|r| lies_in(job, &r.part)).collect();
    let why = || causes(&e).iter().map(named).collect::<Vec<_>>().join("; ");
    if works == Truth::Open {
        return Some("a complete job is open".to_owned());
    }
    for row in own.iter().filter(|r| r.sure) {
        let no = !matches!(row.cause, Cause::Lack(..));
        if works == Truth::True || no && refused != Truth::True {
            return Some(format!("in a case that fails: {}, yet {works:?}: {}", named(&row.cause), why()));
        }
    }
    let lost = decision.rows_complete && works == Truth::False && own.is_empty();
    lost.then(|| format!("fails and lies in no case: {}", why()))
}

#[test]
fn every_case_has_a_job_that_shows_it() {
    let mut rows = 0;
    for (order, decision) in DECIDED.iter() {
        for row in &decision.rows {
            let e = Evaluation::new(KNOWLEDGE.program(), &row.witness);
            assert!(lies_in(&row.witness, &row.part), "{order}: {}", named(&row.cause));
            assert_eq!(Goal::Case(row.cause, &row.part.open).met(&e), Truth::True, "{order}: {}", named(&row.cause));
            assert_eq!(Goal::Accepted.met(&e), Truth::False, "{order}: {}", named(&row.cause));
            rows += 1;
        }
    }
    assert!(rows > 50, "too few cases: {rows}");
}

/// What the next test looks for is found where it is.
#[test]
fn a_case_left_out_is_missed() {
    let (mut alone, mut all) = (0, 0);
    for (_, decision) in DECIDED.iter().filter(|d| d.1.rows_complete) {
        for (i, row) in decision.rows.iter().enumerate() {
            let mut fewer = decision.clone();
            fewer.rows.remove(i);
            // Where no other case holds it too.
            let elsewhere = fewer.rows.iter().any(|r| lies_in(&row.witness, &r.part));
            let missed = wrong(&fewer, &row.witness).is_some();
            assert!(missed || elsewhere, "{}", named(&row.cause));
            alone += usize::from(missed);
            all += 1;
        }
    }
    assert!(alone > 3 && all > 20, "{alone} of {all}");
}

#[test]
fn complete_jobs_do_as_their_case_says_and_none_is_lost() {
    let mut chance = Chance::new(23);
    let (mut worked, mut failed, mut problems) = (0, 0, Vec::new());
    for (order, decision) in DECIDED.iter() {
        let edges = edges(&decision.job, &decision.rows);
        let sets = std::iter::once(&decision.job).chain(decision.rows.iter().map(|r| &r.part.set));
        for set in sets {
            for _ in 0..DRAWN {
                let Some(job) = drawn(set, &edges, &mut chance) else { continue };
                match Goal::Accepted.met(&Evaluation::new(KNOWLEDGE.program(), &job)) {
                    Truth::True => worked += 1,
                    _ => failed += 1,
                }
                problems.extend(wrong(decision, &job).map(|p| format!("{order}: {p}")));
            }
        }
    }
    problems.sort();
    problems.dedup();
    assert!(problems.is_empty(), "{} of them: {:#?}", problems.len(), problems.iter().take(30).collect::<Vec<_>>());
    assert!(worked > 500 && failed > 500, "too little was tried: {worked} jobs worked, {failed} did not");
}
