//! What must be done, looked out for, and what can hurt people.

use super::cases::ways_words;
use super::teller::Teller;
use super::words::{Piece, Units, joined_pieces, pieces};
use super::{Between, Said};
use crate::model::{Effect, EntityId, Role, Rule};
use crate::program::Program;
use crate::reason::decide::{Cause, Fired, Options, Verdict, decide};
use crate::reason::evaluate::Evaluation;
use crate::reason::rows::ways;
use crate::statement::Stated;

/// The hazards of a material of this name or id by itself, as answers that tell to take it say them.
pub fn hazards_of(program: &Program, name: &str) -> Vec<Said> {
    let stated = Stated::default();
    let decision =
        decide(program, &stated, Options { budget: 0, assume: false, explore: false, rows: false, brief: false });
    let e = Evaluation::new(program, &decision.job);
    let teller = Teller { program, stated: &stated, decision: &decision, e: &e, units: Units::default() };
    let found = program.model.entities.iter().enumerate().filter(|(_, e)| e.name == name || e.id == name);
    found.flat_map(|(index, _)| teller.material_hazards(EntityId(index as u16))).collect()
}

impl Teller<'_> {
    pub(super) fn rule_of(&self, index: u32) -> Option<&Rule> {
        self.program.model.rules.get(usize::from(self.program.instance(index)?.rule))
    }

    /// Conditions or notes in words, in their order. One that only some jobs need says which; what is said of several
    /// layers or things alike is said once.
    pub(super) fn told(&self, e: &Evaluation<'_>, fired: &[Fired]) -> Vec<Said> {
        let mut told: Vec<(Said, Vec<Piece>)> = Vec::new();
        for f in fired {
            let (Some(instance), Some(rule)) = (self.program.instance(f.instance), self.rule_of(f.instance)) else {
                continue;
            };
            let own = pieces(e, &self.units, &instance.text, f.layer);
            let when = if f.sure { None } else { self.when(f) };
            let alike = told.iter_mut().find_map(|t| {
                let same = t.0.code == rule.id && (t.1 == own || (t.0.when == when && merge(&mut t.1, &own)));
                same.then_some(t)
            });
            if let Some((said, p)) = alike {
                // What holds in any case holds in this one.
                if when.is_none() {
                    said.when = None;
                }
                (said.text, said.values) = joined_pieces(p);
                continue;
            }
            let about = match &rule.effect {
                Effect::Note { about, .. } => Some(about.clone()),
                _ => None,
            };
            let (text, values) = joined_pieces(&own);
            let basis = rule.origin.basis.words();
            let source = self.program.model.citations(&rule.origin);
            let layer = self.program.model.layer(rule.origin.span).to_owned();
            let place = self.program.model.place(rule.origin.span);
            let step = rule.step.and_then(|s| self.program.model.steps.get(s)).map(|s| s.name.clone());
            let code = rule.id.clone();
            let time = self.program.model.dimension("time").and_then(|d| self.program.model.dim(d));
            let seconds = |steps| time.map_or(0.0, |d| d.reading(steps, 0));
            let lasts = rule.lasts.map(|(low, high)| Between { min: seconds(low), max: seconds(high) });
            told.push((Said { code, text, values, about, when, step, lasts, basis, source, layer, place }, own));
        }
        told.into_iter().map(|t| t.0).collect()
    }

    /// What must be done, in the order of work; of what may have to be, first what safety and law ask for.
    pub(super) fn conditions(&self) -> Vec<Said> {
        let mut fired = self.decision.conditions.clone();
        let safety = |f: &Fired| self.rule_of(f.instance).is_some_and(|r| self.program.model.is_safety(r));
        let step = |f: &Fired| self.rule_of(f.instance).and_then(|r| r.step).unwrap_or(usize::MAX);
        fired.sort_by_key(|f| (!f.sure && !safety(f), step(f)));
        self.told(self.e, &fired)
    }

    /// Cautions, and advice. What must not be done needs no advice on how to do it.
    pub(super) fn cautions(&self) -> (Vec<Said>, Vec<Said>) {
        if self.decision.verdict == Verdict::No {
            return (self.hazards(), Vec::new());
        }
        let rank = |f: &Fired| {
            let rule = self.rule_of(f.instance)?;
            let Effect::Note { about, .. } = &rule.effect else { return None };
            let about = ["health", "law", "quality", "advice"].iter().position(|a| a == about);
            Some((!f.sure, about, rule.only_if_done))
        };
        let mut notes = self.notes();
        // What holds in any case comes before what may, and work before cleaning up.
        notes.sort_by_key(rank);
        let (sure, rest): (Vec<Fired>, Vec<Fired>) = notes.into_iter().partition(|f| f.sure && self.is_hazard(f));
        let mut told = self.told(self.e, &sure);
        // The hazards of what is to be taken stand with those of what was named.
        for said in self.taken_hazards().into_iter().chain(self.told(self.e, &rest)) {
            if !told.iter().any(|t| same(t, &said)) {
                told.push(said);
            }
        }
        told.into_iter().partition(|s| s.about.as_deref() != Some("advice"))
    }

    /// Notes that fire or may; but none on something that nobody said the shop has.
    fn notes(&self) -> Vec<Fired> {
        let named = |f: &&Fired| {
            let bounds = self.rule_of(f.instance).map(|r| r.scope.bounds.as_slice()).unwrap_or_default();
            let role = |b: &crate::model::Bound| b.attribute.of(&self.program.model).map(|a| a.role);
            f.sure || !bounds.iter().any(|b| role(b) == Some(Role::Capability))
        };
        self.decision.notes.iter().filter(named).copied().collect()
    }

    /// What can hurt people whether the job is done or only prepared.
    pub(super) fn hazards(&self) -> Vec<Said> {
        let notes: Vec<Fired> = self.notes().into_iter().filter(|f| self.is_hazard(f)).collect();
        let mut hazards = self.told(self.e, &notes);
        hazards.sort_by_key(|h| h.when.is_some());
        for taken in self.taken_hazards() {
            if !hazards.iter().any(|h| same(h, &taken)) {
                hazards.push(taken);
            }
        }
        hazards
    }

    fn is_hazard(&self, fired: &Fired) -> bool {
        let rule = self.rule_of(fired.instance);
        rule.is_some_and(|r| matches!(&r.effect, Effect::Note { about, .. } if about == "health") && !r.only_if_done)
    }

    /// The hazards of the materials that texts of this answer tell to take.
    fn taken_hazards(&self) -> Vec<Said> {
        let causes = self.decision.causes.iter().chain(self.decision.rows.iter().map(|r| &r.cause));
        let refusing = causes.filter_map(|c| match c {
            Cause::Rule(index, _) => Some(*index),
            _ => None,
        });
        // Of what must not be done no advice is told.
        let notes = if self.decision.verdict == Verdict::No { &[][..] } else { &self.decision.notes[..] };
        let fired = self.decision.conditions.iter().chain(notes).map(|f| f.instance);
        let mut taken: Vec<EntityId> =
            fired.chain(refusing).filter_map(|i| self.rule_of(i)).flat_map(|r| &r.takes).copied().collect();
        taken.sort();
        taken.dedup();
        taken.into_iter().flat_map(|id| self.material_hazards(id)).collect()
    }

    /// The hazards of a material by itself, whatever it is used with.
    fn material_hazards(&self, id: EntityId) -> Vec<Said> {
        let Some(alone) = super::altered::alone(self.program, id) else { return Vec::new() };
        let job = crate::reason::decide::base(self.program, &alone);
        let e = Evaluation::new(self.program, &job);
        let notes = crate::reason::decide::fired(&e, &self.program.notes);
        let hazards: Vec<Fired> = notes.into_iter().filter(|f| f.sure && self.is_hazard(f)).collect();
        self.told(&e, &hazards)
    }

    fn when(&self, fired: &Fired) -> Option<String> {
        let instance = self.program.instance(fired.instance)?;
        let rule = self.program.model.rules.get(usize::from(instance.rule))?;
        if let Some(told) = &rule.told {
            return Some(told.clone());
        }
        // Each way in which it applies is told.
        let ways = ways(self.e, &instance.clauses, fired.layer);
        let words = ways_words(self.e, &ways);
        let told = !words.is_empty() && words.iter().all(|w| !w.is_empty());
        Some(if told { format!("if {}", words.join(", or if ")) } else { "in some cases".to_owned() })
    }
}

/// Takes the other's words into a sentence that differs from it in one name only.
fn merge(own: &mut [Piece], other: &[Piece]) -> bool {
    if own.len() != other.len() || own.iter().zip(other).any(|(a, b)| a.path != b.path) {
        return false;
    }
    let differ = |(a, b): &(&mut Piece, &Piece)| !b.words.iter().all(|w| a.words.contains(w));
    let mut open: Vec<(&mut Piece, &Piece)> = own.iter_mut().zip(other).filter(differ).collect();
    let Some(path) = open.first().and_then(|(a, _)| a.path.clone()) else { return open.is_empty() };
    if open.iter().any(|(a, _)| !a.name || a.path.as_ref() != Some(&path)) {
        return false;
    }
    for (a, b) in &mut open {
        a.words.extend(b.words.iter().cloned());
    }
    true
}

/// Whether two say the same.
pub(super) fn same(a: &Said, b: &Said) -> bool {
    a.code == b.code && a.text == b.text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_that_differ_in_one_name_are_one() {
        let piece = |path: Option<&str>, words: &str, name| Piece {
            path: path.map(str::to_owned),
            words: vec![words.to_owned()],
            name,
        };
        let said = |thing: &str, dose: &str| {
            vec![piece(Some("thing"), thing, true), piece(None, " needs ", false), piece(Some("dose"), dose, false)]
        };
        let mut own = said("this", "1 %");
        assert!(merge(&mut own, &said("that", "1 %")));
        assert_eq!(joined_pieces(&own).0, "this and that needs 1 %");
        // Another figure is another sentence.
        assert!(!merge(&mut own, &said("that", "2 %")));
    }
}
