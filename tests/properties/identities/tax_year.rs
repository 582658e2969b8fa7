//! The tax year: why the two profits differ, to the penny; every figure the sum of its lines; one year
//! beginning where the other ended.

use super::pence;
use crate::common::Yard;
use crate::history::{Dice, day, history_to};
use proptest::prelude::*;
use serde_json::Value;

const TODAY: &str = "2026-08-20";

/// What the histories seldom do: equipment bought, some of it on credit and some paid for ahead of its
/// bill; journeys; a cost paid in one year on a car bought in the next; stock worth less than it cost.
fn buys_equipment_and_drives(yard: &Yard, dice: &mut Dice) {
    yard.ok("settings set heading:plant capital");
    // The equipment put on a car needs one.
    yard.ok("buy YK46ZZZ 100 --on 2026-01-02");
    yard.ok(&format!("ask YK46ZZZ 95 --lowest {} --on 2026-03-01", dice.between(1, 95)));
    yard.ok("buy YK47ZZZ 430 --on 2026-04-09");
    yard.ok("spend 30 inspection --car YK47ZZZ --on 2026-04-03");
    let pounds = |dice: &mut Dice| {
        // Enough for the VAT that may be in it.
        let pence = 100 + dice.amount(900);
        format!("{}.{:02}", pence / 100, pence % 100)
    };
    for on in ["2026-01-20", "2026-03-30", "2026-04-05", "2026-04-06", "2026-06-30"] {
        let vat = if dice.chance(40) { " --vat 0.10" } else { "" };
        let whose = match dice.between(1, 4) {
            1 => "--overhead",
            2 => "--car YK46ZZZ",
            _ => "--overhead --unpaid --to \"Wold Plant\"",
        };
        yard.ok(&format!("spend {} plant {whose} --on {on}{vat}", pounds(dice)));
        yard.ok(&format!("spend {} phone --overhead --unpaid --to \"Wold Plant\" --on {on}", pounds(dice)));
        let miles = dice.between(1, 90_000);
        yard.ok(&format!("journey {}.{} to a sale --on {on}", miles / 10, miles % 10));
    }
    // The first may come before its bill; more than was ever billed is refused, and that is as well.
    for on in ["2026-01-10", "2026-04-03", "2026-07-01"] {
        let part = dice.between(1, 40_000);
        yard.run(&format!("spend {}.{:02} balance --to \"Wold Plant\" --on {on}", part / 100, part % 100));
    }
}

fn part(of: &Value, name: &str) -> i64 {
    let parts = of["identity"].as_array().expect("parts");
    parts.iter().find(|part| part["name"] == name).map(|part| pence(&part["amount"])).expect("a part of that name")
}

fn sum(lines: &Value, wanted: impl Fn(&str) -> bool) -> i64 {
    let lines = lines.as_array().expect("lines");
    lines.iter().filter(|line| wanted(line["counts_as"].as_str().unwrap())).map(|line| pence(&line["amount"])).sum()
}

fn boxes(basis: &Value, wanted: impl Fn(u32) -> bool) -> i64 {
    let boxes = basis["boxes"].as_array().expect("boxes");
    let number = |row: &&Value| row["box"].as_str().unwrap().parse::<u32>().unwrap();
    boxes.iter().filter(|row| wanted(number(row))).map(|row| pence(&row["amount"])).sum()
}

fn is_income(heading: &str) -> bool {
    ["sales", "other-income"].contains(&heading)
}

/// Each figure of a basis is the sum of its lines, and the boxes hold all of it.
fn is_the_sum_of_its_lines(basis: &Value, form: &str) {
    let of = |key: &str| pence(&basis[key]);
    assert_eq!(of("income"), sum(&basis["lines"], is_income), "{basis}");
    assert_eq!(of("expenses"), sum(&basis["lines"], |heading| !is_income(heading) && heading != "capital"), "{basis}");
    let (incomes, expenses, total, profit, loss) = match form {
        "SA103S" => (9..=10, 11..=19, 20, 21, 22),
        _ => (15..=16, 17..=30, 31, 47, 48),
    };
    assert_eq!(of("income"), boxes(basis, |number| incomes.contains(&number)), "{basis}");
    assert_eq!(of("expenses"), boxes(basis, |number| expenses.contains(&number)), "{basis}");
    assert_eq!(of("expenses"), boxes(basis, |number| number == total), "{basis}");
    let net = boxes(basis, |number| number == profit) - boxes(basis, |number| number == loss);
    assert_eq!(of("income") - of("expenses"), net, "{basis}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_two_profits_differ_by_what_is_named((seed, commands) in (any::<u64>().no_shrink(), 30..=70_usize)) {
        let history = history_to(seed, commands, day(TODAY));
        let yard = history.record();
        buys_equipment_and_drives(&yard, &mut Dice::new(!seed));
        let years = ["2024-25", "2025-26", "2026-27"].map(|year| yard.json(&format!("tax-year {year}")));
        let ends = ["2024-04-05", "2025-04-05", "2026-04-05", TODAY];
        let held = ends.map(|end| yard.json(&format!("cash --as-of {end}")));
        for (year, held) in years.iter().zip(held.windows(2)) {
            let (cash, traditional) = (&year["cash_basis"], &year["traditional"]);
            let difference = pence(&traditional["profit"]) - pence(&cash["profit"]);
            let parts: i64 = year["identity"].as_array().unwrap().iter().map(|part| pence(&part["amount"])).sum();
            prop_assert_eq!(parts, difference, "{}\nafter\n{}", &year["identity"], history.typed());
            prop_assert_eq!(pence(&year["difference"]), difference);
            // Each part is what it says, by what is held and owed at either end.
            let grown = |key: &str| pence(&held[1][key]) - pence(&held[0][key]);
            for (name, expected) in [
                ("stock at cost", grown("stock_at_cost")),
                ("owed by buyers", grown("owed_by_buyers")),
                ("owed to sellers", -grown("owed_to_sellers")),
                ("refunds owed", -grown("refunds_owed")),
                ("deposits held", -grown("deposits_held")),
                ("paid ahead", grown("paid_ahead")),
                ("cars kept", pence(&traditional["cars_kept"])),
                ("written down", -pence(&traditional["stock_written_down"])),
            ] {
                prop_assert_eq!(part(year, name), expected, "{} of {}\nafter\n{}", name, year, history.typed());
            }
            // Equipment is in neither profit, so bills for it are no part of the difference.
            let equipment = pence(&traditional["equipment"]) - sum(&cash["lines"], |heading| heading == "capital");
            prop_assert_eq!(part(year, "unpaid bills"), equipment - grown("unpaid_bills"), "{}", history.typed());
            // And the profit is the one of `month`, but for what is named.
            let named = pence(&traditional["equipment"]) - pence(&traditional["stock_written_down"]) - pence(&traditional["mileage"]);
            prop_assert_eq!(pence(&traditional["profit"]), pence(&traditional["book_profit"]) + named);
            let of = |key: &str| pence(&traditional[key]);
            let goods = of("opening_stock") + of("paid_ahead_at_start") + of("purchases") + of("costs_of_goods")
                - of("paid_ahead_at_end") - of("closing_stock");
            prop_assert_eq!(of("cost_of_goods"), goods);
            prop_assert_eq!(of("profit"), of("income") - of("expenses") + of("cars_kept"));
            for basis in [cash, traditional] {
                is_the_sum_of_its_lines(basis, year["form"].as_str().unwrap());
            }
        }
        // What the history received for a car before it came may be more than what was spent on one.
        prop_assert_ne!(pence(&years[1]["traditional"]["paid_ahead_at_end"]), 0);
        prop_assert!(pence(&years[1]["traditional"]["stock_written_down"]) > 0);
        for pair in years.windows(2) {
            prop_assert_eq!(&pair[0]["traditional"]["closing_stock"], &pair[1]["traditional"]["opening_stock"]);
            prop_assert_eq!(&pair[0]["traditional"]["paid_ahead_at_end"], &pair[1]["traditional"]["paid_ahead_at_start"]);
        }
    }
}
