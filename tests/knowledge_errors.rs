//! Broken knowledge: one file an input, each with a snapshot of everything that is said about it.
//!
//! The first line of an input names the file that it takes the place of, or adds, in a small world of tea and pots.
//! Further such lines begin further files. Files below `house/` are an overlay.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
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
    assert!(inputs.len() >= 140);
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

/// Texts that are made here, each with the code of its one error.
fn hostile() -> Vec<(&'static str, String)> {
    let rule =
        |when: &str| format!("- rule: a\n  says: b\n  when: \"{when}\"\n  refuse: \"no\"\n  basis: common practice\n");
    let rules = |count: usize, when: &str| -> String {
        (0..count).map(|i| rule(when).replace("rule: a", &format!("rule: a{i}"))).collect()
    };
    let nested = |count: usize| format!("- rule: {}x{}", "[".repeat(count), "]".repeat(count));
    vec![
        ("document::syntax", nested(20_000)),
        ("document::too-large", nested(40)),
        ("condition::too-large", rule(&format!("{}drink is tea", "not ".repeat(2_000)))),
        ("condition::too-large", rule(&format!("{}drink is tea{}", "(".repeat(1000), ")".repeat(1000)))),
        ("document::anchor", "- &a [x,x,x,x]\n- &b [*a,*a,*a,*a]\n- &c [*b,*b,*b,*b]\n- [*c,*c,*c,*c]\n".to_owned()),
        ("document::too-large", "x".repeat(5_000_000)),
        ("document::too-large", rule(&"not ".repeat(100_000))),
        ("document::too-large", format!("- rule: {}\n", "x".repeat(3_000_000))),
        ("document::too-large", (0..100_000).map(|i| format!("k{i}: v\n")).collect()),
        ("document::too-large", rules(30_000, "drink is tea")),
        ("knowledge::too-many", format!("- rule: a\n  for: [{}]\n", "each x in mix, ".repeat(20_000))),
        // As much as is read at all, every part of it wrong.
        ("condition::unknown-name", rules(4_000, "drnk is tea")),
        ("condition::unknown-name", rules(400, &format!("drnk is tea{}", " or drnk is tea".repeat(60)))),
        (
            "knowledge::unknown-key",
            format!("{}{}", rule("drink is tea"), (0..20_000).map(|i| format!("  k{i}: v\n")).collect::<String>()),
        ),
        ("document::tag", "- !tag x\n".to_owned()),
        ("document::duplicate-key", "- {a: 1, a: 2}\n".to_owned()),
        ("document::syntax", "- ? [a]\n  : b\n".to_owned()),
        ("document::syntax", "%YAML 9.9\n---\n".to_owned()),
        ("knowledge::wrong-type", "\u{feff}- 1\n".to_owned()),
    ]
}

#[test]
fn hostile_texts_end_in_an_error_in_bounded_time() {
    for (code, text) in hostile() {
        let start = Instant::now();
        let told = told(vec![SourceFile::new("knowledge/rules/r.yaml", &text)]);
        let first: Vec<&str> = told.lines().filter(|l| l.contains("::")).collect();
        assert!(first.contains(&code), "{text:.40}: {code} is not among {first:?}");
        assert!(told.len() < 200_000, "{text:.40}: {} bytes", told.len());
        // It takes a second or so; the rest is for machines that are busy.
        assert!(start.elapsed() < Duration::from_secs(60), "{text:.40}: {:?}", start.elapsed());
    }
}

#[test]
fn bytes_that_are_no_text_are_pointed_at() {
    let told = told(vec![SourceFile::from_bytes("knowledge/liquids/milk.yaml", b"id: milk\nname: m\xfflk\n")]);
    assert!(told.contains("document::not-text") && told.contains("knowledge/liquids/milk.yaml:2:8"), "{told}");
    // All of what stands for the byte is underlined, and no part of a character.
    let file = SourceFile::from_bytes("knowledge/vocabulary.yaml", b"m\xfflk");
    let problems = Knowledge::from_files(vec![file]).expect_err("no text");
    let span = problems.list()[0].span();
    assert_eq!((span.start, span.end), (1, 4));
}

#[test]
fn more_of_a_kind_than_fit_are_refused() {
    let entity = |i: usize| {
        let text = format!(
            "id: l{i}\nname: liquid {i}\nbasis: common practice\nproperties: {{boils: {{none: true, basis: common practice}}}}\n"
        );
        SourceFile::new(&format!("knowledge/liquids/l{i}.yaml"), &text)
    };
    let told = told((0..300).map(entity).collect());
    assert!(told.contains("knowledge::too-many") && told.contains("there are more than 256 liquids"), "{told}");
}

#[test]
fn knowledge_without_vocabulary_says_so() {
    let problems = Knowledge::from_files(Vec::new()).expect_err("nothing there");
    assert_eq!(problems.list()[0].code, "knowledge::no-vocabulary");
}

/// Every error that knowledge can have has an input that shows it.
#[test]
fn every_code_is_shown() {
    fn codes(text: &str) -> BTreeSet<String> {
        let fits = |w: &str| {
            w.split_once("::").is_some_and(|(a, b)| {
                ["knowledge", "document", "condition"].contains(&a)
                    && b.chars().all(|c| c.is_ascii_lowercase() || c == '-')
            })
        };
        text.split(['"', '\n', ' ']).filter(|w| fits(w)).map(str::to_owned).collect()
    }
    fn below(folder: &Path, end: &str) -> BTreeSet<String> {
        let mut found = BTreeSet::new();
        for entry in fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("entry").path();
            if path.is_dir() {
                found.extend(below(&path, end));
            } else if path.display().to_string().ends_with(end) {
                found.extend(codes(&fs::read_to_string(&path).expect("a file")));
            }
        }
        found
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut shown = below(&here().join("broken"), ".snap");
    shown.extend(hostile().into_iter().map(|h| h.0.to_owned()));
    // Shown by tests of their own, here and of overlays.
    shown.extend(["document::not-text", "knowledge::no-vocabulary", "knowledge::layer-name"].map(str::to_owned));
    let missing: Vec<String> = below(&root.join("src"), ".rs").difference(&shown).cloned().collect();
    assert!(missing.is_empty(), "no input shows {missing:?}");
}

#[test]
fn megabytes_of_anything_are_no_knowledge() {
    let keys = (0..200_000).map(|i| format!("key-{i}: 1\n")).collect::<String>();
    let parts = ["(", "[", "{", "- ", "? ", "a ", "a: ", "1", "\"", "\n", "- a\n", "🙂", "[]", "- {rule: a}\n"];
    let texts = parts.iter().map(|part| part.repeat(3_900_000 / part.len())).chain([keys]);
    for text in texts {
        for name in ["knowledge/rules/r.yaml", "knowledge/liquids/milk.yaml", "knowledge/units.yaml"] {
            let begun = Instant::now();
            let said = told(vec![SourceFile::new(name, &text)]);
            assert!(said != "nothing is wrong\n" || text.trim().is_empty(), "{name}: {text:.40}");
            assert!(begun.elapsed().as_secs() < 20, "{name}: {text:.40} took {:?}", begun.elapsed());
        }
    }
}
