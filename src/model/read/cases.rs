//! Worked cases.

use super::Reader;
use super::fields::{Fields, id_fits, items, origin, text};
use super::rules::written_ids;
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::{Node, Value};
use crate::model::{Case, CaseJob, Model};
use crate::source::Span;

/// Reads all cases.
pub(super) fn read(model: &mut Model, reader: &mut Reader) {
    let mut cases: Vec<Case> = Vec::new();
    let written = written_ids(reader);
    for (_, node) in reader.below("cases/") {
        for item in items(&node, reader) {
            if let Some(found) = case(item, &written, model, reader) {
                if let Some(first) = cases.iter().find(|c| c.id == found.id) {
                    reader.report(
                        Problem::new(
                            "knowledge::duplicate-id",
                            found.origin.span,
                            "again",
                            format!("case `{}` is written twice", found.id),
                        )
                        .also(first.origin.span, "first here"),
                    );
                }
                cases.push(found);
            }
        }
    }
    model.cases = cases;
}

fn case(item: &Node, written: &[String], model: &Model, reader: &mut Reader) -> Option<Case> {
    let mut f = Fields::of(item, "a case", reader)?;
    let id = f.need_text("case", reader)?;
    let place = f.place("case");
    id_fits(&id, place, reader);
    let says = f.text("says", reader);
    let ask = f.text("ask", reader);
    let job = f.get("job").map(json);
    let verdict = f.need("verdict", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let because = rules(f.texts("because", reader), written, model, reader);
    let never = rules(f.texts("never", reader), written, model, reader);
    let code = f.text("code", reader);
    let found = origin(&mut f, None, model, reader);
    f.done(reader);
    let (verdict, verdict_place) = verdict?;
    if !["yes", "yes-if", "no", "depends"].contains(&verdict.as_str()) {
        reader.report(
            Problem::new("knowledge::unknown-name", verdict_place, "here", format!("unknown verdict `{verdict}`"))
                .help("use `yes`, `yes-if`, `no` or `depends`"),
        );
    }
    let job = match (ask, job) {
        (Some(a), None) => CaseJob::Ask(a),
        (None, Some(j)) => CaseJob::Job(j),
        _ => {
            reader.report(
                Problem::new("knowledge::one-value", place, "here", "a case has exactly one job")
                    .help("write `ask:` or `job:`"),
            );
            return None;
        }
    };
    let mut found = found?;
    found.span = place;
    Some(Case { id, says, job, verdict, because, never, code, origin: found })
}

fn rules(words: Vec<(String, Span)>, written: &[String], model: &Model, reader: &mut Reader) -> Vec<String> {
    for (word, span) in &words {
        // What is wrong with a rule has been reported.
        if !written.contains(word) && !model.rules.iter().any(|r| r.was.contains(word)) {
            let mut problem = Problem::new("knowledge::unknown-name", *span, "here", format!("unknown rule `{word}`"));
            problem.help = did_you_mean(word, model.rules.iter().map(|r| r.id.as_str()));
            reader.report(problem);
        }
    }
    words.into_iter().map(|w| w.0).collect()
}

fn json(node: &Node) -> serde_json::Value {
    match &node.value {
        Value::Null => serde_json::Value::Null,
        Value::Bool(b) => (*b).into(),
        Value::Text(t) => match t.parse::<i64>() {
            Ok(n) => n.into(),
            Err(_) => t.clone().into(),
        },
        Value::List(items) => items.iter().map(json).collect(),
        Value::Map(pairs) => {
            pairs.iter().map(|(k, v)| (k.name.clone(), json(v))).collect::<serde_json::Map<_, _>>().into()
        }
    }
}
