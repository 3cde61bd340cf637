//! Meshes of the knowledge, as numbers.

use super::ink::Volume;
use super::{about, from_to, quantity, span, text_of};
use crate::diagnostic::Problem;
use crate::figures::{Weave, meshes};
use crate::model::{Entity, KindId, Model};
use crate::names::Names;
use crate::question::parse::Token;
use crate::sums::units::ThreadsPerCm;
use crate::sums::{Range, mesh};

/// Meshes that a question may mean, taken together.
pub(super) struct Meshes {
    /// Their name, or what they have in common.
    pub(super) name: String,
    /// What they hold.
    pub(super) volume: Volume,
    /// That, in words.
    pub(super) told: String,
}

/// The meshes that a phrase names, by their name or their count.
///
/// # Errors
/// None of them is known.
pub(super) fn meant(model: &Model, names: &Names, tokens: &[Token]) -> Result<Meshes, Problem> {
    let kind = meshes(model).unwrap_or(KindId(u16::MAX));
    let named = names.find(kind, &text_of(tokens)).and_then(|m| model.member(kind, m));
    let all = || model.entities.iter().filter(|e| e.kind == kind && e.ordinal.is_some());
    // The one that is asked for, as threads, where a count was said.
    let mut asked = None;
    let (name, found): (String, Vec<&Entity>) = match named {
        Some(entity) => (entity.name.clone(), vec![entity]),
        None => {
            let found = quantity(model, tokens, 0)?;
            let of_count = |e: &&Entity| {
                let own = Weave::of(model, e).map(|w| w.away(ThreadsPerCm(found.reading(model))));
                found.is(model, "thread-count") && own.is_some_and(|away| away < 1e-9)
            };
            asked = found.is(model, "thread-count").then(|| found.reading(model));
            (found.text.clone(), all().filter(of_count).collect())
        }
    };
    let held: Option<Vec<Volume>> = found.iter().map(|e| Weave::of(model, e)?.volume()).collect();
    let hull = held.unwrap_or_default().into_iter().reduce(Range::hull);
    let Some(volume) = hull else {
        let away = |e: &Entity| {
            let own = Weave::of(model, e);
            asked.map_or(0.0, |count| own.map_or(f64::MAX, |w| w.away(ThreadsPerCm(count))))
        };
        let mut near: Vec<&Entity> = all().collect();
        near.sort_by(|a, b| away(a).total_cmp(&away(b)).then_with(|| a.id.cmp(&b.id)));
        let near: Vec<&str> = near.iter().take(4).map(|e| e.name.as_str()).collect();
        let problem =
            Problem::new("question::unknown-name", span(tokens), "not known", format!("no mesh `{name}` is known"));
        return Err(problem.help(if asked.is_some() {
            format!("the nearest known are {}", near.join(", "))
        } else {
            "say threads in a centimetre or an inch, or threads and their diameter: 43 /cm, 110 /in, 43-80".to_owned()
        }));
    };
    let list: Vec<&str> = found.iter().map(|e| e.name.as_str()).collect();
    let told = format!("{} holds {} ml/m²", list.join(" or "), from_to(&volume));
    Ok(Meshes { name, volume, told })
}

/// What follows from a mesh, where a thing is one; nothing for any other thing.
pub(crate) fn of_mesh(model: &Model, names: &Names, tokens: &[Token]) -> Vec<String> {
    let named = meshes(model).and_then(|k| names.find(k, &text_of(tokens)).and_then(|m| model.member(k, m)));
    let Some(weave) = named.and_then(|e| Weave::of(model, e)) else { return Vec::new() };
    let opening = weave.opening().map(|w| about(w.0)).unwrap_or_default();
    let open = weave.open_area().map(|a| about(a.0 * 100.0)).unwrap_or_default();
    let line = weave.finest_line().map(|w| about(w.0)).unwrap_or_default();
    let volume = weave.volume().map(|v| from_to(&v)).unwrap_or_default();
    let flake = weave.opening().and_then(mesh::coarsest_flake).map(|f| from_to(&f)).unwrap_or_default();
    let estimated = || format!(" (about {} µm thick, estimated)", from_to(&weave.thickness));
    let thick = if weave.measured { String::new() } else { estimated() };
    vec![
        format!("  opening: {opening} µm, {open} % of the area is open  [computed]"),
        format!("  theoretical ink volume: at most {volume} ml/m²{thick}  [computed]"),
        format!("  finest line and dot: about {line} µm, two threads and an opening  [from memory]"),
        format!("  coarsest flake or bead: {flake} µm, so that two and a half to three fit across  [common practice]"),
    ]
}
