//! Cars taken in as part payment.

use super::{month, shows, yard};
use serde_json::json;

#[test]
fn one_car_taken_in_and_sold_on() {
    let yard = yard();
    let sold = yard.json("sell 1 1160 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=225 --paid cash");
    shows(&sold, &json!({"cars": [{"stock_no": 1, "stands_in": "500.00"}, {"stock_no": 2, "stands_in": "225.00"}]}));
    // Sold for 1160 - stood in at 500 = 660, which is 132 % of 500 and 2.32 times; 20 - 3 = 17 days.
    // 1160 - 225 for the car taken in = 935 in cash.
    // Per day 660 / 17 = 38.823; for each £100 and 30 days 3000 x 660 / (440 x 17 + 60 x 15 = 8380) = 236.276.
    shows(
        &yard.json("car 1"),
        &json!({"status": "sold", "sold_to": "D Farrow", "selling_price": "1160.00", "profit": "660.00",
            "return_pct": 132.0, "multiple": 2.32, "profit_per_day": "38.82", "owed_by_buyer": "0.00",
            "profit_per_100_per_30_days": "236.28", "days_in_stock": 17}),
    );
    shows(
        &yard.json("car JU48HVD"),
        &json!({"status": "in-stock", "stock_no": 2, "bought_on": "2026-09-20", "purchase_price": "225.00",
            "bought_from": "D Farrow", "via": "part-exchange", "stands_in": "225.00", "owed_to_seller": "0.00"}),
    );
    // Money in 2000 + 935; out 440 + 60. Float 0 + 660 - 225 in stock + 2000 paid in = 2435.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "1160.00", "cost_of_cars_sold": "500.00", "gross_profit": "660.00", "profit": "660.00",
            "average_return_pct": 132.0, "stock_at_cost": "225.00", "cash_tied_up": "225.00",
            "money_in": "2935.00", "money_out": "500.00",
            "cars_bought": [{"stock_no": 1, "purchase_price": "440.00"}, {"stock_no": 2, "purchase_price": "225.00"}],
            "bridge": {"float_at_start": "0.00", "stock_increase": "225.00", "float_at_end": "2435.00", "other_parts": []}}),
    );
    shows(&yard.json("cash"), &json!({"float": "2435.00", "cash_in_hand": "935.00", "bank": "1500.00"}));
    // The car taken in, in turn: 390 - 225 - 15 = 150 on 240 after 20 days.
    yard.ok("spend 15 valet --car 2 --on 1/10/2026");
    yard.ok("sell 2 390 --on 10/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "150.00", "stock_at_cost": "0.00", "average_return_pct": 62.5, "mean_days_to_sell": 20.0,
            "bridge": {"float_at_start": "2435.00", "stock_increase": "-225.00", "float_at_end": "2810.00"}}),
    );
}

#[test]
fn two_cars_taken_in_and_a_balance_left() {
    let yard = yard();
    yard.ok("sell 1 1480 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=315 --part-exchange TU98KLM=235 --paid-amount 785");
    // 1480 - 315 - 235 = 930 due, 785 paid, 145 owed. Float 2000 - 500 + 785 = 2285.
    // 0 + 980 profit - 550 in stock - 145 owed + 2000 = 2285.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "980.00", "average_return_pct": 196.0, "stock_at_cost": "550.00",
            "bridge": {"stock_increase": "550.00", "owed_by_buyers_increase": "145.00", "float_at_end": "2285.00"}}),
    );
    shows(
        &yard.json("stock"),
        &json!({"count": 2, "cars": [{"stock_no": 2}, {"stock_no": 3}], "stock_at_cost": "550.00"}),
    );
    shows(
        &yard.json("due --kind balance --as-of 2026-09-21"),
        &json!({"items": [{"kind": "balance", "stock_no": 1, "due_on": "2026-09-20", "days_left": -1}]}),
    );
    yard.ok("receive 145 balance --car 1 --on 2/10/2026");
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"owed_by_buyers_increase": "-145.00", "float_at_end": "2430.00"}}),
    );
}

#[test]
fn a_dearer_car_taken_in_leaves_money_for_the_buyer() {
    let yard = yard();
    yard.ok("sell 1 640 --on 20/9/2026 --to \"D Farrow\" --part-exchange TU98KLM=925 --paid cash");
    // 640 - 500 = 140 made; 925 - 640 = 285 to the buyer in cash. Float 2000 - 500 - 285 = 1215.
    // 0 + 140 - 925 + 2000 = 1215.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "140.00", "stock_at_cost": "925.00", "money_in": "2000.00", "money_out": "785.00",
            "bridge": {"stock_increase": "925.00", "owed_by_buyers_increase": "0.00", "float_at_end": "1215.00"}}),
    );
    shows(&yard.json("cash"), &json!({"cash_in_hand": "-285.00", "bank": "1500.00", "owed_by_buyers": "0.00"}));
}

#[test]
fn a_car_taken_in_with_finance_on_it() {
    let yard = yard();
    let sold = yard.json(
        "sell 1 1160 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=385 --part-exchange-finance JU48HVD=235",
    );
    assert!(sold["notes"].to_string().contains("runabout spend 235.00 balance --car 2"), "{sold}");
    // Of 385 allowed, 235 goes to the lender: 150 counts, 1160 - 150 = 1010 in money.
    // Float 2000 - 500 + 1010 = 2510; 0 + 660 - 385 + 235 owed + 2000 = 2510. Tied up 385 - 235 = 150.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "660.00", "stock_at_cost": "385.00", "cash_tied_up": "150.00",
            "bridge": {"owed_to_sellers_increase": "235.00", "owed_by_buyers_increase": "0.00", "float_at_end": "2510.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"purchase_price": "385.00", "stands_in": "385.00", "owed_to_seller": "235.00"}));
    yard.ok("spend 235 balance --car 2 --on 3/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "cash_tied_up": "385.00",
            "bridge": {"owed_to_sellers_increase": "-235.00", "float_at_end": "2275.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"stands_in": "385.00", "owed_to_seller": "0.00"}));
}

#[test]
fn vat_on_the_margin_looks_at_the_full_price_and_at_the_allowance() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("sell 1 1165 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=225");
    // (1165 - 440) / 6 = 120.833 = 120.83; 1165 - 120.83 - 500 = 544.17.
    // The car taken in cost 225: sold at 375 it holds (375 - 225) / 6 = 25 of VAT, and makes 125.
    yard.ok("sell 2 375 --on 25/9/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "1540.00", "vat_on_margins": "145.83", "gross_profit": "669.17", "profit": "669.17",
            "cars_sold": [{"vat_on_margin": "120.83", "profit": "544.17"}, {"vat_on_margin": "25.00", "profit": "125.00"}],
            "bridge": {"vat_owed_increase": "145.83", "stock_increase": "0.00", "float_at_end": "2815.00"}}),
    );
}
