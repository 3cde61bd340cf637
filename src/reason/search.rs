//! Finding one concrete job in a set that meets a goal, or showing that there is none.

use super::decide::Cause;
use super::evaluate::{Evaluation, Truth};
use super::rows::{bound, cross};
use super::settle::settle;
use super::split::{Parts, propagate, split_clauses, split_literal, split_node, split_value};
use crate::job::JobSet;
use crate::model::{End, Frame};
use crate::program::{Instance, Literal, Program};

/// What a job is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal<'g> {
    /// Possible at all.
    Possible,
    /// Neither refused nor without grounds.
    Accepted,
    /// Accepted, and nothing is required.
    Plain,
    /// Accepted, and this instance fires at this layer.
    AcceptedWith(u32, usize),
    /// Refused.
    Refused,
    /// Not refused, and without grounds.
    Ungrounded,
    /// Possible, and this instance fires at this layer.
    Fires(u32, usize),
    /// Possible, and the window of these nodes crosses at this layer.
    Crosses(u16, u16, usize),
    /// Not refused, and this aspect lacks grounds at this layer.
    Lacks(u32, usize),
    /// Fails for this cause, and these hold.
    Case(Cause, &'g [(Literal, usize)]),
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// A concrete job.
    Witness(Box<JobSet>),
    /// There is none.
    Nothing,
    /// The budget ran out.
    Undecided,
}

impl Found {
    /// The job, if one was found.
    pub fn witness(&self) -> Option<&JobSet> {
        match self {
            Self::Witness(job) => Some(job),
            _ => None,
        }
    }
}

/// How deep a split follows derivations.
const DEPTH: u32 = 12;

impl Goal<'_> {
    /// Whether the jobs of a set meet it.
    pub fn met(self, e: &Evaluation<'_>) -> Truth {
        let possible = e.excluded().opposite();
        if possible == Truth::False {
            return Truth::False;
        }
        possible.and(match self {
            Self::Possible => Truth::True,
            Self::Accepted => accepted(e),
            Self::Plain => accepted(e).and(e.conditional().opposite()),
            Self::AcceptedWith(i, layer) => {
                accepted(e).and(e.program.instance(i).map_or(Truth::False, |i| e.fires(i, layer)))
            }
            Self::Refused => e.refused(),
            Self::Ungrounded => e.refused().opposite().and(e.all_grounded().opposite()),
            Self::Fires(i, layer) => e.program.instance(i).map_or(Truth::False, |i| e.fires(i, layer)),
            Self::Crosses(low, high, layer) => e.crossed(low, high, layer),
            Self::Lacks(need, layer) => e.refused().opposite().and(lacks(e, need, layer)),
            Self::Case(cause, open) => {
                let all = open.iter().fold(Truth::True, |t, (l, layer)| t.and(e.literal(*l, *layer)));
                if all == Truth::False { Truth::False } else { all.and(fails(e, cause)) }
            }
        })
    }
}

fn accepted(e: &Evaluation<'_>) -> Truth {
    let refused = e.refused();
    if refused == Truth::True { Truth::False } else { refused.opposite().and(e.all_grounded()) }
}

/// Whether a job fails for a cause; for a lack, only where nothing refuses it.
fn fails(e: &Evaluation<'_>, cause: Cause) -> Truth {
    match cause {
        Cause::Rule(index, layer) => e.program.instance(index).map_or(Truth::False, |i| e.fires(i, layer)),
        Cause::Window { setting, layer, low, high, .. } => {
            cross(bound(e, setting, layer, low, End::Low), bound(e, setting, layer, high, End::High))
        }
        Cause::Lack(need, layer) => e.refused().opposite().and(lacks(e, need, layer)),
    }
}

fn lacks(e: &Evaluation<'_>, need: u32, layer: usize) -> Truth {
    e.program.needs.get(need as usize).map_or(Truth::False, |n| e.needed(n, layer).and(e.grounded(n, layer).opposite()))
}

/// Searches a set. Each box looked at costs one of the budget.
pub fn search(program: &Program, set: &JobSet, goal: Goal<'_>, budget: &mut u32) -> Found {
    let mut stack = vec![set.clone()];
    let mut stuck = false;
    while let Some(mut set) = stack.pop() {
        if *budget == 0 {
            return Found::Undecided;
        }
        *budget -= 1;
        if !propagate(program, &mut set) {
            continue;
        }
        let evaluation = Evaluation::new(program, &set);
        if goal.met(&evaluation) == Truth::False {
            continue;
        }
        let point = settle(program, &set);
        if let Some(point) = &point
            && goal.met(&Evaluation::new(program, point)) == Truth::True
        {
            return Found::Witness(Box::new(point.clone()));
        }
        let wants = point.as_ref().map(|p| Evaluation::new(program, p));
        match next_split(&evaluation, wants.as_ref(), goal) {
            Some((parts, toward_first)) => {
                let (first, second) =
                    if toward_first { (parts.towards, parts.away) } else { (parts.away, parts.towards) };
                stack.push(second);
                stack.push(first);
            }
            None => stuck = true,
        }
    }
    if stuck { Found::Undecided } else { Found::Nothing }
}

/// Splits on what breaks the goal at the point, or on anything open that bears on it. Says which part to try first.
fn next_split(e: &Evaluation<'_>, point: Option<&Evaluation<'_>>, goal: Goal<'_>) -> Option<(Parts, bool)> {
    let broken = |truth_here: Truth, truth_at_point: Option<Truth>, wanted: Truth| {
        truth_here == Truth::Open && truth_at_point.is_none_or(|t| t != wanted)
    };
    // Impossible jobs first: they say nothing.
    for index in &e.program.excludes {
        let Some(instance) = e.program.instance(*index) else {
            continue;
        };
        for layer in e.frames(e.program.per(instance)) {
            if broken(e.fires(instance, layer), point.map(|p| p.fires(instance, layer)), Truth::False)
                && let Some(parts) = split_clauses(e, &instance.clauses, layer, DEPTH)
            {
                return Some((parts, false));
            }
        }
    }
    match goal {
        Goal::Possible => None,
        Goal::Accepted => refusals(e, point, false).or_else(|| grounds(e, point, true)),
        Goal::Plain => refusals(e, point, false).or_else(|| grounds(e, point, true)).or_else(|| conditions(e)),
        Goal::AcceptedWith(index, layer) => {
            let instance = e.program.instance(index)?;
            let fires = match e.fires(instance, layer) {
                Truth::Open => split_clauses(e, &instance.clauses, layer, DEPTH).map(|p| (p, true)),
                _ => None,
            };
            fires.or_else(|| refusals(e, point, false)).or_else(|| grounds(e, point, true))
        }
        Goal::Refused => refusals(e, None, true),
        Goal::Ungrounded => refusals(e, point, false).or_else(|| grounds(e, None, false)),
        Goal::Fires(index, layer) => {
            let instance = e.program.instance(index)?;
            split_clauses(e, &instance.clauses, layer, DEPTH).map(|p| (p, true))
        }
        Goal::Crosses(low, high, layer) => window(e, low, high, layer).map(|p| (p, true)),
        Goal::Lacks(index, layer) => refusals(e, point, false).or_else(|| {
            let need = e.program.needs.get(index as usize)?;
            need_split(e, need, layer).map(|p| (p, false))
        }),
        Goal::Case(cause, open) => {
            let held = open.iter().filter(|(l, layer)| e.literal(*l, *layer) == Truth::Open);
            let first = held.filter_map(|(l, layer)| split_literal(e, *l, *layer, DEPTH)).next();
            first.map(|p| (p, true)).or_else(|| match cause {
                Cause::Rule(index, layer) => next_split(e, point, Goal::Fires(index, layer)),
                Cause::Lack(index, layer) => next_split(e, point, Goal::Lacks(index, layer)),
                Cause::Window { low, high, .. } => {
                    let values =
                        low.into_iter().chain(high).filter_map(|(i, frame)| Some((e.program.instance(i)?, frame)));
                    let split = |(i, frame): (&Instance, usize)| {
                        let fires = split_clauses(e, &i.clauses, frame, DEPTH);
                        fires.or_else(|| i.value.as_ref().and_then(|v| split_value(e, v, frame, DEPTH)))
                    };
                    values.filter_map(split).next().map(|p| (p, true))
                }
            })
        }
    }
}

fn refusals(e: &Evaluation<'_>, point: Option<&Evaluation<'_>>, wanted: bool) -> Option<(Parts, bool)> {
    for pass in 0..2 {
        for index in &e.program.refusals {
            let Some(instance) = e.program.instance(*index) else {
                continue;
            };
            for layer in e.frames(e.program.per(instance)) {
                if e.fires(instance, layer) != Truth::Open {
                    continue;
                }
                // First what breaks the goal at the point, then anything open.
                if pass == 0 && point.is_some_and(|p| p.fires(instance, layer) != Truth::True) {
                    continue;
                }
                if let Some(parts) = split_clauses(e, &instance.clauses, layer, DEPTH) {
                    return Some((parts, wanted));
                }
            }
        }
        for (_, low, high) in &e.program.windows {
            for layer in 0..e.window_layers(*low) {
                if e.crossed(*low, *high, layer) != Truth::Open {
                    continue;
                }
                if pass == 0 && point.is_some_and(|p| p.crossed(*low, *high, layer) != Truth::True) {
                    continue;
                }
                if let Some(parts) = window(e, *low, *high, layer) {
                    return Some((parts, wanted));
                }
            }
        }
        // What the point lacks comes before what is merely open.
        if pass == 0
            && point.is_some()
            && let Some(found) = grounds(e, point, true)
        {
            return Some(found);
        }
    }
    None
}

fn window(e: &Evaluation<'_>, low: u16, high: u16, layer: usize) -> Option<Parts> {
    let frame = |node: u16| match e.program.nodes.get(usize::from(node)) {
        Some(n) if n.per_layer => Frame::This,
        _ => Frame::Job,
    };
    split_node(e, low, frame(low), layer, DEPTH).or_else(|| split_node(e, high, frame(high), layer, DEPTH))
}

fn grounds(e: &Evaluation<'_>, point: Option<&Evaluation<'_>>, wanted: bool) -> Option<(Parts, bool)> {
    for need in &e.program.needs {
        for layer in e.need_frames(need) {
            let lacking = e.needed(need, layer).and(e.grounded(need, layer).opposite());
            if lacking != Truth::Open {
                continue;
            }
            let at_point = point.map(|p| p.needed(need, layer).and(p.grounded(need, layer).opposite()));
            if at_point.is_some_and(|t| t != Truth::True) {
                continue;
            }
            if let Some(parts) = need_split(e, need, layer) {
                return Some((parts, wanted));
            }
        }
    }
    None
}

fn need_split(e: &Evaluation<'_>, need: &crate::program::Need, layer: usize) -> Option<Parts> {
    if e.needed(need, layer) == Truth::Open {
        // Towards: the aspect does not apply.
        if let Some(parts) = split_clauses(e, &need.clauses, layer, DEPTH) {
            return Some(Parts { towards: parts.away, away: parts.towards });
        }
    }
    need.grounds.iter().filter_map(|g| e.program.instance(*g)).find_map(|i| {
        let frame = if e.program.per(i) == crate::model::Per::Job { 0 } else { layer };
        (e.fires(i, frame) == Truth::Open).then(|| split_clauses(e, &i.clauses, frame, DEPTH)).flatten()
    })
}

fn conditions(e: &Evaluation<'_>) -> Option<(Parts, bool)> {
    for index in &e.program.requirements {
        let Some(instance) = e.program.instance(*index) else {
            continue;
        };
        for layer in e.frames(e.program.per(instance)) {
            if e.fires(instance, layer) == Truth::Open
                && let Some(parts) = split_clauses(e, &instance.clauses, layer, DEPTH)
            {
                return Some((parts, false));
            }
        }
    }
    None
}
