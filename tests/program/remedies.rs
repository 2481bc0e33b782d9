//! `remedies` as a person meets it: a remedy written, a search broken off, a report with remedies in it.

use super::folder::{Folder, said};
use fuelwright::Outcome;

const NEGLECTED: &str = "examples/neglected-frost-guard.toml";

#[test]
fn a_remedy_is_written_to_a_new_file_alone_and_its_audit_agrees() {
    let folder = Folder::new("remedies");
    let new = folder.path("new.toml");
    let line = [
        "remedies", NEGLECTED, "TNK002", "--apply", "1", "--write", &new,
    ];
    let (outcome, out, err) = said(&line);
    assert_eq!((outcome, err.as_str()), (Outcome::Alarms, ""));
    assert!(out.contains("`tank.fill`"), "{out}");
    let text = std::fs::read_to_string(&new).expect("written");
    assert!(
        text.contains(" % # decanted from a larger one") || text.contains("%\" # decanted"),
        "{text}"
    );
    let (_, audit, _) = said(&["audit", &new, "--format", "json"]);
    assert!(!audit.contains("\"TNK002\""));
    let (outcome, _, err) = said(&line);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("it is there already and is kept"), "{err}");
    assert_eq!(std::fs::read_to_string(&new).expect("kept"), text);
}

#[test]
fn a_report_has_remedies_beneath_its_findings_only_when_asked() {
    let folder = Folder::new("report-remedies");
    let rig = folder.file(
        "rig.toml",
        &include_str!("../../examples/tile-dryer.toml").replace("fill = \"", "fill = \"99 %\" # "),
    );
    for ending in ["html", "md", "txt", "json"] {
        let (plain, with) = (
            folder.path(&format!("plain.{ending}")),
            folder.path(&format!("with.{ending}")),
        );
        said(&["report", &rig, "--out", &plain]);
        let (outcome, _, err) = said(&["report", &rig, "--remedies", "--out", &with]);
        assert_ne!(outcome, Outcome::Failed, "{err}");
        let read = |path: &str| std::fs::read_to_string(path).expect("written");
        let told = "from 99 % to";
        let (plain, with) = (read(&plain), read(&with));
        let joined = with.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            !plain.contains(told) && joined.contains(told),
            "{ending}: {joined}"
        );
    }
}

/// Code and output of a command on one thread that Ctrl-C meets once it says how far its search is, on a terminal.
#[cfg(unix)]
pub(super) fn interrupted(arguments: &[&str]) -> (Option<i32>, String) {
    use std::fs::File;
    use std::io::Read;
    use std::process::{Command, Stdio};
    let terminal = nix::pty::openpty(None, None).expect("a terminal");
    let child = Command::new(env!("CARGO_BIN_EXE_fuelwright"))
        .args(arguments)
        .env("RAYON_NUM_THREADS", "1")
        .stdout(Stdio::piped())
        .stderr(terminal.slave)
        .spawn()
        .expect("the program starts");
    let mut progress = File::from(terminal.master);
    progress.read_exact(&mut [0]).expect("how far it is");
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.expect("kill is there").success());
    let ended = child.wait_with_output().expect("it ends");
    let out = String::from_utf8(ended.stdout).expect("text");
    (ended.status.code(), out)
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_the_search_and_shows_what_was_found() {
    let (code, out) = interrupted(&["remedies", NEGLECTED]);
    assert_eq!(code, Some(1), "{out}");
    assert!(
        out.contains("search stopped after") && out.contains("Cautions"),
        "{out}"
    );
}
