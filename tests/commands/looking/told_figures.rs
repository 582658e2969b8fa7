//! What a figure means, wherever it is told: the same rule behind a note, a table and a page; nothing owed
//! counted as free, nothing short of a mark read as reached, nothing left out without a word.

use crate::common::Yard;
use crate::common::page_read::Page;
use serde_json::{Value, json};

fn yard(today: &str, lines: &[&str]) -> Yard {
    let yard = Yard::new(today);
    for line in lines {
        yard.ok(line);
    }
    yard
}

fn notes(yard: &Yard, line: &str) -> Vec<String> {
    yard.json(line)["notes"].as_array().unwrap().iter().map(|note| note.as_str().unwrap().to_owned()).collect()
}

#[test]
fn money_owed_to_anybody_is_not_free_for_the_next_slot() {
    let yard = yard(
        "2026-11-25",
        &[
            "programme set --cars 1 --budget 500 --from 2026-11",
            "pay-in 2000 --on 1/9/2026",
            "buy QX12RTO 480 --on 2/9/2026",
            "sell 1 860 --on 20/9/2026",
            "take-back 1 --on 10/11/2026 --unpaid",
            "spend 215 parts --overhead --to \"Tarn Tyres\" --unpaid --on 12/11/2026",
        ],
    );
    let next = yard.json("programme")["next_slot"].clone();
    // 2,000 − 480 + 860 = 2,380 in the float; 860 of it goes back, 215 is billed.
    assert_eq!(
        (&next["float"], &next["refunds_owed"], &next["unpaid_bills"]),
        (&json!("2380.00"), &json!("860.00"), &json!("215.00"))
    );
    assert_eq!(next["free"], "1305.00");
    let shown = yard.ok("programme").out;
    for line in ["Refunds owed to buyers", "-860.00", "Unpaid bills", "-215.00"] {
        assert!(shown.contains(line), "{line}: {shown}");
    }
    // The morning screen and the page say the same.
    assert_eq!(yard.json("")["next_slot"]["free"], "1305.00");
    assert!(Page::read(&yard.ok("page").out).words(".answers").join(" ").contains("£1,305.00 free"));
    yard.ok("spend 860 balance --car 1 --on 13/11/2026");
    yard.ok("spend 215 balance --to \"Tarn Tyres\" --on 13/11/2026");
    assert_eq!(yard.json("programme")["next_slot"]["free"], "1305.00");
}

#[test]
fn an_unpaid_bill_is_dated_by_the_oldest_that_no_payment_covers() {
    let yard = yard(
        "2026-11-25",
        &[
            "pay-in 900 --on 1/9/2026",
            "spend 84 tyres --overhead --to \"Tarn Tyres\" --unpaid --on 3/9/2026",
            "spend 84 balance --to \"TARN TYRES\" --on 10/9/2026",
            "spend 132 tyres --overhead --to \"Tarn Tyres\" --unpaid --on 5/11/2026",
            "spend 27.50 valet --overhead --to \"Tarn Tyres\" --unpaid --on 9/11/2026",
        ],
    );
    let items = |yard: &Yard| yard.json("due --kind balance")["items"].clone();
    let told = items(&yard);
    assert_eq!(told.as_array().unwrap().len(), 1, "{told:#}");
    assert_eq!((&told[0]["due_on"], &told[0]["subject"]), (&json!("2026-11-05"), &json!("Tarn Tyres")));
    assert!(told[0]["action"].as_str().unwrap().starts_with("£159.50 owed"), "{told:#}");
    yard.ok("spend 140 balance --to \"Tarn Tyres\" --on 12/11/2026");
    let told = items(&yard);
    assert_eq!(told[0]["due_on"], "2026-11-09");
    assert!(told[0]["action"].as_str().unwrap().starts_with("£19.50 owed"), "{told:#}");
    // As of a day before a payment it is as it was then.
    assert_eq!(yard.json("due --kind balance --as-of 2026-11-11")["items"][0]["due_on"], "2026-11-05");
    yard.ok("spend 19.50 balance --to \"Tarn Tyres\" --on 13/11/2026");
    assert_eq!(items(&yard), json!([]));
}

#[test]
fn a_gain_on_leaving_is_called_a_gain_everywhere() {
    let yard = yard(
        "2026-11-25",
        &["pay-in 2000 --on 1/9/2026", "buy QX12RTO 320 --on 2/10/2026", "buy QX13RTO 350 --on 3/10/2026"],
    );
    let said = notes(&yard, "dispose 1 scrapped --received 362 --on 20/10/2026");
    assert!(said.contains(&"made £42.00 on the £320.00 it stood in at".to_owned()), "{said:?}");
    let car = yard.ok("car 1").out;
    assert!(car.contains("making £42.00") && car.contains("Gain"), "{car}");
    assert!(!car.contains("Loss"), "{car}");
    let month = yard.ok("month oct").out;
    assert!(month.contains("Gains on cars that left without a sale") && month.contains(" 42.00"), "{month}");
    assert!(!month.contains("Loss") && !month.contains("-42.00"), "{month}");
    let page = Page::read(&yard.ok("month oct --page").out);
    assert!(page.words("#made").join(" ").contains("Gains on cars that left without a sale"));
    assert_eq!(yard.json("month oct")["cars_disposed"][0]["loss"], "-42.00");
    // One of each: both by name.
    let said = notes(&yard, "dispose 2 scrapped --received 350 --on 21/10/2026");
    assert!(said.contains(&"made nothing and lost nothing on the £350.00 it stood in at".to_owned()), "{said:?}");
    yard.ok("spend 61 transport --car 2 --on 22/10/2026");
    let month = yard.ok("month oct").out;
    assert!(month.contains("Gain, or loss (-)") && month.contains("Losses on cars that left"), "{month}");
}

/// The note asks the rule that the figure asks, of the very line recorded: on the day of a disposal a cost is
/// what the car stood in at, money that comes in is what the disposal brought, whichever came first.
#[test]
fn a_line_of_the_day_a_car_left_is_told_as_it_counts() {
    let bought = ["pay-in 2000 --on 1/9/2026", "buy QX12RTO 320 --on 2/10/2026"];
    let yard = yard("2026-11-25", &bought);
    yard.ok("dispose 1 scrapped --received 180 --on 20/10/2026");
    assert_eq!(notes(&yard, "spend 36 transport --car 1 --on 20/10/2026"), Vec::<String>::new());
    assert_eq!(yard.json("car 1")["stands_in"], "356.00");
    let said = notes(&yard, "receive 15 parts-sold --car 1 --on 20/10/2026").join(" ");
    assert!(said.contains("counts with what its disposal came to"), "{said}");
    let said = notes(&yard, "spend 12.80 transport --car 1 --on 21/10/2026").join(" ");
    assert!(said.contains("counts with what its disposal came to"), "{said}");
    assert_eq!(yard.json("car 1")["stands_in"], "356.00");
    let parts: Vec<Value> =
        yard.json("car 1")["lines"].as_array().unwrap().iter().map(|line| line["part_of"].clone()).collect();
    assert_eq!(parts, ["stands-in", "disposal", "stands-in", "disposal", "disposal"]);
}

#[test]
fn a_line_after_a_sale_is_told_as_after_it_whichever_way_the_money_goes() {
    let bought = ["pay-in 2000 --on 1/9/2026", "buy QX12RTO 540 --on 2/10/2026", "sell 1 990 --on 20/10/2026"];
    let yard = yard("2026-11-25", &bought);
    for (line, words) in [
        ("spend 48 repairs --car 1 --on 25/10/2026", "an after-sale cost"),
        ("receive 9 parts-sold --car 1 --on 26/10/2026", "comes off its after-sale costs"),
    ] {
        let said = notes(&yard, line).join(" ");
        assert!(said.contains(words), "{line}: {said}");
    }
    assert_eq!(notes(&yard, "receive 9.50 parts-sold --car 1 --on 20/10/2026"), Vec::<String>::new());
    assert_eq!(yard.json("car 1")["after_sale_costs"], "39.00");
}

/// 1.996 times is not doubled, and nothing that tells it reads as if it were.
#[test]
fn what_falls_short_of_a_mark_never_reads_as_having_reached_it() {
    let yard = yard(
        "2026-11-25",
        &[
            "programme set --cars 1 --budget 700 --multiple 2 --from 2026-09",
            "pay-in 2000 --on 1/9/2026",
            "buy QX12RTO 625 --on 2/9/2026",
            "sell 1 1247.50 --on 20/9/2026",
        ],
    );
    assert_eq!(yard.json("car 1")["multiple"], 1.99);
    assert_eq!(yard.json("car 1")["return_pct"], 99.6);
    assert_eq!(yard.json("month sep")["cars_sold"][0]["multiple"], 1.99);
    let told = yard.json("programme");
    for at in ["/months/0", "/slots/0"] {
        let row = told.pointer(at).unwrap();
        assert_eq!((&row["multiple"], &row["reached"]), (&json!(1.99), &json!(false)), "{at}");
    }
    // A target of the trader's own is a mark too: 1.996 is at 1.99 and not at 2 or 2.00.
    yard.ok("programme set --multiple 1.99 --from 2026-09");
    assert_eq!(yard.json("programme")["months"][0]["reached"], true);
    let bid = yard.json("bid --sells-for 1247.50 --multiple 1.7 --prep 15");
    assert!(bid["multiple"].as_f64().unwrap() >= 1.7, "{bid:#}");
    assert!(bid["a_pound_more"]["multiple"].as_f64().unwrap() < 1.7, "{bid:#}");
}

#[test]
fn averages_say_which_sale_they_leave_out_and_why() {
    let yard = yard(
        "2026-11-25",
        &[
            "pay-in 5000 --on 1/9/2026",
            "buy QX12RTO 520 --on 2/9/2026",
            "buy QX13RTO 610 --on 3/9/2026",
            "buy QX14RTO 0 --on 4/9/2026",
            "sell 1 910 --on 20/9/2026",
            "sell 2 1040 --on 21/9/2026",
            "sell 3 145 --on 22/9/2026",
            "take-back 2 --on 5/10/2026",
        ],
    );
    let results = yard.json("results");
    assert_eq!(results["total"]["cars_sold"], 3);
    assert_eq!(
        results["left_out_of_averages"],
        json!([
            {"stock_no": 2, "mark": "QX13RTO", "why": "taken-back", "taken_back_on": "2026-10-05"},
            {"stock_no": 3, "mark": "QX14RTO", "why": "stood-in-at-nothing", "taken_back_on": null}
        ])
    );
    let over = "The averages are over 2 of the 3 cars sold: 2 QX13RTO came back on 5 Oct 2026.";
    assert!(yard.ok("results").out.replace('\n', " ").contains(over));
    // In September itself it had not come back.
    let september = yard.ok("month sep").out.replace('\n', " ");
    assert!(!september.contains("The averages are over"), "{september}");
    assert!(september.contains("leave out 3 QX14RTO: stood in at nothing"), "{september}");
    let page = Page::read(&yard.ok("page").out);
    let (months, sold) = (page.words("#months").join(" "), page.words("#sold").join(" "));
    assert!(months.contains("3 cars sold, 1 of them taken back."), "{months}");
    assert!(sold.contains("3 cars sold in these months, 1 of them taken back: 2 to go by."), "{sold}");
    assert!(sold.contains(over), "{sold}");
    // `lessons` and `programme` count what stayed sold, and say so.
    assert!(yard.ok("programme set --cars 3 --from 2026-09").code == 0);
    let programme = yard.ok("programme").out.replace('\n', " ");
    assert!(programme.contains("Not counted as sold: 2 QX13RTO, taken back."), "{programme}");
    let lessons = yard.ok("lessons").out.replace('\n', " ");
    assert!(lessons.contains("Not in these figures: 2 QX13RTO, taken back."), "{lessons}");
}

#[test]
fn a_month_draws_a_car_that_came_back_as_that() {
    let yard = yard(
        "2026-11-25",
        &[
            "pay-in 5000 --on 1/9/2026",
            "buy QX12RTO 520 --on 2/9/2026",
            "sell 1 910 --on 10/9/2026",
            "take-back 1 --on 24/9/2026",
        ],
    );
    let page = Page::read(&yard.ok("month sep --page").out);
    let drawn = page.words("#sold svg text").join(" ");
    assert!(drawn.contains("sold at £910.00, came back 24 Sep"), "{drawn}");
    assert!(!drawn.contains("made £390.00"), "{drawn}");
    // As of a day before it came back it is drawn as sold.
    let page = Page::read(&yard.ok("month sep --page --as-of 2026-09-20").out);
    assert!(page.words("#sold svg text").join(" ").contains("made £390.00"));
}

#[test]
fn a_quarters_return_tells_its_own_box_5_less_what_was_paid_towards_it() {
    let mut yard = yard(
        "2026-10-20",
        &[
            "settings set vat-registered-from 2026-07-01",
            "pay-in 3000 --on 1/7/2026",
            "buy QX12RTO 480 --on 2/7/2026",
            "sell 1 720 --on 20/8/2026",
            "buy QX13RTO 500 --on 2/10/2026",
            "sell 2 890 --on 15/10/2026",
        ],
    );
    let told = |yard: &Yard| -> Vec<String> {
        let items = yard.json("due --kind vat-return --within 365")["items"].clone();
        let action = |item: &Value| item["action"].as_str().unwrap().split("`; ").nth(1).unwrap_or_default().to_owned();
        items.as_array().unwrap().iter().map(action).collect()
    };
    // 240 ÷ 6 and 390 ÷ 6; the account stands at 105.
    assert_eq!(told(&yard), ["£40.00 of VAT to pay", "£65.00 of VAT to pay so far"]);
    yard.ok("spend 15 vat --on 19/10/2026");
    assert_eq!(told(&yard), ["£40.00 of VAT to pay, £25.00 of it left", "£65.00 of VAT to pay so far"]);
    yard.ok("spend 31 vat --on 20/10/2026");
    assert_eq!(told(&yard), ["£40.00 of VAT to pay, settled", "£65.00 of VAT to pay so far, £59.00 of it left"]);
    assert_eq!(yard.json("vat --from 2026-07-01 --to 2026-09-30")["boxes"]["5"], "40.00");
    // A return marked as done is not reckoned, nor listed.
    let number = yard.json("due --kind vat-return --within 365")["items"][0]["number"].clone();
    yard.ok(&format!("done {number}"));
    assert_eq!(told(&yard), ["£65.00 of VAT to pay so far, £59.00 of it left"]);
    yard.turn_to("2027-01-05");
    yard.ok("spend 12 tools --overhead --vat 2 --on 4/1/2027");
    assert_eq!(told(&yard), ["£65.00 of VAT to pay, £59.00 of it left", "£2.00 of VAT to reclaim so far"]);
}

#[test]
fn box_5_is_the_difference_and_says_whose_it_is() {
    let yard = yard(
        "2026-11-25",
        &[
            "settings set vat-registered-from 2026-10-01",
            "pay-in 3000 --on 1/10/2026",
            "spend 132 tools --overhead --vat 22 --on 6/10/2026",
        ],
    );
    let told = yard.json("vat");
    assert_eq!((&told["boxes"]["5"], &told["box_5_owed_to"]), (&json!("22.00"), &json!("trader")));
    let csv = yard.ok("vat --format csv").out;
    assert!(csv.contains("5,VAT to reclaim from HMRC: 4 − 3,22.00"), "{csv}");
    yard.ok("buy QX12RTO 480 --on 7/10/2026");
    yard.ok("sell 1 780 --on 9/10/2026");
    let told = yard.json("vat");
    assert_eq!((&told["boxes"]["5"], &told["box_5_owed_to"]), (&json!("28.00"), &json!("hmrc")));
    assert!(yard.ok("vat").out.contains("VAT to pay to HMRC: 3 − 4"));
    yard.ok("spend 168 tools --overhead --vat 28 --on 10/10/2026");
    let told = yard.json("vat");
    assert_eq!((&told["boxes"]["5"], &told["box_5_owed_to"]), (&json!("0.00"), &Value::Null));
}

#[test]
fn tax_taken_out_in_a_month_starts_on_its_first() {
    let yard = yard("2026-06-10", &["pay-in 2000 --on 1/5/2026", "buy QX12RTO 480 --on 20/5/2026"]);
    let said = yard.json("tax 1 --months 6 --from 2026-06-01 --on 2026-06-02 --rate 195");
    assert!(said["summary"].as_str().unwrap().contains("from 1 Jun 2026 to 30 Nov 2026"), "{said:#}");
    assert!(said["notes"].to_string().contains("starts on its first, 1 Jun 2026"), "{said:#}");
    let refused = yard.refused("tax 1 --months 6 --from 2026-05-31 --on 2026-06-02 --rate 195").err;
    assert!(refused.contains("in a month before it was taxed") && refused.contains("backdated"), "{refused}");
}

/// Whatever its heading, a cost on a car is goods; repairs are the yard's.
#[test]
fn a_cost_on_a_car_is_goods_and_the_yards_repairs_are_repairs() {
    let yard = yard(
        "2026-11-25",
        &[
            "pay-in 3000 --on 1/5/2026",
            "buy QX12RTO 480 --on 2/5/2026",
            "spend 210 repairs --car 1 --on 3/5/2026",
            "spend 36 fuel --car 1 --on 4/5/2026",
            "spend 75 repairs --overhead --on 5/5/2026",
            "spend 27.50 fuel --overhead --on 6/5/2026",
            "sell 1 990 --on 20/5/2026",
            "spend 18 advertising --car 1 --on 21/5/2026",
        ],
    );
    let told = yard.json("tax-year 2026-27");
    let boxes = |basis: &str| -> Vec<(String, String)> {
        let of = |row: &Value, key: &str| row[key].as_str().unwrap().to_owned();
        let rows = told[basis]["boxes"].as_array().unwrap();
        rows.iter().map(|row| (of(row, "box"), of(row, "amount"))).collect()
    };
    for basis in ["cash_basis", "traditional"] {
        let found = boxes(basis);
        for (number, amount) in [("11", "744.00"), ("12", "27.50"), ("15", "75.00")] {
            assert!(found.contains(&(number.into(), amount.into())), "{basis} {number}: {found:?}");
        }
        assert!(!found.iter().any(|(number, _)| number == "19"), "{found:?}");
    }
}

#[test]
fn months_before_the_book_began_are_not_shown_and_it_is_said() {
    let yard = yard("2026-11-25", &["pay-in 2000 --on 14/9/2026", "buy QX12RTO 480 --on 20/9/2026"]);
    let shown = yard.ok("results").out;
    assert!(shown.starts_with("3 months to Nov 2026: "), "{shown}");
    assert!(shown.contains("The book begins on 14 Sep 2026; months before it are not shown."), "{shown}");
    assert!(!shown.contains("Aug 2026"), "{shown}");
    // Machines have every month they asked for, and the day.
    let told = yard.json("results");
    assert_eq!((told["months"].as_array().unwrap().len(), &told["book_begins_on"]), (12, &json!("2026-09-14")));
    assert_eq!(yard.json("results --from 2026-09")["book_begins_on"], Value::Null);
    // A yearly rate needs a year.
    assert!(shown.contains("under twelve months of book"), "{shown}");
}

#[test]
fn a_yearly_rate_is_bounded_by_the_days_in_stock_and_not_by_what_came_after() {
    let yard = yard(
        "2026-11-25",
        &[
            "pay-in 2000 --on 1/9/2026",
            "buy QX12RTO 520 --on 2/9/2026",
            "sell 1 610 --on 14/9/2026",
            "spend 20 repairs --car 1 --on 15/10/2026",
            "buy QX13RTO 520 --on 2/9/2026",
            "sell 2 560 --on 2/10/2026",
            "buy QX14RTO 520 --on 2/9/2026",
            "sell 3 690 --on 2/10/2026",
            "buy QX15RTO 520 --on 2/9/2026",
            "sell 4 40 --on 2/10/2026",
        ],
    );
    for (car, reason) in
        [(1, Some("under 30 days")), (2, None), (3, Some("over 1,000 %")), (4, Some("a loss of over 99 %"))]
    {
        let told = yard.json(&format!("car {car}"));
        let said = told["annual_return_reason"].as_str();
        assert_eq!(
            said.map(|said| reason.is_some_and(|reason| said.starts_with(reason))),
            reason.map(|_| true),
            "{told:#}"
        );
        assert_eq!(told["annual_return_pct"].is_null(), reason.is_some(), "{car}");
    }
    // (560 ÷ 520)^(365 ÷ 30) − 1
    assert_eq!(yard.json("car 2")["annual_return_pct"], 146.37);
}

/// More back than went out, and under thirty days of book: no turn, with the reason, and no margin on stock.
#[test]
fn stock_has_no_turn_where_it_would_mean_nothing() {
    let mut yard = yard(
        "2026-09-29",
        &["pay-in 2000 --on 1/9/2026", "buy QX12RTO 520 --on 1/9/2026", "sell 1 910 --on 20/9/2026"],
    );
    let told = yard.json("month sep");
    assert_eq!((&told["stock_turn"], &told["gmroi"]), (&Value::Null, &Value::Null));
    assert!(told["stock_turn_reason"].as_str().unwrap().starts_with("under 30 days"), "{told:#}");
    yard.turn_to("2026-09-30");
    let told = yard.json("month sep");
    assert!(told["stock_turn"].is_number() && told["gmroi"].is_number(), "{told:#}");
    assert_eq!(told["stock_turn_reason"], Value::Null);
    yard.turn_to("2026-10-31");
    yard.ok("take-back 1 --on 5/10/2026");
    let told = yard.json("month oct");
    assert_eq!(
        (&told["cost_of_cars_sold"], &told["stock_turn"], &told["gmroi"]),
        (&json!("-520.00"), &Value::Null, &Value::Null)
    );
    assert_eq!(told["stock_turn_reason"], "more was taken back at cost than was sold");
    assert!(yard.ok("month oct").out.replace('\n', " ").contains("more was taken back"));
}
