//! Money owed either way: balances that never come, bills paid later, loans.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

/// The yard's car sold for £920 on 10 September, £735 of it paid.
fn part_paid() -> Yard {
    let yard = yard();
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\" --paid-amount 735");
    yard
}

#[test]
fn what_a_buyer_will_never_pay_stands_beside_the_profit() {
    let yard = part_paid();
    yard.ok("write-off 1 45 --on 20/9/2026");
    // Owed 920 - 735 - 45 = 140. Float 2235: 0 + 420 - 140 + 2000 - 45 written off = 2235.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "420.00", "written_off": "45.00", "profit_after_write_offs": "375.00", "sales": "920.00",
            "bridge": {"owed_by_buyers_increase": "140.00", "float_at_end": "2235.00",
                "other_parts": [{"name": "written off", "amount": "-45.00"}]}}),
    );
    shows(&yard.json("cash"), &json!({"owed_by_buyers": "140.00"}));
    shows(&yard.json("car 1"), &json!({"profit": "420.00", "written_off": "45.00", "owed_by_buyer": "140.00"}));
    yard.ok("write-off 1 140 --on 2/10/2026");
    // 2235 + 0 + 140 less owed - 140 = 2235.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "written_off": "140.00", "profit_after_write_offs": "-140.00",
            "bridge": {"owed_by_buyers_increase": "-140.00", "float_at_end": "2235.00"}}),
    );
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
}

#[test]
fn a_car_that_comes_back_brings_the_write_off_back() {
    let yard = part_paid();
    yard.ok("write-off 1 45 --on 20/9/2026");
    yard.ok("take-back 1 --on 5/10/2026");
    // The 140 lapses and the 45 is no loss any more: the sale it was part of is off.
    // 2235 - 420 - 500 + 140 + 45 = 1500 = 2235 - 735.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "-420.00", "written_off": "-45.00", "sales_reversed": [{"refund": "735.00", "kept_back": "0.00"}],
            "bridge": {"owed_by_buyers_increase": "-140.00", "stock_increase": "500.00", "float_at_end": "1500.00",
                "other_parts": [{"name": "written off", "amount": "45.00"}]}}),
    );
    shows(&yard.json("car 1"), &json!({"written_off": "0.00", "owed_by_buyer": "0.00"}));
}

#[test]
fn a_bill_paid_later() {
    let yard = yard();
    yard.ok("spend 85 parts --car 1 --unpaid --to \"Hob Lane Spares\" --on 20/9/2026");
    yard.ok("spend 15 storage --overhead --unpaid --to \"Hob Lane Spares\" --on 21/9/2026");
    // 0 - 15 - 585 in stock + 2000 + 100 unpaid = 1500: no money moved.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "-15.00", "stock_at_cost": "585.00", "money_out": "500.00",
            "bridge": {"other": "100.00", "other_parts": [{"name": "unpaid bills", "amount": "100.00"}], "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"unpaid_bills": "100.00", "owed_to_sellers": "0.00"}));
    yard.ok("spend 72 balance --to \"hob lane spares\" --on 2/10/2026 --paid cash");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"other_parts": [{"name": "unpaid bills", "amount": "-72.00"}], "float_at_end": "1428.00"}}),
    );
    shows(&yard.json("cash"), &json!({"unpaid_bills": "28.00", "cash_in_hand": "-72.00"}));
}

#[test]
fn money_borrowed_and_repaid_is_neither_paid_in_nor_drawn() {
    let yard = yard();
    yard.ok("pay-in 950 --loan \"Aunt Wyn\" --on 10/9/2026");
    // 0 - 500 + 2000 + 950 borrowed = 2450.
    shows(
        &month(&yard, "sep"),
        &json!({"bridge": {"paid_in": "2000.00", "other_parts": [{"name": "loans", "amount": "950.00"}], "float_at_end": "2450.00"}}),
    );
    yard.ok("draw 380 --loan \"aunt wyn\" --on 5/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"drawn": "0.00", "other_parts": [{"name": "loans", "amount": "-380.00"}], "float_at_end": "2070.00"}}),
    );
    shows(&yard.json("cash"), &json!({"loans": "570.00"}));
}

#[test]
fn a_seller_paid_in_parts_and_his_lender() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 870 --finance 280 --paid-amount 375 --from \"R Ashdown\" --on 3/9/2026");
    // 870 - 375 = 495 owed: 215 to the seller, 280 to the lender. 0 - 870 + 495 + 2000 = 1625; tied up 375.
    shows(
        &month(&yard, "sep"),
        &json!({"stock_at_cost": "870.00", "cash_tied_up": "375.00", "bridge": {"owed_to_sellers_increase": "495.00", "float_at_end": "1625.00"}}),
    );
    yard.ok("spend 495 balance --car 1 --on 5/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"cash_tied_up": "870.00", "bridge": {"owed_to_sellers_increase": "-495.00", "float_at_end": "1130.00"}}),
    );
}

#[test]
fn everything_of_a_month_at_once_still_ties() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("pay-in 520 --loan \"Aunt Wyn\" --on 6/9/2026");
    yard.ok("spend 60 parts --car 1 --vat 10 --unpaid --to \"Hob Lane Spares\" --on 6/9/2026");
    yard.ok("buy JU48HVD 345 --on 7/9/2026 --paid-amount 290");
    yard.ok("deposit 1 110 --by \"D Farrow\" --on 8/9/2026");
    yard.ok("sell 1 1040 --on 10/9/2026 --paid-amount 585 --part-exchange TU98KLM=315");
    yard.ok("write-off 1 15 --on 11/9/2026");
    yard.ok("dispose 2 kept --value 310 --on 12/9/2026");
    yard.ok("sell 3 495 --on 13/9/2026 --to \"P Lowther\"");
    yard.ok("take-back 3 --on 20/9/2026 --refund 465 --unpaid");
    // Car 1 stands in at 440 + 60 + 50 net = 550; VAT (1040 - 440) / 6 = 100; made 1040 - 100 - 550 = 390.
    // Car 2: 345 - 310 = 35 lost. Car 3: sold and back, 30 kept back, under its price of 315: no VAT.
    // Profit 390 - 35 + 30 = 385. Owed by D Farrow 1040 - 315 - 110 - 585 - 15 = 15.
    // VAT 100 - 10 = 90. Float 1500 + 520 - 290 + 110 + 585 + 495 = 2920.
    // 0 + 385 - 315 stock - 15 + 55 seller + 90 + 2000 - 310 kept + 60 bill + 520 loan + 465 refund - 15 = 2920.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "385.00", "disposal_losses": "35.00", "other_income": "30.00", "stock_at_cost": "315.00",
            "bridge": {"stock_increase": "315.00", "owed_by_buyers_increase": "15.00", "owed_to_sellers_increase": "55.00",
                "deposits_increase": "0.00", "vat_owed_increase": "90.00", "paid_in": "2000.00", "other": "720.00",
                "other_parts": [{"name": "cars kept", "amount": "-310.00"}, {"name": "unpaid bills", "amount": "60.00"},
                    {"name": "loans", "amount": "520.00"}, {"name": "refunds owed", "amount": "465.00"},
                    {"name": "written off", "amount": "-15.00"}], "float_at_end": "2920.00"}}),
    );
}
