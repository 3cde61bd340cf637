//! A layer that a condition asks for below is one of the sheet: with its own mesh, strokes, flash and ink.

use super::altered::raised;
use super::teller::Teller;
use super::{Recipe, Said, SheetLayer};
use crate::job::Domain;
use crate::model::{AttributeId, AttributeType, Laid, Mask};
use crate::reason::decide::{Options, decide};
use crate::reason::evaluate::Evaluation;
use crate::reason::split::slot_of;
use crate::statement::{Stated, Statement};

impl Teller<'_> {
    /// How it is printed, with the layer below that the conditions ask for where it works so.
    pub(super) fn sheet(&self, conditions: &[Said], options: Options) -> Recipe {
        let with_it = || {
            let (stated, code) = self.with_what_is_laid()?;
            let decision = decide(self.program, &stated, Options { explore: false, rows: false, ..options });
            if !decision.verdict.works() {
                return None;
            }
            let e = Evaluation::new(self.program, &decision.job);
            let units = self.units.clone();
            let teller = Teller { program: self.program, stated: &stated, decision: &decision, e: &e, units };
            Some(teller.recipe(conditions, Some(code)))
        };
        with_it().unwrap_or_else(|| self.recipe(conditions, None))
    }

    /// What is said of the job with that layer in it, and the first rule that asks for it. What is needed in some cases
    /// only is laid in none.
    fn with_what_is_laid(&self) -> Option<(Stated, &str)> {
        let asking = self.decision.conditions.iter().filter(|c| c.sure);
        let asking = asking.filter_map(|c| Some((self.rule_of(c.instance)?, c.layer)));
        let mut laid: Vec<(AttributeId, Laid, usize)> = Vec::new();
        let mut first = None;
        for (rule, layer) in asking.filter(|(rule, _)| !rule.lays.is_empty()) {
            first = first.or(Some(rule.id.as_str()));
            for (id, own) in &rule.lays {
                match laid.iter_mut().find(|l| l.0 == *id) {
                    // What is named is closer than what is only as the layer above.
                    Some(before) if before.1 == Laid::Same => *before = (*id, *own, layer),
                    Some(_) => {}
                    None => laid.push((*id, *own, layer)),
                }
            }
        }
        // What is stirred into one material is not stirred into another.
        let other = |l: &(AttributeId, Laid, usize)| {
            l.1 != Laid::Same && l.0.of(&self.program.model).is_some_and(|a| a.material)
        };
        if laid.iter().any(other) {
            laid.retain(|l| l.1 != Laid::Same);
        }
        let mut under = raised(&self.program.model, self.stated);
        under.statements.extend(laid.into_iter().filter_map(|(id, own, above)| self.statement(id, own, above)));
        Some((under, first?))
    }

    /// What is said of an attribute of the lowest layer.
    fn statement(&self, id: AttributeId, laid: Laid, above: usize) -> Option<Statement> {
        let model = &self.program.model;
        match laid {
            Laid::Member(member) => {
                let kind = id.of(model)?.ty.members()?;
                let words = model.member(kind, member)?.name.clone();
                Some(Statement { attribute: id, layer: 0, domain: Domain::Choice(Mask::one(member)), words })
            }
            Laid::Same => {
                let own = self.stated.statements.iter().find(|s| s.attribute == id && s.layer == above)?;
                Some(Statement { layer: 0, ..own.clone() })
            }
        }
    }

    /// The layers in words; the lowest is the one that is asked for.
    pub(super) fn layers(&self, asked_by: Option<&str>) -> Vec<SheetLayer> {
        let model = &self.program.model;
        let material = |layer: usize| {
            let (index, attribute) = model
                .attributes
                .iter()
                .enumerate()
                .find(|(_, a)| a.material && a.per_layer && matches!(a.ty, AttributeType::Choice(_)))?;
            let Domain::Choice(mask) = self.e.domain(slot_of(self.program, AttributeId(index as u16)), layer)? else {
                return None;
            };
            let mut possible = mask.iter();
            let one = possible.next().filter(|_| possible.next().is_none())?;
            Some(model.member(attribute.ty.members()?, one)?.id.clone())
        };
        let layer = |l: usize| SheetLayer {
            material: material(l),
            text: self.layer_words(l),
            asked_by: asked_by.filter(|_| l == 0).map(str::to_owned),
        };
        (0..self.stated.layers).map(layer).collect()
    }
}
