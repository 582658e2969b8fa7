//! Every figure the law or the tax authority sets, in dated tables with the source beside each
//! row. A rule asks for the figure of a day and never holds one itself: rates change, books stay.

pub mod income_tax;

use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::fmt;

/// A figure that holds from a day until the next row of its table begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dated<T> {
    /// The first day the figure holds.
    pub from: NaiveDate,
    /// The figure; its unit is the table's.
    pub value: T,
    /// Where it was read.
    pub source: &'static str,
}

/// The row of a table, oldest first, that holds on a day. None before the first row.
pub fn in_force<T>(table: &[Dated<T>], on: NaiveDate) -> Option<&Dated<T>> {
    table.iter().rev().find(|row| row.from <= on)
}

/// The standard rate of VAT in per cent, oldest first. The four days as tables of accountants give them too:
/// accountancymanagers.co.uk/vat-rates-new/, kmbs.co.uk/vat-standard-rate/ and
/// nealandassociates.co.uk/2011/03/10/historic-uk-vat-rates/.
pub const STANDARD_VAT_RATE: [Dated<Decimal>; 4] = [
    Dated {
        from: day(1991, 4, 1),
        value: percent(175, 1),
        source: "Value Added Tax Act 1994 s.2 as enacted, \
                 legislation.gov.uk/ukpga/1994/23/part/I/crossheading/imposition-and-rate-of-vat/enacted; that the \
                 rate began with Finance Act 1991 s.13, on 1 April, is from memory",
    },
    Dated {
        from: day(2008, 12, 1),
        value: percent(15, 0),
        source: "Value Added Tax (Change of Rate) Order 2008, SI 2008/3020, legislation.gov.uk/uksi/2008/3020/made",
    },
    Dated {
        from: day(2010, 1, 1),
        value: percent(175, 1),
        source: "Finance Act 2009 s.9, legislation.gov.uk/ukpga/2009/10/section/9",
    },
    Dated {
        from: day(2011, 1, 4),
        value: percent(20, 0),
        source: "Finance (No. 2) Act 2010 s.3, legislation.gov.uk/ukpga/2010/31/section/3",
    },
];

/// Where HMRC lists the thresholds there have been.
const SUPPLEMENT: &str = "VAT Notice 700/11: supplement, HMRC, updated 31 May 2024, \
                          gov.uk/government/publications/vat-notice-70011-cancelling-your-registration/vat-notice-70011-supplement";
const LIMITS_2011: &str =
    "Value Added Tax (Increase of Registration Limits) Order 2011, SI 2011/897, legislation.gov.uk/uksi/2011/897/made";
const LIMITS_2012: &str = "the limit that the Value Added Tax (Increase of Registration Limits) Order 2013, SI 2013/660, \
                           took the place of, legislation.gov.uk/uksi/2013/660; that it began on 1 April 2012 is from memory";
const LIMITS_2013: &str =
    "Value Added Tax (Increase of Registration Limits) Order 2013, SI 2013/660, legislation.gov.uk/uksi/2013/660";
const INCREASE: &str = "Value Added Tax (Increase of Registration Limits) Order 2024, SI 2024/307; Increasing the VAT \
                        registration threshold, GOV.UK policy paper, 7 March 2024";

/// Taxable turnover of twelve months over which a trader must register for VAT, oldest first. Just
/// so much need not. From 2014 to 2017 the amounts were read in "VAT thresholds", rossmartin.co.uk.
pub const VAT_REGISTRATION_THRESHOLD: [Dated<Pence>; 13] = [
    Dated { from: day(2006, 4, 1), value: Pence::new(6_100_000), source: SUPPLEMENT },
    Dated { from: day(2007, 4, 1), value: Pence::new(6_400_000), source: SUPPLEMENT },
    Dated { from: day(2008, 4, 1), value: Pence::new(6_700_000), source: SUPPLEMENT },
    Dated { from: day(2009, 5, 1), value: Pence::new(6_800_000), source: SUPPLEMENT },
    Dated { from: day(2010, 4, 1), value: Pence::new(7_000_000), source: SUPPLEMENT },
    Dated { from: day(2011, 4, 1), value: Pence::new(7_300_000), source: SUPPLEMENT },
    Dated { from: day(2012, 4, 1), value: Pence::new(7_700_000), source: SUPPLEMENT },
    Dated { from: day(2013, 4, 1), value: Pence::new(7_900_000), source: SUPPLEMENT },
    Dated { from: day(2014, 4, 1), value: Pence::new(8_100_000), source: SUPPLEMENT },
    Dated { from: day(2015, 4, 1), value: Pence::new(8_200_000), source: SUPPLEMENT },
    Dated { from: day(2016, 4, 1), value: Pence::new(8_300_000), source: SUPPLEMENT },
    Dated { from: day(2017, 4, 1), value: Pence::new(8_500_000), source: SUPPLEMENT },
    Dated { from: day(2024, 4, 1), value: Pence::new(9_000_000), source: INCREASE },
];

/// Expected taxable turnover of twelve months, without VAT, below which a registered trader may ask
/// to be deregistered, oldest first. From 2014 to 2017 the amounts were read in "VAT thresholds", rossmartin.co.uk.
pub const VAT_DEREGISTRATION_THRESHOLD: [Dated<Pence>; 8] = [
    Dated { from: day(2011, 4, 1), value: Pence::new(7_100_000), source: LIMITS_2011 },
    Dated { from: day(2012, 4, 1), value: Pence::new(7_500_000), source: LIMITS_2012 },
    Dated { from: day(2013, 4, 1), value: Pence::new(7_700_000), source: LIMITS_2013 },
    Dated { from: day(2014, 4, 1), value: Pence::new(7_900_000), source: SUPPLEMENT },
    Dated { from: day(2015, 4, 1), value: Pence::new(8_000_000), source: SUPPLEMENT },
    Dated { from: day(2016, 4, 1), value: Pence::new(8_100_000), source: SUPPLEMENT },
    Dated { from: day(2017, 4, 1), value: Pence::new(8_300_000), source: SUPPLEMENT },
    Dated { from: day(2024, 4, 1), value: Pence::new(8_800_000), source: INCREASE },
];

/// The cash that makes a high value dealer, as the law says it and as the book can test it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CashLimit {
    /// In sterling; cash of just so much is caught.
    pub sterling: Pence,
    /// What the law says instead, where it is not in sterling.
    pub words: Option<&'static str>,
}

/// As `£10,000`, or the law's own words.
impl fmt::Display for CashLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sterling = self.sterling.to_string();
        f.write_str(self.words.unwrap_or_else(|| sterling.strip_suffix(".00").unwrap_or(&sterling)))
    }
}

/// The limit, oldest first. Nothing earlier is known here: until 25 June 2017 it was €15,000, and
/// only for cash taken.
pub const CASH_LIMIT: [Dated<CashLimit>; 2] = [
    Dated {
        from: day(2017, 6, 26),
        // In euro, converted at the rate of the payment's day (HMRC, ECSH63345). The book has no
        // rates, so this is a round figure below what €10,000 was worth on any day until June
        // 2026: the euro has not been under 82p in those years (from memory). Better to be warned
        // early; it was about £8,600 in June 2026.
        value: CashLimit { sterling: Pence::new(800_000), words: Some("€10,000, taken here as £8,000 to be safe") },
        source: "€10,000 from this day: HMRC, Economic Crime Supervision Handbook, \
                 gov.uk/hmrc-internal-manuals/economic-crime-supervision-handbook/ecsh51550; \
                 £8,000 from memory of exchange rates",
    },
    Dated {
        from: day(2026, 6, 30),
        value: CashLimit { sterling: Pence::new(1_000_000), words: None },
        // Their text was not read: they are told at vinciworks.com/?p=39218 and
        // keystonelaw.com/keynotes/what-are-the-changes-to-uk-money-laundering-regulations/.
        source: "Money Laundering and Terrorist Financing (Amendment) Regulations 2026, made 9 June 2026; \
                 the text itself was not read",
    },
];

/// A percentage from its digits and how many of them are decimals.
const fn percent(digits: u32, decimals: u32) -> Decimal {
    Decimal::from_parts(digits, 0, 0, false, decimals)
}

/// A day of a table. Tables are constants, so a day that does not exist fails the build.
pub(super) const fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    match NaiveDate::from_ymd_opt(year, month, day) {
        Some(day) => day,
        None => panic!("no such day"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_in_order_and_name_their_source() {
        assert!(STANDARD_VAT_RATE.is_sorted_by(|a, b| a.from < b.from));
        for row in STANDARD_VAT_RATE {
            assert!(row.source.contains("legislation.gov.uk/"), "{row:?}");
        }
        for table in [&VAT_REGISTRATION_THRESHOLD[..], &VAT_DEREGISTRATION_THRESHOLD] {
            assert!(table.is_sorted_by(|a, b| a.from < b.from && a.value < b.value));
            assert!(table.iter().all(|row| !row.source.is_empty()));
        }
    }

    #[test]
    fn a_row_holds_from_its_own_day_until_the_day_before_the_next() {
        let table = [
            Dated { from: day(2026, 4, 6), value: 1, source: "" },
            Dated { from: day(2027, 4, 6), value: 2, source: "" },
        ];
        let value = |on| in_force(&table, on).map(|row| row.value);
        assert_eq!(value(day(2026, 4, 5)), None);
        assert_eq!(value(day(2026, 4, 6)), Some(1));
        assert_eq!(value(day(2027, 4, 5)), Some(1));
        assert_eq!(value(day(2027, 4, 6)), Some(2));
        assert_eq!(value(NaiveDate::MAX), Some(2));
    }
}
