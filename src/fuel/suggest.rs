//! "Did you mean": the nearest of a list of names.

/// Nearest name: at most three edits away, or one that contains what was typed (or is contained in it).
pub(super) fn nearest<'a>(
    wanted: &str,
    names: impl Iterator<Item = &'a str> + Clone,
) -> Option<String> {
    let close = names
        .clone()
        .map(|n| (edit_distance(n, wanted), n))
        .filter(|&(d, n)| d <= 3 && d < n.len().max(wanted.len()).div_ceil(2))
        .min_by_key(|&(d, _)| d)
        .map(|(_, n)| n);
    let mut names = names;
    let part = || {
        names.find(|n| {
            wanted.len() >= 3 && (n.contains(wanted) || (n.len() >= 3 && wanted.contains(n)))
        })
    };
    close.or_else(part).map(str::to_owned)
}

/// Fewest single-character insertions, deletions and replacements from one text to the other.
fn edit_distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, &cb) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(ca != cb);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typing_mistake_finds_the_name_meant() {
        let names = ["propane", "propylene", "n-butane", "hydrogen"];
        let near = |w| nearest(w, names.into_iter());
        assert_eq!(near("propan").as_deref(), Some("propane"));
        assert_eq!(near("butan").as_deref(), Some("n-butane"));
        assert_eq!(near("hydrogn").as_deref(), Some("hydrogen"));
        assert_eq!(near("unobtainium"), None);
    }

    #[test]
    fn edits_are_counted_one_by_one() {
        assert_eq!(edit_distance("kitten", "sitting"), 3); // the textbook example of Levenshtein's distance
        assert_eq!(edit_distance("", "abc"), 3);
        assert_eq!(edit_distance("abc", "abc"), 0);
    }
}
