//! Asking on a terminal: what each command asks, mistakes told at once, what is recorded and shown, and
//! that nobody is asked in a script or with `--yes`.

use crate::common::{Ran, Yard};

/// A yard with two cars, the second advertised and with a deposit on it.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3000 --on 1/9/2026",
        "buy KX42RTO 465 --on 1/10/2026 --make Corvane --model Pell --miles 82000 --mot-until 2/12/2026",
        "buy AB91CDE 345 --on 2/10/2026",
        "ask 2 1295",
        "deposit 2 120 --by \"P Quill\" --hold-until 5/12/2026",
    ] {
        yard.ok(line);
    }
    yard
}

/// Answers that are all taken, one after another; gives what was said and the line that was run.
fn answered(yard: &Yard, line: &str, answers: &[&str]) -> (Ran, String) {
    let twin = yard.copy();
    let ran = yard.run_answering(line, answers);
    assert_eq!(ran.code, 0, "`{line}` {answers:?}: {}", ran.err);
    assert!(ran.out.starts_with("Entry "), "{}", ran.out);
    let whole = ran.err.split("in one line: `runabout ").nth(1).unwrap_or_else(|| panic!("no line in {}", ran.err));
    let whole = whole.trim().trim_end_matches('`').to_owned();
    // What the log says was run is that line, and typed in the yard as it was it records the same.
    let entry: i64 = ran.out[6..].split(':').next().unwrap().parse().unwrap();
    let logged = yard.json("log")["entries"].as_array().unwrap().iter().find(|row| row["entry"] == entry).cloned();
    assert_eq!(logged.unwrap()["typed"], whole.as_str());
    assert_eq!((twin.ok(&whole).out, twin.dump()), (ran.out.clone(), yard.dump()), "{whole}");
    (ran, whole)
}

/// Answers of which nothing is recorded.
fn nothing_of(yard: &Yard, line: &str, answers: &[&str]) -> Ran {
    let before = yard.dump();
    let ran = yard.run_answering(line, answers);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{}", ran.err);
    assert_eq!(yard.dump(), before, "`{line}` {answers:?} changed the book");
    ran
}

/// That the text has each piece, one after another, wherever its lines end.
fn says(text: &str, pieces: &[&str]) {
    let spaced = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let whole = spaced(text);
    let mut rest = whole.as_str();
    for piece in pieces {
        rest = rest.split_once(&spaced(piece)).unwrap_or_else(|| panic!("no {piece:?} in order in {text}")).1;
    }
}

#[test]
fn a_car_is_bought_by_answering() {
    let yard = Yard::new("2026-11-25");
    let (ran, whole) = answered(
        &yard,
        "buy",
        &["kx42 rto", "£1,450", "R Ashdown", "cash", "82,000", "21/3", "", "Corvane", "", "mon"],
    );
    assert_eq!(
        whole,
        "buy kx42rto '£1,450' --from 'R Ashdown' --paid cash --miles '82,000' --mot-until 21/3/2027 --make Corvane --on mon"
    );
    says(
        &ran.out,
        &["bought KX42 RTO as car 1 for £1,450.00 from R Ashdown on 23 Nov 2026, paid in cash", "runabout undo 1"],
    );
    says(
        &ran.err,
        &[
            "Enter takes what is in [ ]",
            "Registration mark (none if it has no plates): Price: Bought from (name) [skip]: ",
            "Paid by cash, bank, card or own [bank]: Miles on the odometer [skip]: MOT until [skip]: ",
            "21/3 in which year [2027]: Make [skip]: Model [skip]: Which day [today]: ",
            "started a new book",
        ],
    );
    let car = yard.json("car 1");
    assert_eq!(
        (&car["mot_until"], &car["mileage"], &car["description"]),
        (&"2027-03-21".into(), &82_000.into(), &"Corvane".into())
    );
}

#[test]
fn a_wrong_answer_is_told_why_and_asked_again() {
    let yard = yard();
    let (ran, whole) = answered(
        &yard,
        "buy",
        &[
            "KX42 RTO", "", "F?", "ST99WEM", "-5", "4x", "425", "a\tb", "", "cheque", "card", "82k", "", "31/13",
            "1/9", "next", "2027", "", "", "tomorrow", "1/9/2026",
        ],
    );
    assert_eq!(whole, "buy ST99WEM 425 --paid card --mot-until 1/9/2027 --on 1/9/2026");
    says(
        &ran.err,
        &[
            "1 KX42 RTO is in stock already",
            "that is needed",
            "mark 'F?'",
            "amount '-5' has a sign",
            "amount '4x' has letters in it",
            "text 'a\\tb' has a tab",
            "way of paying 'cheque' is not understood: write cash, bank, card or own",
            "mileage '82k' is not understood",
            "date '31/13' has no such month as 13",
            "1/9 in which year [2027]: ",
            "year 'next' is not understood",
            "date 'tomorrow' is 26 Nov 2026, after today (25 Nov 2026)",
        ],
    );
}

#[test]
fn a_question_mark_says_how_the_answer_is_written() {
    let yard = yard();
    for (typed, answers, said) in [
        ("spend", &["?", "."][..], "How much: write pounds and pence"),
        ("buy", &["?", "."], "for a car without plates: write 1 to 13 letters"),
        ("hours 1", &["?", "."], "How long: 2, 2.5, 2h30 or 2:30 How long"),
        ("mot 1", &["?", "."], "Pass or fail: pass or fail Pass or fail: "),
    ] {
        let ran = nothing_of(&yard, typed, answers);
        says(&ran.err, &[said]);
    }
}

#[test]
fn a_car_without_plates_is_asked_its_vin_and_a_known_one_not_its_make() {
    let yard = yard();
    let (ran, whole) = answered(&yard, "buy", &["none", "W?X", "WDX1234567", "340", "", "", "", "", "", "", ""]);
    assert_eq!(whole, "buy none 340 --vin WDX1234567");
    says(&ran.err, &["VIN, as it has no plates: VIN 'W?X'", "VIN, as it has no plates: "]);
    yard.ok("sell 1 915 --to \"D Farrow\"");
    let (ran, whole) = answered(&yard, "buy", &["KX42RTO", "505", "", "", "", "", ""]);
    assert_eq!(whole, "buy KX42RTO 505");
    assert!(!ran.err.contains("Make"), "{}", ran.err);
}

#[test]
fn only_what_is_missing_is_asked_and_nothing_when_nothing_is() {
    let yard = yard();
    let (ran, whole) = answered(&yard, "buy ST99 WEM --from \"Mart Aske\"", &["430", "own", "", "", "", "", ""]);
    assert_eq!(whole, "buy ST99WEM 430 --from 'Mart Aske' --paid own");
    assert!(!ran.err.contains("Bought from") && !ran.err.contains("Registration"), "{}", ran.err);
    // With everything there that must be, nobody is asked.
    let ran = yard.run_answering("buy UT48KEM 365", &[]);
    assert!(ran.code == 0 && !ran.err.contains('[') && !ran.err.contains("in one line"), "{}", ran.err);
}

#[test]
fn a_car_is_sold_by_answering() {
    let yard = yard();
    let (ran, whole) = answered(
        &yard,
        "sell",
        &["3", "KX42RTP", "ab91 cde", "", "ST99WEM=1400x", "ST99WEM=165", "", "", "cash", "84,000", ""],
    );
    assert_eq!(whole, "sell ab91cde 1295.00 --part-exchange 'ST99WEM=165' --paid cash --miles '84,000'");
    says(
        &ran.err,
        &[
            "No  Mark",
            " 1  KX42 RTO  Corvane Pell     465.00  —",
            " 2  AB91 CDE  —                345.00  1,295.00",
            "Which car (mark or number): no car '3' in the book",
            "no car 'KX42 RTP' in the book; did you mean 'KX42 RTO'?",
            "2 AB91 CDE stands you in at £345.00. A deposit of £120.00 from P Quill is held and counts towards the price.",
            "Price [1,295.00]: Part-exchange, such as AB91CDE=165 [none]: ",
            "amount '1400x'",
            "Part-exchange, such as AB91CDE=165 [none]: Part-exchange, such as AB91CDE=165 [no more]: ",
            "Sold to (name) [P Quill]: Paid by cash, bank, card or own [bank]: Miles on the odometer [skip]: ",
            "Which day [today]: ",
        ],
    );
    says(
        &ran.out,
        &["sold 2 AB91 CDE for £1,295.00 to P Quill", "deposit of £120.00 counted", "£1,010.00 paid in cash"],
    );
}

#[test]
fn the_only_car_is_offered_and_what_the_book_refuses_is_asked_again() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 475 --on 1/10/2026");
    // Dated before the purchase: the very command says so, and only that answer is asked again.
    let (ran, whole) = answered(&yard, "sell", &["", "925", "", "D Farrow", "", "", "30/9/2026", "24 Nov"]);
    assert_eq!(whole, "sell 1 925 --to 'D Farrow' --on '24 Nov'");
    says(
        &ran.err,
        &["Which car (mark or number) [1 KX42 RTO]: ", "30 Sep 2026 is before 1 KX42 RTO was bought, on 1 Oct 2026"],
    );
    yard.ok("close oct 2026");
    let (ran, whole) = answered(&yard, "spend", &["5", "phone", "overhead", "", "", "30/10", "1/11"]);
    assert_eq!(whole, "spend 5 phone --overhead --on 1/11");
    says(
        &ran.err,
        &["Which day [today]: ", "is in a closed month: everything up to 31 Oct 2026 is closed", "Which day [today]: "],
    );
}

#[test]
fn what_was_typed_wrong_is_refused_before_the_rest_is_asked() {
    let yard = yard();
    let ran = nothing_of(&yard, "sell 7", &["935"]);
    assert!(ran.err.starts_with("error: no car '7' in the book"), "{}", ran.err);
    for (line, why) in [
        ("spend 64 tyre", "error: no heading 'tyre'; did you mean 'tyres'? hint: "),
        ("spend 15 --car 9", "error: no car '9' in the book hint: "),
        ("buy KX42 RTO", "error: 1 KX42 RTO is in stock already"),
        ("sell 1 --on 1/9/2026", "error: 1 Sep 2026 is before 1 KX42 RTO was bought"),
        ("check 1 stollen", "error: no item on the pre-sale list 'stollen'; did you mean 'stolen'?"),
    ] {
        let ran = yard.run_answering(line, &["54.85", "mot"]);
        assert!(matches!(ran.code, 1 | 2) && ran.err.replace('\n', " ").starts_with(why), "{}", ran.err);
    }
    // The delivery typed is wrong, not the price answered: the command refuses, and the line can be put right.
    let ran = nothing_of(&yard, "sell 1 --delivered 1/9/2026", &["935", "D Farrow"]);
    says(
        &ran.err,
        &[
            "Price: ",
            "error: delivery '1 Sep 2026' is before the sale, on 25 Nov 2026",
            "in one line: `runabout sell 1 935 --delivered 1/9/2026`",
        ],
    );
    assert!(!ran.err.contains("Sold to"), "{}", ran.err);
    // A word that does not read at all is a wrong command line, as without a terminal.
    let ran = yard.run_answering("sell 1 9x", &["935"]);
    assert_eq!((ran.code, ran.err), (2, yard.run("sell 1 9x").err));
}

#[test]
fn another_buyer_than_the_depositor_is_asked_about_at_the_end() {
    let yard = yard();
    let (ran, whole) = answered(&yard, "sell 2", &["", "", "D Farrow", "", "", "", "y"]);
    assert_eq!(whole, "sell 2 1295.00 --to 'D Farrow' --give-back-deposit");
    says(&ran.err, &["P Quill's deposit of £120.00 is held on it. Hand it back with this sale? [y/N] "]);
}

#[test]
fn spending_is_asked_what_it_was_on_and_for_which_car() {
    let yard = yard();
    yard.ok("spend 5 valet --car 1");
    let (ran, whole) = answered(
        &yard,
        "spend",
        &["0", "54.85", "tyre", "?", "wheels-sold", "Tyres", "?", "9", "", "Hob Lane Spares", "", ""],
    );
    assert_eq!(whole, "spend 54.85 tyres --car 1 --to 'Hob Lane Spares'");
    says(
        &ran.err,
        &[
            "How much: amount '0' is nothing: write what was paid",
            "On what (? lists them): no heading 'tyre'; did you mean 'tyres'?",
            "accountant, advertising,",
            "the heading 'wheels-sold' goes with `receive`",
            "No  Mark",
            "For which car (1,2 to share, or overhead) [1 KX42 RTO]: ",
            "In parts: 1=47.30,overhead=15.",
            "no car '9' in the book",
            "Paid to (name) [skip]: ",
        ],
    );
    for (target, typed) in [
        ("overhead", "--overhead"),
        ("1, ab91 cde", "--share '1,ab91cde'"),
        ("1=47.30, overhead=15", "--split '1=47.30' --split 'overhead=15'"),
        ("KX42 RTO", "--car KX42RTO"),
    ] {
        // Only that was left out, so only that is asked.
        assert_eq!(answered(&yard, "spend 62.30 parts", &[target]).1, format!("spend 62.30 parts {typed}"));
    }
    let ran = nothing_of(&yard, "spend 62.30 parts", &["1=47.30,overhead=16", "7=62.30", "1,1", "."]);
    says(&ran.err, &["£63.30", "no car '7' in the book", "named twice", "nothing recorded"]);
}

#[test]
fn without_a_car_spending_is_for_the_yard() {
    let yard = Yard::new("2026-11-25");
    assert_eq!(answered(&yard, "spend 88 rent", &[""]).1, "spend 88 rent --overhead");
}

#[test]
fn what_settles_a_balance_is_asked_whose_it_is() {
    let yard = yard();
    yard.ok("spend 84 parts --car 1 --unpaid --to \"Hob Lane Spares\"");
    yard.ok("sell 1 925 --to \"D Farrow\" --paid-amount 740");
    let (ran, whole) = answered(&yard, "spend", &["84", "balance", "Hob Lane", "Hob Lane Spares", "", ""]);
    assert_eq!(whole, "spend 84 balance --to 'Hob Lane Spares'");
    says(&ran.err, &["Owed for which car, or to whom: £84.00 is too much: nothing is owed to Hob Lane"]);
    assert_eq!(answered(&yard, "spend", &["55", "vat", "", ""]).1, "spend 55 vat");
    let (ran, whole) = answered(&yard, "receive", &["185", "balance", "2", "1", "", ""]);
    assert_eq!(whole, "receive 185 balance --car 1");
    yard.ok("sell 2 980 --paid-amount 800");
    let (ran_off, whole) = answered(&yard, "write-off", &["2", "70", "60", ""]);
    assert_eq!(whole, "write-off 2 60");
    says(&ran_off.err, &["How much will not come: £70.00 is too much: £60.00 is owed"]);
    says(&ran.err, &["D Farrow", "925.00", "[1 KX42 RTO]: 2 AB91 CDE is not sold"]);
}

#[test]
fn a_pass_is_offered_its_last_day_and_asked_for_advisories() {
    let yard = yard();
    let (ran, whole) = answered(
        &yard,
        "mot",
        &["1", "pas", "PASS", "", "2/12", "", "83,000", "54.85", "cash", "major tyre", "advisory tyre near limit", ""],
    );
    assert_eq!(
        whole,
        "mot 1 PASS --until 2/12/2027 --miles '83,000' --fee 54.85 --paid cash --defect 'advisory:tyre near limit'"
    );
    // It ran to 2 December and was tested in its last month: the day is kept, by the rule in domain/law/mot.rs.
    says(
        &ran.err,
        &[
            "Which car (mark or number): Pass or fail: result 'pas' is not understood: write pass or fail",
            "Which day [today]: Good until [2 Dec 2027]: 2/12 in which year [2027]: ",
            "Fee paid [none]: Paid by cash, bank, card or own [bank]: ",
            "defect 'major:tyre' fails a test",
            "Advisory, such as advisory tyre (buyers read it) [none]: Advisory, such as advisory tyre (buyers read it) [no more]: ",
        ],
    );
    let (ran, whole) = answered(&yard, "mot", &["2", "pass", "24/11", "", "", "", ""]);
    assert_eq!(whole, "mot 2 pass --on 24/11");
    says(&ran.err, &["Good until [23 Nov 2027]: "]);
    assert!(!ran.err.contains("Paid by"), "{}", ran.err);
}

#[test]
fn a_fail_is_asked_for_its_defects_until_there_are_no_more() {
    let yard = yard();
    let (ran, whole) = answered(
        &yard,
        "mot",
        &["1", "fail", "", "", "", "brake hose", "major brake hose perished", "dangerous:tyre cord", ""],
    );
    assert_eq!(whole, "mot 1 fail --defect 'major:brake hose perished' --defect 'dangerous:tyre cord'");
    says(&ran.err, &["defect 'brake hose' is not understood: write its level and what it is", "a dangerous defect"]);
    assert!(!ran.err.contains("Good until"), "{}", ran.err);
}

#[test]
fn the_other_commands_ask_alike() {
    for (line, answers, whole) in [
        ("ask", &["1", "1295", "1,400", "1,100"][..], "ask 1 1295 --lowest '1,100'"),
        ("offer", &["1", "0", "985", "D Farrow", ""], "offer 1 985 --by 'D Farrow'"),
        (
            "deposit",
            &["1", "75", "D Farrow", "cash", "5/12", "", ""],
            "deposit 1 75 --by 'D Farrow' --paid cash --hold-until 5/12/2026",
        ),
        ("deposit --keep", &["2", ""], "deposit 2 --keep"),
        ("receive", &["55", "wheels-sold", "1", "", "own", ""], "receive 55 wheels-sold --car 1 --paid own"),
        ("receive 18.50 scrap-sold", &["other"], "receive 18.50 scrap-sold --other"),
        ("receive --car 1", &["18.50", "scrap-sold", "", "", ""], "receive 18.50 scrap-sold --car 1"),
        ("dispose", &["1", "gone", "broken", "", "", "", ""], "dispose 1 broken"),
        (
            "dispose",
            &["1", "scrapped", "195", "bank", "Tarn Metals", "CD1", ""],
            "dispose 1 scrapped --received 195 --paid bank --to 'Tarn Metals' --certificate CD1",
        ),
        ("dispose 1 kept", &["365", ""], "dispose 1 kept --value 365"),
        ("tax", &["1", "7", "6", "99.50", "", ""], "tax 1 --months 6 --paid-amount 99.50"),
        ("tax 1", &["SORN", ""], "tax 1 --sorn"),
        (
            "hours",
            &["1", "2h75", "2h30", "front brakes", "yesterday"],
            "hours 1 2h30 --note 'front brakes' --on yesterday",
        ),
        ("note", &["1", "V5C arrived"], "note 1 'V5C arrived'"),
        ("journey", &["42", "to the auction and back", ""], "journey 42 'to the auction and back'"),
        ("pay-in", &["420", "own", "cash", "Aunt Wyn", ""], "pay-in 420 --paid cash --loan 'Aunt Wyn'"),
        ("draw", &["230", "", ""], "draw 230"),
        ("check", &["1", "?", "stollen", "stolen", "done", "", ""], "check 1 stolen done"),
        ("mark", &["2", "KX42RTO", "JU48 HVD", ""], "mark 2 JU48HVD"),
        ("move", &["240", "bank", "bank", "cash", ""], "move 240 bank cash"),
    ] {
        assert_eq!(answered(&yard(), line, answers).1, whole);
    }
    let yard = yard();
    yard.ok("sell 1 965 --to \"D Farrow\"");
    let (ran, whole) = answered(&yard, "take-back", &["2", "", "1,000", "865", "", "gearbox failed", ""]);
    assert_eq!(whole, "take-back 1 --refund 865 --reason 'gearbox failed'");
    says(&ran.err, &["D Farrow", "2 AB91 CDE is not sold", "[all the money received]: ", "£1,000.00 is too much"]);
}

#[test]
fn leaving_records_nothing_and_says_so() {
    let yard = yard();
    for answers in
        [&[][..], &["."], &["", ""], &["ST99WEM", "."], &["ST99WEM", "430", "R Ashdown"], &["ST99WEM", "430", "", "."]]
    {
        let ran = nothing_of(&yard, "buy", answers);
        assert!(ran.err.ends_with("nothing recorded\n"), "{}", ran.err);
    }
    // Leaving where the year is asked leaves too.
    let ran = nothing_of(&yard, "buy ST99WEM 430 --first-registered 1/9", &[""]);
    assert!(ran.err.ends_with("in which year: nothing recorded\n"), "{}", ran.err);
    let fresh = Yard::new("2026-11-25");
    nothing_of(&fresh, "buy", &["KX42RTO", "485", "."]);
    assert!(!fresh.book().exists());
}

#[test]
fn a_day_that_looks_ahead_is_asked_its_year() {
    let yard = yard();
    for (line, answers, until) in [
        ("buy ST99WEM 430 --mot-until 1/9", &["2"][..], ""),
        ("buy ST99WEM 430 --mot-until 1/9", &[""], "2027-09-01"),
        ("buy UT48KEM 455 --mot-until=29/2", &["2027", "28"], "2028-02-29"),
    ] {
        let ran = yard.run_answering(line, answers);
        assert_eq!(ran.code, u8::from(until.is_empty()), "{}", ran.err);
        let mark = line.split(' ').nth(1).unwrap();
        if !until.is_empty() {
            assert_eq!(yard.json(&format!("car {mark}"))["mot_until"], until);
        }
    }
    let ran = yard.run_answering("paper add insurance --until 14/3", &["27"]);
    says(&ran.err, &["14/3 in which year [2027]: ", "in one line: `runabout paper add insurance --until 14/3/27`"]);
    // Which fact of an entry is put right says whether its day needs a year.
    let entry = yard.json("buy FY49ABC 520 --mot-until 1/9/2027")["entry"].clone();
    let put_right = format!("amend {entry} mot-until 2/9");
    assert_eq!(yard.run_answering(&put_right, &[""]).code, 2);
    assert_eq!(yard.run_answering(&put_right, &["2028"]).code, 0);
    assert_eq!(yard.json("car FY49ABC")["mot_until"], "2028-09-02");
    assert_eq!(yard.run_answering(&format!("{put_right} --yes"), &["2029"]).err, yard.refused(&put_right).err);
    // A weekday or a word needs none, and one that has happened is the latest such day.
    assert_eq!(yard.run_answering("spend 5 mot --car 1 --on 1/11", &[]).code, 0);
}

#[test]
fn nobody_is_asked_in_a_script_or_with_yes() {
    let yard = yard();
    for line in
        ["buy", "sell", "sell 1", "spend", "spend 54.85", "mot", "mot 1", "deposit 1", "tax 1", "note 1", "take-back"]
    {
        let said = yard.refused(line);
        assert_eq!(said.code, 2, "{line}");
        let yes = yard.run_answering(&format!("{line} --yes"), &["1", "2", "3"]);
        let without = |err: &str| err.replace(" --yes", "").replace(' ', "");
        assert_eq!((yes.code, yes.out.as_str(), without(&yes.err)), (2, "", without(&said.err)), "{line}");
    }
    for line in ["spend 54.85 mot", "receive 55 wheels-sold", "dispose 1 kept", "buy ST99WEM 430 --mot-until 1/9"] {
        let said = yard.refused(line);
        let yes = yard.run_answering(&format!("{line} --yes"), &["1", "2", "3"]);
        assert_eq!((yes.code, yes.err), (2, said.err), "{line}");
    }
}

#[test]
fn a_dry_run_asks_and_keeps_nothing_and_json_is_alone_on_standard_output() {
    let yard = yard();
    let before = yard.dump();
    let ran = yard.run_answering("ask --dry-run -f json", &["1", "1295", ""]);
    assert_eq!((ran.code, yard.dump()), (0, before), "{}", ran.err);
    let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(json["dry_run"], true);
    assert!(ran.err.contains("in one line: `runabout ask 1 1295 --dry-run -f json`"), "{}", ran.err);
}

#[test]
fn with_no_car_to_choose_the_command_says_so() {
    let yard = Yard::new("2026-11-25");
    for (line, why) in [
        ("sell", "error: there is no car in stock hint: `runabout buy MARK PRICE` records one"),
        ("mot", "error: there is no car in stock"),
        ("take-back", "error: there is no car sold hint: `runabout sell CAR PRICE` records a sale"),
    ] {
        let ran = nothing_of(&yard, line, &["1"]);
        assert!(ran.err.replace('\n', " ").starts_with(why), "{}", ran.err);
    }
}

#[test]
fn names_shown_while_asking_are_written_out_and_fit_the_width() {
    let yard = yard();
    // Past the parser, as a damaged or foreign file might hold it.
    let book = rusqlite::Connection::open(yard.book()).unwrap();
    book.execute("UPDATE vehicle SET make = 'Cor\u{1b}[31mvane', model = ?1", ["x".repeat(300)]).unwrap();
    book.execute("UPDATE movement SET party = 'P\u{202e}Quill' WHERE purpose = 'deposit'", []).unwrap();
    drop(book);
    let ran = nothing_of(&yard, "sell", &["2", "", "", "."]);
    assert!(!ran.err.contains('\u{1b}') && !ran.err.contains('\u{202e}'), "{}", ran.err);
    says(&ran.err, &["Cor\\u{1b}[31mvane", "…", "from P\\u{202e}Quill is held", "Sold to (name) [P\\u{202e}Quill]: "]);
    let table = ran.err.lines().filter(|line| line.contains("KX42 RTO"));
    assert!(table.clone().count() == 1 && table.clone().all(|line| line.chars().count() <= 80), "{}", ran.err);
}

/// Enter pressed too soon does not put the yard's insurance on the car last spent on.
#[test]
fn what_goes_on_the_yard_as_a_rule_is_offered_the_yard() {
    let yard = yard();
    let (_, whole) = answered(&yard, "spend 31.99 insurance", &["", "", "", ""]);
    assert_eq!(whole, "spend 31.99 insurance --overhead");
    let (_, whole) = answered(&yard, "spend 12 fuel", &["", "", "", ""]);
    assert_eq!(whole, "spend 12 fuel --car 2");
    // One of the trader's own headings may be for anything.
    yard.ok("settings set heading:polish office");
    let (_, whole) = answered(&yard, "spend 12 polish", &["", "", "", ""]);
    assert_eq!(whole, "spend 12 polish --car 2");
}

#[test]
fn a_day_given_where_a_name_is_asked_is_no_name() {
    let yard = yard();
    let (ran, whole) = answered(&yard, "offer 1", &["905", "21/11", "21 Nov", "May 21st", "21/11"]);
    assert_eq!(whole, "offer 1 905 --by 'May 21st' --on 21/11");
    says(&ran.err, &["'21/11' is a day, and this asks for a name", "'21 Nov' is a day"]);
}
