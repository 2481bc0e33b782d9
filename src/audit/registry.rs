//! Finds rules in the list of them.

use super::rule::{Judges, Rule};
pub use super::rules::RULES;
use crate::convert::concern::ConcernKind;

/// The rule of this id or name.
pub fn find(id_or_name: &str) -> Option<&'static Rule> {
    RULES
        .iter()
        .copied()
        .find(|r| r.id.eq_ignore_ascii_case(id_or_name) || r.name == id_or_name)
}

/// The rule that judges what a plan of a switch remarks.
pub fn of_switch(kind: ConcernKind) -> Option<&'static Rule> {
    let mut rules = RULES.iter().copied();
    rules.find(|r| matches!(r.judges, Judges::Switch(of) if of == kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_id_and_no_name_is_used_twice() {
        let ids: BTreeSet<_> = RULES.iter().map(|r| r.id).collect();
        let names: BTreeSet<_> = RULES.iter().map(|r| r.name).collect();
        assert_eq!(ids.len(), RULES.len());
        assert_eq!(names.len(), RULES.len());
    }

    #[test]
    fn every_concern_of_a_switch_has_its_rule() {
        let kinds: BTreeSet<_> = RULES
            .iter()
            .filter_map(|r| match r.judges {
                Judges::Switch(kind) => Some(kind),
                _ => None,
            })
            .collect();
        assert_eq!(kinds.len(), ConcernKind::HottestNotKnown as usize + 1);
    }

    #[test]
    fn rules_stand_in_the_order_of_the_manual() {
        let keys: Vec<_> = RULES.iter().map(|r| (r.group, r.id)).collect();
        let mut sorted = keys.clone();
        sorted.sort_unstable();
        assert_eq!(keys, sorted);
    }

    #[test]
    fn every_rule_has_its_whole_page() {
        for rule in RULES {
            for heading in ["What it checks", "Why it matters", "What to do"] {
                let text = rule.paragraph(heading);
                assert!(text.len() > 20, "{}: {heading}: {text}", rule.id);
            }
            assert!(
                !rule.signals.is_empty() && !rule.source.show().is_empty(),
                "{}",
                rule.id
            );
            let letters = rule.id[..3].chars().all(|c| c.is_ascii_uppercase());
            let digits = rule.id[3..].chars().all(|c| c.is_ascii_digit());
            assert!(rule.id.len() == 6 && letters && digits, "{}", rule.id);
        }
    }
}
