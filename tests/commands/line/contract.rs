//! The machine output others rely on: every key that was promised is there, in its form.

use crate::common::{Yard, has_keys};
use serde_json::Value;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 3000 --on 1/10/2026");
    yard.ok("buy KX42RTO 465 --on 3/10/2026 --from \"R Ashdown\" --mot-until 2026-12-06 --miles 82000");
    yard.ok("spend 35 labour --car 1 --usual 105 --on 4/10/2026 --paid cash");
    yard.ok("spend 12.50 phone --overhead --on 4/10/2026");
    yard.ok("hours 1 2h30 --on 4/10/2026");
    yard.ok("ask 1 985 --lowest 910 --on 5/10/2026");
    yard.ok("buy AB91CDE 345 --on 5/10/2026");
    yard.ok("sell 1 925 --on 20/10/2026 --to \"D Farrow\"");
    yard
}

fn looks(value: &Value, name: &str) {
    assert_eq!(value["report"], name);
    assert_eq!(value["version"], 1);
    assert_eq!(value["as_of"], "2026-11-25");
}

#[test]
fn stock() {
    let stock = yard().json("stock");
    looks(&stock, "stock");
    has_keys(&stock, "cars count stock_at_cost cash_tied_up average_days_in_stock");
    let car = &stock["cars"][0];
    has_keys(
        car,
        "stock_no mark description bought_on days_in_stock purchase_price costs income stands_in asking_price \
         lowest_price mot_until mot_days_left tax_until tax_status deposit_held flags",
    );
    assert_eq!(car["stock_no"], 2);
    assert_eq!(car["bought_on"], "2026-10-05");
    assert_eq!(car["days_in_stock"], 51);
    assert_eq!(car["tax_status"], "none");
    assert_eq!(car["asking_price"], Value::Null);
    assert_eq!(stock["average_days_in_stock"], 51.0);
    let flags = car["flags"].as_array().unwrap();
    for flag in ["mot-unknown", "over-30", "no-asking-price", "untaxed"] {
        assert!(flags.contains(&flag.into()), "{flags:?}");
    }
}

#[test]
fn car() {
    let car = yard().json("car 1");
    looks(&car, "car");
    has_keys(
        &car,
        "stock_no mark description bought_on days_in_stock purchase_price costs income stands_in asking_price \
         lowest_price mot_until mot_days_left tax_until tax_status deposit_held flags status lines sold_on \
         selling_price vat_on_margin vat_on_sale profit profit_to_date return_pct multiple profit_per_day \
         profit_per_100_per_30_days annual_return_pct profit_at_usual_prices hours profit_per_hour offers mot_tests checks",
    );
    has_keys(&car["lines"][0], "on entry direction heading amount usual_price party note");
    assert_eq!(car["status"], "sold");
    assert_eq!(car["stands_in"], "500.00");
    assert_eq!(car["profit"], "425.00");
    // 425 ÷ 500 = 85 %; 925 ÷ 500 = 1.85; 425 ÷ 17 days = 25; 425 ÷ 2.5 h = 170.
    assert_eq!(car["return_pct"], 85.0);
    assert_eq!(car["multiple"], 1.85);
    assert_eq!(car["profit_per_day"], "25.00");
    assert_eq!(car["profit_per_hour"], "170.00");
    assert_eq!(car["hours"], 2.5);
    // 100 × 30 × 425 ÷ (465 × 17 + 35 × 16) = 1,275,000 ÷ 8,465 = 150.6201…
    assert_eq!(car["profit_per_100_per_30_days"], "150.62");
    // With the labour at its usual 105 it stood in at 570.
    assert_eq!(car["profit_at_usual_prices"], "355.00");
    assert_eq!(car["annual_return_pct"], Value::Null);
}

#[test]
fn month() {
    let month = yard().json("month oct");
    looks(&month, "month");
    has_keys(
        &month,
        "month cars_sold sales_reversed cars_bought cars_disposed sales cost_of_cars_sold vat_on_margins gross_profit \
         disposal_losses after_sale_costs overheads overheads_total other_income profit average_return_pct mean_return_pct \
         median_return_pct mean_days_to_sell median_days_to_sell stock_at_cost average_stock_at_cost cash_tied_up \
         stock_turn gmroi profit_at_usual_prices money_in money_out bridge",
    );
    has_keys(
        &month["cars_sold"][0],
        "stock_no mark sold_on selling_price stands_in vat_on_margin profit return_pct multiple days_to_sell",
    );
    has_keys(&month["cars_bought"][0], "stock_no mark bought_on purchase_price");
    has_keys(
        &month["bridge"],
        "float_at_start profit stock_increase owed_by_buyers_increase owed_to_sellers_increase deposits_increase \
         vat_owed_increase paid_in drawn other float_at_end other_parts",
    );
    assert_eq!(month["month"], "2026-10");
    assert_eq!(month["overheads"], serde_json::json!([{"heading": "phone", "amount": "12.50"}]));
    assert_eq!(month["profit"], "412.50");
    assert_eq!(month["bridge"]["float_at_end"], "3067.50");
    assert_eq!(month["money_in"], "3925.00");
    assert_eq!(month["money_out"], "857.50");
}

#[test]
fn a_month_with_nothing_has_zero_sums_absent_averages_and_still_its_bridge() {
    let month = yard().json("month aug");
    assert_eq!(month["profit"], "0.00");
    for absent in ["average_return_pct", "mean_days_to_sell", "average_stock_at_cost", "stock_turn"] {
        assert_eq!(month[absent], Value::Null, "{absent}");
    }
    assert_eq!(month["bridge"]["float_at_end"], "0.00");
}

#[test]
fn results() {
    let results = yard().json("results");
    looks(&results, "results");
    has_keys(&results, "months total stock_turn days_sales_in_stock gmroi annual_return_pct");
    let keys = "cars_bought cars_sold sales gross_profit overheads_total profit average_return_pct mean_days_to_sell \
                cash_tied_up float_at_end";
    assert_eq!(results["months"].as_array().unwrap().len(), 12);
    has_keys(&results["months"][0], keys);
    has_keys(&results["total"], keys);
    assert_eq!(results["months"][0]["month"], "2025-12");
    assert_eq!(results["months"][11]["month"], "2026-11");
    assert_eq!(results["total"]["cars_bought"], 2);
}

#[test]
fn cash() {
    let cash = yard().json("cash");
    looks(&cash, "cash");
    has_keys(&cash, "float cash_in_hand bank cash_tied_up owed_by_buyers owed_to_sellers deposits_held vat_owed");
    assert_eq!(cash["float"], "3067.50");
    assert_eq!(cash["cash_in_hand"], "-35.00");
    assert_eq!(cash["cash_tied_up"], "345.00");
}

#[test]
fn csv_is_rfc_4180_with_a_header_and_machine_forms() {
    let yard = yard();
    let stock = yard.ok("stock -f csv").out;
    assert!(stock.ends_with("\r\n") && !stock.replace("\r\n", "").contains('\n'), "{stock:?}");
    let mut reader = csv::Reader::from_reader(stock.as_bytes());
    assert_eq!(reader.headers().unwrap().iter().next(), Some("stock_no"));
    assert_eq!(reader.records().count(), 1);
    let overheads = yard.ok("month oct -f csv --part overheads").out;
    assert_eq!(overheads, "heading,amount\r\nphone,12.50\r\n");
    let said = yard.run("month oct -f csv --part wheels");
    assert_eq!(said.code, 2);
    assert!(said.err.contains("'wheels'") && said.err.contains("overheads"), "{}", said.err);
    assert_eq!(yard.ok("cash -f csv").out.lines().count(), 2);
}

#[test]
fn text_a_spreadsheet_could_run_is_neutralised_in_csv_and_only_there() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 475 --make \"=1+1\" --model \"a,b\"");
    let csv = yard.ok("stock -f csv").out;
    assert!(csv.contains("\"'=1+1 a,b\""), "{csv}");
    assert_eq!(yard.json("stock")["cars"][0]["description"], "=1+1 a,b");
}
