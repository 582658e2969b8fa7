//! The words of caution about cash: never a refusal.

use super::notes;
use crate::common::Yard;

const CAUTION: &str = "high value dealer";

/// Until 29 June 2026 the limit was €10,000, taken as £8,000; from 30 June it is £10,000 (Money
/// Laundering and Terrorist Financing (Amendment) Regulations 2026, made 9 June 2026, as told at
/// vinciworks.com/?p=39218). Cash of just so much is caught.
#[test]
fn the_limit_on_its_days_to_the_penny() {
    for (on, price, warned) in [
        ("29/6/2026", "7999.99", false),
        ("29/6/2026", "8000", true),
        ("30/6/2026", "8000", false),
        ("30/6/2026", "9999.99", false),
        ("30/6/2026", "10000", true),
    ] {
        let yard = Yard::new("2026-11-25");
        let bought = notes(&yard, &format!("buy KX42RTO {price} --paid cash --on {on}"));
        assert_eq!(bought.contains(CAUTION), warned, "bought at {price} on {on}: {bought}");
        let yard = Yard::new("2026-11-25");
        yard.ok("buy KX42RTO 465 --on 1/6/2026");
        let sold = notes(&yard, &format!("sell 1 {price} --paid cash --on {on}"));
        assert_eq!(sold.contains(CAUTION), warned, "sold at {price} on {on}: {sold}");
        if warned {
            let limit = if on.starts_with("29") { "£8,000" } else { "£10,000" };
            assert!(sold.contains(limit), "{sold}");
        }
    }
}

#[test]
fn a_deposit_and_the_rest_are_one_deal() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 520 --on 1/9/2026");
    let said = notes(&yard, "deposit 1 6000 --by \"D Farrow\" --paid cash --on 10/9/2026");
    assert!(!said.contains(CAUTION), "{said}");
    let said = notes(&yard, "sell 1 11000 --paid cash --paid-amount 3999.99 --on 12/9/2026");
    assert!(!said.contains(CAUTION), "{said}");
    // 6000 + 3999.99 + 0.01 = 10000.
    let said = notes(&yard, "receive 0.01 balance --car 1 --paid cash --on 14/9/2026");
    assert!(said.contains(CAUTION) && said.contains("£10,000.00"), "{said}");
}

#[test]
fn bank_money_and_the_other_deal_of_the_car_do_not_count() {
    let yard = Yard::new("2026-11-25");
    let said = notes(&yard, "buy KX42RTO 6000 --paid cash --on 1/9/2026");
    assert!(!said.contains(CAUTION), "{said}");
    yard.ok("deposit 1 5000 --by \"D Farrow\" --paid bank --on 10/9/2026");
    let said = notes(&yard, "sell 1 14000 --paid cash --on 12/9/2026");
    assert!(!said.contains(CAUTION), "9000 in cash: {said}");
}

#[test]
fn a_seller_paid_in_parts() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 12000 --paid cash --paid-amount 6000 --on 1/9/2026");
    let said = notes(&yard, "spend 4000 balance --car 1 --paid cash --on 3/9/2026");
    assert!(said.contains(CAUTION), "{said}");
}

#[test]
fn cash_across_the_change_of_the_limit() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 575 --on 1/6/2026");
    yard.ok("deposit 1 7000 --by \"D Farrow\" --paid cash --on 29/6/2026");
    // 7000 + 2000 = 9000: under the limit of the day.
    let said = notes(&yard, "sell 1 9000 --paid cash --on 30/6/2026");
    assert!(!said.contains(CAUTION), "{said}");
}

/// Scrap Metal Dealers Act 2013 s.12 (from memory).
#[test]
fn scrap_is_not_paid_for_in_cash() {
    let scrap = |line: &str| {
        let yard = Yard::new("2026-11-25");
        yard.ok("buy KX42RTO 345 --on 1/9/2026");
        notes(&yard, line)
    };
    for line in ["dispose 1 scrapped --received 165 --paid cash", "dispose 1 broken --received 165 --paid cash"] {
        assert!(scrap(line).contains("Scrap Metal Dealers Act 2013 s.12"), "{line}");
    }
    for line in ["dispose 1 scrapped --received 165 --paid bank", "dispose 1 lost --received 165 --paid cash"] {
        assert!(!scrap(line).contains("may not be paid for in cash"), "{line}");
    }
    // The same money recorded on its own.
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 345 --on 1/9/2026");
    yard.ok("dispose 1 scrapped --on 10/9/2026");
    let said = notes(&yard, "receive 165 scrap-sold --car 1 --paid cash --on 12/9/2026");
    assert!(said.contains("may not be paid for in cash"), "{said}");
}
