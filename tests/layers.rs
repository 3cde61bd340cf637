//! Who may import whom: the table in DEVELOPERS.md against the code.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Module to what it may import, from the table.
fn table() -> BTreeMap<String, BTreeSet<String>> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let names = |cell: &str| -> BTreeSet<String> { cell.split('`').skip(1).step_by(2).map(str::to_owned).collect() };
    let mut rows: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut all_but = None;
    for line in text.lines().skip_while(|l| !l.starts_with("| module")).skip(2).take_while(|l| l.starts_with('|')) {
        let cells: Vec<&str> = line.split('|').collect();
        let module = cells[1].trim().trim_matches('`').to_owned();
        if cells[3].contains("all but") {
            all_but = Some((module.clone(), names(cells[3])));
        }
        rows.insert(module, names(cells[3]));
    }
    if let Some((module, except)) = all_but {
        let all = rows.keys().filter(|k| **k != module && !except.contains(*k)).cloned().collect();
        rows.insert(module, all);
    }
    rows
}

fn rust_files(folder: &Path, list: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("src") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            rust_files(&path, list);
        } else if path.extension().is_some_and(|e| e == "rs") {
            list.push(path);
        }
    }
}

/// Modules that a text names as `crate::module`, comments left out.
fn imports(text: &str) -> BTreeSet<String> {
    let code = text.lines().filter(|l| !l.trim_start().starts_with("//"));
    let mut found = BTreeSet::new();
    for line in code {
        for part in line.split("crate::").skip(1) {
            let name: String = part.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            if name.chars().next().is_some_and(char::is_lowercase) {
                found.insert(name);
            }
        }
    }
    found
}

#[test]
fn modules_import_only_what_the_table_allows() {
    let table = table();
    assert!(table.len() >= 20, "the table was not read: {table:?}");
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let mut wrong = Vec::new();
    for file in files {
        let inner = file.strip_prefix(root().join("src")).expect("below src");
        let module = inner.iter().next().and_then(|c| c.to_str()).expect("a name").trim_end_matches(".rs").to_owned();
        if ["lib", "main", "build"].contains(&module.as_str()) {
            continue;
        }
        let Some(allowed) = table.get(&module) else {
            wrong.push(format!("`{module}` is missing in the table"));
            continue;
        };
        for import in imports(&fs::read_to_string(&file).expect("a file")) {
            if import != module && !allowed.contains(&import) {
                wrong.push(format!("{} imports `{import}`", inner.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_table_has_no_circle() {
    let mut table = table();
    // Take away what imports nothing that is left, until nothing is.
    loop {
        let free: Vec<String> =
            table.iter().filter(|(_, i)| i.iter().all(|m| !table.contains_key(m))).map(|(m, _)| m.clone()).collect();
        if free.is_empty() {
            break;
        }
        free.iter().for_each(|m| {
            table.remove(m);
        });
    }
    assert!(table.is_empty(), "these import each other: {:?}", table.keys());
}

#[test]
fn the_top_level_holds_nothing_else() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "grammar",
        "knowledge",
        "tests",
        "target",
    ];
    for entry in fs::read_dir(root()).expect("the root") {
        let name = entry.expect("entry").file_name().to_string_lossy().into_owned();
        assert!(name.starts_with('.') || allowed.contains(&name.as_str()), "`{name}` does not belong at the top level");
    }
}

#[test]
fn only_the_command_touches_files_and_the_terminal() {
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    for file in files.iter().filter(|f| !["main.rs", "build.rs"].iter().any(|n| f.ends_with(n))) {
        let text = fs::read_to_string(file).expect("a file");
        for word in ["std::fs", "println!", "eprintln!", "std::process", "std::env"] {
            assert!(!text.contains(word), "{} uses {word}", file.display());
        }
    }
}
