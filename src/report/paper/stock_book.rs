//! `stock-book`: the record a second-hand dealer keeps of each car, by the headings the law names.

use crate::domain::book::facts::Car;
use crate::domain::days::day::long;
use crate::domain::figures::stock_book::{Event, Field, Series, StockBook, StockLine, StockTotals, UndoneNumber};
use crate::domain::law::registration::Registration;
use crate::domain::value::invoice_number::{credit_note, sales_invoice};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Outcome, Via};
use crate::report::cell::{IsoDay, MoneyText};
use crate::report::phrase;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// Whose book it is, and of which days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// The day taken as today.
    pub as_of: NaiveDate,
    /// First day; none for a book from its beginning.
    pub from: Option<NaiveDate>,
    /// Last day.
    pub to: NaiveDate,
    /// VAT registration.
    pub registration: Registration,
    /// The trader's name, if set.
    pub trader_name: Option<String>,
    /// Their VAT registration number, if set.
    pub vat_number: Option<String>,
}

/// The stock book of a period.
#[derive(Clone, Debug, Serialize)]
pub struct StockBookReport {
    #[serde(flatten)]
    stamp: Stamp,
    /// First day; null for a book from its beginning.
    pub from: Option<IsoDay>,
    /// Last day.
    pub to: IsoDay,
    /// The trader's name, if set.
    pub trader_name: Option<String>,
    /// Their VAT registration number, if set.
    pub vat_number: Option<String>,
    /// First day registered for VAT, if ever.
    pub vat_registered_from: Option<IsoDay>,
    /// Last day registered, if it ended.
    pub vat_registered_until: Option<IsoDay>,
    /// Cars that may be sold under the margin scheme, line by line.
    pub rows: Vec<StockBookRow>,
    /// What they come to.
    pub totals: StockBookTotals,
    /// Cars bought on a VAT invoice, outside the scheme.
    pub outside_scheme: Vec<StockBookRow>,
    /// What those come to.
    pub outside_scheme_totals: StockBookTotals,
    /// Numbers undone, and by which entries.
    pub gaps: Vec<GapRow>,
    /// What the law asks for and the book does not know.
    pub missing: Vec<MissingRow>,
    /// That it is no advice.
    pub caution: &'static str,
}

/// A line of the stock book; the keys stand in the order the law names the fields.
#[derive(Clone, Debug, Serialize)]
pub struct StockBookRow {
    /// Stock number.
    pub stock_no: u32,
    /// `in-stock`, `sold`, `taken-back`, or how it was disposed of.
    pub status: &'static str,
    /// Date of purchase.
    pub date_of_purchase: IsoDay,
    /// The seller's invoice number; not needed where the trader made the purchase invoice out.
    pub purchase_invoice: Option<String>,
    /// Purchase price, gross.
    pub purchase_price: MoneyText,
    /// VAT shown on the purchase invoice, for a car outside the scheme.
    pub vat_on_purchase: Option<MoneyText>,
    /// Name of seller.
    pub seller: Option<String>,
    /// The mark at purchase, and what the car is.
    pub description: String,
    /// The day it was sold, came back or left.
    pub date_of_sale: Option<IsoDay>,
    /// Sales invoice number.
    pub sales_invoice: Option<String>,
    /// Number of the credit note for a car taken back.
    pub credit_note: Option<String>,
    /// Selling price; negative for a sale reversed.
    pub selling_price: Option<MoneyText>,
    /// Method of disposal, for a car that left without a sale.
    pub disposal: Option<&'static str>,
    /// Name of buyer, or of whoever took the car.
    pub buyer: Option<String>,
    /// Selling price less purchase price; none outside the scheme.
    pub margin: Option<MoneyText>,
    /// VAT due by the rate of the day, nil at a loss; none while not registered.
    pub vat_due: Option<MoneyText>,
    /// What else explains the line.
    pub note: Option<String>,
}

/// What the lines of a list come to.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "named as in the domain")]
pub struct StockBookTotals {
    pub cars_bought: usize,
    pub purchase_price: MoneyText,
    pub cars_sold: usize,
    pub sales_reversed: usize,
    pub cars_disposed: usize,
    pub cars_in_stock: usize,
    pub selling_price: MoneyText,
    pub margin_gains: MoneyText,
    pub margin_losses: MoneyText,
    pub vat_due: Option<MoneyText>,
}

/// A number that no car, sale or credit note has.
#[derive(Clone, Debug, Serialize)]
pub struct GapRow {
    /// `stock number`, `sales invoice` or `credit note`.
    pub series: &'static str,
    /// As it would have been written.
    pub number: String,
    /// The entry that gave it.
    pub entry: i64,
    /// That entry's command.
    pub command: String,
    /// The day it was recorded.
    pub given_on: IsoDay,
    /// The entry that undid it.
    pub undone_by: i64,
    /// The day that was recorded.
    pub undone_on: IsoDay,
}

/// What is missing of one car.
#[derive(Clone, Debug, Serialize)]
pub struct MissingRow {
    /// Stock number.
    pub stock_no: u32,
    /// The keys of the fields.
    pub fields: Vec<&'static str>,
}

impl StockBookReport {
    /// Lays out the book of a period, with the numbers undone that belong to it.
    pub fn new(cover: Cover, book: &StockBook<'_>, gaps: &[&UndoneNumber]) -> Self {
        let rows = |lines: &[StockLine<'_>]| lines.iter().map(StockBookRow::new).collect();
        let missing = book.missing().into_iter().map(|(stock_no, fields)| MissingRow {
            stock_no: stock_no.get(),
            fields: fields.into_iter().map(Field::word).collect(),
        });
        Self {
            stamp: Stamp::new("stock-book", cover.as_of),
            from: cover.from.map(IsoDay),
            to: IsoDay(cover.to),
            trader_name: cover.trader_name,
            vat_number: cover.vat_number,
            vat_registered_from: cover.registration.from.map(IsoDay),
            vat_registered_until: cover.registration.until.map(IsoDay),
            rows: rows(&book.scheme.lines),
            totals: StockBookTotals::new(&book.scheme.totals),
            outside_scheme: rows(&book.outside.lines),
            outside_scheme_totals: StockBookTotals::new(&book.outside.totals),
            gaps: gaps.iter().map(|gap| GapRow::new(gap)).collect(),
            missing: missing.collect(),
            caution: phrase::CAUTION,
        }
    }

    /// The day taken as today.
    pub const fn day(&self) -> NaiveDate {
        self.stamp.day()
    }

    /// What its page is called as a file: `stock-book-2026-07-01-to-2026-09-30.html`.
    pub fn file_name(&self) -> String {
        let from = self.from.map(|from| format!("{}-to-", from.0)).unwrap_or_default();
        format!("stock-book-{from}{}.html", self.to.0)
    }
}

impl StockBookRow {
    fn new(line: &StockLine<'_>) -> Self {
        let car = line.car;
        let row = Self {
            stock_no: car.stock_no.get(),
            status: "in-stock",
            date_of_purchase: IsoDay(car.bought_on),
            purchase_invoice: car.purchase_invoice.clone(),
            purchase_price: MoneyText(car.purchase_price),
            vat_on_purchase: car.vat_invoice.then_some(MoneyText(car.vat)),
            seller: car.seller.clone(),
            description: description(car),
            date_of_sale: None,
            sales_invoice: None,
            credit_note: None,
            selling_price: None,
            disposal: None,
            buyer: None,
            margin: line.margin.map(MoneyText),
            vat_due: line.vat_due.map(MoneyText),
            note: note(line),
        };
        match line.event {
            Event::InStock(_) => row,
            Event::Sold(sale) => Self {
                status: "sold",
                date_of_sale: Some(IsoDay(sale.on)),
                sales_invoice: Some(sales_invoice(sale.sale_no)),
                selling_price: Some(MoneyText(sale.selling_price)),
                buyer: sale.buyer.clone(),
                ..row
            },
            Event::Reversed(sale, back) => Self {
                status: "taken-back",
                date_of_sale: Some(IsoDay(back.on)),
                sales_invoice: Some(sales_invoice(sale.sale_no)),
                credit_note: Some(credit_note(back.take_back_no)),
                selling_price: Some(MoneyText(-sale.selling_price)),
                buyer: sale.buyer.clone(),
                ..row
            },
            Event::Disposed(disposal) => Self {
                status: disposal.how.word(),
                date_of_sale: Some(IsoDay(disposal.on)),
                disposal: Some(method(disposal.how)),
                buyer: disposal.party.clone(),
                ..row
            },
        }
    }

    /// The number of the paper that went with the line: the invoice, or the credit note for it.
    pub fn paper(&self) -> Option<String> {
        match (&self.credit_note, &self.sales_invoice) {
            (Some(credit), Some(invoice)) => Some(format!("{credit} for {invoice}")),
            (_, invoice) => invoice.clone(),
        }
    }
}

/// Method of disposal, as the book names it.
const fn method(how: Outcome) -> &'static str {
    match how {
        Outcome::Scrapped => "scrapped",
        Outcome::Broken => "broken for parts",
        Outcome::Lost => "lost",
        Outcome::Kept => "kept for own use",
        Outcome::Returned => "returned to the customer",
    }
}

/// The mark it was bought under, for a car without plates its VIN, and what it is.
fn description(car: &Car) -> String {
    let plate = match (&car.mark_at_purchase, &car.vehicle.vin) {
        (Some(mark), _) => mark.to_string(),
        (None, Some(vin)) => format!("no plates, VIN {vin}"),
        (None, None) => "no plates".to_owned(),
    };
    let thing = car.vehicle.description();
    if thing.is_empty() { plate } else { format!("{plate}, {thing}") }
}

/// What else explains a line: how the price came about, what was taken in, what became of the car.
fn note(line: &StockLine<'_>) -> Option<String> {
    let car = line.car;
    let mut notes = Vec::new();
    if car.via == Via::PartExchange {
        notes.push("taken in part-exchange at its full allowance".to_owned());
    }
    if let Some(auction) = car.auction {
        notes.push(format!("hammer {} and buyer's fee {}", auction.hammer_price, auction.buyers_fee));
    }
    if let Some(now) = car.mark.as_ref().filter(|mark| car.mark_at_purchase.as_ref() != Some(*mark)) {
        notes.push(format!("now carries {now}"));
    }
    match line.event {
        Event::InStock(since) if since > car.bought_on || !car.sales.is_empty() => {
            notes.push(format!("back in stock since {}", long(since)));
        }
        Event::InStock(_) => {}
        Event::Sold(sale) => {
            for taken in &sale.part_exchanges {
                notes.push(format!("took in stock number {} at {}", taken.stock_no, taken.allowance));
            }
            if let Some(back) = &sale.taken_back {
                notes.push(format!("taken back on {} ({})", long(back.on), credit_note(back.take_back_no)));
            }
        }
        Event::Reversed(sale, back) => {
            notes.push(format!("sale of {} reversed", long(sale.on)));
            notes.extend(back.reason.clone());
            if back.kept_back != Pence::ZERO {
                notes.push(format!("{} of the price kept back", back.kept_back));
            }
        }
        Event::Disposed(disposal) => {
            match disposal.how {
                Outcome::Kept => notes.push(format!("worth {} to the owner", disposal.value)),
                Outcome::Returned => notes.push(format!("went back at {}", disposal.value)),
                Outcome::Scrapped | Outcome::Broken | Outcome::Lost => {}
            }
            notes.extend(disposal.certificate.as_ref().map(|reference| format!("certificate {reference}")));
        }
    }
    (!notes.is_empty()).then(|| notes.join("; "))
}

impl StockBookTotals {
    fn new(totals: &StockTotals) -> Self {
        Self {
            cars_bought: totals.cars_bought,
            purchase_price: MoneyText(totals.purchase_price),
            cars_sold: totals.cars_sold,
            sales_reversed: totals.sales_reversed,
            cars_disposed: totals.cars_disposed,
            cars_in_stock: totals.cars_in_stock,
            selling_price: MoneyText(totals.selling_price),
            margin_gains: MoneyText(totals.margin_gains),
            margin_losses: MoneyText(totals.margin_losses),
            vat_due: totals.vat_due.map(MoneyText),
        }
    }
}

impl GapRow {
    fn new(gap: &UndoneNumber) -> Self {
        Self {
            series: gap.series.word(),
            number: match gap.series {
                Series::Stock => gap.number.to_string(),
                Series::Invoice => sales_invoice(gap.number),
                Series::CreditNote => credit_note(gap.number),
            },
            entry: gap.entry,
            command: gap.command.clone(),
            given_on: IsoDay(gap.given_on),
            undone_by: gap.undone_by,
            undone_on: IsoDay(gap.undone_on),
        }
    }
}
