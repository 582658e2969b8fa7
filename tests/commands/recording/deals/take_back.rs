//! Cars that come back from their buyers: what the month they come back in says.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

/// The yard's car, sold for £920 to D Farrow, in full, on 10 September.
fn sold() -> Yard {
    let yard = yard();
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\" --paid cash");
    yard
}

#[test]
fn back_in_the_month_it_was_sold() {
    let yard = sold();
    let back = yard.json("take-back 1 --on 15/9/2026 --paid cash --reason \"gearbox failed\"");
    shows(&back, &json!({"command": "take-back", "cars": [{"stock_no": 1, "stands_in": "500.00"}]}));
    // Sold and not sold: nothing made. 0 - 500 in stock + 2000 = 1500. In 2000 + 920; out 500 + 920.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "0.00", "cost_of_cars_sold": "0.00", "gross_profit": "0.00", "profit": "0.00",
            "cars_sold": [{"stock_no": 1, "selling_price": "920.00", "profit": "420.00", "reversed_on": "2026-09-15"}],
            "sales_reversed": [{"stock_no": 1, "mark": "KX42 RTO", "sold_on": "2026-09-10", "reversed_on": "2026-09-15",
                "selling_price": "920.00", "stands_in": "500.00", "vat_on_margin": "0.00", "profit": "420.00", "refund": "920.00"}],
            "average_return_pct": null, "mean_return_pct": null, "median_return_pct": null,
            "mean_days_to_sell": null, "median_days_to_sell": null, "stock_at_cost": "500.00",
            "money_in": "2920.00", "money_out": "1420.00", "bridge": {"float_at_end": "1500.00", "other_parts": []}}),
    );
    shows(
        &yard.json("car 1"),
        &json!({"status": "in-stock", "stands_in": "500.00", "sold_on": null, "profit": null, "owed_by_buyer": "0.00",
            "sales_reversed": [{"sold_on": "2026-09-10", "sold_to": "D Farrow", "selling_price": "920.00",
                "came_back_on": "2026-09-15", "refund": "920.00", "kept_back": "0.00", "reason": "gearbox failed"}]}),
    );
    // Before it came back, the month had a sale.
    shows(
        &month(&yard, "--as-of 2026-09-14"),
        &json!({"sales": "920.00", "profit": "420.00", "average_return_pct": 84.0, "sales_reversed": [],
            "cars_sold": [{"reversed_on": null}], "bridge": {"float_at_end": "2420.00"}}),
    );
}

#[test]
fn back_in_a_later_month_with_its_vat() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\"");
    yard.ok("take-back 1 --on 5/10/2026");
    // September: VAT (920 - 440) / 6 = 80; 920 - 80 - 500 = 340; float 2420.
    let september = month(&yard, "sep");
    shows(
        &september,
        &json!({"sales": "920.00", "vat_on_margins": "80.00", "profit": "340.00", "average_return_pct": 68.0,
            "sales_reversed": [], "bridge": {"vat_owed_increase": "80.00", "float_at_end": "2420.00"}}),
    );
    // October: all of it off again. 2420 - 340 - 500 into stock - 80 of VAT = 1500.
    shows(
        &month(&yard, "oct"),
        &json!({"sales": "-920.00", "vat_on_margins": "-80.00", "cost_of_cars_sold": "-500.00", "gross_profit": "-340.00",
            "profit": "-340.00", "cars_sold": [], "average_return_pct": null, "mean_days_to_sell": null,
            "sales_reversed": [{"sold_on": "2026-09-10", "reversed_on": "2026-10-05", "selling_price": "920.00",
                "stands_in": "500.00", "vat_on_margin": "80.00", "profit": "340.00", "refund": "920.00"}],
            "stock_at_cost": "500.00",
            "bridge": {"stock_increase": "500.00", "vat_owed_increase": "-80.00", "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"vat_owed": "0.00", "float": "1500.00"}));
}

#[test]
fn what_is_kept_back_is_other_income() {
    let yard = sold();
    yard.ok("take-back 1 --on 5/10/2026 --refund 855");
    // -920 + 500 + 65 kept = -355. 2420 - 355 - 500 = 1565.
    shows(
        &month(&yard, "oct"),
        &json!({"gross_profit": "-420.00", "other_income": "65.00", "profit": "-355.00",
            "other_income_lines": [{"on": "2026-10-05", "amount": "65.00"}],
            "sales_reversed": [{"refund": "855.00", "kept_back": "65.00"}], "bridge": {"float_at_end": "1565.00"}}),
    );
}

#[test]
fn what_is_kept_back_on_a_car_with_vat_in_its_price_holds_vat() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 480 --vat 80 --vat-invoice --on 3/9/2026");
    yard.ok("sell 1 960 --on 10/9/2026");
    // Stands in at 480 - 80 = 400. VAT in the full price 960 / 6 = 160; 960 - 160 - 400 = 400.
    // VAT owed 160 - 80 = 80. Float 2000 - 480 + 960 = 2480 = 400 + 80 + 2000.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "400.00", "vat_on_sales": "160.00", "bridge": {"vat_owed_increase": "80.00", "float_at_end": "2480.00"}}),
    );
    yard.ok("take-back 1 --on 5/10/2026 --refund 900");
    // 60 kept holds 10 of VAT: 50 of income. -960 + 160 + 400 + 50 = -350; VAT -160 + 10 = -150.
    // 2480 - 350 - 400 - 150 = 1580 = 2480 - 900.
    shows(
        &month(&yard, "oct"),
        &json!({"other_income": "50.00", "profit": "-350.00",
            "bridge": {"stock_increase": "400.00", "vat_owed_increase": "-150.00", "float_at_end": "1580.00"}}),
    );
}

#[test]
fn sold_again_after_two_stretches_in_stock() {
    let yard = sold();
    yard.ok("spend 12 fuel --car 1 --on 15/9/2026");
    yard.ok("take-back 1 --on 20/9/2026");
    yard.ok("spend 36 parts --car 1 --on 25/9/2026");
    // The 12 was spent while it was sold: an after-sale cost for good.
    // Float 1500 + 920 - 12 - 920 - 36 = 1452; 0 - 12 - 536 + 2000 = 1452.
    shows(
        &month(&yard, "sep"),
        &json!({"after_sale_costs": "12.00", "profit": "-12.00", "stock_at_cost": "536.00",
            "bridge": {"float_at_end": "1452.00"}}),
    );
    // In stock 3 to 10 and 20 to 25 September: 7 + 5 days.
    shows(&yard.json("car 1 --as-of 2026-09-25"), &json!({"days_in_stock": 12, "stands_in": "536.00"}));
    // Not in stock between.
    shows(&yard.json("stock --as-of 2026-09-19"), &json!({"count": 0}));
    yard.ok("sell 1 965 --on 10/10/2026 --to \"P Lowther\"");
    // 965 - 536 = 429 in 7 + 20 = 27 days, 80.037 %, 1.800 times; per day 15.888.
    // 440 x 27 + 60 x (5 + 20) + 36 x 15 = 13920; 3000 x 429 / 13920 = 92.456.
    shows(
        &yard.json("car 1"),
        &json!({"status": "sold", "days_in_stock": 27, "stands_in": "536.00", "profit": "429.00", "return_pct": 80.04,
            "multiple": 1.8, "profit_per_day": "15.89", "profit_per_100_per_30_days": "92.46",
            "sold_to": "P Lowther", "sales_reversed": [{"sold_to": "D Farrow"}]}),
    );
    shows(
        &month(&yard, "oct"),
        &json!({"sales": "965.00", "cost_of_cars_sold": "536.00", "profit": "429.00", "mean_days_to_sell": 27.0,
            "cars_sold": [{"days_to_sell": 27, "profit": "429.00"}], "sales_reversed": [],
            "bridge": {"float_at_start": "1452.00", "float_at_end": "2417.00"}}),
    );
    // And back once more: the first sale stays reversed.
    yard.ok("take-back 1 --on 20/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "stock_at_cost": "536.00", "bridge": {"float_at_end": "1452.00"}}),
    );
    assert_eq!(yard.json("car 1")["sales_reversed"].as_array().unwrap().len(), 2);
}

/// 7 days to 10 September and again from the 20th: the 30th day is 13 October, the 31st the 14th.
#[test]
fn a_cars_age_counts_the_days_it_was_in_stock() {
    let yard = sold();
    yard.ok("take-back 1 --on 20/9/2026");
    let flags = |day: &str| yard.json(&format!("stock --as-of {day}"))["cars"][0]["flags"].to_string();
    assert!(!flags("2026-10-13").contains("over-30"));
    assert!(flags("2026-10-14").contains("over-30"));
    shows(
        &yard.json("due --kind stock-age --as-of 2026-10-01"),
        &json!({"items": [{"stock_no": 1, "due_on": "2026-10-14"}]}),
    );
}

#[test]
fn the_dates_of_a_reversed_sale_go() {
    let yard = sold();
    let items = |day: &str| yard.json(&format!("due --kind rejection-window --as-of {day}"))["items"].clone();
    assert_eq!(items("2026-09-19").as_array().unwrap().len(), 1);
    yard.ok("take-back 1 --on 20/9/2026");
    assert_eq!(items("2026-09-21"), json!([]));
}

/// Telling DVLA that it is back in the trade is to be done as after a purchase.
#[test]
fn a_car_that_came_back_is_to_be_told_dvla() {
    let yard = sold();
    let items = |day: &str| yard.json(&format!("due --kind keeper-notice --as-of {day}"))["items"].clone();
    for item in items("2026-09-11").as_array().unwrap() {
        yard.ok(&format!("done {} --as-of 2026-09-11", item["number"]));
    }
    assert_eq!(items("2026-09-12"), json!([]));
    yard.ok("take-back 1 --on 20/9/2026");
    shows(&items("2026-09-21"), &json!([{"stock_no": 1, "due_on": "2026-09-20"}]));
}

#[test]
fn sold_and_taken_back_on_one_day_it_is_in_stock() {
    let yard = sold();
    yard.ok("take-back 1 --on 10/9/2026");
    yard.ok("spend 15 parts --car 1 --on 10/9/2026");
    shows(
        &yard.json("car 1 --as-of 2026-09-10"),
        &json!({"status": "in-stock", "stands_in": "515.00", "days_in_stock": 7}),
    );
    shows(&month(&yard, "sep"), &json!({"after_sale_costs": "0.00", "profit": "0.00", "stock_at_cost": "515.00"}));
}

#[test]
fn a_months_averages_are_those_of_the_sales_that_stood() {
    let yard = sold();
    yard.ok("buy JU48HVD 320 --on 8/9/2026");
    yard.ok("sell 2 480 --on 18/9/2026");
    yard.ok("take-back 1 --on 28/9/2026");
    // Only 480 - 320: 50 % in 10 days.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "480.00", "profit": "160.00", "average_return_pct": 50.0, "mean_return_pct": 50.0,
            "median_return_pct": 50.0, "mean_days_to_sell": 10.0}),
    );
}

#[test]
fn favours_on_a_reversed_sale_come_off_again() {
    let yard = yard();
    yard.ok("spend 15 parts --car 1 --usual 75 --on 6/9/2026");
    yard.ok("sell 1 920 --on 10/9/2026");
    yard.ok("take-back 1 --on 5/10/2026");
    // 920 - 515 = 405; without the favour of 60, 345. Both come off in October.
    shows(&month(&yard, "sep"), &json!({"profit": "405.00", "profit_at_usual_prices": "345.00"}));
    shows(&month(&yard, "oct"), &json!({"profit": "-405.00", "profit_at_usual_prices": "-345.00"}));
}
