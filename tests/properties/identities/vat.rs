//! The VAT account is proved by the returns: quarter after quarter, box 5 and the payments make what is owed.

use super::pence;
use crate::history::{any_history, history};
use proptest::prelude::*;
use serde_json::Value;

/// Quarters that cover a history, the last one running.
const QUARTERS: [(&str, &str); 4] = [
    ("2025-04-01", "2025-06-30"),
    ("2025-07-01", "2025-09-30"),
    ("2025-10-01", "2025-12-31"),
    ("2026-01-01", "2026-03-31"),
];

fn sum(rows: &Value, key: &str) -> i64 {
    rows.as_array().expect("rows").iter().map(|row| pence(&row[key])).sum()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Each quarter's account adds up and begins where the one before ended; its due is box 5 and what is listed; the
    /// last ends at the VAT owed that `cash` tells; and boxes 5 over all quarters are that and all that was paid.
    #[test]
    fn the_account_is_the_sum_of_the_returns((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let yard = history.record();
        let (mut owed, mut box_5, mut settled, mut unreturned) = (0, 0, 0, 0);
        for (from, to) in QUARTERS {
            let told = yard.json(&format!("vat --from {from} --to {to}"));
            let of = |key: &str| pence(&told["account"][key]);
            prop_assert_eq!(of("owed_at_start"), owed, "{}\nafter\n{}", told, history.typed());
            owed = of("owed_at_end");
            prop_assert_eq!(of("owed_at_start") + of("due") - of("paid") + of("repaid"), owed, "{}\nafter\n{}", told, history.typed());
            settled += of("paid") - of("repaid");
            let vat = sum(&told["cars"], "vat") + sum(&told["other_sales"], "vat");
            prop_assert_eq!(vat - sum(&told["purchases"], "vat"), of("due"));
            if told["boxes"].is_null() {
                prop_assert!(told["cars"].as_array().expect("cars").is_empty());
                unreturned += of("due");
                continue;
            }
            let numbered = |number: &str| pence(&told["boxes"][number]);
            // The difference, never negative, and whose it is.
            let sign = match told["box_5_owed_to"].as_str() {
                Some("hmrc") => 1,
                Some("trader") => -1,
                _ => 0,
            };
            prop_assert_eq!(numbered("5"), of("due").abs());
            prop_assert_eq!(sign, of("due").signum());
            box_5 += sign * numbered("5");
            prop_assert_eq!(numbered("1"), vat);
            prop_assert_eq!(numbered("6"), (sum(&told["cars"], "net") + sum(&told["other_sales"], "net")) / 100 * 100);
            prop_assert_eq!(numbered("7"), sum(&told["purchases"], "net") / 100 * 100);
            for car in told["cars"].as_array().expect("cars") {
                let margin = pence(&car["selling_price"]) - pence(&car["purchase_price"]);
                prop_assert_eq!(pence(&car["margin"]), margin);
                prop_assert_eq!(pence(&car["vat"]), (margin.max(0) + 3) / 6, "a sixth, half a penny up: {}", car);
            }
        }
        prop_assert_eq!(pence(&yard.json("cash")["vat_owed"]), owed, "\nafter\n{}", history.typed());
        prop_assert_eq!(box_5 + unreturned - settled, owed);
    }
}
