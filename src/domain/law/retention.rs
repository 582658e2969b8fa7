//! How long the law wants a record kept, and with it the name in it: after that a name is to be
//! forgotten, before that it may not be.
//!
//! UK GDPR art 5(1)(e): personal data is kept no longer than needed. Needed here is what VAT and
//! self-employment records must hold, whichever is longer, and a car's own record while it is unsold.

use crate::domain::days::day::{add_months_clamped, long};
use crate::domain::law::rate_table::{Listed, RateTable, Rates, Years};
use crate::domain::law::rates::{Dated, day};
use crate::domain::law::registration::Registration;
use chrono::{Datelike, NaiveDate};
use std::fmt;

/// Years that VAT records are kept.
pub const VAT_RECORDS: RateTable<Years> = RateTable::new(
    "vat-records",
    "time VAT records are kept",
    // It was three years until 1985 (from memory). No record is that old and still needed.
    &[Dated {
        from: day(1973, 4, 1),
        value: Years(6),
        source: "\"VAT margin schemes: Keeping records\", gov.uk/vat-margin-schemes/keeping-records; the day it began \
                 is from memory",
    }],
);

/// Years that self-employment records are kept after the 31 January that follows their tax year.
pub const TAX_RECORDS: RateTable<Years> = RateTable::new(
    "tax-records",
    "time self-employment records are kept after the 31 January",
    &[Dated {
        from: day(1996, 4, 6),
        value: Years(5),
        // In plain words at mygov.scot/self-employed-records/how-long-to-keep-your-records/.
        source: "Taxes Management Act 1970 s.12B(2)(a), legislation.gov.uk/ukpga/1970/9/section/12B; the day it began \
                 is from memory",
    }],
);

/// The tables of this module.
pub const TABLES: &[&dyn Listed] = &[&VAT_RECORDS, &TAX_RECORDS];

/// Why a record is still needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// It is of a car still in stock.
    Unsold,
    /// It is a VAT record.
    Vat(Years),
    /// It belongs to the self-employment figures of the tax year that began on 6 April of a year.
    SelfEmployment(Years, i32),
}

/// As it is told after the record's name: `until 31 Jan 2033, 5 years after …`.
impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsold => f.write_str("a car's purchase record is kept while it is in stock, and then with its sale"),
            Self::Vat(years) => write!(f, "VAT records are kept {} years", years.0),
            Self::SelfEmployment(years, begun) => write!(
                f,
                "records of {begun}-{:02} are kept at least {} years after {}",
                (begun + 1).rem_euclid(100),
                years.0,
                filing_day(*begun).map_or_else(String::new, long)
            ),
        }
    }
}

/// That a record is needed, and how long.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Why.
    pub rule: Rule,
    /// The last day it is; none while that day cannot be known.
    pub until: Option<NaiveDate>,
}

impl Kept {
    /// Whether it is still needed on a day.
    pub fn holds_on(&self, day: NaiveDate) -> bool {
        self.until.is_none_or(|until| day <= until)
    }
}

/// Where the car stands that a record is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stock {
    /// It is about no car.
    NoCar,
    /// The car is in stock.
    Unsold,
    /// It left on a day.
    Left(NaiveDate),
}

/// How long a record of `on` is kept, by the rule that keeps it longest. None where no rule known
/// here reaches back so far.
///
/// What a car cost meets what it fetched in the figures of its sale, so everything on it is counted
/// from the day it left, if that is later: both halves of a stock-book entry go together. (VAT
/// records of stock held longer than six years are kept until it is sold: HMRC manual VATMARG02200.
/// That the years then run from the sale is the longer reading, and derived.)
///
/// A VAT record is one of a day, or of a stay in stock, that touches the registration.
pub fn kept(on: NaiveDate, stock: Stock, registration: &Registration) -> Option<Kept> {
    let counted = match stock {
        Stock::Unsold => return Some(Kept { rule: Rule::Unsold, until: None }),
        Stock::Left(left) => on.max(left),
        Stock::NoCar => on,
    };
    let rates = &registration.rates;
    let vat = rates.in_force(&VAT_RECORDS, counted).filter(|_| registration.touches(on, counted));
    let vat = vat.map(|years| Kept { rule: Rule::Vat(years), until: vat_records_until(counted, rates) });
    let begun = tax_year_begun(counted);
    let tax = rates.in_force(&TAX_RECORDS, counted);
    let tax =
        tax.map(|years| Kept { rule: Rule::SelfEmployment(years, begun), until: tax_records_until(counted, rates) });
    vat.into_iter().chain(tax).max_by_key(|kept| kept.until)
}

/// The last day a VAT record of a day is kept: the same day six years on, the day itself not counted
/// (the corresponding date rule, Dodds v Walker \[1981\] 1 WLR 1027, from memory).
pub fn vat_records_until(on: NaiveDate, rates: &Rates) -> Option<NaiveDate> {
    rates.in_force(&VAT_RECORDS, on).map(|years| add_months_clamped(on, 12 * years.0))
}

/// The last day a self-employment record of a day is kept: five years after the 31 January by which
/// its tax year's return is due. A return sent more than four years late keeps it longer, to fifteen
/// months after it was sent, which is not known here.
pub fn tax_records_until(on: NaiveDate, rates: &Rates) -> Option<NaiveDate> {
    let years = rates.in_force(&TAX_RECORDS, on)?;
    filing_day(tax_year_begun(on)).map(|due| add_months_clamped(due, 12 * years.0))
}

/// The 31 January after a tax year begun in a year.
fn filing_day(begun: i32) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(begun + 2, 1, 31)
}

/// The year in which the tax year of a day began: on 6 April.
fn tax_year_begun(on: NaiveDate) -> i32 {
    if (on.month(), on.day()) < (4, 6) { on.year() - 1 } else { on.year() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn registered(from: &str, until: Option<&str>) -> Registration {
        let day = |text: &str| text.parse().unwrap();
        Registration { from: Some(day(from)), until: until.map(day), ..Registration::default() }
    }

    fn told(on: &str, stock: Stock, registration: &Registration) -> String {
        let kept = kept(on.parse().unwrap(), stock, registration).unwrap();
        format!("{}: {}", kept.until.map_or_else(|| "open".to_owned(), |day| day.to_string()), kept.rule)
    }

    #[test]
    fn the_longer_rule_decides() {
        let (never, always) = (Registration::default(), registered("2000-01-01", None));
        // 31 January 2028 for either day; six years from each end before and after it.
        assert_eq!(
            told("2021-04-06", Stock::NoCar, &always),
            "2028-01-31: records of 2021-22 are kept at least 5 years after 31 Jan 2023"
        );
        assert_eq!(told("2022-04-05", Stock::NoCar, &always), "2028-04-05: VAT records are kept 6 years");
        assert_eq!(
            told("2022-04-05", Stock::NoCar, &never),
            "2028-01-31: records of 2021-22 are kept at least 5 years after 31 Jan 2023"
        );
        assert!(told("1999-05-01", Stock::NoCar, &never).contains("records of 1999-00"));
    }

    #[test]
    fn a_car_unsold_is_kept_and_one_gone_counts_from_the_day_it_left() {
        let never = Registration::default();
        assert!(told("1999-05-01", Stock::Unsold, &never).starts_with("open: a car's purchase record"));
        let left = Stock::Left(day(2022, 4, 5));
        assert_eq!(told("2020-01-01", left, &never), told("2022-04-05", Stock::NoCar, &never));
        // Money that came after it left counts from its own day.
        assert_eq!(told("2023-05-01", left, &never), told("2023-05-01", Stock::NoCar, &never));
    }

    #[test]
    fn vat_rules_what_touches_the_registration() {
        let left = Stock::Left(day(2022, 4, 5));
        for (from, until, is_vat) in [
            ("2022-04-05", None, true),
            ("2022-04-06", None, false),
            ("2010-01-01", Some("2020-06-01"), true),
            ("2010-01-01", Some("2020-05-31"), false),
        ] {
            let said = told("2020-06-01", left, &registered(from, until));
            assert_eq!(said.contains("VAT"), is_vat, "{from} {until:?}: {said}");
        }
    }

    #[test]
    fn the_last_day_is_still_a_day_it_is_needed() {
        let kept = kept(day(2020, 5, 1), Stock::NoCar, &Registration::default()).unwrap();
        assert!(kept.holds_on(day(2027, 1, 31)) && !kept.holds_on(day(2027, 2, 1)));
        assert_eq!(super::kept(day(1970, 1, 1), Stock::NoCar, &Registration::default()), None);
    }
}
