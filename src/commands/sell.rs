//! `sell`: the sale, what was paid, the cars taken in; then what it made and what is still to do.

use crate::cli::sell::SellArgs;
use crate::commands::recording::{Said, lower_mileage, paid_words, pocket, received_words, record, to_whom};
use crate::commands::{Context, lookup, settings_of};
use crate::domain::buyer_rights::{cancellation_ends, presumption_ends, rejection_ends};
use crate::domain::car_figures::car_figures;
use crate::domain::car_ref::StockNo;
use crate::domain::checklist::{CheckState, ITEMS};
use crate::domain::day::{LAST_DAY, long};
use crate::domain::dealing::received_for_sale;
use crate::domain::facts::{Car, Sale};
use crate::domain::mot::DefectLevel;
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
        let car = lookup::car_in_stock(reader, &args.car, on)?;
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
        let lower = lower_mileage(reader, car.vehicle.vehicle_no, on, args.miles)?;
        if let Some(miles) = args.miles {
            recording.add_reading(car.vehicle.vehicle_no, on, miles.0, "sale")?;
        }
        if let Some(note) = &args.note {
            recording.add_note(car.stock_no, on, note.as_str())?;
        }
        let mut cars = vec![car.stock_no];
        for taken_in in &args.part_exchange {
            if car.mark.as_ref() == Some(&taken_in.mark) {
                return Err(Refusal::DoesNotGoWith {
                    what: "the car being sold",
                    with: "itself as its own part-exchange",
                }
                .into());
            }
            let stock_no = take_in(recording, taken_in, buyer.as_deref(), on)?;
            recording.add_part_exchange(sale_no, stock_no, taken_in.allowance)?;
            cars.push(stock_no);
        }
        let mut said = Said::new(summary(args, &car, &cars, on, (received, allowances), pocket), cars);
        said.notes = notes(reader, car.stock_no, on)?;
        said.notes.extend(lower);
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
        summary += &format!(", paid {}", received_words(pocket));
    } else if received.is_positive() {
        summary += &format!(", {received} paid {}", received_words(pocket));
    }
    if owed.is_positive() {
        summary += &format!(", {owed} still owed");
    }
    summary
}

fn notes(reader: Reader<'_>, stock_no: StockNo, on: NaiveDate) -> Result<Vec<String>, Error> {
    let car = lookup::whole_car(reader, stock_no)?;
    let registration = settings_of(reader)?.registration;
    let figures = car_figures(&car, on, &registration);
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
    let later: Pence =
        car_figures(&car, LAST_DAY, &registration).sold.map(|sold| sold.after_sale_costs).unwrap_or_default();
    if !later.is_zero() {
        notes.push(format!(
            "{later} dated after {} is now an after-sale cost and no part of what it stood in at",
            long(on)
        ));
    }
    notes.extend(cautions(reader, &car, on)?);
    notes.push("still to do: tell DVLA who has it now, and give the buyer the new keeper's slip; the buyer must tax it before driving".into());
    if let Some(sale) = car.sale.as_ref().filter(|sale| !sale.to_trade) {
        notes.push(buyers_rights(sale));
    }
    Ok(notes)
}

/// What a buyer from the public may do, and until when.
fn buyers_rights(sale: &Sale) -> String {
    let delivered = sale.delivered_on.unwrap_or(sale.on);
    let mut rights = format!(
        "sold to the public: a faulty car can be rejected until {}, and a fault before {} counts as there from the start",
        long(rejection_ends(sale.on, sale.delivered_on)),
        long(presumption_ends(delivered))
    );
    if sale.distance {
        rights += &format!(
            "; sold at a distance, it can be cancelled without reason until {}",
            long(cancellation_ends(delivered))
        );
    }
    rights + " (Consumer Rights Act 2015)"
}

/// What a seller should know before the car goes: the MOT, defects outstanding, checks not done.
fn cautions(reader: Reader<'_>, car: &Car, on: NaiveDate) -> Result<Vec<String>, Error> {
    let settings = settings_of(reader)?;
    let mot = reader.showing(&[car.stock_no], on)?.remove(&car.stock_no).unwrap_or_default().mot;
    let mut cautions = Vec::new();
    match mot.days_left(on) {
        Some(left) if left >= 0 => {
            if settings.minimum_mot_days.is_some_and(|minimum| left < minimum) {
                cautions.push(format!(
                    "{left} days of MOT left, less than the {} you want a car sold with",
                    settings.minimum_mot_days.unwrap_or_default()
                ));
            }
        }
        _ => cautions.push("no MOT is recorded for the day of sale".to_owned()),
    }
    match mot.worst_defect {
        Some(DefectLevel::Dangerous) => {
            cautions.push("its last test found a dangerous defect: it may not be driven away".into());
        }
        Some(DefectLevel::Major) => cautions.push("its last test found a major defect, not since passed".into()),
        _ => {}
    }
    if !cautions.is_empty() {
        cautions.push(
            "selling a car in an unroadworthy condition is an offence (Road Traffic Act 1988 s.75); if in doubt ask your \
             local trading standards. The sale is recorded; `runabout undo` takes it back"
                .into(),
        );
    }
    let checks = reader.car_checks(car.stock_no, on)?;
    let open = ITEMS
        .iter()
        .filter(|item| !checks.iter().any(|check| check.item == item.word && check.state != CheckState::NotDone))
        .count();
    if open > 0 && !checks.is_empty() {
        cautions.push(format!(
            "{open} of the {} pre-sale checks are not done: `runabout car {}` lists them",
            ITEMS.len(),
            car.stock_no
        ));
    }
    Ok(cautions)
}
