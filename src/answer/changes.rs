//! The smallest sets of changes that make a job possible, each set decided afresh.
//!
//! A set grows from what stands in the way: of the obstacles of a job the one that the fewest changes touch, and of
//! these changes each in turn. So a change is only ever added to a set in which it takes something away.

use super::Work;
use super::moves::{Act, Move, Whose, moves};
use super::words::{Units, filled, one_of};
use crate::job::JobSet;
use crate::program::Program;
use crate::quantity::System;
use crate::reason::decide::{Code, Decision, Options, Verdict, at_first_look, decide, suppose};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::reason::obstacle::{Obstacle, obstacles};
use crate::statement::Stated;
use std::collections::BTreeSet;

/// Changes that together lead to a yes or yes-if.
#[derive(Debug, Clone)]
pub(super) struct Found {
    /// Each in words.
    pub(super) words: Vec<String>,
    /// Another material takes the place of the one on top.
    pub(super) other_ink: bool,
    /// What would be said then and what is decided; several where any of them will do.
    pub(super) ways: Vec<(Stated, Decision)>,
    /// What would be said with one of the changes left out, for each.
    pub(super) without: Vec<Stated>,
}

/// What a search found.
#[derive(Debug, Clone, Default)]
pub(super) struct Sets {
    /// Those that help, the best first.
    pub(super) helping: Vec<Found>,
    /// Where none does: those after which it depends on what was not said.
    pub(super) may_help: Vec<Found>,
    /// Some change leaves it open, be it one of those or one of which nobody can say on what it hangs.
    pub(super) may_do: bool,
    /// What it took.
    pub(super) work: Work,
}

/// What sets are looked for with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Search<'a> {
    pub(super) program: &'a Program,
    pub(super) options: Options,
    pub(super) units: System,
    pub(super) whose: Whose,
}

/// Changes in one set at most.
const MOST: usize = 3;

/// Possible jobs that are looked at for one decision.
const BUDGET: u32 = 120;

/// Of sets of several changes there are many: each is looked at more briefly.
const BUDGET_OF_SEVERAL: u32 = 60;

/// Sets of one size that are added to, the most promising first.
const WIDTH: usize = 8;

/// What is done for one search at most.
const MOST_WORK: Work = Work { jobs: 1500, changes: 3000 };

/// A set of changes, and what they make of the job.
#[derive(Debug, Clone)]
struct Way {
    moves: Vec<Move>,
    stated: Stated,
    decision: Decision,
}

impl Way {
    /// Whether all of it is in another set, or less of the same.
    fn does_for(&self, moves: &[Move]) -> bool {
        self.moves.iter().all(|own| moves.iter().any(|m| own.does_for(m)))
    }

    /// The layers that the job has without the changes.
    fn own_layers(&self) -> usize {
        self.stated.layers - self.moves.iter().filter(|m| m.lays_below()).count()
    }

    /// The set without one of its changes, and what would be said then.
    fn without(&self, program: &Program, stated: &Stated, left_out: &Move) -> Option<(Vec<Move>, Stated)> {
        let moves: Vec<Move> = self.moves.iter().filter(|m| *m != left_out).copied().collect();
        let changed = moves.iter().try_fold(stated.clone(), |s, m| m.applied(program, &s))?;
        Some((moves, changed))
    }
}

/// The smallest sets that help, the best first: the fewest changes, what shops usually have, the plain yes, the fewest
/// conditions. Where other materials help, sets that keep the material are looked for a step further.
pub(super) fn change_sets(search: Search<'_>, stated: &Stated, decision: &Decision) -> Sets {
    let options = Options { budget: BUDGET, explore: false, rows: false, ..search.options };
    let search = Search { options, ..search };
    let (helping, may_help, may_do, work) = searched(search, stated, decision);
    if !helping.is_empty() {
        return Sets { helping: told(search, stated, helping), may_help: Vec::new(), may_do, work };
    }
    Sets { helping: Vec::new(), may_help: told(search, stated, may_help), may_do, work }
}

/// The sets that help, those that may help where none does for sure, whether any leaves it open, and what it took.
fn searched(search: Search<'_>, stated: &Stated, decision: &Decision) -> (Vec<Way>, Vec<Way>, bool, Work) {
    let (mut found, mut seen): (Vec<Way>, _) = (Vec::new(), BTreeSet::new());
    let mut may: Vec<Way> = Vec::new();
    let mut may_do = false;
    let mut left = MOST_WORK;
    let mut level = vec![Way { moves: Vec::new(), stated: stated.clone(), decision: decision.clone() }];
    for size in 1..=MOST {
        let mut next = Vec::new();
        for way in &level {
            for child in children(search, way, &found, &mut seen, &mut left) {
                let list = if child.decision.verdict.works() { &mut found } else { &mut next };
                list.push(child);
            }
        }
        may_do |= next.iter().any(|w| w.decision.verdict == Verdict::Depends);
        if may.is_empty() && decision.verdict == Verdict::No {
            may.extend(next.iter().filter(|w| w.decision.code == Code::OpenFact).cloned());
        }
        let keeps = |w: &Way| !w.moves.iter().any(|m| m.changes_ink(search.program));
        if found.iter().any(keeps) || (!found.is_empty() && size > 1) {
            break;
        }
        if !found.is_empty() {
            next.retain(keeps);
        }
        next.sort_by_cached_key(|w| {
            (
                obstacles(search.program, &w.decision).len(),
                w.moves.iter().any(|m| m.is_seldom(search.program)),
                w.moves.clone(),
            )
        });
        next.truncate(WIDTH);
        level = next;
    }
    let found: Vec<Way> = found.into_iter().flat_map(|w| smallest(search, stated, w)).collect();
    let work = Work { jobs: MOST_WORK.jobs - left.jobs, changes: MOST_WORK.changes - left.changes };
    (found, may, may_do, work)
}

/// The sets with one more change that takes an obstacle away, each decided.
fn children(search: Search<'_>, way: &Way, found: &[Way], seen: &mut BTreeSet<Vec<Move>>, left: &mut Work) -> Vec<Way> {
    let program = search.program;
    let decision = &way.decision;
    let e = Evaluation::new(program, &decision.job);
    let own: Vec<(Obstacle, Truth)> =
        obstacles(program, decision).into_iter().map(|o| (o, o.stands(&e))).filter(|o| o.1 != Truth::False).collect();
    let mut helping: Vec<(Vec<usize>, Vec<Move>, Stated)> = Vec::new();
    // Where another material was found to help, sets are looked for that keep it.
    let keeps = found.iter().any(|f| f.moves.len() <= way.moves.len());
    for step in moves(program, &way.stated, search.whose, way.own_layers()) {
        if keeps && step.changes_ink(program) {
            continue;
        }
        let mut set = way.moves.clone();
        set.push(step);
        set.sort();
        let known = found.iter().any(|f| f.does_for(&set));
        if known || left.changes == 0 || way.moves.iter().any(|m| step.undoes(m)) || seen.contains(&set) {
            continue;
        }
        let Some(stated) = step.applied(program, &way.stated) else { continue };
        left.changes -= 1;
        let lifted = lifted(search, &own, (&way.stated, &decision.job), &stated);
        if !lifted.is_empty() {
            helping.push((lifted, set, stated));
        }
    }
    let count = |o: usize| helping.iter().filter(|h| h.0.contains(&o)).count();
    let target = (0..own.len()).filter(|o| count(*o) > 0).min_by_key(|o| count(*o));
    let mut all: Vec<Way> = Vec::new();
    let mut aimed: Vec<(Vec<usize>, Vec<Move>, Stated)> =
        helping.into_iter().filter(|h| target.is_some_and(|t| h.0.contains(&t))).collect();
    // The work may run out: the usual comes first.
    aimed.sort_by_cached_key(|h| (h.1.iter().any(|m| m.is_seldom(program)), by_effort(program, &h.1)));
    for (_, moves, stated) in aimed {
        seen.insert(moves.clone());
        // What helps in one layer, or beside the machines that are there, helps in several or instead of them as well.
        if !all.iter().any(|w| w.decision.verdict.works() && w.does_for(&moves)) {
            let budget = if moves.len() > 1 { BUDGET_OF_SEVERAL } else { BUDGET };
            let decision = decided(search, &stated, budget, left);
            all.push(Way { moves, stated, decision });
        }
    }
    all
}

/// Decides with a share of the work that is left; without any, an open job stays undecided.
fn decided(search: Search<'_>, stated: &Stated, budget: u32, left: &mut Work) -> Decision {
    let budget = search.options.budget.min(budget).min(left.jobs);
    let decision = decide(search.program, stated, Options { budget, ..search.options });
    left.jobs = left.jobs.saturating_sub(decision.spent);
    decision
}

/// The obstacles, by number, that stand less in the way of a job than they did.
fn lifted(search: Search<'_>, own: &[(Obstacle, Truth)], before: (&Stated, &JobSet), stated: &Stated) -> Vec<usize> {
    // What the customer changes is never alone: colour and dyeing go together.
    let job = match search.whose {
        Whose::Shop => Some(at_first_look(search.program, before, stated)),
        Whose::Customer => suppose(search.program, stated, search.options.assume).map(|s| s.0),
    };
    let Some(job) = job else { return Vec::new() };
    let e = Evaluation::new(search.program, &job);
    own.iter().enumerate().filter(|(_, (o, was))| o.stands(&e) < *was).map(|(i, _)| i).collect()
}

/// A set, or the smaller ones in it that do as well.
fn smallest(search: Search<'_>, first: &Stated, way: Way) -> Vec<Way> {
    let mut smaller = Vec::new();
    if way.moves.len() > 1 {
        for left_out in &way.moves {
            let Some((moves, stated)) = way.without(search.program, first, left_out) else { continue };
            let decision = decide(search.program, &stated, search.options);
            if decision.verdict.works() {
                smaller.extend(smallest(search, first, Way { moves, stated, decision }));
            }
        }
    }
    if smaller.is_empty() { vec![way] } else { smaller }
}

/// The rules behind the conditions.
fn conditions(program: &Program, decision: &Decision) -> Vec<u16> {
    let mut rules: Vec<u16> =
        decision.conditions.iter().filter_map(|c| program.instance(c.instance)).map(|i| i.rule).collect();
    rules.sort_unstable();
    rules.dedup();
    rules
}

/// So many inks of the same sort as the one that was asked for are told before the usual ones.
const AKIN_FIRST: usize = 2;

/// The sets in their order and in words. Machines that lead to the same are told together.
fn told(search: Search<'_>, stated: &Stated, mut ways: Vec<Way>) -> Vec<Found> {
    let program = search.program;
    // Whoever spoke of a unit reads changes in it.
    let units = Units::of(&program.model, stated, search.units);
    ways.sort_by_cached_key(|w| {
        let seldom = w.moves.iter().any(|m| m.is_seldom(program));
        let count = conditions(program, &w.decision).len();
        (w.moves.len(), seldom, w.decision.verdict, count, by_effort(program, &w.moves))
    });
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        if !kept.iter().any(|k| k.does_for(&way.moves)) {
            kept.retain(|k| !way.does_for(&k.moves));
            kept.push(way);
        }
    }
    // More changes are no choice beside fewer, of the same ink or of another.
    let other = |w: &Way| w.moves.iter().any(|m| m.changes_ink(program));
    let least = [false, true].map(|ink| kept.iter().filter(|w| other(w) == ink).map(|w| w.moves.len()).min());
    kept.retain(|w| least.get(usize::from(other(w))) == Some(&Some(w.moves.len())));
    // Who asked for one sort of ink reads of that sort first.
    let akin = |w: &Way| w.moves.iter().any(|m| m.is_akin(program, stated));
    let first: Vec<usize> = (0..kept.len()).filter(|i| kept.get(*i).is_some_and(akin)).take(AKIN_FIRST).collect();
    for (to, from) in first.into_iter().enumerate() {
        kept.get_mut(to..=from).into_iter().for_each(|part| part.rotate_right(1));
    }
    let machine = |m: &Move| matches!(m.act, Act::Have(_) | Act::HaveOnly(_));
    let mut groups: Vec<Vec<Way>> = Vec::new();
    for way in kept {
        let like = |w: &Way| {
            let rest: Vec<Move> = w.moves.iter().filter(|m| !machine(m)).copied().collect();
            (w.moves.len(), rest, w.decision.verdict, conditions(program, &w.decision))
        };
        let alike = |g: &Vec<Way>| way.moves.iter().any(machine) && g.first().is_some_and(|w| like(w) == like(&way));
        match groups.iter().position(alike).and_then(|i| groups.get_mut(i)) {
            Some(group) => group.push(way),
            None => groups.push(vec![way]),
        }
    }
    groups.into_iter().filter_map(|g| in_words(program, &units, (stated, g), machine)).collect()
}

/// The order between sets that are alike in all else: by effort, other materials by how usual they are, then by name.
fn by_effort(program: &Program, moves: &[Move]) -> Vec<(bool, usize, String, Move)> {
    let own = |m: &Move| {
        let ink = m.changes_ink(program);
        let place = m.usual_place(program).map_or(0, |p| p.0);
        (ink, place, if ink { m.name(program).unwrap_or_default() } else { String::new() }, *m)
    };
    moves.iter().map(own).collect()
}

fn in_words(
    program: &Program,
    units: &Units,
    (stated, group): (&Stated, Vec<Way>),
    machine: impl Fn(&Move) -> bool,
) -> Option<Found> {
    let first = group.first()?;
    let mut words = Vec::new();
    for (at, step) in first.moves.iter().enumerate() {
        if machine(step) {
            let names: Vec<String> =
                group.iter().filter_map(|w| w.moves.get(at)).filter_map(|m| m.name(program)).collect();
            let attribute = step.attribute.of(&program.model)?;
            words.push(filled(attribute.told.instead.as_ref(), attribute, &one_of(&names)));
        } else {
            words.push(step.words(program, units, &first.decision, stated.layers)?);
        }
    }
    let other_ink = first.moves.iter().any(|m| m.changes_ink(program));
    let left_out = |w: &Way| -> Vec<Stated> {
        w.moves.iter().filter_map(|m| w.without(program, stated, m)).map(|w| w.1).collect()
    };
    let without = group.iter().filter(|w| w.moves.len() > 1).flat_map(left_out).collect();
    let ways = group.into_iter().map(|w| (w.stated, w.decision)).collect();
    Some(Found { words, other_ink, ways, without })
}

#[cfg(test)]
mod tests {
    // A test that cannot go on has failed: that is what panics are for here.
    #![allow(clippy::expect_used)]

    use super::*;
    use crate::Knowledge;

    /// Jobs of all sorts that do not work as they are, with how many single changes help.
    const JOBS: [&str; 10] = [
        "plastisol on navy polyester tee",
        "plastisol on white cotton using hair dryer",
        "water-based on black cotton tee",
        "discharge on denim",
        "white plastisol over red plastisol on navy 50/50 cotton polyester hoodie",
        "plastisol over silicone on cotton tee",
        "low-cure plastisol on polypropylene fleece at 150 °C",
        "water-based on showerproof nylon",
        "puff on softshell",
        "white plastisol on black leggings 88% nylon 12% elastane",
    ];

    /// Every single change is tried by itself: what helps was found, or something that is less of the same.
    #[test]
    fn no_single_change_that_helps_is_missed() {
        let knowledge = Knowledge::built_in().expect("the built-in knowledge");
        let program = knowledge.program();
        let options = Options { budget: BUDGET, explore: false, rows: false, ..Options::default() };
        let search = Search { program, options, units: System::default(), whose: Whose::Shop };
        let mut helped = 0;
        for job in JOBS {
            let stated = knowledge.statements(job).expect("a job");
            let decision = decide(program, &stated, options);
            assert!(!decision.verdict.works(), "{job} needs no change");
            let (found, _, _, work) = searched(search, &stated, &decision);
            assert!(work.jobs < MOST_WORK.jobs, "{job}: the work ran out: {work:?}");
            for step in moves(program, &stated, Whose::Shop, stated.layers) {
                let Some(changed) = step.applied(program, &stated) else { continue };
                if decide(program, &changed, options).verdict.works() {
                    helped += 1;
                    assert!(found.iter().any(|w| w.does_for(&[step])), "{job}: {step:?} helps and was not found");
                }
            }
        }
        assert!(helped > 60, "too little helped: {helped}");
    }
}
