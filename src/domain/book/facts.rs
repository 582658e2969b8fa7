//! What the book holds, as plain values: the facts every figure is computed from. They say what
//! happened and when; they work nothing out. Amounts are gross, as paid; VAT stands beside them.

use crate::domain::book::dated_facts::MotStanding;
use crate::domain::book::standing::Standing;
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::mark::Mark;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::vin::Vin;
use crate::domain::value::words::{Direction, Kind, Outcome, Pocket, Purpose, Shared, Via};
use chrono::NaiveDate;

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
    /// The car a purchase, sale, deposit or refund is about.
    pub stock_no: Option<StockNo>,
    /// The lender of a loan, who was owed a bill, who paid a deposit.
    pub party: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// A car taken in as part payment for a sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartExchange {
    /// The car taken in.
    pub stock_no: StockNo,
    /// What was allowed for it, its purchase price.
    pub allowance: Pence,
    /// The part of that owed to a lender: the trader pays it off, so it does not count towards the
    /// price of the car sold.
    pub finance: Pence,
}

impl PartExchange {
    /// What counts towards the price of the car sold.
    pub fn credit(&self) -> Pence {
        self.allowance - self.finance
    }
}

/// A sale undone by the buyer's return of the car.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakeBack {
    /// The book's own number for it, which is that of the credit note.
    pub take_back_no: i64,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day the car came back.
    pub on: NaiveDate,
    /// Money agreed to go back to the buyer; negative when they hand money over.
    pub refund: Pence,
    /// What they still owed, which lapsed.
    pub lapsed: Pence,
    /// Allowances of the cars taken in that went back to them.
    pub returned: Pence,
    /// What they gave and do not get back.
    pub kept_back: Pence,
    /// Why it came back.
    pub reason: Option<String>,
}

/// How a car left stock without a sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disposal {
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day it left stock.
    pub on: NaiveDate,
    /// Scrapped, broken, lost, kept or returned.
    pub how: Outcome,
    /// What a car kept was worth to the owner, or the allowance at which one taken in went back.
    pub value: Pence,
    /// Who took it.
    pub party: Option<String>,
    /// Reference of the Certificate of Destruction.
    pub certificate: Option<String>,
}

/// Deposit money held no more and not given back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DepositEnd {
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day.
    pub on: NaiveDate,
    /// How much.
    pub amount: Pence,
    /// The sale it counted towards; none when it was kept.
    pub sale_no: Option<i64>,
}

/// Part of what a buyer owes that will never come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WriteOff {
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day.
    pub on: NaiveDate,
    /// How much.
    pub amount: Pence,
}

/// What was paid under the hammer and the auctioneer's fee that is part of the purchase price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AuctionPurchase {
    /// The price the hammer fell at.
    pub hammer_price: Pence,
    /// The buyer's fee, charged without VAT shown.
    pub buyers_fee: Pence,
}

/// An offer made for a car.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day.
    pub on: NaiveDate,
    /// How much.
    pub amount: Pence,
    /// Who offered.
    pub by: Option<String>,
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
    /// The buyer's return of the car, if it came back.
    pub taken_back: Option<TakeBack>,
}

impl Sale {
    /// What the cars taken in count towards the price, together.
    pub fn credits(&self) -> Pence {
        self.part_exchanges.iter().map(PartExchange::credit).sum()
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
    /// What was paid under the hammer, when it came from an auction that charged a fee.
    pub auction: Option<AuctionPurchase>,
    /// Its sales, oldest first; all but the last were taken back.
    pub sales: Vec<Sale>,
    /// How it left stock without a sale, if it did.
    pub disposal: Option<Disposal>,
    /// Lines on it, oldest first.
    pub lines: Vec<Line>,
    /// Purchase, sale, deposit and refund money, oldest first.
    pub settlements: Vec<Movement>,
    /// Deposit money held no more and not given back, oldest first.
    pub deposit_ends: Vec<DepositEnd>,
    /// What its buyers owed and never paid, oldest first.
    pub write_offs: Vec<WriteOff>,
    /// Own minutes logged on it, with their days.
    pub own_minutes: Vec<(NaiveDate, u32)>,
}

impl Car {
    /// `7 KX42 RTO`, or the number alone for a car without plates.
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
    /// Until when it is kept for whoever paid a deposit, as last agreed.
    pub hold_until: Option<NaiveDate>,
}

/// What is owed and held before the first day a slice of facts covers, as plain sums of facts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Opening {
    /// Cash in hand, standing costs left out.
    pub cash: Pence,
    /// Bank, standing costs left out.
    pub bank: Pence,
    /// Prices of cars sold, less what cars taken in counted towards them, deposits, money received,
    /// written off and lapsed.
    pub owed_by_buyers: Pence,
    /// Deposits taken, less those given back, counted towards a sale or kept.
    pub deposits_held: Pence,
    /// Money agreed to go back to buyers, less what was paid of it.
    pub refunds_owed: Pence,
    /// Prices of cars bought, less what counted towards the price of a car sold, and money paid.
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
