//! What of a shop's own knowledge takes part in an answer, whether or not a reason reads it.

use super::Reason;
use super::reasons::plain;
use super::teller::Teller;
use crate::job::Domain;
use crate::model::{AttributeId, Effect, EntityId, PropertyId};
use crate::reason::evaluate::{Truth, members};
use crate::reason::explain::{FactRead, explain};
use crate::reason::split::slot_of;

impl Teller<'_> {
    /// The words of houses among the reasons, at any depth; the things of the job that are theirs, or have values of
    /// theirs; and their rules that apply without being told as a condition, caution or refusal.
    pub(super) fn of_houses(&self, reasons: &[Reason]) -> Vec<Reason> {
        let mut found: Vec<Reason> = Vec::new();
        if self.program.model.overlays.is_empty() {
            return found;
        }
        let mut add = |reason: Reason| {
            let alike = |r: &Reason| r.text == reason.text && r.layer == reason.layer;
            if reason.house().is_some() && !found.iter().any(alike) {
                found.push(Reason { because: Vec::new(), ..reason });
            }
        };
        let mut open: Vec<&Reason> = reasons.iter().rev().collect();
        while let Some(reason) = open.pop() {
            add(reason.clone());
            open.extend(reason.because.iter().rev());
        }
        self.things().into_iter().flat_map(|id| self.values_of(id)).for_each(&mut add);
        for (index, instance) in self.program.instances.iter().enumerate() {
            let Some(rule) = self.program.model.rules.get(usize::from(instance.rule)) else { continue };
            let silent = matches!(rule.effect, Effect::Derive { .. } | Effect::Support { .. } | Effect::Bound { .. });
            if !silent || self.program.model.depth(rule.origin.span) == 0 {
                continue;
            }
            for layer in self.e.frames(self.program.per(instance)) {
                if self.e.fires(instance, layer) == Truth::True {
                    explain(self.e, index as u32, layer).map(|s| self.step(self.e, &s, 0)).map(&mut add);
                }
            }
        }
        found
    }

    /// The things that may be in the job, as far as something was said or taken for granted of them.
    fn things(&self) -> Vec<EntityId> {
        let model = &self.program.model;
        let mut things = Vec::new();
        for (index, attribute) in model.attributes.iter().enumerate() {
            let (id, Some(kind)) = (AttributeId(index as u16), attribute.ty.members()) else { continue };
            let all = model.kinds.get(kind.index()).map_or(&[][..], |k| &k.members);
            for layer in 0..self.decision.job.layers.len() {
                let said = self.stated.mentions(id, layer)
                    || self.decision.assumed.iter().any(|a| a.attribute == id && a.layer == layer);
                let Some(domain) = self.decision.job.domain(slot_of(self.program, id), layer) else { continue };
                let named = match domain {
                    Domain::Choice(any) => *any,
                    all => members(all).unwrap_or_default().0,
                };
                if said {
                    things.extend(named.iter().filter_map(|m| all.get(m)));
                }
            }
        }
        things.sort();
        things.dedup();
        things
    }

    /// What houses say of a thing: all of it where it is theirs, else the values that are.
    fn values_of(&self, id: EntityId) -> Vec<Reason> {
        let model = &self.program.model;
        let Some(entity) = model.entities.get(id.index()) else { return Vec::new() };
        if model.depth(entity.origin.span) > 0 {
            return vec![
                self.with_origin(plain("knowledge", format!("{} is the shop's own", entity.name)), &entity.origin),
            ];
        }
        let mut theirs: Vec<PropertyId> =
            entity.facts.iter().filter(|(_, f)| model.depth(f.origin.span) > 0).map(|(p, _)| *p).collect();
        theirs.sort();
        theirs.into_iter().filter_map(|p| self.fact(self.e, FactRead::Knowledge(id, p))).collect()
    }
}
