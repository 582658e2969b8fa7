//! `journey` and `tax-year` as typed.

use crate::common::{Yard, has_keys};
use serde_json::Value;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 9000 --on 1/3/2026",
        "buy KX42RTO 430 --on 10/3/2026",
        "spend 62 parts --car 1 --on 12/3/2026 --unpaid --to \"Hob Lane Spares\"",
        "sell 1 940 --on 20/4/2026 --paid-amount 735",
        "spend 62 balance --to \"hob lane spares\" --on 21/4/2026",
        "receive 150 balance --car 1 --on 1/5/2026",
        "write-off 1 55 --on 2/5/2026",
        "settings set heading:recovery-truck capital",
        "spend 4000 recovery-truck --overhead --on 3/5/2026",
        "standing add rent 105 --every month --from 1/10/2026 --heading rent",
        "buy AB91CDE 345 --on 4/5/2026",
        "dispose 2 kept --value 395 --on 5/6/2026",
        "buy ST99WEM 515 --on 6/6/2026",
        "ask 3 495 --lowest 445 --on 7/6/2026",
        "journey 42.5 \"to the auction and back\" --on 5/6/2026",
    ] {
        yard.ok(line);
    }
    yard
}

#[test]
fn the_keys_that_were_promised_are_there() {
    let told = yard().json("tax-year");
    has_keys(
        &told,
        "report version as_of tax_year from to complete form form_name cash_basis traditional difference identity \
         named_lines trading_allowance mileage stock_values register_by return_by",
    );
    assert_eq!(
        (&told["report"], &told["version"], &told["as_of"]),
        (&"tax-year".into(), &1.into(), &"2026-11-25".into())
    );
    assert_eq!(
        (&told["tax_year"], &told["form"], &told["complete"]),
        (&"2026-27".into(), &"SA103S".into(), &false.into())
    );
    has_keys(&told["cash_basis"], "income turnover other_income expenses profit boxes lines");
    has_keys(&told["cash_basis"]["boxes"][0], "box name amount");
    has_keys(&told["cash_basis"]["lines"][0], "on entry counts_as heading what amount");
    has_keys(
        &told["traditional"],
        "income turnover other_income opening_stock purchases costs_of_goods paid_ahead_at_start paid_ahead_at_end \
         closing_stock cost_of_goods expenses cars_kept profit book_profit stock_written_down equipment mileage boxes lines",
    );
    has_keys(&told["trading_allowance"], "amount usable better profit box");
    has_keys(&told["mileage"], "miles pence_a_mile pence_a_mile_after settled amount journeys");
}

/// Both ways by hand.
#[test]
fn a_year_comes_to_what_is_reckoned_by_hand() {
    let yard = yard();
    let told = yard.json("tax-year");
    let (cash, traditional) = (&told["cash_basis"], &told["traditional"]);
    // 735 + 150; 62 + 345 + 515 on goods, two rents, 42.5 miles at 45p = 19.13.
    assert_eq!(
        (&cash["income"], &cash["expenses"], &cash["profit"]),
        (&"885.00".into(), &"1151.13".into(), &"-266.13".into())
    );
    // 940 − (492 + 860 − 445 + 210 + 19.13) + 395.
    assert_eq!(traditional["opening_stock"], "492.00");
    assert_eq!((&traditional["purchases"], &traditional["closing_stock"]), (&"860.00".into(), &"445.00".into()));
    assert_eq!((&traditional["expenses"], &traditional["profit"]), (&"1136.13".into(), &"198.87".into()));
    // As `month` has it: 940 − 492 + 50 on the car kept − 210 − 4,000.
    assert_eq!(traditional["book_profit"], "-3712.00");
    let parts: Vec<String> = told["identity"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|part| part["amount"] != "0.00")
        .map(|part| format!("{} {}", part["name"].as_str().unwrap(), part["amount"].as_str().unwrap()))
        .collect();
    // Stock of 492 became 515.
    assert_eq!(
        parts,
        ["stock at cost 23.00", "written down -70.00", "unpaid bills 62.00", "cars kept 395.00", "written off 55.00"]
    );
    assert_eq!(told["difference"], "465.00");
    let named = |name: &str| {
        let lines = told["named_lines"].as_array().unwrap();
        let line = lines.iter().find(|line| line["name"] == name).unwrap_or_else(|| panic!("no {name}"));
        [&line["cash_basis"], &line["traditional"]].map(|amount| amount.as_str().unwrap_or("-").to_owned())
    };
    assert_eq!(named("equipment to keep"), ["4000.00", "4000.00"]);
    assert_eq!(named("cars kept for own use"), ["395.00", "395.00"]);
    assert_eq!(named("stock written down"), ["-", "70.00"]);
    assert_eq!(named("written off, never paid by buyers"), ["-", "55.00"]);
    assert_eq!(named("mileage at the flat rate"), ["19.13", "19.13"]);
    // The bill of March was no expense until April.
    let before = yard.json("tax-year 2025-26");
    assert_eq!(
        (&before["cash_basis"]["expenses"], &before["traditional"]["closing_stock"]),
        (&"430.00".into(), &"492.00".into())
    );
}

/// Every figure can be followed to its lines.
#[test]
fn every_list_is_a_part() {
    let yard = yard();
    let part = |name: &str| yard.ok(&format!("tax-year -f csv --part {name}")).out.replace("\r\n", "\n");
    assert_eq!(
        part("cash-income"),
        "on,entry,counts_as,heading,what,amount\n2026-04-20,4,sales,car sold,1 KX42 RTO,735.00\n\
         2026-05-01,6,sales,car sold,1 KX42 RTO,150.00\n"
    );
    assert!(
        part("cash-expenses").contains("2026-04-21,5,goods,parts,hob lane spares,62.00\n"),
        "{}",
        part("cash-expenses")
    );
    assert!(part("traditional-expenses").contains("2026-04-06,,goods,stock at the start,,492.00\n"));
    assert_eq!(part("equipment").lines().nth(1), Some("2026-05-03,9,capital,recovery-truck,,4000.00"));
    assert_eq!(part("journeys").lines().nth(1), Some("2026-06-05,15,42.50,to the auction and back,19.13"));
    assert_eq!(part("stock").lines().nth(2), Some("end,3,ST99 WEM,515.00,445.00,445.00,70.00"));
    assert_eq!(part("identity").lines().last(), Some("traditional,198.87"));
    assert!(part("boxes").starts_with("box,name,cash_basis,traditional\n9,turnover,885.00,940.00\n"));
    let ran = yard.run("tax-year -f csv --part wheels");
    assert!(ran.code == 2 && ran.err.contains("'wheels'") && ran.err.contains("cash-income"), "{}", ran.err);
}

#[test]
fn a_year_is_the_one_asked_for_and_has_begun() {
    let yard = yard();
    assert_eq!(yard.json("tax-year --as-of 2026-04-05")["tax_year"], "2025-26");
    assert_eq!(yard.json("tax-year --as-of 2026-04-06")["tax_year"], "2026-27");
    assert_eq!(yard.json("tax-year 2025/26")["complete"], true);
    assert_eq!(yard.run("tax-year 2027-28").code, 1);
    assert_eq!(yard.run("tax-year 2026").code, 2);
    // A year before the book: nothing, and no allowance before there was one.
    let told = yard.json("tax-year 2016-17");
    assert_eq!((&told["cash_basis"]["profit"], &told["trading_allowance"]), (&"0.00".into(), &Value::Null));
}

#[test]
fn the_cautions_are_said_where_they_apply() {
    let yard = yard();
    let said = yard.ok("tax-year").err;
    for words in
        ["Making Tax Digital", "not the filing", "check with HMRC guidance or an accountant", "never for cars in stock"]
    {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(!said.contains("VAT is left out"), "{said}");
    yard.ok("settings set vat-registered-from 2026-10-01");
    assert!(yard.ok("tax-year").err.contains("VAT is left out"));
    assert!(!yard.ok("tax-year 2025-26").err.contains("VAT is left out"));
}

#[test]
fn a_journey_is_recorded_put_right_and_undone() {
    let yard = yard();
    let said = yard.ok("journey 1,200 fetching a van --on 1 Jul --dry-run");
    assert!(said.err.contains("1,242.5 miles in 2026-27 now: £559.13"), "{}", said.err);
    assert_eq!(yard.json("tax-year")["mileage"]["miles"], 42.5);
    yard.ok("amend 15 miles 52.5");
    yard.ok("amend 15 purpose \"to the auction\"");
    yard.ok("amend 15 on 6/6/2026");
    let journey = &yard.json("tax-year")["mileage"]["journeys"][0];
    assert_eq!(
        (&journey["on"], &journey["miles"], &journey["purpose"], &journey["amount"]),
        (&"2026-06-06".into(), &52.5.into(), &"to the auction".into(), &"23.63".into())
    );
    assert!(yard.ok("log").out.contains("52.5 miles, was 42.5 miles"), "{}", yard.ok("log").out);
    assert_eq!(yard.refused("amend 15 car 1").code, 1);
    let before = yard.dump_except(&["entry", "history", "sqlite_sequence"]);
    yard.ok("journey 3 \"to the bank\"");
    yard.ok("undo");
    assert_eq!(yard.dump_except(&["entry", "history", "sqlite_sequence"]), before);
    for refused in
        ["journey 0 nowhere", "journey 12.55 x", "journey 10000 x", "journey 12", "journey 12 x --on 26/11/2026"]
    {
        yard.refused(refused);
    }
}

#[test]
fn a_closed_month_keeps_its_journeys() {
    let yard = yard();
    yard.ok("close jun 2026");
    for refused in ["journey 5 x --on 30/6/2026", "amend 15 miles 50", "undo 15"] {
        assert!(yard.refused(refused).err.contains("closed month"), "{refused}");
    }
    yard.ok("amend 15 purpose \"to the sale\"");
}

/// What is spent on a car for sale is stock, whatever its heading says of equipment.
#[test]
fn equipment_on_a_car_in_stock_is_part_of_its_cost() {
    let yard = yard();
    yard.ok("spend 110 recovery-truck --car 3 --on 8/6/2026");
    let told = yard.json("tax-year");
    assert_eq!(told["traditional"]["equipment"], "4000.00");
    assert_eq!(told["cash_basis"]["expenses"], "1261.13");
}

/// A part-exchange handed back is undone in kind; a refund comes off when it is paid.
#[test]
fn a_sale_taken_back_undoes_what_was_received() {
    let yard = Yard::new("2026-11-25");
    for line in [
        "buy KX42RTO 420 --on 1/5/2026",
        "sell 1 1035 --on 2/5/2026 --part-exchange AB91CDE=315 --to \"D Farrow\"",
        "take-back 1 --return-part-exchange --unpaid --on 3/5/2026",
    ] {
        yard.ok(line);
    }
    let cash = |yard: &Yard| {
        let told = yard.json("tax-year")["cash_basis"].clone();
        [told["income"].clone(), told["expenses"].clone()]
    };
    assert_eq!(cash(&yard), ["720.00", "420.00"]);
    yard.ok("spend 720 balance --car 1 --on 4/5/2026");
    assert_eq!(cash(&yard), ["0.00", "420.00"]);
    assert_eq!(yard.json("tax-year")["traditional"]["profit"], "0.00");
}

#[test]
fn the_unit_of_a_journey_is_no_part_of_what_it_was_for() {
    let yard = Yard::new("2026-11-25");
    assert!(yard.ok("journey 12 miles to the auction").out.contains("12 miles on 25 Nov 2026: to the auction"));
    assert!(yard.ok("journey 12 \"miles of hedges\"").out.contains(": miles of hedges"));
    yard.refused("journey 12 miles");
}
