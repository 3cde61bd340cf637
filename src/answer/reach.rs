//! What part of a window a setting usually takes, and what of it the shop has.

use super::teller::Teller;
use super::words::one_of;
use crate::job::Domain;
use crate::model::{Attribute, AttributeType, Mask, Value};
use crate::quantity::LARGEST;
use crate::reason::split::slot_of;

impl Teller<'_> {
    /// The part of a window in which a setting usually lies; all of it where that is none of it.
    pub(super) fn usually(&self, attribute: &Attribute, layer: usize, (low, high): (i64, i64)) -> (i64, i64) {
        let usual = attribute.usually.and_then(|(leader, property)| {
            let Domain::Choice(possible) = self.e.domain(slot_of(self.program, leader), layer)? else { return None };
            let AttributeType::Choice(kind) = leader.of(&self.program.model)?.ty else { return None };
            let of = |m| match self.program.model.member(kind, m)?.facts.get(&property)?.value {
                crate::model::Value::Window(a, b) => Some((a, b)),
                _ => None,
            };
            possible.iter().map(of).try_fold((low, high), |all, own| own.map(|(a, b)| (all.0.max(a), all.1.min(b))))
        });
        usual.filter(|(a, b)| a <= b).unwrap_or((low, high))
    }

    /// The values in a window that the shop has, the one to take first: what is wished, else the next lower one for a
    /// layer below and the next higher one for the top; the others by how far they lie away.
    pub(super) fn in_stock(&self, setting: &Attribute, window: (i64, i64), wish: i64, below: bool) -> Vec<i64> {
        let Some((_, stock)) = self.stock(setting) else { return Vec::new() };
        let mut fitting: Vec<i64> = self
            .values(setting, stock)
            .into_iter()
            .map(|v| v.1)
            .filter(|v| (window.0..=window.1).contains(v))
            .collect();
        let ahead = |v: i64| if below { v <= wish } else { v >= wish };
        fitting.sort_by_key(|v| (!ahead(*v), (v - wish).abs()));
        fitting.dedup();
        fitting
    }

    /// What to buy, where the shop has nothing of what a setting can be set to.
    pub(super) fn missing(&self, setting: &Attribute, (low, high): (i64, i64), at: i64) -> Option<String> {
        let (everyone, stock) = self.stock(setting)?;
        let fits = |v: &(usize, i64)| (low..=high).contains(&v.1);
        if self.values(setting, stock).iter().any(fits) {
            return None;
        }
        let known: Vec<(usize, i64)> = self.values(setting, everyone).into_iter().filter(fits).collect();
        let least = known.iter().map(|v| (v.1 - at).abs()).min()?;
        let kind = setting.stock?.0.of(&self.program.model)?.ty.members()?;
        let nearest = known.iter().filter(|v| (v.1 - at).abs() == least);
        let names: Vec<String> =
            nearest.filter_map(|v| self.program.model.member(kind, v.0)).map(|e| e.name.clone()).collect();
        Some(format!("none that the shop has fits: the nearest to buy is {}", one_of(&names)))
    }

    /// All that there is of what a setting is set to, and what the shop has of it, where it says so.
    fn stock(&self, setting: &Attribute) -> Option<(Mask, Mask)> {
        let (set, _) = setting.stock?;
        let kind = set.of(&self.program.model)?.ty.members()?;
        let Domain::Set { must, .. } = self.decision.job.domain(slot_of(self.program, set), 0)? else { return None };
        (*must != Mask::EMPTY).then(|| (self.program.model.everyone(kind), *must))
    }

    /// What members can be set to, each with its number.
    fn values(&self, setting: &Attribute, members: Mask) -> Vec<(usize, i64)> {
        let Some((set, property)) = setting.stock else { return Vec::new() };
        let Some(kind) = set.of(&self.program.model).and_then(|a| a.ty.members()) else { return Vec::new() };
        let value = |m: usize| match self.program.model.member(kind, m)?.facts.get(&property)?.value {
            Value::Quantity(steps) if steps.abs() < LARGEST => Some((m, steps)),
            _ => None,
        };
        members.iter().filter_map(value).collect()
    }
}
