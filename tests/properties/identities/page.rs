//! The page of any history can be read, its words stand clear of each other, and its bars add up.

use super::pence;
use crate::common::page_read::Page;
use crate::history::{any_history, history};
use proptest::prelude::*;
use serde_json::Value;

/// Money as the page shows it, in pence; what is not known is none.
fn shown(cell: &str) -> Option<i64> {
    (cell != "—").then(|| pence(&Value::from(cell)))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_drawn_adds_up((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let yard = history.record();
        let page = Page::read(&yard.ok("page").out);
        for row in page.table("cars") {
            let out: i64 = row[2..8].iter().filter_map(|cell| shown(cell)).sum();
            let income = shown(&row[8]).unwrap_or_default();
            prop_assert_eq!(Some(out - income), shown(&row[9]), "{:?}\nafter\n{}", row, history.typed());
            if let (Some(fetched), Some(vat), Some(profit)) = (shown(&row[10]), shown(&row[11]), shown(&row[12])) {
                prop_assert_eq!(out + vat + profit, income + fetched, "{:?}\nafter\n{}", row, history.typed());
            }
        }
        let results = yard.json("results");
        let months = results["months"].as_array().expect("months");
        let behind = page.table("months");
        // The page begins with the book; nothing came before.
        prop_assert_eq!(behind.last().expect("a total")[7].as_str(), results["total"]["profit"].as_str().expect("money"));
        let cost: i64 = months
            .iter()
            .map(|row| pence(&yard.json(&format!("month {}", row["month"].as_str().expect("a month")))["cost_of_cars_sold"]))
            .sum();
        let overheads = pence(&results["total"]["overheads_total"]);
        if cost != 0 || overheads != 0 {
            let spent = page.table("spent");
            let (total, rows) = spent.split_last().expect("a total");
            prop_assert_eq!(shown(&total[1]), Some(cost), "{:?}\nafter\n{}", &spent, history.typed());
            prop_assert_eq!(shown(&total[2]), Some(overheads));
            prop_assert_eq!(shown(&total[3]), Some(cost + overheads));
            prop_assert_eq!(rows.iter().filter_map(|row| shown(&row[1])).sum::<i64>(), cost);
        }
        for row in months.iter().rev().take(3) {
            let month = Page::read(&yard.ok(&format!("month {} --page", row["month"].as_str().expect("a month"))).out);
            let proof = month.words("#cash .said > p").join(" ");
            prop_assert!(proof.contains("Proved to the penny"), "{}\nafter\n{}", proof, history.typed());
        }
    }
}
