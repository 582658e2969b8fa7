//! Deals as they really happen, each worked through with its figures by hand: cars in exchange,
//! deposits, cars that come back, cars that never sell, bills and balances, auctions, cash.

mod auction;
mod cash_caution;
mod deposit;
mod disposal;
mod owed;
mod part_exchange;
mod take_back;
mod take_back_money;

use crate::common::Yard;
use serde_json::Value;

/// £2,000 paid in and one car bought at £440 with £60 of parts put into it: it stands in at £500,
/// and £1,500 is left at the bank.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 440 --on 3/9/2026 --from \"R Ashdown\"");
    yard.ok("spend 60 parts --car 1 --on 5/9/2026");
    yard
}

/// Checks that a report says all that is expected of it; what else it says is left alone. A list is
/// as long as expected.
fn shows(report: &Value, expected: &Value) {
    compare(report, expected, "", report);
}

fn compare(found: &Value, expected: &Value, at: &str, whole: &Value) {
    match (found, expected) {
        (Value::Object(found), Value::Object(expected)) => {
            for (key, value) in expected {
                let there = found.get(key).unwrap_or_else(|| panic!("no {at}/{key} in {whole:#}"));
                compare(there, value, &format!("{at}/{key}"), whole);
            }
        }
        (Value::Array(found), Value::Array(expected)) => {
            assert_eq!(found.len(), expected.len(), "{at} is as long as that in {whole:#}");
            for (n, (found, expected)) in found.iter().zip(expected).enumerate() {
                compare(found, expected, &format!("{at}/{n}"), whole);
            }
        }
        _ => assert_eq!(found, expected, "{at} in {whole:#}"),
    }
}

/// A month's report, once its bridge was added up from what it prints.
fn month(yard: &Yard, line: &str) -> Value {
    let report = yard.json(&format!("month {line}"));
    let bridge = &report["bridge"];
    let other: i64 = bridge["other_parts"].as_array().unwrap().iter().map(|part| pence(&part["amount"])).sum();
    assert_eq!(pence(&bridge["other"]), other, "{bridge:#}");
    let end = pence(&bridge["float_at_start"]) + pence(&bridge["profit"])
        - pence(&bridge["stock_increase"])
        - pence(&bridge["owed_by_buyers_increase"])
        + pence(&bridge["owed_to_sellers_increase"])
        + pence(&bridge["deposits_increase"])
        + pence(&bridge["vat_owed_increase"])
        + pence(&bridge["paid_in"])
        - pence(&bridge["drawn"])
        + other;
    assert_eq!(pence(&bridge["float_at_end"]), end, "the bridge of {line} does not tie: {bridge:#}");
    assert_eq!(bridge["profit"], report["profit"]);
    report
}

fn pence(money: &Value) -> i64 {
    money.as_str().expect("money").replace('.', "").parse().expect("money with two decimals")
}

/// What a recording says beside its summary.
fn notes(yard: &Yard, line: &str) -> String {
    yard.json(line)["notes"].to_string()
}

#[test]
fn a_cost_dated_after_the_sale_is_told_with_how_to_put_its_day_right() {
    let yard = yard();
    yard.ok("spend 27.50 fuel --car 1 --on 24/9/2026");
    let sold = yard.json("sell 1 920 --on 20/9/2026");
    let note = sold["notes"]
        .as_array()
        .unwrap()
        .iter()
        .find_map(|note| note.as_str().filter(|note| note.contains("after-sale")));
    assert!(note.unwrap().contains("£27.50") && note.unwrap().ends_with("`runabout amend 4 on DAY`"), "{sold}");
    yard.ok("amend 4 on 19/9/2026");
    assert_eq!(yard.json("car 1")["stands_in"], "527.50");
}
