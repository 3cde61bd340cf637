//! What is wrong with a text, where, and what to do: one type for knowledge, questions and jobs.
//!
//! A message says what is wrong in lower case without a full stop; the help says what to do; every place
//! involved carries a label. Wrong input ends here; it never panics.

use crate::source::{SourceFile, Span};
use miette::{Diagnostic, LabeledSpan, SourceCode};
use std::fmt;

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
    file: Option<miette::NamedSource<String>>,
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
            file: None,
            elsewhere: Vec::new(),
        }
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
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

    fn attach(&mut self, files: &[SourceFile]) {
        let chief = self.span().file;
        let (here, there): (Vec<_>, Vec<_>) = self.labels.drain(..).partition(|l| l.0.file == chief);
        self.labels = here;
        self.elsewhere = there
            .into_iter()
            .map(|(span, label)| {
                let mut other = Problem::new(self.code, span, "", label);
                other.attach(files);
                other
            })
            .collect();
        if let Some(file) = files.get(chief as usize) {
            // A caret is drawn at the end of input only if there is something to point at.
            self.file = Some(miette::NamedSource::new(&file.name, format!("{} ", file.text)));
        }
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
        self.file.as_ref().map(|f| f as _)
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

/// Everything that is wrong with an input, in the order of its places.
#[derive(Debug, Clone)]
pub struct Problems {
    list: Vec<Problem>,
}

impl Problems {
    /// Gathers problems and attaches the texts that they point into.
    pub fn new(mut list: Vec<Problem>, files: &[SourceFile]) -> Self {
        list.sort_by_key(|p| (p.span(), p.code));
        for problem in &mut list {
            problem.attach(files);
        }
        Self { list }
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
    let word = word.to_lowercase();
    let mut scored: Vec<(f64, &str)> = known
        .map(|k| (strsim::jaro_winkler(&word, &k.to_lowercase()), k))
        .filter(|(score, _)| *score >= 0.80)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.into_iter().take(3).map(|s| s.1).collect()
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
