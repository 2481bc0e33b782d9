//! `generate`, `--quiet`, colour and `sweep` as a person meets them.

use fuelwright::{Outcome, run};

fn told(line: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("fuelwright").chain(line.iter().copied());
    let outcome = run(all, 80, &mut out, &mut err);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (outcome, text(out), text(err))
}

const RIG: &str = "examples/coupon-soak-rig.toml";

#[test]
fn completions_name_every_command_for_every_shell() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let (outcome, out, err) = told(&["generate", "completions", shell]);
        assert_eq!(outcome, Outcome::Done, "{err}");
        for command in fuelwright::inside::program().get_subcommands() {
            assert!(
                out.contains(command.get_name()),
                "{shell}: {}",
                command.get_name()
            );
        }
    }
}

#[test]
fn a_script_for_bash_is_one_that_bash_can_read() {
    use std::io::Write;
    use std::process::{Command, Stdio};
    let (_, script, _) = told(&["generate", "completions", "bash"]);
    let started = Command::new("bash")
        .args(["-n", "/dev/stdin"])
        .stdin(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    // a system without bash has nothing to read it with
    let Ok(mut bash) = started else { return };
    let mut input = bash.stdin.take().expect("piped");
    input.write_all(script.as_bytes()).expect("bash reads");
    drop(input);
    let ended = bash.wait_with_output().expect("bash ends");
    assert!(
        ended.status.success(),
        "{}",
        String::from_utf8_lossy(&ended.stderr)
    );
}

#[test]
fn manual_pages_are_there_for_the_program_and_each_command() {
    let (_, page, _) = told(&["generate", "man"]);
    assert!(page.contains(".TH fuelwright 1") && page.contains("licensed gas practice"));
    for command in fuelwright::inside::program().get_subcommands() {
        let name = command.get_name();
        let (outcome, page, err) = told(&["generate", "man", name]);
        assert_eq!(outcome, Outcome::Done, "{err}");
        assert!(page.contains(&format!(".TH fuelwright-{name} 1")), "{page}");
    }
    let (outcome, out, err) = told(&["generate", "man", "audti"]);
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    assert!(err.contains("did you mean `audit`"), "{err}");
}

#[test]
fn the_schema_printed_is_the_schema() {
    let (_, out, _) = told(&["generate", "schema"]);
    let read: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(read, fuelwright::inside::schema());
}

#[test]
fn quiet_keeps_tables_findings_and_every_caution() {
    let (_, full, _) = told(&["audit", RIG, "--full"]);
    let (outcome, quiet, _) = told(&["audit", RIG, "--full", "--quiet"]);
    assert_eq!(outcome, Outcome::Done);
    for kept in [
        "Verdict",
        "Duties",
        "Findings",
        "licensed gas practice decide",
    ] {
        assert!(quiet.contains(kept), "{kept}");
    }
    for gone in ["\nAssumptions\n", "\nSources\n", "\nModel\n"] {
        assert!(full.contains(gone) && !quiet.contains(gone), "{gone}");
    }
    assert!(quiet.len() < full.len() / 2 + full.len() / 4);
    let cautions = |text: &str| {
        text.split_once("\nCautions\n")
            .expect("cautions")
            .1
            .to_owned()
    };
    assert_eq!(cautions(&quiet), cautions(&full));
    // machines lose nothing
    let json = |line: &[&str]| told(line).1;
    assert_eq!(
        json(&["audit", RIG, "--format", "json"]),
        json(&["audit", RIG, "--format", "json", "-q"])
    );
}

#[test]
fn nothing_is_coloured_where_no_terminal_reads() {
    for line in [
        &["audit", RIG][..],
        &["rules"],
        &["audit", "examples/wrong/e201-bare-bar.toml"],
    ] {
        let (_, out, err) = told(line);
        assert!(!out.contains('\x1b') && !err.contains('\x1b'), "{line:?}");
    }
}

#[test]
fn the_number_of_threads_and_the_terminal_change_no_byte_of_a_tolerance() {
    use std::process::Command;
    let with = |threads: &str| {
        let ended = Command::new(env!("CARGO_BIN_EXE_fuelwright"))
            .args([
                "tolerance",
                RIG,
                "--samples",
                "700",
                "--seed",
                "9",
                "--format",
                "json",
            ])
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .expect("the program runs");
        assert!(ended.stderr.is_empty(), "progress is for terminals");
        ended.stdout
    };
    let one = with("1");
    assert!(!one.is_empty());
    assert_eq!(one, with("4"));
}

#[test]
fn a_sweep_through_the_value_of_the_file_gives_the_rig_of_the_file() {
    let line = |extra: &[&str]| {
        let mut all = vec!["--format", "json"];
        all.extend(extra);
        serde_json::from_str::<serde_json::Value>(&told(&all).1).expect("JSON")
    };
    let swept = line(&[
        "sweep",
        RIG,
        "--over",
        "duties.soak.throttle",
        "--from",
        "60 %",
        "--to",
        "80 %",
        "--steps",
        "3",
    ]);
    let audited = line(&["audit", RIG]);
    let middle = &swept["steps"][1];
    assert_eq!(middle["value"], "70 %");
    for (a, b) in (middle["duties"].as_array().expect("duties").iter())
        .zip(audited["duties"].as_array().expect("duties"))
    {
        for key in [
            "name",
            "fuel_flow_kg_s",
            "equivalence_ratio",
            "exit_temperature_k",
        ] {
            assert_eq!(a[key], b[key], "{key}");
        }
    }
    assert_eq!(middle["mass_kg"], audited["mass_kg"]);
    // more air, less mixture: the soak duty holds its heat
    let phi = |i: usize| {
        swept["steps"][i]["duties"][2]["equivalence_ratio"]
            .as_f64()
            .expect("a number")
    };
    assert!(phi(0) > phi(1) && phi(1) > phi(2));
    assert!((phi(0) * 0.6 - phi(2) * 0.8).abs() < 1e-12);
}

#[test]
fn a_refused_step_is_shown_with_its_reason_and_all_refused_is_a_failure() {
    let sweep = |from: &str, to: &str| {
        told(&[
            "sweep",
            RIG,
            "--over",
            "site.ambient_temperature",
            "--from",
            from,
            "--to",
            to,
            "--steps",
            "2",
        ])
    };
    let (outcome, out, _) = sweep("-100 degC", "20 degC");
    assert_eq!(outcome, Outcome::Done);
    assert!(
        out.contains("\nRefused\n") && out.contains("[E206]"),
        "{out}"
    );
    let (outcome, out, err) = sweep("-100 degC", "-90 degC");
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    assert!(err.contains("[E206]"), "{err}");
}

#[test]
fn comma_separated_values_have_a_line_for_each_step_and_duty() {
    let path = std::env::temp_dir().join(format!("fuelwright-sweep-{}.csv", std::process::id()));
    let file = path.to_string_lossy().into_owned();
    let (outcome, ..) = told(&[
        "sweep",
        RIG,
        "--over",
        "train.regulator.set_pressure",
        "--from",
        "0 bar(g)",
        "--to",
        "2 bar(g)",
        "--steps",
        "3",
        "--csv",
        &file,
    ]);
    // at 0 bar(g) nothing is fed: a notice, for nobody is hurt by it
    assert_eq!(outcome, Outcome::Done);
    let mut reader = csv::Reader::from_path(&path).expect("a file");
    let columns = reader.headers().expect("a head").clone();
    let rows: Vec<csv::StringRecord> = reader
        .records()
        .map(|r| r.expect("as many cells"))
        .collect();
    std::fs::remove_file(&path).expect("it was there");
    let at = |name: &str| columns.iter().position(|c| c == name).expect("a column");
    let refused = rows.iter().filter(|r| !r[at("refused")].is_empty()).count();
    assert_eq!(rows.len() - refused, 4 * (3 - refused), "{rows:?}");
    assert!(rows.iter().any(|r| &r[0] == "2 bar(g)" && &r[1] == "full"));
}

#[test]
fn a_figure_of_a_sweep_has_a_line_for_each_duty_and_its_caution() {
    let path = std::env::temp_dir().join(format!("fuelwright-sweep-{}.svg", std::process::id()));
    let file = path.to_string_lossy().into_owned();
    let sweep = |file: &str| {
        told(&[
            "sweep",
            RIG,
            "--over",
            "train.regulator.set_pressure",
            "--from",
            "1.8 bar(g)",
            "--to",
            "2.2 bar(g)",
            "--steps",
            "3",
            "--plot",
            file,
            "--figure",
            "throttle",
        ])
    };
    let (outcome, out, err) = sweep(&file);
    assert_eq!(outcome, Outcome::Done, "{err}");
    assert!(out.contains("throttle"), "{out}");
    let svg = std::fs::read_to_string(&path).expect("a file");
    std::fs::remove_file(&path).expect("it was there");
    assert!(svg.starts_with("<svg") && svg.contains("</svg>\n\n<!-- "));
    // a curve of three steps for each of the four duties, each with its name in the legend
    let curves: Vec<&str> = svg.lines().filter(|l| l.contains("<polyline")).collect();
    assert_eq!(curves.len(), 4, "{svg}");
    for curve in curves {
        let points = curve
            .split("points=\"")
            .nth(1)
            .and_then(|p| p.split('"').next())
            .expect("points");
        let x: Vec<f64> = points
            .split(' ')
            .map(|p| p.split(',').next().expect("x").parse().expect("a number"))
            .collect();
        assert_eq!(x.len(), 3, "{curve}");
        assert!(x.is_sorted(), "{curve}");
    }
    for duty in ["light-up", "idle", "soak", "full"] {
        assert!(svg.contains(duty), "{duty}: {svg}");
    }
    assert!(svg.contains("licensed gas practice decide."), "{svg}");

    let (outcome, out, err) = sweep("curve.png");
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    assert!(err.contains("does not end in .svg"), "{err}");
    assert!(!std::path::Path::new("curve.png").exists());
}

#[test]
fn a_template_is_written_as_a_drawing_only() {
    for line in [
        ["injector", RIG, "--template", "holes.png"],
        ["injector", RIG, "--template", "holes"],
    ] {
        let (outcome, out, err) = told(&line);
        assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
        assert!(err.contains("--template: `holes"), "{err}");
        assert!(!std::path::Path::new(line[3]).exists());
    }
}

#[test]
fn a_rig_against_itself_differs_in_nothing() {
    let (outcome, out, _) = told(&["compare-rigs", RIG, RIG]);
    assert_eq!(outcome, Outcome::Done);
    assert!(out.contains("Both files say the same."), "{out}");
    assert!(
        !out.contains("Inputs that differ") && !out.contains("\nDuties\n"),
        "{out}"
    );
}

#[test]
fn the_same_value_in_another_unit_is_no_difference_and_a_new_part_is_one() {
    let text = std::fs::read_to_string(RIG).expect("readable");
    let path = std::env::temp_dir().join(format!("fuelwright-compare-{}.toml", std::process::id()));
    let changed = text
        .replace(
            "set_pressure = \"2.0 bar(g)\"",
            "set_pressure = \"200 kPa(g)\"",
        )
        .replace("holes = 16", "holes = 20")
        .replace("gas_detector = true", "gas_detector = false");
    std::fs::write(&path, changed).expect("writable");
    let (_, out, _) = told(&[
        "--format",
        "json",
        "compare-rigs",
        RIG,
        &path.to_string_lossy(),
    ]);
    std::fs::remove_file(&path).expect("it was there");
    let read: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let keys: Vec<&str> = (read["inputs"].as_array().expect("a list").iter())
        .map(|i| i["key"].as_str().expect("a key"))
        .collect();
    assert_eq!(keys, ["injector.holes", "site.gas_detector"]);
    assert_eq!(read["findings_only_b"][0]["name"], "no-gas-warning");
    assert_eq!(
        (&read["a"]["holes"], &read["b"]["holes"]),
        (&16.into(), &20.into())
    );
}
