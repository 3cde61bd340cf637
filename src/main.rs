fn main() {
    let mut files = Vec::new();
    for dir in std::env::args().skip(1) {
        walk(std::path::Path::new(&dir), std::path::Path::new(&dir).parent().unwrap(), &mut files);
    }
    match washfast::model::build(files) {
        Err(e) => {
            println!("{} problems", e.list().len());
            for p in e.list().iter().take(60) {
                println!("{:?}", miette::Report::new(p.clone()));
            }
        }
        Ok(m) => println!(
            "ok {} rules {} entities {} cases digest {}",
            m.rules.len(),
            m.entities.len(),
            m.cases.len(),
            m.digest
        ),
    }
}
fn walk(d: &std::path::Path, top: &std::path::Path, files: &mut Vec<washfast::source::SourceFile>) {
    for e in std::fs::read_dir(d).unwrap() {
        let p = e.unwrap().path();
        if p.is_dir() {
            walk(&p, top, files)
        } else if p.extension().is_some_and(|e| e == "yaml") {
            files.push(washfast::source::SourceFile::new(
                &p.strip_prefix(top).unwrap().display().to_string(),
                &std::fs::read_to_string(&p).unwrap(),
            ));
        }
    }
}
