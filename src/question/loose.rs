//! Ink and cloth in any order, as on an order form: which words belong to the ink.

use super::apart::{gather_apart, gather_within, names_additive};
use super::bases::stirred_in;
use super::hue::{colour_of_print, hue_behind_cloth, hue_of_print, leads_to_hue, of_print, of_print_before};
use super::naming::{gathered, parted_words};
use super::parse::{Clause, Coat, Order, Token, TokenKind, written};
use super::phrase::{Places, kinds_of};
use super::tokens::{Runs, span_of, text_of, words_from};
use crate::diagnostic::{Problem, one_of};
use crate::model::{AttributeType, KindId, Model};
use crate::names::Names;
use crate::resolve::Resolver;
use crate::source::Span;
use crate::words::folded;

/// An order whose ink was found among its words, and how that was taken where it could be taken otherwise.
#[derive(Debug, Clone)]
pub struct Untangled {
    /// The order.
    pub order: Order,
    /// What was taken how, and how to say the other.
    pub notes: Vec<String>,
    /// Which of the clauses that begin with `for` was taken for the cloth.
    pub cloth_behind_for: Option<usize>,
    /// The order with its colours taken the other way, where that is as likely, and where they stand.
    pub other_way: Option<(Order, Span)>,
}

/// An order whose print has the colour of its cloth, and the other way round.
fn other_way(order: &Order, hues: &[KindId], names: &Names) -> Option<Order> {
    let mut own = order.clone();
    let coat = own.stack.first_mut()?;
    let take = |tokens: &mut Vec<Token>| -> Vec<Token> {
        let colour = found(hues, &[], tokens, names).first().copied();
        colour.map(|(at, count)| tokens.drain(at..at + count).collect()).unwrap_or_default()
    };
    let (printed, of_cloth) = (take(&mut coat.ink), take(&mut own.cloth));
    if printed == of_cloth {
        return None;
    }
    coat.ink.splice(0..0, of_cloth);
    own.cloth.splice(0..0, printed);
    Some(own)
}

/// Finds the ink among words of ink and cloth, with the colour right before it.
///
/// # Errors
/// No ink, several inks, or nothing but an ink.
pub fn untangle(order: Order, model: &Model, names: &Names) -> Result<Untangled, Problem> {
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let materials: Vec<_> = places.iter().filter(|p| p.1.material).copied().collect();
    let others: Vec<_> = places.iter().filter(|p| !p.1.material).copied().collect();
    let cloths = resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    // `plastisol for bibs`: what it is for is the cloth.
    let mut order = order;
    order.cloth = parted_words(&order.cloth, &cloths, model, names);
    let stirred = kinds_of(&resolver.attributes(|a| matches!(a.ty, AttributeType::Amounts(_))));
    let hues = kinds_of(&others);
    goes_on(&mut order, &kinds_of(&materials), &[kinds_of(&cloths), stirred.clone()].concat(), false, model, names);
    // A colour is no cloth: `white plastisol for black tees`. A finish may be denied, or be said with the ink's additives.
    let goods: Vec<_> = cloths.iter().filter(|c| !matches!(c.1.ty, AttributeType::Set(_))).copied().collect();
    let goods: Vec<KindId> = kinds_of(&goods).into_iter().filter(|k| !hues.contains(k)).collect();
    let mut cloth_behind_for = None;
    if let Some(at) =
        order.clauses.iter().position(|c| matches!(c, Clause::Quantity("for", t) if names_cloth(t, &cloths, names)))
        && found(&goods, &kinds_of(&materials), &order.cloth, names).is_empty()
        && let Clause::Quantity(_, tokens) = order.clauses.remove(at)
    {
        let before = order.clauses.iter().take(at);
        cloth_behind_for = Some(before.filter(|c| matches!(c, Clause::Quantity("for", _))).count());
        // `plastisol white for royal blue hoodies`
        order.cloth.push(Token::comma());
        order.cloth.extend(tokens);
    }
    goes_on(&mut order, &goods, &[kinds_of(&materials), stirred].concat(), true, model, names);
    if found(&kinds_of(&materials), &kinds_of(&cloths), &order.cloth, names).is_empty() {
        said_with_cloth(&mut order, &materials, model, names);
    }
    stirred_in(&mut order, model, names);
    sieved(&mut order, (&materials, &others), model, names);
    gather_within(&mut order.cloth, &kinds_of(&cloths), model, names);
    order.cloth = gathered(&order.cloth, model, names);
    let printed = colour_of_print(&mut order.cloth, (&materials, &others, &cloths), names)?;
    let tokens = &order.cloth;
    let mut inks = found(&kinds_of(&materials), &kinds_of(&cloths), tokens, names);
    // `cotton white, black plastisol`: beside another ink it is the cloth and its colour.
    let cloth_and_hue = |(at, count): (usize, usize)| {
        let own = tokens.get(at..at + count).unwrap_or_default();
        let cloth = names.longest(&kinds_of(&cloths), &words_from(own, 0)).map_or(0, |n| n.2);
        let hue = names.longest(&kinds_of(&others), &words_from(own, cloth)).map_or(0, |n| n.2);
        cloth > 0 && hue > 0 && cloth + hue == count
    };
    if inks.len() == 2 && inks.iter().filter(|i| cloth_and_hue(**i)).count() == 1 {
        inks.retain(|i| !cloth_and_hue(*i));
    }
    let whole = span_of(tokens, 0, tokens.len().max(1));
    let (from, count) = match inks.as_slice() {
        [one] => *one,
        [] => {
            let text = text_of(tokens, 0, tokens.len());
            // `navy cotton tee, white transfer`: it is asked which ink is meant.
            let unclear = |at: usize| {
                let runs = Runs::of(tokens, at);
                let words = materials.iter().filter_map(|m| runs.find(&m.1.speech.unclear));
                words.max_by_key(|w| w.1).map(|(says, count)| (at, count, says))
            };
            if let Some((at, count, says)) = (0..tokens.len()).find_map(unclear) {
                let message = format!("`{}` can mean several things", text_of(tokens, at, count));
                let problem = Problem::new("question::unclear", span_of(tokens, at, count), "here", message);
                return Err(problem.meaning(says));
            }
            // `black tee, white platisol`: a word that nothing here knows may be the ink, mistyped.
            let all: Vec<KindId> = (0..model.kinds.len()).map(|i| KindId(i as u16)).collect();
            let unknown = |t: &&Token| {
                let heard = cloths.iter().any(|c| {
                    let says = c.1.speech.idle.iter().chain(&c.1.speech.called);
                    says.chain(&c.1.words.0).chain(&c.1.words.1).any(|w| *w == folded(&t.text))
                });
                let long = t.kind == TokenKind::Word && t.text.chars().count() > 4;
                long && !heard && names.longest(&all, &[t.text.as_str()]).is_none()
            };
            let near = |t: &Token| {
                Some((t.clone(), names.nearest(&kinds_of(&materials), &t.text)))
                    .filter(|n| n.1.first().is_some_and(|n| !n.contains(' ')))
            };
            if let Some((word, near)) = tokens.iter().filter(unknown).find_map(near) {
                let near: Vec<&str> = near.iter().map(String::as_str).collect();
                let message = format!("`{}` is not understood", word.text);
                let problem = Problem::new("question::no-ink", word.span, "no ink is named here", message);
                return Err(problem.help(format!("did you mean {}?", one_of(&near))));
            }
            return Err(Problem::new("question::no-ink", whole, "no ink is named here", "this is no question that is known")
                .help(format!("name an ink and a cloth: plastisol on black polyester, or ask: which inks go on {text}; `help` at the prompt shows every form")));
        }
        [first, second, ..] => {
            let (a, b) = (text_of(tokens, first.0, first.1), text_of(tokens, second.0, second.1));
            let message = format!("`{a}` and `{b}` are two inks");
            let either = if inks.len() == 2 {
                either_order(tokens, (*first, *second), (&materials, &hues), names)
            } else {
                None
            };
            let (span, readings) =
                either.unwrap_or_else(|| (span_of(tokens, first.0, second.0 + second.1 - first.0), Vec::new()));
            let mut problem = Problem::new("question::several-inks", span, "two inks", message).help(format!(
                "for one over the other say `{b} over {a} on …` or `{a} over {b} on …`, the one on top first; to choose say `compare {a} and {b} on …`"
            ));
            problem.readings = readings;
            return Err(problem);
        }
    };
    let (from, count, parted) = parted(tokens, (from, count), (&materials, &others, &cloths), names);
    let ink = text_of(tokens, from, count);
    // A colour right before the ink is the ink's.
    let colours = found(&kinds_of(&others), &[], tokens, names);
    let own = colours.iter().find(|c| c.0 + c.1 == from).copied();
    // `navy one colour plastisol`: a count may stand between.
    let counts: Vec<&String> = model.attributes.iter().flat_map(|a| &a.speech.counted).collect();
    let counted = |c: &&(usize, usize)| {
        let between = tokens.get(c.0 + c.1..from).unwrap_or_default();
        matches!(between, [number, word] if number.kind != TokenKind::Mark && word.kind == TokenKind::Word
            && counts.contains(&&folded(&word.text)) && names.longest(&kinds_of(&cloths), &[number.text.as_str()]).is_none())
    };
    let own = own.or_else(|| colours.iter().find(counted).copied());
    let idle = |at: usize| match tokens.get(at).map(|t| t.kind) {
        Some(TokenKind::Filler) => 1,
        _ => {
            let runs = Runs::of(tokens, at);
            cloths.iter().map(|c| runs.among(&c.1.speech.idle)).max().unwrap_or(0)
        }
    };
    // `hoodies navy 80/20, white, plastisol`, `…, numbers white, plastisol`: where the cloth has its colour, one by itself
    // before the ink is the ink's.
    let is_mark = |t: &Token| t.kind == TokenKind::Mark;
    let marked = |c: &&(usize, usize)| {
        let between = tokens.get(c.0 + c.1..from).unwrap_or_default();
        let run = tokens.get(..c.0).and_then(|before| before.iter().rposition(is_mark));
        let heard = |first: usize| first + 1 == c.0 || first + 1 + idle(first + 1) == c.0;
        colours.len() == 2 && !between.is_empty() && between.iter().all(is_mark) && run.is_some_and(heard)
    };
    let own = own.or_else(|| colours.get(1..).unwrap_or_default().iter().find(marked).copied());
    // `red and white plastisol`: two colours of one ink are two prints.
    if let Some(own) = own
        && let Some(other) = colours.iter().find(|c| c.0 + c.1 + 1 == own.0)
        && tokens.get(own.0 - 1).is_some_and(|t| matches!(folded(&t.text).as_str(), "and" | "&" | "+"))
    {
        let (a, b) = (text_of(tokens, other.0, other.1), text_of(tokens, own.0, own.1));
        let span = span_of(tokens, other.0, own.0 + own.1 - other.0);
        let problem =
            Problem::new("question::several-inks", span, "two colours", format!("`{a}` and `{b}` are two prints"));
        return Err(problem.help(format!(
            "for each by itself say `{a} and {b} {ink} on …`; for one over the other `{b} {ink} over {a} {ink} on …`; if {a} is the cloth, say `{b} {ink} on {a} …`"
        )));
    }
    // `cotton tee black plastisol white`: each colour may stand behind what it is of, or the first before its ink.
    // A number of pieces may stand behind all of it.
    let counted: Vec<&String> =
        model.attributes.iter().filter(|a| a.speech.counts.is_some()).flat_map(|a| &a.speech.counted).collect();
    let tail = |at: usize| {
        let says_more = |t: &Token| match t.kind {
            TokenKind::Mark | TokenKind::Number => false,
            _ => !counted.contains(&&folded(&t.text)),
        };
        !tokens.iter().skip(at).any(says_more)
    };
    // `… black plastisol white 1 colour`, but not `black plastisol white tee`.
    let of_nothing = |at: usize| {
        let run = tokens.iter().skip(at).take_while(|t| t.kind != TokenKind::Mark).cloned().collect::<Vec<_>>();
        found(&goods, &[], &run, names).is_empty()
    };
    // `black plastisol in white`
    let right_behind = |c: &(usize, usize)| {
        let between = tokens.get(from + count..c.0);
        between.is_some_and(|own| own.iter().all(leads_to_hue))
    };
    let ends_all = |c: &(usize, usize)| right_behind(c) && (tail(c.0 + c.1) || of_nothing(c.0 + c.1));
    let follows_cloth = |c: &(usize, usize)| {
        let before = c.0.checked_sub(1).and_then(|i| tokens.get(i));
        before.is_some_and(|t| matches!(t.kind, TokenKind::Word | TokenKind::Number | TokenKind::Sign))
    };
    let behind_all = colours.iter().find(|c| printed.is_none() && colours.len() == 2 && ends_all(c));
    let behind_all = behind_all.filter(|_| own.as_ref().is_some_and(follows_cloth));
    // In languages with colours behind what they are of, as in `tinta negra`, it is clear.
    let in_answers = |c: &(usize, usize)| {
        let named = names.longest(&kinds_of(&others), &words_from(tokens, c.0));
        let name = named.and_then(|(kind, member, _)| Some(folded(&model.member(kind, member)?.name)));
        let text = folded(&text_of(tokens, c.0, c.1));
        name.is_some_and(|name| text.split(' ').any(|word| word == name) || text == name)
    };
    if let (Some(own), Some(last)) = (own, behind_all)
        && in_answers(last)
    {
        let (a, b) = (text_of(tokens, own.0, own.1), text_of(tokens, last.0, last.1));
        let span = span_of(tokens, own.0, last.0 + last.1 - own.0);
        let problem = Problem::new(
            "question::unclear",
            span,
            "which is the print, which the cloth?",
            format!("`{a}` and `{b}` can each be the colour of the print"),
        );
        return Err(problem.help(format!(
            "say `{a} {ink} on {b} …` or `{b} {ink} on {a} …`; or put a comma where cloth and ink meet"
        )));
    }
    let own = own.filter(|_| printed.is_none() && behind_all.is_none());
    // `…, plastisol blanc`: at the end of all, or where the cloth has a colour before, it stands behind its ink.
    let last = tokens.iter().rposition(|t| t.kind != TokenKind::Mark).unwrap_or(0);
    let two = colours.len() == 2 && colours.first().is_some_and(|c| c.0 + c.1 < from);
    // `…, plastisol white, …` is said of the print alone, and so is `…, plastisol white left chest`.
    let mark = |t: Option<&Token>| t.is_none_or(|t| t.kind == TokenKind::Mark);
    let apart = mark(from.checked_sub(1).and_then(|i| tokens.get(i)));
    let alone = |mut at: usize| {
        while !mark(tokens.get(at)) {
            match idle(at) {
                0 => return false,
                more => at += more,
            }
        }
        true
    };
    let ends = |at: usize| {
        apart && alone(at)
            || two
            || at == last + 1
            || colours.len() > 1 && own.is_none() && tail(at)
            || colours.len() > 1 && tokens.get(at).is_some_and(|t| t.kind == TokenKind::Mark)
    };
    let behind = colours
        .iter()
        .find(|c| own.is_none() && printed.is_none() && right_behind(c) && ends(c.0 + c.1))
        .filter(|c| from > 0 || mark(tokens.get(c.0 + c.1)))
        .copied();
    let count = behind.map_or(count, |c| c.0 + c.1 - from);
    let own = own.or(behind);
    let start = own.map_or(from, |c| c.0.min(from));
    let inked: Vec<Token> = tokens.iter().skip(start).take(from + count - start).cloned().collect();
    // `ink: white plastisol`: the label says nothing.
    let before = tokens.iter().take(start).rev().find(|t| !matches!(t.kind, TokenKind::Mark | TokenKind::Filler));
    let label = before.filter(|t| materials.iter().any(|m| m.1.speech.called.contains(&folded(&t.text))));
    // `discharge underbase, plastisol on top`: beside its ink the word for a base says nothing more.
    let end = start + inked.len();
    let count = if order.above.is_empty() { 0 } else { called_base(tokens, end, &materials, names) };
    let based = tokens.get(end..end + count).unwrap_or(&[]);
    let rest = |t: &&Token| !inked.iter().chain(label).chain(based).any(|i| i.span == t.span);
    let cloth: Vec<Token> = tokens.iter().filter(rest).cloned().collect();
    // What is asked of two layers alone, `water-based over plastisol?`, is asked of any cloth, and so is what is stirred in.
    let of_ink = !order.above.is_empty()
        || !order.stack.is_empty()
        || order.clauses.iter().any(|c| matches!(c, Clause::With(_)));
    if !of_ink && !cloth.iter().any(|t| matches!(t.kind, TokenKind::Word | TokenKind::Number)) {
        return Err(Problem::new(
            "question::no-cloth",
            whole,
            "on which cloth?",
            format!("no cloth is named for {ink}"),
        )
        .help(format!(
            "say it with its cloth: {ink} on black polyester; or ask: which fabrics take {ink}, show {ink}"
        )));
    }
    let mut notes = Vec::new();
    if !cloth.iter().any(|t| matches!(t.kind, TokenKind::Word | TokenKind::Number)) {
        notes.push("no cloth is named: name it for what hangs on it".to_owned());
    }
    let mut unsure = None;
    let open = printed.as_ref().filter(|p| p.open).map(|p| text_of(&p.colour, 0, p.colour.len()));
    let alone = own.filter(|_| start > 0 && colours.len() == 1).map(|own| text_of(tokens, own.0, own.1));
    if let Some(colour) = open.or(alone) {
        unsure = Some(whole);
        let words = written(&cloth);
        let words = words.trim_matches([',', ';', ':', '-', ' ']);
        notes.push(format!(
            "{colour} was taken as the colour of the print; if the cloth is {colour}, say: {ink} on {colour} {words}"
        ));
    }
    if let (None, Some(next)) = (own, colours.iter().find(|c| c.0 == from + count)) {
        let colour = text_of(tokens, next.0, next.1);
        unsure = Some(span_of(tokens, next.0, next.1));
        notes.push(format!(
            "{colour} was taken as the colour of the cloth; if the print is {colour}, say: {colour} {ink} on …"
        ));
    }
    if let (Some(last), Some(own)) = (behind_all, behind) {
        let (colour, other) = (text_of(tokens, own.0, own.1), colours.iter().find(|c| *c != last));
        let other = other.map(|c| text_of(tokens, c.0, c.1)).unwrap_or_default();
        unsure = Some(whole);
        notes.push(format!("{colour} was taken as the colour of the print; if it is {other}, say: {other} {ink} on …"));
    }
    notes.extend(parted);
    // The name of an ink may begin like a cloth: cotton white.
    let words: Vec<&str> = tokens.iter().skip(from).take(count).map(|t| t.text.as_str()).collect();
    if let Some((_, _, short)) = names.longest(&kinds_of(&cloths), &words)
        && short < count
    {
        notes.push(format!(
            "{ink} was taken as the ink of that name; put a comma where ink and cloth meet, if it is otherwise"
        ));
    }
    let mut stack = std::mem::take(&mut order.above);
    let inked = printed.into_iter().flat_map(|p| p.colour).chain(inked).collect();
    stack.push(Coat { ink: inked, clauses: Vec::new(), asked_for: false });
    stack.extend(order.stack);
    let order = Order { stack, cloth, clauses: order.clauses, above: Vec::new() };
    let other_way = unsure.and_then(|span| Some((other_way(&order, &hues, names)?, span)));
    Ok(Untangled { order, notes, cloth_behind_for, other_way })
}

/// An ink whose name begins like a cloth, right behind what is said of the cloth: `black cotton white plastisol` is white
/// plastisol on black cotton. Where its ink stands, and how it was taken if it was parted.
fn parted(
    tokens: &[Token],
    (from, count): (usize, usize),
    (materials, others, cloths): (&Places<'_>, &Places<'_>, &Places<'_>),
    names: &Names,
) -> (usize, usize, Option<String>) {
    let whole = (from, count, None);
    let behind = from.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(|t| t.kind == TokenKind::Word);
    let own = tokens.get(from..from + count).unwrap_or_default();
    let Some((_, _, cloth)) = names.longest(&kinds_of(cloths), &words_from(own, 0)).filter(|n| behind && n.2 < count)
    else {
        return whole;
    };
    let rest = own.get(cloth..).unwrap_or_default();
    let hue = names.longest(&kinds_of(others), &words_from(rest, 0)).map_or(0, |n| n.2);
    let ink = names.longest(&kinds_of(materials), &words_from(rest, hue)).map_or(0, |n| n.2);
    if hue == 0 || ink == 0 || hue + ink != rest.len() {
        return whole;
    }
    let (all, cloth_words) = (text_of(own, 0, count), text_of(own, 0, cloth));
    let note =
        format!("{cloth_words} was taken for the cloth; for the ink that is called so put a comma before `{all}`");
    (from + cloth + hue, ink, Some(note))
}

/// `305 mesh glitter navy tee`: right before the ink a number of threads is of the screen, and no cloth is called so.
fn sieved(order: &mut Order, (materials, others): (&Places<'_>, &Places<'_>), model: &Model, names: &Names) {
    let tokens = &order.cloth;
    let mark = |at: usize| at.checked_sub(1).and_then(|i| tokens.get(i)).is_none_or(|t| t.kind == TokenKind::Mark);
    let inked = |at: usize| {
        let hue = names.longest(&kinds_of(others), &words_from(tokens, at)).map_or(0, |n| n.2);
        [0, hue].iter().any(|skip| names.longest(&kinds_of(materials), &words_from(tokens, at + skip)).is_some())
    };
    let screen = model.attributes.iter().find(|a| a.clause.as_deref() == Some("through"));
    let dimension = screen.and_then(|a| match a.ty {
        AttributeType::Setting(d) => model.dim(d),
        _ => None,
    });
    let own = |at: &usize| {
        let number = tokens.get(*at).is_some_and(|t| t.kind == TokenKind::Number);
        let open = tokens.get(at + 1).is_some_and(|t| dimension.is_some_and(|d| d.leaves_open(&t.text)));
        number && open && mark(*at) && inked(at + 2)
    };
    if let Some(at) = (0..tokens.len()).find(own) {
        let own = order.cloth.drain(at..at + 2).collect();
        order.clauses.push(Clause::Quantity("through", own));
    }
}

/// `40 polos for our new staff, white plastisol`, `plastisol using flash, black cotton tee`: where what is sought is only said
/// behind a mark in what follows, the order goes on there. What is said with the rest may be stirred in.
fn goes_on(order: &mut Order, sought: &[KindId], others: &[KindId], with: bool, model: &Model, names: &Names) {
    let names_it = |tokens: &[Token]| !found(sought, others, tokens, names).is_empty();
    let sets = model.attributes.iter().filter(|a| matches!(a.ty, AttributeType::Set(_)));
    let sets: Vec<KindId> = sets.filter_map(|a| a.ty.members()).collect();
    // `with 5 % fixer, line dry, cotton tote`: what is of neither goes on with the rest.
    let listed = |item: &[Token]| names_additive(item, model, names) || !found(&sets, &[], item, names).is_empty();
    if names_it(&order.cloth) {
        return;
    }
    let behind_mark = |tokens: &mut Vec<Token>| {
        let end = tokens.iter().position(|t| t.kind == TokenKind::Mark).filter(|end| *end > 0)?;
        names_it(tokens.get(end..).unwrap_or_default()).then(|| tokens.split_off(end))
    };
    // `plastisol over dye-blocking base, polyester tee`
    let coats = order.stack.iter_mut().chain(&mut order.above);
    if let Some(rest) = coats.map(|c| &mut c.ink).find_map(behind_mark) {
        order.cloth.extend(rest);
        return;
    }
    for clause in &mut order.clauses {
        match clause {
            Clause::Quantity(_, tokens) => {
                if let Some(rest) = behind_mark(tokens) {
                    order.cloth.extend(rest);
                    return;
                }
            }
            Clause::With(_) if !with => {}
            Clause::Using(items) | Clause::With(items) | Clause::Without(items) => {
                let behind = items.iter().skip(1).position(|item| names_it(item) || !listed(item)).map(|i| i + 1);
                let goes_on = |at: &usize| items.iter().skip(*at).any(|item| names_it(item));
                if let Some(at) = behind.filter(goes_on) {
                    for item in items.split_off(at) {
                        order.cloth.push(Token::comma());
                        order.cloth.extend(item);
                    }
                    return;
                }
            }
            Clause::Where(..) | Clause::Found(..) => {}
        }
    }
}

/// `40 black tees printed with white plastisol`: an ink is what they are printed with.
fn said_with_cloth(order: &mut Order, materials: &Places<'_>, model: &Model, names: &Names) {
    let inks = kinds_of(materials);
    let hues: Vec<KindId> = model
        .attributes
        .iter()
        .filter(|a| a.phrase.as_deref() == Some("ink") && !a.material)
        .filter_map(|a| a.ty.members())
        .collect();
    let amounts = model.attributes.iter().filter(|a| matches!(a.ty, AttributeType::Amounts(_)));
    let stirred_in: Vec<KindId> = amounts.filter_map(|a| a.ty.members()).collect();
    for clause in &mut order.clauses {
        let Clause::With(items) = clause else { continue };
        let ink = |item: &Vec<Token>| found(&inks, &stirred_in, item, names).len() == 1;
        let additive = |item: &Vec<Token>| !ink(item) && names_additive(item, model, names);
        if let Some(at) = items.iter().position(ink) {
            // What follows the ink goes on with the order, if it is not stirred in.
            let (mixed, rest): (Vec<_>, Vec<_>) = items.split_off(at).into_iter().partition(additive);
            let mut between = Token::comma();
            // `with black print, plastisol`: the colour of the print, said apart from its ink.
            let printed = |item: &Vec<Token>| print_in(item, (&hues, materials), model, names);
            if let Some(said) = items.last().and_then(printed) {
                items.pop();
                order.cloth.push(between.clone());
                order.cloth.extend(said);
            }
            // `with white and gold plastisol`: a colour by itself is of the same ink.
            if let Some(colour) = items.pop_if(|i| found(&hues, &[], i, names) == [(0, i.len())]) {
                // `with water repellent, navy, white plastisol`: behind a comma it is of the cloth, if that has none.
                let end = colour.last().map_or(0, |t| t.span.end);
                let comma = rest.first().and_then(|i| i.first()).is_some_and(|t| t.span.start <= end + 2);
                let of_cloth = comma && !items.is_empty() && found(&hues, &[], &order.cloth, names).is_empty();
                order.cloth.push(between);
                order.cloth.extend(colour);
                between = match of_cloth {
                    true => Token::comma(),
                    false => Token { text: "and".to_owned(), kind: TokenKind::Filler, span: Span::default() },
                };
            }
            items.extend(mixed);
            for item in rest {
                order.cloth.push(between);
                // `qty: 75`: of the mark that ended an item nothing is known but what it stood behind.
                let label = folded(&text_of(&item, 0, item.len()));
                let label = model.attributes.iter().any(|a| a.speech.called.contains(&label));
                let mark = if label { ":" } else { "," };
                between = Token { text: mark.to_owned(), ..Token::comma() };
                order.cloth.extend(item);
            }
            break;
        }
    }
    order.clauses.retain(|c| !matches!(c, Clause::With(items) if items.is_empty()));
}

/// Words that tell where on the goods a print lies, among others that say nothing, and the names of their parts.
fn places_on_goods(model: &Model) -> impl Iterator<Item = &String> {
    let cloths = model.attributes.iter().filter(|a| a.phrase.as_deref() == Some("fabric"));
    cloths.flat_map(|a| &a.speech.idle).chain(model.attributes.iter().flat_map(|a| &a.speech.parts))
}

/// `our logo in green`, `white pocket logo`: words for the print with its colour and nothing else, the colour first.
fn print_in(
    item: &[Token],
    (hues, materials): (&[KindId], &Places<'_>),
    model: &Model,
    names: &Names,
) -> Option<Vec<Token>> {
    let called = |t: &Token| materials.iter().any(|m| m.1.speech.called.contains(&folded(&t.text)));
    let print = item.iter().find(|t| called(t))?;
    // `1 colour white back print`
    let told = |at: usize| (0..=at).any(|i| i + of_print(item, i, materials) > at);
    let says = |(at, t): &(usize, &Token)| t.kind != TokenKind::Filler && !called(t) && !told(*at);
    let hue: Vec<Token> = item.iter().enumerate().filter(says).map(|(_, t)| t.clone()).collect();
    // `white logo left chest`: what is only heard, or a part of the article, may stand behind it.
    let (_, count) = *found(hues, &[], &hue, names).first().filter(|c| c.0 == 0)?;
    let rest = hue.get(count..).unwrap_or_default();
    let heard = rest.is_empty() || Runs::of(rest, 0).length(places_on_goods(model)) == rest.len();
    heard.then(|| hue.iter().take(count).chain([print]).chain(rest).cloned().collect())
}

/// `tees with white print`, `vests with names and numbers, in white`: the print goes on with the cloth, where no ink is named.
pub(super) fn print_beside(order: &mut Order, of: (&[KindId], &Places<'_>), model: &Model, names: &Names) {
    let (hues, materials) = of;
    let speaks = |item: &[Token]| !item.is_empty() && of_print(item, 0, materials) == item.len();
    let colour = |item: &[Token]| {
        let hue: Vec<Token> = item.iter().filter(|t| !leads_to_hue(t)).cloned().collect();
        found(hues, &[], &hue, names) == [(0, hue.len())]
    };
    for clause in &mut order.clauses {
        let Clause::With(items) = clause else { continue };
        while let Some(at) = items.windows(2).position(|w| matches!(w, [print, hue] if speaks(print) && colour(hue))) {
            let hue = items.remove(at + 1);
            items.get_mut(at).into_iter().for_each(|print| print.extend(hue.iter().cloned()));
        }
        let before = items.len();
        items.retain(|item| {
            let print = print_in(item, of, model, names);
            order.cloth.extend(print.iter().flat_map(|p| [Token::comma()].into_iter().chain(p.iter().cloned())));
            print.is_none()
        });
        // Beside it, other words for the print say nothing more.
        if items.len() < before {
            items.retain(|item| !speaks(item));
        }
    }
    order.clauses.retain(|c| !matches!(c, Clause::With(items) if items.is_empty()));
}

/// `12 tees cotton, plastisol full front, safe for babies`, `socks 80/20 cotton nylon, logo on sole silicone`: where the cloth
/// stands before the word that joins ink and cloth elsewhere, the order as if it were no such word.
pub fn without_joint(order: &Order, model: &Model, names: &Names) -> Option<Order> {
    let ([coat], []) = (order.stack.as_slice(), order.above.as_slice()) else { return None };
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let inks = kinds_of(&places.iter().filter(|p| p.1.material).copied().collect::<Vec<_>>());
    let hues = kinds_of(&places);
    let things = kinds_of(&resolver.attributes(|a| a.phrase.as_deref() == Some("fabric")));
    let things: Vec<KindId> = things.into_iter().filter(|k| !hues.contains(k)).collect();
    let inked = |tokens: &[Token]| !found(&inks, &things, tokens, names).is_empty();
    let goods = !found(&things, &inks, &coat.ink, names).is_empty();
    if coat.asked_for || !goods || inked(&coat.ink) == inked(&order.cloth) {
        return None;
    }
    let cloth = coat.ink.iter().cloned().chain([Token::comma()]).chain(order.cloth.iter().cloned()).collect();
    let clauses = coat.clauses.iter().chain(&order.clauses).cloned().collect();
    Some(Order { cloth, clauses, ..Order::default() })
}

/// `50 running shirts, sponsor logo on back in white`: behind goods and a word for the print the joining word tells where on
/// them it lies; the order as if it were no such word.
pub fn placed(order: &Order, model: &Model, names: &Names) -> Option<Order> {
    let ([coat], []) = (order.stack.as_slice(), order.above.as_slice()) else { return None };
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let materials: Vec<_> = places.iter().filter(|p| p.1.material).copied().collect();
    let hues = kinds_of(&places);
    let things = kinds_of(&resolver.attributes(|a| a.phrase.as_deref() == Some("fabric")));
    let things: Vec<KindId> = things.into_iter().filter(|k| !hues.contains(k)).collect();
    // `20 vests with numbers on back in white`
    let (mut lead, mut clauses) = (coat.ink.clone(), coat.clauses.clone());
    if let Some(Clause::With(items)) = clauses.last()
        && items.last().is_some_and(|item| of_print_before(item, item.len(), &materials))
    {
        for item in items {
            lead.push(Token::comma());
            lead.extend(item.iter().cloned());
        }
        clauses.pop();
    }
    let print = of_print_before(&lead, lead.len(), &materials);
    let on_it = Runs::of(&order.cloth, 0).length(places_on_goods(model)) > 0;
    if coat.asked_for || !print || !on_it || found(&things, &hues, &coat.ink, names).is_empty() {
        return None;
    }
    lead.extend(order.cloth.iter().cloned());
    clauses.extend(order.clauses.iter().cloned());
    Some(Order { cloth: lead, clauses, ..Order::default() })
}

/// `white on black tee, plastisol`: where a colour alone is on the cloth, the ink that is named with the cloth is that of
/// the print.
pub(super) fn of_one_ink(order: &Order, model: &Model, names: &Names) -> (Order, Vec<String>) {
    let mut order = order.clone();
    cloth_before_ink(&mut order, model, names);
    gather_apart(&mut order, model, names);
    hue_of_print(&mut order, model, names);
    let notes = hue_behind_cloth(&mut order, model, names).into_iter().collect();
    (ink_behind_cloth(&order, model, names), notes)
}

/// `cotton bandana, white discharge on black`: what stands before the ink, a mark between, is the cloth. Before a colour
/// alone no mark is needed: `cushion covers cotton linen discharge on black`.
fn cloth_before_ink(order: &mut Order, model: &Model, names: &Names) {
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let inks = kinds_of(&places);
    let things = resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    let things: Vec<KindId> = kinds_of(&things).into_iter().filter(|k| !inks.contains(k)).collect();
    let ([coat], []) = (order.stack.as_mut_slice(), order.above.as_slice()) else { return };
    let mark = |t: &Token| t.kind == TokenKind::Mark;
    // `1 col` is a colour, and a scarf elsewhere.
    let told = |tokens: &[Token], at: usize| (0..=at).any(|i| i + of_print(tokens, i, &places) > at);
    let goods = |tokens: &[Token]| found(&things, &inks, tokens, names).iter().any(|f| !told(tokens, f.0));
    let first = order.cloth.split(mark).next().unwrap_or_default();
    let alone = !first.is_empty() && found(&inks, &things, first, names) == [(0, first.len())];
    let behind = || found(&inks, &things, &coat.ink, names).first().map(|i| i.0).filter(|at| alone && *at > 0);
    let Some(end) = coat.ink.iter().rposition(mark).or_else(behind) else { return };
    let (before, ink) = coat.ink.split_at(end);
    if coat.asked_for
        || found(&inks, &things, ink, names).is_empty()
        || !found(&inks, &things, before, names).is_empty()
        || found(&things, &[], before, names).is_empty()
        || goods(ink)
    {
        return;
    }
    let mut cloth: Vec<Token> = coat.ink.drain(..end).collect();
    if coat.ink.first().is_some_and(mark) {
        cloth.push(coat.ink.remove(0));
    }
    cloth.append(&mut order.cloth);
    order.cloth = cloth;
}

fn ink_behind_cloth(order: &Order, model: &Model, names: &Names) -> Order {
    let mut own = order.clone();
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let (materials, others): (Vec<_>, Vec<_>) = places.into_iter().partition(|p| p.1.material);
    let cloths = resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    let ([coat], []) = (own.stack.as_slice(), own.above.as_slice()) else { return own };
    let coloured = !found(&kinds_of(&others), &[], &coat.ink, names).is_empty();
    if coat.asked_for || !found(&kinds_of(&materials), &[], &coat.ink, names).is_empty() {
        return own;
    }
    if !coloured {
        coat_behind_cloth(&mut own, (&materials, &others, &cloths), names);
        return own;
    }
    if found(&kinds_of(&materials), &kinds_of(&cloths), &own.cloth, names).is_empty() {
        said_with_cloth(&mut own, &materials, model, names);
    }
    let inks = found(&kinds_of(&materials), &kinds_of(&cloths), &own.cloth, names);
    let [(at, count)] = inks.as_slice() else { return order.clone() };
    let (at, count) = (*at, *count);
    let mut rest = own.cloth.clone();
    let ink: Vec<Token> = rest.drain(at..at + count).collect();
    // `white on black plastisol` may be one layer on another; and a second colour may be that of the print, too.
    let hues = kinds_of(&others);
    let things: Vec<KindId> = kinds_of(&cloths).into_iter().filter(|k| !hues.contains(k)).collect();
    let beside = found(&hues, &[], &own.cloth, names).iter().any(|c| c.0 + c.1 == at || c.0 == at + count);
    if beside || found(&things, &[], &rest, names).is_empty() {
        return order.clone();
    }
    own.cloth = rest;
    if let Some(coat) = own.stack.first_mut() {
        coat.ink.extend(ink);
    }
    own
}

/// `4 colour print on black tee, white plastisol`: where neither ink nor colour is said before the cloth, both may stand
/// behind it, between marks. What was said before is of the order.
fn coat_behind_cloth(
    order: &mut Order,
    (materials, others, cloths): (&Places<'_>, &Places<'_>, &Places<'_>),
    names: &Names,
) {
    let cloth = &order.cloth;
    let mark = |at: Option<usize>| at.and_then(|at| cloth.get(at)).is_none_or(|t| t.kind == TokenKind::Mark);
    let inks = found(&kinds_of(materials), &kinds_of(cloths), cloth, names);
    let [(at, count)] = *inks.as_slice() else { return };
    let hues = found(&kinds_of(others), &[], cloth, names);
    let own = hues.iter().find(|c| c.0 + c.1 == at || c.0 == at + count);
    let (from, end) = own.map_or((at, at + count), |c| (at.min(c.0), (at + count).max(c.0 + c.1)));
    if from == 0 || !mark(from.checked_sub(1)) || !mark(Some(end)) {
        return;
    }
    let ink: Vec<Token> = order.cloth.drain(from..end).collect();
    if let Some(coat) = order.stack.first_mut() {
        order.cloth.push(Token::comma());
        order.cloth.extend(std::mem::replace(&mut coat.ink, ink));
    }
}

/// `red, white and blue plastisol`: layers side by side that were said as one, each by its colour. `joins` tells which
/// signs stand between them.
pub fn by_colour(stack: &[Coat], joins: &[&str], model: &Model, names: &Names) -> Vec<Vec<Coat>> {
    let whole = || vec![stack.to_vec()];
    let [coat] = stack else { return whole() };
    let resolver = Resolver::new(model, names, 1);
    let hues = resolver.attributes(|a| a.phrase.as_deref() == Some("ink") && !a.material);
    let hues = kinds_of(&hues);
    let parts: Vec<&[Token]> = coat.ink.split(|t| joins.contains(&t.text.as_str())).collect();
    let colour = |part: &&[Token]| !part.is_empty() && found(&hues, &[], part, names) == [(0, part.len())];
    let Some((last, before)) = parts.split_last() else { return whole() };
    // `2 colour plastisol, red, navy`: the ink is said first, with or without the first of the colours.
    if let [first, rest @ ..] = parts.as_slice()
        && !rest.is_empty()
        && rest.iter().all(colour)
        && !colour(first)
    {
        let own = found(&hues, &[], first, names);
        let behind = own.last().is_some_and(|c| c.0 + c.1 == first.len());
        let merged = |first: Vec<Token>, rest: &[&[Token]]| {
            let all = std::iter::once(first).chain(rest.iter().map(|r| r.to_vec()));
            all.map(|ink| vec![Coat { ink, ..coat.clone() }]).collect()
        };
        match (own.len(), rest) {
            (1, _) if behind => return merged(first.to_vec(), rest),
            (0, [second, rest @ ..]) => {
                return merged(first.iter().chain(*second).cloned().collect(), rest);
            }
            _ => {}
        }
    }
    let coloured = found(&hues, &[], last, names).first().is_some_and(|c| c.0 == 0);
    if before.is_empty() || !coloured || !before.iter().all(colour) {
        return whole();
    }
    parts.into_iter().map(|part| vec![Coat { ink: part.to_vec(), ..coat.clone() }]).collect()
}

/// `red and white plastisol`: of several that stand beside each other, a colour alone is of the ink that is named last;
/// each under its name, and with how they were taken.
pub fn beside(mut stacks: Vec<Vec<Coat>>, model: &Model, names: &Names) -> (Vec<(String, Vec<Coat>)>, String) {
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let (materials, others): (Vec<_>, Vec<_>) = places.into_iter().partition(|p| p.1.material);
    let (kinds, hues) = (kinds_of(&materials), kinds_of(&others));
    let of = |stack: Option<&Vec<Coat>>| -> Option<Vec<Token>> {
        let words = &stack?.first()?.ink;
        let (at, count) = found(&kinds, &[], words, names).first().copied()?;
        Some(words.iter().skip(at).take(count).cloned().collect())
    };
    // `plastisol, red and navy`: the ink may be said with the first as well.
    let ink: Vec<Token> = of(stacks.last()).or_else(|| of(stacks.first())).unwrap_or_default();
    for stack in &mut stacks {
        if let [coat] = stack.as_mut_slice()
            && found(&kinds, &[], &coat.ink, names).is_empty()
            && !found(&hues, &[], &coat.ink, names).is_empty()
        {
            coat.ink.extend(ink.iter().cloned());
        }
    }
    // `2 colour plastisol, red` is red plastisol.
    let named = |coat: &Coat| {
        let [mut hue, ink] = [&hues, &kinds].map(|k| found(k, &[], &coat.ink, names));
        // `gold foil` has its colour in its name.
        hue.retain(|h| !ink.iter().any(|i| (i.0..i.0 + i.1).contains(&h.0)));
        let words: Vec<String> = hue.iter().chain(&ink).map(|n| text_of(&coat.ink, n.0, n.1)).collect();
        if ink.is_empty() { written(&coat.ink) } else { words.join(" ") }
    };
    let name = |s: &Vec<Coat>| s.iter().map(named).collect::<Vec<_>>().join(" over ");
    let told: Vec<String> = stacks.iter().take(2).map(name).collect();
    let note = format!(
        "each was taken as a print by itself, beside the others; for one over the other say: {} on …",
        told.iter().rev().cloned().collect::<Vec<_>>().join(" over ")
    );
    (stacks.into_iter().map(|s| (name(&s), s)).collect(), note)
}

/// A question for an ink, with what its words say of that ink: the colour in `navy tote, white ink, which ink`.
///
/// # Errors
/// An ink is named, or what is asked for lies below another ink.
pub fn asked_for(mut order: Order, model: &Model, names: &Names) -> Result<Order, Problem> {
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let (materials, others): (Vec<_>, Vec<_>) = places.into_iter().partition(|p| p.1.material);
    let cloths = resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    let wanted = order.stack.iter().position(|c| c.asked_for).unwrap_or(0);
    if wanted > 0 {
        let over = order.stack.first().map(|c| span_of(&c.ink, 0, c.ink.len())).unwrap_or_default();
        let problem =
            Problem::new("question::asked-below", over, "over it", "the ink that is asked for lies below this one");
        return Err(problem.help(
            "ask for the job with each base by itself, such as: white plastisol over blocker base on red polyester",
        ));
    }
    // `35 hoodies for our club, navy 80/20, white crest and sponsor`
    order.cloth = parted_words(&order.cloth, &cloths, model, names);
    goes_on(&mut order, &kinds_of(&others), &[], false, model, names);
    print_beside(&mut order, (&kinds_of(&others), &materials), model, names);
    if let Some(printed) = colour_of_print(&mut order.cloth, (&materials, &others, &cloths), names)?
        && let Some(coat) = order.stack.get_mut(wanted)
    {
        coat.ink.extend(printed.colour);
    }
    let asked = order.stack.get(wanted).map(|c| c.ink.as_slice()).unwrap_or_default();
    let inks = |tokens: &[Token]| {
        let first = found(&kinds_of(&materials), &kinds_of(&cloths), tokens, names).first().copied();
        first.map(|(at, count)| (text_of(tokens, at, count), span_of(tokens, at, count)))
    };
    if let Some((ink, span)) = inks(asked).or_else(|| inks(&order.cloth)) {
        let problem =
            Problem::new("question::ink-named", span, "here", format!("which ink is asked, and `{ink}` is named"));
        return Err(problem.help(format!(
            "ask about {ink} alone: {ink} on black polyester; or name the colour alone: which white ink for black polyester"
        )));
    }
    Ok(order)
}

/// Whether words begin with something of the cloth, and no number.
fn names_cloth(tokens: &[Token], cloths: &Places<'_>, names: &Names) -> bool {
    tokens.first().is_some_and(|t| t.kind != TokenKind::Number)
        && !found(&kinds_of(cloths), &[], tokens, names).is_empty()
}

/// Where names of these kinds stand, the longest first from the left; other kinds take their longer names first.
pub(super) fn found(kinds: &[KindId], others: &[KindId], tokens: &[Token], names: &Names) -> Vec<(usize, usize)> {
    let mut list = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let words = words_from(tokens, at);
        let other = names.longest(others, &words).map_or(0, |n| n.2);
        // After a share comes a fibre: `100% acrylic plastisol` is plastisol on acrylic.
        let share = |t: &Token| t.kind == TokenKind::Number || t.text == "%";
        let fibre = other > 0 && at.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(share);
        let own = if fibre { 0 } else { names.longest(kinds, &words).map_or(0, |n| n.2) };
        if own > 0 && own >= other {
            list.push((at, own));
        }
        at += own.max(other).max(1);
    }
    list
}

/// `natural totes, water-based, black and red`: the colours of one ink that stand together by themselves are prints beside
/// each other, each with its ink; with what is left of the order. Nothing where a colour may be that of the cloth.
pub fn side_by_side(order: &Order, model: &Model, names: &Names) -> Option<(Vec<Vec<Coat>>, Order)> {
    if !order.stack.is_empty() || !order.above.is_empty() {
        return None;
    }
    let resolver = Resolver::new(model, names, 1);
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
    let (materials, others): (Vec<_>, Vec<_>) = places.into_iter().partition(|p| p.1.material);
    let hues = kinds_of(&others);
    let cloths = kinds_of(&resolver.attributes(|a| a.phrase.as_deref() == Some("fabric")));
    let tokens = &order.cloth;
    let inks = found(&kinds_of(&materials), &cloths, tokens, names);
    if inks.len() > 1 {
        return inks_apart(order, &inks, (&materials, &hues, &cloths), model, names);
    }
    let [(at, count)] = inks.as_slice() else { return None };
    let mark = |i: usize| tokens.get(i).is_none_or(|t| t.kind == TokenKind::Mark);
    let joins = |i: usize| tokens.get(i).is_some_and(joins_prints);
    // `2 colour print white/red plastisol`, `2 colours red and white, plastisol`: also behind words for the print.
    let told = |i: usize| {
        // `2 col (white, red)`
        let opens = |t: &Token| leads_to_hue(t) || matches!(t.text.as_str(), "(" | "[" | ":" | "=");
        let end = i - usize::from(i > 0 && tokens.get(i - 1).is_some_and(opens));
        of_print_before(tokens, end, &materials)
    };
    // Colours from here, joined, and where they end.
    let joined = |from: usize| -> (Vec<(usize, usize)>, usize) {
        let (mut list, mut end) = (Vec::new(), from);
        loop {
            let start = if list.is_empty() { end } else { end + 1 };
            // `3 colours: white, red and gold`; in `logo white, black plastisol` the comma may part them.
            let several = tokens.iter().take(from).rev().take(4).any(|t| t.kind == TokenKind::Number);
            let listed = joins(end) || several && told(from) && tokens.get(end).is_some_and(|t| t.text == ",");
            let run = if list.is_empty() || listed { words_from(tokens, start) } else { Vec::new() };
            match names.longest(&hues, &run) {
                Some((_, _, own)) => {
                    list.push((start, own));
                    end = start + own;
                }
                None => return (list, end),
            }
        }
    };
    // `tees sport grey, plastisol white & navy`
    let begins = |i: usize| i == 0 || mark(i - 1) || told(i) || i == at + count;
    // Up to the ink, or by themselves.
    let before = |i: usize, end: usize| end == *at || told(i) && end < *at && (end..*at).all(mark);
    // `white and yellow print, plastisol`
    let print = |end: usize| of_print(tokens, end, &materials) > 0 && end < *at;
    let (colours, end) = (0..tokens.len()).filter(|i| begins(*i)).find_map(|i| {
        let (list, end) = joined(i);
        (list.len() > 1 && (before(i, end) || mark(end) || print(end))).then_some((list, end))
    })?;
    let first = colours.first()?.0;
    // An ink with a colour of its own is another print.
    let of_ink = |c: &(usize, usize)| c.0 + c.1 == *at || c.0 == at + count;
    if found(&hues, &[], tokens, names).iter().any(|c| of_ink(c) && !colours.contains(c)) {
        return None;
    }
    let ink = tokens.get(*at..at + count)?;
    let of = |c: &(usize, usize)| tokens.get(c.0..c.0 + c.1).unwrap_or_default().iter().chain(ink).cloned().collect();
    let stacks = colours.iter().map(|c| vec![Coat { ink: of(c), clauses: Vec::new(), asked_for: false }]).collect();
    let own = |i: &usize| (first..end).contains(i) || (*at..at + count).contains(i);
    let cloth: Vec<Token> = (0..tokens.len()).filter(|i| !own(i)).filter_map(|i| tokens.get(i).cloned()).collect();
    let things: Vec<KindId> = cloths.into_iter().filter(|k| !hues.contains(k)).collect();
    // One of them may be that of the cloth, where that has none and nothing says that they are of the print.
    let hued = told(first) || print(end) || !found(&hues, &[], &cloth, names).is_empty();
    if found(&things, &[], &cloth, names).is_empty() || !hued {
        return None;
    }
    Some((stacks, Order { cloth, ..order.clone() }))
}

/// Whether a word or sign joins prints that are beside each other.
fn joins_prints(token: &Token) -> bool {
    folded(&token.text) == "and" || matches!(token.text.as_str(), "&" | "+" | "/")
}

/// `black tee, white plastisol front, red puff back`: several inks, each between marks with its colour and no more than where
/// it lies. Only colours of one ink need no place.
fn inks_apart(
    order: &Order,
    inks: &[(usize, usize)],
    (materials, hues, cloths): (&Places<'_>, &[KindId], &[KindId]),
    model: &Model,
    names: &Names,
) -> Option<(Vec<Vec<Coat>>, Order)> {
    let tokens = &order.cloth;
    let parts = |at: usize| tokens.get(at).is_none_or(|t| t.kind == TokenKind::Mark || joins_prints(t));
    let things: Vec<KindId> = cloths.iter().filter(|k| !hues.contains(k)).copied().collect();
    let mut taken = Vec::new();
    let (mut stacks, mut members, mut placed) = (Vec::new(), Vec::new(), 0);
    for (at, count) in inks.iter().copied() {
        let mut from = (0..at).rev().find(|i| parts(*i)).map_or(0, |i| i + 1);
        let end = (at..).find(|i| parts(*i))?;
        // `black cotton tees white plastisol front, …`: what stands before the first is of the goods.
        let lead = tokens.get(from..at)?;
        if !found(&things, &[], lead, names).is_empty() {
            let own = found(hues, &[], lead, names).last().copied().filter(|c| from + c.0 + c.1 == at);
            from = own.map_or(at, |c| from + c.0);
        }
        let run = tokens.get(from..end)?;
        let [(hue, wide)] = *found(hues, &[], run, names).as_slice() else { return None };
        let own = |i: usize| (at - from..at - from + count).contains(&i) || (hue..hue + wide).contains(&i);
        let mut i = 0;
        let mut more = false;
        while let Some(token) = run.get(i) {
            let heard = Runs::of(run, i).length(places_on_goods(model)).max(of_print(run, i, materials));
            i += match (own(i), heard, token.kind) {
                (true, ..) | (false, 0, TokenKind::Filler) => 1,
                (false, 0, _) => return None,
                (false, ..) => {
                    more = true;
                    heard
                }
            };
        }
        placed += usize::from(more);
        members.push(names.longest(&kinds_of(materials), &words_from(tokens, at)).map(|n| (n.0, n.1)));
        let ink: Vec<Token> = (0..run.len()).filter(|i| own(*i)).filter_map(|i| run.get(i).cloned()).collect();
        // `white plastisol front, white plastisol back` is one print.
        if !stacks.iter().any(|s: &Vec<Coat>| s.iter().any(|c| written(&c.ink) == written(&ink))) {
            stacks.push(vec![Coat { ink, clauses: Vec::new(), asked_for: false }]);
        }
        // With the word that joins it to the one before.
        taken.push(if from > 0 && tokens.get(from - 1).is_some_and(joins_prints) { from - 1 } else { from }..end);
    }
    let rest = (0..tokens.len()).filter(|i| !taken.iter().any(|t| t.contains(i)));
    let cloth: Vec<Token> = rest.filter_map(|i| tokens.get(i).cloned()).collect();
    let one_ink = members.windows(2).all(|m| m.first() == m.last());
    let apart = one_ink || placed + 1 >= inks.len();
    (apart && !found(&things, &[], &cloth, names).is_empty()).then(|| (stacks, Order { cloth, ..order.clone() }))
}

/// Two inks side by side with nothing but a mark or a joint between them, `puff + foil`: their place, and how they may be
/// meant. One lies over the other, below if it is called a base; with `or` between them one of them is printed.
fn either_order(
    tokens: &[Token],
    (first, second): ((usize, usize), (usize, usize)),
    (materials, hues): (&Places<'_>, &[KindId]),
    names: &Names,
) -> Option<(Span, Vec<String>)> {
    let hue = |before: usize| {
        (1..=before.min(2)).rev().find(|n| {
            let words = words_from(tokens.get(..before).unwrap_or_default(), before - n);
            names.longest(hues, &words).is_some_and(|f| f.2 == *n)
        })
    };
    let starts = |ink: (usize, usize)| ink.0 - hue(ink.0).unwrap_or(0);
    let base = |at: usize| called_base(tokens, at, materials, names);
    let (one, other) = (base(first.0 + first.1), base(second.0 + second.1));
    let between = tokens.get(first.0 + first.1 + one..starts(second))?;
    let joint = |t: &Token| t.kind == TokenKind::Mark || JOINTS.contains(&folded(&t.text).as_str());
    if between.is_empty() || !between.iter().all(joint) {
        return None;
    }
    // `plastisol top` is no garment here.
    let behind = second.0 + second.1 + other;
    let word = |at: usize| tokens.get(at).map(|t| folded(&t.text)).unwrap_or_default();
    let on_top = match (word(behind).as_str(), word(behind + 1).as_str()) {
        ("top", _) => 1,
        ("on", "top") => 2,
        _ => 0,
    };
    let end = behind + on_top;
    // Nothing of the text may stand between them that is no word of these.
    let all = tokens.get(starts(first)..end)?;
    if !all.iter().zip(all.iter().skip(1)).all(|(t, next)| next.span.start.saturating_sub(t.span.end) <= 1) {
        return None;
    }
    let written = |ink: (usize, usize)| text_of(tokens, starts(ink), ink.0 + ink.1 - starts(ink));
    let (a, b) = (written(first), written(second));
    let over = |a: &str, b: &str| format!("{a} over {b}");
    // `discharge base` is a name of its own.
    let is_base = |ink: (usize, usize), after: usize| after > 0 || ink.1 > 1 && base(ink.0 + ink.1 - 1) > 0;
    let readings = match (is_base(first, one), is_base(second, other)) {
        _ if between.iter().any(|t| folded(&t.text) == "or") => vec![a, b],
        (true, false) => vec![over(&b, &a)],
        (false, false) if on_top > 0 => vec![over(&b, &a)],
        (false, true) => vec![over(&a, &b)],
        _ => vec![over(&b, &a), over(&a, &b)],
    };
    Some((span_of(tokens, starts(first), end - starts(first)), readings))
}

/// How many words from here are one that several inks share where they lie below another: `underbase`.
fn called_base(tokens: &[Token], at: usize, materials: &Places<'_>, names: &Names) -> usize {
    let shared = |count: &usize| {
        let word = text_of(tokens, at, *count);
        kinds_of(materials).iter().any(|k| names.loosely(*k, &word).len() > 1)
    };
    [2, 1].into_iter().find(|n| at + n <= tokens.len() && shared(n)).unwrap_or(0)
}

/// What joins one ink to the next.
const JOINTS: [&str; 5] = ["+", "plus", "then", "or", "/"];
