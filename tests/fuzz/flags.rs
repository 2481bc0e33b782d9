//! Command lines: those of the stored outputs, with flags and values changed, added and taken away.

use super::lines::LINES;
use super::text::{scaled, with_number};
use super::trip::Draw;
use fuelwright::inside::program;

/// Flags that write a file, or stay until somebody ends the program.
const WRITERS: [&str; 7] = [
    "out", "csv", "plot", "template", "diagram", "write", "watch",
];
/// Flags whose number is how much work is asked for.
const WORK: [&str; 4] = ["--samples", "--steps", "--every", "--duration"];
const VALUES: [&str; 30] = [
    "",
    "0",
    "-1",
    "1",
    "8",
    "1e308",
    "nan",
    "Infinity",
    "50 %",
    "0.6",
    "propane",
    "methane",
    "propane:60,n-butane:40",
    "propane:95,hydrogen:5",
    "kerosene",
    "ethanol",
    "15 degC",
    "-40 degC",
    "100 K",
    "1 barg",
    "2 bar(a)",
    "200 bar(a)",
    "20 mbar(g)",
    "0 Pa(a)",
    "1 g/s",
    "40 kW",
    "0.5 mm",
    "25 L",
    "\u{1b}[31m",
    "é",
];

/// A command and the flags it takes, each with whether a value follows.
type Flags = (String, Vec<(String, bool)>);

/// Lines to begin with, most of them answered, and the flags that there are.
pub(crate) struct Known {
    lines: Vec<Vec<String>>,
    flags: Vec<Flags>,
}

impl Known {
    /// Reads both: nothing has to be kept in step with the program by hand.
    pub(crate) fn gather() -> Self {
        let folder = format!("{}/tests/cli", env!("CARGO_MANIFEST_DIR"));
        let mut paths: Vec<_> = std::fs::read_dir(folder)
            .expect("stored outputs")
            .map(|e| e.expect("readable").path())
            .filter(|p| {
                !["refused", "bad_input"]
                    .iter()
                    .any(|w| p.display().to_string().contains(w))
            })
            .collect();
        paths.sort();
        let writes = |line: &[String]| {
            line.first().is_none_or(|c| c == "start")
                || line
                    .iter()
                    .any(|w| w.strip_prefix("--").is_some_and(|w| WRITERS.contains(&w)))
        };
        let stored = LINES
            .iter()
            .map(|line| line.split('|').map(str::to_owned).collect());
        let lines: Vec<_> = paths
            .iter()
            .flat_map(|p| {
                let text = std::fs::read_to_string(p).expect("text");
                let lines = text.lines().filter_map(|l| l.strip_prefix("$ fuelwright "));
                lines.map(words).collect::<Vec<_>>()
            })
            .chain(stored)
            .filter(|line: &Vec<String>| !writes(line))
            .collect();
        assert!(lines.len() > 100);
        let of = |command: &clap::Command| {
            let flags = command.get_arguments().filter_map(|a| {
                let name = a.get_long().filter(|n| !WRITERS.contains(n))?;
                Some((format!("--{name}"), a.get_action().takes_values()))
            });
            flags.collect::<Vec<_>>()
        };
        let root = program();
        let all = of(&root);
        let flags = root
            .get_subcommands()
            .map(|c| (c.get_name().to_owned(), [of(c), all.clone()].concat()))
            .collect();
        Self { lines, flags }
    }

    /// One line with up to three changes.
    pub(crate) fn line(&self, draw: &mut Draw) -> Vec<String> {
        let mut line = draw.one_of(&self.lines).clone();
        for _ in 0..*draw.one_of(&[1, 1, 2, 3]) {
            self.change(&mut line, draw);
        }
        line
    }

    fn change(&self, line: &mut Vec<String>, draw: &mut Draw) {
        let value = |line: &[String], i: usize| {
            i > 0 && line[i - 1].starts_with("--") && !WORK.contains(&line[i - 1].as_str())
        };
        let values: Vec<usize> = (1..line.len()).filter(|i| value(line, *i)).collect();
        let other = draw.one_of(&self.lines).clone();
        match draw.below(8) {
            0 if !values.is_empty() => {
                let at = *draw.one_of(&values);
                (*draw.one_of(&VALUES)).clone_into(&mut line[at]);
            }
            1 if !values.is_empty() => {
                let at = *draw.one_of(&values);
                line[at] = with_number(&line[at], *draw.one_of(&["0", "-1", "1e9", "nan"]));
            }
            2 if line.len() > 1 => {
                line.remove(1 + draw.below(line.len() - 1));
            }
            3 => {
                // a flag of this command with a value that stands somewhere
                let command = self.flags.iter().find(|(c, _)| *c == line[0]);
                if let Some((flag, valued)) = command.map(|(_, flags)| draw.one_of(flags)) {
                    line.push(flag.clone());
                    if *valued {
                        let theirs = (1..other.len()).find(|i| value(&other, *i));
                        line.push(theirs.map_or_else(
                            || (*draw.one_of(&VALUES)).to_owned(),
                            |i| other[i].clone(),
                        ));
                    }
                }
            }
            4 => line.extend(other.into_iter().skip(1)),
            _ if !values.is_empty() => {
                let at = *draw.one_of(&values);
                line[at] = scaled(&line[at], draw);
            }
            _ => {}
        }
    }
}

/// The words of a line as a shell would give them.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' | '\'' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            c => words.last_mut().expect("begins with one").push(c),
        }
    }
    words
}
