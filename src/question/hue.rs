//! Whose a colour is, where it stands before neither cloth nor ink: the print's, by the words beside it.

use super::loose::{found, print_beside};
use super::parse::{Coat, Order, Token, TokenKind, written};
use super::phrase::{Places, kinds_of};
use super::tokens::{Runs, span_of, text_of, words_from};
use crate::diagnostic::Problem;
use crate::model::{KindId, Model};
use crate::names::Names;
use crate::resolve::Resolver;
use crate::words::folded;

/// How many words from here speak of the print: `logo`, `left chest`, `1 colour`.
pub(super) fn of_print(tokens: &[Token], at: usize, materials: &Places<'_>) -> usize {
    let Some(token) = tokens.get(at).map(|t| folded(&t.text)) else { return 0 };
    let numbered = Runs::numbered(tokens, at).length(materials.iter().flat_map(|m| &m.1.speech.of_print));
    numbered.max(usize::from(materials.iter().any(|m| m.1.speech.called.contains(&token))))
}

/// Whether a word only leads to a colour: `in white`.
pub(super) fn leads_to_hue(token: &Token) -> bool {
    token.kind == TokenKind::Filler || folded(&token.text) == "in"
}

/// Whether words that speak of the print end at a place.
pub(super) fn of_print_before(tokens: &[Token], end: usize, materials: &Places<'_>) -> bool {
    (0..end).any(|from| of_print(tokens, from, materials) == end - from)
}

/// The colour of the print, taken out of the words.
pub(super) struct Printed {
    pub(super) colour: Vec<Token>,
    /// It may be of the cloth as well.
    pub(super) open: bool,
}

/// The colour of the print where it does not stand before the ink but beside words for the print itself: `white print,
/// plastisol`, `print in white, plastisol`, `1 colour white left chest, plastisol`; taken out of the words.
///
/// # Errors
/// It is not the colour of the ink.
pub(super) fn colour_of_print(
    tokens: &mut Vec<Token>,
    (materials, others, cloths): (&Places<'_>, &Places<'_>, &Places<'_>),
    names: &Names,
) -> Result<Option<Printed>, Problem> {
    let hues = kinds_of(others);
    let things: Vec<KindId> = kinds_of(cloths).into_iter().filter(|k| !hues.contains(k)).collect();
    let inks = found(&kinds_of(materials), &kinds_of(cloths), tokens, names);
    if inks.len() > 1 {
        return Ok(None);
    }
    let ink = inks.first();
    let inside = |at: usize| ink.is_some_and(|i| (i.0..i.0 + i.1).contains(&at));
    let speaks = |at: usize| if inside(at) { 0 } else { of_print(tokens, at, materials) };
    let text = |at: usize| tokens.get(at).map(|t| folded(&t.text)).unwrap_or_default();
    let called = |at: usize| materials.iter().any(|m| m.1.speech.called.contains(&text(at)));
    let hue_words = || others.iter().flat_map(|o| &o.1.speech.called);
    let ends = |at: &usize| {
        tokens.get(*at).is_some_and(|t| t.kind == TokenKind::Mark && !matches!(t.text.as_str(), ":" | "="))
    };
    let of_cloth = |at: usize| {
        let number = tokens.get(at).is_some_and(|t| t.kind == TokenKind::Number);
        number || names.longest(&things, &words_from(tokens, at)).is_some()
    };
    let colours = found(&hues, &[], tokens, names);
    let own = colours.iter().find(|c| ink.is_some_and(|i| c.0 + c.1 == i.0)).copied();
    // From mark to mark.
    let bounds = |c: &(usize, usize)| {
        let from = (0..c.0).rev().find(ends).map_or(0, |i| i + 1);
        (from, (c.0..tokens.len()).find(ends).unwrap_or(tokens.len()))
    };
    // Right before a word for the print, right behind such words, or between marks with them and nothing of the cloth.
    let before = |c: &(usize, usize)| called(c.0 + c.1) && speaks(c.0 + c.1) > 0;
    let behind = |c: &(usize, usize)| {
        let idle = |i: usize| {
            let filler =
                tokens.get(i).is_some_and(|t| t.kind == TokenKind::Filler || matches!(t.text.as_str(), ":" | "="));
            filler || text(i) == "in" || hue_words().any(|w| *w == text(i))
        };
        let end = (0..c.0).rev().find(|i| !idle(*i)).map_or(0, |i| i + 1);
        (0..end).any(|i| speaks(i) > 0 && i + speaks(i) == end) && !of_cloth(c.0 + c.1)
    };
    // `plastisol white 1 colour`
    let after = |c: &(usize, usize)| ink.is_some_and(|i| i.0 + i.1 == c.0) && speaks(c.0 + c.1) > 0;
    let apart = |c: &(usize, usize)| {
        let (from, to) = bounds(c);
        let run = tokens.get(from..to).unwrap_or_default();
        found(&things, &[], run, names).is_empty() && (from..to).any(|i| speaks(i) > 0)
    };
    let goods_within = |run: &[Token]| !found(&things, &[], run, names).is_empty();
    // `indigo jackets, white, 30 x 30 cm, plastisol`: one by itself, where the goods have another; `tee - black - cotton -
    // discharge - white`.
    let lone = |c: &(usize, usize)| {
        let of_goods = |other: &(usize, usize)| {
            let (from, to) = bounds(other);
            let inked = ink.is_some_and(|i| (from..to).contains(&i.0));
            let listed =
                ink.is_some_and(|i| other.0 < i.0 && c.0 > i.0 && goods_within(tokens.get(..i.0).unwrap_or_default()));
            !inked && (listed || goods_within(tokens.get(from..to).unwrap_or_default()))
        };
        ink.is_some_and(|i| c.0 < i.0 || c.0 > i.0 + i.1)
            && own.is_none()
            && bounds(c) == (c.0, c.0 + c.1)
            && colours.len() == 2
            && colours.iter().any(|other| other != c && of_goods(other))
    };
    // `logo on back in white`: where it lies was said between two marks that nobody may have typed.
    let continued = |c: &(usize, usize)| {
        let (from, to) = bounds(c);
        let lead = tokens.get(from..c.0).unwrap_or_default();
        let alone = c.0 + c.1 == to && lead.iter().all(leads_to_hue);
        let end = (0..from).rev().find(|i| !ends(i)).map_or(0, |i| i + 1);
        alone && (0..end).any(|i| speaks(i) > 0 && i + speaks(i) == end)
    };
    let printed =
        |c: &&(usize, usize)| Some(**c) != own && (before(c) || behind(c) || apart(c) || after(c) || continued(c));
    // `camo print poly tees, white logo`: what stands with the goods may be theirs.
    let by_itself = colours.iter().filter(printed).find(|c| apart(c));
    let printed = by_itself.or_else(|| colours.iter().find(printed)).or_else(|| colours.iter().find(|c| lone(c)));
    // `polyester jerseys, plastisol, white`
    let last = |c: &&(usize, usize)| {
        let Some(end) = ink.map(|i| i.0 + i.1).filter(|end| *end < c.0) else { return false };
        let between = tokens.get(end..c.0).unwrap_or_default();
        bounds(c) == (c.0, c.0 + c.1)
            && between.iter().all(|t| t.kind == TokenKind::Mark)
            && goods_within(tokens.get(..end).unwrap_or_default())
            && !goods_within(tokens.get(c.0 + c.1..).unwrap_or_default())
    };
    let open = colours.first().filter(|c| printed.is_none() && colours.len() == 1 && last(c));
    // `camiseta roja logo blanco poliéster plastisol`: behind goods and colour the word for the print leads to its own.
    let framed = |c: &&(usize, usize)| {
        let (from, _) = bounds(c);
        let leads = |a: &(usize, usize)| {
            // `natural bag screen print 1 colour red`: as many such words as there are.
            let mut end = a.0 + a.1;
            while end < c.0 && speaks(end) > 0 {
                end += speaks(end);
            }
            end > a.0 + a.1 && end == c.0 && from <= a.0 && { goods_within(tokens.get(from..a.0).unwrap_or_default()) }
        };
        colours.len() == 2 && Some(**c) != own && colours.iter().any(leads)
    };
    let framed = colours.iter().find(framed);
    let (printed, open) = if framed.is_some() { (None, framed) } else { (printed, open) };
    let Some((at, count)) = printed.or(open).copied() else { return Ok(None) };
    // `polyester tees black screen print plastisol`: black print, or black tees.
    let between = |c: &(usize, usize)| {
        colours.len() == 1 && before(c) && goods_within(tokens.get(bounds(c).0..c.0).unwrap_or_default())
    };
    let open = open.is_some() || between(&(at, count));
    // `polyester polos navy logo white plastisol`, `polyester tees red print plastisol white`: the colour at the ink is that
    // of the print, and the one between goods and print that of the goods.
    let before_it = tokens.get(bounds(&(at, count)).0..at).unwrap_or_default();
    let led = |end: usize, to: usize| tokens.get(end..to).is_some_and(|own| own.iter().all(leads_to_hue));
    let at_ink = |c: &(usize, usize)| {
        c.0 > at && ink.is_some_and(|i| c.0 + c.1 == i.0 || led(i.0 + i.1, c.0) && !of_cloth(c.0 + c.1))
    };
    if goods_within(before_it) && colours.iter().any(at_ink) {
        return Ok(None);
    }
    // `hoodies maroon plastisol white print`: what stands between cloth and ink is of the cloth.
    let of_goods = |own: &(usize, usize)| {
        let from = (0..own.0).rev().find(ends).map_or(0, |i| i + 1);
        let run = tokens.get(from..own.0).unwrap_or_default();
        colours.len() == 2 && !found(&things, &[], run, names).is_empty()
    };
    if let Some(own) = own.filter(|own| !of_goods(own)) {
        let (said, inked) = (text_of(tokens, at, count), text_of(tokens, own.0, own.1));
        let member = |text: &str| hues.iter().find_map(|k| Some((*k, names.find(*k, text)?)));
        if member(&said) == member(&inked) {
            tokens.drain(at..at + count);
            return Ok(None);
        }
        let span = span_of(tokens, at, count);
        return Err(Problem::new(
            "question::two-colours",
            span,
            "here",
            format!("`{said}` and `{inked}` are two prints"),
        )
        .help("say each by itself, such as: red plastisol and white plastisol on black cotton tee"));
    }
    let word = before(&(at, count));
    let colour = tokens.drain(at..at + count).collect();
    if word {
        tokens.remove(at);
    }
    Ok(Some(Printed { colour, open }))
}

/// `plastisol on polyester tee, white print`: a colour with words for the print is that of the ink on top, if it has none.
pub(super) fn hue_of_print(order: &mut Order, model: &Model, names: &Names) {
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let (materials, others): (Vec<_>, Vec<_>) = places.into_iter().partition(|p| p.1.material);
    let cloths = resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    let hued = |coat: &Coat| !found(&kinds_of(&others), &[], &coat.ink, names).is_empty();
    if order.stack.first().is_none_or(|coat| coat.asked_for || hued(coat)) {
        return;
    }
    print_beside(order, (&kinds_of(&others), &materials), model, names);
    let Some(coat) = order.stack.first_mut() else { return };
    if found(&kinds_of(&materials), &kinds_of(&cloths), &order.cloth, names).is_empty()
        && let Ok(Some(printed)) = colour_of_print(&mut order.cloth, (&materials, &others, &cloths), names)
    {
        coat.ink.extend(printed.colour);
    }
}

/// `plastisol on black leggings, white`: where the cloth has its colour, one by itself behind it is that of the print;
/// with how it was taken. Where the cloth has none, one behind a mark is taken as the cloth's.
pub(super) fn hue_behind_cloth(order: &mut Order, model: &Model, names: &Names) -> Option<String> {
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let (materials, others): (Vec<_>, Vec<_>) = places.into_iter().partition(|p| p.1.material);
    let (inks, hues) = (kinds_of(&materials), kinds_of(&others));
    let cloths = resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    let things: Vec<KindId> = kinds_of(&cloths).into_iter().filter(|k| !hues.contains(k)).collect();
    let ([coat], []) = (order.stack.as_mut_slice(), order.above.as_slice()) else { return None };
    if coat.asked_for
        || found(&inks, &[], &coat.ink, names).len() != 1
        || !found(&hues, &[], &coat.ink, names).is_empty()
    {
        return None;
    }
    let end = order.cloth.iter().rposition(|t| t.kind != TokenKind::Mark)? + 1;
    let colours = found(&hues, &[], &order.cloth, names);
    if let [only] = colours.as_slice() {
        let mark = only.0.checked_sub(1).and_then(|i| order.cloth.get(i)).is_some_and(|t| t.kind == TokenKind::Mark);
        let (colour, ink) = (text_of(&order.cloth, only.0, only.1), written(&coat.ink));
        return (mark && only.0 + only.1 == end).then(|| {
            format!("{colour} was taken as the colour of the cloth; if the print is {colour}, say: {colour} {ink} on …")
        });
    }
    let [cloth, print] = colours.as_slice() else { return None };
    // `…, white print`
    let called = |t: &Token| materials.iter().any(|m| m.1.speech.called.contains(&folded(&t.text)));
    let ends = |c: &(usize, usize)| c.0 + c.1 + usize::from(order.cloth.get(c.0 + c.1).is_some_and(called));
    let alone = |c: &(usize, usize)| {
        let mark = |at: Option<usize>| at.and_then(|i| order.cloth.get(i)).is_none_or(|t| t.kind == TokenKind::Mark);
        mark(c.0.checked_sub(1)) && mark(Some(ends(c)))
    };
    // `plastisol on red tee white`
    let behind_goods = || names.longest(&things, &words_from(&order.cloth, print.0 - 1)).is_some_and(|n| n.2 == 1);
    if alone(cloth) || !(alone(print) || print.0 > cloth.0 + cloth.1 && behind_goods()) || ends(print) != end {
        return None;
    }
    let (colour, ink) = (text_of(&order.cloth, print.0, print.1), written(&coat.ink));
    let said: Vec<Token> = order.cloth.drain(print.0..end).collect();
    coat.ink.extend(said.into_iter().take(print.1));
    Some(format!(
        "{colour} was taken as the colour of the print; if it is a second cloth, ask by itself: {ink} on {colour} …"
    ))
}
