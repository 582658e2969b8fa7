//! What helps to decide: the programme's score, the most to bid, the road ahead, what has paid.

use crate::common::{Yard, has_keys};
use serde_json::Value;

/// Three cars: one doubled, one sold short of it, one in stock.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3000 --on 1/8/2026",
        "programme set --cars 1 --budget 640 --multiple 2 --from aug 2026",
        "standing add rent 105 --every month --from 1/9/2026 --heading rent",
        "buy KX42RTO 420 --make Brindle --on 10/8/2026",
        "spend 55 parts --car 1 --on 12/8/2026",
        "sell 1 950 --on 1/9/2026",
        "buy AB91CDE 515 --make Brindle --on 5/9/2026",
        "spend 110 parts --car 2 --on 6/9/2026",
        "sell 2 1025 --on 5/10/2026",
        "buy ST99WEM 565 --make Pell --on 7/10/2026",
    ] {
        yard.ok(line);
    }
    yard
}

#[test]
fn the_programme_keeps_the_score() {
    let told = yard().json("programme");
    has_keys(&told, "report version as_of months run cars doubled average_return_pct profit_after_overheads next_slot");
    let months = told["months"].as_array().unwrap();
    has_keys(&months[0], "month planned bought sold budget spent multiple profit reached");
    assert_eq!(months.len(), 4);
    // By hand: 950 ÷ 475 = 2.00, reached; 1,025 ÷ 625 = 1.64, not; the third is unsold.
    let reached: Vec<&Value> = months.iter().map(|month| &month["reached"]).collect();
    assert_eq!(reached, [&Value::Bool(true), &Value::Bool(false), &Value::Null, &Value::Null]);
    assert_eq!((&months[0]["multiple"], &months[1]["multiple"]), (&2.0.into(), &1.64.into()));
    assert_eq!((&months[0]["budget"], &months[0]["spent"]), (&"640.00".into(), &"420.00".into()));
    // August, September and October are filled; November is not over.
    assert_eq!((&told["run"], &told["cars"], &told["doubled"]), (&3.into(), &3.into(), &1.into()));
    // (475 + 400) ÷ (475 + 625) = 79.55 %; 875 less three rents.
    assert_eq!(told["average_return_pct"], 79.55);
    assert_eq!(told["profit_after_overheads"], "560.00");
    // 3,000 − 420 − 55 + 950 − 515 − 110 + 1,025 − 565 − 315 = 2,995; a rent of 105 falls due in 30 days.
    let next = &told["next_slot"];
    has_keys(next, "month affordable float budget");
    assert_eq!(
        (&next["month"], &next["float"], &next["budget"]),
        (&"2026-11".into(), &"2995.00".into(), &"640.00".into())
    );
    assert_eq!(next["affordable"], true);
}

/// The next slot is affordable when the float less deposits, sellers, VAT and a month's standing costs
/// covers the budget: to the penny.
#[test]
fn the_next_slot_is_affordable_to_the_penny() {
    let yard = yard();
    yard.ok("draw 2250");
    assert_eq!(yard.json("programme")["next_slot"]["affordable"], true);
    yard.ok("draw 0.01");
    assert_eq!(yard.json("programme")["next_slot"]["affordable"], false);
    assert!(yard.ok("programme").out.contains("£0.01 short"), "{}", yard.ok("programme").out);
    yard.ok("undo");
    yard.ok("deposit 3 50");
    assert_eq!(yard.json("programme")["next_slot"]["affordable"], true, "the deposit came in and is kept back");
    yard.ok("spend 15 phone --overhead");
    assert_eq!(yard.json("programme")["next_slot"]["affordable"], false);
}

#[test]
fn setting_the_programme_keeps_what_is_not_said() {
    let yard = yard();
    let said = yard.ok("programme set --budget 720 --from dec 2026").out.replace('\n', " ");
    assert!(
        said.contains("from Dec 2026 on the programme is 1 car a month at up to £720.00, to sell at 2 times"),
        "{said}"
    );
    assert_eq!(yard.run("programme set").code, 2);
    assert_eq!(yard.run("programme set --budget 720 --from dec 2026").code, 1);
    assert_eq!(yard.run("programme set --multiple 0").code, 2);
    yard.ok("undo");
    assert_eq!(yard.json("programme --as-of 2026-12-20")["next_slot"]["budget"], "640.00");
}

#[test]
fn a_bid_holds_and_a_pound_more_does_not() {
    let yard = yard();
    let told = yard.json("bid --sells-for 1100 --prep 115");
    has_keys(&told, "highest_price fees prep selling_price vat_on_margin stands_in profit multiple basis");
    // By hand: 1,100 ÷ (435 + 115) = 2; at 436 it is 1.996….
    assert_eq!(told["highest_price"], "435.00");
    assert_eq!(told["profit"], "550.00");
    let told = yard.json("bid --sells-for 1100 --prep 115 --profit 385 --fee-percent 10 --fee 20");
    // 1,100 − 115 − 385 = 600 = P + P ÷ 10 + 20: P = 527.27…, so 527, fees 52.70 + 20.
    assert_eq!((&told["highest_price"], &told["fees"]), (&"527.00".into(), &"72.70".into()));
    // Own cars cost 55 and 110: the median is 82.50, and of the two one would have kept it.
    let told = yard.json("bid --sells-for 1100");
    assert_eq!((&told["prep"], &told["highest_price"]), (&"82.50".into(), &"467.00".into()));
    assert_eq!((&told["cars_looked_at"], &told["chance_pct"]), (&2.into(), &50.0.into()));
    assert!(told["basis"].as_str().unwrap().contains("your own 2 cars, £55.00 to £110.00"), "{}", told["basis"]);
}

#[test]
fn fees_come_from_a_file_or_a_saved_scale() {
    let yard = yard();
    let file = yard.folder().join("fees.txt");
    std::fs::write(&file, "# Marsh Lane\n0=45\n320=90\n").unwrap();
    let by_file = yard.json(&format!("bid --sells-for 1100 --prep 115 --fees {}", file.display()));
    // 550 to spend: 345 + 90 + 115.
    assert_eq!((&by_file["highest_price"], &by_file["fees"]), (&"345.00".into(), &"90.00".into()));
    yard.ok("settings set auction:\"Marsh Lane\" \"0=45 320=90\"");
    assert_eq!(yard.json("bid --sells-for 1100 --prep 115 --auction \"marsh lane\"")["highest_price"], "345.00");
    for refused in
        ["bid --sells-for 1100 --prep 115 --auction Nowhere", "bid --sells-for 1100 --prep 115 --fees nowhere.txt"]
    {
        assert_eq!(yard.run(refused).code, 1, "{refused}");
    }
    std::fs::write(&file, "0=many\n").unwrap();
    let ran = yard.run(&format!("bid --sells-for 1100 --prep 115 --fees {}", file.display()));
    assert!(
        ran.code == 1 && ran.err.contains("fees.txt' is not a scale of fees") && ran.err.contains("'many'"),
        "{}",
        ran.err
    );
    let fresh = Yard::new("2026-11-25");
    fresh.ok("pay-in 5");
    let ran = fresh.run("bid --sells-for 1100");
    assert!(ran.code == 1 && ran.err.contains("--prep AMOUNT"), "{}", ran.err);
}

#[test]
fn the_same_book_day_and_seed_give_the_same_forecast() {
    let yard = yard();
    let first = yard.ok("forecast --runs 300 --format json").out;
    assert_eq!(yard.ok("forecast --runs 300 --format json").out, first);
    assert_ne!(yard.ok("forecast --runs 300 --seed 2 --format json").out, first);
    let told = yard.json("forecast --runs 300 --months 3");
    has_keys(&told, "report version as_of months assumptions");
    let months = told["months"].as_array().unwrap();
    assert_eq!(months.len(), 3);
    for month in months {
        has_keys(month, "month float_p10 float_p50 float_p90 chance_slot_missed_pct expected_purchases expected_sales");
    }
    has_keys(&told["assumptions"][0], "name value from");
    let shown = yard.ok("forecast --runs 300").out;
    assert!(
        shown.contains("too few") || shown.contains("fewer than"),
        "fewer than five sold cars are said so: {shown}"
    );
    for refused in ["--months 0", "--months 61", "--runs 0", "--buying-day 32", "--past-cars 4"] {
        let ran = yard.run(&format!("forecast {refused}"));
        assert!(ran.code == 2 && ran.err.contains("write a whole number from"), "{refused}: {}", ran.err);
    }
}

/// A forecast can be reckoned by hand where nothing is left to chance: no car in stock, none to buy.
#[test]
fn without_cars_the_float_pays_the_rent() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 1000");
    yard.ok("standing add rent 100 --every month --from 1/12/2026 --heading rent");
    let told = yard.json("forecast --months 3 --cars 0 --runs 50 --draws 50");
    let floats: Vec<[&Value; 3]> = told["months"]
        .as_array()
        .unwrap()
        .iter()
        .map(|month| [&month["float_p10"], &month["float_p50"], &month["float_p90"]])
        .collect();
    // 1,000 − 50 drawn at the end of November; then a rent and 50 each month.
    assert_eq!(
        floats,
        [["950.00"; 3], ["800.00"; 3], ["650.00"; 3]]
            .map(|row| row.map(|text| Box::leak(Box::new(Value::from(text))) as &Value))
    );
}

#[test]
fn lessons_are_drawn_by_whatever_is_asked() {
    let yard = yard();
    let told = yard.json("lessons");
    assert_eq!((&told["report"], &told["by"]), (&"lessons".into(), &"make".into()));
    let group = &told["groups"][0];
    has_keys(
        group,
        "group cars profit return_pct median_days profit_per_100_per_30_days lowest_return_pct highest_return_pct warning",
    );
    assert_eq!((&group["group"], &group["cars"], &group["profit"]), (&"Brindle".into(), &2.into(), &"875.00".into()));
    assert!(group["warning"].is_string(), "two cars are too few to mean anything");
    for by in ["fuel", "source", "age", "mileage", "price", "heading", "fault"] {
        assert_eq!(yard.json(&format!("lessons --by {by}"))["by"], by);
    }
    assert_eq!(yard.run("lessons --by colour").code, 2);
}

#[test]
fn an_empty_slot_is_due_by_the_months_end_and_never_presses() {
    let yard = yard();
    let slot = |yard: &Yard| yard.json("due --kind slot")["items"].clone();
    assert_eq!((&slot(&yard)[0]["due_on"], &slot(&yard)[0]["kind"]), (&"2026-11-30".into(), &"slot".into()));
    yard.ok("buy UT48KEM 330 --mot-until 2027-08-01");
    assert_eq!(slot(&yard), Value::Array(Vec::new()));
    let without = Yard::new("2026-11-25");
    without.ok("pay-in 100");
    assert_eq!(without.json("due")["items"], Value::Array(Vec::new()), "no programme was set");
    without.ok("programme set --cars 2");
    assert!(without.json("due")["items"][0]["action"].as_str().unwrap().starts_with("2 slots of this month"));
    assert_eq!((without.run("due --check").code, without.run("due --check --kind slot").code), (0, 3));
}
