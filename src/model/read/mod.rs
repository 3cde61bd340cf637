//! Documents to model: each file here reads one part of the knowledge and reports what is wrong with it.

mod attributes;
mod cases;
mod conditions;
mod derivations;
mod entities;
mod fields;
mod names;
mod numbers;
mod rules;
mod speech;
mod texts;
mod units;
mod values;
mod vocabulary;

pub use conditions::parse_where;
pub use units::parse_quantity as read_quantity;

use super::{Model, digest};
use crate::diagnostic::{Problem, Problems};
use crate::document;
use crate::source::{SourceFile, Span};

/// Builds a model from texts, or says everything that is wrong with them.
///
/// # Errors
/// Every problem found, with its places.
pub fn build(mut files: Vec<SourceFile>) -> Result<Model, Problems> {
    files.sort_by(|a, b| a.name.cmp(&b.name));
    let mut problems: Vec<Problem> = Vec::new();
    let mut documents = Vec::new();
    for (index, file) in files.iter().enumerate() {
        match document::read(file, index as u32) {
            Ok(node) => documents.push((file.name.to_string(), node)),
            Err(problem) => problems.push(problem),
        }
    }
    let mut model = Model { files, ..Model::default() };
    let mut reader = Reader { documents, problems };
    units::read(&mut model, &mut reader);
    vocabulary::read(&mut model, &mut reader);
    entities::read(&mut model, &mut reader);
    attributes::read(&mut model, &mut reader);
    rules::read(&mut model, &mut reader);
    cases::read(&mut model, &mut reader);
    reader.unknown_files(&model);
    if reader.problems.is_empty() {
        model.digest = digest::of(&model);
        Ok(model)
    } else {
        Err(Problems::new(reader.problems, &model.files))
    }
}

/// What the readers of the parts share: the documents, and the problems found so far.
pub(crate) struct Reader {
    documents: Vec<(String, document::Node)>,
    problems: Vec<Problem>,
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

    fn unknown_files(&mut self, model: &Model) {
        let known = |inner: &str| {
            ["units.yaml", "vocabulary.yaml", "sources.yaml"].contains(&inner)
                || ["rules/", "cases/"].iter().any(|p| inner.starts_with(p))
                || model.kinds.iter().filter_map(|k| k.folder.as_ref()).any(|f| inner.starts_with(&format!("{f}/")))
        };
        let strays: Vec<Span> = self
            .documents
            .iter()
            .filter(|(name, _)| !known(name.split_once('/').map_or(name.as_str(), |p| p.1)))
            .map(|(_, node)| Span { end: node.span.start, ..node.span })
            .collect();
        for span in strays {
            self.report(
                Problem::new("knowledge::stray-file", span, "", "no kind has its entities in this folder")
                    .help("move the file to the folder that the vocabulary gives its kind"),
            );
        }
    }
}
