//! Invoices, credit notes and purchase records: numbers, what is shown, what adds up, what is refused.

use crate::common::Yard;
use serde_json::Value;

/// A trader with his settings, and car 1 in stock.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "settings set trader-name \"Wend Lane Motors\"",
        "settings set trader-address \"Wend Lane Yard, Sallowby\"",
        "settings set trader-phone \"01632 960147\"",
        "pay-in 5000 --on 1/10/2026",
        "buy KX42RTO 465 --from \"R Ashdown\" --make Brindle --model Harrow --year 2012 --colour blue \
         --vin WDX1234567 --miles 82000 --mot-until 2027-03-06 --on 3/10/2026",
    ] {
        yard.ok(line);
    }
    yard
}

fn pence(value: &Value) -> i64 {
    let text = value.as_str().unwrap_or_else(|| panic!("not money: {value}"));
    text.replace('.', "").parse().unwrap()
}

/// The parts and what is due make the price.
fn adds_up(invoice: &Value) {
    let parts: i64 = invoice["settlement"].as_array().unwrap().iter().map(|part| pence(&part["amount"])).sum();
    assert_eq!(parts + pence(&invoice["balance_due"]), pence(&invoice["price"]), "{invoice}");
}

fn part<'v>(invoice: &'v Value, what: &str) -> &'v Value {
    let parts = invoice["settlement"].as_array().unwrap();
    parts.iter().find(|part| part["what"] == what).unwrap_or_else(|| panic!("no {what} in {invoice}"))
}

fn term<'v>(invoice: &'v Value, heading: &str) -> &'v str {
    let terms = invoice["terms"].as_array().unwrap();
    let found = terms.iter().find(|term| term["heading"] == heading);
    found.unwrap_or_else(|| panic!("no {heading} in {invoice}"))["text"].as_str().unwrap()
}

fn has_term(invoice: &Value, heading: &str) -> bool {
    invoice["terms"].as_array().unwrap().iter().any(|term| term["heading"] == heading)
}

/// What a page shows, without its style.
fn body(page: &str) -> &str {
    page.split_once("<main>").unwrap_or_else(|| panic!("no page: {page}")).1
}

#[test]
fn every_key_is_there() {
    let yard = yard();
    yard.ok("sell 1 915 --to \"D Farrow\" --address \"2 Mill Row, Sallowby\" --on 20/11/2026");
    let told = yard.json("invoice 1");
    for key in "report version as_of kind number on seller buyer stock_no mark make model year colour vin \
                first_registered price vat wording settlement balance_due mileage mot to_trade refers_to \
                reversed_by numbers_undone terms declaration notes"
        .split_whitespace()
    {
        assert!(told.get(key).is_some(), "no {key} in {told}");
    }
    assert_eq!(
        (&told["report"], &told["kind"], &told["number"]),
        (&"invoice".into(), &"sales-invoice".into(), &"S1".into())
    );
    assert_eq!(
        (&told["on"], &told["mark"], &told["price"]),
        (&"2026-11-20".into(), &"KX42 RTO".into(), &"915.00".into())
    );
    assert_eq!(told["seller"]["address"], "Wend Lane Yard, Sallowby");
    assert_eq!(told["buyer"]["address"], "2 Mill Row, Sallowby");
    // 20 Nov + 30 days; six months counting the day itself.
    let rights = term(&told, "Your rights");
    assert!(rights.contains("until 20 Dec 2026") && rights.contains("up to 19 May 2027"), "{rights}");
    assert!(!has_term(&told, "Your right to cancel"));
    let row = yard.ok("invoice 1 --format csv").out;
    assert!(row.starts_with("kind,number,on,") && row.lines().count() == 2, "{row}");
    let shown = yard.ok("invoice 1 --format table").out;
    assert!(shown.starts_with("<!DOCTYPE html>"), "{shown}");
}

#[test]
fn a_number_is_never_given_again_and_an_undone_one_is_explained() {
    let yard = yard();
    yard.ok("sell 1 915 --on 20/11/2026");
    assert_eq!(yard.json("invoice 1")["number"], "S1");
    let undo = yard.json("undo")["entry"].as_i64().unwrap();
    let refused = yard.refused("invoice 1");
    assert!(refused.err.contains(&format!("S1 was undone by entry {undo}")), "{}", refused.err);
    assert!(refused.err.contains(&format!("`runabout undo {undo}`")), "{}", refused.err);
    yard.ok("sell 1 965 --on 21/11/2026");
    let told = yard.json("invoice 1");
    assert_eq!((&told["number"], &told["price"]), (&"S2".into(), &"965.00".into()));
    assert_eq!(told["numbers_undone"], serde_json::json!([{"number": "S1", "by_entry": undo}]));
    let said = yard.ok("invoice 1").err;
    assert!(said.contains(&format!("S1 was undone by entry {undo}")), "{said}");
    assert!(yard.refused("invoice 1 --number s1").err.contains("S1 was undone"));
    // The undo undone: the sale is back under its own number, and the other is now the undone one.
    yard.ok("undo");
    yard.ok(&format!("undo {undo}"));
    let told = yard.json("invoice 1");
    assert_eq!((&told["number"], &told["price"]), (&"S1".into(), &"915.00".into()));
    assert_eq!(told["numbers_undone"][0]["number"], "S2");
    assert_eq!(told["numbers_undone"].as_array().unwrap().len(), 1);
}

#[test]
fn what_was_never_sold_or_taken_back_has_no_paper() {
    let yard = yard();
    assert!(yard.refused("invoice 1").err.contains("is not sold"));
    assert!(yard.refused("invoice 1 --credit-note").err.contains("is not sold"));
    yard.ok("sell 1 905 --on 20/11/2026");
    assert!(yard.refused("invoice 1 --credit-note").err.contains("was not taken back"));
    assert!(yard.refused("invoice 1 --number S7").err.contains("has no paper S7; it has S1"));
    assert_eq!(yard.refused("invoice 1 --number 7").code, 2);
    assert_eq!(yard.refused("invoice 1 --purchase --credit-note").code, 2);
    assert!(yard.refused("invoice 1 --as-of 2026-10-02").err.contains("was not in the book"));
    assert!(yard.refused("invoice 1 --as-of 2026-11-19").err.contains("is not sold"));
}

#[test]
fn deposit_part_exchange_money_and_balance_make_the_price() {
    let yard = yard();
    yard.ok("deposit 1 110 --by \"D Farrow\" --on 15/11/2026");
    yard.ok("sell 1 1215 --to \"D Farrow\" --part-exchange ST99WEM=315 --part-exchange-finance ST99WEM=125 \
         --paid-amount 495 --paid cash --on 20/11/2026");
    let told = yard.json("invoice 1");
    adds_up(&told);
    let taken = part(&told, "part-exchange");
    assert_eq!((&taken["mark"], &taken["stock_no"]), (&"ST99 WEM".into(), &2.into()));
    assert_eq!(
        (&taken["allowance"], &taken["finance"], &taken["amount"]),
        (&"315.00".into(), &"125.00".into(), &"190.00".into())
    );
    assert_eq!(part(&told, "deposit")["amount"], "110.00");
    assert_eq!(
        (&part(&told, "payment")["amount"], &part(&told, "payment")["on"]),
        (&"495.00".into(), &"2026-11-20".into())
    );
    // By hand: 1,215 − 190 − 110 − 495 = 420.
    assert_eq!(told["balance_due"], "420.00");
    for on in ["21/11/2026", "22/11/2026", "23/11/2026", "24/11/2026"] {
        yard.ok(&format!("receive 65 balance --car 1 --on {on}"));
    }
    yard.ok("write-off 1 35 --on 24/11/2026");
    let told = yard.json("invoice 1");
    adds_up(&told);
    assert_eq!(part(&told, "payments")["amount"], "755.00");
    assert_eq!(part(&told, "written-off")["amount"], "35.00");
    assert_eq!(told["balance_due"], "125.00");
    // As of the day of sale it is what it was.
    assert_eq!(yard.json("invoice 1 --as-of 2026-11-20")["balance_due"], "420.00");
    let page = yard.ok("invoice 1").out;
    for shown in ["£1,215.00", "£190.00", "allowed £315.00 less £125.00 of finance", "£755.00", "£125.00"] {
        assert!(page.contains(shown), "no {shown}");
    }
    let record = yard.json("invoice 2 --purchase");
    adds_up(&record);
    assert_eq!((&record["price"], &record["seller"]["name"]), (&"315.00".into(), &"D Farrow".into()));
    assert_eq!(part(&record, "to-lender")["amount"], "125.00");
    assert_eq!(part(&record, "counted-towards-sale")["amount"], "190.00");
    assert_eq!(record["refers_to"]["number"], "S1");
}

#[test]
fn a_car_worth_more_than_the_price_leaves_money_for_the_buyer() {
    let yard = yard();
    yard.ok("sell 1 535 --part-exchange ST99WEM=720 --on 20/11/2026");
    let told = yard.json("invoice 1");
    adds_up(&told);
    assert_eq!(part(&told, "payment")["amount"], "-185.00");
    assert_eq!(part(&told, "payment")["wording"], "Paid to the buyer 20 Nov 2026 by bank or card");
    assert_eq!(told["balance_due"], "0.00");
}

#[test]
fn a_take_back_has_a_credit_note_of_its_own_number_and_the_invoice_says_so() {
    let yard = yard();
    yard.ok("sell 1 1045 --to \"D Farrow\" --part-exchange ST99WEM=215 --paid-amount 725 --on 10/11/2026");
    yard.ok("take-back 1 --refund 620 --unpaid --return-part-exchange --reason \"gearbox failed\" --on 20/11/2026");
    let note = yard.json("invoice 1 --credit-note");
    adds_up(&note);
    assert_eq!(
        (&note["kind"], &note["number"], &note["on"]),
        (&"credit-note".into(), &"C1".into(), &"2026-11-20".into())
    );
    assert_eq!(note["refers_to"], serde_json::json!({"number": "S1", "on": "2026-11-10"}));
    // 1,045 = 620 to go back + the car taken in at 215 + 105 kept + 105 never paid.
    for (what, amount) in
        [("refund", "620.00"), ("car-given-back", "215.00"), ("kept-back", "105.00"), ("lapsed", "105.00")]
    {
        assert_eq!(part(&note, what)["amount"], amount, "{what}");
    }
    assert_eq!(note["balance_due"], "0.00");
    assert_eq!(part(&note, "car-given-back")["mark"], "ST99 WEM");
    assert!(term(&note, "Refund").starts_with("£620.00 is still to be paid, by 3 Dec 2026"), "{note}");
    yard.ok("spend 620 balance --car 1");
    assert!(!has_term(&yard.json("invoice 1 --credit-note"), "Refund"));
    let invoice = yard.json("invoice 1");
    adds_up(&invoice);
    assert_eq!((&invoice["number"], &invoice["balance_due"]), (&"S1".into(), &"0.00".into()));
    assert_eq!(invoice["reversed_by"], serde_json::json!({"number": "C1", "on": "2026-11-20"}));
    assert!(yard.ok("invoice 1").out.contains("Reversed: the car came back on 20 Nov 2026. Credit note C1."));
    assert_eq!(yard.json("invoice 1 --as-of 2026-11-19")["reversed_by"], Value::Null);
    // Sold again: a new number; the old ones are still to be had.
    yard.ok("sell 1 925 --to \"P Quill\" --on 22/11/2026");
    assert_eq!(yard.json("invoice 1")["number"], "S2");
    assert_eq!(yard.json("invoice 1 --number S1")["buyer"]["name"], "D Farrow");
    assert_eq!(yard.json("invoice 1 --number c1")["number"], "C1");
    assert_eq!(yard.json("invoice 1 --credit-note")["number"], "C1");
}

#[test]
fn an_undone_take_back_is_explained_and_its_number_left_out() {
    let yard = yard();
    yard.ok("sell 1 1040 --on 10/11/2026");
    yard.ok("take-back 1 --on 20/11/2026");
    let undo = yard.json("undo")["entry"].as_i64().unwrap();
    let refused = yard.refused("invoice 1 --credit-note");
    assert!(refused.err.contains(&format!("C1 was undone by entry {undo}")), "{}", refused.err);
    assert_eq!(yard.json("invoice 1")["reversed_by"], Value::Null);
    yard.ok("take-back 1 --on 21/11/2026");
    assert_eq!(yard.json("invoice 1 --credit-note")["number"], "C2");
}

#[test]
fn under_the_scheme_no_vat_is_shown_and_outside_it_it_is() {
    let yard = yard();
    yard.ok("settings set vat-number \"GB 999 9999 73\"");
    yard.ok("settings set vat-registered-from 1/11/2026");
    yard.ok("buy AB91CDE 660 --vat 110 --vat-invoice --on 4/11/2026");
    yard.ok("buy UT48KEM 330 --on 4/10/2026");
    yard.ok("sell 3 515 --on 31/10/2026");
    yard.ok("sell 1 1095 --on 20/11/2026");
    yard.ok("sell 2 1260.01 --on 20/11/2026");
    let page = |car: u8| yard.ok(&format!("invoice {car}")).out;
    // The day before registration: nothing about VAT at all.
    let before = yard.json("invoice 3");
    assert_eq!(
        (&before["vat"], &before["wording"], &before["seller"]["vat_number"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
    assert!(!body(&page(3)).contains("VAT") && !body(&page(3)).contains("margin"));
    // Under the scheme: 1,095 − 465 = 630, VAT 105.00 in the books, and not on the paper.
    let scheme = yard.json("invoice 1");
    assert_eq!((&scheme["vat"], &scheme["wording"]), (&Value::Null, &"margin scheme - second hand goods".into()));
    assert_eq!(yard.json("car 1")["vat_on_sale"], "105.00");
    let shown = page(1);
    let shown = body(&shown);
    assert!(shown.contains("margin scheme - second hand goods") && shown.contains("GB 999 9999 73"), "{shown}");
    assert!(!shown.contains("£105.00") && !shown.contains("630.00") && !shown.contains("%</"), "{shown}");
    assert_eq!(shown.matches("VAT").count(), 1, "only the VAT number: {shown}");
    // Bought on an invoice showing VAT: an ordinary VAT invoice, a sixth of 1,260.01 to the penny.
    let ordinary = yard.json("invoice 2");
    assert_eq!(ordinary["wording"], Value::Null);
    assert_eq!(ordinary["vat"], serde_json::json!({"rate_pct": 20.0, "net": "1050.01", "vat": "210.00"}));
    assert_eq!(ordinary["vat"]["vat"], yard.json("car 2")["vat_on_sale"]);
    assert!(
        page(2).contains("VAT invoice S3") && page(2).contains("VAT at 20 %") && !page(2).contains("margin scheme")
    );
    // The credit note says the same as the invoice it undoes.
    yard.ok("take-back 2");
    assert_eq!(yard.json("invoice 2 --credit-note")["vat"], ordinary["vat"]);
    yard.ok("take-back 1");
    assert_eq!(yard.json("invoice 1 --credit-note")["wording"], scheme["wording"]);
}

#[test]
fn a_buyer_in_the_trade_reads_nothing_of_a_consumers_rights() {
    let yard = yard();
    yard.ok("sell 1 935 --to-trade --to \"Marl Cross Motors\" --on 20/11/2026");
    yard.ok("take-back 1 --unpaid --on 21/11/2026");
    let told = yard.json("invoice 1");
    assert!(!has_term(&told, "Your rights") && has_term(&told, "Buyer"), "{told}");
    for page in [yard.ok("invoice 1").out, yard.ok("invoice 1 --credit-note").out] {
        assert!(!body(&page).contains("Consumer") && !body(&page).contains("right"), "{page}");
    }
}

#[test]
fn a_sale_at_a_distance_can_be_cancelled_fourteen_days_from_delivery() {
    let yard = yard();
    yard.ok("sell 1 945 --distance --on 20/11/2026");
    let told = yard.json("invoice 1");
    assert!(term(&told, "Your right to cancel").contains("14 days after the day the car reaches you"));
    assert!(term(&told, "Your rights").contains("30 days, beginning the day after it reaches you"));
    yard.ok("undo");
    yard.ok("sell 1 945 --distance --delivered 24/11/2026 --on 20/11/2026");
    let told = yard.json("invoice 1");
    assert!(term(&told, "Your right to cancel").contains("until 8 Dec 2026"), "{told}");
    assert!(term(&told, "Your rights").contains("until 24 Dec 2026"), "{told}");
}

#[test]
fn mileage_and_mot_are_those_of_the_day_of_sale() {
    let yard = yard();
    yard.ok("mot 1 pass --on 5/11/2026 --miles 82010 --until 2027-11-04 --defect \"advisory:rear arch repaired\"");
    yard.ok("check 1 mileage done --on 6/11/2026");
    yard.ok("sell 1 955 --on 20/11/2026 --miles 82050");
    let told = yard.json("invoice 1");
    assert_eq!(told["mileage"], serde_json::json!({"miles": 82050, "on": "2026-11-20", "checked_on": "2026-11-06"}));
    let mileage = term(&told, "Mileage");
    assert!(mileage.starts_with("82,050 miles") && mileage.contains("does not warrant"), "{mileage}");
    assert_eq!(term(&told, "MOT"), "Until 4 Nov 2027. Last test 5 Nov 2026: passed. Advisory: rear arch repaired.");
    // The record of the purchase knows only what was known then.
    let record = yard.json("invoice 1 --purchase");
    assert_eq!((&record["mileage"]["miles"], &record["mot"]["until"]), (&82000.into(), &"2027-03-06".into()));
    assert_eq!(record["mileage"]["checked_on"], Value::Null);
}

#[test]
fn names_are_shown_and_not_run() {
    let yard = Yard::new("2026-11-25");
    let name = "<script>alert(1)</script> \"& <img src=x onerror=alert(2)>";
    yard.ok(&format!("settings set trader-name '{name}'"));
    yard.ok(&format!("buy KX42RTO 475 --make '{name}' --from '{name}' --on 3/10/2026"));
    yard.ok(&format!("mot 1 pass --on 5/11/2026 --defect 'advisory:{name}'"));
    yard.ok(&format!("sell 1 975 --to '{name}' --address '{name}' --on 20/11/2026"));
    yard.ok(&format!("take-back 1 --reason '{name}'"));
    for line in ["invoice 1", "invoice 1 --purchase", "invoice 1 --credit-note"] {
        let page = yard.ok(line).out;
        assert!(!page.contains("<script") && !page.contains("<img"), "{line}: {page}");
        assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &quot;&amp; &lt;img"), "{line}: {page}");
        assert!(!page.contains("http://") && !page.contains("https://"), "{line}: {page}");
        assert!(page.contains("default-src 'none'"));
    }
    assert_eq!(yard.json("invoice 1")["buyer"]["name"], name);
}

#[test]
fn what_the_settings_lack_is_a_line_to_fill_in_and_a_note() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set vat-registered-from 1/1/2026");
    yard.ok("buy KX42RTO 495 --on 3/10/2026");
    yard.ok("sell 1 985 --on 20/11/2026");
    let ran = yard.ok("invoice 1");
    for key in ["trader-name", "trader-address", "trader-phone", "vat-number"] {
        assert!(ran.err.contains(&format!("`runabout settings set {key} TEXT`")), "{key}: {}", ran.err);
        yard.ok(&format!("settings set {key} \"word of {key}\""));
    }
    assert!(ran.err.contains("to TEXT` adds it") && ran.err.contains("address TEXT` adds it"), "{}", ran.err);
    assert!(ran.err.contains("A record, not advice"), "{}", ran.err);
    let lines = |page: &str| page.matches("class=\"line\"").count();
    // Four of the trader's and the buyer's name and address.
    assert_eq!(lines(&ran.out), 6);
    let ran = yard.ok("invoice 1");
    assert_eq!(lines(&ran.out), 2);
    assert!(!ran.err.contains("settings set"), "{}", ran.err);
    // The hints work as they are printed.
    let entry = yard.json("log 1")["entries"][0]["entry"].as_i64().unwrap();
    yard.ok(&format!("amend {entry} to \"D Farrow\""));
    yard.ok(&format!("amend {entry} address \"2 Mill Row\""));
    assert_eq!(lines(&yard.ok("invoice 1").out), 0);
}

#[test]
fn a_purchase_record_is_signed_by_its_seller() {
    let yard = yard();
    yard.ok("buy AB91CDE 820 --from \"M Oldacre\" --finance 290 --on 5/11/2026");
    let told = yard.json("invoice 1 --purchase");
    adds_up(&told);
    assert_eq!(
        (&told["kind"], &told["number"], &told["stock_no"]),
        (&"purchase-record".into(), &Value::Null, &1.into())
    );
    assert_eq!((&told["seller"]["name"], &told["buyer"]["name"]), (&"R Ashdown".into(), &"Wend Lane Motors".into()));
    let declared = told["declaration"].to_string();
    for said in ["£465.00", "I am its owner, or I am entitled to sell it", "no hire purchase", "82,000 miles"] {
        assert!(declared.contains(said), "{said}: {declared}");
    }
    let page = yard.ok("invoice 1 --purchase").out;
    assert_eq!(page.matches("Signature").count(), 2);
    // The seller's address, two signatures and two dates are written by hand.
    assert_eq!(page.matches("class=\"line\"").count(), 5, "{page}");
    let financed = yard.json("invoice 2 --purchase");
    adds_up(&financed);
    assert_eq!(
        (&part(&financed, "to-lender")["amount"], &part(&financed, "to-seller")["amount"]),
        (&"290.00".into(), &"530.00".into())
    );
    assert!(financed["declaration"].to_string().contains("£290.00 of finance is outstanding"));
    // Part of the price left owing to the seller.
    yard.ok("buy ST99WEM 430 --paid-amount 165 --from \"M Oldacre\" --on 6/11/2026");
    let owing = yard.json("invoice 3 --purchase");
    adds_up(&owing);
    assert_eq!(owing["balance_due"], "265.00");
}

#[test]
fn another_traders_or_an_auctions_own_invoice_is_the_record() {
    let yard = yard();
    yard.ok("buy AB91CDE 780 --via auction --on 5/11/2026");
    assert!(yard.ok("invoice 2 --purchase").err.contains("whose own invoice is the record"));
    yard.ok("buy UT48KEM 690 --vat 115 --vat-invoice --via trade --on 5/11/2026");
    assert!(yard.ok("invoice 3 --purchase").err.contains("that invoice is the record"));
    yard.ok("sell 1 995 --to-trade --to \"Marl Cross Motors\" --part-exchange ST99WEM=325 --on 20/11/2026");
    assert!(yard.ok("invoice 1").err.contains("VATMARG13350"));
}

#[test]
fn the_page_goes_to_the_file_named_and_only_its_owner_reads_it() {
    let yard = yard();
    yard.ok("sell 1 1005 --on 20/11/2026");
    let file = yard.folder().join("paper.html");
    let ran = yard.ok(&format!("invoice 1 --out {}", file.display()));
    assert!(ran.out.starts_with("Invoice S1 of 20 Nov 2026."), "{}", ran.out);
    assert!(ran.err.contains("written to"), "{}", ran.err);
    assert!(std::fs::read_to_string(&file).unwrap().starts_with("<!DOCTYPE html>"));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
    }
    let told = yard.json(&format!("invoice 1 --out {}", file.display()));
    assert_eq!(told["number"], "S1");
    let nowhere = yard.folder().join("no/such/folder/paper.html");
    assert_eq!(yard.run(&format!("invoice 1 --out {}", nowhere.display())).code, 1);
}

/// The mark on a paper is the one the car carried on its day.
#[test]
fn the_mark_is_that_of_the_day() {
    let yard = yard();
    yard.ok("mark 1 JU48HVD --on 10/11/2026");
    yard.ok("sell 1 1015 --on 20/11/2026");
    assert_eq!(yard.json("invoice 1")["mark"], "JU48 HVD");
    assert_eq!(yard.json("invoice 1 --purchase")["mark"], "KX42 RTO");
}

/// What the row of that label shows on a page.
fn row<'p>(page: &'p str, label: &str) -> &'p str {
    let after = page.split_once(label).unwrap_or_else(|| panic!("no {label} in {page}")).1;
    after.split_once("<td>").and_then(|(_, cell)| cell.split_once("</td>")).unwrap().0
}

#[test]
fn what_settles_the_price_is_taken_off_with_a_minus_sign() {
    let yard = yard();
    yard.ok("deposit 1 55 --on 10/11/2026 --by \"D Farrow\"");
    yard.ok("sell 1 780 --on 20/11/2026 --part-exchange TB12KEM=130 --paid-amount 560");
    let told = yard.json("invoice 1");
    adds_up(&told);
    let page = yard.ok("invoice 1").out;
    for (label, shown) in [
        ("Price in full", "£780.00"),
        ("Part-exchange: TB12 KEM", "-£130.00"),
        ("Deposit paid before", "-£55.00"),
        ("Paid 20 Nov 2026", "-£560.00"),
        ("Balance due", "£35.00"),
    ] {
        assert_eq!(row(body(&page), label), shown, "{label}");
    }
    yard.ok("take-back 1 --refund 500 --on 22/11/2026");
    let page = yard.ok("invoice 1 --credit-note").out;
    assert_eq!(row(body(&page), "Refund in money"), "-£500.00");
    let page = yard.ok("invoice 1 --purchase").out;
    assert_eq!(row(body(&page), "To the seller on the day"), "-£465.00");
}

#[test]
fn the_paper_calls_the_vehicle_what_it_is() {
    for (kind, heading) in [("car", "<h2>Car</h2>"), ("van", "<h2>Van</h2>"), ("motorcycle", "<h2>Motorcycle</h2>")] {
        let yard = Yard::new("2026-11-25");
        yard.ok("pay-in 2000 --on 1/9/2026");
        yard.ok(&format!("buy TU12RTO 385 --kind {kind} --miles 70,110 --on 3/10/2026"));
        yard.ok("sell 1 760 --on 20/10/2026 --distance");
        yard.ok("take-back 1 --on 30/10/2026");
        for line in ["invoice 1", "invoice 1 --credit-note", "invoice 1 --purchase"] {
            let page = yard.ok(line).out;
            assert!(body(&page).contains(heading), "{kind} `{line}`: {page}");
            let words = body(&page).to_lowercase();
            let says_car = words.split(|letter: char| !letter.is_alphanumeric()).any(|word| word == "car");
            assert_eq!(says_car, kind == "car", "{kind} `{line}`: {page}");
        }
        assert_eq!(yard.json("invoice 1")["vehicle"], kind);
    }
}

#[test]
fn every_item_of_the_last_test_is_on_the_invoice_by_kind() {
    let yard = yard();
    let found: Vec<String> = (1..=12).map(|n| format!("--defect \"advisory:item {n} worn\"")).collect();
    yard.ok(&format!("mot 1 pass --on 10/11/2026 --defect \"minor:plate lamp\" {}", found.join(" ")));
    yard.ok("sell 1 780 --on 20/11/2026");
    let told = yard.json("invoice 1");
    let words = term(&told, "MOT");
    assert!(words.contains("passed. Minor: plate lamp. Advisory: item 1 worn; item 2 worn;"), "{words}");
    assert!(words.ends_with("; item 12 worn."), "{words}");
    assert!(body(&yard.ok("invoice 1").out).contains("item 12 worn."));
}

#[test]
fn the_caution_about_advice_is_for_the_screen_and_no_customer_reads_it() {
    let yard = yard();
    yard.ok("sell 1 780 --on 20/11/2026");
    yard.ok("take-back 1 --on 22/11/2026");
    for line in ["invoice 1", "invoice 1 --credit-note", "invoice 1 --purchase"] {
        let ran = yard.ok(line);
        assert!(!ran.out.contains("advice"), "`{line}`: {}", ran.out);
        assert!(ran.err.contains("A record, not advice"), "`{line}`: {}", ran.err);
    }
}
