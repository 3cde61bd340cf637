//! How it is printed: the windows of the settings, each with a suggestion, and the steps of work.

use super::teller::Teller;
use super::words::rounded;
use super::{Quantity, Recipe, Wanted, WorkStep};
use crate::amounts::{Amount, Reckoned, reckon};
use crate::job::{Domain, JobSet};
use crate::model::{Attribute, AttributeId, AttributeType};
use crate::program::{Program, Said};
use crate::quantity::{LARGEST, LEAST, MOST};
use crate::reason::decide::{Fired, fired};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::reason::split::slot_of;
use serde_json::{Map, Value, json};

impl Teller<'_> {
    /// The settings, and the work step by step with the conditions that are met in it. A layer that a condition asks
    /// for is one of the job by now; what must be done besides is work.
    pub(super) fn recipe(&self, conditions: &[super::Said], asked_by: Option<&str>) -> Recipe {
        let (settings, job) = self.settings();
        let Reckoned { amounts, asks } = reckon(self.program, &job);
        let quantities: Vec<Quantity> = amounts.iter().filter_map(|a| self.told_amount(a, job.layers.len())).collect();
        let work: Vec<Fired> = fired(self.e, &self.program.work).into_iter().filter(|f| self.knows(f)).collect();
        let new = |c: &super::Said| !conditions.iter().any(|known| known.code == c.code);
        let more = self.conditions().into_iter().filter(|c| asked_by.is_some() && new(c));
        let work: Vec<super::Said> = self.told(self.e, &work).into_iter().chain(more).collect();
        let model = &self.program.model;
        let of = |said: &&super::Said, name: &str| said.step.as_deref() == Some(name);
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
            let reckoned = quantities.iter().any(|q| q.step == step.name);
            if reckoned || !(found.settings.is_empty() && found.work.is_empty() && found.conditions.is_empty()) {
                steps.push(found);
            }
        }
        let tests = model.steps.iter().filter(|s| s.tests);
        let tests = tests.flat_map(|step| work.iter().filter(|s| of(s, &step.name)).cloned()).collect();
        let asks = asks.into_iter().filter_map(|id| id.of(model));
        let asks = asks.filter_map(|a| Some(Wanted { attribute: a.name.clone(), ask: a.ask.clone()? })).collect();
        Recipe { layers: self.layers(asked_by), settings, steps, quantities, asks, tests }
    }

    /// Whether every figure in the text of some work is known: of what nobody wrote down nothing is told.
    fn knows(&self, fired: &Fired) -> bool {
        let known = |num| {
            let i = self.e.number(num, fired.layer);
            i.low > -LARGEST || i.high < LARGEST
        };
        let text = self.program.instance(fired.instance).map(|i| i.text.as_slice()).unwrap_or_default();
        text.iter().all(|piece| match piece {
            Said::Number(_, num, _) => known(num),
            Said::Range(_, low, high, _) => known(low) && known(high),
            Said::Text(_) | Said::Name(..) => true,
        })
    }

    /// An amount in words and numbers.
    fn told_amount(&self, amount: &Amount, layers: usize) -> Option<Quantity> {
        let d = self.program.model.dim(amount.dimension)?;
        let write = |low, high| self.quantity(Interval { low, high, none: Truth::False }, amount.dimension);
        let said = write(amount.low.unwrap_or(LEAST), amount.high);
        let plan = match (amount.low, amount.suggested) {
            (Some(low), Some(s)) if low < amount.high => format!(", plan with {}", write(s, s)),
            _ => String::new(),
        };
        let of = amount.layer.filter(|_| layers > 1).map_or(String::new(), |l| format!(", layer {}", l + 1));
        let number = |steps: i64| rounded(d.reading(steps, 0));
        Some(Quantity {
            key: amount.key,
            layer: amount.layer.map(|l| l + 1),
            step: amount.step,
            thing: amount.thing.clone(),
            text: format!("{}{of}: {said}{plan}", amount.label),
            min: amount.low.map(number),
            max: number(amount.high),
            suggested: amount.suggested.map(number),
            unit: d.units.first().map_or("1", |u| u.ucum.as_str()).to_owned(),
            why: amount.how.clone(),
            basis: amount.basis.words(),
        })
    }

    /// The windows of the settings, each with a suggestion and how it came about; and the job in which these are taken.
    fn settings(&self) -> (Map<String, Value>, JobSet) {
        let mut settings = Map::new();
        // Each setting is looked at with the suggestions before it taken: a time belongs to its temperature.
        let mut job = self.decision.job.clone();
        let mut before: Vec<Taken> = Vec::new();
        for (setting, low, high) in &self.program.windows {
            let Some(attribute) = setting.of(&self.program.model) else { continue };
            let key = attribute.json.as_deref().and_then(|j| j.rsplit('.').next()).unwrap_or(&attribute.name);
            for layer in 0..self.e.window_layers(*low) {
                // Every possible bound counts: the window works for each job still possible.
                let bounds = |job: &JobSet| {
                    let e = Evaluation::new(self.program, job);
                    (e.end(*low, layer).high, e.end(*high, layer).low)
                };
                let (own, place) = (bounds(&job), Place { setting: *setting, layer });
                let Some(Set { mut value, aim, window }) = self.setting(place, own, &job) else { continue };
                for other in &before {
                    // At the other end of a setting before it, it may be another window.
                    let there = bounds(&other.place.set(self.program, &job, other.low));
                    if there != own && aim.is_some() {
                        self.elsewhere(&mut value, place, there, other);
                    }
                }
                let name = if attribute.per_layer { format!("{key}_layer_{}", layer + 1) } else { key.to_owned() };
                settings.insert(name, Value::Object(value));
                if let Some(aim) = aim {
                    if window.0 > LEAST && window.0 < aim.at {
                        before.push(Taken { place, low: window.0 });
                    }
                    job = aim.job;
                }
            }
        }
        (settings, job)
    }

    /// Adds the window that a setting has where another is set to its low end.
    fn elsewhere(&self, value: &mut Map<String, Value>, place: Place, (low, high): (i64, i64), other: &Taken) {
        let model = &self.program.model;
        let words = |place: Place, low: i64, high: i64| {
            let AttributeType::Setting(dimension) = place.setting.of(model)?.ty else { return None };
            Some(self.quantity(Interval { low, high, none: Truth::False }, dimension))
        };
        let label = other.place.setting.of(model).map_or("", |a| a.label.as_str());
        let (Some(own), Some(at)) = (words(place, low, high), words(other.place, other.low, other.low)) else { return };
        if let Some(Value::String(text)) = value.get_mut("text") {
            text.push_str(&format!("; {own} where the {label} is {at}"));
        }
    }

    /// A setting's window with what is suggested in it.
    fn setting(&self, place: Place, bounds: (i64, i64), job: &JobSet) -> Option<Set> {
        let model = &self.program.model;
        let attribute = place.setting.of(model)?;
        let AttributeType::Setting(dimension) = attribute.ty else { return None };
        let d = model.dim(dimension)?;
        let (mut low, mut high) = self.usually(attribute, place.layer, bounds);
        if low <= LEAST && high >= MOST {
            return None;
        }
        let mut value = Map::new();
        let mut said = "no one value suits every case: it hangs on the open facts".to_owned();
        let mut aim = None;
        if low > high {
            value.insert("depends".to_owned(), json!(true));
        } else {
            aim = self.aim(place, (&mut low, &mut high), job);
            if low > LEAST {
                value.insert("min".to_owned(), rounded(d.reading(low, 0)));
            }
            if high < MOST {
                value.insert("max".to_owned(), rounded(d.reading(high, 0)));
            }
            let write =
                |low, high| self.units.write_in_both(model, Interval { low, high, none: Truth::False }, dimension);
            said = write(low, high);
            if let Some(aim) = &aim {
                value.insert("suggested".to_owned(), rounded(d.reading(aim.at, 0)));
                value.insert("why".to_owned(), json!(aim.why));
                let at = write(aim.at, aim.at);
                let idle = attribute.told.unaimed.as_ref().filter(|_| attribute.aim.is_some());
                said = match (aim.why, idle) {
                    (USUAL, Some(idle)) => idle.replace("{}", &said),
                    // The least and what was given are said already.
                    (LEAST_OF_ALL | GIVEN, _) => said,
                    _ if low == high => said,
                    (TARGET | NO_MORE | STOCK, _) => format!("{said}, aim for {at}"),
                    _ => format!("{said}, aim for {at} ({})", aim.why),
                };
                let ends = [("below", aim.free.0, low), ("above", aim.free.1, high)];
                let asked = ends.iter().filter(|(_, free, end)| free != end);
                let asked: Vec<String> =
                    asked.map(|(word, free, _)| format!("{word} {}", write(*free, *free))).collect();
                if !asked.is_empty() {
                    said = format!("{said} ({} more is asked)", asked.join(" and "));
                }
            }
        }
        if let Some(missing) = aim.as_ref().and_then(|a| self.missing(attribute, (low, high), a.at)) {
            said = format!("{said}; {missing}");
        }
        value.insert("unit".to_owned(), json!(d.units.first().map_or("1", |u| u.ucum.as_str())));
        if let Some(step) = attribute.step.and_then(|s| model.steps.get(s)) {
            value.insert("step".to_owned(), json!(step.name));
        }
        if let Some(place) = &attribute.place {
            value.insert("place".to_owned(), json!(place));
        }
        let many = attribute.per_layer && job.layers.len() > 1;
        let of = if many { format!(", layer {}", place.layer + 1) } else { String::new() };
        value.insert("text".to_owned(), json!(format!("{}{of}: {said}", attribute.label)));
        Some(Set { value, aim, window: (low, high) })
    }

    /// What to aim for in a window. What leaves another setting no value is no suggestion: the nearest that leaves one
    /// is; nor is what asks for more than has to be done anyway, where another value does not. The window ends where
    /// its end leaves another setting no value.
    fn aim(&self, place: Place, (low, high): (&mut i64, &mut i64), job: &JobSet) -> Option<Aim> {
        let attribute = place.setting.of(&self.program.model)?;
        let AttributeType::Setting(dimension) = attribute.ty else { return None };
        let step = self.program.model.dim(dimension)?.units.first().map_or(1, |u| u.steps);
        let (wish, mut why) = self.suggested(attribute, place.layer, *low, *high);
        let bounded = |s: &i64| (LEAST + 1..MOST).contains(s);
        let met = |s: i64| {
            let tried = place.set(self.program, job, s);
            let e = Evaluation::new(self.program, &tried);
            (e.refused() != Truth::True).then(|| self.asks_no_more(&e))
        };
        let works = |s: i64| met(s).is_some();
        let free = |s: i64| met(s) == Some(true);
        let mut at = wish.filter(bounded)?;
        if *low < *high {
            let stock = self.in_stock(attribute, (*low, *high), at, place.layer + 1 < job.layers.len());
            let tried =
                stock.iter().copied().find(|s| met(*s) == Some(true)).or_else(|| stock.into_iter().find(|s| works(*s)));
            if let Some(at) = tried {
                return Some(Aim { at, why: STOCK, free: (*low, *high), job: place.set(self.program, job, at) });
            }
        }
        // Nobody sets half a thread or half a degree.
        let whole = (at + step / 2).div_euclid(step) * step;
        if why == TARGET && (*low..=*high).contains(&whole) {
            at = whole;
        }
        if !works(at) {
            let end = [*high, *low].into_iter().find(|end| bounded(end) && works(*end))?;
            at = nearest(at, end, step, works);
            why = OTHERS;
        }
        for end in [&mut *low, &mut *high] {
            if bounded(end) && !works(*end) {
                *end = nearest(*end, at, step, works);
            }
        }
        if !free(at) {
            // Upwards first: hotter, longer or finer is asked for more often than less.
            let above = if bounded(high) { vec![*high] } else { (1..5).map(|n| at.saturating_mul(1 << n)).collect() };
            let end = above.into_iter().chain(bounded(low).then_some(*low)).find(|end| free(*end));
            if let Some(end) = end {
                at = nearest(at, end, step, free);
                why = NO_MORE;
            }
        }
        let calm = |end: i64| if bounded(&end) && free(at) && !free(end) { nearest(end, at, step, free) } else { end };
        let free = (calm(*low), calm(*high));
        Some(Aim { at, why, free, job: place.set(self.program, job, at) })
    }

    /// Whether nothing must be done that is not to be done whatever is set.
    fn asks_no_more(&self, e: &Evaluation<'_>) -> bool {
        let required = self.program.requirements.iter().filter_map(|i| self.program.instance(*i));
        let mut frames = required.flat_map(|i| e.frames(self.program.per(i)).map(move |layer| (i, layer)));
        frames.all(|(i, layer)| e.fires(i, layer) != Truth::True || self.e.fires(i, layer) == Truth::True)
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
            (Some(target), _) if target == low || target == high => (Some(target), TARGET),
            (Some(target), _) if target > high => (Some(high), "as near to the target as the limits allow"),
            (None, Some(usual)) if (low..=high).contains(&usual) => (Some(usual), USUAL),
            _ if low > LEAST => (Some(low), LEAST_OF_ALL),
            _ => (None, ""),
        }
    }
}

/// A setting of a layer, or of the job.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) setting: AttributeId,
    pub(super) layer: usize,
}

impl Place {
    /// A job in which it is set so, whatever it was set to.
    pub(super) fn set(self, program: &Program, job: &JobSet, at: i64) -> JobSet {
        let mut set = job.clone();
        let slot = slot_of(program, self.setting);
        if let Some(own) = set.domain_mut(slot, self.layer) {
            *own = Domain::Number { low: at, high: at };
        }
        // As if it had been said: a window that is open is no longer looked at.
        if !set.is_stated(slot, self.layer) {
            set.stated.push((slot, self.layer));
        }
        set
    }
}

/// A setting's window, told; what to aim for; its ends.
struct Set {
    value: Map<String, Value>,
    aim: Option<Aim>,
    window: (i64, i64),
}

/// What to aim for, why, the part of the window that asks for nothing more, and the job in which it is set.
struct Aim {
    at: i64,
    why: &'static str,
    free: (i64, i64),
    job: JobSet,
}

/// A setting that was looked at before, with its low end.
struct Taken {
    place: Place,
    low: i64,
}

// Why a value is suggested.
const GIVEN: &str = "as given";
const TARGET: &str = "the target";
const USUAL: &str = "the usual";
const LEAST_OF_ALL: &str = "the least that suffices";
const STOCK: &str = "the nearest that the shop has";
const NO_MORE: &str = "the nearest that asks for nothing more";
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
