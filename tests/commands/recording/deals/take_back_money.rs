//! Cars that come back: the money and the car taken in for them.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

/// The yard's car sold on 10 September for £920: £710 in money and JU48 HVD taken in at £210, which
/// has £36 put into it on the 20th and so stands in at £246.
fn sold_in_exchange() -> Yard {
    let yard = yard();
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=210");
    yard.ok("spend 36 tyres --car 2 --on 20/9/2026");
    yard
}

#[test]
fn his_own_car_goes_back() {
    let yard = sold_in_exchange();
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "420.00", "stock_at_cost": "246.00", "bridge": {"float_at_end": "2174.00"}}),
    );
    yard.ok("take-back 1 --on 5/10/2026 --return-part-exchange");
    // 710 in money back, the car back at 210 though it stands in at 246: 36 lost.
    // -920 + 500 - 36 = -456; stock 246 to 500; 2174 - 456 - 254 = 1464 = 2174 - 710.
    shows(
        &month(&yard, "oct"),
        &json!({"gross_profit": "-420.00", "disposal_losses": "36.00", "other_income": "0.00", "profit": "-456.00",
            "sales_reversed": [{"refund": "710.00", "kept_back": "0.00"}],
            "cars_disposed": [{"stock_no": 2, "mark": "JU48 HVD", "on": "2026-10-05", "how": "returned",
                "stands_in": "246.00", "value": "210.00", "received": "0.00", "loss": "36.00"}],
            "stock_at_cost": "500.00", "bridge": {"stock_increase": "254.00", "float_at_end": "1464.00", "other_parts": []}}),
    );
    shows(&yard.json("car 2"), &json!({"status": "returned", "left_on": "2026-10-05", "disposed_to": "D Farrow"}));
    shows(&yard.json("stock"), &json!({"cars": [{"stock_no": 1}]}));
    // He can bring it again.
    yard.ok("buy JU48HVD 325 --on 10/10/2026");
}

#[test]
fn his_own_car_is_sold_since_and_its_allowance_goes_back_in_money() {
    let yard = sold_in_exchange();
    yard.ok("sell 2 355 --on 25/9/2026");
    // 420 + 355 - 246 = 529. Float 2174 + 355 = 2529.
    shows(&month(&yard, "sep"), &json!({"profit": "529.00", "bridge": {"float_at_end": "2529.00"}}));
    yard.ok("take-back 1 --on 5/10/2026 --return-part-exchange");
    // 710 + 210 in money. 2529 - 420 - 500 = 1609 = 2529 - 920.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "-420.00", "disposal_losses": "0.00", "cars_disposed": [],
            "sales_reversed": [{"refund": "920.00", "kept_back": "0.00"}], "bridge": {"float_at_end": "1609.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"status": "sold", "profit": "109.00"}));
}

#[test]
fn unless_said_his_own_car_stays_and_its_allowance_is_kept_back() {
    let yard = sold_in_exchange();
    let back = yard.json("take-back 1 --on 5/10/2026");
    assert!(back["notes"].to_string().contains("--return-part-exchange"), "{back}");
    // 710 back; 210 kept back. -420 + 210 = -210; 2174 - 210 - 500 = 1464.
    shows(
        &month(&yard, "oct"),
        &json!({"other_income": "210.00", "profit": "-210.00", "stock_at_cost": "746.00",
            "sales_reversed": [{"refund": "710.00", "kept_back": "210.00"}], "bridge": {"float_at_end": "1464.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"status": "in-stock", "stands_in": "246.00"}));
}

#[test]
fn his_car_stays_and_all_of_its_worth_goes_back() {
    let yard = sold_in_exchange();
    yard.ok("take-back 1 --on 5/10/2026 --refund 920");
    shows(
        &month(&yard, "oct"),
        &json!({"other_income": "0.00", "profit": "-420.00", "bridge": {"float_at_end": "1254.00"}}),
    );
}

#[test]
fn a_dearer_car_goes_back_and_the_buyer_hands_the_difference_over() {
    let yard = yard();
    yard.ok("sell 1 640 --on 10/9/2026 --to \"D Farrow\" --part-exchange TU98KLM=925");
    yard.ok("take-back 1 --on 20/9/2026 --return-part-exchange");
    // 285 went to the buyer, 285 comes back: 1500 as before the sale.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "0.00", "stock_at_cost": "500.00", "sales_reversed": [{"refund": "-285.00"}],
            "cars_disposed": [{"how": "returned", "loss": "0.00"}], "bridge": {"float_at_end": "1500.00"}}),
    );
}

#[test]
fn one_of_two_cars_taken_in_is_still_there() {
    let yard = yard();
    yard.ok("sell 1 1040 --on 10/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=315 --part-exchange TU98KLM=235");
    yard.ok("sell 3 385 --on 12/9/2026");
    yard.ok("take-back 1 --on 20/9/2026 --return-part-exchange");
    // Money 490, and 235 for the one that is gone: 725. Float 1500 + 490 + 385 - 725 = 1650.
    // Made 385 - 235 = 150; 0 + 150 - 500 + 2000 = 1650.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "150.00", "sales_reversed": [{"refund": "725.00", "kept_back": "0.00"}],
            "cars_disposed": [{"stock_no": 2, "value": "315.00", "loss": "0.00"}], "bridge": {"float_at_end": "1650.00"}}),
    );
}

#[test]
fn a_refund_agreed_is_owed_until_it_is_paid() {
    let yard = yard();
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\"");
    let back = yard.json("take-back 1 --on 20/9/2026 --unpaid");
    assert!(back["notes"].to_string().contains("runabout spend 920.00 balance --car 1"), "{back}");
    // 0 + 0 - 500 + 2000 + 920 owed = 2420.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "0.00", "stock_at_cost": "500.00", "money_out": "500.00",
            "bridge": {"other": "920.00", "other_parts": [{"name": "refunds owed", "amount": "920.00"}], "float_at_end": "2420.00"}}),
    );
    shows(&yard.json("cash"), &json!({"refunds_owed": "920.00", "owed_to_sellers": "0.00", "owed_by_buyers": "0.00"}));
    shows(&yard.json("car 1"), &json!({"refund_owed": "920.00", "status": "in-stock"}));
    // Within 14 days beginning with the day it was agreed (Consumer Rights Act 2015 s.20(15)): 3 October.
    shows(
        &yard.json("due --kind balance --as-of 2026-09-25"),
        &json!({"items": [{"kind": "balance", "stock_no": 1, "due_on": "2026-10-03", "days_left": 8}]}),
    );
    yard.ok("spend 385 balance --car 1 --on 30/9/2026");
    shows(&yard.json("cash"), &json!({"refunds_owed": "535.00", "float": "2035.00"}));
    yard.ok("spend 535 balance --car 1 --on 2/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"other_parts": [{"name": "refunds owed", "amount": "-535.00"}], "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
}

#[test]
fn a_seller_and_a_buyer_owed_for_one_car_are_told_apart_by_name() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 475 --on 3/9/2026 --from \"R Ashdown\" --paid-amount 285");
    yard.ok("sell 1 915 --on 10/9/2026 --to \"D Farrow\"");
    yard.ok("take-back 1 --on 20/9/2026 --unpaid");
    yard.ok("spend 190 balance --car 1 --to \"R Ashdown\" --on 21/9/2026");
    shows(&yard.json("cash"), &json!({"owed_to_sellers": "0.00", "refunds_owed": "915.00"}));
    yard.ok("spend 915 balance --car 1 --on 22/9/2026");
    shows(&month(&yard, "sep"), &json!({"profit": "0.00", "bridge": {"float_at_end": "1525.00"}}));
}

#[test]
fn a_balance_lapses_and_a_deposit_goes_back_with_the_money() {
    let yard = yard();
    yard.ok("deposit 1 110 --by \"D Farrow\" --on 6/9/2026 --paid cash");
    yard.ok("sell 1 920 --on 10/9/2026 --paid-amount 415");
    yard.ok("receive 145 balance --car 1 --on 15/9/2026");
    // 920 - 110 - 415 - 145 = 250 still owed, lapses. Back: 110 + 415 + 145 = 670.
    shows(&yard.json("cash --as-of 2026-09-19"), &json!({"owed_by_buyers": "250.00", "float": "2170.00"}));
    yard.ok("take-back 1 --on 5/10/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "420.00", "bridge": {"owed_by_buyers_increase": "250.00", "float_at_end": "2170.00"}}),
    );
    // 2170 - 420 - 500 + 250 = 1500.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "-420.00", "other_income": "0.00", "sales_reversed": [{"refund": "670.00"}],
            "bridge": {"owed_by_buyers_increase": "-250.00", "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"owed_by_buyers": "0.00", "deposits_held": "0.00"}));
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
}

#[test]
fn nothing_was_paid_so_nothing_goes_back() {
    let yard = yard();
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\" --paid-amount 0");
    yard.ok("take-back 1 --on 20/9/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "0.00", "money_out": "500.00", "bridge": {"float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"owed_by_buyers": "0.00"}));
}
