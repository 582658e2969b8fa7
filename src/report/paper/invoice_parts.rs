//! The pieces of a paper: who, which car, what settled the price, the odometer, the MOT.

use crate::domain::book::invoice::Settles;
use crate::domain::days::day::long;
use crate::domain::law::mot::Defect;
use crate::domain::value::words::Pocket;
use crate::report::cell::{IsoDay, MoneyText, TwoDecimals};
use crate::report::paper::invoice_source::Source;
use chrono::NaiveDate;
use serde::Serialize;

/// The most payments told one by one.
const PAYMENTS: usize = 4;

/// Who sells or buys. What is not known is a line to fill in by hand, where it is wanted.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Party {
    /// The name.
    pub name: Option<String>,
    /// The address.
    pub address: Option<String>,
    /// The telephone; the trader's only.
    pub phone: Option<String>,
    /// The VAT registration number; the trader's only, while registered.
    pub vat_number: Option<String>,
    /// Whether it is the trader.
    pub is_trader: bool,
    /// Whether a VAT number belongs on the paper.
    #[serde(skip)]
    pub registered: bool,
}

/// The car as the paper describes it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Described {
    /// What it is: car, van or motorcycle.
    pub vehicle: &'static str,
    /// Its number in the stock book.
    pub stock_no: u32,
    /// The mark it carried on the day.
    pub mark: Option<String>,
    /// Maker's name.
    pub make: Option<String>,
    /// Model name.
    pub model: Option<String>,
    /// Model year.
    pub year: Option<i32>,
    /// Colour.
    pub colour: Option<String>,
    /// VIN or chassis number.
    pub vin: Option<String>,
    /// First registration.
    pub first_registered: Option<IsoDay>,
}

/// VAT in a full price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct VatRow {
    /// Per cent.
    pub rate_pct: TwoDecimals,
    /// The price without VAT.
    pub net: MoneyText,
    /// The VAT.
    pub vat: MoneyText,
}

/// One thing that settles part of the price.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SettledRow {
    /// What, as a word for machines.
    pub what: &'static str,
    /// What, in words.
    pub wording: String,
    /// The day, of a payment.
    pub on: Option<IsoDay>,
    /// The stock number of a car taken in or given back.
    pub stock_no: Option<u32>,
    /// Its mark.
    pub mark: Option<String>,
    /// What was allowed for it.
    pub allowance: Option<MoneyText>,
    /// The part of that owed to a lender.
    pub finance: Option<MoneyText>,
    /// How much of the price it settles.
    pub amount: MoneyText,
}

/// A defect found by the last test.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DefectRow {
    /// Dangerous, major, minor or advisory.
    pub level: &'static str,
    /// What.
    pub text: String,
}

/// The MOT on the day of the paper.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Mot {
    /// The certificate's last day.
    pub until: Option<IsoDay>,
    /// The day of the last test in the book.
    pub tested_on: Option<IsoDay>,
    /// Whether it passed.
    pub passed: Option<bool>,
    /// What it found.
    pub defects: Vec<DefectRow>,
}

/// Another paper this one speaks of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Other {
    /// Its number.
    pub number: String,
    /// Its date.
    pub on: IsoDay,
}

/// A paragraph under its name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Term {
    /// What it is about.
    pub heading: &'static str,
    /// What it says.
    pub text: String,
}

/// A number given and undone.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct UndoneRow {
    /// The number.
    pub number: String,
    /// The entry that undid it.
    pub by_entry: i64,
}

impl Mot {
    /// The certificate's last day and what the last test found.
    pub fn new(until: Option<NaiveDate>, last: Option<(NaiveDate, bool, &[Defect])>) -> Self {
        let defect = |defect: &Defect| DefectRow { level: defect.level.word(), text: defect.text.clone() };
        Self {
            until: until.map(IsoDay),
            tested_on: last.map(|(on, ..)| IsoDay(on)),
            passed: last.map(|(_, passed, _)| passed),
            defects: last.map(|(.., defects)| defects.iter().map(defect).collect()).unwrap_or_default(),
        }
    }
}

/// What settled the price, as rows.
pub(crate) fn settlement(source: &Source<'_>) -> Vec<SettledRow> {
    let named = |stock_no| source.taken_in.iter().find(|car| car.stock_no == stock_no);
    let mark = |stock_no| named(stock_no).and_then(|car| car.mark_at_purchase.as_ref()).map(ToString::to_string);
    let label = |stock_no| {
        let description = named(stock_no).map(|car| car.vehicle.description()).unwrap_or_default();
        let parts = [mark(stock_no).unwrap_or_default(), description];
        let known: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        format!("{} (stock number {stock_no})", known.join(", "))
    };
    let mut rows = Vec::new();
    for part in source.account.parts_at_most(PAYMENTS) {
        let out = part.amount.is_negative();
        let mut row = SettledRow {
            what: "",
            wording: String::new(),
            on: None,
            stock_no: None,
            mark: None,
            allowance: None,
            finance: None,
            amount: MoneyText(part.amount),
        };
        (row.what, row.wording) = match part.by {
            Settles::PartExchange { stock_no, allowance, finance } => {
                (row.stock_no, row.mark) = (Some(stock_no.get()), mark(stock_no));
                (row.allowance, row.finance) = (Some(MoneyText(allowance)), Some(MoneyText(finance)));
                let less = if finance.is_zero() {
                    String::new()
                } else {
                    format!(" less {finance} of finance on it, which the seller settles")
                };
                ("part-exchange", format!("Part-exchange: {}, allowed {allowance}{less}", label(stock_no)))
            }
            Settles::Payment { on, pocket } => {
                row.on = Some(IsoDay(on));
                let how = match pocket {
                    Pocket::Cash => " in cash",
                    Pocket::Bank => " by bank or card",
                    Pocket::Own => "",
                };
                let paid = if out { "Paid to the buyer" } else { "Paid" };
                ("payment", format!("{paid} {}{how}", long(on)))
            }
            Settles::Payments { count, last_on } => {
                row.on = Some(IsoDay(last_on));
                ("payments", format!("Paid in {count} payments, the last on {}", long(last_on)))
            }
            Settles::CarGivenBack { stock_no } => {
                (row.stock_no, row.mark) = (Some(stock_no.get()), mark(stock_no));
                ("car-given-back", format!("Given back: {}", label(stock_no)))
            }
            Settles::Refund if out => ("refund", "Difference paid by the buyer".into()),
            Settles::Refund => ("refund", "Refund in money".into()),
            Settles::Deposit => ("deposit", "Deposit paid before".into()),
            Settles::WrittenOff => ("written-off", "Let off the buyer".into()),
            Settles::Lapsed => ("lapsed", "Not paid and no longer owed".into()),
            Settles::KeptBack => ("kept-back", "Kept by the seller".into()),
            Settles::ToLender => ("to-lender", "To the lender, paid off by the buyer".into()),
            Settles::CountedTowardsSale => ("counted-towards-sale", "Counted towards the vehicle sold".into()),
            Settles::ToSeller => ("to-seller", "To the seller on the day".into()),
        };
        rows.push(row);
    }
    rows
}
