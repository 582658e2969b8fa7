//! Money owed either way: balances that never come, bills paid later, loans.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

/// The yard's car sold for £900 on 10 September, £700 of it paid.
fn part_paid() -> Yard {
    let yard = yard();
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\" --paid-amount 700");
    yard
}

#[test]
fn what_a_buyer_will_never_pay_stands_beside_the_profit() {
    let yard = part_paid();
    yard.ok("write-off 1 50 --on 20/9/2026");
    // Owed 900 - 700 - 50 = 150. Float 2200: 0 + 400 - 150 + 2000 - 50 written off = 2200.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "400.00", "written_off": "50.00", "profit_after_write_offs": "350.00", "sales": "900.00",
            "bridge": {"owed_by_buyers_increase": "150.00", "float_at_end": "2200.00",
                "other_parts": [{"name": "written off", "amount": "-50.00"}]}}),
    );
    shows(&yard.json("cash"), &json!({"owed_by_buyers": "150.00"}));
    shows(&yard.json("car 1"), &json!({"profit": "400.00", "written_off": "50.00", "owed_by_buyer": "150.00"}));
    yard.ok("write-off 1 150 --on 2/10/2026");
    // 2200 + 0 + 150 less owed - 150 = 2200.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "written_off": "150.00", "profit_after_write_offs": "-150.00",
            "bridge": {"owed_by_buyers_increase": "-150.00", "float_at_end": "2200.00"}}),
    );
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
}

#[test]
fn a_car_that_comes_back_brings_the_write_off_back() {
    let yard = part_paid();
    yard.ok("write-off 1 50 --on 20/9/2026");
    yard.ok("take-back 1 --on 5/10/2026");
    // The 150 lapses and the 50 is no loss any more: the sale it was part of is off.
    // 2200 - 400 - 500 + 150 + 50 = 1500 = 2200 - 700.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "-400.00", "written_off": "-50.00", "sales_reversed": [{"refund": "700.00", "kept_back": "0.00"}],
            "bridge": {"owed_by_buyers_increase": "-150.00", "stock_increase": "500.00", "float_at_end": "1500.00",
                "other_parts": [{"name": "written off", "amount": "50.00"}]}}),
    );
    shows(&yard.json("car 1"), &json!({"written_off": "0.00", "owed_by_buyer": "0.00"}));
}

#[test]
fn a_bill_paid_later() {
    let yard = yard();
    yard.ok("spend 80 parts --car 1 --unpaid --to \"Hob Lane Spares\" --on 20/9/2026");
    yard.ok("spend 20 storage --overhead --unpaid --to \"Hob Lane Spares\" --on 21/9/2026");
    // 0 - 20 - 580 in stock + 2000 + 100 unpaid = 1500: no money moved.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "-20.00", "stock_at_cost": "580.00", "money_out": "500.00",
            "bridge": {"other": "100.00", "other_parts": [{"name": "unpaid bills", "amount": "100.00"}], "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"unpaid_bills": "100.00", "owed_to_sellers": "0.00"}));
    yard.ok("spend 75 balance --to \"hob lane spares\" --on 2/10/2026 --paid cash");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"other_parts": [{"name": "unpaid bills", "amount": "-75.00"}], "float_at_end": "1425.00"}}),
    );
    shows(&yard.json("cash"), &json!({"unpaid_bills": "25.00", "cash_in_hand": "-75.00"}));
}

#[test]
fn money_borrowed_and_repaid_is_neither_paid_in_nor_drawn() {
    let yard = yard();
    yard.ok("pay-in 1000 --loan \"Aunt Wyn\" --on 10/9/2026");
    // 0 - 500 + 2000 + 1000 borrowed = 2500.
    shows(
        &month(&yard, "sep"),
        &json!({"bridge": {"paid_in": "2000.00", "other_parts": [{"name": "loans", "amount": "1000.00"}], "float_at_end": "2500.00"}}),
    );
    yard.ok("draw 400 --loan \"aunt wyn\" --on 5/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"drawn": "0.00", "other_parts": [{"name": "loans", "amount": "-400.00"}], "float_at_end": "2100.00"}}),
    );
    shows(&yard.json("cash"), &json!({"loans": "600.00"}));
}

#[test]
fn a_seller_paid_in_parts_and_his_lender() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 900 --finance 300 --paid-amount 400 --from \"R Ashdown\" --on 3/9/2026");
    // 900 - 400 = 500 owed: 200 to him, 300 to the lender. 0 - 900 + 500 + 2000 = 1600; tied up 400.
    shows(
        &month(&yard, "sep"),
        &json!({"stock_at_cost": "900.00", "cash_tied_up": "400.00", "bridge": {"owed_to_sellers_increase": "500.00", "float_at_end": "1600.00"}}),
    );
    yard.ok("spend 500 balance --car 1 --on 5/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"cash_tied_up": "900.00", "bridge": {"owed_to_sellers_increase": "-500.00", "float_at_end": "1100.00"}}),
    );
}

#[test]
fn everything_of_a_month_at_once_still_ties() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("pay-in 500 --loan \"Aunt Wyn\" --on 6/9/2026");
    yard.ok("spend 60 parts --car 1 --vat 10 --unpaid --to \"Hob Lane Spares\" --on 6/9/2026");
    yard.ok("buy JU48HVD 120 --on 7/9/2026 --paid-amount 70");
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 8/9/2026");
    yard.ok("sell 1 1050 --on 10/9/2026 --paid-amount 600 --part-exchange TU98KLM=300");
    yard.ok("write-off 1 20 --on 11/9/2026");
    yard.ok("dispose 2 kept --value 90 --on 12/9/2026");
    yard.ok("sell 3 480 --on 13/9/2026 --to \"P Lowther\"");
    yard.ok("take-back 3 --on 20/9/2026 --refund 450 --unpaid");
    // Car 1 stands in at 450 + 50 + 50 net = 550; VAT (1050 - 450) / 6 = 100; made 1050 - 100 - 550 = 400.
    // Car 2: 120 - 90 = 30 lost. Car 3: sold and back, 30 kept back, under its price of 300: no VAT.
    // Profit 400 - 30 + 30 = 400. Owed by D Farrow 1050 - 300 - 100 - 600 - 20 = 30.
    // VAT 100 - 10 = 90. Float 1500 + 500 - 70 + 100 + 600 + 480 = 3110.
    // 0 + 400 - 300 stock - 30 + 50 seller + 90 + 2000 - 90 kept + 60 bill + 500 loan + 450 refund - 20 = 3110.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "400.00", "disposal_losses": "30.00", "other_income": "30.00", "stock_at_cost": "300.00",
            "bridge": {"stock_increase": "300.00", "owed_by_buyers_increase": "30.00", "owed_to_sellers_increase": "50.00",
                "deposits_increase": "0.00", "vat_owed_increase": "90.00", "paid_in": "2000.00", "other": "900.00",
                "other_parts": [{"name": "cars kept", "amount": "-90.00"}, {"name": "unpaid bills", "amount": "60.00"},
                    {"name": "loans", "amount": "500.00"}, {"name": "refunds owed", "amount": "450.00"},
                    {"name": "written off", "amount": "-20.00"}], "float_at_end": "3110.00"}}),
    );
}
