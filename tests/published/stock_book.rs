//! The stock book: its fields, and its VAT against published figures.

use crate::common::Yard;
use serde_json::Value;

/// "VAT margin schemes: Keeping records", GOV.UK, gov.uk/vat-margin-schemes/keeping-records, and De Voil
/// V3.536 "Margin scheme records", `LexisNexis`, lexisnexis.co.uk/tolley: the fields, purchase side and then
/// sale side, and for each the keys that hold it. For a car the description is its registration number.
const FIELDS: [(&str, &[&str]); 12] = [
    ("stock number, in numerical sequence", &["stock_no"]),
    ("date of purchase", &["date_of_purchase"]),
    ("purchase invoice number", &["purchase_invoice"]),
    ("purchase price", &["purchase_price"]),
    ("name of seller", &["seller"]),
    ("description of the item", &["description"]),
    ("date of sale", &["date_of_sale"]),
    ("sales invoice number", &["sales_invoice"]),
    ("selling price, or method of disposal", &["selling_price", "disposal"]),
    ("name of buyer", &["buyer"]),
    ("margin on sale", &["margin"]),
    ("VAT due", &["vat_due"]),
];

/// Those of the keys that hold a field of the law's, in the order they come.
fn of_the_law<'k>(found: impl Iterator<Item = &'k str>) -> Vec<&'k str> {
    found.filter(|key| FIELDS.iter().any(|(_, keys)| keys.contains(key))).collect()
}

fn registered() -> Yard {
    let yard = Yard::new("2026-09-30");
    yard.ok("settings set vat-registered-from 2008-01-01");
    yard
}

fn rows(yard: &Yard) -> Vec<Value> {
    yard.json("stock-book")["rows"].as_array().unwrap().clone()
}

/// The fields listed above, gov.uk/vat-margin-schemes/keeping-records.
#[test]
fn every_field_is_there_in_its_order_and_filled() {
    let yard = registered();
    yard.ok(
        "buy KX42RTO 1400 --on 1/6/2026 --from \"Marl Cross Motors\" --via trade --purchase-invoice MC-77 --make Brindle",
    );
    yard.ok("sell 1 2000 --on 20/6/2026 --to \"Wilf Ashdown\"");
    yard.ok("buy AB91CDE 90 --on 2/6/2026 --from \"Dora Quill\"");
    yard.ok("dispose 2 scrapped --on 3/6/2026 --to \"Fen End Recyclers\"");
    let keys: Vec<&str> = FIELDS.iter().flat_map(|(_, keys)| keys.iter().copied()).collect();
    let csv = yard.ok("stock-book --format csv").out;
    assert_eq!(of_the_law(csv.lines().next().unwrap().split(',')), keys);
    let json = yard.ok("stock-book --format json").out;
    let first = json.split_once("\"rows\"").unwrap().1.split_once('}').unwrap().0;
    assert_eq!(of_the_law(first.lines().filter_map(|line| line.trim().split('"').nth(1))), keys);
    let rows = rows(&yard);
    let filled = |row: &Value| -> Vec<String> {
        keys.iter().map(|key| row[key].as_str().map_or_else(|| row[key].to_string(), str::to_owned)).collect()
    };
    assert_eq!(
        filled(&rows[0]),
        [
            "1",
            "2026-06-01",
            "MC-77",
            "1400.00",
            "Marl Cross Motors",
            "KX42 RTO, Brindle",
            "2026-06-20",
            "S1",
            "2000.00",
            "null",
            "Wilf Ashdown",
            "600.00",
            "100.00"
        ]
    );
    // A car not sold has its method of disposal in the place of a price, and no margin.
    assert_eq!(
        filled(&rows[1]),
        [
            "2",
            "2026-06-02",
            "null",
            "90.00",
            "Dora Quill",
            "AB91 CDE",
            "2026-06-03",
            "null",
            "null",
            "scrapped",
            "Fen End Recyclers",
            "null",
            "null"
        ]
    );
}

/// Bought, sold, margin and VAT, each from the page named beside it: bcbookkeeping.co.uk,
/// accountingservicesforbusiness.co.uk, bookkeepers.activeboard.com, and a tribunal's words at
/// beta.bailii.org/uk/cases/UKFTT/TC/2009/TC00214.html.
#[test]
fn margins_and_vat_are_as_published() {
    for (source, bought, sold, on, margin, vat) in [
        // "The VAT margin scheme for second hand vehicle dealers explained", BC Bookkeeping, 20 July 2015,
        // bcbookkeeping.co.uk/the-vat-margin-scheme-for-second-hand-vehicle-dealers-explained/
        ("BC Bookkeeping", "1400", "2000", "20/6/2026", "600.00", "100.00"),
        // "VAT special schemes guide", accountingservicesforbusiness.co.uk/insights-articles/vat-special-schemes-guide/
        // (of an antique; the sum is the same)
        ("Accounting Services for Business", "500", "1000", "20/6/2026", "500.00", "83.33"),
        // "VAT on used vehicles", bookkeepers.activeboard.com/t30199303/vat-on-used-vehicles: at 15 %, 3/23
        ("Activeboard", "1000", "1500", "20/6/2009", "500.00", "65.22"),
        // Lyon v HMRC [2009] UKFTT 267 (TC), paragraph 5: no VAT at a loss (the amounts are invented)
        ("Lyon", "1500", "1499", "20/6/2026", "-1.00", "0.00"),
    ] {
        let yard = registered();
        yard.ok(&format!("buy KX42RTO {bought} --on 1/6/2009"));
        // Repairs never enter a margin: "Auto traders", MGT Accountancy, January 2018, from Notice 718/1.
        yard.ok("spend 250 parts --car 1 --on 1/6/2009");
        yard.ok(&format!("sell 1 {sold} --on {on}"));
        let row = &rows(&yard)[0];
        assert_eq!((&row["margin"], &row["vat_due"]), (&margin.into(), &vat.into()), "{source}");
    }
}

/// "VAT: What trade-in values should you use when selling second-hand cars?", Tax Insider, January 2020,
/// taxinsider.co.uk: a new car at £15,000 has VAT of £2,500; the car taken in at £5,000 and sold at £4,000
/// has a margin of −£1,000 and no VAT, and the loss is set against nothing. What the new car cost is invented.
#[test]
fn a_car_taken_in_is_bought_at_its_allowance_and_its_loss_is_set_against_nothing() {
    let yard = registered();
    yard.ok("buy KX42RTO 12000 --vat 2000 --vat-invoice --via trade --on 1/6/2026");
    yard.ok("buy ST99WEM 1400 --on 1/6/2026");
    yard.ok("sell 1 15000 --on 2/6/2026 --to \"Wilf Ashdown\" --part-exchange AB91CDE=5000");
    yard.ok("sell 3 4000 --on 20/6/2026");
    yard.ok("sell 2 2000 --on 21/6/2026");
    let book = yard.json("stock-book");
    let outside = &book["outside_scheme"][0];
    assert_eq!((&outside["selling_price"], &outside["vat_due"]), (&"15000.00".into(), &"2500.00".into()));
    assert_eq!(outside["margin"], Value::Null);
    let taken_in = &book["rows"][1];
    assert_eq!((&taken_in["stock_no"], &taken_in["seller"]), (&3.into(), &"Wilf Ashdown".into()));
    assert_eq!(
        (&taken_in["purchase_price"], &taken_in["margin"], &taken_in["vat_due"]),
        (&"5000.00".into(), &"-1000.00".into(), &"0.00".into())
    );
    let totals = &book["totals"];
    assert_eq!(
        (&totals["margin_gains"], &totals["margin_losses"], &totals["vat_due"]),
        (&"600.00".into(), &"-1000.00".into(), &"100.00".into())
    );
}

/// Conditions of the margin schemes, HMRC VAT Margin Schemes manual, VATMARG02150,
/// gov.uk/hmrc-internal-manuals/vat-margin-schemes/vatmarg02150: the scheme is open only to registered traders.
#[test]
fn a_trader_who_is_not_registered_has_margins_and_no_vat() {
    let yard = Yard::new("2026-09-30");
    yard.ok("buy KX42RTO 1400 --on 1/6/2026");
    yard.ok("sell 1 2000 --on 20/6/2026");
    let book = yard.json("stock-book");
    assert_eq!((&book["rows"][0]["margin"], &book["rows"][0]["vat_due"]), (&"600.00".into(), &Value::Null));
    assert_eq!(book["totals"]["vat_due"], Value::Null);
}
