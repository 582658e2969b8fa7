//! Recording: what is read back, what undo and amend do, what stays together.

use crate::common::Yard;
use serde_json::json;

#[test]
fn a_recording_answers_with_its_entry_and_what_the_car_stands_in_at() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42 RTO 445 --from \"R Ashdown\" --on 3/11");
    let spent = yard.json("spend £138.60 parts --car kx42rto --on yesterday");
    assert_eq!(spent["entry"], 2);
    assert_eq!(spent["command"], "spend");
    assert_eq!(spent["cars"], json!([{"stock_no": 1, "mark": "KX42 RTO", "stands_in": "583.60"}]));
    assert!(spent["summary"].as_str().unwrap().contains("24 Nov 2026"), "{spent}");
    assert!(spent["notes"].is_array());
    let said = yard.ok("hours 1 2h30").out;
    assert!(said.contains("undo 3"), "{said}");
}

#[test]
fn a_car_is_read_back_under_the_mark_of_the_day() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 485 --on 2026-10-01");
    yard.ok("mark 1 UT48KEM --on 2026-11-01");
    let mark = |day: &str| yard.json(&format!("undo --dry-run --as-of {day}"))["cars"][0]["mark"].clone();
    assert_eq!(yard.json("note 1 seen --dry-run")["cars"][0]["mark"], "UT48 KEM");
    assert_eq!(yard.json("note 1 seen --dry-run --as-of 2026-10-15")["cars"][0]["mark"], "KX42 RTO");
    // Not bought yet on that day, it goes by the mark it will be bought under.
    assert_eq!(mark("2026-09-15"), "KX42 RTO");
}

#[test]
fn a_dry_run_shows_the_same_and_keeps_nothing() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 455");
    let before = yard.dump();
    let tried = yard.json("spend 54.85 mot --car 1 --dry-run");
    assert_eq!(tried["cars"][0]["stands_in"], "509.85");
    assert_eq!(yard.dump(), before);
}

#[test]
fn undo_steps_back_and_an_undo_can_be_undone() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 475");
    yard.ok("spend 54.85 mot --car 1");
    yard.ok("spend 62 parts --car 1");
    yard.ok("undo");
    assert_eq!(yard.json("car 1")["stands_in"], "529.85");
    yard.ok("undo");
    assert_eq!(yard.json("car 1")["stands_in"], "475.00");
    yard.ok("undo 4");
    assert_eq!(yard.json("car 1")["stands_in"], "537.00");
    yard.ok("undo 5");
    assert_eq!(yard.json("car 1")["stands_in"], "591.85");
    yard.refused("undo 4");
}

#[test]
fn a_stock_number_is_never_given_twice() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 495");
    yard.ok("undo");
    assert_eq!(yard.json("buy AB91CDE 345")["cars"][0]["stock_no"], 2);
    yard.ok("undo 2");
    assert_eq!(yard.json("stock")["cars"][0]["stock_no"], 1);
    assert_eq!(yard.json("stock")["count"], 2);
}

#[test]
fn undo_names_the_entry_that_depends() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 515");
    yard.ok("spend 54.85 mot --car 1");
    yard.ok("amend 2 amount 52");
    let said = yard.refused("undo 2").err;
    assert!(said.contains("entry 3"), "{said}");
    let said = yard.refused("undo 1").err;
    assert!(said.contains("entry 2"), "{said}");
    yard.ok("settings set heading:dents goods");
    yard.ok("spend 15 dents --car 1");
    let said = yard.refused("undo 4").err;
    assert!(said.contains("entry 5"), "{said}");
}

#[test]
fn amending_a_price_paid_in_full_moves_the_money_with_it() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 1000 --on 1/11");
    yard.ok("buy KX42RTO 435 --on 3/11");
    yard.ok("amend 2 price 465");
    let cash = yard.json("cash");
    assert_eq!(cash["float"], "535.00");
    assert_eq!(cash["owed_to_sellers"], "0.00");
    yard.ok("buy AB91CDE 345 --on 4/11 --paid-amount 120");
    yard.ok("amend 4 price 360");
    assert_eq!(yard.json("cash")["owed_to_sellers"], "240.00");
}

#[test]
fn amending_a_day_moves_everything_the_entry_dated() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 535 --on 3/11 --miles 82000");
    yard.ok("amend 1 on 30/10");
    assert_eq!(yard.json("month oct")["cars_bought"][0]["bought_on"], "2026-10-30");
    assert_eq!(yard.json("month oct")["money_out"], "535.00");
    assert_eq!(yard.json("month nov")["money_out"], "0.00");
}

#[test]
fn a_shared_cost_is_shared_afresh_when_amended() {
    let yard = Yard::new("2026-11-25");
    for mark in ["KX42RTO", "AB91CDE", "TU98KLM"] {
        yard.ok(&format!("buy {mark} 330"));
    }
    yard.ok("spend 27.50 fuel --share 3,1,2");
    yard.ok("amend 4 amount 36.50");
    let parts: Vec<_> = (1..=3).map(|car| yard.json(&format!("car {car}"))["costs"].clone()).collect();
    assert_eq!(parts, ["12.17", "12.17", "12.16"]);
}

#[test]
fn what_was_not_said_when_buying_can_be_added() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 555 --on 3/11");
    for (field, value) in
        [("from", "R Ashdown"), ("make", "Brindle"), ("miles", "82,000"), ("mot-until", "2026-12-06"), ("year", "2012")]
    {
        yard.ok(&format!("amend 1 {field} \"{value}\""));
    }
    let car = &yard.json("stock")["cars"][0];
    assert_eq!(car["mot_until"], "2026-12-06");
    assert_eq!(car["mot_days_left"], 11);
    assert!(car["description"].as_str().unwrap().contains("Brindle"), "{car}");
}

#[test]
fn both_marks_of_a_car_find_it() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 575 --on 3/11");
    yard.ok("mark 1 A123ABC --on 5/11");
    for mark in ["KX42RTO", "a123 abc", "'A123 ABC'"] {
        assert_eq!(yard.json(&format!("car {mark}"))["stock_no"], 1, "{mark}");
    }
    assert_eq!(yard.json("stock")["cars"][0]["mark"], "A123 ABC");
}

#[test]
fn the_same_vehicle_bought_again_is_another_car() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 465 --on 3/10 --make Brindle");
    yard.ok("sell 1 935 --on 20/10");
    yard.ok("buy KX42RTO 420 --on 20/11");
    let car = yard.json("car KX42RTO");
    assert_eq!(car["stock_no"], 2);
    assert_eq!(car["purchase_price"], "420.00");
    assert!(car["description"].as_str().unwrap().contains("Brindle"));
    let said = yard.refused("amend 2 on 21/11").err;
    assert!(said.contains("entry 3"), "{said}");
}

#[test]
fn a_part_exchange_is_one_sale_and_one_purchase_at_full_value() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 1000 --on 1/11");
    yard.ok("buy KX42RTO 485 --on 3/11");
    let sold = yard.json("sell 1 975 --part-exchange AB91CDE=315 --on 10/11 --to \"D Farrow\"");
    assert_eq!(sold["cars"][1], json!({"stock_no": 2, "mark": "AB91 CDE", "stands_in": "315.00"}));
    let month = yard.json("month");
    // By hand: sold at 975, stood in at 485; the car taken in is stock at 315, and 660 came in: 1000 - 485 + 660.
    assert_eq!(month["profit"], "490.00");
    assert_eq!(month["stock_at_cost"], "315.00");
    assert_eq!(month["bridge"]["float_at_end"], "1175.00");
    assert_eq!(month["cars_bought"][1]["purchase_price"], "315.00");
    yard.refused("amend 4 price 325");
    yard.ok("undo");
    assert_eq!(yard.json("stock")["count"], 1);
}

#[test]
fn a_standing_rent_is_an_overhead_each_month_and_never_after_the_real_today() {
    let yard = Yard::new("2026-11-25");
    yard.ok("standing add rent 95 --every month --from 2026-09-30 --paid cash");
    yard.ok("standing change rent 100 --from 2026-11-01");
    yard.ok("standing skip rent --on 2026-10-30");
    let overheads = |month: &str| yard.json(&format!("month {month}"))["overheads_total"].clone();
    assert_eq!([overheads("sep"), overheads("oct"), overheads("nov")], ["95.00", "0.00", "0.00"]);
    assert_eq!(yard.json("cash --as-of 2027-03-31")["cash_in_hand"], "-95.00");
}

#[test]
fn the_same_bill_put_in_twice_is_asked_about_and_another_is_not() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 595 --on 1/10/2026");
    yard.ok("buy AB91CDE 345 --on 1/10/2026");
    yard.ok("spend 62.40 tyres --car 1 --on 5/11/2026");
    let note = "entry 3 is £62.40 on tyres for the same car and day";
    let told = |line: &str| yard.ok(&format!("{line} --dry-run")).err.contains(note);
    assert!(told("spend 62.40 tyres --car 1 --on 5/11/2026"));
    assert!(told("spend 62.40 tyres --car 1 --on 5/11/2026 --to \"Hob Lane Spares\""));
    for other in [
        "spend 62.41 tyres --car 1 --on 5/11/2026",
        "spend 62.40 parts --car 1 --on 5/11/2026",
        "spend 62.40 tyres --car 1 --on 6/11/2026",
        "spend 62.40 tyres --car 2 --on 5/11/2026",
        "spend 62.40 tyres --overhead --on 5/11/2026",
    ] {
        assert!(!told(other), "{other}");
    }
    // Two bills of two people are two bills.
    yard.ok("spend 15 parts --car 2 --to \"Hob Lane Spares\" --on 5/11/2026");
    assert!(!yard.ok("spend 15 parts --car 2 --to \"Mart Aske\" --on 5/11/2026").err.contains("same car and day"));
}

#[test]
fn a_usual_price_under_what_was_paid_is_told_and_how_to_put_it_right() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 615 --on 1/10/2026");
    let said = yard.ok("spend 48 labour --car 1 --usual 32").err;
    assert!(said.contains("the usual price £32.00 is less than the £48.00 paid"), "{said}");
    yard.ok("amend 2 usual 120");
    assert!(!yard.ok("spend 48 parts --car 1 --usual 48").err.contains("usual price"));
}

#[test]
fn undoing_what_was_amended_several_times_names_the_latest_amendment_and_following_it_gets_there() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 455 --on 1/10/2026");
    let before = yard.json("car 1");
    for line in ["amend 1 make Corvane", "amend 1 make Brindle", "amend 1 price 475", "undo 4", "amend 1 price 425"] {
        yard.ok(line);
    }
    let mut steps = 0;
    loop {
        let ran = yard.run("undo 1");
        if ran.code == 0 {
            break;
        }
        let named = ran.err.split("`runabout undo ").nth(1).and_then(|rest| rest.split('`').next()).unwrap().to_owned();
        yard.ok(&format!("undo {named}"));
        steps += 1;
    }
    assert_eq!(steps, 3, "each amendment that stands is named once, the latest first");
    assert!(yard.refused("car 1").err.contains("no car '1'"));
    let back = yard.json("log")["entries"][0]["entry"].as_i64().unwrap();
    yard.ok(&format!("undo {back}"));
    assert_eq!(yard.json("car 1"), before);
}

#[test]
fn the_same_test_put_in_twice_is_asked_about_and_a_retest_is_not() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 635 --on 1/10/2026 --mot-until 14/2/2027");
    assert!(!yard.ok("mot 1 fail --on 9/11/2026").err.contains("same test"));
    assert!(!yard.ok("mot 1 pass --on 9/11/2026").err.contains("same test"));
    let said = yard.ok("mot 1 pass --on 9/11/2026").err;
    assert!(said.contains("entry 3 is a pass on that day already"), "{said}");
    assert!(!said.contains("given up"), "{said}");
    assert!(!yard.ok("mot 1 pass --on 10/11/2026").err.contains("same test"));
}
