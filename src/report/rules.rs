//! What an audit checks, and the page of one rule.

use super::record::{record, table};
use super::{Column, Report, Table, Value};
use crate::audit::registry::RULES;
use crate::audit::rule::Rule;

record! {
    /// A rule.
    RuleOf(rule: &Rule) {
        id: Text = rule.id, "id";
        name: Text = rule.name, "finds";
        group: Text = rule.group.name(), "group";
        checks: Text = rule.paragraph("What it checks"), "checks" [optional];
    }

    /// All rules.
    Rules() {
        rules: Rows(RuleOf) = RULES.iter().map(|r| RuleOf::row(r)).collect::<Vec<_>>();
    }

    /// The page of one rule.
    PageOf(rule: &Rule) {
        ..rule: Row(RuleOf) = RuleOf::row(rule);
        /// Why it matters.
        why: Text = rule.paragraph("Why it matters");
        /// What to do.
        what_to_do: Text = rule.paragraph("What to do");
        /// Signal words it may find with.
        signals: Texts = rule.signals.iter().map(|s| s.word()).collect::<Vec<_>>();
        /// Who says so.
        source: Text = rule.source.show();
    }
}

/// Adds the list.
pub fn rules(report: &mut Report) {
    let row = Rules::row();
    report.table("By group", by_group());
    report.table("Rules", table(row.rows("rules")));
    report.keys(&row);
}

/// How many rules each group has, and which.
fn by_group() -> Table {
    let mut table = Table::new(["group", "rules", "ids"].map(Column::new).into());
    for group in RULES.chunk_by(|a, b| a.group == b.group) {
        let (first, last) = (group[0].id, group[group.len() - 1].id);
        table.row(vec![
            Value::Text(group[0].group.name().to_owned()),
            Value::Count(group.len()),
            Value::Text(format!("{first} to {last}")),
        ]);
    }
    table
}

/// Adds the page of one rule.
pub fn page(report: &mut Report, rule: &Rule) {
    for heading in ["What it checks", "Why it matters", "What to do"] {
        report.paragraph(heading, rule.paragraph(heading));
    }
    report.paragraph("Signal word", rule.severity());
    report.paragraph("Source", rule.source.show());
    report.keys(&PageOf::row(rule));
}
