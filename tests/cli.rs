//! Commands with their output and exit code, one readable file each in `tests/cli/`.

#[test]
fn commands_say_what_their_files_show() {
    trycmd::TestCases::new().case("tests/cli/*.md");
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_fuelwright"))
        .arg("fuels")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty());
}

#[test]
fn a_failure_leaves_the_output_empty() {
    use fuelwright::cli::{Outcome, run};
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let line = [
        "fuelwright",
        "state",
        "propan",
        "--temperature",
        "20 degC",
        "--pressure",
        "1 bara",
    ];
    assert_eq!(run(line, 80, &mut out, &mut err), Outcome::Failed);
    assert!(out.is_empty());
    assert!(String::from_utf8(err).expect("text").starts_with("error: "));
}

#[test]
fn json_is_one_object_with_cautions_for_every_command() {
    use fuelwright::cli::{Outcome, run};
    let p = ["--pressure", "3 bara", "--temperature", "20 degC"];
    let lines: [Vec<&str>; 6] = [
        vec!["fuels"],
        vec!["fuel", "propane"],
        [&["state", "propane"], &p[..]].concat(),
        vec![
            "injector",
            "--fuel",
            "propane",
            "--upstream",
            "2 barg",
            "--upstream-temperature",
            "15 degC",
            "--chamber",
            "20 mbar(g)",
            "--holes",
            "8",
            "--flow",
            "0.8 g/s",
        ],
        vec![
            "regulator",
            "--fuel",
            "propane",
            "--upstream",
            "7 barg",
            "--upstream-temperature",
            "20 degC",
            "--downstream",
            "1 barg",
        ],
        vec![
            "trapped",
            "--fuel",
            "propane",
            "--pressure",
            "12 bara",
            "--temperature",
            "20 degC",
            "--rise",
            "5 K",
        ],
    ];
    for line in lines {
        for text in [false, true] {
            let format = if text { "text" } else { "json" };
            let all = [&["fuelwright", "--format", format], &line[..]].concat();
            let (mut out, mut err) = (Vec::new(), Vec::new());
            assert_eq!(
                run(&all, 80, &mut out, &mut err),
                Outcome::Done,
                "{line:?}: {}",
                String::from_utf8_lossy(&err)
            );
            let out = String::from_utf8(out).expect("text");
            if text {
                assert!(
                    out.contains("\nCautions\n") && out.contains("licensed gas"),
                    "{out}"
                );
                let (body, _) = out.split_once("\nCautions\n").expect("just seen");
                let lists = body
                    .split('[')
                    .skip(1)
                    .filter_map(|rest| Some(rest.split_once(']')?.0));
                for key in lists.flat_map(|l| l.split(',')).map(str::trim) {
                    assert!(
                        out.contains(&format!("  - [{key}] ")),
                        "{key} is not explained: {out}"
                    );
                }
            } else {
                let object: serde_json::Value = serde_json::from_str(&out).expect("one object");
                let cautions = object["cautions"].as_array().expect("a list");
                assert!(cautions.len() >= 2, "{line:?}");
                assert!(object["sources"].is_object() && object["assumptions"].is_array());
            }
        }
    }
}
