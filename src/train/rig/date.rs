//! A calendar date, and days between two.

use std::fmt;

/// A date of the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// A date; `None` if there is no such day.
    ///
    /// ```
    /// use fuelwright::train::rig::Date;
    /// assert!(Date::new(2024, 2, 29).is_some());
    /// assert!(Date::new(2023, 2, 29).is_none());
    /// ```
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap = year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400);
        let days = match month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            _ => return None,
        };
        (1..=days)
            .contains(&day)
            .then_some(Self { year, month, day })
    }

    /// The date so many days after the first of January 1970; `None` beyond the year 9999.
    ///
    /// ```
    /// use fuelwright::train::rig::Date;
    /// assert_eq!(Date::from_unix_days(0), Date::new(1970, 1, 1));
    /// assert_eq!(Date::from_unix_days(20_513), Date::new(2026, 3, 1));
    /// ```
    pub fn from_unix_days(days: u64) -> Option<Self> {
        let epoch = Self::new(1970, 1, 1)?;
        let days = i32::try_from(days).ok()?;
        // the year that begins at most a year too late, then back to the one that holds the day
        let year = u16::try_from(1970 + days / 365)
            .ok()
            .filter(|y| *y < 10_000)?;
        let begun = |y: &u16| Self::new(*y, 1, 1).is_some_and(|d| d.days_since(epoch) <= days);
        let year = (1970..=year).rev().find(begun)?;
        let month = (1..=12)
            .rev()
            .find(|m| Self::new(year, *m, 1).is_some_and(|d| d.days_since(epoch) <= days))?;
        let first = Self::new(year, month, 1)?;
        Self::new(
            year,
            month,
            u8::try_from(1 + days - first.days_since(epoch)).ok()?,
        )
    }

    /// Days from another date to this one; negative if this one is earlier.
    ///
    /// ```
    /// use fuelwright::train::rig::Date;
    /// let day = |y, m, d| Date::new(y, m, d).expect("there is such a day");
    /// assert_eq!(day(2024, 3, 1).days_since(day(2024, 2, 28)), 2);
    /// assert_eq!(day(2001, 1, 1).days_since(day(2000, 1, 1)), 366);
    /// ```
    pub fn days_since(self, other: Self) -> i32 {
        self.day_number() - other.day_number()
    }

    /// Days since a fixed day, with the year taken to begin in March.
    fn day_number(self) -> i32 {
        let (y, m, d) = (
            i32::from(self.year),
            i32::from(self.month),
            i32::from(self.day),
        );
        let (y, m) = if m < 3 { (y - 1, m + 9) } else { (y, m - 3) };
        365 * y + y.div_euclid(4) - y.div_euclid(100) + y.div_euclid(400) + (153 * m + 2) / 5 + d
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_day_follows_the_day_before() {
        let mut last: Option<Date> = None;
        for year in 1999..=2101 {
            for month in 1..=12 {
                for date in (1..=31).filter_map(|day| Date::new(year, month, day)) {
                    if let Some(before) = last {
                        assert_eq!(date.days_since(before), 1, "{before} {date}");
                    }
                    last = Some(date);
                }
            }
        }
    }

    #[test]
    fn the_calendar_counts_as_days_do() {
        let epoch = Date::new(1970, 1, 1).expect("a day");
        for days in 0..60_000 {
            let date = Date::from_unix_days(days).expect("a day");
            assert_eq!(u64::try_from(date.days_since(epoch)), Ok(days), "{date}");
        }
    }

    #[test]
    fn days_that_do_not_exist_are_refused() {
        assert!(Date::new(2024, 13, 1).is_none());
        assert!(Date::new(2024, 4, 31).is_none());
        assert!(Date::new(1900, 2, 29).is_none());
        assert!(Date::new(2024, 1, 0).is_none());
    }
}
