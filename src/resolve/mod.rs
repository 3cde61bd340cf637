//! From words and values to statements: shared by questions and JSON jobs.
//!
//! Which attribute a thing belongs to follows from the vocabulary, so that a new kind or attribute needs no change
//! here.

mod finding;

use crate::colour::Lab;
use crate::diagnostic::meanings;
use crate::job::{Amounts, Domain, whole};
use crate::model::{AssumedValue, Attribute, AttributeId, AttributeType, KindId, Mask, Model, PropertyId, Value};
use crate::names::Names;
use crate::quantity::{Decimal, DimensionId};
use crate::statement::{Stated, Statement};
use crate::words::folded;

/// How much further than the nearest named colour, in CIELAB units, a name may lie and still be meant: about as much
/// as shades of one name differ. From memory.
const SHADES_OF_ONE_NAME: f64 = 12.0;

/// Layers of a print at most: no press has that many stations.
pub(crate) const MAX_LAYERS: usize = 24;

/// A share or dose as written: its interval in steps.
pub(crate) type Share = (i64, i64);

/// What is wrong with something said, and what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Mistake {
    /// Stable code.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: Option<String>,
    /// What may be meant, each in words that can stand in its place.
    pub readings: Vec<String>,
    /// Known names near to it.
    pub nearest: Vec<String>,
    /// All that is allowed, where that is few.
    pub allowed: Vec<String>,
}

impl Mistake {
    /// A mistake without help.
    pub fn new(code: &'static str, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            help: None,
            readings: Vec::new(),
            nearest: Vec::new(),
            allowed: Vec::new(),
        }
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Adds what may be meant: each of it stands between backticks in what is said.
    #[must_use]
    pub fn meaning(self, says: &str) -> Self {
        Self { readings: meanings(says), ..self.help(says) }
    }
}

/// Collects statements of one print.
#[derive(Debug, Clone)]
pub struct Resolver<'a> {
    /// The model.
    pub model: &'a Model,
    /// Names.
    pub names: &'a Names,
    /// What was said so far.
    pub stated: Stated,
    /// Members of sets and amounts that were said to be present, and those said to be absent.
    spoken: Vec<(AttributeId, usize, Spoken)>,
}

/// What was said of the members of a set.
#[derive(Debug, Clone, Copy, Default)]
struct Spoken {
    present: Mask,
    absent: Mask,
    /// There is none at all.
    none: bool,
}

/// Something said of a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Membership {
    /// This member is in it.
    Present(usize),
    /// This member is not in it.
    Absent(usize),
    /// None of these members is in it.
    AllAbsent(Mask),
    /// Nothing is in it.
    None,
}

impl<'a> Resolver<'a> {
    /// Nothing said yet of a print of so many layers.
    pub fn new(model: &'a Model, names: &'a Names, layers: usize) -> Self {
        Self { model, names, stated: Stated { layers, ..Stated::default() }, spoken: Vec::new() }
    }

    /// The attribute of an id.
    pub fn attribute(&self, id: AttributeId) -> Option<&'a Attribute> {
        id.of(self.model)
    }

    /// Attributes that a test picks, with their ids.
    pub fn attributes(&self, pick: impl Fn(&Attribute) -> bool) -> Vec<(AttributeId, &'a Attribute)> {
        let all = self.model.attributes.iter().enumerate();
        all.filter(|(_, a)| pick(a)).map(|(i, a)| (AttributeId(i as u16), a)).collect()
    }

    /// Records a statement.
    ///
    /// # Errors
    /// The same attribute was said to be something else.
    pub fn say(&mut self, attribute: AttributeId, layer: usize, domain: Domain, words: &str) -> Result<(), Mistake> {
        let own = self.attribute(attribute);
        let name = own.map_or("", |a| if a.label.is_empty() { a.name.as_str() } else { a.label.as_str() });
        if let Some(earlier) = self.stated.statements.iter().find(|s| s.attribute == attribute && s.layer == layer) {
            if earlier.domain == domain {
                return Ok(());
            }
            let mistake =
                Mistake::new("job::said-twice", format!("`{}` and `{words}` are both given for {name}", earlier.words));
            return Err(if own.is_some_and(|a| a.material && a.per_layer) {
                mistake.help(format!(
                    "which of the two is it? For one on top of the other say `{} over {words}`",
                    earlier.words
                ))
            } else {
                mistake.help("which of the two is it? Say one of them")
            });
        }
        self.stated.statements.push(Statement { attribute, layer, domain, words: words.to_owned() });
        Ok(())
    }

    /// As [`Resolver::say`], where of two values that are both said the answer is to hold for either; one within the class
    /// that a word before it named is what is meant. Returns how both were said, where they were taken so.
    ///
    /// # Errors
    /// As [`Resolver::say`].
    pub fn say_either(
        &mut self,
        attribute: AttributeId,
        layer: usize,
        domain: Domain,
        words: &str,
    ) -> Result<Option<String>, Mistake> {
        let earlier = self.stated.statements.iter_mut().find(|s| s.attribute == attribute && s.layer == layer);
        let Some(earlier) = earlier else { return self.say(attribute, layer, domain, words).map(|()| None) };
        if let (Domain::Number { low, high }, Domain::Number { low: least, high: most }) =
            (&mut earlier.domain, &domain)
        {
            if (*low, *high) == (*least, *most) {
                return Ok(None);
            }
            (*low, *high) = ((*low).min(*least), (*high).max(*most));
            earlier.words = format!("{} or {words}", earlier.words);
            return Ok(Some(earlier.words.clone()));
        }
        let (Domain::Choice(one), Domain::Choice(other)) = (&earlier.domain, &domain) else {
            return self.say(attribute, layer, domain, words).map(|()| None);
        };
        let kind = attribute.of(self.model).and_then(|a| a.ty.members());
        let class = |mask: Mask, words: &str| {
            let own = kind.zip(mask.iter().next());
            mask.count() > 1 && own.is_some_and(|(kind, m)| self.names.meant(kind, m, words) == mask)
        };
        let both = one.and(*other);
        let narrower = both == *other && class(*one, &earlier.words) || both == *one && class(*other, words);
        if narrower || both == *other {
            earlier.domain = Domain::Choice(if narrower { both } else { *one });
            return Ok(None);
        }
        earlier.domain = Domain::Choice(one.or(*other));
        earlier.words = format!("{} or {words}", earlier.words);
        Ok(Some(earlier.words.clone()))
    }

    /// A further part of a count, added to what was said of it; the words of all.
    pub fn count_up(
        &mut self,
        attribute: AttributeId,
        layer: usize,
        (low, high): (i64, i64),
        words: &str,
    ) -> Option<String> {
        let earlier = self.stated.statements.iter_mut().find(|s| s.attribute == attribute && s.layer == layer)?;
        let Domain::Number { low: least, high: most } = &mut earlier.domain else { return None };
        (*least, *most) = (least.saturating_add(low), most.saturating_add(high));
        earlier.words = format!("{} and {words}", earlier.words);
        Some(earlier.words.clone())
    }

    /// Says that something is or is not in a set. What is named is all there is; what is excluded leaves the rest
    /// open.
    ///
    /// # Errors
    /// The opposite was said before.
    pub fn say_of_set(&mut self, id: AttributeId, layer: usize, said: Membership, words: &str) -> Result<(), Mistake> {
        let Some(AttributeType::Set(kind)) = self.attribute(id).map(|a| a.ty) else { return Ok(()) };
        let spoken = self.note(id, layer, said, words)?;
        let everyone = self.model.everyone(kind);
        let domain = if spoken.none {
            Domain::Set { must: Mask::EMPTY, may: Mask::EMPTY }
        } else if spoken.present.is_empty() {
            let may = everyone.without(spoken.absent);
            let must = match self.attribute(id).and_then(|a| a.assume.first()).map(|a| &a.value) {
                // Where all are assumed, the others stay assumed.
                Some(AssumedValue::Set(all)) => all.and(may),
                _ => Mask::EMPTY,
            };
            Domain::Set { must, may }
        } else {
            match self.listed(id, spoken.present) {
                Domain::Set { must, may } => Domain::Set { must, may: may.without(spoken.absent) },
                other => other,
            }
        };
        self.record(id, layer, domain, words);
        Ok(())
    }

    /// Keeps what was said of a member; an error where the opposite was said.
    fn note(&mut self, id: AttributeId, layer: usize, said: Membership, words: &str) -> Result<Spoken, Mistake> {
        let at = match self.spoken.iter().position(|s| s.0 == id && s.1 == layer) {
            Some(at) => at,
            None => {
                self.spoken.push((id, layer, Spoken::default()));
                self.spoken.len() - 1
            }
        };
        let mut spoken = self.spoken.get(at).map(|s| s.2).unwrap_or_default();
        match said {
            Membership::Present(m) => spoken.present.insert(m),
            Membership::Absent(m) => spoken.absent.insert(m),
            Membership::AllAbsent(all) => spoken.absent = spoken.absent.or(all),
            Membership::None => spoken.none = true,
        }
        if spoken.present.meets(spoken.absent) || (spoken.none && !spoken.present.is_empty()) {
            let earlier = self.stated.statements.iter().find(|s| s.attribute == id && s.layer == layer);
            let earlier = earlier.map_or("", |s| s.words.as_str());
            let name = self.attribute(id).map_or("", |a| a.label.as_str());
            return Err(Mistake::new(
                "job::said-twice",
                format!("`{earlier}` and `{words}` are both given for {name}"),
            )
            .help("say one of them"));
        }
        if let Some(own) = self.spoken.get_mut(at) {
            own.2 = spoken;
        }
        Ok(spoken)
    }

    /// Puts a statement in the place of an earlier one about the same, keeping the words of both.
    fn record(&mut self, attribute: AttributeId, layer: usize, domain: Domain, words: &str) {
        match self.stated.statements.iter_mut().find(|s| s.attribute == attribute && s.layer == layer) {
            Some(own) => {
                own.domain = domain;
                // What is said twice is told once.
                if !own.words.split(", ").any(|w| w == words) {
                    own.words.push_str(", ");
                    own.words.push_str(words);
                }
            }
            None => self.stated.statements.push(Statement { attribute, layer, domain, words: words.to_owned() }),
        }
    }

    /// Says that a material is not used, or that none is. What nobody mentions is not used either: leaving one out says
    /// something only where answers would ask for it, and then that it must not be asked for.
    ///
    /// # Errors
    /// It was said to be used.
    pub fn exclude_amount(
        &mut self,
        id: AttributeId,
        layer: usize,
        said: Membership,
        words: &str,
    ) -> Result<(), Mistake> {
        let Some(attribute) = self.attribute(id) else { return Ok(()) };
        self.note(id, layer, said, words)?;
        let asked_for = |member: usize| self.may_be_asked_for(attribute, member, layer);
        match said {
            Membership::Absent(member) if !asked_for(member) => return Ok(()),
            Membership::AllAbsent(all) if !all.iter().any(asked_for) => return Ok(()),
            _ => {}
        }
        let found = self.stated.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer);
        match found {
            Some(own) => {
                own.words.push_str(", ");
                own.words.push_str(words);
            }
            None => self.record(id, layer, Domain::nothing(attribute.ty, self.model), words),
        }
        Ok(())
    }

    /// A set attribute of which some members were named: exactly these, but for groups that naming does not close.
    pub fn listed(&self, id: AttributeId, named: Mask) -> Domain {
        let Some(attribute) = self.attribute(id) else { return Domain::Set { must: named, may: named } };
        let (Some(property), AttributeType::Set(kind)) = (attribute.closes, attribute.ty) else {
            return Domain::Set { must: named, may: named };
        };
        let closed = named.iter().fold(Mask::EMPTY, |m, n| m.or(self.set_of(kind, n, property)));
        let everyone = self.model.everyone(kind);
        let open =
            everyone.iter().filter(|m| !self.set_of(kind, *m, property).meets(closed)).fold(named, |mut m, i| {
                m.insert(i);
                m
            });
        Domain::Set { must: named, may: open }
    }

    fn set_of(&self, kind: KindId, member: usize, property: PropertyId) -> Mask {
        match self.model.member(kind, member).and_then(|e| e.facts.get(&property)).map(|f| &f.value) {
            Some(Value::Set(mask)) => *mask,
            _ => Mask::EMPTY,
        }
    }

    /// Adds a member with its amount to an amounts attribute. Without an amount it lies in the usual window.
    ///
    /// # Errors
    /// The member was named before.
    pub fn add_amount(
        &mut self,
        id: AttributeId,
        layer: usize,
        member: usize,
        amount: Option<Share>,
        words: &str,
    ) -> Result<(), Mistake> {
        let Some(AttributeType::Amounts(kind)) = self.attribute(id).map(|a| a.ty) else { return Ok(()) };
        self.note(id, layer, Membership::Present(member), words)?;
        let range = amount.unwrap_or_else(|| self.usual_amount(id, kind, member));
        let count = self.model.everyone(kind).count();
        let found = self.stated.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer);
        match found {
            Some(Statement { domain: Domain::Amounts(a), words: w, .. }) => {
                if let Some(r) = a.ranges.get_mut(member) {
                    if r.1 > 0 {
                        return Err(
                            Mistake::new("job::said-twice", format!("`{words}` is named twice")).help("say it once")
                        );
                    }
                    *r = range;
                }
                w.push_str(", ");
                w.push_str(words);
            }
            _ => {
                let mut ranges = vec![(0, 0); count];
                if let Some(r) = ranges.get_mut(member) {
                    *r = range;
                }
                let domain = Domain::Amounts(Amounts { ranges, total: None, sums: Vec::new() });
                self.stated.statements.push(Statement { attribute: id, layer, domain, words: words.to_owned() });
            }
        }
        Ok(())
    }

    fn usual_amount(&self, id: AttributeId, kind: KindId, member: usize) -> Share {
        let property = self.attribute(id).and_then(|a| a.unstated);
        let value = property.and_then(|p| self.model.member(kind, member)?.facts.get(&p)).map(|f| &f.value);
        match value {
            Some(Value::Window(low, high)) => ((*low).max(1), *high),
            _ => (1, whole(self.model)),
        }
    }

    /// A blend from members with shares, and shares of members that are not named.
    ///
    /// # Errors
    /// Shares that do not add up, are out of range or are given for some only.
    pub fn blend(
        &self,
        id: AttributeId,
        parts: &[(usize, Option<Share>)],
        others: &[Option<Share>],
    ) -> Result<Domain, Mistake> {
        let Some(AttributeType::Blend(kind)) = self.attribute(id).map(|a| a.ty) else {
            return Err(Mistake::new("job::wrong-type", "this is no blend"));
        };
        let whole = whole(self.model);
        let write = |s: i64| match self.model.dimension("percent").and_then(|d| self.model.dim(d)) {
            Some(d) => d.write(s),
            None => s.to_string(),
        };
        let mut ranges = vec![(0, 0); self.model.everyone(kind).count()];
        for (member, share) in parts {
            let Some(r) = ranges.get_mut(*member) else { continue };
            if r.1 > 0 {
                let name = self.model.member(kind, *member).map_or("", |e| e.name.as_str());
                let mistake = Mistake::new("job::said-twice", format!("{name} is named twice"));
                return Err(mistake.help("add its shares up; where they are two cloths, ask for each by itself"));
            }
            *r = match (share, parts.len() + others.len()) {
                (Some(s), _) => *s,
                (None, 1) => (whole, whole),
                // Present, share unknown.
                (None, _) => (1, whole),
            };
            if r.0 < 0 || r.1 > whole || r.1 == 0 {
                return Err(Mistake::new("job::share-out-of-range", format!("{} is no share of a cloth", write(r.0)))
                    .help("shares lie above 0 % and up to 100 %"));
            }
        }
        let unnamed = match others {
            [] => (0, 0),
            [Some(share)] if share.0 > 0 && share.1 <= whole => *share,
            [None] => (1, whole),
            _ => {
                return Err(Mistake::new("job::share-out-of-range", "the share of the other fibres is not clear")
                    .help("give it once, above 0 % and up to 100 %"));
            }
        };
        let low: i64 = ranges.iter().map(|r| r.0).sum::<i64>() + unnamed.0;
        let high: i64 = ranges.iter().map(|r| r.1).sum::<i64>() + unnamed.1;
        let all_stated = parts.iter().map(|p| p.1).chain(others.iter().copied()).all(|s| s.is_some());
        let slack = if all_stated && parts.len() + others.len() >= 3 && low == high { whole / 100 } else { 0 };
        if low - slack > whole || high + slack < whole {
            return Err(Mistake::new(
                "job::shares-do-not-add-up",
                format!("the shares add up to {}", write(if low > whole { low } else { high })),
            )
            .help(if low > whole && low % whole == 0 {
                "that is more than one cloth: ask for each part of the label by itself"
            } else {
                "a composition adds up to 100 %; check the label"
            }));
        }
        if low == high && low != whole {
            // Labels round each share to a whole per cent: the sum of three or more may miss 100 by one.
            for r in ranges.iter_mut().filter(|r| r.1 > 0) {
                *r = (r.0 - slack, (r.1 + slack).min(whole));
            }
        }
        let mut sums = Vec::new();
        if !others.is_empty() {
            let mut rest = Mask::EMPTY;
            for (member, r) in ranges.iter_mut().enumerate().filter(|(_, r)| r.1 == 0) {
                rest.insert(member);
                *r = (0, unnamed.1);
            }
            let slack = if low == whole { 0 } else { slack };
            sums.push((rest, (unnamed.0 - slack).max(0), (unnamed.1 + slack).min(whole)));
        }
        Ok(Domain::Amounts(Amounts { ranges, total: Some(whole), sums }))
    }

    /// The member of a kind that a text names.
    ///
    /// # Errors
    /// No member has this name; the nearest are told.
    pub fn member(&self, kind: KindId, text: &str) -> Result<usize, Mistake> {
        self.names.find(kind, text).ok_or_else(|| {
            let kind_name = self.model.kinds.get(kind.index()).map_or("name", |k| k.name.as_str());
            self.unknown(&[kind], kind_name, text)
        })
    }

    /// What a name says of a choice: this member, or any of a class where the word is the class's as well.
    pub fn meant(&self, kind: KindId, member: usize, text: &str) -> Domain {
        Domain::Choice(self.names.meant(kind, member, text))
    }

    /// The mistake of an unknown name.
    pub fn unknown(&self, kinds: &[KindId], what: &str, text: &str) -> Mistake {
        let mut mistake = Mistake::new("job::unknown-name", format!("no {what} is called `{text}`"));
        mistake.nearest = self.names.nearest(kinds, text);
        let members: usize = kinds.iter().map(|k| self.model.everyone(*k).count()).sum();
        if members <= 16 {
            mistake.allowed =
                kinds.iter().flat_map(|k| self.model.names(*k, self.model.everyone(*k))).map(str::to_owned).collect();
        }
        let near: Vec<&str> = mistake.nearest.iter().map(String::as_str).collect();
        let all: Vec<&str> = mistake.allowed.iter().map(String::as_str).collect();
        mistake.help = if !near.is_empty() {
            Some(format!("did you mean {}?", crate::diagnostic::one_of(&near)))
        } else if !all.is_empty() {
            Some(format!("known: {}", crate::diagnostic::one_of(&all)))
        } else {
            None
        };
        mistake
    }

    /// A colour given as `#rrggbb`: its lightness and chroma, and the named colours it may be.
    ///
    /// # Errors
    /// The text is no such colour, or the vocabulary has no lightness for this attribute.
    pub fn hex(&mut self, choice: AttributeId, layer: usize, text: &str) -> Result<(), Mistake> {
        let Some(lab) = crate::colour::from_hex(text) else {
            return Err(
                Mistake::new("job::bad-colour", format!("`{text}` is no colour")).help("write it like `#1b1b1f`")
            );
        };
        let followers = self.attributes(|a| a.follows.is_some_and(|f| f.0 == choice));
        let Some(AttributeType::Choice(kind)) = self.attribute(choice).map(|a| a.ty) else {
            return Err(Mistake::new("job::wrong-type", "no colour belongs here"));
        };
        let wanted = |property: PropertyId| match self.model.properties.get(property.index()).map(|p| p.name.as_str()) {
            Some("lightness") => Some(lab.lightness),
            Some("chroma") => Some(lab.chroma()),
            _ => None,
        };
        // Names stand in for what only names tell, such as whether a shade is known to bleed. Shades of one name
        // differ, so every name that may be meant stays possible.
        let distance = |member: usize| -> Option<f64> {
            let facts = &self.model.member(kind, member)?.facts;
            let number = |name: &str| {
                facts.iter().find_map(|(id, fact)| match (&fact.value, self.model.properties.get(id.index())) {
                    (Value::Quantity(q), Some(p)) if p.name == name => Some(*q as f64 / 1000.0),
                    _ => None,
                })
            };
            Some(lab.distance(Lab::from_polar(number("lightness")?, number("chroma")?, number("hue")?)))
        };
        let near: Vec<(usize, f64)> =
            self.model.everyone(kind).iter().filter_map(|m| distance(m).map(|d| (m, d))).collect();
        let Some(least) = near.iter().map(|(_, d)| *d).min_by(f64::total_cmp) else {
            return Err(Mistake::new("job::bad-colour", "no colours are known"));
        };
        let mut named = Mask::EMPTY;
        near.iter().filter(|(_, d)| *d <= least + SHADES_OF_ONE_NAME).for_each(|(m, _)| named.insert(*m));
        for (id, attribute) in followers {
            let Some(value) = attribute.follows.and_then(|f| wanted(f.1)) else { continue };
            let steps = (value * 1000.0).round() as i64;
            self.say(id, layer, Domain::Number { low: steps, high: steps }, text)?;
        }
        self.say(choice, layer, Domain::Choice(named), text)
    }

    /// Whether some rule tells to take a material, and it belongs into what was said of the layer.
    fn may_be_asked_for(&self, attribute: &Attribute, member: usize, layer: usize) -> bool {
        let Some(kind) = attribute.ty.members() else { return false };
        let entity = self.model.kinds.get(kind.index()).and_then(|k| k.members.get(member));
        let asked = self.model.rules.iter().any(|r| entity.is_some_and(|e| r.takes.contains(e)));
        asked && self.fits(attribute, kind, member, layer)
    }

    /// Whether a member belongs into what was said elsewhere of the layer: an additive into its ink.
    pub fn fits(&self, attribute: &Attribute, kind: KindId, member: usize, layer: usize) -> bool {
        let Some((property, into)) = attribute.fits else { return true };
        let said = self.stated.statements.iter().find(|s| s.attribute == into && s.layer == layer).map(|s| &s.domain);
        match said {
            Some(Domain::Choice(mask)) => self.set_of(kind, member, property).meets(*mask),
            _ => true,
        }
    }

    /// A quantity in the dimension of an attribute, within what makes sense for it.
    ///
    /// # Errors
    /// No number, no unit, another unit, or out of range.
    pub fn quantity(&self, id: AttributeId, text: &str) -> Result<i64, Mistake> {
        let Some(attribute) = self.attribute(id) else {
            return Err(Mistake::new("job::wrong-type", "no such attribute"));
        };
        let dimension = match attribute.ty {
            AttributeType::Quantity(d) | AttributeType::Setting(d) => d,
            _ => return Err(Mistake::new("job::wrong-type", "no quantity belongs here")),
        };
        // `240 pieces`: the word only says what is counted.
        let (number, word) = split_number(text);
        let counted = attribute.speech.counted.contains(&folded(word));
        // It may be a unit too: `2 dozen`, `61 T`.
        let steps = |text: &str| crate::model::read_quantity(text, dimension, self.model).ok();
        let counted = counted && steps(text).is_none_or(|own| steps(number) == Some(own));
        self.sensible(attribute, dimension, if counted { number } else { text })
    }

    /// The ends of a quantity or dose that may be written with both: `150 to 160 °C`.
    ///
    /// # Errors
    /// As [`Resolver::quantity`].
    pub fn ends(&self, id: AttributeId, text: &str) -> Result<(i64, i64), Mistake> {
        let amounts = self.attribute(id).is_some_and(|a| matches!(a.ty, AttributeType::Amounts(_)));
        let read = |text: &str| if amounts { self.share(id, text) } else { self.quantity(id, text) };
        match text.split_once(" to ") {
            None => read(text).map(|steps| self.around(id, steps, split_number(text).1)),
            Some((low, high)) => Ok((read(&format!("{low} {}", split_number(high).1))?, read(high)?)),
        }
    }

    /// The ends between which a setting is meant: `300 °F` is what a shop calls 150 °C.
    pub fn around(&self, id: AttributeId, steps: i64, unit: &str) -> (i64, i64) {
        let dimension = match self.attribute(id).map(|a| a.ty) {
            Some(AttributeType::Setting(d)) => self.model.dim(d),
            _ => None,
        };
        dimension.and_then(|d| Some(d.around(steps, d.unit(unit)?))).unwrap_or((steps, steps))
    }

    /// A share or dose in per cent. A bare number is one.
    ///
    /// # Errors
    /// As [`Resolver::quantity`].
    pub fn share(&self, id: AttributeId, text: &str) -> Result<i64, Mistake> {
        let (Some(percent), Some(attribute)) = (self.model.dimension("percent"), self.attribute(id)) else {
            return Err(Mistake::new("job::wrong-type", "no unit is declared for shares"));
        };
        let text = if Decimal::parse(text.trim()).is_some() { format!("{} %", text.trim()) } else { text.to_owned() };
        self.sensible(attribute, percent, &text)
    }

    /// Reads a quantity and holds it against the attribute's limits.
    fn sensible(&self, attribute: &Attribute, dimension: DimensionId, text: &str) -> Result<i64, Mistake> {
        let steps = crate::model::read_quantity(text, dimension, self.model)
            .map_err(|(message, help)| Mistake::new("job::bad-quantity", message).help(help))?;
        let (Some(limits), Some(own)) = (&attribute.limits, self.model.dim(dimension)) else { return Ok(steps) };
        let within = |s: i64| limits.least.is_none_or(|l| l <= s) && limits.most.is_none_or(|m| s <= m);
        if within(steps) {
            return Ok(steps);
        }
        let (side, end) = match limits.least {
            Some(least) if steps < least => ("less than", least),
            _ => ("more than", limits.most.unwrap_or(steps)),
        };
        let message = format!("`{}` is {side} {}", text.trim(), own.write(end));
        // The number may be right and the unit wrong: 320 °C for 320 °F.
        let number = Decimal::parse(split_number(text).0);
        let meant = number.and_then(|n| {
            (0..own.units.len()).find_map(|u| {
                let other = own.steps(n, u).filter(|s| within(*s))?;
                Some(match u {
                    0 => format!("did you mean {}? ", own.write(other)),
                    _ => format!("did you mean {} ({})? ", own.write_in(other, u), own.write(other)),
                })
            })
        });
        Err(Mistake::new("job::out-of-range", message).help(format!("{}{}", meant.unwrap_or_default(), limits.says)))
    }
}

/// The number at the start of a text, and what follows it.
fn split_number(text: &str) -> (&str, &str) {
    let text = text.trim();
    let cut = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-'))).unwrap_or(text.len());
    let (number, rest) = text.split_at(cut);
    (number, rest.trim())
}
