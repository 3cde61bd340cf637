//! Builds the knowledge below `knowledge/` into the library: its texts, and the checked model made of them.

// What the library has besides its reader is not used here, and what is public there is not public here.
#![allow(dead_code, unused_imports, unreachable_pub, missing_docs)]

mod condition;
mod diagnostic;
mod document;
mod model;
mod quantity;
mod source;
mod words;

use source::SourceFile;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default());
    let knowledge = root.join("knowledge");
    for read in ["knowledge", "grammar"] {
        println!("cargo::rerun-if-changed={}", root.join(read).display());
    }
    let mut files = Vec::new();
    collect(&knowledge, &mut files)?;
    files.sort();
    let mut list = String::from("&[\n");
    let mut texts = Vec::new();
    for file in &files {
        let name = file.strip_prefix(&root).unwrap_or(file).display().to_string();
        let _ = writeln!(list, "    ({name:?}, include_str!({:?})),", file.display().to_string());
        texts.push(SourceFile::new(&name, &fs::read_to_string(file)?));
    }
    list.push(']');
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    fs::write(out.join("built_in.rs"), list)?;
    // Knowledge that is wrong is stored as nothing: the library reads the texts itself and says what is wrong.
    let stored = model::build(texts).ok().and_then(|m| model::store(&m)).unwrap_or_default();
    fs::write(out.join("built_in.model"), stored)
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, files)?;
        } else if path.extension().is_some_and(|e| e == "yaml") {
            files.push(path);
        }
    }
    Ok(())
}
