//! `sell`.

use crate::cli::Trying;
use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{Miles, TakenIn};
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
use clap::Args;
use std::path::PathBuf;

/// Record a car sold.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout sell 1 1,145 --to \"D Farrow\" --paid cash\n  \
runabout sell KX42 RTO 1,145 --part-exchange JU48HVD=165 --paid-amount 740\n\n\
On a terminal it asks for what is left out.")]
pub struct SellArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The full price, part-exchange included
    #[arg(value_name = "PRICE")]
    pub price: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Who bought it, as the invoice names them
    #[arg(long, value_name = "NAME")]
    pub to: Option<Wording>,
    /// Their address, for the invoice
    #[arg(long, value_name = "TEXT")]
    pub address: Option<Wording>,
    /// Miles on the odometer
    #[arg(long, value_name = "N")]
    pub miles: Option<Miles>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// What changed hands, when it was not all that is due
    #[arg(long, value_name = "AMOUNT")]
    pub paid_amount: Option<Pence>,
    /// A car taken in as part payment; repeat for more
    #[arg(long, value_name = "MARK=ALLOWANCE")]
    pub part_exchange: Vec<TakenIn>,
    /// Of that allowance, what is owed to a lender and yours to pay off
    #[arg(long, value_name = "MARK=AMOUNT", requires = "part_exchange")]
    pub part_exchange_finance: Vec<TakenIn>,
    /// Hand back the deposit held, which somebody else paid
    #[arg(long)]
    pub give_back_deposit: bool,
    /// Sold to another trader, not the public
    #[arg(long)]
    pub to_trade: bool,
    /// Day of delivery, when later
    #[arg(long, value_name = "DATE")]
    pub delivered: Option<DayAhead>,
    /// Sold at a distance, without meeting
    #[arg(long)]
    pub distance: bool,
    /// A photo or PDF of the bill, kept beside the book; repeat for more
    #[arg(long, value_name = "FILE")]
    pub receipt: Vec<PathBuf>,
    /// A note on the car, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}
