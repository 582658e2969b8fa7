//! `spend`: a cost on one car, on several, in stated parts, or on the yard; or money that settles
//! what is owed.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::cash_note::{Deal, cash_note};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, DAY, Enter, PAID, Takes, is_heading, is_settling, needed, optional};
use crate::commands::steps::receipts::keep_receipts;
use crate::commands::steps::recording::{ReadBack, paid_words, place_note, pocket, record, to_whom, vat_note};
use crate::domain::book::claims::{owed_to_seller, refund_owed};
use crate::domain::book::dealing::{Part, check_vat, share_equally, split};
use crate::domain::book::facts::{Car, Line};
use crate::domain::book::order::owed_for_bills;
use crate::domain::days::day::{LAST_DAY, WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{SplitPart, Target};
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, PaidBy, Pocket, Purpose, Shared};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewLine, NewMovement, Reader, Recording};
use chrono::NaiveDate;
use clap::{ArgGroup, Args};
use std::path::PathBuf;

/// Record money spent on a car, on several, or on the yard.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("about").multiple(false),
    after_help = "Examples:\n  runabout spend 54.85 mot --car 1\n  runabout spend 36 fuel --share 1,2 --paid cash\n  \
runabout spend 62.30 parts --split 1=47.30 --split overhead=15 --paid cash\n\n\
`balance` is a heading of its own: `spend 145 balance --car 1` pays what is still owed for the car,\n\
`spend 58.60 balance --to \"Hob Lane Spares\"` a bill recorded with --unpaid. `vat` is VAT paid to HMRC.\n\n\
On a terminal it asks for what is left out."
)]
pub struct SpendArgs {
    /// How much
    #[arg(value_name = "AMOUNT")]
    pub amount: Pence,
    /// What for; `balance` and `vat` settle what is owed
    #[arg(value_name = "HEADING")]
    pub heading: String,
    /// The car it was for
    #[arg(long, value_name = "CAR", group = "about")]
    pub car: Option<CarRef>,
    /// Share it equally between cars
    #[arg(long, value_name = "CAR,CAR", value_delimiter = ',', group = "about")]
    pub share: Vec<CarRef>,
    /// Split it in stated parts, to a car or `overhead`; repeat
    #[arg(long, value_name = "TARGET=AMOUNT", group = "about")]
    pub split: Vec<SplitPart>,
    /// It was for the yard
    #[arg(long, group = "about")]
    pub overhead: bool,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Who was paid
    #[arg(long, value_name = "NAME")]
    pub to: Option<Wording>,
    /// What it would normally have cost
    #[arg(long, value_name = "AMOUNT")]
    pub usual: Option<Pence>,
    /// VAT on the bill
    #[arg(long, value_name = "AMOUNT")]
    pub vat: Option<Pence>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", conflicts_with = "unpaid")]
    pub paid: Option<PaidBy>,
    /// A bill to be paid later; needs --to
    #[arg(long, requires = "to")]
    pub unpaid: bool,
    /// A photo or PDF of the bill, kept beside the book; repeat for more
    #[arg(long, value_name = "FILE")]
    pub receipt: Vec<PathBuf>,
    /// A note, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

const TARGETS: &str = "--car CAR, --share CAR,CAR, --split TARGET=AMOUNT or --overhead";

impl SpendArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        needed("amount", "How much").takes(Takes::Spent),
        needed("heading", "On what (? lists them)").takes(Takes::Heading(Direction::Cost)),
        needed("about", "For which car (1,2 to share, or overhead)")
            .enter(Enter::LatestCar)
            .takes(Takes::SpentOn)
            .when(|known| Ok(!is_settling(known))),
        needed("about", "Owed for which car, or to whom")
            .takes(Takes::OwedFor)
            .when(|known| Ok(is_heading(known, "balance"))),
        optional("to", "Paid to (name)").when(|known| Ok(!is_settling(known))),
        PAID.when(|known| Ok(!known.typed.has("unpaid"))),
        DAY,
    ];
}

impl Records for SpendArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        if self.amount.is_zero() && self.usual.is_none() {
            let verdict = "is nothing: write what was paid, or add --usual for a favour that cost nothing";
            return Err(ValueError::refused("amount", self.amount.to_string(), verdict).into());
        }
        Ok(record(book, context, "spend", self.trying.dry_run, |recording| match self.heading.trim() {
            "balance" => settle_balance(self, recording, on),
            "vat" => settle_vat(self, recording, on),
            _ => cost(self, recording, on),
        })?
        .into())
    }
}

fn cost(args: &SpendArgs, recording: &Recording<'_>, on: NaiveDate) -> Result<ReadBack, Error> {
    let reader = recording.read();
    let heading = lookup::heading(reader, &args.heading, Direction::Cost)?;
    check_vat(args.vat.unwrap_or_default(), args.amount, on, &reader.rates())?;
    let (parts, shared) = parts(args, reader)?;
    let pocket = if args.unpaid { None } else { Some(pocket(reader, args.paid)?) };
    let mut lines = Vec::with_capacity(parts.len());
    for part in &parts {
        lines.push(recording.add_line(NewLine {
            stock_no: part.stock_no,
            direction: Direction::Cost,
            on,
            heading: heading.clone(),
            amount: part.amount,
            usual_price: part.usual_price,
            vat: part.vat,
            pocket,
            shared,
            party: args.to.as_ref().map(ToString::to_string),
            note: args.note.as_ref().map(ToString::to_string),
        })?);
    }
    let cars: Vec<StockNo> = parts.iter().filter_map(|part| part.stock_no).collect();
    let loaded = recording.cars(&cars)?;
    let about: Vec<String> = parts.iter().map(|part| about(part, &loaded, parts.len() > 1)).collect();
    let summary = format!(
        "spent {} on {heading} for {}{} on {}, {}{}",
        args.amount,
        about.join(", "),
        to_whom("to", args.to.as_ref().map(AsRef::as_ref)),
        long(on),
        pocket.map_or("not paid yet", paid_words),
        args.usual.map(|usual| format!(" (usual price {usual})")).unwrap_or_default(),
    );
    let mut said = ReadBack::new(summary, cars);
    said.notes.extend(vat_note(reader, args.vat.unwrap_or_default(), on)?);
    let on_cars = || lines.iter().filter_map(|line| Some((car_of(line, &loaded)?, line)));
    said.notes.extend(on_cars().filter_map(|(car, line)| place_note(car, line)));
    said.notes.extend(on_cars().find_map(|(car, line)| same_again(car, line)));
    if let Some(usual) = args.usual.filter(|usual| *usual < args.amount) {
        said.notes.push(format!(
            "the usual price {usual} is less than the {} paid; `runabout amend {} usual AMOUNT` puts it right",
            args.amount,
            recording.entry()
        ));
    }
    said.notes.extend(keep_receipts(recording, &args.receipt)?);
    Ok(said)
}

/// Each part and whose it is, from whichever way it was typed.
fn parts(args: &SpendArgs, reader: Reader<'_>) -> Result<(Vec<Part>, Shared), Error> {
    let vat = args.vat.unwrap_or_default();
    let whole =
        |stock_no| -> Result<Vec<Part>, Error> { Ok(split(&[(stock_no, args.amount)], args.amount, args.usual, vat)?) };
    if let Some(car) = &args.car {
        return Ok((whole(Some(lookup::stock_no(reader, car)?))?, Shared::Whole));
    }
    if args.overhead {
        return Ok((whole(None)?, Shared::Whole));
    }
    if !args.share.is_empty() {
        let cars = args.share.iter().map(|car| lookup::stock_no(reader, car)).collect::<Result<Vec<_>, _>>()?;
        return Ok((share_equally(&cars, args.amount, args.usual, vat)?, Shared::Equally));
    }
    if args.split.is_empty() {
        return Err(Refusal::NoTarget { accepted: TARGETS }.into());
    }
    let stated = args
        .split
        .iter()
        .map(|part| match &part.target {
            Target::Car(car) => Ok((Some(lookup::stock_no(reader, car)?), part.amount)),
            Target::Overhead => Ok((None, part.amount)),
        })
        .collect::<Result<Vec<_>, Error>>()?;
    Ok((split(&stated, args.amount, args.usual, vat)?, Shared::Split))
}

/// `7 KX42 RTO`, with the amount when there are several parts.
fn about(part: &Part, cars: &[Car], several: bool) -> String {
    let name = part.stock_no.map_or_else(
        || "the yard".to_owned(),
        |stock_no| cars.iter().find(|car| car.stock_no == stock_no).map_or_else(|| stock_no.to_string(), Car::label),
    );
    if several { format!("{name} ({})", part.amount) } else { name }
}

fn car_of<'c>(line: &Line, cars: &'c [Car]) -> Option<&'c Car> {
    cars.iter().find(|car| Some(car.stock_no) == line.stock_no)
}

/// That the car has the very same cost of another entry: a bill put in twice, perhaps.
fn same_again(car: &Car, new: &Line) -> Option<String> {
    let this = new.entry;
    let alike = |line: &&Line| {
        (line.on, line.amount, &line.heading, line.direction) == (new.on, new.amount, &new.heading, new.direction)
            && (line.party == new.party || line.party.is_none() || new.party.is_none())
    };
    let other = car.lines.iter().filter(|line| line.entry != this).find(alike)?;
    Some(format!(
        "entry {} is {} on {} for the same car and day: if it is the same bill, `runabout undo {this}`",
        other.entry, other.amount, other.heading
    ))
}

fn settle_balance(args: &SpendArgs, recording: &Recording<'_>, on: NaiveDate) -> Result<ReadBack, Error> {
    settling_options(args, "balance")?;
    let reader = recording.read();
    match (&args.car, &args.to) {
        (Some(car), party) => {
            let car = lookup::car(reader, car)?;
            let (purpose, owed) = owed_for_car(&car, party.as_ref().map(AsRef::as_ref))?;
            if args.amount > owed {
                let who = format!("for {}", car.label());
                return Err(Refusal::MoreThanOwed { given: args.amount, owed, who }.into());
            }
            let pocket = add_settlement(args, recording, on, purpose, Some(car.stock_no))?;
            let left = owed - args.amount;
            let what = if purpose == Purpose::Refund { "of the refund" } else { "still owed" };
            let summary = format!(
                "paid {} {what} for {} on {}, {}; {left} left to pay",
                args.amount,
                car.label(),
                long(on),
                paid_words(pocket)
            );
            let mut said = ReadBack::new(summary, [car.stock_no]);
            let deal = if purpose == Purpose::Refund { Deal::Sale } else { Deal::Purchase };
            said.notes.extend(cash_note(reader, car.stock_no, deal, on)?);
            Ok(said)
        }
        (None, Some(party)) => {
            let (bills, paid) =
                (reader.bills_of(party.as_str())?, reader.movements_with(Purpose::Bill, party.as_str())?);
            let owed = owed_for_bills(&bills, &paid);
            if args.amount > owed {
                let who = format!("to {party} for bills");
                return Err(Refusal::MoreThanOwed { given: args.amount, owed, who }.into());
            }
            not_before_the_bill(&bills, on)?;
            let pocket = add_settlement(args, recording, on, Purpose::Bill, None)?;
            let left = owed - args.amount;
            Ok(ReadBack::new(
                format!(
                    "paid {} owed to {party} on {}, {}; {left} left to pay",
                    args.amount,
                    long(on),
                    paid_words(pocket)
                ),
                [],
            ))
        }
        (None, None) => Err(Refusal::NoTarget { accepted: "--car CAR for a car, or --to NAME for a bill" }.into()),
    }
}

/// Who is owed for the car and how much: its seller or lender, or a buyer who brought it back. When
/// both are, the name says which.
fn owed_for_car(car: &Car, party: Option<&str>) -> Result<(Purpose, Pence), Error> {
    let (seller, buyer) = (owed_to_seller(car, LAST_DAY), refund_owed(car, LAST_DAY));
    let named = |name: Option<&str>| name.zip(party).is_some_and(|(name, party)| name.eq_ignore_ascii_case(party));
    let mut came_back = car.sales.iter().filter(|sale| sale.taken_back.is_some());
    let (to_buyer, to_seller) = (came_back.any(|sale| named(sale.buyer.as_deref())), named(car.seller.as_deref()));
    match (seller.is_positive(), buyer.is_positive()) {
        (true, true) if to_buyer && !to_seller => Ok((Purpose::Refund, buyer)),
        (true, true) if to_seller && !to_buyer => Ok((Purpose::Purchase, seller)),
        (true, true) => Err(Refusal::from(DealRefusal::WhoIsPaid { car: car.label(), seller, buyer }).into()),
        (false, true) => Ok((Purpose::Refund, buyer)),
        _ => Ok((Purpose::Purchase, seller)),
    }
}

fn not_before_the_bill(bills: &[Line], on: NaiveDate) -> Result<(), Error> {
    match bills.first() {
        Some(first) if first.on > on => {
            let verdict = format!("is before the first of the bills, of {}", long(first.on));
            Err(ValueError::at_odds("date", long(on), verdict).into())
        }
        _ => Ok(()),
    }
}

fn settle_vat(args: &SpendArgs, recording: &Recording<'_>, on: NaiveDate) -> Result<ReadBack, Error> {
    settling_options(args, "vat")?;
    if args.car.is_some() {
        return Err(Refusal::DoesNotGoWith {
            what: "--car",
            with: "the heading 'vat': it is the VAT account as a whole",
        }
        .into());
    }
    let pocket = add_settlement(args, recording, on, Purpose::Vat, None)?;
    Ok(ReadBack::new(format!("paid {} of VAT to HMRC on {}, {}", args.amount, long(on), paid_words(pocket)), []))
}

fn settling_options(args: &SpendArgs, heading: &'static str) -> Result<(), Error> {
    let with = if heading == "vat" { "the heading 'vat'" } else { "the heading 'balance'" };
    for (given, what) in [
        (!args.share.is_empty(), "--share"),
        (!args.split.is_empty(), "--split"),
        (args.overhead, "--overhead"),
        (args.usual.is_some(), "--usual"),
        (args.vat.is_some(), "--vat"),
        (args.unpaid, "--unpaid"),
        (!args.receipt.is_empty(), "--receipt"),
    ] {
        if given {
            return Err(Refusal::DoesNotGoWith { what, with }.into());
        }
    }
    if args.amount.is_zero() {
        return Err(ValueError::refused("amount", args.amount.to_string(), "is nothing").into());
    }
    Ok(())
}

fn add_settlement(
    args: &SpendArgs,
    recording: &Recording<'_>,
    on: NaiveDate,
    purpose: Purpose,
    stock_no: Option<StockNo>,
) -> Result<Pocket, Error> {
    let pocket = pocket(recording.read(), args.paid)?;
    recording.add_movement(&NewMovement {
        on,
        pocket,
        amount: -args.amount,
        purpose,
        stock_no,
        party: args.to.as_ref().map(ToString::to_string),
        note: args.note.as_ref().map(ToString::to_string),
    })?;
    Ok(pocket)
}
