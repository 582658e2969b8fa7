//! `dispose`: a car that leaves stock without a sale.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::cash_note::SCRAP_FOR_CASH;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, CAR, DAY, Enter, Known, PAID, needed, optional};
use crate::commands::steps::recording::{ReadBack, pocket, received_words, record, to_whom};
use crate::domain::book::claims::deposit_held;
use crate::domain::book::facts::Car;
use crate::domain::book::stay::Left;
use crate::domain::days::day::{LAST_DAY, WrittenDay, long};
use crate::domain::figures::car_figures::{DisposalFigures, stands_in};
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, Outcome, PaidBy, Pocket, Shared};
use crate::error::Error;
use crate::report::{Report, phrase};
use crate::store::{Book, NewDisposal, NewLine, Reader, Recording};
use chrono::NaiveDate;
use clap::Args;

/// Record a car that leaves stock without a sale: scrapped, broken, lost or kept.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout dispose 2 scrapped --received 195 --certificate CD1234567\n  \
runabout dispose AB91 CDE kept --value 365\n\n\
broken: parts money comes in later with `receive AMOUNT parts-sold --car CAR`. lost: --received is the\n\
insurer's money.\n\n\
On a terminal it asks for what is left out.")]
pub struct DisposeArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// scrapped, broken, lost or kept
    #[arg(value_name = "HOW")]
    pub how: Outcome,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// What it brought: scrap value, the insurer's money
    #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub received: Option<Pence>,
    /// How that was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", requires = "received")]
    pub paid: Option<PaidBy>,
    /// What a car kept for yourself is worth
    #[arg(long, value_name = "AMOUNT")]
    pub value: Option<Pence>,
    /// Who took it
    #[arg(long, value_name = "NAME")]
    pub to: Option<Wording>,
    /// Reference of the Certificate of Destruction
    #[arg(long, value_name = "REF")]
    pub certificate: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

fn is_kept(known: &Known<'_>) -> bool {
    known.typed.get::<Outcome>("how") == Some(&Outcome::Kept)
}

fn is_destroyed(known: &Known<'_>) -> bool {
    matches!(known.typed.get::<Outcome>("how"), Some(Outcome::Scrapped | Outcome::Broken))
}

impl DisposeArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        CAR,
        needed("how", "Scrapped, broken, lost or kept"),
        needed("value", "What it is worth to you").when(|known| Ok(is_kept(known))),
        optional("received", "Money it brought").enter(Enter::Leaves("none")).when(|known| Ok(!is_kept(known))),
        PAID.when(|known| Ok(known.typed.has("received"))),
        optional("to", "Who took it (name)").when(|known| Ok(!is_kept(known))),
        optional("certificate", "Certificate of Destruction").when(|known| Ok(is_destroyed(known))),
        DAY,
    ];
}

impl Records for DisposeArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        check_options(self)?;
        Ok(record(book, context, "dispose", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car_in_stock(reader, &self.car, on)?;
            let held = deposit_held(&car, LAST_DAY);
            if held.is_positive() {
                return Err(Refusal::from(DealRefusal::DepositHeld { car: car.label(), held }).into());
            }
            recording.add_disposal(
                car.stock_no,
                &NewDisposal {
                    on,
                    how: self.how,
                    value: self.value.unwrap_or_default(),
                    party: self.to.as_ref().map(ToString::to_string),
                    certificate: self.certificate.as_ref().map(ToString::to_string),
                },
            )?;
            let paid = self.received.map(|amount| receive(self, recording, &car, amount, on)).transpose()?;
            let mut said = ReadBack::new(summary(self, &car, on, paid), [car.stock_no]);
            said.notes = notes(self, reader, &car, on)?;
            if paid == Some(Pocket::Cash) && self.how != Outcome::Lost {
                said.notes.push(SCRAP_FOR_CASH.to_owned());
            }
            Ok(said)
        })?
        .into())
    }
}

/// Which options go with which way of leaving stock.
fn check_options(args: &DisposeArgs) -> Result<(), Error> {
    let kept = args.how == Outcome::Kept;
    let wrong = |what| Err(Refusal::DoesNotGoWith { what, with: "this way of leaving stock" }.into());
    match args.how {
        Outcome::Returned => {
            let verdict =
                "is what `take-back CAR --return-part-exchange` records: write scrapped, broken, lost or kept";
            Err(ValueError::refused("way to leave stock", args.how.word(), verdict).into())
        }
        Outcome::Kept if args.value.is_none() => Err(Refusal::NoWorth.into()),
        _ if kept && args.received.is_some() => wrong("--received"),
        _ if !kept && args.value.is_some() => wrong("--value"),
        Outcome::Lost | Outcome::Kept if args.certificate.is_some() => wrong("--certificate"),
        _ => Ok(()),
    }
}

/// What the car brought on the day, as a receipt on it.
fn receive(
    args: &DisposeArgs,
    recording: &Recording<'_>,
    car: &Car,
    amount: Pence,
    on: NaiveDate,
) -> Result<Pocket, Error> {
    let pocket = pocket(recording.read(), args.paid)?;
    let heading = if args.how == Outcome::Lost { "insurance-paid" } else { "scrap-sold" };
    recording.add_line(NewLine {
        stock_no: Some(car.stock_no),
        direction: Direction::Receipt,
        on,
        heading: heading.into(),
        amount,
        usual_price: None,
        vat: Pence::ZERO,
        pocket: Some(pocket),
        shared: Shared::Whole,
        party: args.to.as_ref().map(ToString::to_string),
        note: None,
    })?;
    Ok(pocket)
}

fn summary(args: &DisposeArgs, car: &Car, on: NaiveDate, paid: Option<Pocket>) -> String {
    let to = to_whom("to", args.to.as_ref().map(AsRef::as_ref));
    let brought =
        args.received.zip(paid).map(|(amount, pocket)| format!(", {amount} received {}", received_words(pocket)));
    let value = args.value.map(|value| format!(", worth {value} to you"));
    let certificate = args.certificate.as_ref().map(|reference| format!(", certificate {reference}"));
    let parts: String = [brought, value, certificate].into_iter().flatten().collect();
    let did = match args.how {
        Outcome::Broken => "broke for parts",
        Outcome::Scrapped | Outcome::Lost | Outcome::Kept | Outcome::Returned => args.how.word(),
    };
    format!("{did} {}{to} on {}{parts}", car.label(), long(on))
}

fn notes(args: &DisposeArgs, reader: Reader<'_>, before: &Car, on: NaiveDate) -> Result<Vec<String>, Error> {
    let registration = settings_of(reader)?.registration;
    let car = lookup::whole_car(reader, before.stock_no)?;
    let mut notes = Vec::new();
    if let Some(disposal) = car.left().and_then(Left::disposal) {
        let figures = DisposalFigures::from_disposal(&car, disposal, on, &registration);
        let what = phrase::made(-figures.loss);
        notes.push(format!("{what} on the {} it stood in at", stands_in(&car, on, &registration)));
    }
    notes.extend(
        match args.how {
            Outcome::Scrapped => [
                "only an authorised treatment facility may scrap a car; it gives a Certificate of Destruction, and DVLA \
                 must be told. Check your own licence with the council (Scrap Metal Dealers Act 2013)",
                if args.certificate.is_some() { "" } else { "no certificate noted: `runabout amend` adds it when it comes" },
            ],
            Outcome::Broken => [
                "breaking cars for parts needs an environmental permit and a scrap-metal licence; the shell goes to an \
                 authorised treatment facility. If in doubt ask the regulator and the council",
                "parts sold later: `runabout receive AMOUNT parts-sold --car CAR`",
            ],
            Outcome::Lost => ["what the insurer pays later: `runabout receive AMOUNT insurance-paid --car CAR`", ""],
            Outcome::Kept | Outcome::Returned => {
                ["its value counts as drawn by you in kind; tell DVLA it is yours, and tax it before you drive it", ""]
            }
        }
        .into_iter()
        .filter(|note| !note.is_empty())
        .map(str::to_owned),
    );
    Ok(notes)
}
