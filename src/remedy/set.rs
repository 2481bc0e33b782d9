//! A small set of changes that clears every DANGER and WARNING that sizes and settings can clear.

use super::ladder::merged;
use super::probe::{Audited, is_grave, new_in};
use super::{Found, Search};
use crate::report::remedies::{Change, Named, Remedies};

/// Tables in the order in which a person works: where things stand, with the fuel off the sizes, then what is set, then
/// what the duties are.
const ORDER: [&str; 8] = [
    "site", "tank", "train", "branches", "injector", "air", "burner", "controls",
];

/// Adds the set, and what it leaves.
pub(super) fn of(search: &Search<'_>, before: &Audited, all: &mut Remedies) {
    let mut changes: Vec<Change> = Vec::new();
    let mut now: Option<Audited> = None;
    for f in before.audit.findings.iter().filter(|f| is_grave(f)) {
        if (search.stopped)() {
            break;
        }
        let base = now.as_ref().unwrap_or(before);
        let mut there = base.audit.findings.iter();
        let still = there.find(|g| g.id == f.id && g.places.contains(&f.at));
        let known = all.remedies.iter().find(|r| r.finding == Named::from(f));
        let (Some(still), Some(known)) = (still, known) else {
            continue;
        };
        let apart = |c: &Change| changes.iter().all(|made| made.key != c.key);
        let alone = known.changes.iter().all(apart);
        let simple = alone.then(|| search.confirm(&known.changes, base, still));
        let (more, after) = match simple.flatten().filter(|c| c.blocking.is_empty()) {
            Some(confirmed) => (known.changes.clone(), confirmed.after),
            None => match search.of(base, still) {
                Found::Remedy(remedy) => (remedy.0.changes, remedy.1),
                Found::Unsolved(_) | Found::Work(_) => continue,
            },
        };
        changes = merged(&changes, &more);
        now = Some(after);
    }
    // what a later change made needless goes
    let mut i = 0;
    while i < changes.len() && !(search.stopped)() {
        let mut fewer = changes.clone();
        fewer.remove(i);
        let without = search
            .changed(&before.loaded, &fewer)
            .and_then(|l| search.audited(l));
        let end = &now.as_ref().unwrap_or(before).audit;
        match without {
            Some(a) if !new_in(&a.audit, end).any(is_grave) => {
                (changes, now) = (fewer, Some(a));
            }
            _ => i += 1,
        }
    }
    let table = |c: &Change| ORDER.iter().position(|table| c.key.starts_with(table));
    let place = |c: &Change| table(c).unwrap_or(ORDER.len());
    changes.sort_by_key(|c| (place(c), c.key.ends_with("pressure")));
    let left = &now.as_ref().unwrap_or(before).audit.findings;
    all.left = left
        .iter()
        .filter(|f| is_grave(f))
        .map(Named::from)
        .collect();
    all.set = changes;
}
