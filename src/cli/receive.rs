//! `receive`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
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
