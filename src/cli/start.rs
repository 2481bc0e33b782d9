//! `start`: write a rig file to begin with.

use super::Context;
use super::error::CliError;
use crate::input::starter::starter;
use crate::report::{Report, Topic};
use std::fs::OpenOptions;
use std::io::Write;
use std::path::PathBuf;

/// Flags of `start`.
#[derive(Debug, clap::Args)]
pub struct StartArgs {
    /// Name of the rig.
    #[arg(value_name = "NAME")]
    pub name: String,
    /// File to write; the name with dashes and `.toml` if left out. A file that is there is kept.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Writes the file, and never over another.
///
/// # Errors
/// A file of that name is there, or cannot be written.
pub fn run(args: &StartArgs, _context: &Context) -> Result<Report, CliError> {
    let path = args.out.clone().unwrap_or_else(|| file_name(&args.name));
    let cannot = |source| CliError::Create {
        path: path.clone(),
        source,
    };
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&path)
        .map_err(cannot)?;
    file.write_all(starter(&args.name).as_bytes())
        .map_err(cannot)?;
    let mut report = Report::new(Topic::Start, format!("Wrote {}", path.display()));
    report.paragraph(
        "Next",
        format!(
            "Put your own figures in it, then run: fuelwright audit {}",
            path.display()
        ),
    );
    report.key("path", path.display().to_string());
    Ok(report)
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
        assert_eq!(file_name("../../etc/x"), PathBuf::from("etc-x.toml"));
        assert_eq!(file_name("!!"), PathBuf::from("rig.toml"));
    }
}
