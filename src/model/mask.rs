//! A set of members of one kind.

/// Entities of a kind at most: the width of a [`Mask`].
pub const MAX_MEMBERS: usize = 256;

/// A set of members of one kind, by ordinal.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, PartialOrd, Ord)]
pub struct Mask([u64; MAX_MEMBERS / 64]);

impl std::fmt::Debug for Mask {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_set().entries(self.iter()).finish()
    }
}

impl serde::Serialize for Mask {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.iter().collect::<Vec<_>>())
    }
}

impl<'de> serde::Deserialize<'de> for Mask {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let members: Vec<usize> = serde::Deserialize::deserialize(deserializer)?;
        let mut mask = Self::EMPTY;
        members.into_iter().for_each(|m| mask.insert(m));
        Ok(mask)
    }
}

impl Mask {
    /// No members.
    pub const EMPTY: Self = Self([0; MAX_MEMBERS / 64]);

    /// The first `count` members.
    pub fn first(count: usize) -> Self {
        let mut mask = Self::EMPTY;
        for i in 0..count.min(MAX_MEMBERS) {
            mask.insert(i);
        }
        mask
    }

    /// One member.
    pub fn one(member: usize) -> Self {
        let mut mask = Self::EMPTY;
        mask.insert(member);
        mask
    }

    /// Adds a member.
    pub fn insert(&mut self, member: usize) {
        if let Some(word) = self.0.get_mut(member / 64) {
            *word |= 1 << (member % 64);
        }
    }

    /// Takes a member out.
    pub fn remove(&mut self, member: usize) {
        if let Some(word) = self.0.get_mut(member / 64) {
            *word &= !(1 << (member % 64));
        }
    }

    /// Whether a member is in it.
    pub fn has(&self, member: usize) -> bool {
        self.0.get(member / 64).is_some_and(|w| w & (1 << (member % 64)) != 0)
    }

    /// Members of both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.zip(other, |a, b| a & b)
    }

    /// Members of either.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        self.zip(other, |a, b| a | b)
    }

    /// Members of this one only.
    #[must_use]
    pub fn without(self, other: Self) -> Self {
        self.zip(other, |a, b| a & !b)
    }

    fn zip(self, other: Self, f: fn(u64, u64) -> u64) -> Self {
        let mut out = Self::EMPTY;
        for (o, (a, b)) in out.0.iter_mut().zip(self.0.iter().zip(other.0)) {
            *o = f(*a, b);
        }
        out
    }

    /// Whether it has no members.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|w| *w == 0)
    }

    /// Whether all its members are in the other.
    pub fn within(self, other: Self) -> bool {
        self.without(other).is_empty()
    }

    /// Whether they share a member.
    pub fn meets(self, other: Self) -> bool {
        !self.and(other).is_empty()
    }

    /// How many members.
    pub fn count(&self) -> usize {
        self.0.iter().map(|w| w.count_ones() as usize).sum()
    }

    /// The members in order.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        self.0.into_iter().enumerate().flat_map(|(i, word)| {
            let mut rest = word;
            std::iter::from_fn(move || {
                (rest != 0).then(|| {
                    let bit = rest.trailing_zeros() as usize;
                    rest &= rest - 1;
                    i * 64 + bit
                })
            })
        })
    }

    /// The only member, if there is exactly one.
    pub fn only(self) -> Option<usize> {
        let mut members = self.iter();
        let first = members.next()?;
        members.next().is_none().then_some(first)
    }
}
