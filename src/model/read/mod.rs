//! Documents to model: each file here reads one part of the knowledge and reports what is wrong with it.

mod attributes;
mod cases;
mod changes;
mod conditions;
mod derivations;
mod entities;
mod fields;
mod lays;
mod names;
mod numbers;
mod rules;
mod safety;
mod speech;
mod texts;
mod units;
mod values;
mod vocabulary;
mod wishes;

pub use conditions::{WHERE, where_rule};
pub use units::parse_quantity as read_quantity;

use super::{KindId, Model, Overlay, digest};
use crate::diagnostic::{Problem, Problems, did_you_mean};
use crate::document;
use crate::source::{BUILT_IN, SourceFile, Span};

/// Builds a model from texts, or says everything that is wrong with them.
///
/// The layers lie on each other in the order in which their first texts are given, overlays on what is built in.
///
/// # Errors
/// Every problem found, with its places.
pub fn build(files: Vec<SourceFile>) -> Result<Model, Problems> {
    build_named(files).map(|found| found.0)
}

/// The same, with the names that the uppermost overlay gives, each where it is written.
///
/// # Errors
/// As [`build`].
pub fn build_named(mut files: Vec<SourceFile>) -> Result<(Model, Vec<Given>), Problems> {
    let overlays = overlays(&files);
    in_order(&mut files, &overlays);
    let mut problems: Vec<Problem> = Vec::new();
    let mut documents = Vec::new();
    for (index, file) in files.iter().enumerate() {
        match document::read(file, index as u32) {
            Ok(node) => documents.push((file.name.to_string(), node)),
            Err(wrong) => problems.extend(wrong),
        }
    }
    // What is wrong in a file that could not be read would be told again wherever it is needed.
    if !problems.is_empty() {
        return Err(Problems::new(problems, &files));
    }
    let mut model = Model { files, overlays, ..Model::default() };
    let mut reader = Reader { documents, problems, names: Vec::new() };
    reader.vocabulary_is_built_in(&model);
    units::read(&mut model, &mut reader);
    let safety = vocabulary::read(&mut model, &mut reader);
    if model.kinds.is_empty() && !reader.problems.is_empty() {
        return Err(Problems::new(reader.problems, &model.files));
    }
    let replacements = entities::read(&mut model, &mut reader);
    attributes::read(&mut model, &mut reader);
    rules::read(&mut model, &mut reader);
    safety::check(&replacements, &safety, &model, &mut reader);
    cases::read(&mut model, &mut reader);
    reader.unknown_files(&model);
    let counts = [("entities", model.entities.len()), ("rules", model.rules.len()), ("sources", model.sources.len())];
    for (what, _) in counts.into_iter().filter(|c| c.1 > usize::from(u16::MAX)) {
        let problem = Problem::nowhere("knowledge::too-many", format!("there are more than {} {what}", u16::MAX));
        reader.report(problem.help("split the knowledge"));
    }
    if reader.problems.is_empty() {
        for overlay in &mut model.overlays {
            let prefix = format!("{}/", overlay.name);
            let own = reader.documents.iter().filter_map(|(n, node)| Some((n.strip_prefix(&prefix)?, node)));
            overlay.digest = digest::of_documents(own);
        }
        model.digest = digest::of(&model);
        Ok((model, reader.names))
    } else {
        Err(Problems::new(reader.problems, &model.files))
    }
}

/// Puts texts in the order that a model counts them in, whatever order they came in.
pub(super) fn in_order(files: &mut [SourceFile], overlays: &[Overlay]) {
    let depth = |f: &SourceFile| overlays.iter().position(|o| o.name == *f.layer).map_or(0, |i| i + 1);
    files.sort_by(|a, b| (depth(a), &a.name).cmp(&(depth(b), &b.name)));
}

/// The overlays in the order in which their first texts are given.
pub fn overlays(files: &[SourceFile]) -> Vec<Overlay> {
    let mut overlays: Vec<Overlay> = Vec::new();
    for file in files.iter().filter(|f| &*f.layer != BUILT_IN) {
        if !overlays.iter().any(|o| o.name == *file.layer) {
            overlays.push(Overlay { name: file.layer.to_string(), digest: String::new() });
        }
    }
    overlays
}

/// A name that an overlay gives to a thing.
#[derive(Debug, Clone)]
pub struct Given {
    /// The name.
    pub name: String,
    /// The kind of the thing.
    pub kind: KindId,
    /// Where it is written.
    pub span: Span,
}

/// What the readers of the parts share: the documents, and the problems found so far.
pub(crate) struct Reader {
    documents: Vec<(String, document::Node)>,
    problems: Vec<Problem>,
    /// The names that the uppermost overlay gives to things, each where it is written.
    names: Vec<Given>,
}

impl Reader {
    fn report(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// Documents whose name below the top folder starts so.
    fn below(&self, prefix: &str) -> Vec<(String, document::Node)> {
        self.documents
            .iter()
            .filter_map(|(name, node)| {
                let inner = name.split_once('/').map_or(name.as_str(), |p| p.1);
                inner.starts_with(prefix).then(|| (inner.to_owned(), node.clone()))
            })
            .collect()
    }

    /// An overlay declares no names: those of its vocabulary would be nobody else's.
    fn vocabulary_is_built_in(&mut self, model: &Model) {
        let declares = |name: &str| {
            let inner = name.split_once('/').map_or(name, |p| p.1);
            ["units.yaml", "vocabulary.yaml"].contains(&inner)
        };
        let (kept, refused) =
            self.documents.drain(..).partition(|(name, node)| model.depth(node.span) == 0 || !declares(name));
        self.documents = kept;
        let refused: Vec<(String, document::Node)> = refused;
        for (_, node) in refused {
            self.report(
                Problem::new(
                    "knowledge::overlay-vocabulary",
                    Span { end: node.span.start, ..node.span },
                    "",
                    "an overlay declares no units and no vocabulary",
                )
                .help("describe things, rules, sources and cases with the names that are there"),
            );
        }
    }

    fn unknown_files(&mut self, model: &Model) {
        let mut folders: Vec<&str> = model.kinds.iter().filter_map(|k| k.folder.as_deref()).collect();
        folders.extend(["rules", "steps", "cases"]);
        let mut strays = Vec::new();
        for (name, node) in &self.documents {
            let inner = name.split_once('/').map_or(name.as_str(), |p| p.1);
            let span = Span { end: node.span.start, ..node.span };
            match inner.split_once('/') {
                Some((folder, _)) if folders.contains(&folder) => {}
                Some((folder, _)) => {
                    let message = format!("there is no use for a folder `{folder}`");
                    let mut problem = Problem::new("knowledge::stray-file", span, "", message);
                    problem.help = did_you_mean(folder, folders.iter().copied())
                        .or_else(|| Some("move the file to the folder that the vocabulary gives its kind".to_owned()));
                    strays.push(problem);
                }
                None if ["units.yaml", "vocabulary.yaml", "sources.yaml"].contains(&inner) => {}
                None => strays.push(
                    Problem::new("knowledge::stray-file", span, "", format!("there is no use for a file `{inner}`"))
                        .help("move it to the folder of its kind, or to `rules/`, `steps/` or `cases/`"),
                ),
            }
        }
        self.problems.extend(strays);
    }
}
