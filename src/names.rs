//! Names that people use for things, found by longest match over all aliases.

use crate::model::{KindId, Mask, Model};
use crate::words::folded;
use rustc_hash::FxHashMap;

/// Every name of every member, by kind.
#[derive(Debug, Clone)]
pub struct Names {
    by_kind: Vec<FxHashMap<String, usize>>,
    loose: Vec<FxHashMap<String, Vec<usize>>>,
    /// Words that mean every member of a class where it is denied, and any of them where it is not.
    all: Vec<FxHashMap<String, Mask>>,
    longest: usize,
}

impl Names {
    /// Gathers the names of a model.
    pub fn of(model: &Model) -> Self {
        let mut by_kind = vec![FxHashMap::default(); model.kinds.len()];
        let mut loose = vec![FxHashMap::<String, Vec<usize>>::default(); model.kinds.len()];
        let mut all = vec![FxHashMap::<String, Mask>::default(); model.kinds.len()];
        let mut longest = 1;
        for entity in model.entities.iter().filter(|e| e.ordinal.is_none()) {
            for name in &entity.loose {
                let name = folded(name);
                longest = longest.max(name.split(' ').count());
                if let Some(own) = all.get_mut(entity.kind.index()) {
                    let known = own.entry(name).or_insert(Mask::EMPTY);
                    *known = known.or(entity.members);
                }
            }
        }
        for entity in &model.entities {
            let (Some(ordinal), Some(own)) = (entity.ordinal, by_kind.get_mut(entity.kind.index())) else { continue };
            for name in entity.aliases.iter().chain([&entity.name, &entity.id]) {
                let name = folded(name);
                longest = longest.max(name.split(' ').count());
                own.entry(name).or_insert(ordinal);
            }
            for name in &entity.loose {
                if let Some(own) = loose.get_mut(entity.kind.index()) {
                    own.entry(folded(name)).or_default().push(ordinal);
                }
            }
        }
        by_kind.iter_mut().for_each(written_together);
        Self { by_kind, loose, all, longest }
    }

    /// The member of a kind that a text names as a whole.
    pub fn find(&self, kind: KindId, text: &str) -> Option<usize> {
        let own = self.by_kind.get(kind.index())?;
        let name = folded(text);
        own.get(&name).or_else(|| own.get(singular(&name)?)).copied()
    }

    /// The longest run of words, from the first, that names a member of one of the kinds.
    pub fn longest(&self, kinds: &[KindId], words: &[&str]) -> Option<(KindId, usize, usize)> {
        let most = words.len().min(self.longest + 2);
        (1..=most).rev().find_map(|count| {
            let text = words.get(..count)?.join(" ");
            kinds.iter().find_map(|kind| self.find(*kind, &text).map(|member| (*kind, member, count)))
        })
    }

    /// The longest run of words, from the first, that means every member of a class of one of the kinds where it is
    /// denied: `no flash`.
    pub fn all_of(&self, kinds: &[KindId], words: &[&str]) -> Option<(KindId, Mask, usize)> {
        let most = words.len().min(self.longest);
        (1..=most).rev().find_map(|count| {
            let name = folded(&words.get(..count)?.join(" "));
            kinds.iter().find_map(|kind| {
                let own = self.all.get(kind.index())?;
                let found = own.get(&name).or_else(|| own.get(singular(&name)?))?;
                Some((*kind, *found, count))
            })
        })
    }

    /// The members that a name leaves: the one it is of, or any of a class whose word it is as well.
    pub fn meant(&self, kind: KindId, member: usize, text: &str) -> Mask {
        let name = folded(text);
        let own = self.all.get(kind.index());
        let class = own.and_then(|all| all.get(&name).or_else(|| all.get(singular(&name)?))).copied();
        class.filter(|mask| mask.has(member)).unwrap_or_else(|| Mask::one(member))
    }

    /// Names of several words that begin with a text: whose they are, and the words that are missing.
    pub fn begun(&self, kinds: &[KindId], text: &str) -> Vec<(KindId, usize, Vec<&str>)> {
        let start = format!("{} ", folded(text));
        let own = |kind: &KindId| self.by_kind.get(kind.index()).map(|names| (*kind, names));
        let all = kinds.iter().filter_map(own).flat_map(|(kind, names)| names.iter().map(move |(n, m)| (kind, *m, n)));
        let mut found: Vec<(KindId, usize, Vec<&str>)> = all
            .filter_map(|(kind, member, name)| Some((kind, member, name.strip_prefix(&start)?.split(' ').collect())))
            .collect();
        found.sort();
        found
    }

    /// The members of a kind that a text may mean where nothing else can be meant.
    pub fn loosely(&self, kind: KindId, text: &str) -> &[usize] {
        let Some(own) = self.loose.get(kind.index()) else { return &[] };
        let name = folded(text);
        let found = own.get(&name).or_else(|| own.get(singular(&name)?));
        found.map_or(&[], Vec::as_slice)
    }

    /// The known names nearest to a text, best first.
    pub fn nearest(&self, kinds: &[KindId], text: &str) -> Vec<String> {
        let all = kinds.iter().filter_map(|k| self.by_kind.get(k.index())).flat_map(|m| m.keys());
        let mut sorted: Vec<&str> = all.map(String::as_str).collect();
        sorted.sort_unstable();
        crate::diagnostic::nearest(&folded(text), sorted.into_iter()).into_iter().map(str::to_owned).collect()
    }
}

/// Shorter names are not looked for without the blanks between their words.
const LONG: usize = 7;

/// `bookbag` is a book bag: names of several words are known without the blanks too, where that is no other name.
fn written_together(names: &mut FxHashMap<String, usize>) {
    let mut joined = FxHashMap::<String, Option<usize>>::default();
    for (name, member) in names.iter().filter(|n| n.0.contains(' ')) {
        let own = name.replace(' ', "");
        if own.chars().count() >= LONG && own.chars().all(char::is_alphabetic) {
            let known = joined.entry(own).or_insert(Some(*member));
            *known = known.filter(|k| k == member);
        }
    }
    for (name, member) in joined {
        if let Some(member) = member {
            names.entry(name).or_insert(member);
        }
    }
}

/// The name without the `s` of a plural; codes have none.
fn singular(name: &str) -> Option<&str> {
    name.strip_suffix('s').filter(|rest| rest.chars().count() > 2)
}
