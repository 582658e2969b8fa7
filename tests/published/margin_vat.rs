//! VAT on the margin and its rates against published examples.
//!
//! Each case names title, publisher and address. *Seen* was read there; *derived* was worked out
//! from a rule read there; *from memory* was not seen.

use chrono::NaiveDate;
use runabout::domain::law::margin_vat::{margin_vat, vat_in};
use runabout::domain::law::rate_table::Rates;
use runabout::domain::value::pence::Pence;
use rust_decimal::Decimal;

fn pounds(pounds: i64) -> Pence {
    Pence::new(pounds * 100)
}

fn twenty() -> Decimal {
    Decimal::from(20)
}

/// The VAT margin scheme for second hand vehicle dealers explained, BC Bookkeeping, 20 July 2015,
/// bcbookkeeping.co.uk/the-vat-margin-scheme-for-second-hand-vehicle-dealers-explained/: a car
/// bought at £1,400 and sold at £2,000, margin £600, VAT £100. Seen.
#[test]
fn a_margin_of_six_hundred_pounds() {
    assert_eq!(margin_vat(pounds(1_400), pounds(2_000), twenty()), pounds(100));
}

/// VAT special schemes guide, Accounting Services for Business,
/// accountingservicesforbusiness.co.uk/insights-articles/vat-special-schemes-guide/: bought at
/// £500 and sold at £1,000, margin £500, VAT £83.33. Seen, given twice on the page (one of them an
/// antique).
#[test]
fn a_margin_of_five_hundred_pounds() {
    assert_eq!(margin_vat(pounds(500), pounds(1_000), twenty()), Pence::new(8_333));
}

/// VAT on used vehicles, a bookkeepers' forum, bookkeepers.activeboard.com/t30199303/vat-on-used-vehicles:
/// bought at £1,000 and sold at £1,500 at 15 % (3/23), VAT £65.22, £434.78 left. Seen. The day of
/// sale, one on which 15 % held, is ours.
#[test]
fn at_fifteen_per_cent() {
    let rate = NaiveDate::from_ymd_opt(2009, 6, 1).and_then(|on| Rates::default().standard_vat_rate(on));
    let vat = rate.map(|rate| margin_vat(pounds(1_000), pounds(1_500), rate));
    assert_eq!(vat, Some(Pence::new(6_522)));
    assert_eq!(vat.map(|vat| pounds(500) - vat), Some(Pence::new(43_478)));
}

/// VAT: What trade-in values should you use when selling second-hand cars?, Needham, Tax Insider,
/// January 2020,
/// www.taxinsider.co.uk/vat-what-tradein-values-should-you-use-when-selling-secondhand-cars: a new
/// car at £15,000 including VAT against a car taken in at £5,000: VAT £2,500; the car taken in sold
/// at £4,000, a margin of −£1,000: VAT nil, the loss not set off. Seen.
#[test]
fn a_part_exchange_at_its_allowance() {
    assert_eq!(vat_in(pounds(15_000), twenty()), pounds(2_500));
    assert_eq!(margin_vat(pounds(5_000), pounds(4_000), twenty()), pounds(0));
}

/// The same page, www.taxinsider.co.uk: papered as £14,000 with an allowance of £4,000, VAT is £2,333.33, £166.67 less,
/// and the car taken in, sold at £4,000, leaves a margin and VAT of 0. Seen.
#[test]
fn the_same_deal_at_a_lower_allowance() {
    let vat = vat_in(pounds(14_000), twenty());
    assert_eq!(vat, Pence::new(233_333));
    assert_eq!(pounds(2_500) - vat, Pence::new(16_667));
    assert_eq!(margin_vat(pounds(4_000), pounds(4_000), twenty()), pounds(0));
}

/// Lyon v HMRC [2009] UKFTT 267 (TC), paragraph 5,
/// beta.bailii.org/uk/cases/UKFTT/TC/2009/TC00214.html: a loss bears no VAT and is no credit
/// against cars sold at a profit. Seen; the amounts are ours.
#[test]
fn a_loss_is_nil_and_no_credit() {
    let gain = margin_vat(pounds(1_400), pounds(2_000), twenty());
    for loss in [1, 100, 60_000, 140_000] {
        let vat = margin_vat(pounds(1_400), Pence::new(140_000 - loss), twenty());
        assert_eq!(vat, pounds(0), "{loss}");
        assert_eq!(gain - (pounds(0) - vat), pounds(100), "{loss}");
    }
}

/// The last day of each standard rate and the first of the next.
///
/// accountancymanagers.co.uk/vat-rates-new/, kmbs.co.uk/vat-standard-rate/ (one sixth from
/// 4 January 2011) and nealandassociates.co.uk/2011/03/10/historic-uk-vat-rates/, seen; 1 April
/// 1991 as the day the first row took effect from memory (the last page gives the Budget day).
#[test]
fn the_days_the_standard_rate_changed() {
    for ((year, month, day), tenths) in [
        ((1991, 3, 31), None),
        ((1991, 4, 1), Some(175)),
        ((2008, 11, 30), Some(175)),
        ((2008, 12, 1), Some(150)),
        ((2009, 12, 31), Some(150)),
        ((2010, 1, 1), Some(175)),
        ((2011, 1, 3), Some(175)),
        ((2011, 1, 4), Some(200)),
        ((2026, 6, 30), Some(200)),
    ] {
        let on = NaiveDate::from_ymd_opt(year, month, day).unwrap();
        let expected = tenths.map(|tenths| Decimal::new(tenths, 1));
        assert_eq!(Rates::default().standard_vat_rate(on), expected, "{on}");
    }
}

/// The VAT fractions 1/6, 7/47 and 3/23: 1/6 at kmbs.co.uk/vat-standard-rate/ and 3/23 at the
/// forum above, seen; 7/47 from memory, derived alike.
#[test]
fn vat_fractions() {
    for (gross, tenths, vat) in [(6, 200, 1), (47, 175, 7), (23, 150, 3)] {
        let rate = Decimal::new(tenths, 1);
        assert_eq!(vat_in(pounds(gross), rate), pounds(vat), "{rate}");
        assert_eq!(margin_vat(pounds(100), pounds(100 + gross), rate), pounds(vat), "{rate}");
    }
}
