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
        suggestion: nearest(wanted, RULES.iter().flat_map(|r| [r.id, r.name])).map(str::to_owned),
    })?;
    let mut report = Report::new(Topic::Rules, format!("{} {}", rule.id, rule.name));
    for heading in ["What it checks", "Why it matters", "What to do"] {
        report.paragraph(heading, rule.paragraph(heading));
    }
    report.paragraph("Signal word", rule.severity());
    report.paragraph("Source", rule.source.show());
    report.key("id", rule.id);
    report.key("name", rule.name);
    report.key("group", rule.group.name());
    report.key("checks", rule.paragraph("What it checks"));
    report.key("why", rule.paragraph("Why it matters"));
    report.key("what_to_do", rule.paragraph("What to do"));
    report.key(
        "signals",
        rule.signals.iter().map(|s| s.word()).collect::<Vec<_>>(),
    );
    report.key("source", rule.source.show());
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
        let checks = rule.paragraph("What it checks");
        all.push(json!({
            "id": rule.id, "name": rule.name, "group": rule.group.name(), "checks": checks,
        }));
        table.row(vec![
            Value::from(rule.id),
            Value::from(rule.name),
            Value::from(rule.group.name()),
            Value::Text(checks),
        ]);
    }
    report.table("Rules", table);
    report.key("rules", all);
    report
}
