//! Cars taken in as part payment.

use super::{month, shows, yard};
use serde_json::json;

#[test]
fn one_car_taken_in_and_sold_on() {
    let yard = yard();
    let sold = yard.json("sell 1 1150 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=200 --paid cash");
    shows(&sold, &json!({"cars": [{"stock_no": 1, "stands_in": "500.00"}, {"stock_no": 2, "stands_in": "200.00"}]}));
    // Sold for 1150 - stood in at 500 = 650, which is 130 % of 500 and 2.3 times; 20 - 3 = 17 days.
    // 1150 - 200 for his car = 950 in cash.
    // Per day 650 / 17 = 38.235; for each £100 and 30 days 3000 x 650 / (450 x 17 + 50 x 15 = 8400) = 232.142.
    shows(
        &yard.json("car 1"),
        &json!({"status": "sold", "sold_to": "D Farrow", "selling_price": "1150.00", "profit": "650.00",
            "return_pct": 130.0, "multiple": 2.3, "profit_per_day": "38.24", "owed_by_buyer": "0.00",
            "profit_per_100_per_30_days": "232.14", "days_in_stock": 17}),
    );
    shows(
        &yard.json("car JU48HVD"),
        &json!({"status": "in-stock", "stock_no": 2, "bought_on": "2026-09-20", "purchase_price": "200.00",
            "bought_from": "D Farrow", "via": "part-exchange", "stands_in": "200.00", "owed_to_seller": "0.00"}),
    );
    // Money in 2000 + 950; out 450 + 50. Float 0 + 650 - 200 in stock + 2000 paid in = 2450.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "1150.00", "cost_of_cars_sold": "500.00", "gross_profit": "650.00", "profit": "650.00",
            "average_return_pct": 130.0, "stock_at_cost": "200.00", "cash_tied_up": "200.00",
            "money_in": "2950.00", "money_out": "500.00",
            "cars_bought": [{"stock_no": 1, "purchase_price": "450.00"}, {"stock_no": 2, "purchase_price": "200.00"}],
            "bridge": {"float_at_start": "0.00", "stock_increase": "200.00", "float_at_end": "2450.00", "other_parts": []}}),
    );
    shows(&yard.json("cash"), &json!({"float": "2450.00", "cash_in_hand": "950.00", "bank": "1500.00"}));
    // His car in turn: 350 - 200 - 25 = 125 on 225 after 20 days.
    yard.ok("spend 25 valet --car 2 --on 1/10/2026");
    yard.ok("sell 2 350 --on 10/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "125.00", "stock_at_cost": "0.00", "average_return_pct": 55.56, "mean_days_to_sell": 20.0,
            "bridge": {"float_at_start": "2450.00", "stock_increase": "-200.00", "float_at_end": "2775.00"}}),
    );
}

#[test]
fn two_cars_taken_in_and_a_balance_left() {
    let yard = yard();
    yard.ok("sell 1 1500 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=300 --part-exchange TU98KLM=250 --paid-amount 800");
    // 1500 - 300 - 250 = 950 due, 800 paid, 150 owed. Float 2000 - 500 + 800 = 2300.
    // 0 + 1000 profit - 550 in stock - 150 owed + 2000 = 2300.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "1000.00", "average_return_pct": 200.0, "stock_at_cost": "550.00",
            "bridge": {"stock_increase": "550.00", "owed_by_buyers_increase": "150.00", "float_at_end": "2300.00"}}),
    );
    shows(
        &yard.json("stock"),
        &json!({"count": 2, "cars": [{"stock_no": 2}, {"stock_no": 3}], "stock_at_cost": "550.00"}),
    );
    shows(
        &yard.json("due --kind balance --as-of 2026-09-21"),
        &json!({"items": [{"kind": "balance", "stock_no": 1, "due_on": "2026-09-20", "days_left": -1}]}),
    );
    yard.ok("receive 150 balance --car 1 --on 2/10/2026");
    shows(&yard.json("due --kind balance"), &json!({"items": []}));
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "bridge": {"owed_by_buyers_increase": "-150.00", "float_at_end": "2450.00"}}),
    );
}

#[test]
fn a_dearer_car_taken_in_leaves_money_for_the_buyer() {
    let yard = yard();
    yard.ok("sell 1 600 --on 20/9/2026 --to \"D Farrow\" --part-exchange TU98KLM=900 --paid cash");
    // 600 - 500 = 100 made; 900 - 600 = 300 to him in cash. Float 2000 - 500 - 300 = 1200.
    // 0 + 100 - 900 + 2000 = 1200.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "100.00", "stock_at_cost": "900.00", "money_in": "2000.00", "money_out": "800.00",
            "bridge": {"stock_increase": "900.00", "owed_by_buyers_increase": "0.00", "float_at_end": "1200.00"}}),
    );
    shows(&yard.json("cash"), &json!({"cash_in_hand": "-300.00", "bank": "1500.00", "owed_by_buyers": "0.00"}));
}

#[test]
fn a_car_taken_in_with_finance_on_it() {
    let yard = yard();
    let sold = yard.json(
        "sell 1 1150 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=400 --part-exchange-finance JU48HVD=250",
    );
    assert!(sold["notes"].to_string().contains("runabout spend 250.00 balance --car 2"), "{sold}");
    // Of 400 allowed, 250 goes to his lender: 150 counts, 1150 - 150 = 1000 in money.
    // Float 2000 - 500 + 1000 = 2500; 0 + 650 - 400 + 250 owed + 2000 = 2500. Tied up 400 - 250 = 150.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "650.00", "stock_at_cost": "400.00", "cash_tied_up": "150.00",
            "bridge": {"owed_to_sellers_increase": "250.00", "owed_by_buyers_increase": "0.00", "float_at_end": "2500.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"purchase_price": "400.00", "stands_in": "400.00", "owed_to_seller": "250.00"}));
    yard.ok("spend 250 balance --car 2 --on 3/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "cash_tied_up": "400.00",
            "bridge": {"owed_to_sellers_increase": "-250.00", "float_at_end": "2250.00"}}),
    );
    shows(&yard.json("car 2"), &json!({"stands_in": "400.00", "owed_to_seller": "0.00"}));
}

#[test]
fn vat_on_the_margin_looks_at_the_full_price_and_at_the_allowance() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("sell 1 1150 --on 20/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=200");
    // (1150 - 450) / 6 = 116.666 = 116.67; 1150 - 116.67 - 500 = 533.33.
    // The car taken in cost 200: sold at 350 it holds (350 - 200) / 6 = 25 of VAT, and makes 125.
    yard.ok("sell 2 350 --on 25/9/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "1500.00", "vat_on_margins": "141.67", "gross_profit": "658.33", "profit": "658.33",
            "cars_sold": [{"vat_on_margin": "116.67", "profit": "533.33"}, {"vat_on_margin": "25.00", "profit": "125.00"}],
            "bridge": {"vat_owed_increase": "141.67", "stock_increase": "0.00", "float_at_end": "2800.00"}}),
    );
}
