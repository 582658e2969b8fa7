//! `vat`: the boxes of a small book reckoned by hand, what is never netted, what moves to another quarter, and the
//! watch on the threshold.

use crate::common::Yard;
use serde_json::Value;

/// Registered from New Year; quarters end with March.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "settings set vat-registered-from 2026-01-01",
        "pay-in 9000 --on 1/2/2026",
        "buy KX42RTO 585 --on 1/7/2026",
        "spend 126 parts --car 1 --vat 21 --on 2/7/2026",
        "buy AB91CDE 1260 --vat 210 --vat-invoice --on 3/7/2026",
        "buy ST99WEM 520 --on 5/7/2026",
        "sell 1 1215 --on 10/8/2026",
        "sell 3 415 --on 12/8/2026",
        "spend 66 phone --overhead --vat 11 --on 1/9/2026",
        "spend 55 rates --overhead --on 2/9/2026",
        "sell 2 1860 --on 3/9/2026",
        "receive 30 work-done --other --vat 5 --on 10/9/2026",
        "receive 35 parts-sold --other --on 11/9/2026",
        "receive 510 insurance-paid --other --on 12/9/2026",
    ] {
        yard.ok(line);
    }
    yard
}

const THIRD_QUARTER: &str = "vat --from 1/7/2026 --to 30/9/2026";

fn boxes(told: &Value) -> [&str; 7] {
    for nil in ["2", "8", "9"] {
        assert_eq!(told["boxes"][nil], "0.00", "{told}");
    }
    [1, 3, 4, 5, 6, 7, 9].map(|n| told["boxes"][n.to_string()].as_str().unwrap())
}

fn account(told: &Value) -> [&str; 5] {
    ["owed_at_start", "due", "paid", "repaid", "owed_at_end"].map(|key| told["account"][key].as_str().unwrap())
}

fn kinds<'t>(told: &'t Value, list: &str) -> Vec<(&'t str, &'t str, &'t str)> {
    let rows = told[list].as_array().unwrap().iter();
    rows.map(|row| (row["kind"].as_str().unwrap(), row["amount"].as_str().unwrap(), row["vat"].as_str().unwrap()))
        .collect()
}

#[test]
fn a_quarter_by_hand() {
    let yard = yard();
    let told = yard.json(THIRD_QUARTER);
    // 1: 630 ÷ 6 = 105; nil on the loss; 1,860 ÷ 6 = 310; 5 of work done.
    // 4: 21 + 210 + 11. 6: 1,110 + 415 + 1,550 + 25 + 35. 7: 585 + 1,050 + 520 + 105 + 55.
    assert_eq!(boxes(&told), ["420.00", "420.00", "242.00", "178.00", "3135.00", "2315.00", "0.00"]);
    assert_eq!(account(&told), ["0.00", "178.00", "0.00", "0.00", "178.00"]);
    assert_eq!((&told["from"], &told["to"]), (&"2026-07-01".into(), &"2026-09-30".into()));
    assert_eq!((&told["return_due_on"], &told["complete"]), (&"2026-11-07".into(), &true.into()));
    assert_eq!((&told["sales_without_vat"], &told["costs_without_vat"]), (&"35.00".into(), &"55.00".into()));
    let cars = told["cars"].as_array().unwrap();
    let row = |n: usize| {
        ["stock_no", "mark", "purchase_price", "selling_price", "margin", "vat"].map(|key| cars[n][key].clone())
    };
    assert_eq!(cars.len(), 2);
    assert_eq!(
        row(0),
        [1.into(), "KX42 RTO".into(), "585.00".into(), "1215.00".into(), "630.00".into(), Value::from("105.00")]
    );
    assert_eq!(
        row(1),
        [3.into(), "ST99 WEM".into(), "520.00".into(), "415.00".into(), "-105.00".into(), Value::from("0.00")]
    );
    assert_eq!(
        kinds(&told, "other_sales"),
        [("full-price-sale", "1860.00", "310.00"), ("receipt", "30.00", "5.00"), ("receipt", "35.00", "0.00")]
    );
    assert_eq!(
        kinds(&told, "purchases"),
        [
            ("car-bought", "585.00", "0.00"),
            ("cost", "126.00", "21.00"),
            ("car-bought", "1260.00", "210.00"),
            ("car-bought", "520.00", "0.00"),
            ("cost", "66.00", "11.00")
        ]
    );
    let shown = yard.ok(THIRD_QUARTER);
    assert!(shown.out.starts_with("1 Jul 2026 to 30 Sep 2026: £178.00 of VAT to pay.\n"), "{}", shown.out);
    assert!(shown.out.contains("due by 7 Nov 2026"), "{}", shown.out);
    for caution in ["compatible software", "not tax advice", "£55.00 of costs show no VAT", "£35.00 of other sales"] {
        assert!(shown.err.contains(caution), "{caution}: {}", shown.err);
    }
}

/// A sale reversed in a later quarter leaves its own quarter as it was filed and takes its VAT off in the later one.
#[test]
fn a_reversal_counts_in_its_own_quarter() {
    let yard = yard();
    let filed = yard.json(THIRD_QUARTER);
    for line in [
        "spend 178 vat --on 7/11/2026",
        "take-back 1 --on 20/10/2026",
        "buy UT48KEM 340 --on 5/10/2026",
        "deposit 4 450 --by \"D Farrow\" --on 6/10/2026",
        "deposit 4 --keep --on 21/10/2026",
        "dispose 4 broken --on 1/11/2026",
        "receive 66 parts-sold --car 4 --vat 11 --on 10/11/2026",
    ] {
        yard.ok(line);
    }
    assert_eq!(yard.json(THIRD_QUARTER)["boxes"], filed["boxes"]);
    let told = yard.json("vat");
    // 1: −105, 450 ÷ 6 = 75 on the deposit kept, 11 on parts. 6: −1,110 + 375 + 55. 7: 340. Box 5 is the
    // difference, and who owes it is told beside it.
    assert_eq!(boxes(&told), ["-19.00", "-19.00", "0.00", "19.00", "-680.00", "340.00", "0.00"]);
    assert_eq!(told["box_5_owed_to"], "trader");
    assert_eq!(account(&told), ["178.00", "-19.00", "178.00", "0.00", "-19.00"]);
    assert_eq!(
        kinds(&told, "other_sales"),
        [("sale-reversed", "-1215.00", "-105.00"), ("deposit-kept", "450.00", "75.00"), ("receipt", "66.00", "11.00")]
    );
    assert_eq!((&told["complete"], &told["return_due_on"]), (&false.into(), &"2027-02-07".into()));
    let shown = yard.ok("vat").out;
    assert!(shown.starts_with("1 Oct 2026 to 31 Dec 2026: £19.00 of VAT to reclaim so far."), "{shown}");
    yard.ok("receive 19 vat --on 24/11/2026");
    assert_eq!(account(&yard.json("vat")), ["178.00", "-19.00", "178.00", "19.00", "0.00"]);
}

/// A loss takes nothing off the VAT of another car, in the same quarter or not, and no repair enters a margin.
#[test]
fn nothing_reduces_the_vat_on_a_margin() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("buy KX42RTO 580 --on 1/10/2026");
    yard.ok("sell 1 1210 --on 2/10/2026");
    assert_eq!(yard.json("vat")["boxes"]["1"], "105.00");
    yard.ok("buy AB91CDE 5000 --on 3/10/2026");
    yard.ok("spend 880 bodywork --car 1 --on 1/10/2026");
    yard.ok("sell 2 10 --on 4/10/2026");
    let told = yard.json("vat");
    assert_eq!((&told["boxes"]["1"], &told["boxes"]["5"]), (&"105.00".into(), &"105.00".into()));
    assert_eq!((&told["cars"][0]["margin"], &told["cars"][1]["margin"]), (&"630.00".into(), &"-4990.00".into()));
    assert!(yard.json("car 1")["profit"].as_str().unwrap().starts_with('-'), "the margin is not the profit");
}

/// What is kept back of a refund bears VAT on what exceeds the purchase price.
#[test]
fn what_is_kept_back_of_a_refund() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("buy KX42RTO 330 --on 1/10/2026");
    yard.ok("sell 1 1530 --on 2/10/2026");
    yard.ok("take-back 1 --refund 1104 --on 9/10/2026");
    let told = yard.json("vat");
    // 1,200 ÷ 6 − 1,200 ÷ 6 + (426 − 330) ÷ 6; 1,330 − 1,330 + 410.
    assert_eq!((&told["boxes"]["1"], &told["boxes"]["6"]), (&"16.00".into(), &"410.00".into()));
    assert_eq!(
        kinds(&told, "other_sales"),
        [("sale-reversed", "-1530.00", "-200.00"), ("kept-back", "426.00", "16.00")]
    );
}

/// A car taken in and given back again was bought and was not: box 7 is as before.
#[test]
fn a_part_exchange_given_back_leaves_box_7() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("buy KX42RTO 345 --on 1/7/2026");
    yard.ok("sell 1 975 --part-exchange AB91CDE=265 --on 2/7/2026");
    yard.ok("take-back 1 --return-part-exchange --on 9/10/2026");
    assert_eq!(yard.json(THIRD_QUARTER)["boxes"]["7"], "610.00");
    let told = yard.json("vat");
    assert_eq!(boxes(&told), ["-105.00", "-105.00", "0.00", "105.00", "-870.00", "-265.00", "0.00"]);
    assert_eq!(kinds(&told, "purchases"), [("car-returned", "-265.00", "0.00")]);
}

/// What shows VAT bears it, whatever its heading; what shows none is a sale only under sales.
#[test]
fn a_receipt_with_vat_is_in_the_return_whatever_its_heading() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("receive 12 other-income --other --vat 2 --on 1/10/2026");
    yard.ok("receive 70 other-income --other --on 2/10/2026");
    let told = yard.json("vat");
    assert_eq!((&told["boxes"]["1"], &told["boxes"]["6"]), (&"2.00".into(), &"10.00".into()));
    yard.ok("settings set heading:storage-let sales");
    yard.ok("receive 70 storage-let --other --on 3/10/2026");
    assert_eq!(yard.json("vat")["boxes"]["6"], "80.00");
}

#[test]
fn standing_costs_are_reclaimed_on_their_days() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("standing add rent 126 --every month --from 1/9/2026 --heading rent --vat 21");
    yard.ok("standing add cleaner 12 --every month --from 1/9/2026 --heading other");
    let told = yard.json("vat");
    // October and November; December has not come.
    assert_eq!((&told["boxes"]["4"], &told["boxes"]["7"]), (&"42.00".into(), &"210.00".into()));
    assert_eq!(told["costs_without_vat"], "24.00");
    assert_eq!(account(&told), ["-21.00", "-42.00", "0.00", "0.00", "-63.00"]);
}

#[test]
fn without_registration_there_is_no_return() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 355 --on 1/10/2026");
    yard.ok("sell 1 945 --on 2/10/2026");
    let said = |line: &str| yard.ok(line).out.lines().take(2).collect::<Vec<_>>().join(" ");
    let told = yard.json("vat");
    assert_eq!(
        (&told["boxes"], &told["cars"], &told["return_due_on"]),
        (&Value::Null, &serde_json::json!([]), &Value::Null)
    );
    assert!(
        said("vat").contains("not registered for VAT on any day of 1 Oct 2026 to 31 Dec 2026: there is no return.")
    );
    yard.ok("settings set vat-registered-from 2026-12-01");
    assert_eq!(yard.json("vat")["boxes"], Value::Null, "nor yet");
    assert!(said("vat").contains("you are from 1 Dec 2026"), "{}", said("vat"));
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("settings set vat-registered-until 2026-09-30");
    assert_eq!(yard.json("vat")["boxes"], Value::Null, "no more");
    assert!(said("vat").contains("you were until 30 Sep 2026"), "{}", said("vat"));
}

/// Only what is dated on registered days is in a return; what was in one comes off when it is reversed later, what
/// never was does not.
#[test]
fn the_first_and_last_registered_days_bound_a_return() {
    let yard = Yard::new("2026-11-25");
    for line in [
        "buy KX42RTO 325 --on 1/8/2026",
        "buy AB91CDE 355 --on 2/8/2026",
        "buy ST99WEM 355 --on 3/8/2026",
        "sell 1 915 --on 14/8/2026",
        "sell 2 985 --on 15/8/2026",
        "settings set vat-registered-from 2026-08-15",
        "settings set vat-registered-until 2026-10-10",
        "sell 3 985 --on 10/10/2026",
        "buy UT48KEM 365 --on 11/10/2026",
    ] {
        yard.ok(line);
    }
    assert_eq!(boxes(&yard.json(THIRD_QUARTER)), ["105.00", "105.00", "0.00", "105.00", "880.00", "0.00", "0.00"]);
    assert_eq!(boxes(&yard.json("vat")), ["105.00", "105.00", "0.00", "105.00", "880.00", "0.00", "0.00"]);
    assert_eq!(yard.json("vat")["return_due_on"], "2026-11-17", "a month and seven days after the last day");
    yard.ok("take-back 1 --on 1/11/2026");
    assert_eq!(yard.json("vat")["boxes"]["1"], "105.00");
    yard.ok("take-back 2 --on 1/11/2026");
    assert_eq!(boxes(&yard.json("vat")), ["0.00", "0.00", "0.00", "0.00", "0.00", "0.00", "0.00"]);
    let later = "vat --from 1/11/2026 --to 30/11/2026";
    let told = yard.json(later);
    assert_eq!((&told["boxes"], &told["account"]["due"]), (&Value::Null, &"-105.00".into()));
    assert!(yard.ok(later).err.contains("made while registered was reversed"), "{}", yard.ok(later).err);
}

#[test]
fn the_quarter_is_as_set() {
    let yard = yard();
    let span = || {
        let told = yard.json("vat");
        [told["from"].clone(), told["to"].clone(), told["return_due_on"].clone()]
    };
    assert_eq!(span(), ["2026-10-01", "2026-12-31", "2027-02-07"]);
    for (typed, listed) in [
        ("jan", ["2026-11-01", "2027-01-31", "2027-03-07"]),
        ("August", ["2026-09-01", "2026-11-30", "2027-01-07"]),
        ("12", ["2026-10-01", "2026-12-31", "2027-02-07"]),
    ] {
        yard.ok(&format!("settings set vat-quarter-end {typed}"));
        assert_eq!(span(), listed, "{typed}");
    }
    let refused = yard.refused("settings set vat-quarter-end 13");
    assert!(refused.err.contains("write a month a quarter ends with"), "{}", refused.err);
    // One day said stands for the rest of its quarter; the day itself is not moved.
    yard.ok("settings set vat-quarter-end mar");
    let told = yard.json("vat --to 15/8/2026");
    assert_eq!((&told["from"], &told["to"]), (&"2026-07-01".into(), &"2026-08-15".into()));
    assert_eq!((&told["return_due_on"], &told["boxes"]["1"]), (&Value::Null, &"105.00".into()));
    let told = yard.json("vat --from 3/9/2026");
    assert_eq!((&told["to"], &told["boxes"]["1"]), (&"2026-09-30".into(), &"315.00".into()));
}

#[test]
fn days_in_the_wrong_order_and_days_to_come_are_refused() {
    let yard = yard();
    for (line, said) in [
        ("vat --from 2/9/2026 --to 1/9/2026", "write the earlier day as --from"),
        ("vat --from 26/11/2026", "after today"),
        ("vat --to 2027-03-31", "has not begun"),
    ] {
        let ran = yard.refused(line);
        assert!(ran.code == 1 && ran.err.contains(said), "{line}: {}", ran.err);
    }
    assert_eq!(yard.refused("vat --watch --from 1/9/2026").code, 2);
}

#[test]
fn each_list_is_a_part_of_the_csv() {
    let yard = yard();
    let csv = |part: &str| yard.ok(&format!("{THIRD_QUARTER} {part} --format csv")).out;
    assert!(csv("").starts_with("box,what,amount\r\n1,VAT due on sales,420.00\r\n"), "{}", csv(""));
    assert_eq!(csv("").lines().count(), 10);
    assert!(csv("--part cars").contains("\r\n1,KX42 RTO,2026-08-10,585.00,1215.00,630.00,105.00,1110.00\r\n"));
    assert!(csv("--part other-sales").starts_with("kind,on,entry,stock_no,mark,what,amount,vat,net\r\n"));
    assert_eq!(csv("--part purchases").lines().count(), 6);
    assert!(csv("--part cars").lines().count() == 3 && yard.run("vat --part wheels --format csv").code != 0);
    let watch = yard.ok("vat --watch --format csv").out;
    assert!(watch.starts_with("month,turnover,twelve_months,threshold,headroom\r\n2025-11,"), "{watch}");
}

/// Turnover by hand: full prices, a part-exchange at its allowance within them; work done; a car kept at its value; a
/// deposit kept; less a sale reversed. No insurance money, no refund, no part-exchange twice.
#[test]
fn the_watch_counts_full_prices() {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 90000 --on 1/9/2025",
        "buy KX42RTO 19000 --on 1/9/2025",
        "sell 1 20000 --part-exchange AB91CDE=5000 --on 31/10/2025",
        "buy ST99WEM 340 --on 2/10/2025",
        "sell 3 50000 --on 1/11/2025",
        "receive 1000 work-done --other --on 5/1/2026",
        "receive 700 insurance-paid --other --on 6/1/2026",
        "receive 30 refund --other --on 6/1/2026",
        "dispose 2 kept --value 4000 --on 31/1/2026",
        "buy UT48KEM 350 --on 1/2/2026",
        "deposit 4 200 --on 2/2/2026",
        "deposit 4 --keep --on 3/2/2026",
        "buy DG91HUT 360 --on 1/3/2026",
        "sell 5 1500 --part-exchange HN49ABC=415 --on 2/3/2026",
        "take-back 5 --return-part-exchange --on 3/3/2026",
        "sell 4 2500 --on 1/8/2026",
        "take-back 4 --refund 2400 --on 2/9/2026",
        "sell 4 2660 --on 30/10/2026",
        "sell 5 1500 --on 2/11/2026",
    ] {
        yard.ok(line);
    }
    let told = yard.json("vat --watch");
    // 50,000 + 1,000 + 4,000 + 200 + 2,500 − 2,500 + 100 kept back + 2,660; the 20,000 of October 2025 are out.
    assert_eq!((&told["twelve_months_to"], &told["turnover_12_months"]), (&"2026-10-31".into(), &"57960.00".into()));
    assert_eq!((&told["threshold"], &told["headroom"]), (&"90000.00".into(), &"32040.00".into()));
    for key in ["crossed_on", "notify_by", "registered_from", "turnover_without_vat", "may_deregister"] {
        assert_eq!(told[key], Value::Null, "{key}");
    }
    assert_eq!(told["deregistration_threshold"], "88000.00");
    assert_eq!(told["this_month_so_far"], "1500.00");
    // (2,500 − 2,400 + 2,660) ÷ 3 = 920; 50,000 fall out with November, so it is not crossed.
    assert_eq!((&told["monthly_rate"], &told["crossed_at_present_rate"]), (&"920.00".into(), &Value::Null));
    let months: Vec<[&str; 2]> = told["months"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| ["month", "turnover"].map(|key| row[key].as_str().unwrap()))
        .collect();
    assert_eq!((months.len(), months[0], months[2]), (12, ["2025-11", "50000.00"], ["2026-01", "5000.00"]));
    assert_eq!((months[9], months[10]), (["2026-08", "2500.00"], ["2026-09", "-2400.00"]));
    let shown = yard.ok("vat --watch");
    let line = "Twelve months to 31 Oct 2026: £57,960.00 of turnover, £32,040.00 below the threshold of £90,000.00.";
    assert!(shown.out.replace('\n', " ").starts_with(line), "{}", shown.out);
    assert!(
        shown
            .out
            .replace('\n', " ")
            .contains("in the thirty days to 24 Dec 2026 alone? If so, tell HMRC by 24 Dec 2026")
    );
    assert!(shown.err.contains("not tax advice"), "{}", shown.err);
}

#[test]
fn a_crossing_stays_until_registration_and_ends_with_it() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 100 --on 1/7/2026");
    yard.ok("sell 1 90001 --on 8/7/2026");
    yard.ok("take-back 1 --on 2/8/2026");
    let told = yard.json("vat --watch");
    // Reversed in August, it was over at the end of July all the same.
    assert_eq!((&told["turnover_12_months"], &told["crossed_on"]), (&"0.00".into(), &"2026-07-31".into()));
    assert_eq!((&told["notify_by"], &told["registered_from"]), (&"2026-08-30".into(), &"2026-09-01".into()));
    let shown = yard.ok("vat --watch").out.replace('\n', " ");
    assert!(
        shown.contains(
            "crossed on 31 Jul 2026: tell HMRC by 30 Aug 2026, which is past; you are registered from 1 Sep 2026"
        ),
        "{shown}"
    );
    yard.ok("settings set vat-registered-from 2026-09-01");
    yard.ok("sell 1 60000 --on 1/10/2026");
    let told = yard.json("vat --watch");
    assert_eq!(
        (&told["crossed_on"], &told["look_ahead"], &told["registered"]),
        (&Value::Null, &Value::Null, &true.into())
    );
    // 60,000 − 59,900 ÷ 6 = 50,016.67; the sale of July, and that it was reversed, bore no VAT.
    assert_eq!((&told["turnover_without_vat"], &told["may_deregister"]), (&"50016.67".into(), &true.into()));
    assert_eq!(told["turnover_12_months"], "60000.00");
    // What was sold before registration is turnover all the same: 70,000 − 9,983.33.
    yard.ok("buy AB91CDE 100 --on 1/8/2026");
    yard.ok("sell 2 10000 --on 31/8/2026");
    assert_eq!(yard.json("vat --watch")["turnover_without_vat"], "60016.67");
    yard.ok("undo 7");
    // Supplies made while registered do not count afterwards.
    yard.ok("settings set vat-registered-until 2026-10-31");
    assert_eq!(yard.json("vat --watch")["turnover_12_months"], "0.00");
}

#[test]
fn a_rate_names_the_month_the_threshold_would_be_crossed() {
    let yard = Yard::new("2026-11-25");
    for (n, month) in ["8", "9", "10"].iter().enumerate() {
        yard.ok(&format!("buy none 100 --vin WDX765432{n} --on 1/{month}/2026"));
        yard.ok(&format!("sell {} 20000 --on 2/{month}/2026", n + 1));
    }
    let told = yard.json("vat --watch");
    // 60,000 + 20,000 in November, 100,000 in December.
    assert_eq!((&told["crossed_at_present_rate"], &told["monthly_rate"]), (&"2026-12".into(), &"20000.00".into()));
    assert!(yard.ok("vat --watch").out.contains("it would be crossed in Dec 2026"));
}
