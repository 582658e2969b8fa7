//! MOT dates against every worked date found in print.
//!
//! Sources:
//! * "Getting an MOT: when to get an MOT", GOV.UK (DVSA),
//!   <https://www.gov.uk/getting-an-mot>, and its more recent copy at
//!   <https://gov.uk/getting-an-mot/download-exempt-from-mot>
//! * "Annual Training Class 4/7 2020-21", page 28 "MOT expiry dates" (slides for testers),
//!   <http://online.flipbuilder.com/begh/kftb/files/basic-html/page28.html>
//! * "When do you need to MOT your vehicle", ukmotorists.com quoting VOSA,
//!   <http://www.ukmotorists.com/motoring/When%20do%20you%20need%20to%20MOT%20your%20vehicle.asp>;
//!   the same text with dates of March 2007, <http://www.mbclub.co.uk/forums/449928-post9.html>,
//!   and of November 2012,
//!   <https://ringroadrescue.co.uk/did-you-know-you-can-get-your-vehicle-mot-carried-out-30-days-in-advance/>
//! * Clay Cross MOT Centre (16 September), <https://claycrossmotcentre.co.uk/mot>; Chequers Autos
//!   (1 April 2008), <https://www.chequersautosltd.co.uk/mot/>; Tiires (pass of 10 April),
//!   <https://tiires.com/?p=17217>
//! * DVSA, source of its MOT reminder service, `PreservationDateChecker.java` and
//!   `SubscriptionHandlerHelper` tests, as copied at <https://github.com/uk-gov-mirror/dvsa.motr>
//! * DVSA, source of its MOT history API, `DvlaVehicleFirstMotDueDateCalculatorTest.java`,
//!   <https://github.com/dvsa/mot-public-api>
//! * "How the MOT scheme works", nidirect,
//!   <https://nidirect.gov.uk/articles/how-mot-scheme-works>
//! * "Detailed guide: Coronavirus: MOTs due from 30 March 2020", DVSA, as copied at
//!   <http://www.govwire.co.uk/news/driver-vehicle-standards-agency/detailed-guide-coronavirus-mots-due-from-30-march-2020-53937>
//! * DVSA's example of the forty-year rule, as copied at
//!   <https://classic-motorbikes.net/some-classic-bikes-over-40-years-old-wont-need-an-mot/>
//! * DVSA's grades of defect, as restated at
//!   <https://intercom.help/fixteruk/en/articles/3011502-mot-rule-changes-20-may-2018>

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use chrono::{Days, Months, NaiveDate};

use runabout::domain::law::mot::{
    DefectLevel, Expiry, FirstDue, Region, earliest_keeping, expiry_on_pass, extended_in_2020, first_due, may_be_exempt,
};
use runabout::domain::value::words::Kind;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn kept(until: &str) -> Expiry {
    Expiry { until: day(until), kept_anniversary: true, other_reading: None }
}

fn not_kept(until: &str) -> Expiry {
    Expiry { until: day(until), kept_anniversary: false, other_reading: None }
}

/// GOV.UK: a test due by 15 May keeps that day from 16 April; passed on 14 April the next is due
/// by 13 April. Printed without a year, so tried in a leap year, the year before one and another.
#[test]
fn the_guidances_own_example() {
    for year in [2023, 2024, 2026] {
        let next = year + 1;
        let (expiry, window, early) = (format!("{year}-05-15"), format!("{year}-04-16"), format!("{year}-04-14"));
        assert_eq!(earliest_keeping(day(&expiry)), day(&window));
        assert_eq!(expiry_on_pass(day(&window), Some(day(&expiry))), kept(&format!("{next}-05-15")));
        assert_eq!(expiry_on_pass(day(&early), Some(day(&expiry))), not_kept(&format!("{next}-04-13")));
    }
}

/// Tiires: passed on 10 April against 15 May, too early, so due by 9 April.
#[test]
fn five_weeks_early_keeps_nothing() {
    assert_eq!(expiry_on_pass(day("2026-04-10"), Some(day("2026-05-15"))), not_kept("2027-04-09"));
}

/// VOSA's text with its successive dates, Chequers Autos, and Clay Cross (which prints no year).
#[test]
fn the_first_day_that_keeps_the_date() {
    for (expiry, earliest, next) in [
        ("2007-04-01", "2007-03-02", "2008-04-01"),
        ("2008-04-01", "2008-03-02", "2009-04-01"),
        ("2012-11-01", "2012-10-02", "2013-11-01"),
        ("2026-09-16", "2026-08-17", "2027-09-16"),
    ] {
        assert_eq!(earliest_keeping(day(expiry)), day(earliest), "{expiry}");
        assert_eq!(expiry_on_pass(day(earliest), Some(day(expiry))), kept(next), "{expiry}");
        let day_before = day(earliest).pred_opt().unwrap();
        assert!(!expiry_on_pass(day_before, Some(day(expiry))).kept_anniversary, "{expiry}");
    }
}

/// The slides for testers: the longest certificate is thirteen months less a day.
#[test]
fn the_longest_certificate() {
    for expiry in ["2026-05-15", "2007-04-01", "2012-11-01"] {
        let first_day = earliest_keeping(day(expiry));
        let until = expiry_on_pass(first_day, Some(day(expiry))).until;
        assert_eq!(until, first_day + Months::new(13) - Days::new(1), "{expiry}");
    }
}

/// The reminder service writes on the day its tests fix and says that a test from the next day
/// keeps the date.
#[test]
fn ends_of_months_in_the_reminder_service() {
    for (expiry, writes_on) in [
        ("2017-03-28", "2017-02-28"),
        ("2017-03-29", "2017-02-28"),
        ("2017-03-30", "2017-02-28"),
        ("2017-03-31", "2017-02-28"),
        ("2016-03-29", "2016-02-29"),
        ("2016-03-30", "2016-02-29"),
        ("2016-03-31", "2016-02-29"),
        ("2016-02-29", "2016-01-29"),
        // Derived: its branch for months of thirty days takes these in the same way.
        ("2017-07-31", "2017-06-30"),
        ("2017-10-31", "2017-09-30"),
        ("2017-12-31", "2017-11-30"),
        ("2017-05-31", "2017-04-30"),
        // Derived: it may write on 31 March too, but testing counts from then.
        ("2017-04-30", "2017-03-30"),
    ] {
        assert_eq!(Some(earliest_keeping(day(expiry))), day(writes_on).succ_opt(), "{expiry}");
    }
}

/// The MOT history API's tests. A class due after one year is not in the book, but its date is a
/// year less a day on, as for a pass with nothing to keep.
#[test]
fn first_tests_in_the_history_service() {
    let first = |registered, kind| first_due(day(registered), Region::Gb, kind);
    for kind in [Kind::Car, Kind::Van, Kind::Motorcycle] {
        let due = FirstDue { last_day_without: day("2020-07-30"), other_reading: None };
        assert_eq!(first("2017-07-31", kind), due);
    }
    assert_eq!(expiry_on_pass(day("2017-07-31"), None), not_kept("2018-07-30"));
    assert_eq!(expiry_on_pass(day("2019-03-01"), None), not_kept("2020-02-29"));
}

/// Derived from the same rule. For 29 February the service's own arithmetic gives the 27th, while
/// the Act, which asks for a test once three years have passed, would allow the 28th: no example is
/// published, so the earlier is taken and the later told.
#[test]
fn leap_days() {
    let car = |registered| first_due(day(registered), Region::Gb, Kind::Car);
    assert_eq!(car("2021-03-01"), FirstDue { last_day_without: day("2024-02-29"), other_reading: None });
    let either = FirstDue { last_day_without: day("2023-02-27"), other_reading: Some(day("2023-02-28")) };
    assert_eq!(car("2020-02-29"), either);

    assert_eq!(expiry_on_pass(day("2023-03-01"), None), not_kept("2024-02-29"));
    let either = Expiry { other_reading: Some(day("2025-02-28")), ..not_kept("2025-02-27") };
    assert_eq!(expiry_on_pass(day("2024-02-29"), None), either);
    assert_eq!(expiry_on_pass(day("2024-02-10"), Some(day("2024-02-29"))), kept("2025-02-28"));
}

/// nidirect: cars and motorcycles are tested from four years, light goods vehicles from three. The
/// day itself is derived as in Great Britain.
#[test]
fn first_tests_in_northern_ireland() {
    for (kind, last_day) in [(Kind::Car, "2026-06-09"), (Kind::Motorcycle, "2026-06-09"), (Kind::Van, "2025-06-09")] {
        assert_eq!(first_due(day("2022-06-10"), Region::Ni, kind).last_day_without, day(last_day), "{kind}");
    }
}

/// DVSA: dates from 30 March to 31 July 2020 moved by six months, none before or after; 3 April
/// became 3 October, and 31 July became 31 January.
#[test]
fn the_extension_of_2020() {
    for (expiry, moved_to) in [
        ("2020-03-29", None),
        ("2020-03-30", Some("2020-09-30")),
        ("2020-04-03", Some("2020-10-03")),
        ("2020-07-31", Some("2021-01-31")),
        ("2020-08-01", None),
    ] {
        assert_eq!(extended_in_2020(day(expiry)), moved_to.map(day), "{expiry}");
    }
}

/// DVSA: first registered on 31 May 1978, no test is needed from 31 May 2018; until 20 May 2018
/// only vehicles from before 1960 were let off.
#[test]
fn forty_years() {
    let registered = day("1978-05-31");
    assert!(!may_be_exempt(registered, day("2018-05-30")));
    assert!(may_be_exempt(registered, day("2018-05-31")));
    assert!(!may_be_exempt(day("1970-01-01"), day("2018-05-19")));
    assert!(may_be_exempt(day("1970-01-01"), day("2018-05-20")));
    assert!(may_be_exempt(day("1959-06-01"), day("2017-06-01")));
}

/// DVSA, since 20 May 2018: dangerous and major defects fail, minor ones and advice pass.
#[test]
fn grades_of_defect() {
    let failing: Vec<_> =
        DefectLevel::ALL.iter().copied().filter(|level| level.fails()).map(DefectLevel::word).collect();
    let passing: Vec<_> =
        DefectLevel::ALL.iter().copied().filter(|level| !level.fails()).map(DefectLevel::word).collect();
    assert_eq!((failing, passing), (vec!["dangerous", "major"], vec!["minor", "advisory"]));
}
