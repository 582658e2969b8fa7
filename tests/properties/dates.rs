//! Every date rule reckoned a second way, on every day of a century.
//!
//! Nothing here adds months to a date. A century is written out day by day from the lengths of its
//! months, a day that may not exist (31 April, 29 February 2027) is just three numbers, and the
//! answer is the last day written out before those numbers, or the first after them.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use chrono::{Datelike, NaiveDate};

use runabout::domain::law::buyer_rights::{cancellation_ends, presumption_ends, rejection_ends};
use runabout::domain::law::mot::{
    Expiry, FirstDue, Region, earliest_keeping, expiry_on_pass, extended_in_2020, first_due, may_be_exempt,
};
use runabout::domain::law::trade_licence::may_end_on;
use runabout::domain::law::vehicle_tax::{
    TaxMonths, complete_months_left, last_day, refund, refund_expected_by, sorn_starts,
};
use runabout::domain::value::pence::Pence;
use runabout::domain::value::words::Kind;

/// Year, month and day, which need not be a day of the calendar.
type Numbers = (i32, u32, u32);

/// The century tried, with 2100, which has no 29 February.
const CENTURY: std::ops::RangeInclusive<i32> = 2001..=2100;
/// Years written out around it for answers to fall in.
const WRITTEN: std::ops::RangeInclusive<i32> = 1950..=2150;

/// Days in their order, each known by its place.
struct Calendar(Vec<Numbers>);

impl Calendar {
    fn new() -> Self {
        let mut days = Vec::new();
        for year in WRITTEN {
            let leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
            let lengths = [31, if leap { 29 } else { 28 }, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
            for (month, length) in (1..).zip(lengths) {
                days.extend((1..=length).map(|day| (year, month, day)));
            }
        }
        Self(days)
    }

    /// The places of the century's days.
    fn century(&self) -> std::ops::Range<usize> {
        self.first_from((*CENTURY.start(), 1, 1))..self.first_from((*CENTURY.end() + 1, 1, 1))
    }

    fn numbers(&self, place: usize) -> Numbers {
        self.0[place]
    }

    fn date(&self, place: usize) -> NaiveDate {
        let (year, month, day) = self.0[place];
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    /// The place of the first day that is not before those numbers.
    fn first_from(&self, numbers: Numbers) -> usize {
        self.0.partition_point(|day| *day < numbers)
    }

    /// The place of the last day before those numbers.
    fn last_before(&self, numbers: Numbers) -> usize {
        self.first_from(numbers) - 1
    }

    /// The place of the last day not after those numbers.
    fn last_up_to(&self, numbers: Numbers) -> usize {
        self.0.partition_point(|day| *day <= numbers) - 1
    }

    /// The place of the first day after those numbers.
    fn first_after(&self, numbers: Numbers) -> usize {
        self.last_up_to(numbers) + 1
    }

    fn has(&self, numbers: Numbers) -> bool {
        self.0.binary_search(&numbers).is_ok()
    }
}

/// The same numbers some months on or back.
fn months_on((year, month, day): Numbers, months: i32) -> Numbers {
    let count = year * 12 + i32::try_from(month).unwrap() - 1 + months;
    (count.div_euclid(12), u32::try_from(count.rem_euclid(12)).unwrap() + 1, day)
}

fn numbers(date: NaiveDate) -> Numbers {
    (date.year(), date.month(), date.day())
}

/// The end of a span of months less a day: the day written out before the anniversary's numbers is
/// the later reading, and where the anniversary is no day, the day before that the earlier.
fn less_a_day(calendar: &Calendar, anniversary: Numbers) -> (NaiveDate, Option<NaiveDate>) {
    let later = calendar.last_before(anniversary);
    if calendar.has(anniversary) {
        (calendar.date(later), None)
    } else {
        (calendar.date(later - 1), Some(calendar.date(later)))
    }
}

#[test]
fn the_calendar_written_out_is_the_calendar() {
    let calendar = Calendar::new();
    assert_eq!(calendar.century().len(), 36_524, "a hundred years with 24 leap days");
    let first = calendar.date(0);
    assert!(first.iter_days().take(calendar.0.len()).map(numbers).eq(calendar.0.iter().copied()));
}

#[test]
fn a_pass_with_nothing_to_keep() {
    let calendar = Calendar::new();
    let mut two_readings = 0;
    for place in calendar.century() {
        let (until, other_reading) = less_a_day(&calendar, months_on(calendar.numbers(place), 12));
        two_readings += usize::from(other_reading.is_some());
        let expected = Expiry { until, kept_anniversary: false, other_reading };
        assert_eq!(expiry_on_pass(calendar.date(place), None), expected);
    }
    assert_eq!(two_readings, 24, "one for each leap day");
}

#[test]
fn the_window_that_keeps_the_anniversary() {
    let calendar = Calendar::new();
    for place in calendar.century() {
        let expiry = calendar.date(place);
        let opens = calendar.first_after(months_on(calendar.numbers(place), -1));
        assert_eq!(earliest_keeping(expiry), calendar.date(opens), "{expiry}");

        let next = calendar.date(calendar.last_up_to(months_on(calendar.numbers(place), 12)));
        let kept = Expiry { until: next, kept_anniversary: true, other_reading: None };
        for passed in [opens - 1, opens, opens + 1, place - 1, place, place + 1] {
            let found = expiry_on_pass(calendar.date(passed), Some(expiry));
            if (opens..=place).contains(&passed) {
                assert_eq!(found, kept, "{expiry} {passed}");
            } else {
                assert_eq!(found, expiry_on_pass(calendar.date(passed), None), "{expiry} {passed}");
            }
        }
    }
}

#[test]
fn a_certificate_never_shrinks_and_is_at_most_thirteen_months_less_a_day() {
    let calendar = Calendar::new();
    for place in calendar.century() {
        let old = calendar.date(place);
        let mut before = None;
        for passed in place - 40..place + 40 {
            let until = expiry_on_pass(calendar.date(passed), Some(old)).until;
            assert!(numbers(until) < months_on(calendar.numbers(passed), 13), "{old} {passed}");
            if passed <= place {
                assert!(before.is_none_or(|before| before <= until), "{old}: a later test lost a day");
                before = Some(until);
            }
        }
    }
}

#[test]
fn the_first_test() {
    let calendar = Calendar::new();
    for place in calendar.century() {
        for (region, kind, years) in [
            (Region::Gb, Kind::Car, 3),
            (Region::Gb, Kind::Van, 3),
            (Region::Gb, Kind::Motorcycle, 3),
            (Region::Ni, Kind::Car, 4),
            (Region::Ni, Kind::Van, 3),
            (Region::Ni, Kind::Motorcycle, 4),
        ] {
            let (last_day_without, other_reading) =
                less_a_day(&calendar, months_on(calendar.numbers(place), 12 * years));
            let expected = FirstDue { last_day_without, other_reading };
            assert_eq!(first_due(calendar.date(place), region, kind), expected);
        }
    }
}

#[test]
fn the_extension_of_2020_and_no_other_year() {
    let calendar = Calendar::new();
    let mut extended = 0;
    for place in calendar.century() {
        let (year, month, day) = calendar.numbers(place);
        let put_off = year == 2020 && ((4..=7).contains(&month) || (month, day) >= (3, 30) && month == 3);
        let until = calendar.date(calendar.last_up_to(months_on((year, month, day), 6)));
        assert_eq!(extended_in_2020(calendar.date(place)), put_off.then_some(until));
        extended += usize::from(put_off);
    }
    assert_eq!(extended, 2 + 30 + 31 + 30 + 31);
}

#[test]
fn forty_years_of_age() {
    let calendar = Calendar::new();
    for place in calendar.century().take(60 * 365) {
        let (year, month, day) = calendar.numbers(place);
        let anniversary = calendar.last_up_to((year + 40, month, day));
        for on in [anniversary - 1, anniversary, anniversary + 1] {
            assert_eq!(may_be_exempt(calendar.date(place), calendar.date(on)), on >= anniversary);
        }
    }
}

#[test]
fn tax_by_counting_the_ends_of_months() {
    let calendar = Calendar::new();
    let ends_a_month = |place: usize| calendar.numbers(place + 1).2 == 1;
    for place in calendar.century() {
        for months in [TaxMonths::Six, TaxMonths::Twelve] {
            // The month of the start is the first one paid for.
            let count = usize::try_from(months.number()).unwrap();
            let until = (place..place + 366).filter(|day| ends_a_month(*day)).nth(count - 1).unwrap();
            assert_eq!(last_day(calendar.date(place), months), calendar.date(until));
        }
    }
}

#[test]
fn months_of_tax_left_by_walking_to_its_end() {
    let calendar = Calendar::new();
    let annual = Pence::new(22_001);
    for place in calendar.century() {
        let notice_on = calendar.date(place);
        let mut left: u32 = 0;
        let mut whole = false;
        for until in place..place + 400 {
            let (_, _, day) = calendar.numbers(until);
            // A month is whole when its first day, after the notice, and its last are both taxed.
            whole |= day == 1 && until > place;
            if whole && calendar.numbers(until + 1).2 == 1 {
                left += 1;
            }
            // Every day of a few years, then only the days round a month's end.
            if place % 97 == 0 || !(3..=26).contains(&day) && place % 11 == 0 {
                let end = calendar.date(until);
                assert_eq!(complete_months_left(end, notice_on), left, "{notice_on} {end}");
                // To the nearest penny in whole numbers: add half of twelve, then cut.
                let pence = (22_001 * i64::from(left) + 6) / 12;
                assert_eq!(refund(annual, end, notice_on), Pence::new(pence), "{notice_on} {end}");
            }
        }
        assert_eq!(complete_months_left(notice_on, notice_on), 0);
        assert_eq!(complete_months_left(calendar.date(place - 1), notice_on), 0);
    }
}

#[test]
fn sorn_by_walking_to_the_next_first() {
    let calendar = Calendar::new();
    for place in calendar.century() {
        let applied_on = calendar.date(place);
        assert_eq!(sorn_starts(applied_on, None), applied_on);
        let next_first = (place + 1..place + 32).find(|day| calendar.numbers(*day).2 == 1).unwrap();
        for until in place - 33..place + 33 {
            let starts = if (place..next_first).contains(&until) { next_first } else { place };
            assert_eq!(
                sorn_starts(applied_on, Some(calendar.date(until))),
                calendar.date(starts),
                "{applied_on} {until}"
            );
        }
    }
}

#[test]
fn a_buyers_time_by_counting_days() {
    let calendar = Calendar::new();
    for place in calendar.century() {
        let day = calendar.date(place);
        assert_eq!(rejection_ends(day, None), calendar.date(place + 30));
        for delivered in [place - 5, place, place + 5] {
            let ends = calendar.date(place.max(delivered) + 30);
            assert_eq!(rejection_ends(day, Some(calendar.date(delivered))), ends);
        }
        assert_eq!(cancellation_ends(day), calendar.date(place + 14));
        assert_eq!(refund_expected_by(day), calendar.date(place + 56));
        let six_months = calendar.last_before(months_on(calendar.numbers(place), 6));
        assert_eq!(presumption_ends(day), calendar.date(six_months));
    }
}

#[test]
fn trade_licences_end_twice_a_year() {
    let calendar = Calendar::new();
    for place in calendar.century() {
        // The day before a half-year begins.
        let (_, month, day) = calendar.numbers(place + 1);
        assert_eq!(may_end_on(calendar.date(place)), day == 1 && month % 6 == 1);
    }
}
