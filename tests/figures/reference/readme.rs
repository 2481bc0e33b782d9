//! Every reference table says its grade, and the README beside it describes it.

use std::fs;
use std::path::Path;

#[test]
fn every_reference_table_has_a_grade_and_a_place_in_the_readme() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference");
    let readme = fs::read_to_string(folder.join("README.md")).expect("a README");
    let mut tables = 0;
    for entry in fs::read_dir(&folder).expect("a folder of this package") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|e| e != "csv") {
            continue;
        }
        let name = path.file_name().expect("a file").to_string_lossy();
        let text = fs::read_to_string(&path).expect("a table");
        let head: String = text.lines().take_while(|l| l.starts_with('#')).collect();
        let graded = ["published", "code"]
            .iter()
            .any(|g| head.contains(&format!("grade = {g}")));
        assert!(graded, "{name} does not say its grade");
        assert!(
            readme.contains(&format!("`{name}`")),
            "tests/reference/README.md does not describe {name}"
        );
        tables += 1;
    }
    assert!(tables >= 24, "only {tables} tables found");
}
