//! Broken knowledge: one file an input, each with a snapshot of everything that is said about it.
//!
//! The first line of an input names the file that it takes the place of, or adds, in a small world of tea and pots.
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

fn told(name: &str, text: &str) -> String {
    let top = here().join("base");
    let mut files = Vec::new();
    base(&top, &top, &mut files);
    files.retain(|f| &*f.name != name);
    files.push(SourceFile::new(name, text));
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
        let name =
            text.lines().next().and_then(|l| l.strip_prefix("# ")).expect("the first line names the file").to_owned();
        let said = told(&name, &text);
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
        "(".repeat(100_000),
        ")".repeat(100_000)
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
        assert_ne!(told("knowledge/rules/r.yaml", text), "nothing is wrong\n", "{text:.40}");
    }
}

#[test]
fn megabytes_of_anything_are_no_knowledge() {
    let keys = (0..200_000).map(|i| format!("key-{i}: 1\n")).collect::<String>();
    let parts = ["(", "[", "{", "- ", "? ", "a ", "a: ", "1", "\"", "\n", "- a\n", "🙂", "[]", "- {rule: a}\n"];
    let texts = parts.iter().map(|part| part.repeat(3_900_000 / part.len())).chain([keys]);
    for text in texts {
        for name in ["knowledge/rules/r.yaml", "knowledge/liquids/milk.yaml", "knowledge/units.yaml"] {
            let begun = std::time::Instant::now();
            let said = told(name, &text);
            assert!(said != "nothing is wrong\n" || text.trim().is_empty(), "{name}: {text:.40}");
            assert!(begun.elapsed().as_secs() < 20, "{name}: {text:.40} took {:?}", begun.elapsed());
        }
    }
}
