//! Cars from an auction: the hammer price, and which of the fees belongs to the purchase price.

use super::{month, pence, shows};
use crate::common::Yard;
use serde_json::json;

/// A trader registered for VAT with £2,000 at the bank.
fn registered() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard
}

#[test]
fn a_fee_without_vat_belongs_to_the_price_the_margin_starts_from() {
    let yard = registered();
    yard.ok("buy KX42RTO 400 --via auction --auction \"Moor Lane\" --buyers-fee 115 --indemnity 25 --on 3/9/2026");
    // 400 + 115 = 515; with the indemnity of 25 it stands in at 540, all paid.
    shows(
        &yard.json("car 1"),
        &json!({"purchase_price": "515.00", "costs": "25.00", "stands_in": "540.00", "via": "auction",
            "hammer_price": "400.00", "buyers_fee": "115.00", "owed_to_seller": "0.00"}),
    );
    shows(&yard.json("cash"), &json!({"float": "1460.00"}));
    yard.ok("sell 1 875 --on 10/9/2026");
    // VAT (875 - 515) / 6 = 60: the 25 does not enter. 875 - 60 - 540 = 275.
    shows(
        &month(&yard, "sep"),
        &json!({"vat_on_margins": "60.00", "profit": "275.00", "cars_bought": [{"purchase_price": "515.00"}],
            "bridge": {"vat_owed_increase": "60.00", "float_at_end": "2335.00"}}),
    );
}

#[test]
fn a_fee_with_vat_shown_is_a_cost_and_its_vat_comes_back() {
    let yard = registered();
    yard.ok("buy KX42RTO 400 --via auction --auction \"Moor Lane\" --buyers-fee 120 --fee-vat 20 --on 3/9/2026");
    // 400, and 120 - 20 = 100 of fee: 500. 520 was paid, 20 of it comes back.
    shows(&yard.json("car 1"), &json!({"purchase_price": "400.00", "costs": "100.00", "stands_in": "500.00"}));
    shows(&yard.json("cash"), &json!({"float": "1480.00", "vat_owed": "-20.00"}));
    yard.ok("sell 1 880 --on 10/9/2026");
    // VAT (880 - 400) / 6 = 80; 880 - 80 - 500 = 300. VAT owed 80 - 20 = 60.
    shows(
        &month(&yard, "sep"),
        &json!({"vat_on_margins": "80.00", "profit": "300.00", "bridge": {"vat_owed_increase": "60.00", "float_at_end": "2360.00"}}),
    );
}

#[test]
fn the_fee_by_the_scale_saved_for_the_auction() {
    for (hammer, price) in [
        ("199.99", "289.99"), // 199.99 + 90
        ("200", "315.00"),    // 200 + 115
        ("999.99", "1114.99"),
        ("1000", "1140.00"),    // 40 and a tenth
        ("1234.55", "1398.01"), // 123.455 is 123.46: 1234.55 + 163.46
    ] {
        let yard = registered();
        yard.ok("settings set auction:\"Moor Lane\" \"0=90 200=115 1,000=40+10%\"");
        let bought = yard.json(&format!("buy KX42RTO {hammer} --auction \"moor lane\" --on 3/9/2026"));
        assert!(bought["notes"].to_string().contains("--buyers-fee"), "{bought}");
        shows(&yard.json("car 1"), &json!({"purchase_price": price, "via": "auction", "stands_in": price}));
    }
}

#[test]
fn a_scale_that_vat_is_added_to() {
    let yard = registered();
    yard.ok("settings set auction:moor-lane \"0=100 plus-vat\"");
    yard.ok("buy KX42RTO 400 --via auction --from \"Moor Lane\" --on 3/9/2026");
    // 100 + 20 of VAT paid; the car stands in at 400 + 100.
    shows(&yard.json("car 1"), &json!({"purchase_price": "400.00", "costs": "100.00", "stands_in": "500.00"}));
    shows(&yard.json("cash"), &json!({"float": "1480.00", "vat_owed": "-20.00"}));
}

#[test]
fn a_fee_that_is_typed_goes_before_the_scale() {
    let yard = registered();
    yard.ok("settings set auction:moor-lane \"0=90\"");
    yard.ok("buy KX42RTO 400 --auction \"Moor Lane\" --buyers-fee 60 --on 3/9/2026");
    shows(&yard.json("car 1"), &json!({"purchase_price": "460.00"}));
    yard.ok("buy JU48HVD 400 --auction \"Moor Lane\" --buyers-fee 0 --on 3/9/2026");
    shows(&yard.json("car 2"), &json!({"purchase_price": "400.00"}));
    // Another auction has no scale.
    yard.ok("buy TU98KLM 400 --auction \"Fell Side\" --on 3/9/2026");
    shows(&yard.json("car 3"), &json!({"purchase_price": "400.00"}));
}

#[test]
fn a_part_paid_auction_car_owes_the_fee_too() {
    let yard = registered();
    yard.ok("buy KX42RTO 400 --via auction --buyers-fee 115 --paid-amount 300 --on 3/9/2026");
    shows(&yard.json("car 1"), &json!({"owed_to_seller": "215.00"}));
    yard.ok("spend 215 balance --car 1 --on 4/9/2026");
    shows(&yard.json("cash"), &json!({"float": "1485.00", "owed_to_sellers": "0.00"}));
}

/// Whatever of the price is put right, the price is still the hammer price and the fee together.
#[test]
fn a_price_put_right_keeps_hammer_and_fee_in_step() {
    let yard = registered();
    yard.ok("buy KX42RTO 400 --via auction --buyers-fee 115 --on 3/9/2026");
    yard.ok("amend 3 price 420");
    let car = yard.json("car 1");
    assert_eq!(pence(&car["purchase_price"]), pence(&car["hammer_price"]) + pence(&car["buyers_fee"]), "{car:#}");
}
