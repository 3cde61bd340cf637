//! A question with a change made: what takes the place of what was said before.

use super::loose::found;
use super::parse::{Change, Pieces, Token, TokenKind, parse_phrase, written};
use super::phrase::{PhraseReader, kinds_of};
use super::tokens::TIMES;
use crate::diagnostic::Problem;
use crate::model::{Attribute, AttributeId, AttributeType, Model};
use crate::names::Names;
use crate::resolve::Resolver;
use crate::words::folded;

/// A question about one job with a change made: an ink takes the place of the inks, all else what was said of the same.
/// Also how the change was taken, where it can be taken otherwise.
///
/// # Errors
/// Words of the change that are not understood.
pub fn changed(
    last: &Pieces,
    change: &Change,
    model: &Model,
    names: &Names,
) -> Result<(Pieces, Option<String>), Vec<Problem>> {
    let (Some(words), None) = (&change.stack, &change.cloth) else { return Ok((last.changed(change), None)) };
    let read = |text: &str| parse_phrase(text).map_err(|p| vec![p]);
    // Several layers are inks, whatever they are called.
    let Ok(tokens) = parse_phrase(words) else { return Ok((last.changed(change), None)) };
    let resolver = Resolver::new(model, names, 1);
    let of = |part: &str, material: bool| {
        kinds_of(&resolver.attributes(|a| a.phrase.as_deref() == Some(part) && a.material == material))
    };
    // `same but 140 °C`: a setting that needs no word before it is one here as well.
    if let Some(word) = bare_setting(&tokens, &resolver) {
        let mut clauses = vec![format!("{word} {}", words.trim())];
        clauses.extend(change.clauses.iter().cloned());
        return Ok((last.changed(&Change { stack: None, cloth: None, clauses }), None));
    }
    if !found(&of("ink", true), &of("fabric", false), &tokens, names).is_empty() {
        let mut pieces = last.changed(change);
        // The colour of a single layer stays.
        if let (Ok(old), Ok(new)) = (parse_phrase(&last.stack), parse_phrase(words))
            && let Ok((stack, _)) = replaced(&old, &new, "ink", model, names)
        {
            pieces.stack = stack;
        }
        return Ok((pieces, None));
    }
    // What is said of the ink or print is the layer's, all else the cloth's.
    let printed =
        |t: &&Token| model.attributes.iter().any(|a| a.material && a.speech.called.contains(&folded(&t.text)));
    let of_print = tokens.iter().any(|t| printed(&t));
    let (part, old) = if of_print { ("ink", &last.stack) } else { ("fabric", &last.cloth) };
    let own: Vec<Token> = tokens.iter().filter(|t| !printed(t)).cloned().collect();
    let (new, said) = replaced(&read(old)?, &own, part, model, names)?;
    let mut pieces = last.changed(&Change { stack: None, ..change.clone() });
    *(if of_print { &mut pieces.stack } else { &mut pieces.cloth }) = new;
    // A colour may be that of either.
    let shared = |id: &AttributeId| {
        let kind = id.of(model).and_then(|a| a.ty.members());
        let both = |a: &&Attribute| a.phrase.is_some() && a.ty.members() == kind;
        kind.is_some() && model.attributes.iter().filter(both).count() > 1
    };
    let note = (said.iter().any(shared) && !of_print)
        .then(|| format!("{words} was taken for the cloth; for the print say: same but {words} ink"));
    Ok((pieces, note))
}

/// The word that begins a clause of this quantity, where the quantity alone can be nothing else.
fn bare_setting<'m>(tokens: &[Token], resolver: &Resolver<'m>) -> Option<&'m str> {
    let number = tokens.first().filter(|t| t.kind == TokenKind::Number)?;
    let unit = written(tokens.get(1..).filter(|rest| !rest.is_empty())?);
    resolver.attributes(|a| a.speech.bare_from.is_some()).into_iter().find_map(|(id, attribute)| {
        let steps = resolver.quantity(id, &format!("{} {unit}", number.text)).ok()?;
        attribute.speech.bare_from.is_some_and(|from| steps >= from).then_some(attribute.clause.as_deref()?)
    })
}

/// A phrase with what a second one says in the place of what it said of the same: `navy` in `white cotton tee`.
///
/// # Errors
/// Words of the second that are not understood.
fn replaced(
    old: &[Token],
    new: &[Token],
    part: &str,
    model: &Model,
    names: &Names,
) -> Result<(String, Vec<AttributeId>), Vec<Problem>> {
    let read = |tokens: &[Token]| {
        let mut reader = PhraseReader::new(Resolver::new(model, names, 1));
        let places = reader.resolver.attributes(|a| a.phrase.as_deref() == Some(part));
        reader.read(&places, "word", tokens);
        reader.finish_blend(tokens, 0);
        // A shade stands for the colour that it is a shade of.
        let root = |id: AttributeId| id.of(model).and_then(|a| a.follows).map_or(id, |f| f.0);
        let said: Vec<(AttributeId, String)> =
            reader.resolver.stated.statements.iter().map(|s| (root(s.attribute), s.words.clone())).collect();
        (said, reader.problems)
    };
    let (said, problems) = read(new);
    if !problems.is_empty() {
        return Err(problems);
    }
    let mut kept: Vec<Token> = old.to_vec();
    for (id, words) in read(old).0 {
        if !said.iter().any(|(own, _)| *own == id) {
            continue;
        }
        let words: Vec<&str> = words.split([' ', ',']).filter(|w| !w.is_empty()).collect();
        // Where they stand together they are meant: the 100 of `100 pieces` is not that of `100%`.
        let together = kept.windows(words.len().max(1)).position(|run| run.iter().map(|t| &t.text).eq(&words));
        match together {
            Some(at) => drop(kept.drain(at..at + words.len())),
            None => {
                for word in words {
                    if let Some(at) = kept.iter().position(|t| t.text == word) {
                        kept.remove(at);
                    }
                }
            }
        }
        if id.of(model).is_some_and(|a| a.speech.times.is_some()) {
            kept.retain(|t| !(t.kind == TokenKind::Sign && TIMES.contains(&t.text.to_lowercase().as_str())));
        }
        if id.of(model).is_some_and(|a| matches!(a.ty, AttributeType::Blend(_))) {
            kept.retain(|t| t.kind != TokenKind::Sign);
        }
    }
    // A colour stands before its ink, an article after what is said of it.
    let material = said.iter().any(|s| s.0.of(model).is_some_and(|a| a.material));
    let (first, then) = if material { (kept.as_slice(), new) } else { (new, kept.as_slice()) };
    let words: Vec<Token> = first.iter().chain(then).cloned().collect();
    Ok((written(&words), said.into_iter().map(|s| s.0).collect()))
}
