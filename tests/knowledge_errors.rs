//! Broken knowledge: one file an input, each with a snapshot of everything that is said about it.
//!
//! The first line of an input names the file that it takes the place of, or adds, in a small world of tea and pots.
//! Further such lines begin further files. Files below `house/` are an overlay.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};
use washfast::Knowledge;
use washfast::source::SourceFile;

fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/knowledge_errors")
}

fn base(folder: &Path, top: &Path, files: &mut Vec<SourceFile>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            base(&path, top, files);
        } else {
            let name = path.strip_prefix(top).expect("below").display().to_string();
            files.push(SourceFile::new(&name, &fs::read_to_string(&path).expect("a file")));
        }
    }
}

/// The files of an input: each begins with a line that names it.
fn inputs_of(text: &str) -> Vec<SourceFile> {
    let mut files: Vec<(String, String)> = Vec::new();
    for line in text.split_inclusive('\n') {
        let names = line.strip_prefix("# ").map(str::trim).filter(|n| n.ends_with(".yaml") && !n.contains(' '));
        match (names, files.last_mut()) {
            (Some(name), _) => files.push((name.to_owned(), line.to_owned())),
            (None, Some(file)) => file.1.push_str(line),
            (None, None) => panic!("the first line names the file"),
        }
    }
    let file = |(name, text): (String, String)| match name.strip_prefix("house/") {
        Some(inner) => SourceFile::new(inner, &text).in_overlay("house"),
        None => SourceFile::new(&name, &text),
    };
    files.into_iter().map(file).collect()
}

fn told(inputs: Vec<SourceFile>) -> String {
    let top = here().join("base");
    let mut files = Vec::new();
    base(&top, &top, &mut files);
    files.retain(|f| inputs.iter().all(|i| i.name != f.name));
    files.extend(inputs);
    match Knowledge::from_files(files) {
        Ok(_) => "nothing is wrong\n".to_owned(),
        Err(problems) => {
            // Without colour, and at a width of its own, so that every terminal gets the same bytes.
            let handler =
                miette::GraphicalReportHandler::new_themed(miette::GraphicalTheme::unicode_nocolor()).with_width(100);
            let mut out = String::new();
            for problem in problems.list() {
                handler.render_report(&mut out, problem).expect("rendered");
            }
            out
        }
    }
}

#[test]
fn the_base_is_sound() {
    let top = here().join("base");
    let mut files = Vec::new();
    base(&top, &top, &mut files);
    Knowledge::from_files(files).expect("a sound base");
}

#[test]
fn every_broken_input_is_explained() {
    let mut inputs: Vec<PathBuf> = fs::read_dir(here().join("broken"))
        .expect("inputs")
        .map(|e| e.expect("entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "yaml"))
        .collect();
    inputs.sort();
    assert!(inputs.len() >= 35);
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(here().join("broken"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    for input in inputs {
        let text = fs::read_to_string(&input).expect("an input");
        let said = told(inputs_of(&text));
        let stem = input.file_stem().and_then(|s| s.to_str()).expect("a name").to_owned();
        assert_ne!(said, "nothing is wrong\n", "{stem}");
        settings.bind(|| insta::assert_snapshot!(stem, said));
    }
}

#[test]
fn hostile_texts_end_in_an_error_in_bounded_time() {
    let deep = format!("- rule: {}x{}", "[".repeat(20_000), "]".repeat(20_000));
    let nots = format!(
        "- rule: a\n  says: b\n  when: {}drink is tea\n  refuse: no\n  basis: common practice\n",
        "not ".repeat(100_000)
    );
    let parentheses = format!(
        "- rule: a\n  says: b\n  when: \"{}drink is tea{}\"\n  refuse: no\n  basis: common practice\n",
        "(".repeat(1000),
        ")".repeat(1000)
    );
    let bomb = "- &a [x,x,x,x]\n- &b [*a,*a,*a,*a]\n- &c [*b,*b,*b,*b]\n- [*c,*c,*c,*c]\n";
    let huge = "x".repeat(5_000_000);
    for text in [
        deep.as_str(),
        nots.as_str(),
        parentheses.as_str(),
        bomb,
        huge.as_str(),
        "- !tag x\n",
        "\u{feff}- 1\n",
        "- {a: 1, a: 2}\n",
        "- ? [a]\n  : b\n",
        "%YAML 9.9\n---\n",
    ] {
        assert_ne!(told(vec![SourceFile::new("knowledge/rules/r.yaml", text)]), "nothing is wrong\n", "{text:.40}");
    }
}
