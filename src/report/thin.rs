//! Long lists thinned to what people read: one row in so many, with the first and the last. JSON has all rows.

/// Most rows of a table whose length its user sets; rows that are kept for a reason come on top.
pub(super) const MOST_ROWS: usize = 400;

/// Which rows of a list are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Thinned {
    /// Rows in all.
    pub(super) count: usize,
    /// One in so many is shown.
    pub(super) nth: usize,
}

impl Thinned {
    /// So many rows thinned to a number of at least two.
    pub(super) fn new(count: usize, most: usize) -> Self {
        let gaps = count.saturating_sub(1);
        let nth = gaps.div_ceil(most.saturating_sub(1).max(1)).max(1);
        Self { count, nth }
    }

    /// Whether a row is shown.
    pub(super) fn shows(self, place: usize) -> bool {
        place.is_multiple_of(self.nth) || place + 1 == self.count
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_and_last_stay_and_no_more_are_shown_than_asked() {
        for count in [1, 2, 3, 399, 400, 401, 799, 800, 10_001] {
            for most in [2, 16, 400] {
                let thinned = Thinned::new(count, most);
                let shown: Vec<usize> = (0..count).filter(|i| thinned.shows(*i)).collect();
                assert!(shown.len() <= most, "{count}, {most}: {}", shown.len());
                assert_eq!((shown[0], shown[shown.len() - 1]), (0, count - 1));
                assert_eq!(shown.len() == count, count <= most);
            }
        }
    }
}
