//! A checked model as bytes. The build script stores the built-in one, so that no program reads its YAML at the start.

use super::Model;
use super::read::in_order;
use crate::source::SourceFile;

/// A model as bytes, without its texts.
pub fn store(model: &Model) -> Option<Vec<u8>> {
    postcard::to_allocvec(model).ok()
}

/// The model that was stored, with the texts that it was read from; nothing where the bytes are no model.
pub fn restore(bytes: &[u8], mut files: Vec<SourceFile>) -> Option<Model> {
    let mut model: Model = postcard::from_bytes(bytes).ok()?;
    in_order(&mut files, &model.overlays);
    model.files = files;
    Some(model)
}
