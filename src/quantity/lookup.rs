//! The unit a person meant, and the nearest one where none fits.

use super::kind::Kind;
use super::units::{UNITS, Unit};
use std::sync::LazyLock;
use strsim::osa_distance;

/// What stands behind a pressure unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Gauge,
    Absolute,
}

/// Endings that mark a pressure level, longest first so that `(gauge)` is not read as `e)`.
pub(super) const MARKS: &[(&str, Mark)] = &[
    ("(absolute)", Mark::Absolute),
    ("absolute", Mark::Absolute),
    ("(gauge)", Mark::Gauge),
    ("gauge", Mark::Gauge),
    ("(abs)", Mark::Absolute),
    ("abs", Mark::Absolute),
    ("(a)", Mark::Absolute),
    ("(g)", Mark::Gauge),
    ("a", Mark::Absolute),
    ("g", Mark::Gauge),
];

/// The unit named, and the gauge or absolute mark behind a pressure unit.
pub(super) fn find(written: &str) -> Option<(Unit, Option<Mark>)> {
    let tidy = tidied(written);
    if let Some(unit) = plain(&tidy) {
        return Some((unit, None));
    }
    let lower = tidy.to_lowercase();
    MARKS.iter().find_map(|&(ending, mark)| {
        let stem = lower.strip_suffix(ending)?;
        let unit = plain(tidy.get(..stem.len())?.trim_end())?;
        (unit.kind == Kind::PressureDifference).then_some((unit, Some(mark)))
    })
}

/// Every name of every unit, tidied, in the order of the table.
static NAMES: LazyLock<Vec<(String, Unit)>> = LazyLock::new(|| {
    let names = |u: &'static Unit| std::iter::once(&u.symbol).chain(u.aliases);
    UNITS
        .iter()
        .flat_map(|u| names(u).map(|n| (tidied(n), *u)))
        .collect()
});

fn plain(tidy: &str) -> Option<Unit> {
    let exact = NAMES.iter().find(|(name, _)| name == tidy);
    let lenient = || NAMES.iter().find(|(name, _)| same_but_case(name, tidy));
    exact.or_else(lenient).map(|(_, unit)| *unit)
}

/// Equal but for case, except that `m` is never `M`: milli is not mega.
fn same_but_case(a: &str, b: &str) -> bool {
    let is_m = |s: &str| s.starts_with(['m', 'M']);
    if is_m(a) && is_m(b) && a.as_bytes()[0] != b.as_bytes()[0] {
        return false;
    }
    a.len() == b.len() && lower(a).eq(lower(b))
}

fn lower(s: &str) -> impl Iterator<Item = char> {
    s.chars().flat_map(char::to_lowercase)
}

/// One spelling for signs that mean the same: superscripts, degree sign, micro sign, products.
pub(super) fn tidied(written: &str) -> String {
    let mut s = String::with_capacity(written.len());
    for c in written.trim().chars() {
        match c {
            '²' | '₂' => s.push('2'),
            '³' => s.push('3'),
            '°' | 'º' => s.push_str("deg"),
            'µ' | 'μ' => s.push('u'),
            '″' | '”' | '“' => s.push('"'),
            '′' | '’' => s.push('\''),
            '·' | '*' | '×' => s.push(' '),
            '^' => {}
            c if c.is_whitespace() => s.push(' '),
            c => s.push(c),
        }
    }
    // Blanks count only between words: not doubled, and not beside a bracket or slash.
    let mut out = String::with_capacity(s.len());
    for word in s.split(' ').filter(|w| !w.is_empty()) {
        let glued =
            out.is_empty() || out.ends_with(['/', '(']) || word.starts_with(['/', ')', '(']);
        if !glued {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// The unit of one of these kinds whose spelling is nearest, if any is near.
pub(super) fn nearest(written: &str, kinds: &[Kind]) -> Option<&'static str> {
    let tidy = tidied(written).to_lowercase();
    let names = UNITS
        .iter()
        .filter(|u| kinds.contains(&u.kind))
        .map(|u| u.symbol);
    let reach = if tidy.chars().count() <= 2 { 1 } else { 2 };
    names
        .map(|n| (osa_distance(&tidy, &n.to_lowercase()), n))
        .filter(|&(d, n)| d <= reach && d < n.chars().count())
        .min_by_key(|&(d, _)| d)
        .map(|(_, n)| n)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_spelling_names_two_units() {
        let spellings: Vec<(&Unit, String)> = UNITS
            .iter()
            .flat_map(|u| {
                std::iter::once(u.symbol)
                    .chain(u.aliases.iter().copied())
                    .map(move |n| (u, tidied(n)))
            })
            .collect();
        for (i, (u, n)) in spellings.iter().enumerate() {
            for (v, m) in &spellings[i + 1..] {
                assert!(n != m, "`{n}` is {} and {}", u.symbol, v.symbol);
                // Equal but for case is allowed only where the exact spelling decides, and both mean m/M.
                assert!(!same_but_case(n, m), "`{n}` and `{m}`");
            }
        }
    }

    #[test]
    fn every_unit_is_found_by_each_of_its_spellings() {
        for u in UNITS {
            for n in std::iter::once(&u.symbol).chain(u.aliases) {
                assert_eq!(find(n), Some((*u, None)), "{n}");
            }
        }
    }

    #[test]
    fn milli_is_never_mega() {
        assert_eq!(find("MPa").map(|(u, _)| u.symbol), Some("MPa"));
        assert_eq!(find("mPa"), None);
        assert_eq!(find("Mbar"), None);
        assert_eq!(find("MM"), None);
    }
}
