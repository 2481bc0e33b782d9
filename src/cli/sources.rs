//! `sources`: where the figures come from, how far each source was looked up, and what rests on it.

use super::context::Context;
use super::error::CliError;
use crate::fuel::{Grade, Library};
use crate::quantity::suggest::nearest;
use crate::report::{Report, Topic, sources as write};

/// Flags of `sources`.
#[derive(Debug, clap::Args)]
pub struct SourcesArgs {
    /// Key of one source: says what it is and where it is used.
    #[arg(value_name = "KEY")]
    pub key: Option<String>,
}

/// Lists the sources, or says what one is.
///
/// # Errors
/// A source that is not there.
pub fn run(args: &SourcesArgs, _context: &Context) -> Result<Report, CliError> {
    let library = Library::embedded();
    let Some(wanted) = &args.key else {
        return Ok(list(&library));
    };
    let all = || library.all_sources();
    let (key, source) = all()
        .find(|(key, _)| key.eq_ignore_ascii_case(wanted))
        .ok_or_else(|| CliError::NotListed {
            what: "source",
            lists: "sources",
            word: wanted.clone(),
            suggestion: nearest(wanted, all().map(|(key, _)| key)).map(str::to_owned),
        })?;
    let mut report = Report::new(Topic::Sources, key);
    write::source(&mut report, key, source);
    Ok(report)
}

fn list(library: &Library) -> Report {
    let of = |grade| {
        let all = library.all_sources();
        all.filter(move |(_, s)| s.grade == Some(grade))
    };
    let counts = Grade::ALL.map(|g| format!("{} {}", of(g).count(), g.name()));
    let mut report = Report::new(
        Topic::Sources,
        format!(
            "{} sources: {}",
            library.all_sources().count(),
            counts.join(", ")
        ),
    );
    write::sources(&mut report, library);
    report
}
