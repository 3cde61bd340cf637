//! An answer to a question that was asked about one attribute: a name, a quantity, a composition, yes or no.

use super::parse::parse_phrase;
use super::phrase::resolve_composition;
use super::shares::problem;
use crate::diagnostic::Problem;
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model};
use crate::names::Names;
use crate::resolve::{Mistake, Resolver};
use crate::source::Span;
use crate::statement::{Place, Stated, Statement};
use crate::words::folded;

/// Asked, and not known: everything is still possible.
const UNKNOWN: [&str; 4] = ["unknown", "not known", "don't know", "no idea"];

fn is_unknown(text: &str) -> bool {
    UNKNOWN.iter().any(|u| folded(u) == folded(text))
}

/// What words say of something that was asked for.
///
/// # Errors
/// Words that name none of its values, with the nearest that are known.
pub fn answered(model: &Model, names: &Names, place: Place, text: &str) -> Result<Stated, Vec<Problem>> {
    let span = Span { file: 0, start: 0, end: text.len() as u32 };
    let wrong = |m: Mistake| vec![problem(m, span)];
    let (id, layer) = match place {
        Place::Attribute(id, layer) => (id, layer),
        Place::Value(entity, property) => {
            let mut resolver = Resolver::new(model, names, 1);
            let unknown = is_unknown(text);
            resolver.found(entity, property, if unknown { None } else { Some(text) }).map_err(wrong)?;
            return Ok(resolver.stated);
        }
    };
    let mut resolver = Resolver::new(model, names, layer + 1);
    let Some(attribute) = resolver.attribute(id) else { return Ok(Stated::default()) };
    let domain = match attribute.ty {
        _ if is_unknown(text) => Domain::everything(attribute.ty, model),
        AttributeType::Choice(_) if text.starts_with('#') => {
            resolver.hex(id, layer, text).map_err(wrong)?;
            return Ok(resolver.stated);
        }
        AttributeType::Choice(kind) => {
            let member = resolver.member(kind, text).map_err(wrong)?;
            resolver.meant(kind, member, text)
        }
        AttributeType::YesNo => yes_or_no(attribute, text).map_err(wrong)?,
        AttributeType::Set(kind) => several(&resolver, id, kind, text).map_err(wrong)?,
        AttributeType::Blend(_) => {
            let tokens = parse_phrase(text).map_err(|p| vec![p])?;
            resolve_composition(&tokens, id, &resolver)?
        }
        AttributeType::Quantity(_) | AttributeType::Setting(_) => {
            let (low, high) = resolver.ends(id, text).map_err(wrong)?;
            Domain::Number { low, high }
        }
        AttributeType::Amounts(_) => {
            let mistake = Mistake::new("question::syntax", "this cannot be answered in one line");
            return Err(wrong(mistake.help("say it in the question itself")));
        }
    };
    Ok(Statement { attribute: id, layer, domain, words: text.to_owned() }.into())
}

fn yes_or_no(attribute: &Attribute, text: &str) -> Result<Domain, Mistake> {
    let (yes, no) = (&attribute.words.0, &attribute.words.1);
    let said = folded(text);
    let among = |list: &[String], plain: &str| said == plain || list.iter().any(|w| folded(w) == said);
    match (among(yes, "yes"), among(no, "no")) {
        (true, false) => Ok(Domain::YesNo { yes: true, no: false }),
        (false, true) => Ok(Domain::YesNo { yes: false, no: true }),
        _ => Err(Mistake::new("question::syntax", format!("`{text}` is neither yes nor no")).help("say yes or no")),
    }
}

/// None, or names with commas or `and` between them.
fn several(resolver: &Resolver<'_>, id: AttributeId, kind: KindId, text: &str) -> Result<Domain, Mistake> {
    let said = folded(text);
    let none = resolver.attribute(id).is_some_and(|a| a.speech.none.contains(&said));
    if none || matches!(said.as_str(), "none" | "no" | "nothing") {
        return Ok(Domain::Set { must: Mask::EMPTY, may: Mask::EMPTY });
    }
    let mut named = Mask::EMPTY;
    for name in text.split(',').flat_map(|part| part.split(" and ")).map(str::trim).filter(|n| !n.is_empty()) {
        named.insert(resolver.member(kind, name)?);
    }
    Ok(resolver.listed(id, named))
}
