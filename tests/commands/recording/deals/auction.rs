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
    yard.ok("buy KX42RTO 420 --via auction --auction \"Moor Lane\" --buyers-fee 110 --indemnity 20 --on 3/9/2026");
    // 420 + 110 = 530; with the indemnity of 20 it stands in at 550, all paid.
    shows(
        &yard.json("car 1"),
        &json!({"purchase_price": "530.00", "costs": "20.00", "stands_in": "550.00", "via": "auction",
            "hammer_price": "420.00", "buyers_fee": "110.00", "owed_to_seller": "0.00"}),
    );
    shows(&yard.json("cash"), &json!({"float": "1450.00"}));
    yard.ok("sell 1 890 --on 10/9/2026");
    // VAT (890 - 530) / 6 = 60: the 20 does not enter. 890 - 60 - 550 = 280.
    shows(
        &month(&yard, "sep"),
        &json!({"vat_on_margins": "60.00", "profit": "280.00", "cars_bought": [{"purchase_price": "530.00"}],
            "bridge": {"vat_owed_increase": "60.00", "float_at_end": "2340.00"}}),
    );
}

#[test]
fn a_fee_with_vat_shown_is_a_cost_and_its_vat_comes_back() {
    let yard = registered();
    yard.ok("buy KX42RTO 435 --via auction --auction \"Moor Lane\" --buyers-fee 120 --fee-vat 20 --on 3/9/2026");
    // 435, and 120 - 20 = 100 of fee: 535. 555 was paid, 20 of it comes back.
    shows(&yard.json("car 1"), &json!({"purchase_price": "435.00", "costs": "100.00", "stands_in": "535.00"}));
    shows(&yard.json("cash"), &json!({"float": "1445.00", "vat_owed": "-20.00"}));
    yard.ok("sell 1 915 --on 10/9/2026");
    // VAT (915 - 435) / 6 = 80; 915 - 80 - 535 = 300. VAT owed 80 - 20 = 60.
    shows(
        &month(&yard, "sep"),
        &json!({"vat_on_margins": "80.00", "profit": "300.00", "bridge": {"vat_owed_increase": "60.00", "float_at_end": "2360.00"}}),
    );
}

#[test]
fn the_fee_by_the_scale_saved_for_the_auction() {
    for (hammer, price) in [
        ("249.99", "324.99"), // 249.99 + 75
        ("250", "360.00"),    // 250 + 110
        ("999.99", "1109.99"),
        ("1000", "1145.00"),    // 45 and a tenth
        ("1234.55", "1403.01"), // 123.455 is 123.46: 1234.55 + 168.46
    ] {
        let yard = registered();
        yard.ok("settings set auction:\"Moor Lane\" \"0=75 250=110 1,000=45+10%\"");
        let bought = yard.json(&format!("buy KX42RTO {hammer} --auction \"moor lane\" --on 3/9/2026"));
        assert!(bought["notes"].to_string().contains("--buyers-fee"), "{bought}");
        shows(&yard.json("car 1"), &json!({"purchase_price": price, "via": "auction", "stands_in": price}));
    }
}

#[test]
fn a_scale_that_vat_is_added_to() {
    let yard = registered();
    yard.ok("settings set auction:moor-lane \"0=100 plus-vat\"");
    yard.ok("buy KX42RTO 455 --via auction --from \"Moor Lane\" --on 3/9/2026");
    // 100 + 20 of VAT paid; the car stands in at 455 + 100.
    shows(&yard.json("car 1"), &json!({"purchase_price": "455.00", "costs": "100.00", "stands_in": "555.00"}));
    shows(&yard.json("cash"), &json!({"float": "1425.00", "vat_owed": "-20.00"}));
}

#[test]
fn a_fee_that_is_typed_goes_before_the_scale() {
    let yard = registered();
    yard.ok("settings set auction:moor-lane \"0=75\"");
    yard.ok("buy KX42RTO 415 --auction \"Moor Lane\" --buyers-fee 55 --on 3/9/2026");
    shows(&yard.json("car 1"), &json!({"purchase_price": "470.00"}));
    yard.ok("buy JU48HVD 430 --auction \"Moor Lane\" --buyers-fee 0 --on 3/9/2026");
    shows(&yard.json("car 2"), &json!({"purchase_price": "430.00"}));
    // Another auction has no scale.
    yard.ok("buy TU98KLM 445 --auction \"Fell Side\" --on 3/9/2026");
    shows(&yard.json("car 3"), &json!({"purchase_price": "445.00"}));
}

#[test]
fn a_part_paid_auction_car_owes_the_fee_too() {
    let yard = registered();
    yard.ok("buy KX42RTO 425 --via auction --buyers-fee 110 --paid-amount 320 --on 3/9/2026");
    shows(&yard.json("car 1"), &json!({"owed_to_seller": "215.00"}));
    yard.ok("spend 215 balance --car 1 --on 4/9/2026");
    shows(&yard.json("cash"), &json!({"float": "1465.00", "owed_to_sellers": "0.00"}));
}

/// Whatever of the price is put right, the price is still the hammer price and the fee together.
#[test]
fn a_price_put_right_keeps_hammer_and_fee_in_step() {
    let yard = registered();
    yard.ok("buy KX42RTO 405 --via auction --buyers-fee 110 --on 3/9/2026");
    yard.ok("amend 3 price 425");
    let car = yard.json("car 1");
    assert_eq!(pence(&car["purchase_price"]), pence(&car["hammer_price"]) + pence(&car["buyers_fee"]), "{car:#}");
}
