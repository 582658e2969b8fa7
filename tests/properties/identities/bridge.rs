//! The bridge from profit to cash, months that follow one another, and parts that make the whole.

use super::pence;
use crate::history::{What, any_history, history};
use chrono::{Datelike, Months, NaiveDate};
use proptest::prelude::*;
use serde_json::Value;

/// The parts beside those every bridge has, in the order they are told.
const OTHER_PARTS: &[&str] = &["paid ahead", "cars kept", "unpaid bills", "loans", "refunds owed", "written off"];

/// A named other part of a bridge, nothing when it is not told.
fn part(bridge: &Value, name: &str) -> i64 {
    let parts = bridge["other_parts"].as_array().expect("parts");
    parts.iter().find(|part| part["name"] == name).map_or(0, |part| pence(&part["amount"]))
}

/// The value of the cars a month says the owner kept.
fn value_kept(month: &Value) -> i64 {
    let gone = month["cars_disposed"].as_array().expect("cars");
    gone.iter().filter(|car| car["how"] == "kept").map(|car| pence(&car["value"])).sum()
}

/// What the parts of a bridge say the float at its end is.
fn carried(bridge: &Value) -> i64 {
    let of = |key: &str| pence(&bridge[key]);
    let named: i64 = bridge["other_parts"].as_array().expect("parts").iter().map(|part| pence(&part["amount"])).sum();
    assert_eq!(named, of("other"), "the named parts are all of it: {bridge}");
    let names: Vec<&str> = OTHER_PARTS.iter().copied().filter(|name| part(bridge, name) != 0).collect();
    let told: Vec<&Value> = bridge["other_parts"].as_array().expect("parts").iter().map(|part| &part["name"]).collect();
    assert_eq!(told, names, "each once, none of nothing: {bridge}");
    of("float_at_start") + of("profit") - of("stock_increase") - of("owed_by_buyers_increase")
        + of("owed_to_sellers_increase")
        + of("deposits_increase")
        + of("vat_owed_increase")
        + of("paid_in")
        - of("drawn")
        + named
}

/// The months from before the history to its last, as typed.
fn months(today: NaiveDate) -> Vec<String> {
    let this = today.with_day(1).expect("a first");
    (0..=10).rev().map(|back| (this - Months::new(back)).format("%Y-%m").to_string()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Every month's profit is proved against the cash, each month begins where the one before
    /// ended, the months of `results` are those months, and its total is their sum.
    #[test]
    fn profit_is_proved_against_the_cash((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let yard = history.record();
        let months: Vec<Value> = months(history.today).iter().map(|month| yard.json(&format!("month {month}"))).collect();
        let mut float = 0;
        for month in &months {
            let bridge = &month["bridge"];
            prop_assert_eq!(carried(bridge), pence(&bridge["float_at_end"]), "{}\nafter\n{}", month, history.typed());
            prop_assert_eq!(pence(&bridge["float_at_start"]), float, "{}\nafter\n{}", month, history.typed());
            prop_assert_eq!(pence(&month["money_in"]) - pence(&month["money_out"]), pence(&bridge["float_at_end"]) - float);
            prop_assert_eq!(part(bridge, "written off"), -pence(&month["written_off"]), "{}", month);
            prop_assert_eq!(part(bridge, "cars kept"), -value_kept(month), "{}", month);
            let of = |key: &str| pence(&month[key]);
            prop_assert_eq!(of("gross_profit"), of("sales") - of("vat_on_sales") - of("cost_of_cars_sold"));
            let less = of("disposal_losses") + of("after_sale_costs") + of("overheads_total");
            prop_assert_eq!(of("profit"), of("gross_profit") - less + of("other_income"), "{}", month);
            float = pence(&bridge["float_at_end"]);
        }
        let cash = yard.json("cash");
        prop_assert_eq!(pence(&cash["float"]), float);
        // Month by month, what is held and owed grew from nothing to what it is.
        let grown = |increase: &dyn Fn(&Value) -> i64| months.iter().map(|month| increase(&month["bridge"])).sum::<i64>();
        for (name, held) in [("refunds owed", "refunds_owed"), ("unpaid bills", "unpaid_bills"), ("loans", "loans")] {
            prop_assert_eq!(grown(&|bridge| part(bridge, name)), pence(&cash[held]), "{}\nafter\n{}", name, history.typed());
        }
        for held in ["deposits", "owed_by_buyers", "owed_to_sellers", "vat_owed"] {
            let key = if held == "deposits" { "deposits_held" } else { held };
            let increase = format!("{held}_increase");
            prop_assert_eq!(grown(&|bridge| pence(&bridge[&increase])), pence(&cash[key]), "{}\nafter\n{}", key, history.typed());
        }
        prop_assert_eq!(pence(&cash["cash_in_hand"]) + pence(&cash["bank"]), float);

        let span = format!("results --from {} --to {}", months[0]["month"].as_str().unwrap(), months[10]["month"].as_str().unwrap());
        let results = yard.json(&span);
        let rows = results["months"].as_array().expect("months");
        prop_assert_eq!(rows.len(), months.len());
        for (row, month) in rows.iter().zip(&months) {
            for key in ["month", "sales", "gross_profit", "overheads_total", "profit", "average_return_pct", "mean_days_to_sell", "cash_tied_up"] {
                prop_assert_eq!(&row[key], &month[key], "{} of {}\nafter\n{}", key, row, history.typed());
            }
            prop_assert_eq!(&row["float_at_end"], &month["bridge"]["float_at_end"]);
            for key in ["cars_bought", "cars_sold"] {
                prop_assert_eq!(row[key].as_u64(), month[key].as_array().map(|cars| cars.len() as u64), "{}", key);
            }
        }
        for key in ["sales", "gross_profit", "overheads_total", "profit"] {
            let sum: i64 = rows.iter().map(|row| pence(&row[key])).sum();
            prop_assert_eq!(pence(&results["total"][key]), sum, "{}\nafter\n{}", key, history.typed());
        }
        prop_assert_eq!(&results["total"]["cash_tied_up"], &cash["cash_tied_up"]);
        prop_assert_eq!(&results["total"]["float_at_end"], &cash["float"]);
    }

    /// The lines a typed cost became add up to what was typed: amount, usual price and VAT, for
    /// one car or several.
    #[test]
    fn shared_costs_add_up((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let yard = history.record();
        let book = rusqlite::Connection::open(yard.book()).expect("the book opens");
        for (n, step) in history.steps.iter().enumerate() {
            let What::Spent { amount, usual, vat, .. } = &step.what else { continue };
            let (sum, usuals, vats): (i64, Option<i64>, i64) = book
                .query_row(
                    "SELECT sum(amount), sum(usual_price), sum(vat) FROM line WHERE entry_no = ?1",
                    [i64::try_from(n + 1).expect("few")],
                    |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
                )
                .expect("the lines of an entry");
            prop_assert_eq!((sum, usuals, vats), (*amount, *usual, *vat), "{}", step.line);
        }
    }
}
