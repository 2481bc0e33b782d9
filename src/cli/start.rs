//! `start`: write a rig file to begin with, of what is answered or a complete example.

use super::ask::ask;
use super::context::Context;
use super::error::CliError;
use super::page::Asking;
use super::save::{free, write_new};
use crate::input::starter::Answers;
use crate::report::{Report, Topic};
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  fuelwright start \"my rig\"
  fuelwright start rigs/bench.toml --example

On a terminal it asks ten questions, each with an example and what Enter takes. Elsewhere, or with --example, it writes \
a complete example to change. All other keys stand in the file as comments, with every word they take.";

/// Flags of `start`.
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
pub struct StartArgs {
    /// Name of the rig, or of the file to write: `my rig`, `my-rig.toml`, `rigs/my-rig.toml`.
    #[arg(value_name = "NAME")]
    pub name: String,
    /// File to write; the name with dashes and `.toml` if left out. A file that is there is kept.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Ask nothing and write a complete example.
    #[arg(long)]
    pub example: bool,
}

/// Writes the file, and never over another.
///
/// # Errors
/// A file of that name is there, or cannot be written; the questions were broken off.
pub fn run(args: &StartArgs, context: &Context) -> Result<Report, CliError> {
    let (name, file) = names(&args.name);
    if name.trim().is_empty() {
        return Err(CliError::NoName);
    }
    let path = args.out.clone().unwrap_or(file);
    free(&path)?;
    let answers = match context.asking {
        Asking::No => Answers::complete(&name),
        _ if args.example => Answers::complete(&name),
        asking => ask(&name, &context.library, asking == Asking::Coloured)?,
    };
    write_new(&path, &answers.file())?;
    let mut report = Report::new(Topic::Start, format!("Wrote {}", path.display()));
    let next = if answers.train {
        "Put your own figures in it, then run"
    } else {
        "The audit asks for what decides whether anybody gets hurt and is not in the file yet. Run"
    };
    report.paragraph(
        "Next",
        format!("{next}: fuelwright audit {}", path.display()),
    );
    report.key("path", path.display().to_string());
    Ok(report)
}

/// Name of the rig and of its file. What ends in `.toml` or holds a slash is the file itself.
fn names(typed: &str) -> (String, PathBuf) {
    let path = Path::new(typed);
    let toml = path.extension().is_some_and(|e| e == "toml");
    if !toml && !typed.contains(['/', '\\']) {
        return (typed.to_owned(), file_name(typed));
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let path = if toml {
        path.to_owned()
    } else {
        path.with_extension("toml")
    };
    (stem.replace(['-', '_'], " "), path)
}

/// `Bench rig 2` becomes `bench-rig-2.toml`.
fn file_name(name: &str) -> PathBuf {
    let words: Vec<String> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect();
    let stem = if words.is_empty() {
        "rig".to_owned()
    } else {
        words.join("-")
    };
    PathBuf::from(format!("{stem}.toml"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_becomes_a_plain_file_name() {
        assert_eq!(file_name("Bench rig 2"), PathBuf::from("bench-rig-2.toml"));
        assert_eq!(file_name("!!"), PathBuf::from("rig.toml"));
    }

    #[test]
    fn a_file_name_is_taken_as_one() {
        let of = |typed: &str| names(typed);
        assert_eq!(
            of("my-rig.toml"),
            ("my rig".to_owned(), PathBuf::from("my-rig.toml"))
        );
        assert_eq!(
            of("rigs/bench"),
            ("bench".to_owned(), PathBuf::from("rigs/bench.toml"))
        );
        assert_eq!(
            of("my rig"),
            ("my rig".to_owned(), PathBuf::from("my-rig.toml"))
        );
    }
}
