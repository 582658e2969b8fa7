//! Stock turn, days' sales, return on stock, margin and mark-up against published examples.
//!
//! Each case names publisher and address. *Seen* was read there; *derived* was worked out from
//! inputs or a formula read there.

use runabout::domain::figures::stock_ratios::{StockWorked, multiple, return_pct};
use runabout::domain::value::pence::Pence;
use runabout::domain::value::ratio::percent_of;
use rust_decimal::Decimal;

/// Days in the examples' year: their turnover is for a year and is not put on a yearly footing.
const A_YEAR: i64 = 365;

fn pounds(pounds: i64) -> Pence {
    Pence::new(pounds * 100)
}

fn a_year(cost: i64, gross_profit: i64, average: i64) -> StockWorked {
    StockWorked {
        cost_of_cars_sold: pounds(cost),
        gross_profit: pounds(gross_profit),
        average_stock: Decimal::from(average),
        days: A_YEAR,
    }
}

fn shown(figure: Option<Decimal>) -> Option<String> {
    figure.map(|figure| figure.to_string())
}

#[track_caller]
fn assert_shown(figure: Option<Decimal>, expected: &str) {
    assert_eq!(shown(figure).as_deref(), Some(expected));
}

#[track_caller]
fn assert_turn_and_days(cost_of_sales: i64, average_stock: i64, turn: &str, days: &str) {
    let worked = a_year(cost_of_sales, 0, average_stock);
    assert_shown(worked.turn(), turn);
    assert_shown(worked.days_sales(), days);
}

/// Professional-examination question, gaodun.com/q/f053ff: cost of sales 4,380,000, average
/// inventory 870,000: turnover 5.03, 72.5 days. Seen.
#[test]
fn examination_question() {
    assert_turn_and_days(4_380_000, 870_000, "5.03", "72.50");
}

/// From memory of public quiz data: 600,000 over 100,000: 6.00 times, 60.83 days. Seen.
#[test]
fn quiz() {
    assert_turn_and_days(600_000, 100_000, "6.00", "60.83");
}

/// edu.com (no title recorded): cost of sales 172,000, inventory 53,000 and 43,000, average 48,000.
/// Inputs seen; 3.583 times and 101.86 days derived.
#[test]
fn average_of_opening_and_closing() {
    assert_turn_and_days(172_000, i64::midpoint(53_000, 43_000), "3.58", "101.86");
}

/// From memory of two pages whose own arithmetic is wrong, with the right days (derived): 1,300,000 over 188,500
/// is 52.93 days (the page says 50.97), 59,344 over 1,810 is 11.13 (the page says 332.21).
#[test]
fn pages_that_divided_wrongly_are_not_followed() {
    assert_turn_and_days(1_300_000, 188_500, "6.90", "52.93");
    assert_turn_and_days(59_344, 1_810, "32.79", "11.13");
}

/// Gross margin return on inventory, all seen: bit1024.com, 50,000 over 25,000 is 200 %;
/// kpiexamples.operately.com, 100,000 over 50,000 is 2; askfoxes.com, revenue of 100 million less
/// 35 million cost of sales over inventory of 20 million is 3.25.
#[test]
fn gross_margin_return_on_stock() {
    for (gross_profit, average_stock, expected) in
        [(50_000, 25_000, "2.00"), (100_000, 50_000, "2.00"), (100_000_000 - 35_000_000, 20_000_000, "3.25")]
    {
        assert_shown(a_year(0, gross_profit, average_stock).gmroi(), expected);
    }
}

/// Margin is profit over price, mark-up profit over cost.
///
/// Cost 75, price 100 (25 % and 33.3 %): discussions.apple.com/thread/250542444, seen. Cost 100,
/// price 150 (33.33 % and 50 %): calqoo.com/en/financial/profit-margin, seen. Margins of 10, 20,
/// 30 and 50 % (mark-up 11.1, 25.0, 42.9 and 100.0 %): math.techqa.club, seen; the same page prints
/// 80.0 % beside a margin of 40 %, which is wrong: 66.7 % derived from markup = margin ÷
/// (1 − margin), a formula seen at api.brainscape.com.
#[test]
fn margin_and_mark_up() {
    for (cost, price, margin, mark_up) in [
        (75, 100, "25.00", "33.33"),
        (100, 150, "33.33", "50.00"),
        (90, 100, "10.00", "11.11"),
        (80, 100, "20.00", "25.00"),
        (70, 100, "30.00", "42.86"),
        (50, 100, "50.00", "100.00"),
        (60, 100, "40.00", "66.67"),
    ] {
        let profit = pounds(price - cost);
        assert_shown(percent_of(profit, pounds(price)), margin);
        assert_shown(return_pct(profit, pounds(cost)), mark_up);
    }
}

/// math.techqa.club: £1 of cost at a margin of 30 % sells at £1.43. Seen. The multiple of a car
/// that stood in at 70 and sold at 100.
#[test]
fn price_for_a_margin() {
    assert_shown(multiple(pounds(100), pounds(70)), "1.43");
}
