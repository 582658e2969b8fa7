//! A span of days, both ends included.

use chrono::NaiveDate;

use crate::domain::days::month::Month;

/// The days from one to another, both included; never empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Period {
    from: NaiveDate,
    to: NaiveDate,
}

impl Period {
    /// From `from` to `to`, both included. `None` if `to` is earlier.
    pub fn new(from: NaiveDate, to: NaiveDate) -> Option<Self> {
        (from <= to).then_some(Self { from, to })
    }

    /// The whole of a month.
    pub fn of_month(month: Month) -> Self {
        Self { from: month.first_day(), to: month.last_day() }
    }

    /// The first day.
    pub const fn from(self) -> NaiveDate {
        self.from
    }

    /// The last day.
    pub const fn to(self) -> NaiveDate {
        self.to
    }

    /// The part of it up to and including `day`: a report on a month that is still running
    /// stops today. `None` if it begins after `day`.
    pub fn ending_by(self, day: NaiveDate) -> Option<Self> {
        Self::new(self.from, self.to.min(day))
    }

    /// Whether `day` is in it.
    pub fn contains(self, day: NaiveDate) -> bool {
        (self.from..=self.to).contains(&day)
    }

    /// How many days, both ends counted: at least 1.
    pub fn days(self) -> i64 {
        self.to.signed_duration_since(self.from).num_days() + 1
    }

    /// The months it touches, in order: at least one.
    pub fn months(self) -> Vec<Month> {
        let last = Month::containing(self.to);
        std::iter::successors(Some(Month::containing(self.from)), |month| (*month < last).then(|| month.next()))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::Period;
    use crate::domain::days::month::Month;
    use chrono::NaiveDate;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    fn november() -> Period {
        Period::of_month(Month::new(2026, 11).unwrap())
    }

    #[test]
    fn both_ends_are_included() {
        let period = november();
        assert_eq!((period.from(), period.to()), (day(2026, 11, 1), day(2026, 11, 30)));
        assert!(period.contains(day(2026, 11, 1)) && period.contains(day(2026, 11, 30)));
        assert!(!period.contains(day(2026, 10, 31)) && !period.contains(day(2026, 12, 1)));
        assert_eq!(period.days(), 30);
        let one = Period::new(day(2026, 3, 3), day(2026, 3, 3)).unwrap();
        assert_eq!(one.days(), 1);
        assert_eq!(Period::new(day(2026, 3, 4), day(2026, 3, 3)), None);
        let leap = Period::new(day(2024, 2, 1), day(2024, 3, 1)).unwrap();
        assert_eq!(leap.days(), 30);
    }

    #[test]
    fn it_ends_at_a_day_inside_it() {
        let period = november();
        assert_eq!(period.ending_by(day(2026, 11, 25)), Period::new(period.from(), day(2026, 11, 25)));
        assert_eq!(period.ending_by(day(2026, 11, 1)).unwrap().days(), 1);
        assert_eq!(period.ending_by(day(2026, 11, 30)), Some(period));
        assert_eq!(period.ending_by(day(2027, 1, 1)), Some(period));
        assert_eq!(period.ending_by(day(2026, 10, 31)), None);
    }

    #[test]
    fn months_touched() {
        let names =
            |from, to| -> Vec<String> { Period::new(from, to).unwrap().months().into_iter().map(Month::iso).collect() };
        assert_eq!(names(day(2026, 11, 1), day(2026, 11, 30)), ["2026-11"]);
        assert_eq!(names(day(2025, 11, 30), day(2026, 2, 1)), ["2025-11", "2025-12", "2026-01", "2026-02"]);
        let end = Period::new(NaiveDate::MAX, NaiveDate::MAX).unwrap();
        assert_eq!(end.months().len(), 1);
    }
}
