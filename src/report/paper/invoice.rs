//! `invoice`: the paper of a deal — the invoice for a sale, the credit note for a take-back, the record
//! of a purchase — as facts. What they say in words is in `invoice_words`.

use crate::domain::book::facts::{Sale, TakeBack};
use crate::domain::book::invoice::{MARGIN_SCHEME, Trader, VatOnPaper};
use crate::domain::refusal::paper_refusal::NumberUndone;
use crate::domain::value::invoice_number::{credit_note, sales_invoice};
use crate::domain::value::made::Made;
use crate::domain::value::pence::Pence;
use crate::report::cell::{IsoDay, MoneyText, TwoDecimals};
use crate::report::paper::invoice_parts::{
    Described, Mot, Other, Party, SettledRow, Term, UndoneRow, VatRow, settlement,
};
use crate::report::paper::invoice_source::{Mileage, Source};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::{Serialize, Serializer};

/// Which paper it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperKind {
    /// For a car sold.
    SalesInvoice,
    /// For a car taken back.
    CreditNote,
    /// Of a car bought, for its seller to sign.
    PurchaseRecord,
}

impl PaperKind {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SalesInvoice => "sales-invoice",
            Self::CreditNote => "credit-note",
            Self::PurchaseRecord => "purchase-record",
        }
    }

    /// The kind of file its page is.
    pub const fn made(self) -> Made {
        match self {
            Self::SalesInvoice => Made::Invoice,
            Self::CreditNote => Made::CreditNote,
            Self::PurchaseRecord => Made::PurchaseRecord,
        }
    }
}

impl Serialize for PaperKind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// The paper of a deal. `settlement` and `balance_due` make the price.
#[derive(Clone, Debug, Serialize)]
pub struct InvoiceReport {
    #[serde(flatten)]
    pub(crate) stamp: Stamp,
    /// Which paper.
    pub kind: PaperKind,
    /// Its running number; a purchase record goes by the stock number.
    pub number: Option<String>,
    /// Its date.
    pub on: IsoDay,
    /// Who sells.
    pub seller: Party,
    /// Who buys.
    pub buyer: Party,
    /// The car.
    #[serde(flatten)]
    pub car: Described,
    /// The full price.
    pub price: MoneyText,
    /// VAT, only where the law wants it shown.
    pub vat: Option<VatRow>,
    /// The words of the margin scheme, where it applies.
    pub wording: Option<&'static str>,
    /// How the price was settled.
    pub settlement: Vec<SettledRow>,
    /// What is still due.
    pub balance_due: MoneyText,
    /// The odometer.
    pub mileage: Option<Mileage>,
    /// The MOT; none on a credit note.
    pub mot: Option<Mot>,
    /// Sold to another trader.
    pub to_trade: bool,
    /// The invoice a credit note or a part-exchange belongs to.
    pub refers_to: Option<Other>,
    /// The credit note that reversed the sale.
    pub reversed_by: Option<Other>,
    /// Numbers of the car that were given and undone.
    pub numbers_undone: Vec<UndoneRow>,
    /// Paragraphs, in order.
    pub terms: Vec<Term>,
    /// What the seller signs to; empty on other papers.
    pub declaration: Vec<String>,
    /// For the trader, not part of the paper.
    pub notes: Vec<String>,
}

impl InvoiceReport {
    /// The invoice for `sale`.
    pub fn of_sale(source: &Source<'_>, sale: &Sale, vat: VatOnPaper, mot: Mot) -> Self {
        let reversed_by = sale.taken_back.as_ref().map(reversal);
        let number = Some(sales_invoice(sale.sale_no));
        let mut report = Self { mot: Some(mot), reversed_by, ..Self::bare(source, PaperKind::SalesInvoice, sale.on) };
        (report.number, report.to_trade) = (number, sale.to_trade);
        report.show_sale(sale, vat);
        report.terms = report.terms_of_sale(sale);
        report.notes = report.notes_on_sale(source, sale.entry);
        report
    }

    /// The credit note for `sale`, reversed by `back`; of the refund `to_pay` is still to be paid.
    pub fn of_take_back(source: &Source<'_>, sale: &Sale, back: &TakeBack, vat: VatOnPaper, to_pay: Pence) -> Self {
        let mut report = Self::bare(source, PaperKind::CreditNote, back.on);
        (report.number, report.to_trade) = (Some(credit_note(back.take_back_no)), sale.to_trade);
        report.refers_to = Some(Other { number: sales_invoice(sale.sale_no), on: IsoDay(sale.on) });
        report.show_sale(sale, vat);
        report.terms = report.terms_of_take_back(back, to_pay);
        report.notes = report.notes_on_sale(source, sale.entry);
        report
    }

    /// The record of the car's purchase; `taken_in_for` is the invoice it was part payment of.
    pub fn of_purchase(source: &Source<'_>, mot: Mot, taken_in_for: Option<Other>) -> Self {
        let car = source.car;
        let mut report = Self::bare(source, PaperKind::PurchaseRecord, car.bought_on);
        report.seller = Party { name: car.seller.clone(), ..Party::default() };
        report.buyer = trader(source);
        (report.price, report.mot, report.refers_to) = (MoneyText(car.purchase_price), Some(mot), taken_in_for);
        report.terms = report.terms_of_purchase();
        report.declaration = report.declaration_of(car);
        report.notes = report.notes_on_purchase(source);
        report
    }

    /// What a file holding the page is called: `invoice-S12-KX42RTO.html`.
    pub fn file_name(&self) -> String {
        let kind = match self.kind {
            PaperKind::SalesInvoice => "invoice",
            PaperKind::CreditNote => "credit-note",
            PaperKind::PurchaseRecord => "purchase",
        };
        let number = self.number.clone().unwrap_or_else(|| self.car.stock_no.to_string());
        // A mark holds only letters, digits and hyphens, so it is safe in a name.
        let mark = self.car.mark.as_ref().map(|mark| format!("-{}", mark.replace(' ', ""))).unwrap_or_default();
        format!("{kind}-{number}{mark}.html")
    }

    fn show_sale(&mut self, sale: &Sale, vat: VatOnPaper) {
        self.price = MoneyText(sale.selling_price);
        self.buyer = Party { name: sale.buyer.clone(), address: sale.address.clone(), ..Party::default() };
        match vat {
            VatOnPaper::None => {}
            VatOnPaper::MarginScheme => self.wording = Some(MARGIN_SCHEME),
            VatOnPaper::Shown(shown) => {
                self.vat = Some(VatRow {
                    rate_pct: TwoDecimals(shown.rate),
                    net: MoneyText(shown.net),
                    vat: MoneyText(shown.vat),
                });
            }
        }
    }

    fn bare(source: &Source<'_>, kind: PaperKind, on: NaiveDate) -> Self {
        let car = source.car;
        let undone = |each: &NumberUndone| UndoneRow { number: each.number.to_string(), by_entry: each.by };
        Self {
            stamp: Stamp::new("invoice", source.as_of),
            kind,
            number: None,
            on: IsoDay(on),
            seller: trader(source),
            buyer: Party::default(),
            car: Described {
                vehicle: car.vehicle.kind.word(),
                stock_no: car.stock_no.get(),
                mark: source.mark.as_ref().map(ToString::to_string),
                make: car.vehicle.make.clone(),
                model: car.vehicle.model.clone(),
                year: car.vehicle.year,
                colour: car.vehicle.colour.clone(),
                vin: car.vehicle.vin.as_ref().map(ToString::to_string),
                first_registered: car.vehicle.first_registered.map(IsoDay),
            },
            price: MoneyText(Pence::ZERO),
            vat: None,
            wording: None,
            settlement: settlement(source),
            balance_due: MoneyText(source.account.balance_due),
            mileage: source.mileage,
            mot: None,
            to_trade: false,
            refers_to: None,
            reversed_by: None,
            numbers_undone: source.undone.iter().map(undone).collect(),
            terms: Vec::new(),
            declaration: Vec::new(),
            notes: Vec::new(),
        }
    }
}

fn reversal(back: &TakeBack) -> Other {
    Other { number: credit_note(back.take_back_no), on: IsoDay(back.on) }
}

fn trader(source: &Source<'_>) -> Party {
    let Trader { name, address, phone, vat_number } = source.trader.clone();
    let vat_number = vat_number.filter(|_| source.registered);
    Party { name, address, phone, vat_number, is_trader: true, registered: source.registered }
}
