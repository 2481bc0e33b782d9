//! The rig file: round trip, unknown keys at every level, files that are no rig.

use fuelwright::fuel::Library;
use fuelwright::input::Diagnostics;
use fuelwright::{input, inside};

fn examples() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut all: Vec<_> = std::fs::read_dir(folder)
        .expect("there are examples")
        .map(|e| e.expect("readable").path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| {
            let name = p
                .file_name()
                .expect("a file")
                .to_string_lossy()
                .into_owned();
            (name, std::fs::read_to_string(&p).expect("readable"))
        })
        .collect();
    all.sort();
    assert!(all.len() >= 3);
    all
}

#[test]
fn every_example_written_and_read_again_is_equal() {
    let library = Library::embedded();
    for (name, text) in examples() {
        let first = input::parse(&name, &text, &library).unwrap_or_else(|e| panic!("{e}"));
        let written = first.raw.write();
        let again = input::parse(&name, &written, &library).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(first.raw, again.raw, "{name}");
        assert_eq!(first.rig, again.rig, "{name}");
        assert_eq!(written, again.raw.write(), "{name}");
    }
}

/// Every broken rig of `examples/wrong/` has its message stored under `tests/snapshots/`.
#[test]
fn every_wrong_rig_has_its_message() {
    let library = Library::embedded();
    insta::glob!("../../examples/wrong", "*.toml", |path| {
        let text = std::fs::read_to_string(path).expect("readable");
        let name = path.file_name().expect("a file").to_string_lossy();
        let mistakes = input::parse(&name, &text, &library).expect_err("it is wrong");
        // one by one: together the last may only be counted
        let each = mistakes.list.iter().map(|one| {
            let list = vec![one.clone()];
            Diagnostics {
                list,
                ..mistakes.clone()
            }
            .to_string()
        });
        insta::assert_snapshot!(each.collect::<Vec<_>>().join("\n\n"));
    });
}

/// Codes about the file itself, which have no rig in `examples/wrong/`; `files_that_are_no_rig` and
/// `cli` tests make them.
const OF_THE_FILE: [&str; 7] = ["E101", "E102", "E103", "E104", "E105", "E106", "E111"];

#[test]
fn every_code_has_a_wrong_rig() {
    let library = Library::embedded();
    let mut seen = std::collections::BTreeSet::new();
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/wrong");
    for entry in std::fs::read_dir(folder).expect("there are wrong rigs") {
        let path = entry.expect("readable").path();
        let text = std::fs::read_to_string(&path).expect("readable");
        let mistakes = input::parse("wrong.toml", &text, &library).expect_err("it is wrong");
        seen.extend(mistakes.list.iter().map(|d| d.code));
    }
    for (code, meaning) in inside::CODES {
        assert!(
            seen.contains(code) || OF_THE_FILE.contains(code),
            "no rig in examples/wrong/ shows {code}: {meaning}"
        );
    }
    let known: Vec<&str> = inside::CODES.iter().map(|c| c.0).collect();
    assert!(seen.iter().all(|c| known.contains(c)), "{seen:?}");
}

/// A rig that holds every table once: the coupon soak rig and what it lacks.
fn full_rig() -> String {
    let (_, text) = examples()
        .into_iter()
        .find(|(name, _)| name == "coupon-soak-rig.toml")
        .expect("it is there");
    format!(
        "{text}\n[[suppress]]\nrule = \"INJ001\"\nreason = \"only to hold this table\"\n\
         [[flow_test]]\ndate = 2026-03-21\ngas = \"nitrogen\"\nholes = 12\nhole_diameter = \"1 mm\"\n\
         upstream = \"0.1 bar(g)\"\nflow = \"1 g/s\"\n"
    )
}

#[test]
fn an_unknown_key_is_caught_in_every_table() {
    let library = Library::embedded();
    let text = full_rig();
    let mut tables = std::collections::BTreeSet::new();
    let headings: Vec<usize> = text
        .lines()
        .enumerate()
        .filter(|(_, l)| l.starts_with('['))
        .map(|(i, _)| i)
        .collect();
    for at in headings {
        let mut lines: Vec<&str> = text.lines().collect();
        tables.insert(lines[at].trim_matches(['[', ']']).to_owned());
        lines.insert(at + 1, "qqq_nothing = 1");
        let broken = lines.join("\n");
        let mistakes = input::parse("rig.toml", &broken, &library).expect_err("it is wrong");
        let codes: Vec<&str> = mistakes.list.iter().map(|d| d.code).collect();
        assert_eq!(codes, ["E203"], "{}", lines[at]);
        assert!(
            mistakes
                .to_string()
                .contains(&format!("rig.toml:{}:1", at + 2)),
            "{mistakes}"
        );
    }
    // at the top, and inside the table of joints
    let top = format!("qqq_nothing = 1\n{text}");
    assert!(input::parse("rig.toml", &top, &library).is_err());
    let joints = text.replacen("joints = { ", "joints = { qqq-nothing = 1, ", 1);
    assert!(joints != text);
    assert!(input::parse("rig.toml", &joints, &library).is_err());
    // `mains` and `branches` stand in the other examples
    for table in inside::TABLES.iter().map(|t| t.name) {
        let elsewhere = ["mains", "branches"].contains(&table);
        assert!(
            elsewhere || tables.contains(table),
            "no {table} in the full rig"
        );
    }
    for (name, text) in examples() {
        for table in ["[mains]", "[[branches]]"] {
            if text.contains(table) {
                let broken = text.replace(table, &format!("{table}\nqqq_nothing = 1"));
                let mistakes = input::parse(&name, &broken, &library).expect_err("it is wrong");
                assert_eq!(mistakes.list[0].code, "E203");
            }
        }
    }
}

#[test]
fn every_key_takes_its_own_example_and_refuses_a_wrong_type() {
    // codes of a value that its key refuses by itself
    let refused = ["E201", "E202", "E205", "E206", "E207", "E210"];
    let library = Library::embedded();
    let mut checked = 0;
    for section in inside::sections() {
        let kind = section.heading.strip_prefix("kind: ").map(|kinds| {
            let first = kinds.split(", ").next().expect("one kind at least");
            format!("[[train]]\nname = \"part\"\nkind = \"{first}\"\n")
        });
        let heading = kind.unwrap_or_else(|| format!("{}\n", section.heading));
        for field in section.fields {
            let text = |value: &str| format!("{heading}{} = {value}\n", field.key);
            let repeated = heading.contains(&format!("{} = ", field.key));
            if repeated {
                continue;
            }
            let codes = |value: &str| -> Vec<&'static str> {
                let mistakes = input::parse("rig.toml", &text(value), &library)
                    .expect_err("one key is no rig");
                let own = |d: &&input::Diagnostic| refused.contains(&d.code);
                mistakes.list.iter().filter(own).map(|d| d.code).collect()
            };
            let good = codes(field.example);
            assert!(
                good.is_empty(),
                "{} {}: {good:?}",
                section.heading,
                field.key
            );
            let bad = codes("1979-05-27T07:32:00Z");
            let is_date = matches!(field.takes, inside::Takes::Date);
            assert!(
                is_date || bad == ["E202"],
                "{} {}: {bad:?}",
                section.heading,
                field.key
            );
            assert!(
                field.meaning.ends_with('.'),
                "{}: {}",
                field.key,
                field.meaning
            );
            checked += 1;
        }
    }
    assert!(checked > 200, "only {checked} keys");
}

#[test]
fn the_table_of_keys_is_the_one_in_the_examples_folder() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/README.md");
    let readme = std::fs::read_to_string(path).expect("there is one");
    let table = inside::rig_keys();
    if std::env::var_os("FUELWRIGHT_WRITE_TABLE").is_some() {
        let head = readme.split("<!-- keys -->").next().expect("some text");
        let whole = format!("{head}<!-- keys -->\n\n{table}");
        std::fs::write(path, whole.trim_end().to_owned() + "\n").expect("can be written");
        return;
    }
    assert!(
        readme.trim_end().ends_with(table.trim_end()),
        "examples/README.md is old; run: FUELWRIGHT_WRITE_TABLE=1 cargo test --test program rig_file"
    );
}

#[test]
fn the_starter_is_a_rig_and_names_every_key() {
    let library = Library::embedded();
    let text = inside::starter("a \"quoted\" name");
    let loaded = input::parse("rig.toml", &text, &library).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(loaded.rig.name, "a \"quoted\" name");
    for section in inside::sections() {
        for field in section.fields {
            assert!(text.contains(&format!("{} = ", field.key)), "{}", field.key);
        }
    }
}

#[test]
fn files_that_are_no_rig_are_refused_with_their_place() {
    let library = Library::embedded();
    let folder = std::env::temp_dir().join(format!("fuelwright-rig-file-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("can be made");
    let code = |path: &std::path::Path| {
        let start = std::time::Instant::now();
        let mistakes = input::load(path, &library).expect_err("it is no rig");
        assert!(start.elapsed().as_secs() < 5, "{}", path.display());
        assert!(mistakes.to_string().contains(&path.display().to_string()));
        (mistakes.list[0].code, mistakes.to_string())
    };
    assert_eq!(code(&folder.join("nothing.toml")).0, "E101");
    assert_eq!(code(&folder).0, "E102");
    assert_eq!(code(std::path::Path::new("/dev/zero")).0, "E102");
    let pipe = folder.join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    if made.is_ok_and(|s| s.success()) {
        assert_eq!(code(&pipe).0, "E102");
    }
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.join(name);
        std::fs::write(&path, bytes).expect("can be written");
        path
    };
    let large = write("large.toml", &vec![b'#'; 10 << 20]);
    assert_eq!(code(&large).0, "E104");
    let latin = write("latin.toml", b"[rig]\nname = \"D\xfcse\"\n");
    let (e, text) = code(&latin);
    assert_eq!(e, "E105");
    assert!(text.contains("line 2, column 10"), "{text}");
    let deep = format!("a = {}1{}", "[".repeat(20_000), "]".repeat(20_000));
    let (e, text) = code(&write("deep.toml", deep.as_bytes()));
    assert_eq!(e, "E111", "{text}");
    assert!(text.contains("deep.toml:1:"), "{text}");
    assert!(text.len() < 20_000, "{}", text.len());
    let dotted = format!("{} = 1", vec!["a"; 20_000].join("."));
    assert_eq!(code(&write("dotted.toml", dotted.as_bytes())).0, "E111");
    let many = "x = 1\n".repeat(100_000);
    let (e, text) = code(&write("many.toml", many.as_bytes()));
    assert_eq!(e, "E112");
    assert!(text.len() < 20_000, "{}", text.len());
    let long = format!("[rig]\nname = \"{}\"", "x".repeat(900_000));
    let (_, text) = code(&write("long.toml", long.as_bytes()));
    assert!(text.len() < 20_000, "{}", text.len());
    std::fs::remove_dir_all(&folder).expect("can be removed");
}

#[cfg(unix)]
#[test]
fn a_file_without_permission_says_so() {
    use std::os::unix::fs::PermissionsExt;
    let path = std::env::temp_dir().join(format!("fuelwright-shut-{}.toml", std::process::id()));
    std::fs::write(&path, "[rig]").expect("can be written");
    let shut = std::fs::Permissions::from_mode(0o000);
    std::fs::set_permissions(&path, shut).expect("can be shut");
    let readable = std::fs::File::open(&path).is_ok();
    let mistakes = input::load(&path, &Library::embedded()).expect_err("it is no rig");
    // the superuser may read any file: then it is an empty rig that is refused
    let want = if readable { "E204" } else { "E103" };
    assert_eq!(mistakes.list[0].code, want);
    std::fs::remove_file(&path).expect("can be removed");
}

/// The program itself on every kind of bad file: code 2, nothing on the output, the file named in the message,
/// with line and column where there is text; within 10 s and a gigabyte of address space.
#[cfg(unix)]
#[test]
fn the_program_refuses_every_bad_file_within_bounds() {
    use std::process::{Command, Stdio};
    let folder = std::env::temp_dir().join(format!("fuelwright-bad-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("can be made");
    let write = |name: &str, bytes: &[u8]| {
        std::fs::write(folder.join(name), bytes).expect("can be written");
        name.to_owned()
    };
    let wrong = |name: &str| {
        let path = format!("{}/examples/wrong/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::copy(path, folder.join(name)).expect("can be copied");
        name.to_owned()
    };
    let (_, good) = examples().remove(0);
    let mut bad = vec![
        ("nothing.toml".to_owned(), "there is no file", false),
        (".".to_owned(), "", false),
        (write("large.toml", &vec![b'#'; 10 << 20]), "", false),
        (
            write("latin.toml", b"[rig]\nname = \"D\xfcse\"\n"),
            "line 2, column 10",
            false,
        ),
        (
            write(
                "deep.toml",
                format!("a = {}1{}", "[".repeat(20_000), "]".repeat(20_000)).as_bytes(),
            ),
            "",
            true,
        ),
        (
            write(
                "twice.toml",
                good.replacen("[rig]\n", "[rig]\nname = \"one\"\nname = \"two\"\n", 1)
                    .as_bytes(),
            ),
            "name",
            true,
        ),
        (write("empty.toml", b""), "", true),
        (wrong("e112-key-twice.toml"), "E112", true),
        (wrong("e303-pressures.toml"), "E303", true),
        (wrong("two-mistakes.toml"), "E201", true),
    ];
    let made = Command::new("mkfifo")
        .arg(folder.join("pipe.toml"))
        .status();
    if made.is_ok_and(|s| s.success()) {
        bad.push(("pipe.toml".to_owned(), "", false));
    }
    for (name, word, has_place) in &bad {
        for command in ["audit", "leak", "report"] {
            let start = std::time::Instant::now();
            let done = Command::new("sh")
                .args(["-c", "ulimit -v 1048576; exec \"$0\" \"$1\" \"$2\""])
                .args([env!("CARGO_BIN_EXE_fuelwright"), command, name])
                .current_dir(&folder)
                .stdin(Stdio::null())
                .output()
                .expect("the program starts");
            let what = format!("{command} {name}");
            assert!(start.elapsed().as_secs() < 10, "{what}");
            assert_eq!(done.status.code(), Some(2), "{what}");
            assert!(done.stdout.is_empty(), "{what}");
            let message = String::from_utf8(done.stderr).expect("text");
            assert!(
                message.starts_with("error[E1")
                    || message.starts_with("error[E2")
                    || message.starts_with("error[E3"),
                "{what}: {message}"
            );
            assert!(
                message.contains(name) && message.contains(word),
                "{what}: {message}"
            );
            assert!(message.len() < 20_000, "{what}: {}", message.len());
            let place = message
                .split(&format!("{name}:"))
                .nth(1)
                .map_or("", |rest| rest.split_whitespace().next().unwrap_or(""));
            let numbers = place
                .split(':')
                .take(2)
                .filter(|n| n.parse::<u32>().is_ok());
            assert_eq!(numbers.count() == 2, *has_place, "{what}: {message}");
        }
    }
    std::fs::remove_dir_all(&folder).expect("can be removed");
}

/// A rig with one more part, as TOML lines.
fn with_part(lines: &str) -> Result<input::Loaded, input::Diagnostics> {
    let (_, text) = examples()
        .into_iter()
        .find(|(name, _)| name == "kiln-pilot.toml")
        .expect("it is there");
    let text = format!("{text}\n[[train]]\nname = \"extra\"\n{lines}\n");
    input::parse("rig.toml", &text, &Library::embedded())
}

#[test]
fn every_generic_part_fills_what_a_part_leaves_out() {
    for generic in fuelwright::train::catalogue::generic_parts() {
        let mut lines = format!(
            "kind = \"{}\"\ncatalogue = \"{}\"\n",
            generic.kind, generic.name
        );
        let line = ["tube", "hose"].contains(&generic.kind.as_str());
        if line {
            lines += "length = \"1 m\"\n";
        }
        if generic.kind == "regulator" {
            lines += "set_pressure = \"30 mbar(g)\"\n";
        }
        let loaded = with_part(&lines).unwrap_or_else(|e| panic!("{}: {e}", generic.name));
        let part = loaded.rig.train.part("extra").expect("it was added");
        assert_eq!(part.kind.name(), generic.kind);
        assert_eq!(part.catalogue.as_deref(), Some(generic.name.as_str()));
        if generic.values.contains_key("max_pressure") {
            assert!(part.rating.max_pressure.is_some(), "{}", generic.name);
        }
        if generic.values.contains_key("mass") {
            assert!(part.mass.is_some(), "{}", generic.name);
        }
        // the file keeps what was written, not what was filled in
        assert!(
            !loaded
                .raw
                .write()
                .contains(&format!("catalogue = \"{}\"\nmass", generic.name))
        );
    }
}

#[test]
fn a_part_keeps_its_own_values_over_those_of_the_generic_part() {
    use fuelwright::flow::line::Friction;
    let loaded = with_part(
        "kind = \"tube\"\ncatalogue = \"tube-8x1-copper\"\nlength = \"1 m\"\nbore = \"5 mm\"\nfriction_factor = 0.03\n",
    )
    .unwrap_or_else(|e| panic!("{e}"));
    let part = loaded.rig.train.part("extra").expect("it was added");
    let line = part.kind.line().expect("a tube");
    assert!((line.bore.value - 5e-3).abs() < 1e-12);
    let outside = line.outside_diameter.expect("from the catalogue").value;
    assert!((outside - 8e-3).abs() < 1e-12);
    // the roughness of the generic part gives way to the friction factor of this one
    assert!(matches!(line.friction, Friction::DarcyFactor(_)));
}

#[test]
fn a_generic_part_of_another_kind_is_a_contradiction() {
    let mistakes =
        with_part("kind = \"hose\"\ncatalogue = \"tube-8x1-copper\"\nlength = \"1 m\"\n")
            .expect_err("it contradicts itself");
    assert_eq!(mistakes.list.len(), 1, "{mistakes}");
    assert_eq!(mistakes.list[0].code, "E303");
}

#[test]
fn a_key_that_is_there_and_cannot_be_read_is_not_missing() {
    for (lines, code) in [
        (
            "kind = \"regulator\"\nset_pressure = \"30 mbar\"\nwide_open = \"0.3 Kv\"\nrated_flow = \"1 kg/h\"\ndroop = \"3 mbar\"",
            "E201",
        ),
        (
            "kind = \"tube\"\nbore = \"6 lightyears\"\nlength = \"1 m\"",
            "E201",
        ),
        (
            "kind = \"filter\"\nbore = 6\nflow_coefficient = \"1 Kv\"",
            "E202",
        ),
        (
            "kind = \"fitting\"\nbore = \"6 mm\"\nshape = \"bent\"",
            "E205",
        ),
    ] {
        let mistakes = with_part(lines).expect_err("it cannot be read");
        let codes: Vec<&str> = mistakes.list.iter().map(|d| d.code).collect();
        assert_eq!(codes, [code], "{lines}: {mistakes}");
    }
}

#[test]
fn a_share_above_one_is_told_how_percent_is_written() {
    let (_, text) = examples()
        .into_iter()
        .find(|(name, _)| name == "coupon-soak-rig.toml")
        .expect("it is there");
    let at = text.find("\nthrottle = ").expect("a throttle") + 1;
    let end = at + text[at..].find('\n').expect("a line");
    let wrong = format!("{}throttle = 40{}", &text[..at], &text[end..]);
    let mistakes =
        input::parse("rig.toml", &wrong, &Library::embedded()).expect_err("out of range");
    assert!(mistakes.to_string().contains("`40 %` or 0.4"), "{mistakes}");
}
