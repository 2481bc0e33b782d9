//! A finding as the short text tells it.

use crate::report::Finding;

/// The finding's sentence with its first advice, if both find room in `most` lines, and its rule's number.
pub(super) fn within(f: &Finding, most: usize, lines: impl Fn(&str) -> usize) -> String {
    let Finding { sentence, id, .. } = f;
    let alone = format!("{sentence} {id}");
    match f.first_advice() {
        "" => alone,
        advice => {
            let advised = format!("{sentence} {advice} {id}");
            if lines(&advised) <= most {
                advised
            } else {
                alone
            }
        }
    }
}
