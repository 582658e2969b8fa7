//! The main job end to end — buy, spend, sell, month — against published figures.

use crate::common::Yard;

/// "The VAT margin scheme for second hand vehicle dealers explained", BC Bookkeeping, 20 July 2015,
/// bcbookkeeping.co.uk: a car bought for £1,400 and sold for £2,000 has a margin of £600 and VAT
/// of £100. Repairs never enter the margin (HMRC customer forum, September 2023; VAT Notice 718/1).
#[test]
fn a_registered_trader_owes_vat_on_the_margin_and_not_on_the_profit() {
    let yard = Yard::new("2026-06-30");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("buy KX42RTO 1400 --on 1/6/2026");
    yard.ok("spend 250 parts --car 1 --on 5/6/2026");
    yard.ok("sell 1 2000 --on 20/6/2026");
    let month = yard.json("month");
    assert_eq!(month["vat_on_margins"], "100.00");
    assert_eq!(month["profit"], "250.00");
    assert_eq!(month["bridge"]["vat_owed_increase"], "100.00");
    let car = yard.json("car 1");
    assert_eq!(car["vat_on_margin"], "100.00");
    assert_eq!(car["stands_in"], "1650.00");
}

/// Conditions of the margin schemes, HMRC VAT Margin Schemes manual, VATMARG02150,
/// gov.uk/hmrc-internal-manuals/vat-margin-schemes/vatmarg02150: the scheme is open only to registered traders, so one who is not has
/// no VAT on the same deal.
#[test]
fn a_trader_who_is_not_registered_has_no_vat() {
    let yard = Yard::new("2026-06-30");
    yard.ok("buy KX42RTO 1400 --on 1/6/2026");
    yard.ok("sell 1 2000 --on 20/6/2026");
    let month = yard.json("month");
    assert_eq!(month["vat_on_margins"], "0.00");
    assert_eq!(month["profit"], "600.00");
}

/// "VAT: What trade-in values should you use when selling second-hand cars?", Tax Insider, January
/// 2020, taxinsider.co.uk: a car taken in at £5,000 and sold at £4,000 has a margin of −£1,000, VAT
/// nil, and the loss is set against nothing. Lyon v HMRC [2009] UKFTT 267 (TC), para 5, says the
/// same of losses. The allowance is its purchase price (HMRC manual VATMARG13350).
#[test]
fn a_loss_on_a_car_taken_in_reduces_no_other_cars_vat() {
    let yard = Yard::new("2026-06-30");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("buy KX42RTO 14400 --on 1/6/2026");
    yard.ok("sell 1 15000 --on 2/6/2026 --part-exchange AB91CDE=5000");
    yard.ok("sell 2 4000 --on 20/6/2026");
    let month = yard.json("month");
    assert_eq!(month["cars_sold"][0]["vat_on_margin"], "100.00");
    assert_eq!(month["cars_sold"][1]["vat_on_margin"], "0.00");
    assert_eq!(month["vat_on_margins"], "100.00");
    assert_eq!(month["profit"], "-500.00");
}

/// Inventory turnover, from memory of public quiz data: cost of sales 600,000 over an average
/// inventory of 100,000 turns 6.00 times a year, 60.83 days. Scaled to a yard: £100 of stock held
/// all through a year in which £600 of cars go out at cost, each bought and sold the same day.
#[test]
fn stock_turns_as_the_textbook_says() {
    let yard = Yard::new("2025-12-31");
    yard.ok("buy KX40RTO 100 --on 1/1/2025");
    for month in 1..=6 {
        yard.ok(&format!("buy KX4{month}RTO 100 --on 15/{month}/2025"));
        yard.ok(&format!("sell KX4{month}RTO 150 --on 15/{month}/2025"));
    }
    let results = yard.json("results");
    assert_eq!(results["stock_turn"], 6.0);
    assert_eq!(results["days_sales_in_stock"], 60.83);
    // GMROI = gross profit ÷ average stock: 300 ÷ 100.
    assert_eq!(results["gmroi"], 3.0);
}

/// Microsoft's XIRR page (support.microsoft.com, "XIRR function"): −10,000 on 1 January 2008, then
/// 2,750, 4,250, 3,250 and 2,750; 37.34 %. A car bought, stripped of parts sold on three days and
/// then sold has just those flows; scaled to hundredths, which does not change a rate.
#[test]
fn the_annual_return_of_a_car_is_its_internal_rate_of_return() {
    let yard = Yard::new("2009-12-31");
    yard.ok("buy KX42RTO 100 --on 1/1/2008");
    yard.ok("receive 27.50 parts-sold --car 1 --on 1/3/2008");
    yard.ok("receive 42.50 parts-sold --car 1 --on 30/10/2008");
    yard.ok("receive 32.50 parts-sold --car 1 --on 15/2/2009");
    yard.ok("sell 1 27.50 --on 1/4/2009");
    assert_eq!(yard.json("car 1")["annual_return_pct"], 37.34);
}
