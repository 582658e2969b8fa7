//! `sell`: the sale, what was paid, the cars taken in; then what it made and what is still to do.

use crate::cli::sell::SellArgs;
use crate::commands::recording::{Said, paid_words, pocket, record, to_whom};
use crate::commands::{Context, lookup, settings_of};
use crate::domain::car_figures::car_figures;
use crate::domain::car_ref::StockNo;
use crate::domain::day::{days_between, long};
use crate::domain::dealing::received_for_sale;
use crate::domain::facts::Car;
use crate::domain::pence::Pence;
use crate::domain::refusal::Refusal;
use crate::domain::target::TakenIn;
use crate::domain::value_error::ValueError;
use crate::domain::words::{Pocket, Purpose, Via};
use crate::error::Error;
use crate::report::recorded::Recorded;
use crate::store::{Book, NewCar, NewMovement, NewSale, NewVehicle, Reader, Recording};
use chrono::NaiveDate;

pub fn run(args: &SellArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    let delivered_on = args.delivered.as_ref().map(|day| day.resolve_any(context.today)).transpose()?;
    if let Some(delivered) = delivered_on.filter(|delivered| *delivered < on) {
        return Err(
            ValueError::refused("delivery", long(delivered), format!("is before the sale, on {}", long(on))).into()
        );
    }
    record(book, context, "sell", args.trying.dry_run, |recording| {
        let reader = recording.read();
        let car = lookup::car(reader, &args.car)?;
        if let Some(sale) = &car.sale {
            return Err(Refusal::SoldAlready { car: car.label(), on: sale.on }.into());
        }
        if on < car.bought_on {
            return Err(Refusal::BeforePurchase { car: car.label(), given: on, bought: car.bought_on }.into());
        }
        let allowances: Pence = args.part_exchange.iter().map(|taken_in| taken_in.allowance).sum();
        let received = received_for_sale(args.price, allowances, args.paid_amount)?;
        let pocket = pocket(reader, args.paid)?;
        let buyer = args.to.as_ref().map(ToString::to_string);
        let sale_no = recording.add_sale(&NewSale {
            stock_no: car.stock_no,
            sold_on: on,
            selling_price: args.price,
            buyer: buyer.clone(),
            address: args.address.as_ref().map(ToString::to_string),
            to_trade: args.to_trade,
            delivered_on,
            distance: args.distance,
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
        if let Some(miles) = args.miles {
            recording.add_reading(car.vehicle.vehicle_no, on, miles.0, "sale")?;
        }
        if let Some(note) = &args.note {
            recording.add_note(car.stock_no, on, note.as_str())?;
        }
        let mut cars = vec![car.stock_no];
        for taken_in in &args.part_exchange {
            let stock_no = take_in(recording, taken_in, buyer.as_deref(), on)?;
            recording.add_part_exchange(sale_no, stock_no, taken_in.allowance)?;
            cars.push(stock_no);
        }
        let mut said = Said::new(summary(args, &car, &cars, on, (received, allowances), pocket), cars);
        said.notes = notes(args, reader, car.stock_no, on)?;
        Ok(said)
    })
}

/// A car taken in: bought the same day, from the buyer, at its allowance.
fn take_in(
    recording: &Recording<'_>,
    taken_in: &TakenIn,
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
        finance: Pence::ZERO,
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
    car: &Car,
    cars: &[StockNo],
    on: NaiveDate,
    (received, allowances): (Pence, Pence),
    pocket: Pocket,
) -> String {
    let mut summary = format!(
        "sold {} for {}{} on {}",
        car.label(),
        args.price,
        to_whom("to", args.to.as_ref().map(AsRef::as_ref)),
        long(on)
    );
    for (taken_in, stock_no) in args.part_exchange.iter().zip(&cars[1..]) {
        summary += &format!(", taking in {} as car {stock_no} at {}", taken_in.mark, taken_in.allowance);
    }
    let owed = args.price - allowances - received;
    if received.is_negative() {
        summary += &format!(", {} paid to the buyer {}", -received, paid_words(pocket));
    } else if owed.is_zero() && allowances.is_zero() && received.is_positive() {
        summary += &format!(", paid {}", paid_words(pocket));
    } else if received.is_positive() {
        summary += &format!(", {received} paid {}", paid_words(pocket));
    }
    if owed.is_positive() {
        summary += &format!(", {owed} still owed");
    }
    summary
}

fn notes(args: &SellArgs, reader: Reader<'_>, stock_no: StockNo, on: NaiveDate) -> Result<Vec<String>, Error> {
    let car = lookup::whole_car(reader, stock_no)?;
    let figures = car_figures(&car, on, &settings_of(reader)?.registration);
    let mut notes = Vec::new();
    if let Some(sold) = &figures.sold {
        let measure = match (sold.return_pct, sold.multiple) {
            (Some(percent), Some(multiple)) => {
                format!(": {percent} % on the {} it stood in at, {multiple} times", figures.stands_in)
            }
            _ => String::new(),
        };
        let days = figures.days_in_stock.unwrap_or_default();
        let word = if sold.profit.is_negative() { "lost" } else { "made" };
        notes.push(format!(
            "{word} {} in {days} {}{measure}",
            sold.profit.abs(),
            if days == 1 { "day" } else { "days" }
        ));
    }
    let mot_until = reader.showing(&[stock_no], on)?.remove(&stock_no).and_then(|showing| showing.mot_until);
    if mot_until.is_none_or(|until| days_between(on, until) < 0) {
        notes.push(
            "no MOT is recorded for the day of sale: it is an offence to sell a car in an unroadworthy condition \
             (Road Traffic Act 1988 s.75); if in doubt ask your local trading standards"
                .into(),
        );
    }
    notes.push("still to do: tell DVLA who has it now, and give the buyer the new keeper's slip; the buyer must tax it before driving".into());
    if !args.to_trade {
        notes.push("sold to the public: the buyer's statutory rights stand, whatever the paperwork says".into());
    }
    Ok(notes)
}
