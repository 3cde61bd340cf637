//! What was found out of a value of the knowledge that differs from item to item, or that nobody wrote down.

use super::{Mistake, Resolver};
use crate::job::{Domain, hidden_domain};
use crate::model::{AttributeType, EntityId, KindId, Mask, PropertyId, Value, read_quantity};
use crate::statement::Finding;
use crate::words::folded;

impl Resolver<'_> {
    /// Takes a finding that is said in words: `leather heat limit 130 °C`, `heat limit of leather 130 °C`, `silicone ink
    /// grips smooth`. Of a yes/no, no value means yes.
    ///
    /// # Errors
    /// A thing or property of no such name, and as [`Resolver::found`].
    pub fn found_in(&mut self, text: &str) -> Result<(), Mistake> {
        let words: Vec<&str> = text.split([' ', ':', '=']).filter(|w| !w.is_empty()).collect();
        let mut named = Vec::new();
        for (index, property) in self.model.properties.iter().enumerate() {
            let own: Vec<&str> = property.name.split('_').collect();
            let Some(at) = words.windows(own.len()).position(|w| folded(&w.join(" ")) == own.join(" ")) else {
                continue;
            };
            let (before, mut after) =
                (words.get(..at).unwrap_or_default(), words.get(at + own.len()..).unwrap_or_default());
            let mut member = self.names.find(property.kind, &before.join(" "));
            let mut thing = before.len();
            if let (true, Some(("of" | "in", of))) = (before.is_empty(), after.split_first().map(|w| (*w.0, w.1)))
                && let Some((_, named, count)) = self.names.longest(&[property.kind], of)
            {
                (member, after) = (Some(named), of.get(count..).unwrap_or_default());
                thing = count;
            }
            let entity = member.and_then(|m| self.model.kinds.get(property.kind.index())?.members.get(m)).copied();
            let value = after.join(" ");
            named.extend(entity.map(|e| (own.len() + thing, e, PropertyId(index as u16), value)));
        }
        // `gel temperature` is no `temperature`, and `cut-film transfer elongation` is of the transfer.
        let longest = named.iter().map(|n| n.0).max();
        named.retain(|n| Some(n.0) == longest);
        match named.as_slice() {
            [(_, entity, property, value)] => {
                let yes = value.is_empty() && self.type_of(*property) == Some(AttributeType::YesNo);
                self.found(*entity, *property, Some(if yes { "yes" } else { value }))
            }
            [] => Err(self.not_open(text)),
            several => {
                let names: Vec<String> = several.iter().map(|n| self.path(n.1, n.2)).collect();
                let names: Vec<&str> = names.iter().map(String::as_str).collect();
                let mistake = Mistake::new("finding::unknown", format!("`{text}` may be several values"));
                Err(mistake.help(format!("say it by its id: {}", crate::diagnostic::one_of(&names))))
            }
        }
    }

    /// Takes a finding of a value by its path: `leather.heat_limit`.
    ///
    /// # Errors
    /// No such thing or property, and as [`Resolver::found`].
    pub fn found_at(&mut self, path: &str, text: &str) -> Result<(), Mistake> {
        let all = self.model.entities.iter().enumerate().flat_map(|(e, entity)| {
            let own = self.model.properties.iter().enumerate().filter(move |(_, p)| p.kind == entity.kind);
            own.map(move |(p, _)| (EntityId(e as u16), PropertyId(p as u16)))
        });
        let named: Vec<_> = all.filter(|(e, p)| self.path(*e, *p) == path).collect();
        match named.as_slice() {
            [(entity, property)] => self.found(*entity, *property, Some(text)),
            _ => Err(self.not_open(path)),
        }
    }

    /// Takes a finding; without a text, that it was asked for and nobody knows.
    ///
    /// # Errors
    /// A value that the knowledge settles, one that it rules out, or text that is no such value.
    pub fn found(&mut self, entity: EntityId, property: PropertyId, text: Option<&str>) -> Result<(), Mistake> {
        let path = self.path(entity, property);
        let written = self.model.entities.get(entity.index()).and_then(|e| e.facts.get(&property)).map(|f| &f.value);
        let open = hidden_domain(written.unwrap_or(&Value::Unknown), property, self.model);
        let (Some(open), Some(ty)) = (open, self.type_of(property)) else {
            let mistake = Mistake::new("finding::settled", format!("`{path}` does not differ from item to item"));
            return Err(mistake.help("a shop's own value belongs in its folder, with how it was measured"));
        };
        let words = text.unwrap_or("unknown").trim();
        let domain = match text {
            None => open.clone(),
            Some(text) => self.value_found(ty, text.trim())?,
        };
        if open.and(&domain).is_empty() {
            let ends = match (&open, ty) {
                (Domain::Number { low, high }, AttributeType::Quantity(d)) => {
                    self.model.dim(d).map(|d| format!(": from {} to {}", d.write(*low), d.write(*high)))
                }
                _ => None,
            };
            let message = format!("`{path}` cannot be `{words}` as far as is known{}", ends.unwrap_or_default());
            let help = "a value beyond belongs in the shop's own folder, with how it was measured";
            return Err(Mistake::new("finding::beyond", message).help(help));
        }
        if let Some(earlier) = self.stated.findings.iter().find(|f| (f.entity, f.property) == (entity, property)) {
            if earlier.domain == domain {
                return Ok(());
            }
            let message = format!("`{}` and `{words}` are both given for `{path}`", earlier.words);
            return Err(Mistake::new("finding::twice", message).help("which of the two is it? Say one of them"));
        }
        self.stated.findings.push(Finding { entity, property, domain, words: words.to_owned() });
        Ok(())
    }

    fn value_found(&self, ty: AttributeType, text: &str) -> Result<Domain, Mistake> {
        Ok(match ty {
            AttributeType::Quantity(dimension) => {
                let steps = read_quantity(text, dimension, self.model)
                    .map_err(|(message, help)| Mistake::new("finding::no-value", message).help(help))?;
                Domain::Number { low: steps, high: steps }
            }
            AttributeType::Choice(kind) => Domain::Choice(Mask::one(self.member_found(kind, text)?)),
            AttributeType::Set(kind) => {
                let mut named = Mask::EMPTY;
                for name in text.split(',').map(str::trim).filter(|n| !matches!(*n, "" | "none")) {
                    named.insert(self.member_found(kind, name)?);
                }
                Domain::Set { must: named, may: named }
            }
            _ => match folded(text).as_str() {
                "yes" => Domain::YesNo { yes: true, no: false },
                "no" | "not" => Domain::YesNo { yes: false, no: true },
                _ => {
                    let message = format!("`{text}` is neither yes nor no");
                    return Err(Mistake::new("finding::no-value", message).help("say yes or no"));
                }
            },
        })
    }

    fn member_found(&self, kind: KindId, text: &str) -> Result<usize, Mistake> {
        self.member(kind, text).map_err(|m| Mistake { code: "finding::no-value", ..m })
    }

    fn type_of(&self, property: PropertyId) -> Option<AttributeType> {
        self.model.properties.get(property.index())?.ty.of_attribute()
    }

    /// Its name in answers and JSON jobs.
    fn path(&self, entity: EntityId, property: PropertyId) -> String {
        let entity = self.model.entities.get(entity.index()).map_or("", |e| e.id.as_str());
        let property = self.model.properties.get(property.index()).map_or("", |p| p.name.as_str());
        format!("{entity}.{property}")
    }

    fn not_open(&self, text: &str) -> Mistake {
        let mistake = Mistake::new("finding::unknown", format!("`{text}` names no value that can be found out"));
        mistake.help("name the thing, then the property as answers ask for it: leather heat limit 130 °C")
    }
}
