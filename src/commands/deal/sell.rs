//! `sell`: the sale, what was paid, the cars taken in; then what it made and what is still to do.

use crate::cli::Trying;
use crate::commands::deal::deposit::give_back;
use crate::commands::steps::act::Records;
use crate::commands::steps::cash_note::{Deal, cash_note};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, CAR, DAY, Enter, MILES, Need, PAID, ask, needed, optional};
use crate::commands::steps::receipts::keep_receipts;
use crate::commands::steps::recording::{ReadBack, lower_mileage, paid_words, pocket, received_words, record, to_whom};
use crate::commands::steps::sale_notes::notes;
use crate::domain::book::claims::{Given, deposit_held, depositor};
use crate::domain::book::dealing::received_for_sale;
use crate::domain::book::facts::Car;
use crate::domain::days::day::{DayAhead, LAST_DAY, WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{Miles, TakenIn};
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{PaidBy, Pocket, Purpose, Via};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewCar, NewMovement, NewSale, NewVehicle, Recording};
use chrono::NaiveDate;
use clap::Args;
use std::path::PathBuf;

/// Record a car sold.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout sell 1 1,145 --to \"D Farrow\" --paid cash\n  \
runabout sell KX42 RTO 1,145 --part-exchange JU48HVD=165 --paid-amount 740\n\n\
On a terminal it asks for what is left out.")]
pub struct SellArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The full price, part-exchange included
    #[arg(value_name = "PRICE")]
    pub price: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Who bought it, as the invoice names them
    #[arg(long, value_name = "NAME")]
    pub to: Option<Wording>,
    /// Their address, for the invoice
    #[arg(long, value_name = "TEXT")]
    pub address: Option<Wording>,
    /// Miles on the odometer
    #[arg(long, value_name = "N")]
    pub miles: Option<Miles>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// What changed hands, when it was not all that is due
    #[arg(long, value_name = "AMOUNT")]
    pub paid_amount: Option<Pence>,
    /// A car taken in as part payment; repeat for more
    #[arg(long, value_name = "MARK=ALLOWANCE")]
    pub part_exchange: Vec<TakenIn>,
    /// Of that allowance, what is owed to a lender and yours to pay off
    #[arg(long, value_name = "MARK=AMOUNT", requires = "part_exchange")]
    pub part_exchange_finance: Vec<TakenIn>,
    /// Hand back the deposit held, which somebody else paid
    #[arg(long)]
    pub give_back_deposit: bool,
    /// Sold to another trader, not the public
    #[arg(long)]
    pub to_trade: bool,
    /// Day of delivery, when later
    #[arg(long, value_name = "DATE")]
    pub delivered: Option<DayAhead>,
    /// Sold at a distance, without meeting
    #[arg(long)]
    pub distance: bool,
    /// A photo or PDF of the bill, kept beside the book; repeat for more
    #[arg(long, value_name = "FILE")]
    pub receipt: Vec<PathBuf>,
    /// A note on the car, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl SellArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        CAR,
        needed("price", "Price").enter(Enter::AskingPrice),
        ask("part_exchange", "Part-exchange, such as AB91CDE=165", Need::Repeated).enter(Enter::NoMore),
        optional("to", "Sold to (name)").enter(Enter::Depositor),
        PAID,
        MILES,
        DAY,
    ];
}

impl Records for SellArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let delivered_on = self.delivered.as_ref().map(|day| day.resolve(context.today)).transpose()?;
        if let Some(delivered) = delivered_on.filter(|delivered| *delivered < on) {
            return Err(ValueError::at_odds(
                "delivery",
                long(delivered),
                format!("is before the sale, on {}", long(on)),
            )
            .into());
        }
        Ok(record(book, context, "sell", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car_in_stock(reader, &self.car, on)?;
            let pocket = pocket(reader, self.paid)?;
            let (deposit, buyer) = deposit(self, recording, &car, on)?;
            let taken_in = taken_in(self)?;
            let credits: Pence = taken_in.iter().map(|(taken, finance)| taken.allowance - *finance).sum();
            let received = received_for_sale(self.price, credits, deposit, self.paid_amount)?;
            let sale_no = recording.add_sale(&NewSale {
                stock_no: car.stock_no,
                sold_on: on,
                selling_price: self.price,
                buyer: buyer.clone(),
                address: self.address.as_ref().map(ToString::to_string),
                to_trade: self.to_trade,
                delivered_on,
                distance: self.distance,
            })?;
            recording.add_movement(&NewMovement {
                on,
                pocket,
                amount: received,
                purpose: Purpose::Sale,
                stock_no: Some(car.stock_no),
                party: buyer.clone(),
                note: None,
            })?;
            recording.add_deposit_end(car.stock_no, on, deposit, Some(sale_no))?;
            let lower = lower_mileage(reader, car.vehicle.vehicle_no, on, self.miles)?;
            if let Some(miles) = self.miles {
                recording.add_reading(car.vehicle.vehicle_no, on, miles.0, "sale")?;
            }
            if let Some(note) = &self.note {
                recording.add_note(car.stock_no, on, note.as_str())?;
            }
            let mut cars = vec![car.stock_no];
            for (taken, finance) in &taken_in {
                if car.mark.as_ref() == Some(&taken.mark) {
                    let with = "itself as its own part-exchange";
                    return Err(Refusal::AtOdds { what: "the car being sold", with }.into());
                }
                let stock_no = take_in(recording, taken, *finance, buyer.as_deref(), on)?;
                recording.add_part_exchange(sale_no, stock_no, taken.allowance)?;
                cars.push(stock_no);
            }
            let given = Given { credits, deposit, money: received, ..Given::default() };
            let mut said = ReadBack::new(summary(self, (&car, buyer.as_deref()), &cars, on, given, pocket), cars);
            said.notes = notes(reader, car.stock_no, on)?;
            said.notes.extend(lower);
            said.notes.extend(taken_in.iter().zip(said.cars.iter().skip(1)).filter_map(finance_note));
            said.notes.extend(cash_note(reader, car.stock_no, Deal::Sale, on)?);
            said.notes.extend(keep_receipts(recording, &self.receipt)?);
            Ok(said)
        })?
        .into())
    }
}

/// The deposit that counts towards the price, and who is buying. One that somebody else paid is
/// handed back first, when that was said.
fn deposit(
    args: &SellArgs,
    recording: &Recording<'_>,
    car: &Car,
    on: NaiveDate,
) -> Result<(Pence, Option<String>), Error> {
    let held = deposit_held(car, LAST_DAY);
    let (buyer, by) = (args.to.as_ref().map(ToString::to_string), depositor(car));
    if held.is_zero() {
        return if args.give_back_deposit {
            Err(Refusal::from(DealRefusal::NoDeposit { car: car.label() }).into())
        } else {
            Ok((held, buyer))
        };
    }
    let last = car.settlements.iter().filter(|moved| moved.purpose == Purpose::Deposit).map(|moved| moved.on).max();
    if let Some(last) = last.filter(|last| *last > on) {
        let verdict = format!("is before the deposit of {}", long(last));
        return Err(ValueError::at_odds("date", long(on), verdict).into());
    }
    if args.give_back_deposit {
        give_back(recording, car, held, on, args.paid)?;
        return Ok((Pence::ZERO, buyer));
    }
    match (&buyer, by) {
        (Some(buyer), Some(by)) if !buyer.eq_ignore_ascii_case(by) => {
            let (by, given) = (by.to_owned(), buyer.clone());
            Err(Refusal::from(DealRefusal::DepositFromAnother { car: car.label(), held, by, given, selling: true })
                .into())
        }
        (Some(_), _) => Ok((held, buyer)),
        (None, by) => Ok((held, by.map(str::to_owned))),
    }
}

/// The cars taken in, each with the part of its allowance that is owed to a lender.
fn taken_in(args: &SellArgs) -> Result<Vec<(&TakenIn, Pence)>, Error> {
    let mut finance = args.part_exchange_finance.clone();
    let mut taken_in = Vec::new();
    for (n, taken) in args.part_exchange.iter().enumerate() {
        if args.part_exchange.iter().take(n).any(|other| other.mark == taken.mark) {
            return Err(Refusal::NamedTwice { what: taken.mark.to_string() }.into());
        }
        let at = finance.iter().position(|owed| owed.mark == taken.mark);
        let owed = at.map_or(Pence::ZERO, |at| finance.remove(at).allowance);
        if owed > taken.allowance {
            return Err(Refusal::FinanceTooBig { finance: owed, price: taken.allowance }.into());
        }
        taken_in.push((taken, owed));
    }
    match finance.first() {
        Some(other) => {
            let verdict = "is not the mark of a car taken in with --part-exchange";
            Err(ValueError::at_odds("part-exchange finance", other.mark.to_string(), verdict).into())
        }
        None => Ok(taken_in),
    }
}

fn finance_note(((taken, finance), stock_no): (&(&TakenIn, Pence), &StockNo)) -> Option<String> {
    finance.is_positive().then(|| {
        format!(
            "{finance} of finance on {} is yours to pay off: `runabout spend {} balance --car {stock_no}`",
            taken.mark,
            finance.plain()
        )
    })
}

/// A car taken in: bought the same day, from the buyer, at its allowance.
fn take_in(
    recording: &Recording<'_>,
    taken_in: &TakenIn,
    finance: Pence,
    buyer: Option<&str>,
    on: NaiveDate,
) -> Result<StockNo, Error> {
    let reader = recording.read();
    let vehicle_no = match reader.vehicle_by_mark(&taken_in.mark)? {
        Some(found) => {
            if let Some(stock_no) = found.in_stock_as {
                return Err(Refusal::InStockAlready { car: lookup::whole_car(reader, stock_no)?.label() }.into());
            }
            found.vehicle_no
        }
        None => {
            let vehicle_no = recording.add_vehicle(&NewVehicle::default())?;
            recording.add_mark(vehicle_no, &taken_in.mark, on)?;
            vehicle_no
        }
    };
    Ok(recording.add_car(&NewCar {
        vehicle_no,
        mark: Some(taken_in.mark.clone()),
        bought_on: on,
        purchase_price: taken_in.allowance,
        finance,
        vat: Pence::ZERO,
        vat_invoice: false,
        via: Via::PartExchange,
        seller: buyer.map(str::to_owned),
        purchase_invoice: None,
        keys: None,
    })?)
}

fn summary(
    args: &SellArgs,
    (car, buyer): (&Car, Option<&str>),
    cars: &[StockNo],
    on: NaiveDate,
    given: Given,
    pocket: Pocket,
) -> String {
    let mut summary = format!("sold {} for {}{} on {}", car.label(), args.price, to_whom("to", buyer), long(on));
    for (taken_in, stock_no) in args.part_exchange.iter().zip(&cars[1..]) {
        summary += &format!(", taking in {} as car {stock_no} at {}", taken_in.mark, taken_in.allowance);
    }
    if given.deposit.is_positive() {
        summary += &format!(", deposit of {} counted", given.deposit);
    }
    let owed = given.left_of(args.price);
    if given.money.is_negative() {
        summary += &format!(", {} paid to the buyer {}", -given.money, paid_words(pocket));
    } else if given.money == args.price && given.money.is_positive() {
        summary += &format!(", paid {}", received_words(pocket));
    } else if given.money.is_positive() {
        summary += &format!(", {} paid {}", given.money, received_words(pocket));
    }
    if owed.is_positive() {
        summary += &format!(", {owed} still owed");
    }
    summary
}
