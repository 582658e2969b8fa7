//! A word spelt wrong: the answer names it, says what would do, and offers what it was probably meant to be.

use crate::common::Yard;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3,100 --on 1/9/2026",
        "buy KX42RTO 465 --on 3/10/2026 --from \"R Ashdown\"",
        "standing add \"yard rent\" 95 --every month --from 1/11/2026",
        "paper add \"trade insurance\" --until 2027-03-14",
        "settings set auction:\"Marsh Lane\" \"0=75 250=110\"",
    ] {
        yard.ok(line);
    }
    std::fs::write(yard.folder().join("money.csv"), "on,amount,heading\n").unwrap();
    yard
}

#[test]
fn whatever_is_spelt_wrong_what_was_meant_is_offered() {
    let yard = yard();
    let file = yard.folder().join("mony.csv").display().to_string();
    let import = format!("import {file}");
    for (typed, meant) in [
        ("spned 54.85 mot --car 1", "'spend'"),
        ("standing ad rent 5 --every week", "'add'"),
        ("stock --formt json", "'--format'"),
        ("stock --format jsn", "'json'"),
        ("spend 64 tyre --car 1", "'tyres'"),
        ("receive 18.50 scrp-sold --car 1", "'scrap-sold'"),
        ("spend 54.85 mot --car KX42RTP", "'KX42 RTO'"),
        ("settings set default-pad cash", "'default-paid'"),
        ("standing stop \"Yard Rnt\"", "'yard rent'"),
        ("paper renew \"trade insurence\" --until 2028-01-01", "'trade insurance'"),
        ("check 1 identty done", "'identity'"),
        ("check 1 identity doen", "'done'"),
        ("completions bsh", "'bash'"),
        ("manual standng", "'standing'"),
        ("amend 2 pric 505", "'price'"),
        ("amend 2 date 4/10", "'on'"),
        ("amend 2 seller Gale", "'from'"),
        ("spend 27.50 petrol --car 1", "'fuel'"),
        ("spend 15 brakes --car 1", "'parts'"),
        ("month --format csv --part overhead", "'overheads'"),
        ("due --kind mott", "'mot'"),
        ("mot 1 pas", "'pass'"),
        ("buy AB91CDE 395 --via acution", "'auction'"),
        ("buy AB91CDE 395 --kind vann", "'van'"),
        ("spend 54.85 mot --car 1 --paid chash", "'cash'"),
        ("standing add x 4 --every mnth", "'month'"),
        ("dispose 1 scraped", "'scrapped'"),
        ("lessons --by mak", "'make'"),
        ("month novembr", "'november'"),
        ("bid --sells-for 1,275 --prep 140 --auction \"Marsh Lnae\"", "'marsh-lane'"),
        ("forget \"R Ashdwn\"", "'R Ashdown'"),
        (&import, "money.csv'"),
        ("import x.csv --kind mony", "'money'"),
    ] {
        let said = yard.refused(typed).err;
        assert!(said.contains(meant), "`{typed}` does not offer {meant}: {said}");
    }
}

/// What somebody types who knows what happened and has not looked up how it is written.
#[test]
fn a_word_or_option_too_many_is_told_where_it_belongs() {
    let yard = yard();
    for (typed, said) in [
        ("pay in 1850", "did you mean 'pay-in'?"),
        ("stock book", "did you mean 'stock-book'?"),
        ("pay-in 360 cash", "`--paid cash`"),
        ("pay-in 360 --cash", "`--paid cash`"),
        ("buy AB91CDE 475 yesterday", "`--on yesterday`"),
        ("buy AB91CDE 475 21/11", "`--on 21/11`"),
        ("buy AB91CDE 475 --from Mrs Gale", "go in quotes"),
        ("spend 27.50 fuel 1", "`--car 1`"),
        ("spend 27.50 fuel KX42RTO", "`--car KX42RTO`"),
        ("spend 27.50 fuel --yard", "`--overhead`"),
        ("spend 27.50 fuel overhead", "`--overhead`"),
        ("spend 27.50 fuel --cars 1,2", "`--share 1,2`"),
        ("spend 27.50 fuel --car 1,2", "`--share 1,2`"),
        ("spend 27.50 fuel --car 1 --car 2", "`--share 1,2`"),
        ("standing add big shed 140 --every month", "go in quotes"),
        ("mot 1 fail --major hose", "`--defect \"major:"),
        ("ask 1 1,195 lowest 1000", "`--lowest`"),
        ("hours 3 --car 1", "`runabout hours 1 2.5`"),
        ("bid 1350", "`--sells-for 1350`"),
        ("sell 1 985 --part-exchange AB91 CDE", "`--part-exchange AB91CDE=165`"),
        ("sell 1 985 --buyer \"D Farrow\"", "`--to NAME`"),
    ] {
        let refused = yard.run(typed);
        assert!(refused.code == 2 && refused.err.contains(said), "`{typed}` does not say {said}: {}", refused.err);
    }
}

/// The sentence is the program's own, and says in the words of the help what is missing or will not do.
#[test]
fn a_command_line_that_cannot_be_read_is_told_why_in_one_sentence() {
    let yard = yard();
    for (typed, said) in [
        ("zebra", "error: there is no command 'zebra'\n"),
        ("standing zebra", "error: `standing` has no command 'zebra'\n"),
        ("--zebra", "error: `runabout` has no option '--zebra'\n"),
        ("page --zebra", "error: `page` has no option '--zebra'\n"),
        ("stock zebra", "error: 'zebra' is a word more than `stock` takes\n"),
        ("close", "error: `close` needs MONTH too\n"),
        ("bid", "error: `bid` needs --sells-for AMOUNT too\n"),
        ("deposit 1 --yes", "error: `deposit` needs AMOUNT or --give-back AMOUNT or --keep too\n"),
        ("buy", "error: `buy` needs MARK and PRICE too\n"),
        ("spend 27.50 fuel --on", "error: --on DATE is not followed by anything\n"),
        ("stock --format xml", "error: --format FORMAT 'xml' is not understood: write table, json or csv\n"),
        ("ask 1 985 --lowest ten", "error: --lowest: amount 'ten' is not understood: write pounds and pence"),
        ("spend parts 15", "error: amount 'parts' is not understood: write pounds and pence"),
        ("spend 27.50 fuel --car 1 --overhead", "error: --car CAR does not go with --overhead\n"),
        ("buy AB91CDE 4 --on 1/9 --on 2/9", "error: --on is there more than once\n"),
    ] {
        let refused = yard.run(typed);
        assert!(refused.code == 2 && refused.err.starts_with(said), "`{typed}` does not say {said}: {}", refused.err);
        assert!(refused.err.contains("`runabout help"), "`{typed}`: {}", refused.err);
    }
}

#[test]
fn a_word_like_no_other_is_answered_with_what_there_is() {
    let yard = yard();
    for (typed, said) in [
        ("standing stop zebra", "there is 'yard rent'"),
        ("amend 2 zebra 5", "it has price, on, from"),
        ("amend 1 model Dart", "`runabout log` lists the entries"),
        ("spend 15 zebra --car 1", "no heading 'zebra'\n"),
        ("bid --sells-for 1,275", "add --prep AMOUNT"),
        ("settings set zebra 5", "trader-name, trader-address"),
        ("import zebra.csv", "save the spreadsheet as CSV"),
        ("programme set", "`runabout programme set --cars 2"),
        ("zebra", "`runabout help` lists the commands"),
    ] {
        let answered = yard.refused(typed).err;
        assert!(answered.contains(said), "`{typed}` does not say {said}: {answered}");
    }
}

/// What holds while nothing was set can be set, and only once.
#[test]
fn the_programme_can_be_said_to_be_what_it_is_by_default() {
    let yard = yard();
    assert_eq!(yard.json("due --kind slot")["items"], serde_json::json!([]));
    yard.ok("programme set --cars 2");
    assert_eq!(yard.json("due --kind slot")["items"].as_array().unwrap().len(), 1);
    let said = yard.refused("programme set --cars 2").err;
    assert!(said.contains("the programme is 2 cars a month, no budget set"), "{said}");
}

#[test]
fn months_and_tax_years_are_taken_as_a_trader_writes_them() {
    let yard = yard();
    for month in ["november", "Nov26", "nov 26", "11/26", "11/2026", "2026-11", "this"] {
        assert_eq!(yard.json(&format!("month {month}"))["month"], "2026-11", "{month}");
    }
    // The 12 of November or December 2011: not said which.
    assert_eq!(yard.run("month 12/11").code, 2);
    for year in ["2026-27", "2026/27", "26/27", "26-27"] {
        assert_eq!(yard.json(&format!("tax-year {year}"))["tax_year"], yard.json("tax-year")["tax_year"], "{year}");
    }
}

#[test]
fn a_pocket_with_less_than_nothing_is_said_and_only_when_it_came_to_that() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 100");
    assert!(!yard.ok("spend 100 stationery --overhead").err.contains("by the book"));
    let said = yard.ok("spend 12.50 fuel --overhead --paid cash").err;
    assert!(said.contains("cash in hand is now -£12.50 by the book"), "{said}");
    // It has more than before, and the bank has what it had.
    assert!(!yard.ok("pay-in 5 --paid cash").err.contains("by the book"));
    // A rent that came due meanwhile counts: 3 x 95 out of the bank, which held nothing.
    let said = yard.ok("standing add \"yard rent\" 95 --every month --from 1/9/2026").err;
    assert!(said.contains("the bank account is now -£285.00 by the book"), "{said}");
    let cash = yard.json("cash");
    assert_eq!((&cash["cash_in_hand"], &cash["bank"]), (&"-7.50".into(), &"-285.00".into()));
    assert!(yard.json("spend 1 fuel --overhead")["notes"][0].as_str().unwrap().contains("-£286.00"));
}

#[test]
fn who_lent_the_money_is_named() {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 470 --loan \"Aunt Wyn\" --on 1/9/2026",
        "pay-in 360 --loan \"T Boon\" --on 5/10/2026",
        "draw 185 --loan \"aunt wyn\" --on 1/11/2026",
        "draw 360 --loan \"T Boon\" --on 2/11/2026",
    ] {
        yard.ok(line);
    }
    let shown = yard.ok("cash").out;
    assert!(shown.contains("Lent by Aunt Wyn") && !shown.contains("T Boon"), "{shown}");
    let cash = yard.json("cash");
    assert_eq!(cash["lenders"], serde_json::json!([{"name": "Aunt Wyn", "owed": "285.00"}]));
    assert_eq!(cash["loans"], "285.00");
    assert_eq!(yard.json("cash --as-of 31/10/2026")["lenders"].as_array().unwrap().len(), 2);
}

/// The everyday word means its command, whatever it is spelt like; what is spelt wrong, the nearest.
#[test]
fn a_word_that_is_no_command_is_answered_with_the_one_it_means() {
    let yard = yard();
    for (typed, meant) in [
        ("spent 12.99 fuel cash", "'spend'"),
        ("paid 12.99 fuel", "'spend'"),
        ("petrol 36", "'spend'"),
        ("fix 1", "'spend' or 'amend'"),
        ("repair 1 60", "'spend'"),
        ("bill 60", "'spend' or 'invoice'"),
        ("bought TU12 RTO 385", "'buy'"),
        ("sold 1 760", "'sell'"),
        ("sale 6 500", "'sell'"),
        ("selling 1", "'sell'"),
        ("Sale 6 500", "'sell'"),
        ("refund 1", "'take-back'"),
        ("payback 1", "'take-back'"),
        ("return 1", "'take-back'"),
        ("find KX12", "'car' or 'log'"),
        ("scrap 1", "'dispose'"),
        ("list", "'stock'"),
        ("cars", "'stock'"),
        ("profit", "'month' or 'results'"),
        ("credit-note 1", "'invoice'"),
        ("invoices", "'invoice'"),
        ("edit 3", "'amend'"),
        ("delete 3", "'undo'"),
        ("standing remove \"yard rent\"", "'stop'"),
        ("paper extend x", "'renew'"),
        // By letters, of commands and of everyday words.
        ("sel 1 760", "'sell'"),
        ("calender", "'calendar'"),
        ("refnud 1", "'take-back'"),
    ] {
        let said = yard.refused(typed);
        assert!(said.err.contains(&format!("hint: did you mean {meant}?\n")), "`{typed}`, {meant}: {}", said.err);
        assert!(
            said.err.contains(&format!(
                "no command '{}'",
                typed.split(' ').find(|word| !["standing", "paper"].contains(word)).unwrap()
            )),
            "{}",
            said.err
        );
        assert_eq!(said.code, 2);
    }
    let said = yard.refused("spent 12.99 fuel cash").err;
    assert!(said.contains("for example: runabout spend 54.85 mot --car 1"), "{said}");
}

/// A note begins where the car is said, whatever its first word could make with the number.
#[test]
fn a_number_of_a_car_takes_in_no_word_of_a_note() {
    let yard = Yard::new("2026-11-25");
    for n in 1..=8 {
        yard.ok(&format!("buy TU1{n} RTO 385 --on 3/10/2026"));
    }
    yard.ok("note 8 new tyre ordered");
    assert_eq!(yard.json("car 8")["notes"][0]["text"], "new tyre ordered");
    yard.ok("buy A1 420 --on 3/10/2026");
    yard.ok("note A1 new clutch");
    assert_eq!(yard.json("car 9")["notes"][0]["text"], "new clutch");
    yard.ok("note TU12 RTO V5C arrived");
    assert_eq!(yard.json("car 2")["notes"][0]["text"], "V5C arrived");
    yard.ok("buy 1234 AB 440 --on 3/10/2026");
    assert_eq!(yard.json("car 1234 AB")["stock_no"], 10);
    let book = yard.book().display().to_string();
    yard.ok(&format!("--book={book} note 1234 AB new hose"));
    assert_eq!(yard.json("car 10")["notes"][0]["text"], "new hose");
    assert!(yard.refused("note 99 new tyre").err.contains("no car '99'"));
    let asked = yard.run_answering("note 8", &["new tyre fitted", ""]);
    assert_eq!(asked.code, 0, "{}", asked.err);
}
