//! Complete jobs of an open one, by chance.

use washfast::Knowledge;
use washfast::answer::{Answer, Assumed};
use washfast::contract::Detail;
use washfast::job::{Amounts, Domain, whole};
use washfast::model::{Attribute, AttributeId, AttributeType, Mask, Role, Test, TestKind};
use washfast::statement::{Stated, Statement};

/// Numbers by chance, the same ones in every run.
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// One below a number above zero.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % count as u64).unwrap_or(0)
    }
}

/// What the order could say of an attribute: one value.
fn value(knowledge: &Knowledge, attribute: &Attribute, chance: &mut Chance) -> Option<Domain> {
    let model = knowledge.model();
    Some(match attribute.ty {
        AttributeType::YesNo => {
            let yes = chance.below(2) == 0;
            Domain::YesNo { yes, no: !yes }
        }
        AttributeType::Choice(kind) => Domain::Choice(Mask::one(chance.below(model.everyone(kind).count()))),
        // Mostly none, at times one.
        AttributeType::Set(kind) => {
            let one = Mask::one(chance.below(model.everyone(kind).count()));
            let some = if chance.below(3) == 0 { one } else { Mask::EMPTY };
            Domain::Set { must: some, may: some }
        }
        AttributeType::Blend(kind) => {
            let (count, whole) = (model.everyone(kind).count(), whole(model));
            let (first, second) = (chance.below(count), chance.below(count));
            let share = whole / 4 * i64::try_from(chance.below(5)).unwrap_or(0);
            let mut ranges = vec![(0, 0); count];
            ranges[first] = (share, share);
            ranges[second] = (ranges[second].0 + whole - share, ranges[second].0 + whole - share);
            Domain::Amounts(Amounts { ranges, total: Some(whole), sums: Vec::new() })
        }
        AttributeType::Amounts(_) | AttributeType::Quantity(_) | AttributeType::Setting(_) => return None,
    })
}

/// A job that says more than another: by chance a value for whatever of the order was neither said nor assumed. Nothing
/// where what chance says cannot be.
pub(crate) fn complete(knowledge: &Knowledge, open: &Stated, assumed: &Answer, chance: &mut Chance) -> Option<Stated> {
    let mut job = open.clone();
    for (index, attribute) in knowledge.model().attributes.iter().enumerate() {
        let id = AttributeId(index as u16);
        // A rule that asks whether something was said tells a job that says it from one that leaves it open.
        let asked = |t: &Test| matches!(t.kind, TestKind::Stated(a, _) if a == id);
        if knowledge.model().rules.iter().flat_map(|r| &r.formula.tests).any(asked) {
            continue;
        }
        if attribute.role != Role::Given || assumed.assumed.iter().any(|a| a.attribute == attribute.name) {
            continue;
        }
        for layer in 0..if attribute.per_layer { job.layers } else { 1 } {
            if open.mentions(id, layer) {
                continue;
            }
            // What does not go with the rest, or with what was taken for granted, is left unsaid.
            for _ in 0..4 {
                let Some(domain) = value(knowledge, attribute, chance) else { break };
                job.statements.push(Statement { attribute: id, layer, domain, words: String::new() });
                let now = knowledge.decide(&job, Detail::Verdict);
                let still =
                    |a: &Assumed| now.assumed.iter().any(|n| (&n.attribute, &n.value) == (&a.attribute, &a.value));
                if now.code != "contradiction" && assumed.assumed.iter().all(still) {
                    break;
                }
                job.statements.pop();
            }
        }
    }
    (job.statements.len() > open.statements.len() || assumed.verdict != "depends").then_some(job)
}
