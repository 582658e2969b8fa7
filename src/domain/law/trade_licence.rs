//! The trade licence that red trade plates are issued with.

use chrono::{Datelike, NaiveDate};

/// Whether a trade licence ends on such a day: in practice every one ends on 30 June or 31
/// December, whenever it began. Any other last day is worth a question, not a refusal: for a first
/// licence of seven to eleven months the Act only says no later than the next of the two.
///
/// Source: Vehicle Excise and Registration Act 1994 s.13(1) and (1A); that no shorter first
/// licence is issued, insurers' guides.
pub fn may_end_on(day: NaiveDate) -> bool {
    matches!((day.month(), day.day()), (6, 30) | (12, 31))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_days_of_any_year() {
        let first = NaiveDate::from_ymd_opt(2028, 1, 1).unwrap();
        let ends: Vec<String> =
            first.iter_days().take(366).filter(|day| may_end_on(*day)).map(|day| day.to_string()).collect();
        assert_eq!(ends, ["2028-06-30", "2028-12-31"]);
    }
}
