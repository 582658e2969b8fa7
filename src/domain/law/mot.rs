//! The MOT: when a certificate runs out, when the first one is due, and what a test found.
//!
//! The date on the certificate always wins; what is worked out here fills in for one not typed and
//! shows up one typed wrong. A certificate is good for the whole of its last day.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use chrono::{Datelike, Months, NaiveDate};

use crate::domain::days::day::add_months_clamped;
use crate::domain::law::rate_table::{Listed, RateTable, Years};
use crate::domain::law::rates::Dated;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Kind, word_set};

/// First day on which a vehicle forty years old may go without a test, and a test grades defects.
/// The two changes came in together.
const RULES_OF_2018: NaiveDate = table_day(2018, 5, 20);
/// Before then only vehicles older than this day could.
const OLDEST_BEFORE_2018: NaiveDate = table_day(1960, 1, 1);
/// From its first registration to a vehicle's first test.
const FIRST_TEST: Years = Years(3);
/// The same in Northern Ireland, vans aside.
const FIRST_TEST_NI: Years = Years(4);
/// The age at which a vehicle may need no test.
const OLD_ENOUGH: Years = Years(40);

/// The figures above, as they are listed.
pub const TABLES: &[&dyn Listed] = &[
    &RateTable::fixed(
        "first-mot",
        "age at the first MOT test",
        &[Dated {
            from: table_day(1989, 5, 15),
            value: FIRST_TEST,
            source: "Road Traffic Act 1988 s.47; the day it began is from memory",
        }],
    ),
    &RateTable::fixed(
        "first-mot-ni",
        "age at the first MOT test in Northern Ireland, vans aside",
        &[Dated {
            from: table_day(1996, 1, 1),
            value: FIRST_TEST_NI,
            source: "\"How the MOT scheme works\", nidirect; Road Traffic (Northern Ireland) Order 1995; the day it \
                     began is from memory",
        }],
    ),
    &RateTable::fixed(
        "no-mot-age",
        "age from which a vehicle may need no MOT",
        &[Dated {
            from: RULES_OF_2018,
            value: OLD_ENOUGH,
            source: "\"Historic (classic) vehicles: MOT and vehicle tax\", GOV.UK",
        }],
    ),
];

/// The last days that were put off in 2020.
const PUT_OFF: RangeInclusive<NaiveDate> = table_day(2020, 3, 30)..=table_day(2020, 7, 31);

/// Whose rules a vehicle is tested under.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Region {
    /// England, Wales and Scotland.
    Gb,
    /// Northern Ireland, which has a scheme of its own.
    Ni,
}

/// `GB` or `NI`, in capitals or not.
impl FromStr for Region {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        match typed.trim().to_ascii_uppercase().as_str() {
            "GB" => Ok(Self::Gb),
            "NI" => Ok(Self::Ni),
            _ => Err(ValueError::new("region", typed, "write GB or NI")),
        }
    }
}

impl fmt::Display for Region {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Gb => "GB",
            Self::Ni => "NI",
        })
    }
}

/// When a certificate runs out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Expiry {
    /// The last day it is good for.
    pub until: NaiveDate,
    /// Whether it follows on from the certificate before, losing none of it.
    pub kept_anniversary: bool,
    /// The day after `until`, where a pass on 29 February can be read either way: no published
    /// example settles it.
    pub other_reading: Option<NaiveDate>,
}

/// When a certificate runs out for a pass on a day, given the last day of the one before.
///
/// A pass in the last month less a day of the one before, from [`earliest_keeping`] to its last
/// day, keeps its day of the year. Any other pass is good for a year less a day. A first test
/// keeps the last day that needed none in the same way, so [`FirstDue::last_day_without`] may
/// stand for the certificate before.
///
/// Source: "Getting an MOT", GOV.UK; that it holds of a first test, Road Traffic Act 1988 s.48, by
/// its Northern Ireland twin, Road Traffic (Northern Ireland) Order 1995 art. 64.
pub fn expiry_on_pass(passed_on: NaiveDate, old_expiry: Option<NaiveDate>) -> Expiry {
    if let Some(old) = old_expiry.filter(|old| (earliest_keeping(*old)..=*old).contains(&passed_on)) {
        return Expiry { until: add_months_clamped(old, 12), kept_anniversary: true, other_reading: None };
    }
    let (until, other_reading) = day_before_anniversary(passed_on, 1);
    Expiry { until, kept_anniversary: false, other_reading }
}

/// The first day on which a pass keeps the day of the year: a calendar month before the last day,
/// or the end of a month too short to have it, and a day on.
///
/// Source: "Getting an MOT", GOV.UK (15 May is kept from 16 April); ends of months by the DVSA's
/// own reminder service, which writes the day before.
pub fn earliest_keeping(expiry: NaiveDate) -> NaiveDate {
    expiry.checked_sub_months(Months::new(1)).and_then(|day| day.succ_opt()).unwrap_or(NaiveDate::MIN)
}

/// When a vehicle first needs a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstDue {
    /// The last day it may be used on a road without one.
    pub last_day_without: NaiveDate,
    /// The day after, for a vehicle registered on a 29 February with no such day when due.
    pub other_reading: Option<NaiveDate>,
}

/// When a vehicle first needs a test: three years less a day from its first registration, four in
/// Northern Ireland unless it is a van.
///
/// The law asks for one once it has been registered three years, so the anniversary itself is too
/// late, though everyday guidance speaks of "by the third anniversary". Taxis and ambulances, due
/// after one year, and vehicles used before they were registered are not covered.
///
/// Source: Road Traffic Act 1988 s.47; the DVSA's own reckoning in its MOT history service; "How
/// the MOT scheme works", nidirect.
pub fn first_due(first_registered: NaiveDate, region: Region, kind: Kind) -> FirstDue {
    let years = match (region, kind) {
        (Region::Ni, Kind::Car | Kind::Motorcycle) => FIRST_TEST_NI,
        (Region::Gb, _) | (Region::Ni, Kind::Van) => FIRST_TEST,
    };
    let (last_day_without, other_reading) = day_before_anniversary(first_registered, years.0);
    FirstDue { last_day_without, other_reading }
}

/// The day before the anniversary so many years on, and the other reading where there is one.
///
/// A 29 February has no anniversary in most years. Taken as 28 February it leaves the 27th, taken
/// as 1 March the 28th. The earlier is the safe one to drive by; the later is to be mentioned.
fn day_before_anniversary(day: NaiveDate, years: u32) -> (NaiveDate, Option<NaiveDate>) {
    let anniversary = add_months_clamped(day, 12 * years);
    let before = anniversary.pred_opt().unwrap_or(anniversary);
    (before, (anniversary.day() != day.day()).then_some(anniversary))
}

/// The day to which a certificate, or the wait for a first test, was put off without asking in
/// Great Britain: six months for a last day from 30 March to 31 July 2020, none for any other.
///
/// Source: "Coronavirus: MOTs due from 30 March 2020", DVSA.
pub fn extended_in_2020(expiry: NaiveDate) -> Option<NaiveDate> {
    PUT_OFF.contains(&expiry).then(|| add_months_clamped(expiry, 6))
}

/// Whether a vehicle is old enough on a day to need no test in Great Britain, from its fortieth
/// anniversary on; before 20 May 2018, whether it is from before 1960.
///
/// Only a note: it must also not have been changed substantially in thirty years and be declared
/// when taxed, neither of which a date can tell.
///
/// Source: "Historic (classic) vehicles: MOT and vehicle tax", GOV.UK.
pub fn may_be_exempt(first_registered: NaiveDate, on: NaiveDate) -> bool {
    if on < RULES_OF_2018 {
        return first_registered < OLDEST_BEFORE_2018;
    }
    add_months_clamped(first_registered, OLD_ENOUGH.0 * 12) <= on
}

word_set! {
    /// How serious a tester found a defect, the worst first.
    ///
    /// Source: the grades in use since 20 May 2018, as restated from DVSA.
    DefectLevel, "defect level" {
        /// A fail, and not to be driven until repaired.
        Dangerous = "dangerous",
        /// A fail, to be repaired at once.
        Major = "major",
        /// A pass, to be repaired soon.
        Minor = "minor",
        /// A pass, to be watched.
        Advisory = "advisory",
    }
}

impl DefectLevel {
    /// Whether one such defect fails the test.
    pub const fn fails(self) -> bool {
        matches!(self, Self::Dangerous | Self::Major)
    }
}

/// One thing a test found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Defect {
    /// How serious.
    pub level: DefectLevel,
    /// What it is, as [`Wording`] allows it.
    pub text: String,
}

impl Defect {
    /// Why a test with this defect is no pass, for one that fails.
    pub fn not_with_a_pass(&self) -> ValueError {
        let verdict = "fails a test: record it as a fail, and the pass after the repair on its own day";
        ValueError::refused("defect", self.to_string(), verdict)
    }
}

/// As typed: `major:front tyre worn`.
impl fmt::Display for Defect {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.level, self.text)
    }
}

/// `LEVEL:TEXT`; the text may hold colons of its own.
impl FromStr for Defect {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let Some((level, text)) = typed.split_once(':') else {
            return Err(ValueError::new(
                "defect",
                typed,
                "write its level and what it is, as in major:front tyre worn",
            ));
        };
        Ok(Self { level: level.parse()?, text: text.parse::<Wording>()?.to_string() })
    }
}

/// A day the rules name. It is a constant, so a day that does not exist fails the build.
const fn table_day(year: i32, month: u32, day: u32) -> NaiveDate {
    match NaiveDate::from_ymd_opt(year, month, day) {
        Some(day) => day,
        None => panic!("no such day"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_pass_keeps_the_anniversary_from_its_first_day_to_the_last_of_the_old_certificate() {
        for (passed_on, old, until, kept) in [
            ("2026-04-15", "2026-05-15", "2027-04-14", false),
            ("2026-04-16", "2026-05-15", "2027-05-15", true),
            ("2026-05-15", "2026-05-15", "2027-05-15", true),
            ("2026-05-16", "2026-05-15", "2027-05-15", false),
            ("2026-05-17", "2026-05-15", "2027-05-16", false),
            ("2024-02-29", "2024-02-29", "2025-02-28", true),
            ("2024-01-30", "2024-02-29", "2025-02-28", true),
            ("2024-01-29", "2024-02-29", "2025-01-28", false),
            ("2024-02-29", "2024-03-31", "2025-02-27", false),
            ("2024-03-01", "2024-03-31", "2025-03-31", true),
            ("2023-02-28", "2023-02-28", "2024-02-28", true),
        ] {
            let expiry = expiry_on_pass(day(passed_on), Some(day(old)));
            assert_eq!((expiry.until, expiry.kept_anniversary), (day(until), kept), "{passed_on} {old}");
        }
    }

    #[test]
    fn with_nothing_to_keep_it_is_a_year_less_a_day_and_a_leap_day_has_two_readings() {
        for (passed_on, until, other) in [
            ("2026-11-21", "2027-11-20", None),
            ("2026-01-01", "2026-12-31", None),
            ("2023-03-01", "2024-02-29", None),
            ("2024-03-01", "2025-02-28", None),
            ("2024-02-28", "2025-02-27", None),
            ("2024-02-29", "2025-02-27", Some("2025-02-28")),
        ] {
            let expected = Expiry { until: day(until), kept_anniversary: false, other_reading: other.map(day) };
            assert_eq!(expiry_on_pass(day(passed_on), None), expected, "{passed_on}");
        }
    }

    #[test]
    fn the_first_test_by_region_and_kind() {
        let due = |region, kind| first_due(day("2022-06-10"), region, kind).last_day_without.to_string();
        for kind in [Kind::Car, Kind::Van, Kind::Motorcycle] {
            assert_eq!(due(Region::Gb, kind), "2025-06-09");
        }
        assert_eq!(due(Region::Ni, Kind::Car), "2026-06-09");
        assert_eq!(due(Region::Ni, Kind::Motorcycle), "2026-06-09");
        assert_eq!(due(Region::Ni, Kind::Van), "2025-06-09");

        let leap = day("2020-02-29");
        let three = first_due(leap, Region::Gb, Kind::Car);
        let four = first_due(leap, Region::Ni, Kind::Car);
        assert_eq!(three, FirstDue { last_day_without: day("2023-02-27"), other_reading: Some(day("2023-02-28")) });
        assert_eq!(four, FirstDue { last_day_without: day("2024-02-28"), other_reading: None });
    }

    #[test]
    fn a_first_test_in_the_last_month_keeps_the_day_it_was_due() {
        let due = first_due(day("2022-06-10"), Region::Gb, Kind::Car).last_day_without;
        for (passed_on, until) in
            [("2025-05-09", "2026-05-08"), ("2025-05-10", "2026-06-09"), ("2025-06-09", "2026-06-09")]
        {
            assert_eq!(expiry_on_pass(day(passed_on), Some(due)).until, day(until), "{passed_on}");
        }
    }

    #[test]
    fn the_spring_of_2020_was_put_off_six_months() {
        for (expiry, until) in [
            ("2020-03-29", None),
            ("2020-03-30", Some("2020-09-30")),
            ("2020-03-31", Some("2020-09-30")),
            ("2020-05-31", Some("2020-11-30")),
            ("2020-07-31", Some("2021-01-31")),
            ("2020-08-01", None),
            ("2021-05-01", None),
        ] {
            assert_eq!(extended_in_2020(day(expiry)), until.map(day), "{expiry}");
        }
    }

    #[test]
    fn forty_years_to_the_day() {
        for (registered, on, exempt) in [
            ("1986-11-21", "2026-11-20", false),
            ("1986-11-21", "2026-11-21", true),
            ("1960-01-01", "2018-05-19", false),
            ("1959-12-31", "2018-05-19", true),
            ("1960-01-01", "2018-05-20", true),
            ("1984-02-29", "2024-02-28", false),
            ("1984-02-29", "2024-02-29", true),
        ] {
            assert_eq!(may_be_exempt(day(registered), day(on)), exempt, "{registered} {on}");
        }
    }

    #[test]
    fn words_read_back_and_strangers_are_told_what_would_do() {
        for (typed, region) in [("GB", Region::Gb), (" gb ", Region::Gb), ("Ni", Region::Ni)] {
            assert_eq!(typed.parse(), Ok(region));
        }
        assert_eq!("UK".parse::<Region>().unwrap_err().to_string(), "region 'UK' is not understood: write GB or NI");
        assert_eq!([Region::Gb.to_string(), Region::Ni.to_string()], ["GB", "NI"]);
        for level in DefectLevel::ALL.iter().copied() {
            assert_eq!(level.word().to_uppercase().parse(), Ok(level));
        }
        assert!(DefectLevel::ALL.is_sorted());
    }

    #[test]
    fn a_defect_is_a_level_and_a_text() {
        let defect: Defect = " Major : front tyre worn: 1.4 mm ".parse().unwrap();
        assert_eq!(defect, Defect { level: DefectLevel::Major, text: "front tyre worn: 1.4 mm".into() });
        assert_eq!(defect.to_string().parse(), Ok(defect));
        for (typed, refusal) in [
            ("bad:tyre", "defect level 'bad' is not understood: write dangerous, major, minor or advisory"),
            ("tyre", "defect 'tyre' is not understood: write its level and what it is, as in major:front tyre worn"),
            ("minor: ", "text ' ' is empty: write at least one character"),
            ("minor:a\tb", r"text 'a\tb' has a tab (U+0009) in it"),
        ] {
            assert_eq!(typed.parse::<Defect>().unwrap_err().to_string(), refusal);
        }
    }

    #[test]
    fn dangerous_and_major_defects_fail() {
        let found = |levels: &[&str]| {
            let defects: Vec<Defect> = levels.iter().map(|level| format!("{level}:x").parse().unwrap()).collect();
            defects.iter().any(|defect| defect.level.fails())
        };
        assert!(!found(&[]) && !found(&["minor", "advisory"]));
        assert!(found(&["dangerous"]) && found(&["minor", "major"]));
    }
}
