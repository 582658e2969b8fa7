//! Buyer's fee scales as auctions publish them.
//!
//! Sources, each seen:
//! * "Auction Policy", Central Car Auctions,
//!   <https://www.centralcarauctions.com/buying-selling/auction-policy/>: a trade scale subject to
//!   VAT and a private scale inclusive of it
//! * "Costs for Sellers and Buyers", Hobbs Parker,
//!   <https://www.hobbsparker.co.uk/car-auctions/costs-sellers-buyers/>: a scale that VAT applies
//!   to, and a percentage with a least amount
//! * "Fees & Charges", Wilsons Auctions,
//!   <https://www.wilsonsauctions.com/buying-and-selling/fees-charges/>: hammer total + buyer's
//!   fees + VAT = total purchase price
//!
//! The pages print whole pounds as "£0 to £499"; that a price with pence between two rows pays the
//! lower row is derived. Amounts with VAT are derived from the printed ones at 20 %.

use chrono::NaiveDate;
use runabout::domain::book::fee_scale::{Fee, FeeScale};
use runabout::domain::law::rate_table::Rates;
use runabout::domain::value::pence::Pence;

fn pounds(pounds: i64) -> Pence {
    Pence::new(pounds * 100)
}

fn fee(scale: &str, hammer: Pence) -> Fee {
    let scale: FeeScale = scale.parse().unwrap();
    scale.fee(hammer, NaiveDate::from_ymd_opt(2026, 6, 1).unwrap(), &Rates::default())
}

/// Each row: first and last price printed, and the fee printed, in pounds.
fn check(scale: &str, plus_vat: bool, table: &[(i64, i64, i64)]) {
    for (first, last, printed) in table {
        let vat = if plus_vat { *printed * 20 } else { 0 };
        let expected = Fee { amount: pounds(*printed) + Pence::new(vat), vat: plus_vat.then(|| Pence::new(vat)) };
        for hammer in [pounds(*first), pounds(*last), pounds(*last) + Pence::new(99)] {
            assert_eq!(fee(scale, hammer), expected, "{hammer} of {first} to {last}");
        }
    }
}

/// Central Car Auctions, Trade Buyers Fee: "charges are subject to VAT". All six rows; the last is
/// "and above", though for dearer cars staff are to be asked.
#[test]
fn a_trade_scale_with_vat_on_top() {
    let table =
        [(0, 199, 90), (200, 499, 115), (500, 999, 140), (1_000, 1_999, 175), (2_000, 2_999, 195), (3_000, 3_500, 200)];
    check("0=90 200=115 500=140 1,000=175 2,000=195 3,000=200 plus-vat", true, &table);
}

/// The same page, Private Buyers Fee: "charges inclusive of VAT". All four rows.
#[test]
fn a_private_scale_as_it_stands() {
    let table = [(0, 499, 252), (500, 999, 294), (1_000, 1_999, 372), (2_000, 2_500, 402)];
    check("0=£252, 500=£294, 1,000=£372, 2,000=£402", false, &table);
}

/// Hobbs Parker, General Sales: "VAT Applies to All Fees". The first ten rows, up to £7,999.
#[test]
fn a_longer_scale_from_a_file() {
    let file = "\
        # general sales\n0=180\n500=205\n1,000=240\n1,500=260\n2,000=290\n\
        3,000=300\n4,000=310\n5,000=320\n6,000=330\n7,000=340\nplus-vat\n";
    let table = [
        (0, 499, 180),
        (500, 999, 205),
        (1_000, 1_499, 240),
        (1_500, 1_999, 260),
        (2_000, 2_999, 290),
        (3_000, 3_999, 300),
        (4_000, 4_999, 310),
        (5_000, 5_999, 320),
        (6_000, 6_999, 330),
        (7_000, 7_999, 340),
    ];
    check(file, true, &table);
}

/// The same page, classic cars: "10% of the sale price, subject to a minimum of £100", which two
/// bands say. VAT left off; the prices are ours.
#[test]
fn a_percentage_with_a_least_amount() {
    for (hammer, expected) in [(0, 100), (400, 100), (999, 100), (1_000, 100), (1_010, 101), (4_500, 450)] {
        let found = fee("0=100 1,000=10%", pounds(hammer));
        assert_eq!(found, Fee { amount: pounds(expected), vat: None }, "{hammer}");
    }
}

/// Wilsons Auctions: hammer total + buyer's fees + VAT = total purchase price; on the trade scale
/// above, a car knocked down at £650 comes to 650 + 140 + 28. The amounts are ours.
#[test]
fn hammer_fee_and_vat_make_the_total() {
    let found = fee("0=90 200=115 500=140 plus-vat", pounds(650));
    assert_eq!(pounds(650) + found.amount, pounds(650 + 140 + 28));
    assert_eq!(found.vat, Some(pounds(28)));
}
