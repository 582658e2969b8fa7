//! `dispose`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Outcome, PaidBy};
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
