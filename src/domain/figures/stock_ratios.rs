//! Ratios of one car (return, multiple, profit per day, profit per £100 tied up) and of the
//! stock over a period (stock turn, days' sales in stock, gross margin return on stock).
//!
//! Ratios and percentages are rounded once, at the end, to two decimals half away from zero;
//! money to the penny, half away from zero. A figure that cannot be computed is `None`, never 0.

use rust_decimal::Decimal;

use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::{quotient_against, round2, round2_against, unrounded_percent_of};
use std::fmt;

/// Days in a year for ratios that are put on a yearly footing.
const YEAR_DAYS: Decimal = Decimal::from_parts(365, 0, 0, false, 0);

/// Fewer days of book than this and nothing is put on a yearly footing.
const FEWEST_DAYS: i64 = 30;

/// Sold at this many times what it stood in at, a car has doubled the money.
const DOUBLED: Decimal = Decimal::TWO;

/// What the stock of a span of days came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockWorked {
    /// What the cars sold in it stood in at.
    pub cost_of_cars_sold: Pence,
    /// Its gross profit.
    pub gross_profit: Pence,
    /// Average stock at cost, in pounds, unrounded.
    pub average_stock: Decimal,
    /// Days counted, first and last included: those the book has begun by.
    pub days: i64,
}

/// Why stock has no turn, and no margin on it, for a year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoTurn {
    /// Fewer than thirty are counted.
    TooShort {
        /// How many are.
        days: i64,
    },
    /// The average stock is nothing or less.
    NothingInStock,
    /// More came back at cost than was sold.
    MoreCameBack,
}

impl fmt::Display for NoTurn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooShort { .. } => "under 30 days: a yearly figure would predict nothing",
            Self::NothingInStock => "the cars in stock stood in at nothing on average",
            Self::MoreCameBack => "more was taken back at cost than was sold",
        })
    }
}

impl StockWorked {
    /// Why there is neither stock turn nor margin on stock, if there is none.
    pub fn no_turn(&self) -> Option<NoTurn> {
        if self.days < FEWEST_DAYS {
            Some(NoTurn::TooShort { days: self.days })
        } else if self.average_stock <= Decimal::ZERO {
            Some(NoTurn::NothingInStock)
        } else {
            self.cost_of_cars_sold.is_negative().then_some(NoTurn::MoreCameBack)
        }
    }

    /// Stock turn a year, how many times over the stock was sold: cost of cars sold ÷ average stock
    /// × 365 ÷ days, to two decimals half away from zero.
    pub fn turn(&self) -> Option<Decimal> {
        self.yearly(self.cost_of_cars_sold).map(round2)
    }

    /// Days' sales in stock: 365 ÷ stock turn before rounding, to two decimals half away from zero. None
    /// without sales: no sales, no pace.
    pub fn days_sales(&self) -> Option<Decimal> {
        quotient_of_positive(YEAR_DAYS, self.yearly(self.cost_of_cars_sold)?).map(round2)
    }

    /// Gross margin return on stock a year: gross profit ÷ average stock × 365 ÷ days, as a ratio
    /// (2 is £2 of gross profit a year for each £1 of stock), to two decimals half away from zero.
    pub fn gmroi(&self) -> Option<Decimal> {
        self.yearly(self.gross_profit).map(round2)
    }

    /// An amount over average stock, put on a yearly footing.
    fn yearly(&self, amount: Pence) -> Option<Decimal> {
        if self.no_turn().is_some() {
            return None;
        }
        let stock_days = self.average_stock.checked_mul(Decimal::from(self.days))?;
        quotient_of_positive(amount.to_pounds() * YEAR_DAYS, stock_days)
    }
}

/// Return in per cent: profit ÷ what was stood in at, to two decimals. 100 % is doubled, and never
/// shown short of it. None when it stood in at nothing or less.
pub fn return_pct(profit: Pence, stands_in: Pence) -> Option<Decimal> {
    unrounded_percent_of(profit, stands_in).map(|percent| round2_against(percent, &[Decimal::ONE_HUNDRED]))
}

/// Selling price ÷ what the car stood in at, to two decimals: 2.00 is doubled, and never shown short
/// of it. None when it stood in at nothing or less.
pub fn multiple(selling_price: Pence, stands_in: Pence) -> Option<Decimal> {
    multiple_against(selling_price, stands_in, DOUBLED)
}

/// As [`multiple`], where the car is held against a `target` of the trader's own: nor is that shown
/// short of it.
pub fn multiple_against(selling_price: Pence, stands_in: Pence, target: Decimal) -> Option<Decimal> {
    quotient_against(selling_price, stands_in, &[DOUBLED, target])
}

/// Profit per day in stock, to the penny half away from zero. A car bought and sold the same day
/// counts one day.
pub fn profit_per_day(profit: Pence, days: i64) -> Pence {
    Pence::from_pounds_rounded(profit.to_pounds() / Decimal::from(days.max(1)))
}

/// Profit for each £100 tied up for thirty days, to the penny half away from zero:
/// 100 × 30 × profit ÷ Σ(pounds of a line × days it was tied up).
///
/// `pence_days` is that sum with each line in pence, receipts negative. None when it is not
/// positive, or when the figure is more than money can be.
pub fn per_hundred_thirty(profit: Pence, pence_days: i64) -> Option<Pence> {
    let hundred_for_thirty = profit.to_pounds() * Decimal::from(100 * 30);
    let pounds = quotient_of_positive(hundred_for_thirty, Decimal::new(pence_days, 2))?;
    let most = Pence::new(i64::MAX).to_pounds();
    (pounds.abs() < most).then(|| Pence::from_pounds_rounded(pounds))
}

/// `dividend` ÷ `divisor` where the divisor is positive and the quotient can be held.
fn quotient_of_positive(dividend: Decimal, divisor: Decimal) -> Option<Decimal> {
    if divisor <= Decimal::ZERO {
        return None;
    }
    dividend.checked_div(divisor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pounds(pounds: i64) -> Pence {
        Pence::new(pounds * 100)
    }

    fn shown(figure: Option<Decimal>) -> String {
        figure.map_or("—".to_owned(), |figure| figure.to_string())
    }

    fn worked(cost: i64, gross: i64, average: i64, days: i64) -> StockWorked {
        let average_stock = Decimal::from(average);
        StockWorked { cost_of_cars_sold: pounds(cost), gross_profit: pounds(gross), average_stock, days }
    }

    #[test]
    fn stock_turn_is_put_on_a_yearly_footing() {
        for (cost, average, days, turn) in [
            (12_000, 2_000, 365, "6.00"),
            (1_000, 2_000, 73, "2.50"),
            (0, 2_000, 365, "0.00"),
            (12_000, 2_000, 30, "73.00"),
            (12_000, 2_000, 29, "—"),
            (12_000, 0, 365, "—"),
            (12_000, -1, 365, "—"),
            // 1 ÷ 8 = 0.125, and a cost below nothing after a take-back
            (1, 8, 365, "0.13"),
            (-1, 8, 365, "—"),
        ] {
            let found = worked(cost, 0, average, days).turn();
            assert_eq!(shown(found), turn, "{cost} {average} {days}");
        }
    }

    #[test]
    fn what_has_no_turn_says_why_and_has_no_margin_either() {
        for (cost, average, days, why) in [
            (12_000, 2_000, 29, Some(NoTurn::TooShort { days: 29 })),
            (12_000, 2_000, 0, Some(NoTurn::TooShort { days: 0 })),
            (12_000, 0, 365, Some(NoTurn::NothingInStock)),
            (-1, 2_000, 365, Some(NoTurn::MoreCameBack)),
            (0, 2_000, 30, None),
        ] {
            let found = worked(cost, 300, average, days);
            assert_eq!(found.no_turn(), why, "{cost} {average} {days}");
            assert_eq!(found.gmroi().is_none(), why.is_some(), "{cost} {average} {days}");
        }
    }

    #[test]
    fn days_sales_come_from_the_turn_before_rounding() {
        for (cost, average, days, days_sales) in [
            (12_000, 2_000, 365, "60.83"),
            (1_000, 2_000, 73, "146.00"),
            // 365 ÷ (1 ÷ 300); from the rounded turn, 0.00, there would be none
            (100, 30_000, 365, "109500.00"),
            (0, 2_000, 365, "—"),
            (-100, 2_000, 365, "—"),
            (12_000, 0, 365, "—"),
            (12_000, 2_000, 29, "—"),
        ] {
            let found = worked(cost, 0, average, days).days_sales();
            assert_eq!(shown(found), days_sales, "{cost} {average} {days}");
        }
    }

    #[test]
    fn gross_margin_return_on_stock() {
        assert_eq!(shown(worked(0, 315, 1_260, 73).gmroi()), "1.25");
        assert_eq!(shown(worked(0, -315, 1_260, 73).gmroi()), "-1.25");
    }

    #[test]
    fn return_and_multiple_need_something_to_stand_in_at() {
        for (profit, sold, stands_in, percent, times) in [
            (1_250, 2_500, 1_250, "100.00", "2.00"),
            (-250, 1_000, 1_250, "-20.00", "0.80"),
            (0, 1_250, 1_250, "0.00", "1.00"),
            // Short of double by £50, and by £1: neither figure reads as if it were.
            (62_350, 124_750, 62_400, "99.92", "1.99"),
            (62_399, 124_799, 62_400, "99.99", "1.99"),
            (62_400, 124_800, 62_400, "100.00", "2.00"),
            (1, 801, 800, "0.13", "1.00"),
            (-1, 799, 800, "-0.13", "1.00"),
            (100, 100, 0, "—", "—"),
            (110, 100, -10, "—", "—"),
        ] {
            let found = return_pct(pounds(profit), pounds(stands_in));
            assert_eq!(shown(found), percent, "{profit} {stands_in}");
            let found = multiple(pounds(sold), pounds(stands_in));
            assert_eq!(shown(found), times, "{sold} {stands_in}");
        }
    }

    #[test]
    fn a_target_of_the_traders_own_is_no_more_rounded_up_to() {
        for (sold, stood_in, target, times) in [
            (89_900, 50_000, 180, "1.79"),
            (89_900, 50_000, 200, "1.80"),
            (90_000, 50_000, 180, "1.80"),
            (99_990, 50_000, 180, "1.99"),
        ] {
            let found = multiple_against(Pence::new(sold), Pence::new(stood_in), Decimal::new(target, 2));
            assert_eq!(shown(found), times, "{sold} {target}");
        }
    }

    #[test]
    fn a_day_is_the_least_a_car_is_kept() {
        for (profit, days, a_day) in
            [(62_000, 0, 62_000), (62_000, 1, 62_000), (62_000, 40, 1_550), (5, 2, 3), (-5, 2, -3), (10, 3, 3)]
        {
            let found = profit_per_day(Pence::new(profit), days);
            assert_eq!(found, Pence::new(a_day), "{profit} {days}");
        }
    }

    #[test]
    fn profit_per_hundred_pounds_tied_up_for_thirty_days() {
        for (profit, pence_days, found) in [
            // £100 for thirty days makes £7
            (700, 10_000 * 30, Some(700)),
            // £850 for 40 days and £240 for 35 make £380: 3,000 × 380 ÷ 42,400 = £26.89
            (38_000, 85_000 * 40 + 24_000 * 35, Some(2_689)),
            (-38_000, 85_000 * 40 + 24_000 * 35, Some(-2_689)),
            // a half penny: 3,000 × £0.01 ÷ £6,000 days
            (1, 600_000, Some(1)),
            (-1, 600_000, Some(-1)),
            (1, 600_001, Some(0)),
            (38_000, 0, None),
            (38_000, -1, None),
        ] {
            let result = per_hundred_thirty(Pence::new(profit), pence_days);
            assert_eq!(result, found.map(Pence::new), "{profit} {pence_days}");
        }
    }

    #[test]
    fn the_greatest_amounts_do_not_overflow() {
        let (most, least) = (Pence::new(i64::MAX), Pence::new(i64::MIN));
        let with = |amount, average_stock, days| StockWorked {
            cost_of_cars_sold: amount,
            gross_profit: amount,
            average_stock,
            days,
        };
        assert_eq!(with(most, Decimal::new(1, 28), 365).turn(), None);
        assert_eq!(with(most, Decimal::MAX, i64::MAX).gmroi(), None);
        assert_eq!(with(Pence::new(1), Decimal::MAX, 30).days_sales(), None);
        assert_eq!(with(Pence::new(1), Decimal::MAX, i64::MAX).days_sales(), None);
        assert_eq!(per_hundred_thirty(most, 1), None);
        assert_eq!(per_hundred_thirty(least, 1), None);
        assert_eq!(profit_per_day(most, i64::MIN), most);
        assert_eq!(shown(return_pct(most, Pence::new(1))), "922337203685477580700.00");
        assert_eq!(shown(multiple(least, Pence::new(1))), "-9223372036854775808.00");
    }
}
