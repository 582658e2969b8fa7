//! The stock book: take-backs, disposals, gaps, periods, and the page to print.

use crate::common::Yard;
use serde_json::{Value, json};

/// Registered from April 2026; car 1 sold in May.
fn yard() -> Yard {
    let yard = Yard::new("2026-09-30");
    for line in [
        "settings set vat-registered-from 2026-04-01",
        "settings set trader-name \"Marsh Lane Motors\"",
        "pay-in 5000 --on 1/3/2026",
        "buy KX42RTO 430 --on 2/4/2026 --from \"Dora Quill\" --make Brindle --model Harrow",
        "sell 1 1060 --on 5/5/2026 --to \"Wilf Ashdown\"",
    ] {
        yard.ok(line);
    }
    yard
}

/// Keys of rows, row by row.
fn picked(rows: &Value, keys: &[&str]) -> Vec<Vec<Value>> {
    rows.as_array().unwrap().iter().map(|row| keys.iter().map(|key| row[key].clone()).collect()).collect()
}

#[test]
fn a_take_back_stands_beside_its_sale_with_a_credit_note() {
    let yard = yard();
    yard.ok("take-back 1 --on 6/7/2026 --refund 1005 --reason \"gearbox failed\"");
    yard.ok("sell 1 760 --on 8/8/2026 --to \"Ned Tarrow\"");
    let book = yard.json("stock-book");
    let keys = ["status", "date_of_sale", "sales_invoice", "credit_note", "selling_price", "margin", "vat_due"];
    assert_eq!(
        json!(picked(&book["rows"], &keys)),
        json!([
            ["sold", "2026-05-05", "S1", null, "1060.00", "630.00", "105.00"],
            ["taken-back", "2026-07-06", "S1", "C1", "-1060.00", "-630.00", "-105.00"],
            ["sold", "2026-08-08", "S2", null, "760.00", "330.00", "55.00"],
        ])
    );
    assert_eq!(book["rows"][0]["note"], "taken back on 6 Jul 2026 (C1)");
    assert_eq!(book["rows"][1]["note"], "sale of 5 May 2026 reversed; gearbox failed; £55.00 of the price kept back");
    assert_eq!((&book["totals"]["cars_bought"], &book["totals"]["purchase_price"]), (&1.into(), &"430.00".into()));
    assert_eq!((&book["totals"]["vat_due"], &book["totals"]["selling_price"]), (&"55.00".into(), &"760.00".into()));
    // The quarter the sale was in, as it then stood: nothing has come back yet.
    let quarter = yard.json("stock-book --from 1/4/2026 --to 30/6/2026");
    assert_eq!((&quarter["totals"]["vat_due"], &quarter["rows"][0]["note"]), (&"105.00".into(), &Value::Null));
    // The days it was back in stock have the reversal and the car.
    let july = yard.json("stock-book --from 1/7/2026 --to 31/7/2026");
    assert_eq!(
        json!(picked(&july["rows"], &["status", "vat_due"])),
        json!([["taken-back", "-105.00"], ["in-stock", null]])
    );
    assert_eq!(july["rows"][1]["note"], "back in stock since 6 Jul 2026");
    assert_eq!((&july["totals"]["cars_in_stock"], &july["totals"]["vat_due"]), (&1.into(), &"-105.00".into()));
    // After the last sale there is nothing of it.
    assert_eq!(yard.json("stock-book --from 1/9/2026")["rows"], json!([]));
}

#[test]
fn disposals_have_their_method_in_the_place_of_a_price() {
    let yard = yard();
    for line in [
        "buy AB91CDE 340 --on 1/6/2026",
        "dispose 2 scrapped --on 2/6/2026 --to \"Fen End Recyclers\" --certificate CD-9",
        "buy ST99WEM 345 --on 1/6/2026",
        "dispose 3 broken --on 3/6/2026",
        "buy UT48KEM 350 --on 1/6/2026",
        "dispose 4 lost --on 4/6/2026",
        "buy FG49HJK 355 --on 1/6/2026",
        "dispose 5 kept --value 310 --on 5/6/2026",
        "buy none 585 --vin WDX7654321 --on 1/6/2026",
        "sell 6 915 --on 6/6/2026 --to \"Ned Tarrow\" --part-exchange LM40NPR=215",
        "take-back 6 --on 7/6/2026 --return-part-exchange",
    ] {
        yard.ok(line);
    }
    let book = yard.json("stock-book --from 1/6/2026");
    let keys =
        ["stock_no", "status", "disposal", "date_of_sale", "buyer", "selling_price", "margin", "vat_due", "note"];
    assert_eq!(
        json!(picked(&book["rows"], &keys)),
        json!([
            [2, "scrapped", "scrapped", "2026-06-02", "Fen End Recyclers", null, null, null, "certificate CD-9"],
            [3, "broken", "broken for parts", "2026-06-03", null, null, null, null, null],
            [4, "lost", "lost", "2026-06-04", null, null, null, null, null],
            [5, "kept", "kept for own use", "2026-06-05", null, null, null, null, "worth £310.00 to the owner"],
            [
                6,
                "sold",
                null,
                "2026-06-06",
                "Ned Tarrow",
                "915.00",
                "330.00",
                "55.00",
                "took in stock number 7 at £215.00; taken back on 7 Jun 2026 (C1)"
            ],
            [
                6,
                "taken-back",
                null,
                "2026-06-07",
                "Ned Tarrow",
                "-915.00",
                "-330.00",
                "-55.00",
                "sale of 6 Jun 2026 reversed"
            ],
            [6, "in-stock", null, null, null, null, null, null, "back in stock since 7 Jun 2026"],
            [
                7,
                "returned",
                "returned to the customer",
                "2026-06-07",
                "Ned Tarrow",
                null,
                null,
                null,
                "taken in part-exchange at its full allowance; went back at £215.00"
            ],
        ])
    );
    assert_eq!(book["rows"][4]["description"], "no plates, VIN WDX7654321");
    assert_eq!((&book["totals"]["cars_disposed"], &book["totals"]["cars_bought"]), (&5.into(), &6.into()));
}

#[test]
fn a_number_undone_is_explained_and_one_brought_back_is_no_gap() {
    let mut yard = yard();
    yard.ok("buy AB91CDE 340 --on 1/9/2026");
    yard.ok("undo");
    yard.ok("buy ST99WEM 345 --on 2/9/2026");
    yard.ok("sell 3 485 --on 3/9/2026");
    yard.ok("undo");
    yard.ok("sell 3 495 --on 4/9/2026");
    yard.ok("take-back 3 --on 5/9/2026");
    yard.ok("undo");
    let gaps = &yard.json("stock-book")["gaps"];
    assert_eq!(
        json!(picked(gaps, &["series", "number", "entry", "command", "given_on", "undone_by"])),
        json!([
            ["stock number", "2", 6, "buy", "2026-09-30", 7],
            ["sales invoice", "S2", 9, "sell", "2026-09-30", 10],
            ["credit note", "C1", 12, "take-back", "2026-09-30", 13],
        ])
    );
    let said = yard.ok("stock-book").out.replace("\n  ", " ").replace('\n', " ");
    assert!(
        said.contains("Stock number 2: given on 30 Sep 2026 by entry 6 (buy), undone on 30 Sep 2026 by entry 7"),
        "{said}"
    );
    let csv = yard.ok("stock-book --format csv --part gaps").out;
    assert!(csv.contains("\r\nsales invoice,S2,9,sell,2026-09-30,10,2026-09-30\r\n"), "{csv}");
    // Recorded after the period and outside its numbers: nobody looks for it there.
    assert_eq!(yard.json("stock-book --to 30/6/2026")["gaps"], json!([]));
    // The undo undone: the credit note is back, and undone again it is a gap again.
    yard.turn_to("2026-10-02");
    yard.ok("undo 13");
    assert_eq!(yard.json("stock-book")["gaps"].as_array().unwrap().len(), 2);
    yard.ok("undo");
    assert_eq!(
        json!(picked(&yard.json("stock-book")["gaps"], &["number", "undone_on"]))[2],
        json!(["C1", "2026-10-02"])
    );
}

#[test]
fn what_is_missing_is_named() {
    let yard = yard();
    yard.ok("buy AB91CDE 340 --via auction --on 1/9/2026");
    yard.ok("sell 2 485 --on 3/9/2026");
    assert_eq!(
        yard.json("stock-book")["missing"],
        json!([{"stock_no": 2, "fields": ["purchase_invoice", "seller", "buyer"]}])
    );
    let said = yard.ok("stock-book").err;
    assert!(said.contains("No name of buyer for stock number 2"), "{said}");
    assert!(said.contains("A record, not advice: check with HMRC guidance or an accountant."), "{said}");
}

#[test]
fn hostile_words_are_shown_and_neither_run_nor_reckoned() {
    let yard = yard();
    let words = |line: &[&str]| line.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let script = "<script>alert(1)</script>";
    for line in [
        words(&[
            "buy",
            "AB91CDE",
            "345",
            "--on",
            "1/9/2026",
            "--from",
            script,
            "--make",
            "=1+1",
            "--model",
            "\"><img src=x>",
        ]),
        words(&["sell", "2", "240", "--on", "2/9/2026", "--to", "@SUM(A1)"]),
        words(&["settings", "set", "trader-name", "</title><script>x</script>"]),
    ] {
        let ran = yard.run_words(&line);
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    let html = yard.ok("stock-book --html").out;
    assert!(!html.contains("<script") && !html.contains("<img"), "{html}");
    assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt;"), "{html}");
    assert!(html.contains("<title>Stock book of &lt;/title&gt;"), "{html}");
    let csv = yard.ok("stock-book --format csv").out;
    assert!(csv.contains(",'@SUM(A1),-105.00,0.00,"), "text is guarded, money is not: {csv}");
    assert!(!csv.split(['\n', ',']).any(|cell| cell.starts_with(['=', '@'])), "{csv}");
}

#[test]
fn the_page_holds_the_book_and_goes_where_it_is_told() {
    let yard = yard();
    yard.ok("buy AB91CDE 660 --vat 110 --vat-invoice --purchase-invoice 77 --from Trade --on 1/9/2026");
    let html = yard.ok("stock-book --html").out;
    assert!(html.starts_with("<!DOCTYPE html>") && html.ends_with("</html>\n"), "{html}");
    for part in [
        "Stock book of Marsh Lane Motors to 30 Sep 2026",
        "Purchase invoice no.",
        "KX42 RTO, Brindle Harrow",
        "<td class=\"free\">S1</td>",
        "<td class=\"figure\">630.00</td><td class=\"figure\">105.00</td>",
        "Outside the margin scheme",
        "A record, not advice",
        "size: A4 landscape",
    ] {
        assert!(html.contains(part), "{part} is not in {html}");
    }
    let path = yard.folder().join("book.html");
    let ran = yard.ok(&format!("stock-book --html --out {}", path.display()));
    assert!(ran.out.is_empty() && ran.err.contains("written to"), "{ran:?}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), html);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(&path).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "names are in it: its owner's alone");
    }
    assert_eq!(yard.run("stock-book --out book.html").code, 2, "--out is for the page");
}

#[test]
fn a_span_that_is_none_is_refused_and_an_empty_book_says_so() {
    let yard = yard();
    let refused = yard.refused("stock-book --from 2/5/2026 --to 1/5/2026");
    assert!(refused.err.contains("2 May 2026 is after 1 May 2026"), "{}", refused.err);
    assert!(yard.refused("stock-book --to 1/10/2026").err.contains("after today"));
    assert!(yard.ok("stock-book --to 1/1/2026").out.contains("No cars."));
    assert!(yard.ok("stock-book --to 1/1/2026 --html").out.contains("No cars."));
    let before = yard.ok("stock-book --to 31/3/2026").out;
    assert!(before.contains("Not registered for VAT on any of these days"), "{before}");
}
