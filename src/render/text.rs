//! Text: the verdict in words, the decisive reason, what to do. Nothing is told by colour alone.

use super::back::question_lines;
use crate::answer::{
    Answer, Branch, Deciding, Fix, Heard, Lead, OPENERS, Ranked, Ranking, Reason, Recipe, Said, SheetLayer, WorkStep,
};
use std::fmt::Write as _;

/// Lines are broken at this width unless told otherwise.
const WIDTH: usize = 96;

/// Narrower than this nothing can be read.
pub(super) const NARROWEST: usize = 30;

/// Changes told at most.
const FEW: usize = 4;

/// Cases and conditions of an open answer that are told before the rest is only counted.
const FEW_CASES: usize = 6;

/// An answer for a terminal.
pub fn text(answer: &Answer) -> String {
    text_at(answer, WIDTH)
}

/// An answer for a terminal of this width.
pub fn text_at(answer: &Answer, width: usize) -> String {
    let width = width.max(NARROWEST);
    let mut out = String::new();
    for piece in pieces(answer) {
        match piece {
            Piece::Head(answer) => {
                wrapped(&mut out, "", &headline(answer), width);
                answer.taken_as.iter().for_each(|note| wrapped(&mut out, "  ", &format!("({note})"), width));
            }
            Piece::Title(name) => wrapped(&mut out, "\n== ", &name, width),
            Piece::Part(Part::List(title, lines)) => {
                let _ = writeln!(out, "{title}:");
                lines.iter().for_each(|line| wrapped(&mut out, "  - ", line, width));
            }
            Piece::Part(Part::Line(line)) => wrapped(&mut out, "", &line, width),
        }
    }
    out
}

/// An answer as Markdown.
pub fn markdown(answer: &Answer) -> String {
    let mut out = String::new();
    for piece in pieces(answer) {
        match piece {
            Piece::Head(answer) => {
                let _ = writeln!(out, "**{}**", escaped(&headline(answer)));
                answer.taken_as.iter().for_each(|note| out.push_str(&format!("\n({})\n", escaped(note))));
            }
            Piece::Title(name) => {
                let _ = write!(out, "\n## {}\n\n", escaped(&name));
            }
            Piece::Part(Part::List(title, lines)) => {
                // A numbered title would be taken for an item of a list.
                let numbered = title.starts_with(|c: char| c.is_ascii_digit());
                let _ = if numbered { write!(out, "\n### {title}\n\n") } else { write!(out, "\n{title}:\n\n") };
                lines.iter().for_each(|line| out.push_str(&format!("- {}\n", escaped(line))));
            }
            Piece::Part(Part::Line(line)) => out.push_str(&format!("\n{}\n", escaped(&line))),
        }
    }
    out
}

/// A piece of an answer, however it is laid out.
enum Piece<'a> {
    /// The verdict, with how it was taken.
    Head(&'a Answer),
    /// Which print is told next, or that it is of all.
    Title(String),
    Part(Part),
}

/// What an answer says in its order: of several prints each by itself, and then what is so of all of them.
fn pieces(answer: &Answer) -> Vec<Piece<'_>> {
    let mut list = vec![Piece::Head(answer)];
    let each: Vec<(String, &Answer, Vec<Part>)> = prints(answer).map(|(n, p)| (n, p, parts(p))).collect();
    let Some((_, _, first)) = each.first() else {
        list.extend(parts(answer).into_iter().map(Piece::Part));
        return list;
    };
    let mut all: Vec<Part> = first.iter().filter(|p| each.iter().all(|e| e.2.contains(p))).cloned().collect();
    if !all.iter().any(|p| matches!(p, Part::List(..))) {
        all.clear();
    }
    for (name, print, own) in each {
        list.extend([Piece::Title(name), Piece::Head(print)]);
        list.extend(own.into_iter().filter(|p| !all.contains(p)).map(Piece::Part));
    }
    if !all.is_empty() {
        list.push(Piece::Title("each of them".to_owned()));
        list.extend(all.into_iter().map(Piece::Part));
    }
    list
}

/// How it stands to what was wished, and what would fit better.
fn wished_lines(answer: &Answer) -> Vec<String> {
    let better = answer.fits_better.iter().map(|b| {
        let how = match (b.verdict, b.conditions) {
            ("yes", _) => "yes".to_owned(),
            (_, 1) => "yes, on one condition".to_owned(),
            (_, n) => format!("yes, on {n} conditions"),
        };
        let told: Vec<String> = std::iter::once(how).chain(b.wished.iter().map(Heard::words)).collect();
        format!("fits better: {} ({})", b.name, told.join("; "))
    });
    answer.wished.iter().map(Heard::words).chain(better).collect()
}

/// Several jobs for a terminal of this width, the best first.
pub fn ranking_at(ranking: &Ranking, width: usize) -> String {
    let mut out = String::new();
    for (title, lines) in ranking_parts(ranking) {
        let _ = writeln!(out, "{title}:");
        lines.iter().for_each(|line| wrapped(&mut out, "  - ", line, width.max(NARROWEST)));
    }
    out
}

/// Several jobs as Markdown, the best first.
pub fn ranking_markdown(ranking: &Ranking) -> String {
    let mut out = String::new();
    for (title, lines) in ranking_parts(ranking) {
        let _ = write!(out, "{}{title}:\n\n", if out.is_empty() { "" } else { "\n" });
        lines.iter().for_each(|line| out.push_str(&format!("- {}\n", escaped(line))));
    }
    out
}

fn ranking_parts(ranking: &Ranking) -> Vec<(&'static str, Vec<String>)> {
    // What is said alike of several is said of them together.
    let same = |a: &Ranked, b: &Ranked| {
        (&a.text, a.evidence) == (&b.text, b.evidence) && (a.why == b.why || a.verdict == "no")
    };
    let of = |pick: &dyn Fn(&Ranked) -> bool| -> Vec<String> {
        let mut told: Vec<(&Ranked, Vec<&str>)> = Vec::new();
        for row in ranking.rows.iter().filter(|r| pick(r)) {
            match told.iter_mut().find(|t| same(t.0, row)) {
                Some(same) => same.1.push(&row.name),
                None => told.push((row, vec![&row.name])),
            }
        }
        let line = |(row, names): (&Ranked, Vec<&str>)| {
            // Of what cannot be done the reason is enough.
            let why = Some(row.why.as_str()).filter(|w| !w.is_empty() && row.verdict != "no");
            let told: Vec<&str> = why.into_iter().chain(Some(row.text.as_str()).filter(|t| !t.is_empty())).collect();
            match told.is_empty() {
                true => format!("{} ({})", names.join(", "), row.evidence),
                false => format!("{}: {} ({})", names.join(", "), told.join("; "), row.evidence),
            }
        };
        told.into_iter().map(line).collect()
    };
    let order = vec![ranking.ordered_by.join(", then ")];
    let working = ranking.rows.iter().filter(|r| r.verdict != "no");
    let yes = if ranking.rows.iter().any(|r| r.only_a_base) { "Yes, with a base where one is told" } else { "Yes" };
    let parts = vec![
        (yes, of(&|r| r.verdict == "yes" || r.only_a_base)),
        ("Yes, provided that", of(&|r| r.verdict == "yes-if" && !r.only_a_base)),
        ("It depends", of(&|r| r.verdict == "depends" && r.code != "not-known")),
        ("Not known", of(&|r| r.code == "not-known")),
        ("No", of(&|r| r.verdict == "no")),
        ("Taken so", ranking.taken_as.clone()),
        ("In the order of", order),
        ("Chosen by", ranking.chosen.iter().map(|c| format!("{} (left out: {})", c.by, c.left_out)).collect()),
        ("Take care", alike(working.flat_map(|r| &r.cautions).filter(|c| c.when.is_none()))),
    ];
    parts.into_iter().filter(|p| !p.1.is_empty()).collect()
}

/// The whole tree of reasons behind an answer.
pub fn tree_at(answer: &Answer, width: usize) -> String {
    fn branch(out: &mut String, reason: &Reason, depth: usize, width: usize) {
        let lead = format!("{}- ", "  ".repeat(depth));
        let from: Vec<&str> =
            [reason.basis, reason.source.as_deref(), reason.place.as_deref()].into_iter().flatten().collect();
        let from = if from.is_empty() { String::new() } else { format!(" [{}]", from.join("; ")) };
        wrapped(out, &lead, &format!("{}{from}", reason.text), width);
        reason.because.iter().for_each(|r| branch(out, r, depth + 1, width));
    }
    let mut out = String::new();
    wrapped(&mut out, "", &headline(answer), width);
    for (name, print) in prints(answer) {
        wrapped(&mut out, "\n== ", &name, width);
        out.push_str(&tree_at(print, width));
    }
    if answer.prints.is_empty() {
        answer.reasons.iter().for_each(|r| branch(&mut out, r, 0, width));
    }
    out
}

/// Signs that Markdown would take for marks of its own.
pub(super) fn escaped(text: &str) -> String {
    text.chars().fold(String::new(), |mut out, c| {
        if matches!(c, '*' | '_' | '`' | '[' | ']' | '<' | '#' | '\\') {
            out.push('\\');
        }
        out.push(c);
        out
    })
}

fn prints(answer: &Answer) -> impl Iterator<Item = (String, &Answer)> {
    let named = |(i, p): (usize, &Answer)| p.position.clone().unwrap_or_else(|| format!("print {}", i + 1));
    answer.prints.iter().enumerate().map(move |(i, p)| (named((i, p)), p))
}

/// A part of an answer, however it is laid out.
#[derive(Clone, PartialEq)]
enum Part {
    List(String, Vec<String>),
    Line(String),
}

/// What an answer says after its first line, in the order in which a reader wants it.
fn parts(answer: &Answer) -> Vec<Part> {
    let mut parts = Vec::new();
    let sheet = answer.recipe.as_ref().filter(|_| answer.lead == Lead::How);
    let mut list = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            parts.push(Part::List(title.to_owned(), lines));
        }
    };
    list("As asked", wished_lines(answer));
    let first = answer.next_question.iter().flat_map(|ask| question_lines(ask));
    list("Ask first", first.collect());
    let (cases, rest) = rows(answer);
    let few = cases.len().min(FEW_CASES);
    let told = cases.iter().take(few).cloned().chain(rest.filter(|_| few == cases.len()));
    list(&some_of("Cases", few, cases.len()), told.collect());
    // Windows are told with the settings.
    let reasons = answer.reasons.iter().filter(|r| r.code != "window");
    let why: Vec<String> = reasons.map(|r| reason_line(r, answer.evidence)).collect();
    list("What decides", answer.depends_on.iter().map(deciding_line).collect());
    let works = answer.works();
    // A sheet tells conditions and settings in the step of work that they belong to.
    match sheet.filter(|_| works) {
        Some(recipe) => {
            let told = |c: &&Said| recipe.steps.iter().any(|s| s.conditions.contains(&c.code));
            list("Provided that", answer.conditions.iter().filter(|c| !told(c)).map(Said::told).collect());
            sheet_lists(answer, recipe, &answer.conditions).into_iter().for_each(|(title, lines)| list(&title, lines));
            list("Why", why);
        }
        None => {
            list("Why", why);
            // What holds in every case comes first.
            let (always, sometimes): (Vec<&Said>, Vec<&Said>) =
                answer.conditions.iter().partition(|c| c.when.is_none());
            let all = always.len() + sometimes.len();
            let shown = if works { all } else { all.min(FEW_CASES.max(always.len())) };
            let few = always.into_iter().chain(sometimes).take(shown);
            list(&some_of("Provided that", shown, all), few.map(Said::told).collect());
            // Only what was not said of the layers is told; no steps are told to point at.
            let laid = answer.recipe.iter().filter(|r| works && r.layers.iter().any(|l| l.asked_by.is_some()));
            list("Layers, from the cloth up", laid.flat_map(|r| layer_lines(r, &[])).collect());
            let settings = answer.recipe.iter().filter(|_| works).flat_map(|r| r.settings.values());
            list("Settings", settings.filter_map(setting_line).collect());
        }
    }
    match &answer.safe_way {
        Some(way) => {
            let changes = all_changes(way);
            // Conditions that were told above are not told again.
            let known = |c: &&Said| answer.conditions.iter().any(|o| o.code == c.code && o.text == c.text);
            let (told, new): (Vec<&Said>, Vec<&Said>) = way.conditions.iter().partition(known);
            let first = match (told.is_empty(), new.is_empty()) {
                (true, true) => changes,
                (true, false) => format!("{changes}, provided that:"),
                (false, true) => format!("{changes}, provided that the above is done"),
                (false, false) => format!("{changes}, provided that the above is done, and:"),
            };
            let then = new.into_iter().map(Said::told);
            list("Safe in every case", std::iter::once(first).chain(then).collect());
            // How it is printed in that way.
            let steps = sheet.map(|recipe| sheet_lists(answer, recipe, &way.conditions));
            steps.into_iter().flatten().for_each(|(title, lines)| list(&title, lines));
        }
        None if answer.verdict == "depends" && answer.code != "contradiction" => {
            parts.push(Part::Line("Treat it as no until that is known.".to_owned()));
        }
        None => {}
    }
    let mut list = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            parts.push(Part::List(title.to_owned(), lines));
        }
    };
    let (fixes, alternatives) = (shown(answer, &answer.fixes), shown(answer, &answer.alternatives));
    let changes = |title: &str, fixes: &[&Fix]| -> (String, Vec<String>) {
        let whole = answer.lead == Lead::Changes;
        let few = if whole { fixes } else { fixes.get(..FEW).unwrap_or(fixes) };
        let lines = few.iter().map(|f| if whole { whole_fix(f) } else { fix_line(f) });
        (some_of(title, few.len(), fixes.len()), lines.collect())
    };
    for (title, lines) in
        [changes("What would make it possible", &fixes), changes("What else would work", &alternatives)]
    {
        list(&title, lines);
    }
    if answer.verdict == "no" && fixes.is_empty() && alternatives.is_empty() {
        let nor = if answer.customer_fixes.is_empty() { "; nor one that the customer could make alone" } else { "" };
        let line = match answer.may_do {
            false => format!("nothing that the shop controls: no change, or set of up to three, was found{nor}"),
            true => "nothing for certain: no change, or set of up to three, does in every case".to_owned(),
        };
        list("What would make it possible", vec![line]);
    }
    list("What may make it possible, once more is known", answer.may_help.iter().map(may_line).collect());
    let (title, lines) = changes("What the customer could change", &answer.customer_fixes.iter().collect::<Vec<_>>());
    list(&title, lines);
    // What belongs to a step of work is told there.
    let in_step = |s: &&Said| sheet.is_some_and(|r| r.steps.iter().any(|step| s.step.as_ref() == Some(&step.step)));
    let cautions = answer.cautions.iter().filter(|c| !in_step(c));
    let cautions = cautions.filter(|c| c.when.is_none() || c.about.as_deref() == Some("health"));
    let told = fixes.iter().take(FEW).chain(alternatives.iter().take(FEW)).copied();
    let told = told.chain(answer.may_help.iter()).chain(answer.customer_fixes.iter().take(FEW));
    let of_fixes = answer.safe_way.iter().chain(told).flat_map(|f| &f.cautions);
    list("Take care", alike(cautions.chain(of_fixes)));
    let advice = answer.advice.iter().filter(|c| c.when.is_none() && !in_step(c));
    list("Advice", advice.map(Said::told).collect());
    let own = |r: &Reason| format!("{} ({})", r.text, r.house().unwrap_or_default());
    list("From the shop's own knowledge", answer.house.iter().map(own).collect());
    let assumed: Vec<&str> = answer
        .assumed
        .iter()
        .filter(|a| a.matters && a.changes_to.is_none() && !a.text.is_empty())
        .map(|a| a.text.as_str())
        .collect();
    if !assumed.is_empty() {
        parts.push(Part::Line(format!("Taken for granted: {}.", assumed.join(", "))));
    }
    parts.push(Part::Line(format!("Evidence: {}.", answer.evidence)));
    led(answer, parts)
}

/// The parts with those first that the question asks for.
fn led(answer: &Answer, mut parts: Vec<Part>) -> Vec<Part> {
    let first: &[&str] = match answer.lead {
        Lead::Verdict | Lead::How => return parts,
        Lead::Settings => &["Provided that", "Settings", "Safe in every case"],
        Lead::Changes => &[
            "Safe in every case",
            "What would make it possible",
            "What else would work",
            "What the customer could change",
        ],
        Lead::Facts => &["Ask first", "What decides"],
    };
    let place = |p: &Part| match p {
        Part::List(title, _) => first.iter().position(|f| f == title).unwrap_or(first.len()),
        Part::Line(_) => first.len(),
    };
    // What was asked for is answered even where there is nothing of it.
    let missing = match (answer.lead, answer.verdict) {
        (Lead::Changes, "yes" | "yes-if") => Some("Nothing needs to change."),
        (Lead::Facts, "yes" | "yes-if" | "no") => Some(
            "Nothing that was not said decides it; what is taken for granted stands below: say so if it is otherwise.",
        ),
        _ => None,
    };
    parts.sort_by_key(place);
    if let Some(line) = missing {
        parts.insert(0, Part::Line(line.to_owned()));
    }
    parts
}

/// The verdict and what was asked, with the assumptions that would turn it.
fn headline(answer: &Answer) -> String {
    if !answer.prints.is_empty() {
        let mut told: Vec<(&str, Vec<String>)> = Vec::new();
        for verdict in ["no", "depends", "yes-if", "yes"] {
            for (name, print) in prints(answer).filter(|p| p.1.verdict == verdict) {
                match told.iter_mut().find(|t| t.0 == outcome(print)) {
                    Some(same) => same.1.push(name),
                    None => told.push((outcome(print), vec![name])),
                }
            }
        }
        let told = told.into_iter().map(|(outcome, names)| format!("{outcome}: {}.", names.join(", ")));
        return told.collect::<Vec<_>>().join(" ");
    }
    // The reasons follow under a title of their own.
    let mut line = match (answer.verdict, answer.code) {
        ("no", _) | ("depends", "not-known" | "open-fact") => format!("{}: {}.", outcome(answer), answer.subject),
        _ => answer.summary.clone(),
    };
    let mut lead = " This takes for granted: ";
    for (otherwise, to) in [
        ("the answer may be no", &["no"][..]),
        ("the answer may be yes", &["yes", "yes-if"]),
        ("nothing is known", &["depends"]),
    ] {
        let turning = answer.assumed.iter().filter(|a| a.changes_to.is_some_and(|c| to.contains(&c)));
        let turning: Vec<&str> = turning.map(|a| a.text.as_str()).collect();
        if !turning.is_empty() {
            let _ = write!(line, "{lead}{}; otherwise {otherwise}.", turning.join(", "));
            lead = " And: ";
        }
    }
    line
}

/// A verdict in words.
fn outcome(answer: &Answer) -> &str {
    match (answer.verdict, answer.code) {
        ("no", _) => "No",
        ("depends", "not-known") => "Not known",
        ("depends", "open-fact") => "It depends",
        _ => answer.summary.split_once(": ").map_or(answer.summary.as_str(), |s| s.0),
    }
}

/// The cases in which it fails, and what is so of all others; those with one reason are told together, and of one case
/// one reason.
fn rows(answer: &Answer) -> (Vec<String>, Option<String>) {
    let mut groups: Vec<(&Branch, Vec<String>)> = Vec::new();
    for (i, row) in answer.rows.iter().enumerate() {
        let told = |o: &Branch| o.verdict == row.verdict && o.values == row.values;
        if !row.values.is_empty() && answer.rows.iter().take(i).any(told) {
            continue;
        }
        let case = row.values.join(" and ");
        match groups.iter_mut().find(|g| g.0.text == row.text && g.0.verdict == row.verdict) {
            Some(group) => group.1.push(case),
            None => groups.push((row, vec![case])),
        }
    }
    let mut lines: Vec<String> = Vec::new();
    for (row, cases) in groups {
        let word = match (row.verdict, row.code.as_str()) {
            ("no", _) => "no",
            (_, "not-known") => "not known",
            _ => "perhaps not",
        };
        // A case told by the rule itself is a phrase of its own.
        let own = |case: &str| OPENERS.iter().any(|p| case.starts_with(p));
        let when = match cases.as_slice() {
            [one] if one.is_empty() => String::new(),
            all if all.iter().all(|c| own(c)) => format!(" {}", all.join(", or ")),
            _ => format!(" if {}", cases.join(", or if ")),
        };
        lines.push(format!("{word}{when}: {}", row.text));
    }
    let rest = if answer.rows_complete { "otherwise it can be done" } else { "there may be other such cases" };
    let open = answer.code == "open-fact" && !lines.is_empty();
    (lines, open.then(|| rest.to_owned()))
}

/// A reason with its source; how well it is supported, where that is not said of the whole answer.
fn reason_line(r: &Reason, evidence: &str) -> String {
    let mut line = r.text.clone();
    match (&r.source, r.basis) {
        // The full citations are in the JSON answer and on the rule's page.
        (Some(source), _) => {
            let mut sources = source.split("; ");
            let first = sources.next().unwrap_or("");
            let more = match sources.count() {
                0 => String::new(),
                n => format!(", and {n} more"),
            };
            let _ = write!(line, " [{first}{more}]");
        }
        // A shop's own word says whose it is.
        (None, Some(basis @ "house")) => {
            let _ = write!(line, " [{basis}, {}]", r.layer.as_deref().unwrap_or_default());
        }
        (None, Some(basis)) if basis != evidence => {
            let _ = write!(line, " [{basis}]");
        }
        _ => {}
    }
    line
}

/// Cautions, each told once: what is said alike of several things is said of them together.
fn alike<'a>(cautions: impl Iterator<Item = &'a Said>) -> Vec<String> {
    let mut told: Vec<(&Said, Vec<&str>, &str)> = Vec::new();
    for said in cautions {
        let named = said.values.values().filter_map(|v| v.as_str()).filter(|v| !v.is_empty());
        let name = named.filter(|v| said.text.starts_with(v)).max_by_key(|v| v.len()).unwrap_or("");
        let rest = said.text.get(name.len()..).unwrap_or("");
        // One that names several is one of each.
        let mut own: Vec<&str> = name.split(", ").flat_map(|n| n.split(" and ")).collect();
        match told.iter_mut().find(|(s, _, r)| s.code == said.code && s.when == said.when && *r == rest) {
            Some((_, names, _)) => {
                own.retain(|n| !names.contains(n));
                names.extend(own);
            }
            None => told.push((said, own, rest)),
        }
    }
    let line = |(said, names, rest): (&Said, Vec<&str>, &str)| {
        let when = said.when.as_ref().map_or(String::new(), |w| format!("{w}: "));
        let names = match names.split_last() {
            Some((last, [])) => (*last).to_owned(),
            Some((last, others)) => format!("{} and {last}", others.join(", ")),
            None => String::new(),
        };
        format!("{when}{names}{rest}")
    };
    told.into_iter().map(line).collect()
}

/// The steps of a sheet, and what would have to be said for more figures.
fn sheet_lists(answer: &Answer, recipe: &Recipe, conditions: &[Said]) -> Vec<(String, Vec<String>)> {
    let numbered = recipe.steps.iter().enumerate();
    let steps =
        numbered.map(|(i, step)| (format!("{}. {}", i + 1, step.title), step_lines(answer, recipe, step, conditions)));
    let layers = layer_lines(recipe, conditions);
    let asks = recipe.asks.iter().map(|a| a.ask.clone()).collect();
    let asked = std::iter::once(("Say also, and more can be reckoned".to_owned(), asks));
    std::iter::once(("Layers, from the cloth up".to_owned(), layers)).chain(steps).chain(asked).collect()
}

/// The layers where there are several, or one that a condition asks for.
fn layer_lines(recipe: &Recipe, conditions: &[Said]) -> Vec<String> {
    if recipe.layers.len() < 2 {
        return Vec::new();
    }
    let step = |code: &str| {
        let condition = conditions.iter().find(|c| c.code == code)?;
        recipe.steps.iter().position(|s| Some(&s.step) == condition.step.as_ref())
    };
    let line = |(i, layer): (usize, &SheetLayer)| match &layer.asked_by {
        Some(code) => {
            let place = step(code).map_or(String::new(), |s| format!(" in step {}", s + 1));
            format!("layer {}: {}, which the condition{place} asks for", i + 1, layer.text)
        }
        None => format!("layer {}: {}", i + 1, layer.text),
    };
    recipe.layers.iter().enumerate().map(line).collect()
}

/// What is set, done and must be done in a step.
fn step_lines(answer: &Answer, recipe: &Recipe, step: &WorkStep, conditions: &[Said]) -> Vec<String> {
    let settings = step.settings.iter().filter_map(|key| recipe.settings.get(key)).filter_map(setting_line);
    let conditions = conditions.iter().filter(|c| step.conditions.contains(&c.code));
    let notes = answer.cautions.iter().chain(&answer.advice);
    let notes = notes.filter(|n| n.step.as_ref() == Some(&step.step) && n.when.is_none());
    let work = step.work.iter().chain(notes).map(Said::told);
    let amounts = recipe.quantities.iter().filter(|q| q.step == step.step);
    let amounts = amounts.map(|q| format!("{} ({})", q.text, q.why));
    settings.chain(amounts).chain(work).chain(conditions.map(|c| format!("condition: {}", c.told()))).collect()
}

fn setting_line(setting: &serde_json::Value) -> Option<String> {
    setting.get("text")?.as_str().map(str::to_owned)
}

/// A question, with what each answer leads to. The longest list of answers is told as any other.
fn deciding_line(d: &Deciding) -> String {
    let longest = d.branches.iter().map(|b| b.values.len()).max().filter(|n| *n > 6 && d.branches.len() > 1);
    let rest = longest.and_then(|n| d.branches.iter().rposition(|b| b.values.len() == n));
    let verdict = |b: &Branch| if b.verdict == "yes-if" { "yes, on conditions" } else { b.verdict };
    let named = d.branches.iter().enumerate().filter(|(i, _)| Some(*i) != rest);
    let mut told: Vec<String> = named.map(|(_, b)| format!("{}: {}", few(&b.values), verdict(b))).collect();
    told.extend(rest.and_then(|i| d.branches.get(i)).map(|b| format!("any other: {}", verdict(b))));
    let say = d.say.as_ref().map_or(String::new(), |say| format!("; say `{say} …`"));
    // Where more is asked whatever it is, the list of it says nothing.
    if d.branches.len() < 2 && d.branches.iter().all(|b| b.verdict == "depends") {
        told.clear();
    }
    if told.is_empty() { format!("{}{say}", d.ask) } else { format!("{} ({}){say}", d.ask, told.join("; ")) }
}

/// Changes that are not told as the safe way.
fn shown<'a>(answer: &'a Answer, fixes: &'a [Fix]) -> Vec<&'a Fix> {
    fixes.iter().filter(|f| answer.safe_way.as_ref() != Some(*f)).collect()
}

/// A title that says how many of a list follow, where not all do.
fn some_of(title: &str, shown: usize, all: usize) -> String {
    if shown < all { format!("{title} ({shown} of {all})") } else { title.to_owned() }
}

/// A change with its conditions.
fn whole_fix(fix: &Fix) -> String {
    let conditions: Vec<String> = fix.conditions.iter().map(Said::told).collect();
    let then = if conditions.is_empty() { String::new() } else { format!(": {}", conditions.join("; ")) };
    format!("{}{then}", fix_line(fix))
}

fn fix_line(fix: &Fix) -> String {
    let verdict = match (fix.verdict, fix.conditions.len()) {
        ("yes-if", 0) => "yes, if".to_owned(),
        ("yes-if", 1) => "yes, on one condition".to_owned(),
        ("yes-if", n) => format!("yes, on {n} conditions"),
        (verdict, _) => verdict.to_owned(),
    };
    format!("{}: {verdict}", all_changes(fix))
}

/// A set after which it depends, with the question that settles it.
fn may_line(fix: &Fix) -> String {
    let asked = fix.hangs_on.as_ref().map_or(String::new(), |d| format!(": {}", deciding_line(d)));
    format!("{}: it depends{asked}", all_changes(fix))
}

/// The changes of a set, all of which are to be made.
fn all_changes(fix: &Fix) -> String {
    match fix.changes.split_last() {
        None => String::new(),
        Some((one, [])) => one.clone(),
        Some((last, rest)) => format!("{}, and {last}", rest.join(", ")),
    }
}

/// The first six of a list; how many more there are.
pub(super) fn few(values: &[String]) -> String {
    match values.len() {
        0..=6 => values.join(", "),
        n => format!("{} and {} more", values.iter().take(6).cloned().collect::<Vec<_>>().join(", "), n - 6),
    }
}

/// Writes a text in lines of at most this width, the later ones indented like the first.
pub(super) fn wrapped(out: &mut String, lead: &str, text: &str, width: usize) {
    let indent = " ".repeat(lead.trim_start_matches('\n').chars().count());
    let mut line = lead.to_owned();
    let mut used = indent.len();
    let mut fresh = true;
    for word in words(text) {
        let length = word.chars().count();
        if !fresh && used + 1 + length > width {
            let _ = writeln!(out, "{}", line.trim_end());
            line.clone_from(&indent);
            used = indent.len();
            fresh = true;
        }
        if !fresh {
            line.push(' ');
            used += 1;
        }
        line.push_str(&word);
        used += length;
        fresh = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

/// Words that stay on one line: a number keeps its unit.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut after_number = false;
    for word in text.split_whitespace() {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric() && !"°%µ/".contains(c));
        let number = bare.chars().next().is_some_and(|c| c.is_ascii_digit());
        let unit = !number && bare.chars().count() <= 4 && !["to", "and", "or", "of", "in"].contains(&bare);
        match words.last_mut() {
            Some(last) if after_number && unit => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
        after_number = number && bare.chars().all(|c| c.is_ascii_digit() || c == '.');
    }
    words
}
