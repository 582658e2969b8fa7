//! `spend`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::SplitPart;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
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
