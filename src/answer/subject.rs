//! What a question is about, in words.

use super::facts::lies_somewhere;
use super::teller::Teller;
use super::words::{all_of, domain, filled};
use crate::job::Domain;
use crate::model::{AssumedValue, Attribute, AttributeId, AttributeType};
use crate::reason::evaluate::{Interval, Truth, present};
use crate::reason::split::slot_of;
use crate::statement::Finding;

impl Teller<'_> {
    /// What the question is about, in words.
    pub(super) fn subject(&self) -> String {
        let layers: Vec<String> =
            (0..self.stated.layers).map(|l| self.layer_words(l)).filter(|w| !w.is_empty()).collect();
        let ink = layers.join(" under ");
        let mut plain: Vec<String> = Vec::new();
        let mut told: Vec<String> = Vec::new();
        let mut clauses: Vec<String> = Vec::new();
        // The colour of a thing is said before the thing, and what it is made of after: the vocabulary goes from the
        // cloth outwards.
        for (index, attribute) in self.program.model.attributes.iter().enumerate().rev() {
            if attribute.per_layer {
                continue;
            }
            let Some(words) = self.stated_words(AttributeId(index as u16), 0) else { continue };
            match (&attribute.told.said, &attribute.clause) {
                (None, Some(clause)) => {
                    clauses.insert(0, filled(Some(&format!("{clause} {{}}")), attribute, &words));
                }
                (None, None) if attribute.phrase.is_none() => {}
                (Some(said), _) => told.insert(0, as_said(attribute, said, words)),
                (None, None) if matches!(attribute.ty, AttributeType::Blend(_)) && plain.len() > 1 => {
                    if let Some(last) = plain.last_mut() {
                        last.push(',');
                    }
                    plain.push(words);
                }
                (None, None) => plain.push(words),
            }
        }
        // `standard plastisol at 140 °C`: of a cloth nothing may be said.
        if !plain.is_empty() && !ink.is_empty() {
            plain.insert(0, "on".to_owned());
        }
        let job = std::iter::once(ink).chain(plain).chain(told).chain(clauses).filter(|w| !w.is_empty());
        let job = job.collect::<Vec<_>>().join(" ");
        let found = self.stated.findings.iter().map(|f| f.said(&self.program.model));
        shortened(std::iter::once(job).chain(found).collect::<Vec<_>>().join(", "))
    }

    /// What was found out of things that this job does not have.
    pub(super) fn unheard(&self) -> Vec<String> {
        let model = &self.program.model;
        let job = &self.decision.job;
        let idle = |finding: &&Finding| {
            !lies_somewhere(self.program, job, finding.entity, |(slot, layer), domain, member| match domain {
                Domain::Choice(possible) => possible.has(member),
                // Any fibre may be in a lining of which nobody spoke.
                other => job.is_stated(slot, layer) && present(other, member) != Truth::False,
            })
        };
        let findings = self.stated.findings.iter().filter(idle);
        findings.map(|f| format!("{}: nothing of the kind is in this job", f.said(model))).collect()
    }

    /// A layer in words: colour, material, what is stirred in.
    pub(super) fn layer_words(&self, layer: usize) -> String {
        let (mut before, mut material, mut after) = (Vec::new(), Vec::new(), Vec::new());
        for (index, attribute) in self.program.model.attributes.iter().enumerate().filter(|a| a.1.per_layer) {
            let Some(words) = self.stated_words(AttributeId(index as u16), layer) else { continue };
            match (&attribute.told.said, &attribute.phrase) {
                (Some(said), _) => after.push(as_said(attribute, said, words)),
                (None, None) if attribute.clause.is_some() => {
                    after.push(format!("{} {words}", attribute.clause.as_deref().unwrap_or_default()));
                }
                (None, Some(_)) if attribute.material => material.push(words),
                (None, Some(_)) => before.push(words),
                (None, None) => {}
            }
        }
        before.into_iter().chain(material).chain(after).collect::<Vec<_>>().join(" ")
    }

    /// What was said of an attribute, as it was understood.
    fn stated_words(&self, id: AttributeId, layer: usize) -> Option<String> {
        let statement = self.stated.statements.iter().find(|s| s.attribute == id && s.layer == layer)?;
        let attribute = id.of(&self.program.model)?;
        let d = self.decision.job.domain(slot_of(self.program, id), layer)?;
        let assumed = attribute.assume.first().and_then(|a| match a.value {
            AssumedValue::Set(all) if !all.is_empty() => Some(all),
            _ => None,
        });
        let words = match (d, attribute.ty) {
            (Domain::YesNo { yes: true, no: true }, _) => return None,
            (Domain::YesNo { yes, .. }, _) => {
                let list = if *yes { &attribute.words.0 } else { &attribute.words.1 };
                list.first().cloned().unwrap_or_default()
            }
            (Domain::Amounts(_), AttributeType::Amounts(kind)) => {
                let (must, _) = crate::reason::evaluate::members(d)?;
                all_of(&self.program.model.names(kind, must).into_iter().map(str::to_owned).collect::<Vec<_>>())
            }
            // `no flash`: all others stay assumed, and are not told one by one.
            (Domain::Set { must, may }, _) if assumed.is_some_and(|all| *must == all.and(*may)) => {
                statement.words.clone()
            }
            (Domain::Set { must, .. }, _) if must.is_empty() => return None,
            (Domain::Set { must, .. }, AttributeType::Set(kind)) => {
                all_of(&self.program.model.names(kind, *must).into_iter().map(str::to_owned).collect::<Vec<_>>())
            }
            (Domain::Number { low, high }, AttributeType::Quantity(d) | AttributeType::Setting(d)) => {
                self.quantity(Interval { low: *low, high: *high, none: Truth::False }, d)
            }
            // An everything that was stated is something that is not known.
            _ if *d == Domain::everything(attribute.ty, &self.program.model) => return None,
            _ => domain(self.program, id, d).0,
        };
        // A shade given by its value is told with the names it was taken for.
        let words = if statement.words.starts_with('#') { format!("{} ({words})", statement.words) } else { words };
        (!words.is_empty()).then_some(words)
    }
}

/// What was said, as its attribute tells it; a denial speaks for itself.
fn as_said(attribute: &Attribute, said: &String, words: String) -> String {
    if attribute.words.1.contains(&words) { words } else { filled(Some(said), attribute, &words) }
}

/// The longest subject that is told in full.
const LONGEST_SUBJECT: usize = 200;

/// Cut between words where it is too long to read.
fn shortened(text: String) -> String {
    if text.chars().count() <= LONGEST_SUBJECT {
        return text;
    }
    let mut short = String::new();
    for word in text.split(' ') {
        if short.chars().count() + word.chars().count() > LONGEST_SUBJECT {
            break;
        }
        short.push_str(word);
        short.push(' ');
    }
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_cut_between_words() {
        let long = "word ".repeat(100);
        let short = shortened(long.trim().to_owned());
        assert!(short.ends_with("word …") && short.chars().count() <= LONGEST_SUBJECT + 2);
        assert_eq!(shortened("short".to_owned()), "short");
    }
}
