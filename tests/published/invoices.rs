//! What an invoice for a car has to hold, against the guidance that says so. The fields of an ordinary
//! VAT invoice and of the selling side are from memory where marked; the phrase and the buying side
//! were read.

use crate::common::Yard;
use serde_json::Value;

/// A registered trader who bought from a private seller and sold to a member of the public.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "settings set trader-name \"Wend Lane Motors\"",
        "settings set trader-address \"Wend Lane Yard, Sallowby\"",
        "settings set vat-number \"GB 999 9999 73\"",
        "settings set vat-registered-from 1/1/2026",
        "buy KX42RTO 1400 --from \"R Ashdown\" --on 3/10/2026",
        "sell 1 2000 --to \"D Farrow\" --address \"2 Mill Row, Sallowby\" --on 20/11/2026",
    ] {
        yard.ok(line);
    }
    yard
}

/// VAT margin schemes: Keeping records, GOV.UK, gov.uk/vat-margin-schemes/keeping-records. The phrase
/// is read there; the list of fields for selling was not seen whole and is from memory: date, the
/// seller's name, address and VAT number, the buyer's name and address, invoice number, stock-book
/// number, description, total price.
#[test]
fn the_fields_of_a_margin_scheme_sales_invoice() {
    let yard = yard();
    let page = yard.ok("invoice 1").out;
    for field in [
        "20 Nov 2026",
        "Wend Lane Motors",
        "Wend Lane Yard, Sallowby",
        "GB 999 9999 73",
        "D Farrow",
        "2 Mill Row, Sallowby",
        "Invoice S1",
        "Stock-book number</dt><dd><bdi>1</bdi>",
        "KX42 RTO",
        "£2,000.00",
        "margin scheme - second hand goods",
    ] {
        assert!(page.contains(field), "no {field} in {page}");
    }
}

/// Conditions of the scheme, HMRC VAT Margin Schemes manual, VATMARG02150,
/// gov.uk/hmrc-internal-manuals/vat-margin-schemes/vatmarg02150, and Selling second-hand vehicles using
/// a VAT margin scheme, GOV.UK: no invoice is issued that shows VAT separately. Read. The VAT is that
/// of The VAT margin scheme for second hand vehicle dealers explained, BC Bookkeeping, 20 July 2015: on
/// £1,400 and £2,000 it is £100.
#[test]
fn no_vat_is_shown_under_the_scheme() {
    let yard = yard();
    assert_eq!(yard.json("car 1")["vat_on_sale"], "100.00");
    let told = yard.json("invoice 1");
    assert_eq!(told["vat"], Value::Null);
    let page = yard.ok("invoice 1").out;
    for hidden in ["£100.00", "£600.00", "£1,400.00", "20 %", "333.33"] {
        assert!(!page.contains(hidden), "{hidden} in {page}");
    }
}

/// Using the VAT margin scheme for second-hand vehicles (VAT Notice 718/1), GOV.UK,
/// gov.uk/guidance/using-the-vat-margin-scheme-for-second-hand-vehicles: a vehicle bought on an invoice
/// showing VAT is not eligible. Read. That its sale then needs an ordinary VAT invoice, with
/// rate, net amount and VAT (VAT Regulations 1995, SI 1995/2518, reg. 14), is from memory.
#[test]
fn a_car_bought_with_vat_is_sold_with_vat_shown() {
    let yard = yard();
    yard.ok("buy AB91CDE 660 --vat 110 --vat-invoice --on 4/10/2026");
    yard.ok("sell 2 1260 --on 21/11/2026");
    let told = yard.json("invoice 2");
    assert_eq!(told["wording"], Value::Null);
    assert_eq!(told["vat"], serde_json::json!({"rate_pct": 20.0, "net": "1050.00", "vat": "210.00"}));
}

/// The buying side of the same page: date, seller's name and address, the buyer's name and address,
/// description, total price with nothing added to it. Read. That a private seller signs, dates and
/// certifies it: The Second Hand Car Margin Scheme, Lawgistics,
/// www.lawgistics.co.uk/legal-article-vat/motor-trader-solution/the-second-hand-car-margin-scheme. Read.
#[test]
fn the_fields_of_a_purchase_record() {
    let yard = yard();
    // Costs never enter the price (Notice 718/1).
    yard.ok("spend 250 parts --car 1 --on 4/10/2026");
    let page = yard.ok("invoice 1 --purchase").out;
    for field in [
        "3 Oct 2026",
        "R Ashdown",
        "Wend Lane Motors",
        "Wend Lane Yard, Sallowby",
        "KX42 RTO",
        "£1,400.00",
        "Signature",
        "I am its owner, or I am entitled to sell it.",
    ] {
        assert!(page.contains(field), "no {field} in {page}");
    }
    assert!(!page.contains("£250.00") && !page.contains("£1,650.00"));
    // The seller's address is a line to write on: the book holds none.
    let seller = page.split("<h2>Buyer</h2>").next().unwrap();
    assert_eq!(seller.matches("class=\"line\"").count(), 1, "{seller}");
}

/// HMRC VAT Margin Schemes manual, VATMARG13350: the details of a car taken in from a private person may
/// be put on the sales invoice, gov.uk/hmrc-internal-manuals/vat-margin-schemes/vatmarg13350; the full price is the sale's and the full allowance the purchase's. Read.
/// The figures are those of VAT: What trade-in values should you use when selling second-hand cars?, Tax
/// Insider, January 2020: £15,000, £5,000 allowed, £10,000 in money.
#[test]
fn a_part_exchange_is_on_the_sales_invoice_at_its_full_allowance() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 12000 --on 3/10/2026");
    yard.ok("sell 1 15000 --part-exchange ST99WEM=5000 --on 20/11/2026");
    let told = yard.json("invoice 1");
    assert_eq!(told["price"], "15000.00");
    let parts: Vec<(&str, &str)> = told["settlement"]
        .as_array()
        .unwrap()
        .iter()
        .map(|part| (part["what"].as_str().unwrap(), part["amount"].as_str().unwrap()))
        .collect();
    assert_eq!(parts, [("part-exchange", "5000.00"), ("payment", "10000.00")]);
    assert_eq!(yard.json("invoice 2 --purchase")["price"], "5000.00");
}

/// Consumer Rights Act 2015 s.22(3), legislation.gov.uk/ukpga/2015/15/section/22, read: thirty days
/// beginning with the day after. s.31, from memory: the rights cannot be signed away, so a page for the
/// public never says that they are.
#[test]
fn the_buyers_rights_stand_on_the_invoice_and_nothing_takes_them_away() {
    let page = yard().ok("invoice 1").out;
    assert!(
        page.contains("Nothing on this invoice takes away a right you have by law") && page.contains("20 Dec 2026")
    );
    let lower = page.to_lowercase();
    for never in ["sold as seen", "no refund", "no warranty", "trade sale", "cannot guarantee"] {
        assert!(!lower.contains(never), "{never}");
    }
}
