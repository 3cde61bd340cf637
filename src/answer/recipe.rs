//! How it is printed: the windows of the settings, each with a suggestion, and the steps of work.

use super::{Recipe, Said, WorkStep};
use super::teller::Teller;
use super::words::rounded;
use crate::job::{Domain, JobSet};
use crate::model::{Attribute, AttributeId, AttributeType};
use crate::quantity::{LEAST, MOST};
use crate::reason::decide::fired;
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::reason::split::slot_of;
use serde_json::{Map, Value, json};

impl Teller<'_> {
    /// The settings, and the work step by step with the conditions that are met in it.
    pub(super) fn recipe(&self, conditions: &[Said]) -> Recipe {
        let settings = self.settings();
        let work = self.told(self.e, &fired(self.e, &self.program.work));
        let model = &self.program.model;
        let of = |said: &&Said, name: &str| said.step.as_deref() == Some(name);
        let mut steps: Vec<WorkStep> = Vec::new();
        for step in &model.steps {
            let own = |value: &Value| value.get("step").and_then(Value::as_str) == Some(&step.name);
            let found = WorkStep {
                step: step.name.clone(),
                title: step.title.clone(),
                settings: settings.iter().filter(|s| own(s.1)).map(|s| s.0.clone()).collect(),
                work: work.iter().filter(|s| of(s, &step.name)).cloned().collect(),
                conditions: conditions.iter().filter(|s| of(s, &step.name)).map(|c| c.code.clone()).collect(),
            };
            if !(found.settings.is_empty() && found.work.is_empty() && found.conditions.is_empty()) {
                steps.push(found);
            }
        }
        let tests = model.steps.iter().filter(|s| s.tests);
        let tests = tests.flat_map(|step| work.iter().filter(|s| of(s, &step.name)).cloned()).collect();
        Recipe { settings, steps, quantities: Vec::new(), tests }
    }

    /// The windows of the settings, each with a suggestion and how it came about.
    fn settings(&self) -> Map<String, Value> {
        let mut settings = Map::new();
        // Each setting is looked at with the suggestions before it taken: a time belongs to its temperature.
        let mut job = self.decision.job.clone();
        for (setting, low, high) in &self.program.windows {
            let Some(attribute) = setting.of(&self.program.model) else { continue };
            let key = attribute.json.as_deref().and_then(|j| j.rsplit('.').next()).unwrap_or(&attribute.name);
            for layer in 0..self.e.window_layers(*low) {
                // Every possible bound counts: the window works for each job still possible.
                let e = Evaluation::new(self.program, &job);
                let bounds = (e.end(*low, layer).high, e.end(*high, layer).low);
                let Some((value, taken)) = self.setting(*setting, layer, bounds, &job) else { continue };
                let name = if attribute.per_layer { format!("{key}_layer_{}", layer + 1) } else { key.to_owned() };
                settings.insert(name, Value::Object(value));
                job = taken.unwrap_or(job);
            }
        }
        settings
    }

    /// A setting's window with what is suggested in it, and the job in which that is taken.
    fn setting(
        &self,
        setting: AttributeId,
        layer: usize,
        bounds: (i64, i64),
        job: &JobSet,
    ) -> Option<(Map<String, Value>, Option<JobSet>)> {
        let model = &self.program.model;
        let attribute = setting.of(model)?;
        let AttributeType::Setting(dimension) = attribute.ty else { return None };
        let d = model.dim(dimension)?;
        let (mut low, mut high) = self.usually(attribute, layer, bounds);
        if low <= LEAST && high >= MOST {
            return None;
        }
        let mut value = Map::new();
        let mut said = "no one value suits every case: it hangs on the open facts".to_owned();
        let mut job_then = None;
        if low > high {
            value.insert("depends".to_owned(), json!(true));
        } else {
            let aim = self.aim(setting, layer, (&mut low, &mut high), job);
            if low > LEAST {
                value.insert("min".to_owned(), rounded(d.reading(low, 0)));
            }
            if high < MOST {
                value.insert("max".to_owned(), rounded(d.reading(high, 0)));
            }
            said = self.quantity(Interval { low, high, none: Truth::False }, dimension);
            if let Some((s, why, taken)) = aim {
                value.insert("suggested".to_owned(), rounded(d.reading(s, 0)));
                value.insert("why".to_owned(), json!(why));
                let at = self.quantity(Interval::point(s), dimension);
                let idle = attribute.told.unaimed.as_ref().filter(|_| attribute.aim.is_some());
                said = match (why, idle) {
                    (USUAL, Some(idle)) => idle.replace("{}", &said),
                    // The least and what was given are said already.
                    (LEAST_OF_ALL | GIVEN, _) => said,
                    (TARGET, _) => format!("{said}, aim for {at}"),
                    _ => format!("{said}, aim for {at} ({why})"),
                };
                job_then = Some(taken);
            }
        }
        value.insert("unit".to_owned(), json!(d.units.first().map_or("1", |u| u.ucum.as_str())));
        if let Some(step) = attribute.step.and_then(|s| model.steps.get(s)) {
            value.insert("step".to_owned(), json!(step.name));
        }
        if let Some(place) = &attribute.place {
            value.insert("place".to_owned(), json!(place));
        }
        let many = attribute.per_layer && job.layers.len() > 1;
        let of = if many { format!(", layer {}", layer + 1) } else { String::new() };
        value.insert("text".to_owned(), json!(format!("{}{of}: {said}", attribute.label)));
        Some((value, job_then))
    }

    /// The part of a window in which a setting usually lies; all of it where that is none of it.
    fn usually(&self, attribute: &Attribute, layer: usize, (low, high): (i64, i64)) -> (i64, i64) {
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

    /// What to aim for in a window, why, and the job in which it is taken. What leaves another setting no value is no
    /// suggestion: the nearest that leaves one is; and the window ends where its end leaves none.
    fn aim(
        &self,
        setting: AttributeId,
        layer: usize,
        (low, high): (&mut i64, &mut i64),
        job: &JobSet,
    ) -> Option<(i64, &'static str, JobSet)> {
        let attribute = setting.of(&self.program.model)?;
        let AttributeType::Setting(dimension) = attribute.ty else { return None };
        let step = self.program.model.dim(dimension)?.units.first().map_or(1, |u| u.steps);
        let (wish, why) = self.suggested(attribute, layer, *low, *high);
        let bounded = |s: &i64| (LEAST + 1..MOST).contains(s);
        let taken = |s: i64| {
            let mut tried = job.clone();
            if let Some(own) = tried.domain_mut(slot_of(self.program, setting), layer) {
                *own = own.and(&Domain::Number { low: s, high: s });
            }
            (Evaluation::new(self.program, &tried).refused() != Truth::True).then_some(tried)
        };
        let mut s = wish.filter(bounded)?;
        let mut why = why;
        if taken(s).is_none() {
            let end = [*high, *low].into_iter().find(|end| bounded(end) && taken(*end).is_some())?;
            s = nearest(s, end, step, |x| taken(x).is_some());
            why = OTHERS;
        }
        // A window ends where what was said of the others ends it.
        for end in [low, high] {
            if bounded(end) && taken(*end).is_none() {
                *end = nearest(*end, s, step, |x| taken(x).is_some());
            }
        }
        taken(s).map(|tried| (s, why, tried))
    }

    fn suggested(&self, setting: &Attribute, layer: usize, low: i64, high: i64) -> (Option<i64>, &'static str) {
        let node = setting.aim.and_then(|a| self.program.nodes.iter().position(|n| n.attribute == a));
        let aims: Vec<i64> = node
            .into_iter()
            .flat_map(|n| (0..self.e.window_layers(n as u16)).map(move |l| (n, l)))
            // Each layer has a setting of its own, or all of them share one.
            .filter(|(_, l)| !setting.per_layer || *l == layer)
            // Where nothing is derived there is nothing to aim for.
            .filter(|(n, _)| {
                let derived = self.program.nodes.get(*n).map(|node| node.from.as_slice()).unwrap_or_default();
                fires_any(self.e, derived)
            })
            .map(|(n, l)| self.e.end(n as u16, l).high)
            .collect();
        let usual = setting.usual.first().copied();
        match (aims.into_iter().max(), usual) {
            _ if low == high => (Some(low), GIVEN),
            (Some(target), _) if target > low && target < high => (Some(target), TARGET),
            (Some(target), _) if target >= high => (Some(high), "as near to the target as the limits allow"),
            (Some(target), _) if target == low => (Some(low), TARGET),
            (None, Some(usual)) if (low..=high).contains(&usual) => (Some(usual), USUAL),
            _ if low > LEAST => (Some(low), LEAST_OF_ALL),
            _ => (None, ""),
        }
    }
}

// Why a value is suggested.
const GIVEN: &str = "as given";
const TARGET: &str = "the target";
const USUAL: &str = "the usual";
const LEAST_OF_ALL: &str = "the least that suffices";
const OTHERS: &str = "so that the other settings can be met";

/// The value nearest to what is wished that does, given an end that does; in whole steps.
fn nearest(wish: i64, end: i64, step: i64, does: impl Fn(i64) -> bool) -> i64 {
    let (mut fails, mut works) = (wish, end);
    while (works - fails).abs() > step {
        // On a whole step where there is one between the two.
        let middle = fails + (works - fails) / 2;
        let whole = middle.div_euclid(step) * step;
        let between = (fails.min(works) + 1..fails.max(works)).contains(&whole);
        let tried = if between { whole } else { middle };
        if does(tried) { works = tried } else { fails = tried }
    }
    works
}

/// Whether any of these instances fires somewhere.
fn fires_any(e: &Evaluation<'_>, instances: &[u32]) -> bool {
    instances
        .iter()
        .filter_map(|i| e.program.instance(*i))
        .any(|i| e.frames(e.program.per(i)).any(|layer| e.fires(i, layer) != Truth::False))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_that_does_is_a_whole_step() {
        assert_eq!(nearest(1600, 1850, 10, |x| x >= 1800), 1800);
        assert_eq!(nearest(1600, 1200, 10, |x| x <= 1305), 1300);
        assert_eq!(nearest(1600, 1605, 10, |x| x >= 1603), 1605);
    }
}
