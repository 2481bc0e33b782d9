//! Files that the program writes and reads: nothing that it did not write is written over, nothing but regular files
//! of a bounded size is read, and what cannot be written leaves everything as it was.

use super::folder::Folder;
use fuelwright::inside::{FileKind, Found, found};
use fuelwright::{self as cli, Outcome};
use std::fs;
use std::path::PathBuf;

const RIG: &str = "examples/coupon-soak-rig.toml";

fn run(arguments: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = ["fuelwright", "--full"]
        .into_iter()
        .chain(arguments.iter().copied());
    let outcome = cli::run(all, 80, &mut out, &mut err);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (outcome, text(out), text(err))
}

/// The kinds of files with a name for each and the commands that write them, but for the name.
const WRITERS: [(FileKind, &str, &[&str]); 8] = [
    (FileKind::HtmlReport, "r.html", &["report", RIG, "--out"]),
    (FileKind::MarkdownReport, "r.md", &["report", RIG, "--out"]),
    (FileKind::JsonReport, "r.json", &["report", RIG, "--out"]),
    (FileKind::TextReport, "r.txt", &["report", RIG, "--out"]),
    (FileKind::Diagram, "d.svg", &["train", RIG, "--diagram"]),
    (
        FileKind::SweepTable,
        "s.csv",
        &[
            "sweep",
            RIG,
            "--over",
            "duties.soak.throttle",
            "--from",
            "60 %",
            "--to",
            "80 %",
            "--steps",
            "2",
            "--csv",
        ],
    ),
    (
        FileKind::SweepFigure,
        "s.svg",
        &[
            "sweep",
            RIG,
            "--over",
            "duties.soak.throttle",
            "--from",
            "60 %",
            "--to",
            "80 %",
            "--steps",
            "2",
            "--plot",
        ],
    ),
    (
        FileKind::Template,
        "t.svg",
        &["injector", RIG, "--template"],
    ),
];

fn write(writer: &[&str], file: &str) -> (Outcome, String, String) {
    run(&[writer, &[file]].concat())
}

/// What the text of such a file looks like where another program wrote it.
fn foreign(kind: FileKind) -> &'static str {
    match kind {
        FileKind::HtmlReport => {
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta name=\"generator\" content=\"fuelwright 0.1.0\"/>\n"
        }
        FileKind::MarkdownReport => "# Report of the tests in March\n\nwritten by fuelwright: me\n",
        FileKind::JsonReport => {
            "{\n  \"written_by\": \"written by fuelwright: JSON report, checksum 0123456789abcdef\"\n}\n"
        }
        FileKind::TextReport => "Report of the tests in March\n",
        FileKind::SweepTable => "value,duty,mine\n1,2,3\n",
        FileKind::Diagram | FileKind::SweepFigure => {
            "<svg xmlns=\"http://www.w3.org/2000/svg\">mine</svg>\n"
        }
        FileKind::Template => {
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"fuelwright-drilling-template\">mine</svg>\n"
        }
    }
}

#[test]
fn what_the_program_wrote_is_written_over_and_a_changed_one_or_a_foreign_one_is_kept() {
    let folder = Folder::new("over");
    for (kind, name, writer) in WRITERS {
        let file = folder.path(name);
        for _ in 0..2 {
            let (outcome, _, err) = write(writer, &file);
            assert_ne!(outcome, Outcome::Failed, "{kind:?}: {err}");
        }
        let ours = fs::read_to_string(&file).expect("written");
        assert_eq!(found(ours.as_bytes()), Found::Ours(kind));
        let changed = ours.replacen("soak", "my soak", 1);
        assert_ne!(ours, changed, "{kind:?}");
        for (text, why) in [
            (changed.as_str(), "has been changed since"),
            (&format!("{ours}my notes\n"), "has been changed since"),
            (
                foreign(kind),
                if kind == FileKind::JsonReport {
                    "changed"
                } else {
                    "nothing shows that this program wrote it"
                },
            ),
            ("", "nothing shows that this program wrote it"),
        ] {
            fs::write(&file, text).expect("can be written");
            let (outcome, out, err) = write(writer, &file);
            assert_eq!(outcome, Outcome::Failed, "{kind:?}: {text}");
            assert!(out.is_empty() && err.contains(why), "{kind:?}: {err}");
            assert!(err.contains("nothing is written over it"), "{err}");
            assert_eq!(fs::read_to_string(&file).expect("there"), text);
        }
        fs::remove_file(&file).expect("can be removed");
    }
    assert!(folder.names().is_empty(), "{:?}", folder.names());
}

#[test]
fn the_same_rig_gives_the_same_file_and_its_format_still_reads_it() {
    let folder = Folder::new("formats");
    for (kind, name, writer) in WRITERS {
        let read = |at: &str| {
            let file = folder.path(&format!("{at}-{name}"));
            let (outcome, _, err) = write(writer, &file);
            assert_ne!(outcome, Outcome::Failed, "{kind:?}: {err}");
            fs::read_to_string(&file).expect("written")
        };
        let text = read("a");
        assert_eq!(text, read("b"), "{kind:?}");
        match kind {
            FileKind::JsonReport => {
                let object: serde_json::Value = serde_json::from_str(&text).expect("an object");
                let by = object["written_by"].as_str().expect("a text");
                assert!(
                    by.starts_with("written by fuelwright: JSON report, "),
                    "{by}"
                );
                assert!(object["cautions"].is_array());
            }
            FileKind::SweepTable => {
                let mut reader = csv::Reader::from_reader(text.as_bytes());
                let last = reader.headers().expect("headings").len() - 1;
                assert_eq!(&reader.headers().expect("headings")[last], "written_by");
                for row in reader.records() {
                    let row = row.expect("as many fields as headings");
                    assert!(row[last].contains("table of a sweep"), "{row:?}");
                }
            }
            FileKind::Diagram | FileKind::SweepFigure | FileKind::Template => {
                let (_, behind) = text.rsplit_once("</svg>\n").expect("a drawing");
                assert!(behind.trim().starts_with("<!-- ") && behind.ends_with(" -->\n"));
            }
            FileKind::HtmlReport => {
                let (_, behind) = text.rsplit_once("</html>\n").expect("a page");
                assert!(behind.trim().starts_with("<!-- ") && behind.ends_with(" -->\n"));
            }
            FileKind::MarkdownReport => assert!(text.ends_with(" -->\n")),
            FileKind::TextReport => assert!(text.ends_with("]\n")),
        }
    }
}

#[test]
fn a_file_of_another_kind_is_kept_though_the_program_wrote_it() {
    let folder = Folder::new("kinds");
    let file = folder.path("x.svg");
    let [.., (_, _, table), (_, _, figure), (_, _, template)] = WRITERS;
    write(template, &file);
    let before = fs::read_to_string(&file).expect("written");
    for writer in [table, figure] {
        let (outcome, _, err) = write(writer, &file);
        assert_eq!(outcome, Outcome::Failed);
        assert!(
            err.contains("another kind of file (drilling template;"),
            "{err}"
        );
        assert_eq!(before, fs::read_to_string(&file).expect("there"));
    }
}

#[test]
fn a_place_where_no_file_can_be_is_refused_in_plain_words_before_the_work() {
    let folder = Folder::new("places");
    let deep = folder.path("no/such/r.csv");
    let under = folder.path("file/r.csv");
    fs::write(folder.path("file"), "mine").expect("can be written");
    let [.., (_, _, table), _, _] = WRITERS;
    for (place, word) in [
        (folder.path("."), "it is a folder: name a file in it"),
        (deep, "make the folder first"),
        (under, "is a file and no folder"),
        ("-".to_owned(), "it is the output, where the answer goes"),
        (
            "/dev/stdout".to_owned(),
            "it is the output, where the answer goes",
        ),
    ] {
        let (outcome, out, err) = write(table, &place);
        assert_eq!(outcome, Outcome::Failed, "{place}");
        assert!(out.is_empty() && err.contains(word), "{place}: {err}");
        assert!(err.contains(&format!("`{place}`")), "{err}");
    }
    assert_eq!(folder.names(), ["file"]);
    for line in [
        &["report", RIG, "--out", "-"][..],
        &["report", RIG, "--format", "html", "--out", "-"],
        &["injector", RIG, "--template", "-"],
        &["train", RIG, "--diagram", "-"],
        &["start", "bench", "--out", "-"],
    ] {
        let (outcome, _, err) = run(line);
        assert_eq!(outcome, Outcome::Failed, "{line:?}");
        assert!(err.contains("leave the flag out"), "{err}");
        assert!(!std::path::Path::new("-").exists());
    }
}

#[test]
fn a_rig_to_begin_with_is_never_written_over_anything() {
    let folder = Folder::new("start");
    let file = folder.path("rig.toml");
    let (outcome, _, err) = run(&["start", "bench", "--out", &file]);
    assert_eq!(outcome, Outcome::Done, "{err}");
    let before = fs::read_to_string(&file).expect("written");
    let (outcome, _, err) = run(&["start", "another", "--out", &file]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("it is there already and is kept"), "{err}");
    assert_eq!(before, fs::read_to_string(&file).expect("there"));
    assert_eq!(folder.names(), ["rig.toml"]);
}

#[test]
fn a_file_larger_than_any_of_its_kind_is_refused_by_its_size() {
    let folder = Folder::new("size");
    let large = folder.path("large.toml");
    // no room is taken: the disk knows a length without content
    let file = fs::File::create(&large).expect("can be made");
    file.set_len(1 << 40)
        .expect("a disk that holds a tebibyte of nothing");
    let (outcome, _, err) = run(&["audit", &large]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(
        err.contains("E104") && err.contains("1048576 bytes"),
        "{err}"
    );
    let (outcome, _, err) = run(&[
        "fuels",
        "--fuels-folder",
        &folder.whole().display().to_string(),
    ]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(
        err.contains("large.toml`: it is larger than 1048576 bytes"),
        "{err}"
    );
    let page = folder.path("r.html");
    fs::rename(&large, &page).expect("can be moved");
    let (outcome, _, err) = run(&["report", RIG, "--out", &page]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(
        err.contains("nothing shows that this program wrote it"),
        "{err}"
    );
}

#[test]
fn a_fuels_folder_is_read_within_bounds() {
    let folder = Folder::new("fuels");
    let fuels = || {
        run(&[
            "fuels",
            "--fuels-folder",
            &folder.whole().display().to_string(),
        ])
    };
    fs::write(folder.path("latin.toml"), b"name = \"x\"\n# D\xfcse\n").expect("can be written");
    let (outcome, _, err) = fuels();
    assert_eq!(outcome, Outcome::Failed);
    assert!(
        err.contains("latin.toml`: it is not UTF-8 text from line 2, column 4 on"),
        "{err}"
    );
    for i in 0..1001 {
        fs::write(folder.path(&format!("{i}.toml")), "").expect("can be written");
    }
    let (outcome, _, err) = fuels();
    assert_eq!(outcome, Outcome::Failed);
    assert!(
        err.contains("more than 1000 files that end in .toml"),
        "{err}"
    );
}

#[cfg(unix)]
mod unix {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};

    const PROGRAM: &str = env!("CARGO_BIN_EXE_fuelwright");

    /// Runs the program and ends it after some seconds: exit code, what it said, how long it took.
    fn program(arguments: &[&str]) -> (Option<i32>, String, Duration) {
        let begun = Instant::now();
        let mut child = Command::new(PROGRAM)
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        while begun.elapsed() < Duration::from_secs(10) {
            if child.try_wait().expect("it is ours").is_some() {
                let done = child.wait_with_output().expect("it has ended");
                let said = String::from_utf8(done.stderr).expect("text");
                return (done.status.code(), said, begun.elapsed());
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        child.kill().expect("it is ours");
        child.wait().expect("it is ours");
        (None, "it does not end".to_owned(), begun.elapsed())
    }

    fn pipe(path: &str) {
        let made = Command::new("mkfifo").arg(path).status();
        assert!(made.expect("every Unix has it").success());
    }

    #[test]
    fn pipes_and_devices_as_rig_as_file_and_as_fuel_end_at_once_with_a_plain_message() {
        let folder = Folder::new("pipes");
        let fuels = Folder::new("pipes-fuels");
        for (kind, make) in [
            ("pipe", pipe as fn(&str)),
            ("zero", |path| symlink("/dev/zero", path).expect("a link")),
            ("full", |path| symlink("/dev/full", path).expect("a link")),
        ] {
            let name = |ending: &str| {
                let path = folder.path(&format!("{kind}.{ending}"));
                make(&path);
                path
            };
            let fuel = fuels.path(&format!("{kind}.toml"));
            make(&fuel);
            let fuels = fuels.whole().display().to_string();
            let rig = name("toml");
            let mut lines: Vec<Vec<&str>> = vec![
                vec!["audit", &rig],
                vec!["compare-rigs", RIG, &rig],
                vec!["fuels", "--fuels-folder", &fuels],
            ];
            let files: Vec<String> = WRITERS.iter().map(|(_, file, _)| name(file)).collect();
            for ((_, _, writer), file) in WRITERS.iter().zip(&files) {
                lines.push([writer, &[file.as_str()][..]].concat());
            }
            for line in lines {
                let (code, said, took) = program(&line);
                assert_eq!(code, Some(2), "{line:?}: {said}");
                assert!(
                    said.contains("a pipe, socket or device"),
                    "{line:?}: {said}"
                );
                // the start of the program counts, on a machine that does other work too
                assert!(took < Duration::from_secs(5), "{line:?}: {took:?}");
            }
            fs::remove_file(&fuel).expect("can be removed");
        }
    }

    #[test]
    fn a_link_is_followed_to_a_file_of_the_program_and_to_no_other() {
        let folder = Folder::new("links");
        let (_, _, table) = WRITERS[5];
        let (link, file) = (folder.path("link.csv"), folder.path("real.csv"));
        symlink("real.csv", &link).expect("a link");
        let refused = |word: &str| {
            let (outcome, _, err) = write(table, &link);
            assert_eq!(outcome, Outcome::Failed);
            assert!(err.contains(word), "{err}");
            assert_eq!(
                fs::read_link(&link).expect("a link"),
                PathBuf::from("real.csv")
            );
        };
        refused("a link to a file that is not there");
        assert_eq!(folder.names(), ["link.csv"]);
        fs::write(&file, "value,duty\nmine\n").expect("can be written");
        refused("nothing is written over it");
        assert_eq!(
            fs::read_to_string(&file).expect("there"),
            "value,duty\nmine\n"
        );
        fs::remove_file(&file).expect("can be removed");
        let writer = table.iter().map(|a| if *a == "80 %" { "70 %" } else { a });
        write(&writer.collect::<Vec<_>>(), &file);
        let before = fs::read_to_string(&file).expect("written");
        let (outcome, _, err) = write(table, &link);
        assert_ne!(outcome, Outcome::Failed, "{err}");
        assert_ne!(before, fs::read_to_string(&file).expect("written over"));
        assert_eq!(
            fs::read_link(&link).expect("still a link"),
            PathBuf::from("real.csv")
        );
        assert_eq!(folder.names(), ["link.csv", "real.csv"]);
        for over in ["start.toml", "dead.toml"] {
            symlink(
                if over == "start.toml" {
                    "real.csv"
                } else {
                    "nowhere"
                },
                folder.path(over),
            )
            .expect("a link");
            let (outcome, _, err) = run(&["start", "bench", "--out", &folder.path(over)]);
            assert_eq!(outcome, Outcome::Failed);
            assert!(err.contains("is kept"), "{err}");
        }
    }

    #[test]
    fn permissions_stay_and_a_file_that_may_only_be_read_is_kept() {
        let folder = Folder::new("modes");
        let (_, name, template) = WRITERS[7];
        let file = folder.path(name);
        let mode = || fs::metadata(&file).expect("there").permissions().mode() & 0o777;
        let set =
            |mode| fs::set_permissions(&file, fs::Permissions::from_mode(mode)).expect("ours");
        write(template, &file);
        let plain = folder.path("plain");
        fs::write(&plain, "").expect("can be written");
        let usual = fs::metadata(&plain).expect("there").permissions().mode() & 0o777;
        assert_eq!(mode(), usual);
        set(0o640);
        let (outcome, _, err) = write(template, &file);
        assert_ne!(outcome, Outcome::Failed, "{err}");
        assert_eq!(mode(), 0o640);
        set(0o440);
        let (outcome, _, err) = write(template, &file);
        assert_eq!(outcome, Outcome::Failed);
        assert!(err.contains("it is there and is read-only"), "{err}");
    }

    #[test]
    fn a_folder_that_may_only_be_read_says_so() {
        let folder = Folder::new("shut");
        let inner = folder.whole().join("inner");
        fs::create_dir(&inner).expect("can be made");
        let set =
            |mode| fs::set_permissions(&inner, fs::Permissions::from_mode(mode)).expect("ours");
        set(0o555);
        // the superuser may write anywhere but here
        let open = fs::write(inner.join("x"), "").is_ok();
        let file = if open {
            "/sys/t.svg".to_owned()
        } else {
            inner.join("t.svg").display().to_string()
        };
        let (outcome, _, err) = write(WRITERS[7].2, &file);
        set(0o755);
        assert_eq!(outcome, Outcome::Failed);
        assert!(
            err.contains("no permission") || err.contains("nothing can be written there"),
            "{err}"
        );
    }

    /// A limit on the size of files stands for a disk that is full: the write breaks off in the middle. With the
    /// signal for it ignored the program is told, with the signal as it is the program is killed.
    #[test]
    fn a_write_that_breaks_off_leaves_the_older_file_as_it_was() {
        let folder = Folder::new("broken");
        let (_, name, report) = WRITERS[0];
        let file = folder.path(name);
        write(report, &file);
        let before = fs::read(&file).expect("written");
        assert!(before.len() > 20_000, "more than the limit below");
        for (signal, told) in [("trap '' XFSZ;", true), ("", false)] {
            let script = format!("{signal} ulimit -f 16; exec \"$0\" \"$@\"");
            let done = Command::new("sh")
                .args(["-c", &script, PROGRAM])
                .args(report)
                .arg(&file)
                .stdin(Stdio::null())
                .output()
                .expect("a shell");
            let said = String::from_utf8(done.stderr).expect("text");
            assert_eq!(done.status.code(), told.then_some(2), "{said}");
            assert_eq!(before, fs::read(&file).expect("there"));
            if told {
                assert!(
                    said.contains("cannot write") && said.contains("too large"),
                    "{said}"
                );
                assert_eq!(folder.names(), [name]);
            }
        }
        // what a killed run left behind is in nobody's way
        let (outcome, _, err) = write(report, &file);
        assert_ne!(outcome, Outcome::Failed, "{err}");
    }
}
