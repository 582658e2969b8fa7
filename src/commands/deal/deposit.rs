//! `deposit`: money taken to keep a car for somebody, given back, or kept.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::cash_note::{Deal, cash_note};
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, CAR, DAY, Known, PAID, needed, optional};
use crate::commands::steps::recording::{ReadBack, paid_words, pocket, received_words, record, to_whom};
use crate::commands::steps::roadworthy_note::roadworthy_notes;
use crate::domain::book::claims::{deposit_held, depositor};
use crate::domain::book::facts::Car;
use crate::domain::days::day::{DayAhead, LAST_DAY, WrittenDay, long};
use crate::domain::figures::car_figures::vat_on_deposit_kept;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{PaidBy, Purpose};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewMovement, Recording};
use chrono::NaiveDate;
use clap::{ArgGroup, Args};

/// Take a deposit on a car, give it back or keep it.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("what").required(true).multiple(false),
    after_help = "Examples:\n  runabout deposit 1 75 --by \"D Farrow\" --hold-until 5/12/2026\n  \
runabout deposit KX42 RTO 120 --paid cash\n\n\
A deposit counts towards the price when the car is sold. `deposit 1 --give-back` hands it back,\n\
`deposit 1 --keep` makes it yours: say so to a buyer before you take it, and keep no more than he cost you.\n\n\
On a terminal it asks for what is left out."
)]
pub struct DepositArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// How much is taken
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive, group = "what")]
    pub amount: Option<Pence>,
    /// Give it back, all or part of it
    #[arg(long, value_name = "AMOUNT", num_args = 0..=1, value_parser = Pence::parse_positive, group = "what")]
    pub give_back: Option<Option<Pence>>,
    /// Keep it: the buyer did not come back
    #[arg(long, group = "what", conflicts_with_all = ["by", "paid", "hold_until"])]
    pub keep: bool,
    /// Who paid it
    #[arg(long, value_name = "NAME", conflicts_with = "give_back")]
    pub by: Option<Wording>,
    /// Until when the car is kept for it
    #[arg(long, value_name = "DATE", conflicts_with = "give_back")]
    pub hold_until: Option<DayAhead>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

fn takes_a_deposit(known: &Known<'_>) -> bool {
    !known.typed.has("give_back") && !known.typed.has("keep")
}

impl DepositArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        CAR,
        needed("amount", "How much is taken").when(|known| Ok(takes_a_deposit(known))),
        optional("by", "Paid by whom (name)").when(|known| Ok(takes_a_deposit(known))),
        PAID.when(|known| Ok(!known.typed.has("keep"))),
        optional("hold_until", "Kept for them until").when(|known| Ok(takes_a_deposit(known))),
        DAY,
    ];
}

impl Records for DepositArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let hold_until = self.hold_until.as_ref().map(|day| day.resolve(context.today)).transpose()?;
        Ok(record(book, context, "deposit", self.trying.dry_run, |recording| {
            let car = lookup::car_in_stock(recording.read(), &self.car, on)?;
            match (self.amount, self.give_back) {
                (Some(amount), _) => take(self, recording, &car, amount, (on, hold_until)),
                (None, Some(amount)) => {
                    let amount = held(&car, amount)?;
                    let how = give_back(recording, &car, amount, on, self.paid)?;
                    let left = deposit_held(&car, LAST_DAY) - amount;
                    let still = if left.is_zero() { String::new() } else { format!("; {left} of it is still held") };
                    let to = to_whom("to", depositor(&car));
                    let summary =
                        format!("gave back {amount} of deposit on {}{to} on {}, {how}{still}", car.label(), long(on));
                    Ok(ReadBack::new(summary, [car.stock_no]))
                }
                (None, None) => keep(recording, &car, on),
            }
        })?
        .into())
    }
}

fn take(
    args: &DepositArgs,
    recording: &Recording<'_>,
    car: &Car,
    amount: Pence,
    (on, hold_until): (NaiveDate, Option<NaiveDate>),
) -> Result<ReadBack, Error> {
    let (by, held) = (args.by.as_ref().map(AsRef::as_ref), deposit_held(car, LAST_DAY));
    if let (Some(by), Some(before)) = (by, depositor(car))
        && held.is_positive()
        && !by.eq_ignore_ascii_case(before)
    {
        let (by, given) = (before.to_owned(), by.to_owned());
        return Err(Refusal::from(DealRefusal::DepositFromAnother {
            car: car.label(),
            held,
            by,
            given,
            selling: false,
        })
        .into());
    }
    let pocket = pocket(recording.read(), args.paid)?;
    let party = by.or(depositor(car).filter(|_| held.is_positive()));
    recording.add_movement(&NewMovement {
        on,
        pocket,
        amount,
        purpose: Purpose::Deposit,
        stock_no: Some(car.stock_no),
        party: party.map(str::to_owned),
        note: None,
    })?;
    if let Some(until) = hold_until.filter(|until| *until < on) {
        let verdict = format!("is before the deposit, on {}", long(on));
        return Err(ValueError::at_odds("hold-until", long(until), verdict).into());
    }
    // More of the same deposit leaves the day agreed as it was, unless another is.
    if hold_until.is_some() || held.is_zero() {
        recording.add_deposit_hold(car.stock_no, on, hold_until)?;
    }
    let kept = hold_until.map(|until| format!(", kept until {}", long(until))).unwrap_or_default();
    let from = to_whom("from", party);
    let summary = format!(
        "took a deposit of {amount} on {}{from} on {}, {}{kept}",
        car.label(),
        long(on),
        received_words(pocket)
    );
    let mut said = ReadBack::new(summary, [car.stock_no]);
    if held.is_positive() {
        said.notes.push(format!("{} is held on it now", held + amount));
    }
    let showing = recording.read().showing(&[car.stock_no], on)?;
    if let Some(asking) = showing.get(&car.stock_no).and_then(|showing| showing.asking_price)
        && held + amount > asking
    {
        said.notes.push(format!("that is more than the {asking} asked for it; `runabout undo` if it was mistyped"));
    }
    if by.is_none() && party.is_none() {
        said.notes
            .push(format!("whose it is was not said; add it with `runabout amend {} by NAME`", recording.entry()));
    }
    said.notes.extend(roadworthy_notes(recording.read(), car, on)?);
    said.notes.extend(cash_note(recording.read(), car.stock_no, Deal::Sale, on)?);
    Ok(said)
}

/// What is meant of the deposit held: all of it when not said.
fn held(car: &Car, amount: Option<Pence>) -> Result<Pence, Refusal> {
    match (amount, deposit_held(car, LAST_DAY)) {
        (_, held) if held.is_zero() => Err(Refusal::from(DealRefusal::NoDeposit { car: car.label() })),
        (Some(given), held) if given > held => Err(Refusal::from(DealRefusal::MoreThanHeld { given, held })),
        (Some(given), _) => Ok(given),
        (None, held) => Ok(held),
    }
}

/// Hands deposit money back, and says how.
pub fn give_back(
    recording: &Recording<'_>,
    car: &Car,
    amount: Pence,
    on: NaiveDate,
    paid: Option<PaidBy>,
) -> Result<&'static str, Error> {
    let pocket = pocket(recording.read(), paid)?;
    recording.add_movement(&NewMovement {
        on,
        pocket,
        amount: -amount,
        purpose: Purpose::Deposit,
        stock_no: Some(car.stock_no),
        party: depositor(car).map(str::to_owned),
        note: None,
    })?;
    Ok(paid_words(pocket))
}

/// Of a deposit kept for a car sold under the margin scheme.
const UNSETTLED: &str =
    "; whether the margin scheme may apply to a deposit kept is not settled (HMRC Brief 13/2018): ask an accountant";

fn keep(recording: &Recording<'_>, car: &Car, on: NaiveDate) -> Result<ReadBack, Error> {
    let amount = held(car, None)?;
    recording.add_deposit_end(car.stock_no, on, amount, None)?;
    let from = to_whom("from", depositor(car));
    let summary = format!("kept the deposit of {amount} on {}{from} on {}", car.label(), long(on));
    let mut said = ReadBack::new(summary, [car.stock_no]);
    said.notes.push("it is other income of the month".into());
    let vat = vat_on_deposit_kept(amount, on, &settings_of(recording.read())?.registration);
    if vat.is_positive() {
        let unsettled = if car.vat_invoice { "" } else { UNSETTLED };
        said.notes.push(format!("{vat} of it is VAT to pay, in full{unsettled}"));
    }
    said.notes.push(
        "a deposit may be kept only where its terms said so beforehand, and to cover what was lost; if in doubt ask \
         your local trading standards"
            .into(),
    );
    Ok(said)
}
