//! "Did you mean": the accepted word nearest to what was typed.

use strsim::osa_distance;

/// Longest word compared; nobody mistypes a longer one into a key.
const LONGEST: usize = 48;

/// The candidate nearest to a word: at most three letters away and fewer than half its letters, or one
/// that holds the word or is held by it.
///
/// ```
/// use fuelwright::quantity::suggest::nearest;
/// assert_eq!(nearest("diametre", ["diameter", "length"]), Some("diameter"));
/// assert_eq!(nearest("bore", ["hole_diameter", "tube_bore"]), Some("tube_bore"));
/// assert_eq!(nearest("xyz", ["diameter"]), None);
/// ```
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if word.is_empty() || word.len() > LONGEST {
        return None;
    }
    let word = word.to_lowercase().replace('-', "_");
    candidates
        .into_iter()
        .filter_map(|c| {
            let plain = c.to_lowercase().replace('-', "_");
            let d = osa_distance(&word, &plain);
            let close = d <= 3 && 2 * d < word.chars().count().max(2);
            let held = word.len() >= 3 && (plain.contains(&word) || word.contains(&plain));
            // a held word ranks behind every close one, and one that begins with it before others
            let begins = plain.starts_with(&word);
            let rank = if close {
                d
            } else {
                4 + if begins { 0 } else { d }
            };
            (close || held).then_some((rank, c))
        })
        // the first of equals: lists begin with what is usual
        .min_by_key(|(rank, _)| *rank)
        .map(|(_, c)| c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_close_word_beats_one_that_merely_holds_it() {
        assert_eq!(nearest("hole", ["holes", "hole_diameter"]), Some("holes"));
    }

    #[test]
    fn a_mistyped_fuel_finds_the_one_meant() {
        let names = ["propane", "propylene", "n-butane", "hydrogen"];
        assert_eq!(nearest("propan", names), Some("propane"));
        assert_eq!(nearest("butan", names), Some("n-butane"));
        assert_eq!(nearest("hydrogn", names), Some("hydrogen"));
        assert_eq!(nearest("unobtainium", names), None);
    }

    #[test]
    fn a_giant_word_is_not_compared() {
        assert_eq!(nearest(&"x".repeat(100_000), ["xxx"]), None);
    }
}
