//! Cars that come back from their buyers: what the month they come back in says.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

/// The yard's car, sold for £900 to D Farrow, in full, on 10 September.
fn sold() -> Yard {
    let yard = yard();
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\" --paid cash");
    yard
}

#[test]
fn back_in_the_month_it_was_sold() {
    let yard = sold();
    let back = yard.json("take-back 1 --on 15/9/2026 --paid cash --reason \"gearbox failed\"");
    shows(&back, &json!({"command": "take-back", "cars": [{"stock_no": 1, "stands_in": "500.00"}]}));
    // Sold and not sold: nothing made. 0 - 500 in stock + 2000 = 1500. In 2000 + 900; out 500 + 900.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "0.00", "cost_of_cars_sold": "0.00", "gross_profit": "0.00", "profit": "0.00",
            "cars_sold": [{"stock_no": 1, "selling_price": "900.00", "profit": "400.00", "reversed_on": "2026-09-15"}],
            "sales_reversed": [{"stock_no": 1, "mark": "KX42 RTO", "sold_on": "2026-09-10", "reversed_on": "2026-09-15",
                "selling_price": "900.00", "stands_in": "500.00", "vat_on_margin": "0.00", "profit": "400.00", "refund": "900.00"}],
            "average_return_pct": null, "mean_return_pct": null, "median_return_pct": null,
            "mean_days_to_sell": null, "median_days_to_sell": null, "stock_at_cost": "500.00",
            "money_in": "2900.00", "money_out": "1400.00", "bridge": {"float_at_end": "1500.00", "other_parts": []}}),
    );
    shows(
        &yard.json("car 1"),
        &json!({"status": "in-stock", "stands_in": "500.00", "sold_on": null, "profit": null, "owed_by_buyer": "0.00",
            "sales_reversed": [{"sold_on": "2026-09-10", "sold_to": "D Farrow", "selling_price": "900.00",
                "came_back_on": "2026-09-15", "refund": "900.00", "kept_back": "0.00", "reason": "gearbox failed"}]}),
    );
    // Before it came back, the month had a sale.
    shows(
        &month(&yard, "--as-of 2026-09-14"),
        &json!({"sales": "900.00", "profit": "400.00", "average_return_pct": 80.0, "sales_reversed": [],
            "cars_sold": [{"reversed_on": null}], "bridge": {"float_at_end": "2400.00"}}),
    );
}

#[test]
fn back_in_a_later_month_with_its_vat() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\"");
    yard.ok("take-back 1 --on 5/10/2026");
    // September: VAT (900 - 450) / 6 = 75; 900 - 75 - 500 = 325; float 2400.
    let september = month(&yard, "sep");
    shows(
        &september,
        &json!({"sales": "900.00", "vat_on_margins": "75.00", "profit": "325.00", "average_return_pct": 65.0,
            "sales_reversed": [], "bridge": {"vat_owed_increase": "75.00", "float_at_end": "2400.00"}}),
    );
    // October: all of it off again. 2400 - 325 - 500 into stock - 75 of VAT = 1500.
    shows(
        &month(&yard, "oct"),
        &json!({"sales": "-900.00", "vat_on_margins": "-75.00", "cost_of_cars_sold": "-500.00", "gross_profit": "-325.00",
            "profit": "-325.00", "cars_sold": [], "average_return_pct": null, "mean_days_to_sell": null,
            "sales_reversed": [{"sold_on": "2026-09-10", "reversed_on": "2026-10-05", "selling_price": "900.00",
                "stands_in": "500.00", "vat_on_margin": "75.00", "profit": "325.00", "refund": "900.00"}],
            "stock_at_cost": "500.00",
            "bridge": {"stock_increase": "500.00", "vat_owed_increase": "-75.00", "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("cash"), &json!({"vat_owed": "0.00", "float": "1500.00"}));
}

#[test]
fn what_is_kept_back_is_other_income() {
    let yard = sold();
    yard.ok("take-back 1 --on 5/10/2026 --refund 840");
    // -900 + 500 + 60 kept = -340. 2400 - 340 - 500 = 1560.
    shows(
        &month(&yard, "oct"),
        &json!({"gross_profit": "-400.00", "other_income": "60.00", "profit": "-340.00",
            "other_income_lines": [{"on": "2026-10-05", "amount": "60.00"}],
            "sales_reversed": [{"refund": "840.00", "kept_back": "60.00"}], "bridge": {"float_at_end": "1560.00"}}),
    );
}

#[test]
fn what_is_kept_back_on_a_car_with_vat_in_its_price_holds_vat() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 450 --vat 75 --vat-invoice --on 3/9/2026");
    yard.ok("sell 1 900 --on 10/9/2026");
    // Stands in at 450 - 75 = 375. VAT in the full price 900 / 6 = 150; 900 - 150 - 375 = 375.
    // VAT owed 150 - 75 = 75. Float 2000 - 450 + 900 = 2450 = 375 + 75 + 2000.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "375.00", "vat_on_sales": "150.00", "bridge": {"vat_owed_increase": "75.00", "float_at_end": "2450.00"}}),
    );
    yard.ok("take-back 1 --on 5/10/2026 --refund 840");
    // 60 kept holds 10 of VAT: 50 of income. -900 + 150 + 375 + 50 = -325; VAT -150 + 10 = -140.
    // 2450 - 325 - 375 - 140 = 1610 = 2450 - 840.
    shows(
        &month(&yard, "oct"),
        &json!({"other_income": "50.00", "profit": "-325.00",
            "bridge": {"stock_increase": "375.00", "vat_owed_increase": "-140.00", "float_at_end": "1610.00"}}),
    );
}

#[test]
fn sold_again_after_two_stretches_in_stock() {
    let yard = sold();
    yard.ok("spend 10 fuel --car 1 --on 15/9/2026");
    yard.ok("take-back 1 --on 20/9/2026");
    yard.ok("spend 30 parts --car 1 --on 25/9/2026");
    // The 10 was spent while it was sold: an after-sale cost for good.
    // Float 1500 + 900 - 10 - 900 - 30 = 1460; 0 - 10 - 530 + 2000 = 1460.
    shows(
        &month(&yard, "sep"),
        &json!({"after_sale_costs": "10.00", "profit": "-10.00", "stock_at_cost": "530.00",
            "bridge": {"float_at_end": "1460.00"}}),
    );
    // In stock 3 to 10 and 20 to 25 September: 7 + 5 days.
    shows(&yard.json("car 1 --as-of 2026-09-25"), &json!({"days_in_stock": 12, "stands_in": "530.00"}));
    // Not in stock between.
    shows(&yard.json("stock --as-of 2026-09-19"), &json!({"count": 0}));
    yard.ok("sell 1 950 --on 10/10/2026 --to \"P Lowther\"");
    // 950 - 530 = 420 in 7 + 20 = 27 days, 79.245 %, 1.792 times; per day 15.555.
    // 450 x 27 + 50 x (5 + 20) + 30 x 15 = 13850; 3000 x 420 / 13850 = 90.974.
    shows(
        &yard.json("car 1"),
        &json!({"status": "sold", "days_in_stock": 27, "stands_in": "530.00", "profit": "420.00", "return_pct": 79.25,
            "multiple": 1.79, "profit_per_day": "15.56", "profit_per_100_per_30_days": "90.97",
            "sold_to": "P Lowther", "sales_reversed": [{"sold_to": "D Farrow"}]}),
    );
    shows(
        &month(&yard, "oct"),
        &json!({"sales": "950.00", "cost_of_cars_sold": "530.00", "profit": "420.00", "mean_days_to_sell": 27.0,
            "cars_sold": [{"days_to_sell": 27, "profit": "420.00"}], "sales_reversed": [],
            "bridge": {"float_at_start": "1460.00", "float_at_end": "2410.00"}}),
    );
    // And back once more: the first sale stays reversed.
    yard.ok("take-back 1 --on 20/10/2026");
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "0.00", "stock_at_cost": "530.00", "bridge": {"float_at_end": "1460.00"}}),
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
    yard.ok("spend 20 parts --car 1 --on 10/9/2026");
    shows(
        &yard.json("car 1 --as-of 2026-09-10"),
        &json!({"status": "in-stock", "stands_in": "520.00", "days_in_stock": 7}),
    );
    shows(&month(&yard, "sep"), &json!({"after_sale_costs": "0.00", "profit": "0.00", "stock_at_cost": "520.00"}));
}

#[test]
fn a_months_averages_are_those_of_the_sales_that_stood() {
    let yard = sold();
    yard.ok("buy JU48HVD 200 --on 8/9/2026");
    yard.ok("sell 2 300 --on 18/9/2026");
    yard.ok("take-back 1 --on 28/9/2026");
    // Only 300 - 200: 50 % in 10 days.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "300.00", "profit": "100.00", "average_return_pct": 50.0, "mean_return_pct": 50.0,
            "median_return_pct": 50.0, "mean_days_to_sell": 10.0}),
    );
}

#[test]
fn favours_on_a_reversed_sale_come_off_again() {
    let yard = yard();
    yard.ok("spend 20 parts --car 1 --usual 80 --on 6/9/2026");
    yard.ok("sell 1 900 --on 10/9/2026");
    yard.ok("take-back 1 --on 5/10/2026");
    // 900 - 520 = 380; without the favour of 60, 320. Both come off in October.
    shows(&month(&yard, "sep"), &json!({"profit": "380.00", "profit_at_usual_prices": "320.00"}));
    shows(&month(&yard, "oct"), &json!({"profit": "-380.00", "profit_at_usual_prices": "-320.00"}));
}
