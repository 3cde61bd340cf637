//! What is wrong with a text, where, and what to do: one type for knowledge, questions and jobs.
//!
//! A message says what is wrong in lower case without a full stop; the help says what to do; every place
//! involved carries a label. Wrong input ends here; it never panics.

use crate::source::{SourceFile, Span};
use miette::{Diagnostic, LabeledSpan, SourceCode};
use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

/// One thing that is wrong, with its places.
#[derive(Debug, Clone)]
pub struct Problem {
    /// Stable code, for programs.
    pub code: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: Option<String>,
    /// The places involved, the chief one first.
    pub labels: Vec<(Span, String)>,
    /// What may be meant at the chief place, each in words that stand there as well as those that are written.
    pub readings: Vec<String>,
    file: Option<Arc<miette::NamedSource<String>>>,
    elsewhere: Vec<Problem>,
}

impl Problem {
    /// A problem at one place.
    pub fn new(code: &'static str, span: Span, label: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            code,
            message: message.into(),
            help: None,
            labels: vec![(span, label.into())],
            readings: Vec::new(),
            file: None,
            elsewhere: Vec::new(),
        }
    }

    /// A problem that has no place in a text.
    pub fn nowhere(code: &'static str, message: impl Into<String>) -> Self {
        Self { labels: Vec::new(), ..Self::new(code, Span::default(), "", message) }
    }

    /// Adds what to do about it.
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

    /// Adds another place involved.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.labels.push((span, label.into()));
        self
    }

    /// The chief place.
    pub fn span(&self) -> Span {
        self.labels.first().map(|l| l.0).unwrap_or_default()
    }

    fn attach(&mut self, texts: &mut Texts<'_>) {
        if self.labels.is_empty() {
            return;
        }
        let chief = self.span().file;
        let (here, there): (Vec<_>, Vec<_>) = self.labels.drain(..).partition(|l| l.0.file == chief);
        self.labels = here;
        self.elsewhere = there
            .into_iter()
            .map(|(span, label)| {
                let mut other = Problem::new(self.code, span, "", label);
                other.attach(texts);
                other
            })
            .collect();
        match texts.of(chief) {
            Some(file) => self.file = Some(file),
            // A line that fills screens is not shown; its place is told.
            None => {
                if let Some(file) = texts.files.get(chief as usize) {
                    let (line, column) = file.line_column(self.span().start as usize);
                    self.message = format!("{} ({}:{line}:{column})", self.message, file.name);
                }
            }
        }
    }
}

/// What stands between backticks, where that is several things.
pub(crate) fn meanings(says: &str) -> Vec<String> {
    let quoted: Vec<String> = says.split('`').skip(1).step_by(2).map(str::to_owned).collect();
    if quoted.len() > 1 { quoted } else { Vec::new() }
}

/// Longer lines are not shown.
const MAX_LINE: usize = 2_000;

/// Texts to point into, each made ready once.
struct Texts<'a> {
    files: &'a [SourceFile],
    ready: HashMap<u32, Arc<miette::NamedSource<String>>>,
}

impl Texts<'_> {
    fn of(&mut self, index: u32) -> Option<Arc<miette::NamedSource<String>>> {
        let file = self.files.get(index as usize).filter(|f| f.text.lines().all(|l| l.len() <= MAX_LINE))?;
        // A caret is drawn at the end of input only if there is something to point at.
        let ready = || Arc::new(miette::NamedSource::new(&file.name, format!("{} ", file.text)));
        Some(Arc::clone(self.ready.entry(index).or_insert_with(ready)))
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Problem {}

impl Diagnostic for Problem {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(self.code))
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.help.as_ref().map(|h| Box::new(h) as _)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.file.as_ref().map(|f| &**f as _)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let text = self.file.as_ref().map_or("", |f| f.inner().as_str());
        Some(Box::new(self.labels.iter().map(move |(span, label)| {
            // An empty place is drawn under the character that stands there.
            let next = text.get(span.start as usize..).and_then(|t| t.chars().next()).map_or(1, char::len_utf8);
            let length = if span.end > span.start { (span.end - span.start) as usize } else { next };
            let text = (!label.is_empty()).then(|| label.clone());
            LabeledSpan::new(text, span.start as usize, length)
        })))
    }

    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn Diagnostic> + 'a>> {
        (!self.elsewhere.is_empty()).then(|| Box::new(self.elsewhere.iter().map(|p| p as &dyn Diagnostic)) as _)
    }
}

/// So many problems are told at once: nobody reads on after that.
const MOST: usize = 100;

/// Everything that is wrong with an input, in the order of its places.
#[derive(Debug, Clone)]
pub struct Problems {
    list: Vec<Problem>,
}

impl Problems {
    /// Gathers problems and attaches the texts that they point into.
    pub fn new(mut list: Vec<Problem>, files: &[SourceFile]) -> Self {
        list.sort_by_key(|p| (p.span(), p.code));
        if list.len() > MOST {
            let more = Problem::nowhere("more", format!("and {} problems more", list.len() - MOST));
            list.truncate(MOST);
            list.push(more.help("put these right first"));
        }
        let mut texts = Texts { files, ready: HashMap::new() };
        for problem in &mut list {
            problem.attach(&mut texts);
        }
        Self { list }
    }

    /// The same, where a text was read with words of our own in the place of others: what stands at each place is quoted
    /// as it was written.
    #[must_use]
    pub fn quoting(mut self, read: &str, written: &str) -> Self {
        for problem in &mut self.list {
            let place = problem.span().start as usize..problem.span().end as usize;
            let rest = written.get(place.end..).unwrap_or_default();
            let end = rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len());
            // Whole words: what was read may begin or end within one.
            let begun = written.get(..place.start).unwrap_or_default();
            let start = begun
                .rfind(|c: char| !c.is_alphanumeric())
                .map_or(0, |i| i + begun.get(i..).and_then(|t| t.chars().next()).map_or(1, char::len_utf8));
            if let (Some(own), Some(said)) = (read.get(place.clone()), written.get(start..place.end + end))
                && own != said
            {
                let quoted = |words: &str| format!("`{}`", words.trim());
                problem.message = problem.message.replace(&quoted(own), &quoted(said));
            }
        }
        self
    }

    /// The problems.
    pub fn list(&self) -> &[Problem] {
        &self.list
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.list.as_slice() {
            [one] => write!(f, "{one}"),
            many => write!(f, "{} problems", many.len()),
        }
    }
}

impl std::error::Error for Problems {}

impl Diagnostic for Problems {
    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn Diagnostic> + 'a>> {
        Some(Box::new(self.list.iter().map(|p| p as &dyn Diagnostic)))
    }
}

/// The known names nearest to a word that is not known, best first, at most three.
pub fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    // A name is never so long, and comparing costs more the longer it is.
    if word.len() > 64 {
        return Vec::new();
    }
    let word = word.to_lowercase();
    let mut scored: Vec<(f64, &str)> = known
        .map(|k| (strsim::jaro_winkler(&word, &k.to_lowercase()), k))
        // The same beginning alone makes a long name no near one.
        .filter(|(score, k)| *score >= 0.80 && strsim::normalized_damerau_levenshtein(&word, &k.to_lowercase()) >= 0.4)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.into_iter().take(3).map(|s| s.1).collect()
}

/// Whether a word may be one of these with a letter or two mistyped.
pub fn mistyped(word: &str, known: &[String]) -> bool {
    let word = word.to_lowercase();
    let allowed = match word.chars().count() {
        ..=3 => 0,
        4..=7 => 1,
        _ => 2,
    };
    known.iter().any(|k| strsim::damerau_levenshtein(&word, k) <= allowed)
}

/// Help text that offers the nearest names, or says what is allowed.
pub fn did_you_mean<'a>(word: &str, known: impl Iterator<Item = &'a str> + Clone) -> Option<String> {
    let close = nearest(word, known.clone());
    if !close.is_empty() {
        return Some(format!("did you mean {}?", one_of(&close)));
    }
    let all: Vec<&str> = known.collect();
    (all.len() <= 12 && !all.is_empty()).then(|| format!("use {}", one_of(&all)))
}

/// `a, b or c`, each in backticks.
pub fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    match quoted.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}
