//! `receive`: money a car brought in, other income, a buyer's balance, VAT repaid.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::cash_note::{Deal, SCRAP_FOR_CASH, cash_note};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{
    Ask, DAY, Enter, PAID, SOLD_CAR, Takes, is_heading, is_settling, needed, optional,
};
use crate::commands::steps::recording::{ReadBack, place_note, pocket, received_words, record, to_whom};
use crate::domain::book::claims::owed_by_buyer;
use crate::domain::book::dealing::check_vat;
use crate::domain::days::day::{LAST_DAY, WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, PaidBy, Pocket, Purpose, Shared};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewLine, NewMovement, Recording};
use chrono::NaiveDate;
use clap::Args;

/// Record money received, other than for selling a car.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout receive 55 wheels-sold --car 1\n  runabout receive 18.50 scrap-sold --other --paid bank\n\n\
`balance` is a heading of its own: `receive 145 balance --car 1` is what the buyer still owed.\n\
`vat` is money HMRC repaid.\n\n\
On a terminal it asks for what is left out."
)]
pub struct ReceiveArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// What for; `balance` and `vat` settle what is owed
    #[arg(value_name = "HEADING")]
    pub heading: String,
    /// The car it came from
    #[arg(long, value_name = "CAR", conflicts_with = "other")]
    pub car: Option<CarRef>,
    /// It came from no car
    #[arg(long)]
    pub other: bool,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Who paid
    #[arg(long, value_name = "NAME")]
    pub from: Option<Wording>,
    /// VAT in it, while registered
    #[arg(long, value_name = "AMOUNT")]
    pub vat: Option<Pence>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// A note, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl ReceiveArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        needed("amount", "How much"),
        needed("heading", "For what (? lists them)").takes(Takes::Heading(Direction::Receipt)),
        needed("about", "From which car, or other")
            .enter(Enter::OnlyCar)
            .takes(Takes::CameFrom)
            .when(|known| Ok(!is_settling(known))),
        SOLD_CAR.when(|known| Ok(is_heading(known, "balance"))),
        optional("from", "Paid by whom (name)").when(|known| Ok(!is_settling(known))),
        PAID,
        DAY,
    ];
}

impl Records for ReceiveArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "receive", self.trying.dry_run, |recording| match self.heading.trim() {
            "balance" => balance(self, recording, on),
            "vat" => vat(self, recording, on),
            _ => receipt(self, recording, on),
        })?
        .into())
    }
}

fn receipt(args: &ReceiveArgs, recording: &Recording<'_>, on: NaiveDate) -> Result<ReadBack, Error> {
    let reader = recording.read();
    let heading = lookup::heading(reader, &args.heading, Direction::Receipt)?;
    let car = args.car.as_ref().map(|car| lookup::car(reader, car)).transpose()?;
    if car.is_none() && !args.other {
        return Err(Refusal::NoTarget { accepted: "--car CAR, or --other when it came from no car" }.into());
    }
    let vat = args.vat.unwrap_or_default();
    check_vat(vat, args.amount, on, &reader.rates())?;
    let pocket = pocket(reader, args.paid)?;
    let line = recording.add_line(NewLine {
        stock_no: car.as_ref().map(|car| car.stock_no),
        direction: Direction::Receipt,
        on,
        heading: heading.clone(),
        amount: args.amount,
        usual_price: None,
        vat,
        pocket: Some(pocket),
        shared: Shared::Whole,
        party: args.from.as_ref().map(ToString::to_string),
        note: args.note.as_ref().map(ToString::to_string),
    })?;
    let summary = format!(
        "received {} for {heading}{}{} on {}, {}",
        args.amount,
        car.as_ref().map(|car| format!(" on {}", car.label())).unwrap_or_default(),
        to_whom("from", args.from.as_ref().map(AsRef::as_ref)),
        long(on),
        received_words(pocket)
    );
    let place = car.as_ref().and_then(|car| place_note(car, &line));
    let mut said = ReadBack::new(summary, car.map(|car| car.stock_no));
    said.notes.extend(place);
    if heading == "scrap-sold" && pocket == Pocket::Cash {
        said.notes.push(SCRAP_FOR_CASH.to_owned());
    }
    Ok(said)
}

fn balance(args: &ReceiveArgs, recording: &Recording<'_>, on: NaiveDate) -> Result<ReadBack, Error> {
    let reader = recording.read();
    let Some(car) = &args.car else {
        return Err(Refusal::NoTarget { accepted: "--car CAR: the car the buyer still owes for" }.into());
    };
    let (car, _) = lookup::car_sold(reader, car)?;
    let owed = owed_by_buyer(&car, LAST_DAY);
    if args.amount > owed {
        let who = format!("by the buyer of {}", car.label());
        return Err(Refusal::MoreThanOwed { given: args.amount, owed, who }.into());
    }
    let pocket = settle(args, recording, on, Purpose::Sale, Some(car.stock_no))?;
    let left = owed - args.amount;
    let summary = format!(
        "received {} owed for {} on {}, {}; {left} left to come",
        args.amount,
        car.label(),
        long(on),
        received_words(pocket)
    );
    let mut said = ReadBack::new(summary, [car.stock_no]);
    said.notes.extend(cash_note(reader, car.stock_no, Deal::Sale, on)?);
    Ok(said)
}

fn vat(args: &ReceiveArgs, recording: &Recording<'_>, on: NaiveDate) -> Result<ReadBack, Error> {
    if args.car.is_some() {
        return Err(Refusal::DoesNotGoWith {
            what: "--car",
            with: "the heading 'vat': it is the VAT account as a whole",
        }
        .into());
    }
    let pocket = settle(args, recording, on, Purpose::Vat, None)?;
    Ok(ReadBack::new(format!("HMRC repaid {} of VAT on {}, {}", args.amount, long(on), received_words(pocket)), []))
}

fn settle(
    args: &ReceiveArgs,
    recording: &Recording<'_>,
    on: NaiveDate,
    purpose: Purpose,
    stock_no: Option<StockNo>,
) -> Result<Pocket, Error> {
    if args.vat.is_some() {
        return Err(Refusal::DoesNotGoWith { what: "--vat", with: "money that settles what is owed" }.into());
    }
    if args.other {
        return Err(Refusal::DoesNotGoWith { what: "--other", with: "money that settles what is owed" }.into());
    }
    let pocket = pocket(recording.read(), args.paid)?;
    recording.add_movement(&NewMovement {
        on,
        pocket,
        amount: args.amount,
        purpose,
        stock_no,
        party: args.from.as_ref().map(ToString::to_string),
        note: args.note.as_ref().map(ToString::to_string),
    })?;
    Ok(pocket)
}
