//! `rules`: what an audit checks, and the page of one rule.

use super::context::Context;
use super::error::CliError;
use crate::audit::registry::{RULES, find};
use crate::quantity::suggest::nearest;
use crate::report::{Report, Topic, rules as write};

/// Flags of `rules`.
#[derive(Debug, clap::Args)]
pub struct RulesArgs {
    /// Id or name of one rule: prints its page.
    #[arg(value_name = "ID")]
    pub rule: Option<String>,
}

/// Lists the rules, or prints the page of one.
///
/// # Errors
/// A rule that is not there.
pub fn run(args: &RulesArgs, _context: &Context) -> Result<Report, CliError> {
    let Some(wanted) = &args.rule else {
        return Ok(list());
    };
    let rule = find(wanted).ok_or_else(|| CliError::NotListed {
        what: "rule",
        lists: "rules",
        word: wanted.clone(),
        suggestion: nearest(wanted, RULES.iter().flat_map(|r| [r.id, r.name])).map(str::to_owned),
    })?;
    let mut report = Report::new(Topic::Rules, format!("{} {}", rule.id, rule.name));
    write::page(&mut report, rule);
    Ok(report)
}

fn list() -> Report {
    let mut report = Report::new(Topic::Rules, format!("{} rules", RULES.len()));
    write::rules(&mut report);
    report
}
