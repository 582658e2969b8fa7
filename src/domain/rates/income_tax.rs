//! What income tax sets: flat rates for mileage, the trading allowance, which pages a return needs,
//! who Making Tax Digital reaches. Each row holds from the first day of a tax year.

use crate::domain::pence::Pence;
use crate::domain::rates::{Dated, day};

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

/// Flat rates for cars and vans, oldest first.
pub const MILEAGE_RATE: [Dated<MileageRate>; 3] = [
    Dated {
        from: day(2002, 4, 6),
        value: MileageRate { first: 40, after: 25, settled: true },
        source: "40p before 2011-12: a cleanitup.co.uk forum post quoting HMRC; that it began on 6 April 2002 is \
                 from memory",
    },
    Dated {
        from: day(2011, 4, 6),
        value: MileageRate { first: 45, after: 25, settled: true },
        source: "Simplified expenses if you're self-employed: vehicles, \
                 gov.uk/simpler-income-tax-simplified-expenses/vehicles-",
    },
    Dated {
        from: day(2026, 4, 6),
        // 55p was announced for employees on 21 May 2026, backdated. Whether it holds for sole traders
        // is not settled in what was read, so the figure that GOV.UK still shows is used: it claims less.
        value: MileageRate { first: 45, after: 25, settled: false },
        source: "45p: gov.uk/simpler-income-tax-simplified-expenses/vehicles-; 55p for employees: mooreks.co.uk",
    },
];

/// The trading allowance, deducted from gross income in place of expenses.
pub const TRADING_ALLOWANCE: [Dated<Pence>; 1] = [Dated {
    from: day(2017, 4, 6),
    value: Pence::new(100_000),
    source: "HMRC guidance as copied at icpa.org.uk, 7 April 2017",
}];

/// Turnover from which the short self-employment pages will not do: the threshold for VAT.
pub const SHORT_PAGES_LIMIT: [Dated<Pence>; 2] = [
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
];

/// Gross income over which Making Tax Digital for Income Tax reaches a sole trader, by the tax year
/// it then begins in; the income is that of the tax year two before.
pub const MTD_THRESHOLD: [Dated<Pence>; 3] = [
    Dated { from: day(2026, 4, 6), value: Pence::new(5_000_000), source: MTD_SOURCE },
    Dated { from: day(2027, 4, 6), value: Pence::new(3_000_000), source: MTD_SOURCE },
    Dated { from: day(2028, 4, 6), value: Pence::new(2_000_000), source: MTD_SOURCE },
];

const MTD_SOURCE: &str =
    "bakertillymooneymoore.co.uk/news/blog/making-tax-digital-for-income-tax/; jerroms.co.uk/knowledge/270-";

/// The first day of the tax year from which the cash basis is what is used unless opted out of:
/// ITTOIA 2005 s.25C, inserted by Finance Act 2024 Sch. 10 para. 5.
pub const CASH_BASIS_BY_DEFAULT: chrono::NaiveDate = day(2024, 4, 6);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_in_order_begins_tax_years_and_names_its_source() {
        let rows = |days: &[(chrono::NaiveDate, &str)]| {
            assert!(days.is_sorted_by(|a, b| a.0 < b.0), "{days:?}");
            for (from, source) in days {
                assert!(from.format("%m-%d").to_string() == "04-06" && !source.is_empty(), "{from} {source}");
            }
        };
        rows(&MILEAGE_RATE.map(|row| (row.from, row.source)));
        for table in [&TRADING_ALLOWANCE[..], &SHORT_PAGES_LIMIT, &MTD_THRESHOLD] {
            rows(&table.iter().map(|row| (row.from, row.source)).collect::<Vec<_>>());
        }
    }
}
