//! What keeps a job from working, told apart by the rules and not by the layer: a change may move the layers.

use super::decide::{Cause, Decision, causes};
use super::evaluate::{Evaluation, Truth};
use super::rows::{bound, cross};
use crate::model::{AttributeId, End};
use crate::program::Program;

/// A refusal, two bounds that cross, or an aspect without grounds; rules by their instances.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Obstacle {
    /// A refusal.
    Rule(u32),
    /// The two bounds of a setting that cross; none where it was stated.
    Window(AttributeId, Option<u32>, Option<u32>),
    /// An aspect without grounds.
    Lack(u32),
}

impl Obstacle {
    /// Of a cause.
    pub fn of(cause: &Cause) -> Self {
        match *cause {
            Cause::Rule(index, _) => Self::Rule(index),
            Cause::Window { setting, low, high, .. } => Self::Window(setting, low.map(|b| b.0), high.map(|b| b.0)),
            Cause::Lack(need, _) => Self::Lack(need),
        }
    }

    /// Whether it stands in the way of a set, at any layer.
    pub fn stands(self, e: &Evaluation<'_>) -> Truth {
        match self {
            Self::Rule(index) => {
                let Some(instance) = e.program.instance(index) else { return Truth::False };
                any(e.frames(e.program.per(instance)), |layer| e.fires(instance, layer))
            }
            Self::Window(setting, low, high) => {
                let Some((_, node, _)) = e.program.windows.iter().find(|w| w.0 == setting) else { return Truth::False };
                any(0..e.window_layers(*node), |layer| {
                    let (lows, highs) = (sides(e, *node, low, layer), sides(e, *node, high, layer));
                    any(lows.into_iter(), |low| {
                        any(highs.iter().copied(), |high| {
                            let ends = (
                                bound(e, setting, layer, low.0, End::Low),
                                bound(e, setting, layer, high.0, End::High),
                            );
                            low.1.and(high.1).and(cross(ends.0, ends.1))
                        })
                    })
                })
            }
            Self::Lack(index) => {
                let Some(need) = e.program.needs.get(index as usize) else { return Truth::False };
                any(e.need_frames(need), |layer| e.needed(need, layer).and(e.grounded(need, layer).opposite()))
            }
        }
    }
}

/// What a decision of no or depends hangs on: what surely refuses, or else what refuses a job that shows it, or leaves
/// one without grounds.
pub fn obstacles(program: &Program, decision: &Decision) -> Vec<Obstacle> {
    let mut found: Vec<Obstacle> = decision.causes.iter().map(Obstacle::of).collect();
    if found.is_empty() {
        for job in decision.refused.iter().chain(&decision.ungrounded) {
            let e = Evaluation::new(program, job);
            found.extend(causes(&e).iter().map(Obstacle::of));
            let lacks = (0..program.needs.len()).map(|need| Obstacle::Lack(need as u32));
            found.extend(lacks.filter(|l| e.refused() != Truth::True && l.stands(&e) == Truth::True));
        }
    }
    found.sort();
    found.dedup();
    found
}

fn any<T>(all: impl Iterator<Item = T>, truth: impl Fn(T) -> Truth) -> Truth {
    all.fold(Truth::False, |t, one| t.or(truth(one)))
}

/// A bound wherever it may hold, and whether it does; what was stated always does.
fn sides(e: &Evaluation<'_>, node: u16, by: Option<u32>, layer: usize) -> Vec<(Option<(u32, usize)>, Truth)> {
    let Some(index) = by else { return vec![(None, Truth::True)] };
    let (Some(own), Some(instance)) = (e.program.nodes.get(usize::from(node)), e.program.instance(index)) else {
        return Vec::new();
    };
    e.gives_at(instance, own, layer).map(|frame| (Some((index, frame)), e.fires(instance, frame))).collect()
}
