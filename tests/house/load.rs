//! The knowledge with the example shop's own on top.

use std::path::{Path, PathBuf};
use washfast::Knowledge;
use washfast::source::SourceFile;

fn files(folder: &Path, list: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("the example shop") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            files(&path, list);
        } else {
            list.push(path);
        }
    }
}

/// The texts of the example shop.
pub(crate) fn texts() -> Vec<SourceFile> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/house/lantern-yard");
    let mut paths = Vec::new();
    files(&top, &mut paths);
    paths.sort();
    let read = |path: PathBuf| {
        let name = path.strip_prefix(&top).expect("below").to_string_lossy().into_owned();
        SourceFile::new(&name, &std::fs::read_to_string(&path).expect("text"))
    };
    paths.into_iter().map(read).collect()
}

/// The built-in knowledge with the example shop's own on top.
pub(crate) fn yard() -> Knowledge {
    let built_in = Knowledge::built_in().expect("built-in knowledge");
    built_in.with_house("lantern-yard", texts()).unwrap_or_else(|p| panic!("{:?}", p.list()))
}
