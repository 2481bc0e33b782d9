//! A small set of changes that clears every DANGER and WARNING that sizes and settings can clear.

use super::probe::{Audited, new_in};
use super::{Found, Search};
use crate::audit::{Audit, Finding, Signal};
use crate::report::remedies::{Change, Named, Remedies};

/// Tables in the order in which a person works: where things stand, with the fuel off the sizes, then what is set, then
/// what the duties are.
const ORDER: [&str; 8] = [
    "site", "tank", "train", "branches", "injector", "air", "burner", "controls",
];

fn grave(audit: &Audit) -> impl Iterator<Item = &Finding> {
    audit
        .findings
        .iter()
        .filter(|f| f.signal <= Signal::Warning)
}

/// Adds the set, and what it leaves.
pub(super) fn of(search: &Search<'_>, before: &Audited, all: &mut Remedies) {
    let mut changes: Vec<Change> = Vec::new();
    let mut now: Option<Audited> = None;
    for f in grave(&before.audit) {
        if (search.stopped)() {
            break;
        }
        let base = now.as_ref().unwrap_or(before);
        let Some(still) = base
            .audit
            .findings
            .iter()
            .find(|g| g.id == f.id && g.places.contains(&f.at))
        else {
            continue;
        };
        let known = all
            .remedies
            .iter()
            .find(|r| r.finding.id == f.id && r.finding.at == f.at);
        let Some(known) = known else { continue };
        let apart = |c: &Change| changes.iter().all(|made| made.key != c.key);
        let simple = known.changes.iter().all(apart).then(|| {
            search
                .confirm(&base.loaded, &known.changes, base, still)
                .ok()
        });
        let (more, after) = match simple.flatten() {
            Some(confirmed) => (known.changes.clone(), confirmed.after),
            None => match search.of(base, still) {
                Found::Remedy(remedy) => (remedy.0.changes, remedy.1),
                Found::Unsolved(_) | Found::Work(_) => continue,
            },
        };
        for change in more {
            match changes.iter_mut().find(|made| made.key == change.key) {
                Some(made) => made.to = change.to,
                None => changes.push(change),
            }
        }
        now = Some(after);
    }
    let Some(mut end) = now else {
        all.left = grave(&before.audit).map(Named::from).collect();
        return;
    };
    // what a later change made needless goes
    let mut i = 0;
    while i < changes.len() && !(search.stopped)() {
        let mut fewer = changes.clone();
        fewer.remove(i);
        let without = search
            .changed(&before.loaded, &fewer)
            .and_then(|l| search.audited(l));
        match without {
            Some(a) if as_good(&a.audit, &end.audit) => (changes, end) = (fewer, a),
            _ => i += 1,
        }
    }
    let place = |c: &Change| {
        ORDER
            .iter()
            .position(|table| c.key.starts_with(table))
            .unwrap_or(ORDER.len())
    };
    let set = |c: &Change| c.key.ends_with("pressure");
    changes.sort_by_key(|c| (place(c), set(c)));
    all.left = grave(&end.audit).map(Named::from).collect();
    all.set = changes;
}

/// Whether nothing grave is found that the other audit has not.
fn as_good(audit: &Audit, other: &Audit) -> bool {
    new_in(audit, other).all(|f| f.signal > Signal::Warning)
}
