//! A house case drafted from what came of a job, as YAML to be read and kept by a person; nothing is written anywhere.

use crate::answer::Answer;
use crate::model::{Entity, Model};
use crate::statement::Stated;
use crate::words::folded;

/// What came of a job.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Happened<'a> {
    /// The job as a question asks it.
    pub ask: &'a str,
    /// What was found out of it besides.
    pub known: &'a Stated,
    /// What the knowledge answered.
    pub answer: &'a Answer,
    /// What came of it, in the words of whoever saw it.
    pub result: &'a str,
    /// The failure that these words name, and whether they say that it did not happen.
    pub failure: Option<(&'a Entity, bool)>,
}

/// Words that say that it went well.
const WELL: [&str; 12] =
    ["held", "holds", "hold", "fine", "good", "well", "passed", "worked", "works", "ok", "okay", "perfect"];

/// Words that turn those into their opposite.
const NOT: [&str; 8] = ["not", "no", "never", "without", "didn't", "doesn't", "hardly", "nothing"];

/// An id is cut to this many letters, at a word.
const LONGEST: usize = 48;

/// The lines of the draft.
pub(crate) fn draft(model: &Model, happened: Happened<'_>) -> Vec<String> {
    let Happened { ask, known, answer, result, failure } = happened;
    let words: Vec<String> = result.split_whitespace().map(plain).collect();
    let well = words.iter().any(|w| WELL.contains(&w.as_str())) && !words.iter().any(|w| NOT.contains(&w.as_str()));
    let failed = failure.filter(|f| !f.1).map(|f| f.0);
    let held = failed.is_none() && (well || failure.is_some());
    let works = matches!(answer.verdict, "yes" | "yes-if");
    let verdict = match failed {
        Some(_) => "no",
        None if held && !works => "yes",
        None => answer.verdict,
    };
    let mut lines = vec!["# For cases/seen.yaml of the shop's own folder. Read it before you keep it.".to_owned()];
    let mut remark = |text: String| lines.push(format!("# {}", text.split_whitespace().collect::<Vec<_>>().join(" ")));
    if failed.is_none() && !held {
        remark(
            "What came of it is not understood: the verdict is the answer's own. Set it to what was seen.".to_owned(),
        );
    }
    if verdict != answer.verdict {
        remark(format!(
            "The knowledge answers {} ({}): this case fails until a rule or value of the shop says what was seen.",
            answer.verdict, answer.code
        ));
    }
    if held && answer.verdict == "no" {
        remark(
            "One run that held undoes no refusal for health or law, and a dye or a bond may still give way.".to_owned(),
        );
    }
    if failed.is_some() {
        for condition in &answer.conditions {
            let case = condition.when.as_ref().map_or(String::new(), |w| format!(" ({w})"));
            remark(format!("If this was not done, the case proves nothing{case}: {}", condition.text));
        }
    }
    for open in &answer.depends_on {
        remark(format!("Not said, and it matters; say it in `ask`: {}", open.ask));
    }
    for statement in &known.statements {
        let label = statement.attribute.of(model).map_or("", |a| a.label.as_str());
        remark(format!("Found out besides; say it in `ask`: {label}: {}", statement.words));
    }
    for finding in &known.findings {
        remark(format!("Found out besides; say it in `ask`: {}", finding.said(model)));
    }
    let ending = match failed {
        Some(failure) => failure.id.as_str(),
        None if held => "held",
        None => "seen",
    };
    lines.push(format!("- case: {}", id(ask, ending)));
    lines.push(format!("  ask: {}", quoted(ask)));
    lines.push(format!("  verdict: {verdict}"));
    let prevents = |rule: &str| {
        let rule = model.rules.iter().find(|r| r.id == rule);
        rule.is_some_and(|r| r.prevents.is_some() && r.prevents.as_deref() == failed.map(|f| f.id.as_str()))
    };
    let mut because: Vec<&str> =
        answer.reasons.iter().filter_map(|r| r.rule.as_deref()).filter(|r| prevents(r)).collect();
    because.dedup();
    if verdict == "no" && answer.verdict == "no" && !because.is_empty() {
        lines.push(format!("  because: [{}]", because.join(", ")));
    }
    lines.push("  basis: house".to_owned());
    lines.push(format!("  note: {}", quoted(result)));
    lines
}

/// A word without the marks around it.
fn plain(word: &str) -> String {
    word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase()
}

/// An id that no built-in case has.
fn id(ask: &str, ending: &str) -> String {
    let mut id = "seen".to_owned();
    let ascii: String = folded(ask).chars().map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' }).collect();
    for word in ascii.split_whitespace() {
        if id.len() + word.len() >= LONGEST {
            break;
        }
        id = format!("{id}-{word}");
    }
    format!("{id}-{ending}")
}

/// A text as YAML takes it whatever it holds.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
