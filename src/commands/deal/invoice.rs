//! `invoice`: which sale, take-back or purchase is meant, and what its paper is made from.

use crate::cli::Replacing;
use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::domain::book::facts::{Car, Sale, TakeBack};
use crate::domain::book::invoice::{
    Trader, account_of_credit, account_of_purchase, account_of_sale, refund_to_pay, vat_on_paper,
};
use crate::domain::days::day::long;
use crate::domain::law::registration::Registration;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::paper_refusal::{NumberUndone, PaperRefusal};
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::checklist::CheckState;
use crate::domain::value::invoice_number::{PaperNumber, sales_invoice};
use crate::error::Error;
use crate::report::Report;
use crate::report::cell::IsoDay;
use crate::report::paper::invoice::InvoiceReport;
use crate::report::paper::invoice_parts::{Mot, Other};
use crate::report::paper::invoice_source::{Mileage, Source};
use crate::store::Reader;
use chrono::NaiveDate;
use clap::Args;
use std::path::PathBuf;

/// The invoice, credit note or purchase record of a car: one page made for paper.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout invoice 4\n  runabout invoice KX42 RTO --purchase --out record.html\n\n\
Open the file in any browser to print it or save it as PDF. The number of an invoice (S12) comes with the sale \
and that of a credit note (C3) with the take-back; neither is ever given again, not even after an undo.\n\n\
Registered for VAT on the day of sale, the invoice says 'margin scheme - second hand goods' and shows no VAT; \
a car bought on an invoice showing VAT is outside the scheme and gets an ordinary VAT invoice.")]
pub struct InvoiceArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The record of the purchase, for a private seller to sign
    #[arg(long, conflicts_with_all = ["credit_note", "number"])]
    pub purchase: bool,
    /// The credit note for the car taken back
    #[arg(long, conflicts_with = "number")]
    pub credit_note: bool,
    /// An earlier invoice or credit note of the car: S12 or C3 [the latest invoice]
    #[arg(long, value_name = "NUMBER")]
    pub number: Option<PaperNumber>,
    /// Where to write the page [standard output, or a file named for it on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}

/// The car, and what is the same for each of its papers.
struct Desk<'c> {
    reader: Reader<'c>,
    as_of: NaiveDate,
    trader: Trader,
    registration: Registration,
    car: Car,
    undone: Vec<NumberUndone>,
}

impl Looks for InvoiceArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(run(self, reader, context)?.into())
    }
}

fn run(args: &InvoiceArgs, reader: Reader<'_>, context: &Context) -> Result<InvoiceReport, Error> {
    let stock_no = lookup::stock_no(reader, &args.car)?;
    let car = reader.car(stock_no, context.today)?.filter(|car| car.bought_on <= context.today);
    let car = car.ok_or_else(|| Refusal::NothingBefore {
        what: format!("car {stock_no} was not in the book on {}", long(context.today)),
    })?;
    let stored = reader.settings()?;
    let desk = Desk {
        reader,
        as_of: context.today,
        trader: Trader::read(stored.iter().map(|(key, value)| (key.as_str(), value.as_str()))),
        registration: settings_of(reader)?.registration,
        car,
        undone: reader.numbers_undone(stock_no)?,
    };
    if args.purchase {
        return desk.purchase();
    }
    let wanted = match args.number {
        Some(number) => Some(desk.numbered(number)?),
        None if args.credit_note => Some(desk.latest_take_back()?),
        None => None,
    };
    match wanted {
        Some((sale, Some(back))) => desk.take_back(sale, back),
        Some((sale, None)) => desk.sale(sale),
        None => desk.sale(desk.latest_sale()?),
    }
}

impl Desk<'_> {
    fn latest_sale(&self) -> Result<&Sale, Error> {
        let undone = self.undone_of(|number| matches!(number, PaperNumber::Sale(_)));
        self.car.sales.last().ok_or_else(|| self.gone(undone, Refusal::NotSold { car: self.car.label() }).into())
    }

    fn latest_take_back(&self) -> Result<(&Sale, Option<&TakeBack>), Error> {
        match self.car.sales.iter().rev().find(|sale| sale.taken_back.is_some()) {
            Some(sale) => Ok((sale, sale.taken_back.as_ref())),
            None => {
                let car = self.latest_sale().map(|_| self.car.label())?;
                let undone = self.undone_of(|number| matches!(number, PaperNumber::TakeBack(_)));
                Err(self.gone(undone, PaperRefusal::NotTakenBack { car }.into()).into())
            }
        }
    }

    /// The sale of that number, or the take-back with its sale.
    fn numbered(&self, wanted: PaperNumber) -> Result<(&Sale, Option<&TakeBack>), Error> {
        let of = |sale: &Sale| PaperNumber::Sale(sale.sale_no);
        let back = |sale: &Sale| sale.taken_back.as_ref().map(|back| PaperNumber::TakeBack(back.take_back_no));
        for sale in &self.car.sales {
            if of(sale) == wanted {
                return Ok((sale, None));
            }
            if back(sale) == Some(wanted) {
                return Ok((sale, sale.taken_back.as_ref()));
            }
        }
        let known: Vec<PaperNumber> =
            self.car.sales.iter().flat_map(|sale| [Some(of(sale)), back(sale)]).flatten().collect();
        let car = self.car.label();
        let unknown = if known.is_empty() {
            Refusal::NotSold { car }
        } else {
            PaperRefusal::NumberUnknown { car, number: wanted, known }.into()
        };
        Err(self.gone(self.undone_of(|number| number == wanted), unknown).into())
    }

    fn undone_of(&self, wanted: impl Fn(PaperNumber) -> bool) -> Vec<NumberUndone> {
        self.undone.iter().copied().filter(|each| wanted(each.number)).collect()
    }

    /// That it was undone, when it was; otherwise `refusal`.
    fn gone(&self, undone: Vec<NumberUndone>, refusal: Refusal) -> Refusal {
        if undone.is_empty() {
            return refusal;
        }
        PaperRefusal::Undone { car: self.car.label(), undone }.into()
    }

    fn sale(&self, sale: &Sale) -> Result<InvoiceReport, Error> {
        let taken_in = self.taken_in(sale)?;
        let mut source = self.source(sale.on, &taken_in)?;
        source.account = account_of_sale(&self.car, sale);
        let vat = vat_on_paper(&self.car, sale, &self.registration);
        Ok(InvoiceReport::of_sale(&source, sale, vat, self.mot(sale.on)?))
    }

    fn take_back(&self, sale: &Sale, back: &TakeBack) -> Result<InvoiceReport, Error> {
        let taken_in = self.taken_in(sale)?;
        // The mark and the VAT are the invoice's, which the credit note undoes.
        let mut source = self.source(sale.on, &taken_in)?;
        source.account = account_of_credit(&self.car, sale, back, &taken_in);
        source.mileage = None;
        let vat = vat_on_paper(&self.car, sale, &self.registration);
        let to_pay = refund_to_pay(&self.car, back, self.as_of);
        Ok(InvoiceReport::of_take_back(&source, sale, back, vat, to_pay))
    }

    fn purchase(&self) -> Result<InvoiceReport, Error> {
        let on = self.car.bought_on;
        let mut source = self.source(on, &[])?;
        source.mark.clone_from(&self.car.mark_at_purchase);
        let taken_in_for = match self.reader.taken_in_for(self.car.stock_no)? {
            Some(sold) => self.reader.car(sold, self.as_of)?.and_then(|sold| invoice_naming(&sold, self.car.stock_no)),
            None => None,
        };
        let mot = Mot::new(self.reader.mot_until(self.car.vehicle.vehicle_no, on)?, None);
        Ok(InvoiceReport::of_purchase(&source, mot, taken_in_for))
    }

    /// What a paper dated `on` is made from, its account that of the purchase until told otherwise.
    fn source<'a>(&'a self, on: NaiveDate, taken_in: &'a [Car]) -> Result<Source<'a>, Error> {
        Ok(Source {
            as_of: self.as_of,
            trader: &self.trader,
            registered: self.registration.holds_on(on),
            car: &self.car,
            mark: self.reader.car(self.car.stock_no, on)?.and_then(|then| then.mark),
            taken_in,
            account: account_of_purchase(&self.car),
            mileage: self.mileage(on)?,
            undone: &self.undone,
        })
    }

    fn taken_in(&self, sale: &Sale) -> Result<Vec<Car>, Error> {
        let numbers: Vec<StockNo> = sale.part_exchanges.iter().map(|part| part.stock_no).collect();
        Ok(self.reader.cars(&numbers, self.as_of)?)
    }

    /// The latest reading by `on`, and the day it was compared with the car's history, if that was
    /// marked as done by then.
    fn mileage(&self, on: NaiveDate) -> Result<Option<Mileage>, Error> {
        let reading = self.reader.latest_reading(self.car.vehicle.vehicle_no, on)?;
        let checks = self.reader.car_checks(self.car.stock_no, on)?;
        let checked = checks.iter().find(|check| check.item == "mileage" && check.state == CheckState::Done);
        Ok(reading.map(|(read_on, miles)| Mileage {
            miles,
            on: IsoDay(read_on),
            checked_on: checked.map(|check| IsoDay(check.on)),
        }))
    }

    fn mot(&self, on: NaiveDate) -> Result<Mot, Error> {
        let vehicle_no = self.car.vehicle.vehicle_no;
        let tests = self.reader.mot_tests(vehicle_no, on)?;
        let last = tests.last().map(|test| (test.on, test.passed, test.defects.as_slice()));
        Ok(Mot::new(self.reader.mot_until(vehicle_no, on)?, last))
    }
}

/// The invoice for the sale that took `taken_in` as part payment.
fn invoice_naming(sold: &Car, taken_in: StockNo) -> Option<Other> {
    let sale = sold.sales.iter().find(|sale| sale.part_exchanges.iter().any(|part| part.stock_no == taken_in))?;
    Some(Other { number: sales_invoice(sale.sale_no), on: IsoDay(sale.on) })
}
