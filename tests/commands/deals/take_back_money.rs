//! Cars that come back: the money and the car taken in for them.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

/// The yard's car sold on 10 September for £900: £700 in money and JU48 HVD taken in at £200, which
/// has £40 put into it on the 20th and so stands in at £240.
fn sold_in_exchange() -> Yard {
    let yard = yard();
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=200");
    yard.ok("spend 40 tyres --car 2 --on 20/9/2026");
    yard
}

#[test]
fn his_own_car_goes_back() {
    let yard = sold_in_exchange();
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "400.00", "stock_at_cost": "240.00", "bridge": {"float_at_end": "2160.00"}}),
    );
    yard.ok("take-back 1 --on 5/10/2026 --return-part-exchange");
    // 700 in money back, his car back at 200 though it stands in at 240: 40 lost.
    // -900 + 500 - 40 = -440; stock 240 to 500; 2160 - 440 - 260 = 1460 = 2160 - 700.
    shows(
        &month(&yard, "oct"),
        &json!({"gross_profit": "-400.00", "disposal_losses": "40.00", "other_income": "0.00", "profit": "-440.00",
            "sales_reversed": [{"refund": "700.00", "kept_back": "0.00"}],
            "cars_disposed": [{"stock_no": 2, "mark": "JU48 HVD", "on": "2026-10-05", "how": "returned",
                "stands_in": "240.00", "value": "200.00", "received": "0.00", "loss": "40.00"}],
            "stock_at_cost": "500.00", "bridge": {"stock_increase": "260.00", "float_at_end": "1460.00", "other_parts": []}}),
    );
    shows(&yard.json("car 2"), &json!({"status": "returned", "left_on": "2026-10-05", "disposed_to": "D Farrow"}));
    shows(&yard.json("stock"), &json!({"cars": [{"stock_no": 1}]}));
    // He can bring it again.
    yard.ok("buy JU48HVD 150 --on 10/10/2026");
}

#[test]
fn his_own_car_is_sold_since_and_its_allowance_goes_back_in_money() {
    let yard = sold_in_exchange();
    yard.ok("sell 2 350 --on 25/9/2026");
    // 400 + 350 - 240 = 510. Float 2160 + 350 = 2510.
    shows(&month(&yard, "sep"), &json!({"profit": "510.00", "bridge": {"float_at_end": "2510.00"}}));
    yard.ok("take-back 1 --on 5/10/2026 --return-part-exchange");
    // 700 + 200 in money. 2510 - 400 - 500 = 1610 = 2510 - 900.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "-400.00", "disposal_losses": "0.00", "cars_disposed": [],
            "sales_reversed": [{"refund": "900.00", "kept_back": "0.00"}], "bridge": {"float_at_end": "1610.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"status": "sold", "profit": "110.00"}));
}

#[test]
fn unless_said_his_own_car_stays_and_its_allowance_is_kept_back() {
    let yard = sold_in_exchange();
    let back = yard.json("take-back 1 --on 5/10/2026");
    assert!(back["notes"].to_string().contains("--return-part-exchange"), "{back}");
    // 700 back; 200 kept back. -400 + 200 = -200; 2160 - 200 - 500 = 1460.
    shows(
        &month(&yard, "oct"),
        &json!({"other_income": "200.00", "profit": "-200.00", "stock_at_cost": "740.00",
            "sales_reversed": [{"refund": "700.00", "kept_back": "200.00"}], "bridge": {"float_at_end": "1460.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"status": "in-stock", "stands_in": "240.00"}));
}

#[test]
fn his_car_stays_and_all_of_its_worth_goes_back() {
    let yard = sold_in_exchange();
    yard.ok("take-back 1 --on 5/10/2026 --refund 900");
    shows(
        &month(&yard, "oct"),
        &json!({"other_income": "0.00", "profit": "-400.00", "bridge": {"float_at_end": "1260.00"}}),
    );
}

#[test]
fn a_dearer_car_goes_back_and_the_buyer_hands_the_difference_over() {
    let yard = yard();
    yard.ok("sell 1 600 --on 10/9/2026 --to \"D Farrow\" --part-exchange TU98KLM=900");
    yard.ok("take-back 1 --on 20/9/2026 --return-part-exchange");
    // 300 went to him, 300 comes back: 1500 as before the sale.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "0.00", "stock_at_cost": "500.00", "sales_reversed": [{"refund": "-300.00"}],
            "cars_disposed": [{"how": "returned", "loss": "0.00"}], "bridge": {"float_at_end": "1500.00"}}),
    );
}

#[test]
fn one_of_two_cars_taken_in_is_still_there() {
    let yard = yard();
    yard.ok("sell 1 1000 --on 10/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=300 --part-exchange TU98KLM=250");
    yard.ok("sell 3 400 --on 12/9/2026");
    yard.ok("take-back 1 --on 20/9/2026 --return-part-exchange");
    // Money 450, and 250 for the one that is gone: 700. Float 1500 + 450 + 400 - 700 = 1650.
    // Made 400 - 250 = 150; 0 + 150 - 500 + 2000 = 1650.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "150.00", "sales_reversed": [{"refund": "700.00", "kept_back": "0.00"}],
            "cars_disposed": [{"stock_no": 2, "value": "300.00", "loss": "0.00"}], "bridge": {"float_at_end": "1650.00"}}),
    );
}

#[test]
fn a_refund_agreed_is_owed_until_it_is_paid() {
    let yard = yard();
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\"");
    let back = yard.json("take-back 1 --on 20/9/2026 --unpaid");
    assert!(back["notes"].to_string().contains("runabout spend 900.00 balance --car 1"), "{back}");
    // 0 + 0 - 500 + 2000 + 900 owed = 2400.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "0.00", "stock_at_cost": "500.00", "money_out": "500.00",
            "bridge": {"other": "900.00", "other_parts": [{"name": "refunds owed", "amount": "900.00"}], "float_at_end": "2400.00"}}),
    );
    shows(&yard.json("cash"), &json!({"refunds_owed": "900.00", "owed_to_sellers": "0.00", "owed_by_buyers": "0.00"}));
    shows(&yard.json("car 1"), &json!({"refund_owed": "900.00", "status": "in-stock"}));
    // Within 14 days beginning with the day it was agreed (Consumer Rights Act 2015 s.20(15)): 3 October.
    shows(
        &yard.json("due --kind balance --as-of 2026-09-25"),
        &json!({"items": [{"kind": "balance", "stock_no": 1, "due_on": "2026-10-03", "days_left": 8}]}),
    );
    yard.ok("spend 400 balance --car 1 --on 30/9/2026");
    shows(&yard.json("cash"), &json!({"refunds_owed": "500.00", "float": "2000.00"}));
    yard.ok("spend 500 balance --car 1 --on 2/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"other_parts": [{"name": "refunds owed", "amount": "-500.00"}], "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
}

#[test]
fn a_seller_and_a_buyer_owed_for_one_car_are_told_apart_by_name() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 450 --on 3/9/2026 --from \"R Ashdown\" --paid-amount 250");
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\"");
    yard.ok("take-back 1 --on 20/9/2026 --unpaid");
    yard.ok("spend 200 balance --car 1 --to \"R Ashdown\" --on 21/9/2026");
    shows(&yard.json("cash"), &json!({"owed_to_sellers": "0.00", "refunds_owed": "900.00"}));
    yard.ok("spend 900 balance --car 1 --on 22/9/2026");
    shows(&month(&yard, "sep"), &json!({"profit": "0.00", "bridge": {"float_at_end": "1550.00"}}));
}

#[test]
fn a_balance_lapses_and_a_deposit_goes_back_with_the_money() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 6/9/2026 --paid cash");
    yard.ok("sell 1 900 --on 10/9/2026 --paid-amount 400");
    yard.ok("receive 150 balance --car 1 --on 15/9/2026");
    // 900 - 100 - 400 - 150 = 250 still owed, lapses. Back: 100 + 400 + 150 = 650.
    shows(&yard.json("cash --as-of 2026-09-19"), &json!({"owed_by_buyers": "250.00", "float": "2150.00"}));
    yard.ok("take-back 1 --on 5/10/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "400.00", "bridge": {"owed_by_buyers_increase": "250.00", "float_at_end": "2150.00"}}),
    );
    // 2150 - 400 - 500 + 250 = 1500.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "-400.00", "other_income": "0.00", "sales_reversed": [{"refund": "650.00"}],
            "bridge": {"owed_by_buyers_increase": "-250.00", "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"owed_by_buyers": "0.00", "deposits_held": "0.00"}));
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
}

#[test]
fn nothing_was_paid_so_nothing_goes_back() {
    let yard = yard();
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\" --paid-amount 0");
    yard.ok("take-back 1 --on 20/9/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "0.00", "money_out": "500.00", "bridge": {"float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"owed_by_buyers": "0.00"}));
}
