//! Ratios of one car (return, multiple, profit per day, profit per £100 tied up) and of the
//! stock over a period (stock turn, days' sales in stock, gross margin return on stock).
//!
//! Ratios and percentages are rounded once, at the end, to two decimals half away from zero;
//! money to the penny, half away from zero. A figure that cannot be computed is `None`, never 0.

use rust_decimal::Decimal;

use crate::domain::pence::Pence;
use crate::domain::ratio::{percent_of, quotient, round2};

/// Days in a year for ratios that are put on a yearly footing.
const YEAR_DAYS: Decimal = Decimal::from_parts(365, 0, 0, false, 0);

/// Stock turn a year, how many times over the stock was sold: cost of cars sold ÷ average stock
/// × 365 ÷ days, to two decimals half away from zero.
///
/// Average stock in pounds, unrounded; days in the period, first and last included. None when
/// either is not positive.
pub fn stock_turn(cost_of_cars_sold: Pence, average_stock: Decimal, days: i64) -> Option<Decimal> {
    yearly_on_stock(cost_of_cars_sold, average_stock, days).map(round2)
}

/// Days' sales in stock: 365 ÷ stock turn, to two decimals half away from zero.
///
/// Takes what the stock turn is made of, so that it comes from the turn before rounding. None
/// when that is not positive: no sales, no pace.
pub fn days_sales_in_stock(cost_of_cars_sold: Pence, average_stock: Decimal, days: i64) -> Option<Decimal> {
    let turn = yearly_on_stock(cost_of_cars_sold, average_stock, days)?;
    quotient_of_positive(YEAR_DAYS, turn).map(round2)
}

/// Gross margin return on stock a year: gross profit ÷ average stock × 365 ÷ days, as a ratio
/// (2 is £2 of gross profit a year for each £1 of stock), to two decimals half away from zero.
///
/// Average stock in pounds, unrounded. None when average stock or days is not positive.
pub fn gmroi(gross_profit: Pence, average_stock: Decimal, days: i64) -> Option<Decimal> {
    yearly_on_stock(gross_profit, average_stock, days).map(round2)
}

/// Return in per cent: profit ÷ what the car stood in at, to two decimals half away from zero.
/// None when it stood in at nothing or less.
pub fn return_pct(profit: Pence, stands_in: Pence) -> Option<Decimal> {
    percent_of(profit, stands_in)
}

/// Selling price ÷ what the car stood in at, to two decimals half away from zero: 2.00 is
/// doubled. None when it stood in at nothing or less.
pub fn multiple(selling_price: Pence, stands_in: Pence) -> Option<Decimal> {
    quotient(selling_price, stands_in)
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

/// An amount over average stock, put on a yearly footing.
fn yearly_on_stock(amount: Pence, average_stock: Decimal, days: i64) -> Option<Decimal> {
    if average_stock <= Decimal::ZERO || days <= 0 {
        return None;
    }
    let stock_days = average_stock.checked_mul(Decimal::from(days))?;
    quotient_of_positive(amount.to_pounds() * YEAR_DAYS, stock_days)
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

    #[test]
    fn stock_turn_is_put_on_a_yearly_footing() {
        for (cost, average, days, turn) in [
            (12_000, 2_000, 365, "6.00"),
            (1_000, 2_000, 73, "2.50"),
            (0, 2_000, 365, "0.00"),
            (12_000, 0, 365, "—"),
            (12_000, -1, 365, "—"),
            (12_000, 2_000, 0, "—"),
            (12_000, 2_000, -1, "—"),
            // 1 ÷ 8 = 0.125, and a cost below nothing after a take-back
            (1, 8, 365, "0.13"),
            (-1, 8, 365, "-0.13"),
        ] {
            let found = stock_turn(pounds(cost), Decimal::from(average), days);
            assert_eq!(shown(found), turn, "{cost} {average} {days}");
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
            (12_000, 2_000, 0, "—"),
        ] {
            let found = days_sales_in_stock(pounds(cost), Decimal::from(average), days);
            assert_eq!(shown(found), days_sales, "{cost} {average} {days}");
        }
    }

    #[test]
    fn gross_margin_return_on_stock() {
        assert_eq!(shown(gmroi(pounds(315), Decimal::from(1_260), 73)), "1.25");
        assert_eq!(shown(gmroi(pounds(-315), Decimal::from(1_260), 73)), "-1.25");
        assert_eq!(shown(gmroi(pounds(315), Decimal::ZERO, 73)), "—");
        assert_eq!(shown(gmroi(pounds(315), Decimal::from(1_260), 0)), "—");
    }

    #[test]
    fn return_and_multiple_need_something_to_stand_in_at() {
        for (profit, sold, stands_in, percent, times) in [
            (1_250, 2_500, 1_250, "100.00", "2.00"),
            (-250, 1_000, 1_250, "-20.00", "0.80"),
            (0, 1_250, 1_250, "0.00", "1.00"),
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
        let tiniest = Decimal::new(1, 28);
        assert_eq!(stock_turn(most, tiniest, 1), None);
        assert_eq!(gmroi(least, Decimal::MAX, i64::MAX), None);
        assert_eq!(days_sales_in_stock(Pence::new(1), Decimal::MAX, 1), None);
        assert_eq!(days_sales_in_stock(Pence::new(1), Decimal::MAX, i64::MAX), None);
        assert_eq!(per_hundred_thirty(most, 1), None);
        assert_eq!(per_hundred_thirty(least, 1), None);
        assert_eq!(profit_per_day(most, i64::MIN), most);
        assert_eq!(shown(return_pct(most, Pence::new(1))), "922337203685477580700.00");
        assert_eq!(shown(multiple(least, Pence::new(1))), "-9223372036854775808.00");
    }
}
