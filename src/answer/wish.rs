//! How a job stands to what was wished of it, and what would fit better. No verdict hangs on a wish.

use super::altered::materials;
use super::build::Context;
use super::moves::is_alike;
use super::rank::{Over, Ranking, compared, rank};
use super::reasons::value_words;
use crate::job::Domain;
use crate::model::{EntityId, Fit, Mask, Model, Value, Wish};
use crate::program::Program;
use crate::reason::decide::{Options, suppose};
use crate::reason::split::slot_of;
use crate::statement::Stated;
use serde::Serialize;

/// How a thing stands to a wish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Heard {
    /// What it is about: `hand`.
    pub about: String,
    /// How it is.
    pub value: String,
    /// Whether that is as asked; nothing where it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_asked: Option<bool>,
    /// How near it comes.
    #[serde(skip)]
    pub fit: Fit,
}

impl Heard {
    /// In words.
    pub fn words(&self) -> String {
        match self.as_asked {
            Some(true) => format!("{}: {}, as asked", self.about, self.value),
            Some(false) => format!("{}: {}, not as asked", self.about, self.value),
            None => format!("{}: not known", self.about),
        }
    }
}

/// Another material that fits better.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BetterFit {
    /// Its name.
    pub name: String,
    /// What would be decided with it.
    pub verdict: &'static str,
    /// How many conditions that has.
    pub conditions: usize,
    /// How it stands to the wishes.
    pub wished: Vec<Heard>,
}

/// Better fits that are told at most.
const MOST: usize = 4;

/// How a thing stands to a wish.
pub(super) fn heard(model: &Model, wish: &Wish, thing: Option<EntityId>) -> Heard {
    let fact = thing.and_then(|id| model.entities.get(id.index())?.facts.get(&wish.property)).map(|f| &f.value);
    let fit = wish.fit(fact);
    let ty = model.properties.get(wish.property.index()).map(|p| p.ty);
    let value = match (fact, &wish.told, ty) {
        (Some(Value::YesNo(true)), Some([yes, _]), _) => yes.clone(),
        (Some(Value::YesNo(false)), Some([_, no]), _) => no.clone(),
        (Some(Value::Disputed { plan, .. }), _, Some(ty)) => {
            format!("about {}", value_words(model, ty, &Value::Quantity(*plan)))
        }
        (Some(value), _, Some(ty)) => value_words(model, ty, value),
        _ => String::new(),
    };
    let unknown = Fit { misses: true, place: i64::MAX };
    Heard { about: wish.called.clone(), value, as_asked: fit.map(|f| !f.misses), fit: fit.unwrap_or(unknown) }
}

/// How many wishes are not met.
pub(super) fn misses(wished: &[Heard]) -> usize {
    wished.iter().filter(|w| w.fit.misses).count()
}

/// What was said, each word for several in its material taken as answers take it.
fn settled(program: &Program, stated: &Stated) -> Stated {
    let mut settled = stated.clone();
    let Some((job, _)) = suppose(program, stated, true) else { return settled };
    for own in &mut settled.statements {
        let taken = job.domain(slot_of(program, own.attribute), own.layer).filter(|d| d.is_single());
        if let (Domain::Choice(_), Some(taken)) = (&own.domain, taken) {
            own.domain = taken.clone();
        }
    }
    settled
}

/// How the material on top stands to what was wished, and which others would do and fit better.
pub fn fit_of(context: Context<'_>, stated: &Stated, wishes: &[&Wish]) -> (Vec<Heard>, Vec<BetterFit>) {
    let model = &context.program.model;
    let stated = &settled(context.program, stated);
    let own = compared(model, stated, Over::Materials);
    let wished: Vec<Heard> = wishes.iter().map(|w| heard(model, w, own)).collect();
    if wished.is_empty() || misses(&wished) == 0 {
        return (wished, Vec::new());
    }
    let top = stated.layers.saturating_sub(1);
    let Some((id, kind)) = materials(model).next() else { return (wished, Vec::new()) };
    let said = |layer: usize| stated.statements.iter().rev().find(|s| s.attribute == id && s.layer == layer);
    let now = match said(top).map(|s| &s.domain) {
        Some(Domain::Choice(one)) => *one,
        _ => Mask::default(),
    };
    // What was stirred into this ink, and how it was to be set, is not said of another.
    let mut open = stated.clone();
    open.statements.retain(|s| s.layer != top || s.attribute != id && !is_of_ink(model, s.attribute));
    let options = Options { explore: false, rows: false, ..context.options };
    let Ranking { rows, .. } = rank(Context { options, ..context }, &open, Over::Materials, wishes);
    let alike = |name: &str| {
        let member = model.everyone(kind).iter().find(|m| model.member(kind, *m).is_some_and(|e| e.name == name));
        member.is_some_and(|m| id.of(model).is_some_and(|a| is_alike(model, a, kind, (now, m))))
    };
    let mut better: Vec<_> = rows
        .into_iter()
        .filter(|r| r.verdict.starts_with("yes") && misses(&r.wished) < misses(&wished) && alike(&r.name))
        .map(|r| BetterFit { name: r.name, verdict: r.verdict, conditions: r.conditions.len(), wished: r.wished })
        .collect();
    better.sort_by_cached_key(|b| misses(&b.wished));
    better.truncate(MOST);
    (wished, better)
}

/// Whether an attribute is of the mixture of one layer, and not of the job.
fn is_of_ink(model: &Model, id: crate::model::AttributeId) -> bool {
    id.of(model).is_some_and(|a| a.per_layer && a.material)
}
