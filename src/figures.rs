//! What the knowledge holds as figures of [`crate::sums`]: a property as a range with its basis, and a mesh as its weave.

use crate::model::{Basis, Entity, Fact, KindId, Mask, Model, PropertyType};
use crate::sums::units::{Micrometres, MillilitresPerSquareMetre, Share, ThreadsPerCm, Unit};
use crate::sums::{Range, mesh, through};

/// A property of a thing as numbers, one unit of the sums being so many first units of the property; with its basis.
pub(crate) fn known<T: Unit>(model: &Model, entity: &Entity, property: &str, factor: f64) -> Option<(Range<T>, Basis)> {
    let property = model.property(entity.kind, property)?;
    let dimension = match model.properties.get(property.index())?.ty {
        PropertyType::Quantity(d) | PropertyType::Window(d) => model.dim(d)?,
        _ => return None,
    };
    let Fact { value, origin, .. } = entity.facts.get(&property)?;
    let (low, high) = value.ends()?;
    let number = |steps| T::made(dimension.reading(steps, 0) * factor);
    Some((Range::new(number(low)?, number(high)?)?, origin.basis))
}

/// The kind that meshes are of.
pub(crate) fn meshes(model: &Model) -> Option<KindId> {
    model.kind("mesh")
}

/// A mesh of the knowledge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Weave {
    threads: ThreadsPerCm,
    thread: Micrometres,
    /// How thick it is; where nobody measured that, what is usual.
    pub(crate) thickness: Range<Micrometres>,
    /// Whether somebody measured that.
    pub(crate) measured: bool,
    /// The weakest basis of its figures.
    pub(crate) basis: Basis,
}

impl Weave {
    /// The weave of a mesh.
    pub(crate) fn of(model: &Model, entity: &Entity) -> Option<Self> {
        let (threads, counted) = known::<ThreadsPerCm>(model, entity, "threads", 1.0)?;
        let (thread, drawn) = known::<Micrometres>(model, entity, "thread", 1.0)?;
        let thickness = known::<Micrometres>(model, entity, "thickness", 1.0);
        let (threads, thread, basis) = (threads.low, thread.low, counted.max(drawn));
        Some(Self {
            threads,
            thread,
            thickness: thickness.map(|t| t.0).or_else(|| mesh::unknown_thickness(threads, thread))?,
            measured: thickness.is_some(),
            basis: thickness.map_or(basis, |t| t.1.max(basis)),
        })
    }

    /// How far its count lies from another.
    pub(crate) fn away(&self, count: ThreadsPerCm) -> f64 {
        (self.threads.0 - count.0).abs()
    }

    pub(crate) fn opening(&self) -> Option<Micrometres> {
        mesh::opening(self.threads, self.thread)
    }

    pub(crate) fn open_area(&self) -> Option<Share> {
        mesh::open_area(self.threads, self.thread)
    }

    pub(crate) fn finest_line(&self) -> Option<Micrometres> {
        mesh::finest_line(self.threads, self.thread)
    }

    /// What its open cells hold.
    pub(crate) fn volume(&self) -> Option<Range<MillilitresPerSquareMetre>> {
        through((self.thickness,), |(thick,)| mesh::theoretical_volume(self.threads, self.thread, thick))
    }
}

/// The meshes of some whose count is nearest. Several of one count differ in their threads.
pub(crate) fn nearest(model: &Model, kind: KindId, among: Mask, count: ThreadsPerCm) -> Option<Mask> {
    let mut best: Option<(f64, Mask)> = None;
    for member in among.iter() {
        let away = Weave::of(model, model.member(kind, member)?)?.away(count);
        match &mut best {
            Some((least, members)) if away == *least => members.insert(member),
            Some((least, _)) if away > *least => {}
            _ => best = Some((away, Mask::one(member))),
        }
    }
    best.map(|b| b.1)
}
