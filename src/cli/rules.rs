//! `rules`: what an audit checks, and the page of one rule.

use super::context::Context;
use super::error::CliError;
use crate::audit::registry::{RULES, find};
use crate::quantity::suggest::nearest;
use crate::report::{Column, Report, Table, Topic, Value};
use serde_json::json;

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
    let rule = find(wanted).ok_or_else(|| CliError::NoSuchRule {
        rule: wanted.clone(),
        suggestion: nearest(
            wanted,
            RULES.iter().flat_map(|r| [r.about().id, r.about().name]),
        )
        .map(str::to_owned),
    })?;
    let about = rule.about();
    let mut report = Report::new(Topic::Rules, format!("{} {}", about.id, about.name));
    for heading in ["What it checks", "Why it matters", "What to do"] {
        report.paragraph(heading, about.paragraph(heading));
    }
    report.key("id", about.id);
    report.key("name", about.name);
    report.key("group", about.group.name());
    report.key("checks", about.paragraph("What it checks"));
    report.key("why", about.paragraph("Why it matters"));
    report.key("what_to_do", about.paragraph("What to do"));
    Ok(report)
}

fn list() -> Report {
    let mut report = Report::new(Topic::Rules, format!("{} rules", RULES.len()));
    let mut table = Table::new(vec![
        Column::new("id"),
        Column::new("finds"),
        Column::new("group"),
        Column::new("checks").optional(),
    ]);
    let mut all = Vec::new();
    for rule in RULES {
        let about = rule.about();
        let checks = about.paragraph("What it checks");
        all.push(json!({
            "id": about.id, "name": about.name, "group": about.group.name(), "checks": checks,
        }));
        table.row(vec![
            Value::from(about.id),
            Value::from(about.name),
            Value::from(about.group.name()),
            Value::Text(checks),
        ]);
    }
    report.table("Rules", table);
    report.key("rules", all);
    report
}
