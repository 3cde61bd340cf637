//! Lists the files below `knowledge/` so that they are built into the library.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default());
    let knowledge = root.join("knowledge");
    println!("cargo::rerun-if-changed={}", knowledge.display());
    println!("cargo::rerun-if-changed={}", root.join("grammar").display());
    let mut files = Vec::new();
    collect(&knowledge, &mut files)?;
    files.sort();
    let mut list = String::from("&[\n");
    for file in &files {
        let name = file.strip_prefix(&root).unwrap_or(file).display().to_string();
        let _ = writeln!(list, "    ({name:?}, include_str!({:?})),", file.display().to_string());
    }
    list.push(']');
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    fs::write(out.join("built_in.rs"), list)
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    println!("cargo::rerun-if-changed={}", folder.display());
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
