//! The tax year of a sole trader: rates, days, and what counts when.
//!
//! Sources:
//! * "Simplified expenses if you're self-employed: vehicles", GOV.UK,
//!   <https://www.gov.uk/simpler-income-tax-simplified-expenses/vehicles->: 45p, 25p, and the example of
//!   11,000 miles. Seen.
//! * "Cash basis changes from the 2024 to 2025 tax year", GOV.UK,
//!   <https://www.gov.uk/simpler-income-tax-cash-basis/cash-basis-changes-from-the-2024-to-2025-tax-year>. Seen.
//! * "Tax return tips for sole traders: the cash basis", ICAEW, November 2025,
//!   <https://www.icaew.com/insights/tax-news/2025/nov-2025/tax-return-tips-for-sole-traders-the-cash-basis>:
//!   no accruals, prepayments or closing stock. Seen.
//! * "Cash basis: VAT registered businesses", GOV.UK,
//!   <https://www.gov.uk/simpler-income-tax-cash-basis/vat-registered-businesses>: VAT left out, or left
//!   in, on both sides alike. Seen.
//! * BIM33100 and BIM33125, Business Income Manual, HMRC,
//!   <https://www.gov.uk/hmrc-internal-manuals/business-income-manual/bim33100>: stock at the lower of cost
//!   and net realisable value. Seen.
//! * Trading allowance: HMRC guidance of 7 April 2017 as copied at <https://www.icpa.org.uk>. Seen.
//! * Registering by 5 October: Low Incomes Tax Reform Group, 15 October 2021, <https://www.litrg.org.uk>;
//!   return, payment and payments on account: <https://www.pkfinanceuk.com>. Seen.
//! * Making Tax Digital for Income Tax: thresholds, quarters and their days,
//!   <https://www.bakertillymooneymoore.co.uk/news/blog/making-tax-digital-for-income-tax/> and
//!   <https://www.jerroms.co.uk/knowledge/>; the example with rent,
//!   <https://www.chapelhouseaccountancy.com/making-tax-digital>. Seen.
//! * SA103S 2023-24 (HMRC form, seen as a picture): boxes 9 to 28.
//!
//! The cars and amounts are ours unless said to be a source's.

use crate::common::Yard;
use chrono::NaiveDate;
use runabout::domain::book::journey::Distance;
use runabout::domain::days::tax_year::TaxYear;
use runabout::domain::due::due_tax::{TaxDates, is_over_mtd_threshold};
use runabout::domain::law::rate_table::Rates;
use runabout::domain::law::rates::income_tax::{MileageRate, TRADING_ALLOWANCE};
use runabout::domain::tax::return_pages::Form;
use runabout::domain::value::pence::Pence;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn year(text: &str) -> TaxYear {
    text.parse().unwrap()
}

/// GOV.UK: "You've driven 11,000 business miles over the year": 10,000 × 45p + 1,000 × 25p = £4,750.
#[test]
fn eleven_thousand_miles_come_to_4750() {
    let yard = Yard::new("2026-03-31");
    yard.ok("journey 9000 \"to auctions\" --on 1/6/2025");
    yard.ok("journey 2000 \"fetching cars\" --on 1/3/2026");
    let told = yard.json("tax-year 2025-26");
    assert_eq!(told["mileage"]["amount"], "4750.00");
    assert_eq!(told["cash_basis"]["expenses"], "4750.00");
    assert_eq!(told["traditional"]["expenses"], "4750.00");
}

/// The rates by tax year: 45p from 2011-12, 40p before; for sole traders from 6 April 2026 not settled,
/// and said so, at the 45p that GOV.UK still showed (55p would make £5,750 of the same miles: derived).
#[test]
fn the_rate_is_that_of_the_tax_year() {
    for (on, pounds, settled) in [
        ("2011-04-05", 4_250, true),
        ("2011-04-06", 4_750, true),
        ("2026-04-05", 4_750, true),
        ("2026-04-06", 4_750, false),
    ] {
        let rate = MileageRate::on_day(&Rates::default(), TaxYear::containing(day(on)).first_day()).unwrap();
        let amount = Distance::from_tenths(110_000).at_flat_rate(&rate);
        assert_eq!((amount, rate.settled), (Pence::new(pounds * 100), settled), "{on}");
    }
    let yard = Yard::new("2026-11-25");
    yard.ok("journey 10 \"to an auction\" --on 6/4/2026");
    assert!(yard.ok("tax-year").err.contains("was not settled"));
}

/// £1,000 a year since 6 April 2017: deducted in place of expenses when it is the larger.
#[test]
fn the_trading_allowance_stands_in_for_smaller_expenses() {
    assert!(Rates::default().in_force(&TRADING_ALLOWANCE, day("2017-04-05")).is_none());
    let yard = Yard::new("2026-06-30");
    yard.ok("receive 1800 work-done --other --on 1/5/2026");
    yard.ok("spend 999.99 rent --overhead --on 2/5/2026");
    let told = yard.json("tax-year");
    let allowance = &told["trading_allowance"];
    assert_eq!((&allowance["amount"], &allowance["better"]), (&"1000.00".into(), &true.into()));
    assert_eq!(allowance["profit"], "800.00");
    yard.ok("spend 0.01 rent --overhead --on 3/5/2026");
    assert_eq!(yard.json("tax-year")["trading_allowance"]["better"], false);
}

/// Income of £1,000 or less need not be declared: the allowance takes all of it and makes no loss.
#[test]
fn the_allowance_makes_no_loss() {
    let yard = Yard::new("2026-06-30");
    yard.ok("receive 700 work-done --other --on 1/5/2026");
    yard.ok("spend 100 rent --overhead --on 2/5/2026");
    let allowance = &yard.json("tax-year")["trading_allowance"];
    assert_eq!(
        (&allowance["usable"], &allowance["profit"], &allowance["better"]),
        (&"700.00".into(), &"0.00".into(), &true.into())
    );
}

/// ICAEW: no closing stock on the cash basis, so a car bought in March and unsold on 5 April takes its
/// whole cost off that year's profit; traditional accounts carry it forward.
#[test]
fn an_unsold_car_is_an_expense_of_the_year_it_was_paid_for() {
    let yard = Yard::new("2026-06-30");
    yard.ok("buy KX42RTO 880 --on 5/4/2026");
    yard.ok("sell 1 1465 --on 6/4/2026");
    let [before, after] = ["2025-26", "2026-27"].map(|year| yard.json(&format!("tax-year {year}")));
    assert_eq!(
        (&before["cash_basis"]["profit"], &before["traditional"]["profit"]),
        (&"-880.00".into(), &"0.00".into())
    );
    assert_eq!(before["traditional"]["closing_stock"], "880.00");
    assert_eq!(
        (&after["cash_basis"]["profit"], &after["traditional"]["profit"]),
        (&"1465.00".into(), &"585.00".into())
    );
    assert_eq!(after["traditional"]["opening_stock"], "880.00");
}

/// GOV.UK, cash basis: "Only record income you actually receive", "only count the expenses you've
/// actually paid", and "all payments count - cash, card, cheque, payment in kind".
#[test]
fn the_cash_basis_counts_what_is_received_and_paid_in_kind_too() {
    let yard = Yard::new("2026-06-30");
    yard.ok("buy KX42RTO 515 --on 1/3/2026 --paid-amount 305");
    yard.ok("sell 1 1035 --on 2/3/2026 --part-exchange AB91CDE=215 --paid-amount 515");
    yard.ok("spend 88 rent --overhead --on 3/3/2026 --unpaid --to \"Hob Lane Yard\"");
    yard.ok("receive 305 balance --car 1 --on 6/4/2026");
    yard.ok("spend 210 balance --car 1 --on 7/4/2026");
    yard.ok("spend 88 balance --to \"Hob Lane Yard\" --on 8/4/2026");
    let [before, after] =
        ["2025-26", "2026-27"].map(|year| yard.json(&format!("tax-year {year}"))["cash_basis"].clone());
    // 515 in money and a car at 215; 305 in money and the car at 215.
    assert_eq!((&before["income"], &before["expenses"]), (&"730.00".into(), &"520.00".into()));
    assert_eq!((&after["income"], &after["expenses"]), (&"305.00".into(), &"298.00".into()));
}

/// Stock at the lower of cost and net realisable value (BIM33100): cost 50, net realisable value 42, so
/// a write-down of 8 (from memory of an open accounting text). Of 1,000 units
/// at 20 and 17 it is 3,000 (derived): ten cars at 2,000 and 1,700 here.
#[test]
fn stock_is_written_down_to_what_it_should_fetch() {
    let yard = Yard::new("2026-06-30");
    yard.ok("buy KX42RTO 50 --on 1/5/2026");
    yard.ok("ask 1 42 --on 2/5/2026");
    let told = yard.json("tax-year");
    assert_eq!(
        (&told["traditional"]["closing_stock"], &told["traditional"]["stock_written_down"]),
        (&"42.00".into(), &"8.00".into())
    );
    // A gain not yet made counts for nothing.
    yard.ok("ask 1 95 --on 3/5/2026");
    assert_eq!(yard.json("tax-year")["traditional"]["closing_stock"], "50.00");
    for n in 0..10 {
        yard.ok(&format!("buy KX4{n}RTA 2000 --on 4/5/2026"));
        yard.ok(&format!("ask KX4{n}RTA 1900 --lowest 1700 --on 5/5/2026"));
    }
    let told = yard.json("tax-year");
    assert_eq!(
        (&told["traditional"]["closing_stock"], &told["traditional"]["stock_written_down"]),
        (&"17050.00".into(), &"3000.00".into())
    );
}

/// GOV.UK: a registered trader may record income and expenses excluding VAT; then what HMRC is paid is
/// no expense. The sum is that of "The VAT margin scheme for second hand vehicle dealers explained",
/// BC Bookkeeping, 20 July 2015, bcbookkeeping.co.uk: bought for £1,400, sold for £2,000, VAT £100.
#[test]
fn vat_is_left_out_on_both_sides() {
    let yard = Yard::new("2026-06-30");
    yard.ok("settings set vat-registered-from 2026-01-01");
    yard.ok("buy KX42RTO 1400 --on 1/5/2026");
    yard.ok("spend 120 parts --car 1 --vat 20 --on 2/5/2026");
    yard.ok("sell 1 2000 --on 3/5/2026");
    yard.ok("spend 80 vat --on 4/6/2026");
    let told = yard.json("tax-year");
    assert_eq!(
        (&told["cash_basis"]["income"], &told["cash_basis"]["expenses"]),
        (&"1900.00".into(), &"1500.00".into())
    );
    assert_eq!(told["traditional"]["profit"], "400.00");
}

/// Elson v Price's Tailors [1963] 40 TC 671, as told in lectures on ITTOIA 2005 s.96 (seen in outline;
/// the report was not): deposits on goods ordered are receipts of the trade when taken.
#[test]
fn a_deposit_counts_when_it_is_received() {
    let yard = Yard::new("2026-06-30");
    yard.ok("buy KX42RTO 515 --on 1/3/2026");
    yard.ok("deposit 1 105 --on 5/4/2026");
    yard.ok("sell 1 965 --on 6/4/2026");
    let [before, after] = ["2025-26", "2026-27"].map(|year| yard.json(&format!("tax-year {year}")));
    assert_eq!((&before["cash_basis"]["income"], &after["cash_basis"]["income"]), (&"105.00".into(), &"860.00".into()));
    assert_eq!((&before["traditional"]["income"], &after["traditional"]["income"]), (&"0.00".into(), &"965.00".into()));
}

/// Registered by 5 October after the tax year trade began in; return and tax by 31 January after it;
/// payments on account on 31 January in it and 31 July after it.
#[test]
fn the_days_of_a_tax_year() {
    let it = year("2026-27");
    assert_eq!((it.first_day(), it.last_day()), (day("2026-04-06"), day("2027-04-05")));
    assert_eq!((it.register_by(), it.return_by()), (day("2027-10-05"), day("2028-01-31")));
    assert_eq!(it.payments_on_account(), [day("2027-01-31"), day("2027-07-31")]);
    // The turn of a century and a leap year change none of them.
    assert_eq!((year("1999-00").last_day(), year("2023-24").return_by()), (day("2000-04-05"), day("2025-01-31")));
}

/// Cumulative updates to 5 July, 5 October, 5 January and 5 April, by 7 August, November, February, May.
#[test]
fn the_quarters_of_making_tax_digital() {
    let quarters = year("2026-27").quarters().map(|quarter| (quarter.to.to_string(), quarter.due.to_string()));
    let expected = [
        ("2026-07-05", "2026-08-07"),
        ("2026-10-05", "2026-11-07"),
        ("2027-01-05", "2027-02-07"),
        ("2027-04-05", "2027-05-07"),
    ];
    assert_eq!(quarters, expected.map(|(to, due)| (to.to_owned(), due.to_owned())));
}

/// Over £50,000 in 2024-25 from 6 April 2026; £30,000 in 2025-26 from 6 April 2027; £20,000 in 2026-27
/// from 6 April 2028. "Over", not "at". Chapel House's example: £45,000 of trade and £9,000 of rent are
/// £54,000, so in from 6 April 2026; the trade alone would not be.
#[test]
fn who_making_tax_digital_reaches() {
    for (begins, pounds, reached) in [
        ("2025-26", 1_000_000, false),
        ("2026-27", 50_000, false),
        ("2026-27", 54_000, true),
        ("2026-27", 45_000, false),
        ("2027-28", 30_000, false),
        ("2028-29", 20_000, false),
        ("2035-36", 20_001, true),
    ] {
        assert_eq!(
            is_over_mtd_threshold(&Rates::default(), year(begins), Pence::new(pounds * 100)),
            reached,
            "{begins} {pounds}"
        );
    }
    for (begins, pounds) in [("2026-27", 50_000), ("2027-28", 30_000), ("2028-29", 20_000)] {
        assert!(is_over_mtd_threshold(&Rates::default(), year(begins), Pence::new(pounds * 100 + 1)), "{begins}");
    }
    let income = [(year("2024-25"), Pence::new(5_400_000))];
    let dates = TaxDates {
        today: day("2026-07-20"),
        first_day: day("2020-05-01"),
        income: &income,
        remind_days: 30,
        rates: Rates::default(),
    };
    let updates: Vec<_> = dates.due().into_iter().filter(|item| item.subject.starts_with("quarterly")).collect();
    assert_eq!(updates.len(), 4);
    assert_eq!((updates[0].on, updates[0].days_left, updates[0].presses()), (Some(day("2026-08-07")), Some(18), true));
}

/// SA103S while turnover is below the threshold for VAT, SA103F from it (SA103F Notes 2020-21: £85,000);
/// £90,000 since April 2024.
#[test]
fn the_pages_follow_the_threshold_for_vat() {
    for (of, pence, form) in [
        ("2020-21", 8_499_999, Form::Short),
        ("2020-21", 8_500_000, Form::Full),
        ("2024-25", 8_999_999, Form::Short),
        ("2024-25", 9_000_000, Form::Full),
    ] {
        assert_eq!(Form::for_year(&Rates::default(), year(of), Pence::new(pence)), form, "{of} {pence}");
    }
}

/// The boxes of SA103S 2023-24: 9 turnover, 10 other business income, 11 goods, 12 travel, 13 wages, 14
/// premises, 15 repairs, 16 professional, 17 interest and charges, 18 office, 19 other, 20 total, 21 net
/// profit, 22 net loss, 27 goods for own use.
#[test]
fn the_boxes_of_the_short_pages() {
    let yard = Yard::new("2026-06-30");
    for (n, heading) in ["parts", "fuel", "wages", "rent", "repairs", "accountant", "interest", "phone", "other"]
        .into_iter()
        .enumerate()
    {
        yard.ok(&format!("spend {}0 {heading} --overhead --on 1/5/2026", n + 1));
    }
    yard.ok("spend 5 bank-charges --overhead --on 1/5/2026");
    yard.ok("receive 400 work-done --other --on 1/5/2026");
    yard.ok("receive 7 other-income --other --on 1/5/2026");
    yard.ok("buy KX42RTO 100 --on 2/5/2026");
    yard.ok("dispose 1 kept --value 120 --on 3/5/2026");
    let boxes = |basis: &str| -> Vec<String> {
        let told = yard.json("tax-year");
        let boxes = told[basis]["boxes"].as_array().unwrap().clone();
        boxes
            .iter()
            .map(|row| format!("{}={}", row["box"].as_str().unwrap(), row["amount"].as_str().unwrap()))
            .collect()
    };
    assert_eq!(
        boxes("cash_basis").join(" "),
        "9=400.00 10=7.00 11=110.00 12=20.00 13=30.00 14=40.00 15=50.00 16=60.00 17=75.00 18=80.00 19=90.00 \
         20=555.00 22=148.00 27=120.00"
    );
    assert!(boxes("traditional").contains(&"27=120.00".to_owned()));
    // 407 − 555 + 120: what the car kept was worth is in the traditional profit alone.
    let told = yard.json("tax-year");
    assert_eq!((&told["cash_basis"]["profit"], &told["traditional"]["profit"]), (&"-148.00".into(), &"-28.00".into()));
}
