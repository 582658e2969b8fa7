//! What income tax sets: flat rates for mileage, the trading allowance, which pages a return needs,
//! who Making Tax Digital reaches. Each row holds from the first day of a tax year.

use crate::domain::law::rate_table::{Listed, RateTable, Rates};
use crate::domain::law::rates::{Dated, day};
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;

/// The flat rate for business miles in one's own car or van.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MileageRate {
    /// Pence for each of the first miles of a tax year.
    pub first: i64,
    /// Pence for each mile after them.
    pub after: i64,
    /// Whether the figure is beyond doubt; where it is not, reports say so.
    pub settled: bool,
}

/// The miles of a tax year that have the first rate.
pub const MILES_AT_FIRST_RATE: i64 = 10_000;

/// Flat rate for each of the first miles of a tax year in a car or van, oldest first.
pub const MILEAGE_FIRST: RateTable<Pence> = RateTable::new(
    "mileage-first",
    "flat rate a mile for the first 10,000 miles",
    &[
        Dated {
            from: day(2002, 4, 6),
            value: Pence::new(40),
            // 40p as a forum quotes HMRC, cleanitup.co.uk/smf/index.php?topic=87082.0.
            source: "from memory; that a scheme of its own began on 6 April 2002: BIM47701, Business Income Manual, HMRC, \
                     hmrc.gov.uk/manuals/bimmanual/bim47701.htm",
        },
        Dated { from: day(2011, 4, 6), value: Pence::new(45), source: FLAT_RATE },
        Dated {
            from: UNSETTLED_FROM,
            // 55p was announced for employees on 21 May 2026, backdated. Whether it holds for sole traders
            // is not settled in what was read, so the figure that GOV.UK still shows is used: it claims less.
            value: Pence::new(45),
            // 55p: "New mileage allowance rates", mooreks.co.uk/insights/new-mileage-allowance-rates-what-employers-need-to-do-now/.
            source: FLAT_RATE,
        },
    ],
);

const FLAT_RATE: &str = "Income Tax (Trading and Other Income) Act 2005 s.94F, legislation.gov.uk/ukpga/2005/5/section/94F; \
                         Simplified expenses if you're self-employed: vehicles, \
                         gov.uk/simpler-income-tax-simplified-expenses/vehicles-";

/// The first day of a flat rate that is not beyond doubt.
const UNSETTLED_FROM: NaiveDate = day(2026, 4, 6);

/// Flat rate for each mile after the first ones.
pub const MILEAGE_AFTER: RateTable<Pence> = RateTable::new(
    "mileage-after",
    "flat rate a mile after the first 10,000 miles",
    &[Dated {
        from: day(2002, 4, 6),
        value: Pence::new(25),
        source: "Income Tax (Trading and Other Income) Act 2005 s.94F, legislation.gov.uk/ukpga/2005/5/section/94F; \
                 that the rate began on 6 April 2002 is from memory",
    }],
);

impl MileageRate {
    /// The rate of a day; none before the first known.
    pub fn on_day(rates: &Rates, on: NaiveDate) -> Option<Self> {
        let (first, after) = (rates.in_force(&MILEAGE_FIRST, on)?, rates.in_force(&MILEAGE_AFTER, on)?);
        let settled = on < UNSETTLED_FROM || !rates.own_used(&MILEAGE_FIRST, on, on).is_empty();
        Some(Self { first: first.get(), after: after.get(), settled })
    }
}

/// The trading allowance, deducted from gross income in place of expenses.
pub const TRADING_ALLOWANCE: RateTable<Pence> = RateTable::new(
    "trading-allowance",
    "trading allowance of a tax year",
    &[Dated {
        from: day(2017, 4, 6),
        value: Pence::new(100_000),
        // As it stood on 7 April 2017, copied at icpa.org.uk/portal/hmrc/tax-free_allowance_on_property_trading_income.
        source: "Tax-free allowances on property and trading income, HMRC, \
                 gov.uk/guidance/tax-free-allowances-on-property-and-trading-income",
    }],
);

/// Turnover from which the short self-employment pages will not do: the threshold for VAT.
pub const SHORT_PAGES_LIMIT: RateTable<Pence> = RateTable::new(
    "short-pages-limit",
    "turnover from which the full self-employment pages are needed",
    &[
        Dated {
            from: day(2017, 4, 6),
            value: Pence::new(8_500_000),
            source: "SA103F Notes 2020-21, HMRC (£85,000); that it held from 2017-18 is from memory",
        },
        Dated {
            from: day(2024, 4, 6),
            value: Pence::new(9_000_000),
            source: "the threshold for VAT from 1 April 2024; that the pages follow it is from memory",
        },
    ],
);

/// Gross income over which Making Tax Digital for Income Tax reaches a sole trader, by the tax year
/// it then begins in; the income is that of the tax year two before.
pub const MTD_THRESHOLD: RateTable<Pence> = RateTable::new(
    "digital-tax-threshold",
    "income over which Making Tax Digital for Income Tax reaches a trader two tax years on",
    &[
        Dated { from: day(2026, 4, 6), value: Pence::new(5_000_000), source: MTD_SOURCE },
        Dated { from: day(2027, 4, 6), value: Pence::new(3_000_000), source: MTD_SOURCE },
        // As bakertillymooneymoore.co.uk/news/blog/making-tax-digital-for-income-tax/ and
        // jerroms.co.uk/knowledge/270- tell it.
        Dated {
            from: day(2028, 4, 6),
            value: Pence::new(2_000_000),
            source: "from memory: announced in the Spring Statement of March 2025; the regulation was not read",
        },
    ],
);

const MTD_SOURCE: &str = "Income Tax (Digital Requirements) Regulations 2021, SI 2021/1076, reg. 21(3), \
                          legislation.gov.uk/uksi/2021/1076/regulation/21";

/// The first day of the tax year from which the cash basis is what is used unless opted out of:
/// ITTOIA 2005 s.25C, inserted by Finance Act 2024 Sch. 10 para. 5.
pub const CASH_BASIS_BY_DEFAULT: NaiveDate = day(2024, 4, 6);

/// The tables of this module.
pub const TABLES: &[&dyn Listed] =
    &[&MILEAGE_FIRST, &MILEAGE_AFTER, &TRADING_ALLOWANCE, &SHORT_PAGES_LIMIT, &MTD_THRESHOLD];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::law::own_rates::read;

    #[test]
    fn every_row_begins_a_tax_year() {
        for row in TABLES.iter().flat_map(|table| table.built_in()) {
            assert_eq!(row.from.format("%m-%d").to_string(), "04-06", "{}", row.from);
        }
    }

    #[test]
    fn a_line_of_his_own_settles_the_rate() {
        let on = day(2026, 4, 6);
        let plain = MileageRate { first: 45, after: 25, settled: false };
        assert_eq!(MileageRate::on_day(&Rates::default(), on), Some(plain));
        let rates = Rates::with_own(read("mileage-first 2026-04-06 0.55").unwrap().leak(), "yard.rates");
        assert_eq!(MileageRate::on_day(&rates, on), Some(MileageRate { first: 55, after: 25, settled: true }));
        assert_eq!(MileageRate::on_day(&rates, day(2002, 4, 5)), None);
    }
}
