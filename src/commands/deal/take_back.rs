//! `take-back`: a sale reversed, the money settled, the car in stock again.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, DAY, Enter, PAID, SOLD_CAR, optional};
use crate::commands::steps::recording::{ReadBack, paid_words, pocket, received_words, record, to_whom};
use crate::commands::steps::sale_notes::who_reads_the_reason;
use crate::domain::book::claims::{Given, deposit_held};
use crate::domain::book::dealing::{Settlement, settle_take_back};
use crate::domain::book::facts::{Car, Sale};
use crate::domain::book::stay::Left;
use crate::domain::days::day::{LAST_DAY, WrittenDay, long};
use crate::domain::days::month::Month;
use crate::domain::figures::car_figures::{vat_on_kept_back, vat_on_sale};
use crate::domain::law::buyer_rights::refund_ends;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Outcome, PaidBy, Purpose};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewDisposal, NewMovement, Reader, Recording};
use chrono::NaiveDate;
use clap::Args;

/// Take a sold car back from its buyer: the sale is reversed, the car is stock again.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout take-back 4 --reason \"gearbox failed\"\n  \
runabout take-back 4 --refund 865 --on yesterday --paid bank\n\n\
Without --refund all the money received goes back. What you keep is other income of the month.\n\n\
What the buyer is not to read goes in `runabout note 4 TEXT`.\n\n\
On a terminal it asks for what is left out.")]
pub struct TakeBackArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The day it came back [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// What goes back to the buyer [all the money received]
    #[arg(long, value_name = "AMOUNT")]
    pub refund: Option<Pence>,
    /// How it is paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", conflicts_with = "unpaid")]
    pub paid: Option<PaidBy>,
    /// The refund is agreed but not paid yet
    #[arg(long)]
    pub unpaid: bool,
    /// Give back the car taken in, or its allowance in money once it is gone
    #[arg(long)]
    pub return_part_exchange: bool,
    /// Why it came back, as the buyer reads it on the credit note; the stock book shows it too
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

/// The cars taken in for a sale, as far as they are to go back.
#[derive(Default)]
struct TakenIn {
    /// Those that go back.
    going: Vec<(StockNo, Pence)>,
    /// Allowances of those that should but are gone.
    in_money: Pence,
    /// Those that stay.
    staying: Vec<(StockNo, Pence)>,
}

impl TakeBackArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        SOLD_CAR,
        optional("refund", "How much goes back").enter(Enter::Leaves("all the money received")),
        PAID.when(|known| Ok(!known.typed.has("unpaid"))),
        optional("reason", "Why it came back (the buyer reads it)"),
        DAY,
    ];
}

impl Records for TakeBackArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "take-back", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let (car, sale) = lookup::car_sold(reader, &self.car)?;
            check_day(&car, &sale, on)?;
            check_not_bought_again(reader, &car)?;
            let taken_in = taken_in(self, reader, &sale)?;
            let returned = taken_in.going.iter().map(|(_, allowance)| *allowance).sum();
            let given = Given::for_sale(&car, &sale);
            let settled = settle_take_back(sale.selling_price, given, returned, taken_in.in_money, self.refund)?;
            recording.add_take_back(sale.sale_no, on, &settled, self.reason.as_ref().map(AsRef::as_ref))?;
            let money = pay(self, recording, (&car, &sale), &settled, on)?;
            for (stock_no, allowance) in &taken_in.going {
                let (party, certificate) = (sale.buyer.clone(), None);
                let back = NewDisposal { on, how: Outcome::Returned, value: *allowance, party, certificate };
                recording.add_disposal(*stock_no, &back)?;
            }
            let from = to_whom("from", sale.buyer.as_deref());
            let summary = format!("took back {}{from} on {}, {money}", car.label(), long(on));
            let mut said = ReadBack::new(summary, [car.stock_no]);
            said.cars.extend(taken_in.going.iter().map(|(stock_no, _)| *stock_no));
            said.notes = notes(self, reader, (&car, &sale), &settled, on)?;
            said.notes.extend(self.reason.as_ref().map(|_| who_reads_the_reason(recording.entry(), car.stock_no)));
            said.notes.extend(about_part_exchange(reader, &taken_in, self.return_part_exchange)?);
            Ok(said)
        })?
        .into())
    }
}

/// Not before the sale, nor before money that has been paid for it.
fn check_day(car: &Car, sale: &Sale, on: NaiveDate) -> Result<(), Error> {
    if on < sale.on {
        return Err(Refusal::BeforeTheDeal { car: car.label(), given: on, deal: sale.on }.into());
    }
    let paid = car.settlements.iter().filter(|moved| moved.purpose == Purpose::Sale).map(|moved| moved.on);
    match paid.chain(car.write_offs.iter().map(|off| off.on)).max().filter(|last| *last > on) {
        Some(last) => {
            let verdict = format!("is before what was settled for the car on {}", long(last));
            Err(ValueError::at_odds("date", long(on), verdict).into())
        }
        None => Ok(()),
    }
}

/// A vehicle bought again cannot come back from an earlier buyer.
fn check_not_bought_again(reader: Reader<'_>, car: &Car) -> Result<(), Error> {
    let stays = reader.cars(&reader.stays(car.stock_no)?, LAST_DAY)?;
    match stays.iter().find(|stay| stay.stock_no > car.stock_no) {
        Some(later) => Err(Refusal::BoughtAgain { car: car.label(), later: later.label() }.into()),
        None => Ok(()),
    }
}

fn taken_in(args: &TakeBackArgs, reader: Reader<'_>, sale: &Sale) -> Result<TakenIn, Error> {
    let mut taken_in = TakenIn::default();
    if args.return_part_exchange && sale.part_exchanges.is_empty() {
        let with = "a sale for which no car was taken in";
        return Err(Refusal::AtOdds { what: "--return-part-exchange", with }.into());
    }
    for part in &sale.part_exchanges {
        let car = lookup::whole_car(reader, part.stock_no)?;
        if !args.return_part_exchange {
            taken_in.staying.push((part.stock_no, part.allowance));
        } else if part.finance.is_positive() {
            return Err(Refusal::from(DealRefusal::FinanceOnReturned { car: car.label() }).into());
        } else if car.left().is_some() {
            taken_in.in_money += part.allowance;
        } else {
            let held = deposit_held(&car, LAST_DAY);
            if held.is_positive() {
                return Err(Refusal::from(DealRefusal::DepositHeld { car: car.label(), held }).into());
            }
            taken_in.going.push((part.stock_no, part.allowance));
        }
    }
    Ok(taken_in)
}

/// Moves the refund, unless it is to be paid later, and says how everything was settled.
fn pay(
    args: &TakeBackArgs,
    recording: &Recording<'_>,
    (car, sale): (&Car, &Sale),
    settled: &Settlement,
    on: NaiveDate,
) -> Result<String, Error> {
    let refund = settled.refund;
    if args.unpaid && !refund.is_positive() {
        return Err(Refusal::AtOdds { what: "--unpaid", with: "a take-back that refunds nothing" }.into());
    }
    let mut parts = Vec::new();
    if args.unpaid {
        parts.push(format!("refund of {refund} still to be paid"));
    } else {
        let pocket = pocket(recording.read(), args.paid)?;
        recording.add_movement(&NewMovement {
            on,
            pocket,
            amount: -refund,
            purpose: Purpose::Refund,
            stock_no: Some(car.stock_no),
            party: sale.buyer.clone(),
            note: None,
        })?;
        parts.push(match refund {
            none if none.is_zero() => "nothing refunded".to_owned(),
            some if some.is_positive() => format!("refunded {some} {}", paid_words(pocket)),
            handed => format!("{} handed over by the buyer {}", -handed, received_words(pocket)),
        });
    }
    if settled.returned.is_positive() {
        parts.push(format!("the buyer's own car given back at {}", settled.returned));
    }
    if settled.kept_back.is_positive() {
        parts.push(format!("{} kept back", settled.kept_back));
    }
    if settled.lapsed.is_positive() {
        parts.push(format!("{} still owed lapses", settled.lapsed));
    }
    Ok(parts.join(", "))
}

fn notes(
    args: &TakeBackArgs,
    reader: Reader<'_>,
    (car, sale): (&Car, &Sale),
    settled: &Settlement,
    on: NaiveDate,
) -> Result<Vec<String>, Error> {
    let registration = settings_of(reader)?.registration;
    let mut notes =
        vec![format!("the sale of {} is taken off in {}, its profit with it", long(sale.on), Month::containing(on))];
    let vat = vat_on_sale(car, sale, &registration);
    if vat.is_positive() {
        notes.push(format!("{vat} of VAT that was due on it comes off too"));
    }
    if settled.kept_back.is_positive() {
        let vat = vat_on_kept_back(car, settled.kept_back, on, &registration);
        let less = if vat.is_positive() { format!(", less {vat} of VAT") } else { String::new() };
        notes.push(format!("what is kept back is other income of the month{less}"));
    }
    if args.unpaid {
        notes.push(format!(
            "pay it by {} (Consumer Rights Act 2015 s.20): `runabout spend {} balance --car {}`",
            long(refund_ends(on)),
            settled.refund.plain(),
            car.stock_no
        ));
    }
    notes.push("tell DVLA it is back in the trade; it is untaxed and may not be used or kept on a public road".into());
    Ok(notes)
}

/// What becomes of cars taken in that do not go back, and of their allowance.
fn about_part_exchange(reader: Reader<'_>, taken_in: &TakenIn, asked: bool) -> Result<Option<String>, Error> {
    if asked {
        let paid_out = taken_in.in_money;
        return Ok(paid_out.is_positive().then(|| {
            format!("what was taken in for {paid_out} has left stock, so that much is part of the money to go back")
        }));
    }
    let mut names = Vec::new();
    for (stock_no, allowance) in &taken_in.staying {
        let car = lookup::whole_car(reader, *stock_no)?;
        let gone = if matches!(car.left(), Some(Left::Sold(_))) { ", sold since" } else { "" };
        names.push(format!("{} (taken in at {allowance}{gone})", car.label()));
    }
    Ok((!names.is_empty()).then(|| {
        format!(
            "not given back: {}. If the buyer is to have it or its worth, undo this and add --return-part-exchange",
            names.join(", ")
        )
    }))
}
