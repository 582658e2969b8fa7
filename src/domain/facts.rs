//! What the book holds, as plain values: the facts every figure is computed from. They say what
//! happened and when; they work nothing out. Amounts are gross, as paid; VAT stands beside them.

use crate::domain::car_ref::StockNo;
use crate::domain::dated_facts::MotStanding;
use crate::domain::mark::Mark;
use crate::domain::pence::Pence;
use crate::domain::registration::Registration;
use crate::domain::standing::Standing;
use crate::domain::vin::Vin;
use crate::domain::words::{Direction, Kind, Pocket, Purpose, Shared, Via};
use chrono::NaiveDate;

/// The number of an entry: one recording command.
pub type EntryNo = i64;

/// What is known of a vehicle apart from its stays in stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vehicle {
    /// The book's own number for it.
    pub vehicle_no: i64,
    /// Car, van or motorcycle.
    pub kind: Kind,
    /// Vehicle identification number, or an old chassis number.
    pub vin: Option<Vin>,
    /// Maker's name.
    pub make: Option<String>,
    /// Model name.
    pub model: Option<String>,
    /// Model year, four digits.
    pub year: Option<i32>,
    /// Colour as on the V5C.
    pub colour: Option<String>,
    /// Petrol, diesel and so on, as typed.
    pub fuel: Option<String>,
    /// Day of first registration.
    pub first_registered: Option<NaiveDate>,
}

impl Vehicle {
    /// `Brindle Harrow 2012, blue`, or what is known of that; empty when nothing is.
    pub fn description(&self) -> String {
        let year = self.year.map(|year| year.to_string());
        let name: Vec<&str> =
            [self.make.as_deref(), self.model.as_deref(), year.as_deref()].into_iter().flatten().collect();
        [Some(name.join(" ")).filter(|name| !name.is_empty()), self.colour.clone()]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// Money spent or received, on one car or on the yard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The book's own number for it.
    pub line_no: i64,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The car it is on; none for the yard.
    pub stock_no: Option<StockNo>,
    /// Spent or received.
    pub direction: Direction,
    /// The day it is dated.
    pub on: NaiveDate,
    /// What it was for.
    pub heading: String,
    /// As paid, VAT included.
    pub amount: Pence,
    /// What it would normally have cost.
    pub usual_price: Option<Pence>,
    /// The VAT shown on the bill, part of `amount`.
    pub vat: Pence,
    /// Where the money came from or went; none while a bill is unpaid.
    pub pocket: Option<Pocket>,
    /// Whole, an equal share or a typed part.
    pub shared: Shared,
    /// Who was paid or who paid.
    pub party: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// Money that settles a claim or is the owner's; into a pocket positive, out of it negative.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Movement {
    /// The book's own number for it.
    pub movement_no: i64,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day the money moved.
    pub on: NaiveDate,
    /// The pocket it moved in or out of.
    pub pocket: Pocket,
    /// Signed: into the pocket positive.
    pub amount: Pence,
    /// What it settles.
    pub purpose: Purpose,
    /// The car a purchase or sale is about.
    pub stock_no: Option<StockNo>,
    /// The lender of a loan, or who was owed a bill.
    pub party: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// A car taken in as part payment for a sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartExchange {
    /// The car taken in.
    pub stock_no: StockNo,
    /// What was allowed for it.
    pub allowance: Pence,
}

/// One sale of a car.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sale {
    /// The book's own number for it.
    pub sale_no: i64,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day it was sold.
    pub on: NaiveDate,
    /// The full price agreed, part-exchange included.
    pub selling_price: Pence,
    /// Who bought it.
    pub buyer: Option<String>,
    /// Buyer's address.
    pub address: Option<String>,
    /// Sold to another trader, not the public.
    pub to_trade: bool,
    /// Day of delivery when later than the sale.
    pub delivered_on: Option<NaiveDate>,
    /// Sold at a distance (no face-to-face contract).
    pub distance: bool,
    /// Cars taken in as part payment.
    pub part_exchanges: Vec<PartExchange>,
}

impl Sale {
    /// What the cars taken in were allowed at, together.
    pub fn allowances(&self) -> Pence {
        self.part_exchanges.iter().map(|part| part.allowance).sum()
    }
}

/// One stay of one vehicle in stock, with every line and settlement on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Car {
    /// Its number in the stock book.
    pub stock_no: StockNo,
    /// The entry that recorded the purchase.
    pub entry: EntryNo,
    /// The vehicle itself.
    pub vehicle: Vehicle,
    /// The mark on it now.
    pub mark: Option<Mark>,
    /// The mark it was bought under, as the stock book keeps it.
    pub mark_at_purchase: Option<Mark>,
    /// The day it was bought.
    pub bought_on: NaiveDate,
    /// What was agreed with the seller, money plus any part-exchange allowance.
    pub purchase_price: Pence,
    /// The part of the price owed to a lender.
    pub finance: Pence,
    /// The VAT shown on the purchase invoice.
    pub vat: Pence,
    /// Bought on an invoice showing VAT: outside the margin scheme.
    pub vat_invoice: bool,
    /// Private, auction, trade, own or part-exchange.
    pub via: Via,
    /// Who sold it.
    pub seller: Option<String>,
    /// The seller's invoice number.
    pub purchase_invoice: Option<String>,
    /// How many keys came with it.
    pub keys: Option<u32>,
    /// The allowance it was taken in at, when it came as part payment.
    pub taken_in_at: Option<Pence>,
    /// Its sale, once sold.
    pub sale: Option<Sale>,
    /// Lines on it, oldest first.
    pub lines: Vec<Line>,
    /// Purchase and sale money, oldest first.
    pub settlements: Vec<Movement>,
    /// Own minutes logged on it, with their days.
    pub own_minutes: Vec<(NaiveDate, u32)>,
}

impl Car {
    /// `7 KX12 RTO`, or the number alone for a car without plates.
    pub fn label(&self) -> String {
        match &self.mark {
            Some(mark) => format!("{} {mark}", self.stock_no),
            None => format!("{} (no plates)", self.stock_no),
        }
    }
}

/// What a car shows the world on a day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Showing {
    /// What is advertised.
    pub asking_price: Option<Pence>,
    /// What would still be taken.
    pub lowest_price: Option<Pence>,
    /// How its MOT stands.
    pub mot: MotStanding,
    /// The latest odometer reading, in miles, and its day.
    pub mileage: Option<(NaiveDate, u32)>,
}

/// What is owed and held before the first day a slice of facts covers, as plain sums of facts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Opening {
    /// Cash in hand, standing costs left out.
    pub cash: Pence,
    /// Bank, standing costs left out.
    pub bank: Pence,
    /// Prices of cars sold, less allowances and money received for them.
    pub owed_by_buyers: Pence,
    /// Prices of cars bought, less allowances and money paid for them.
    pub owed_to_sellers: Pence,
    /// Bills recorded unpaid, less what was paid against them.
    pub bills: Pence,
    /// Borrowed less paid back.
    pub loans: Pence,
    /// VAT on sales and receipts less VAT reclaimed and paid, standing costs left out.
    pub vat_owed: Pence,
}

/// A slice of the book: enough facts to compute any figure between `from` and `to`.
#[derive(Clone, Debug)]
pub struct Facts {
    /// First day covered.
    pub from: NaiveDate,
    /// Last day covered; nothing dated after it is here.
    pub to: NaiveDate,
    /// The last day standing costs may count for: never after the real today.
    pub standing_to: NaiveDate,
    /// The first day anything in the whole book is dated; none for an empty book.
    pub first_day: Option<NaiveDate>,
    /// VAT registration.
    pub registration: Registration,
    /// Balances at the end of the day before `from`.
    pub opening: Opening,
    /// Every car that was in stock on any day covered, or has a line or settlement then.
    pub cars: Vec<Car>,
    /// Lines on the yard dated on the days covered.
    pub yard_lines: Vec<Line>,
    /// Movements not about a car dated on the days covered.
    pub movements: Vec<Movement>,
    /// Every standing cost.
    pub standings: Vec<Standing>,
}
