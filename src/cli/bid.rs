//! `bid`.

use crate::domain::value::pence::Pence;
use crate::domain::value::percent::FeePercent;
use crate::domain::value::target::Multiple;
use crate::domain::value::wording::Wording;
use clap::{ArgGroup, Args};
use std::path::PathBuf;

/// The most to give for a car, with the workings.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("target").multiple(false),
    after_help = "Examples:\n  runabout bid --sells-for 1,350 --prep 215\n  \
runabout bid --sells-for 1,350 --profit 420 --prep 215 --fee-percent 5\n\n\
Without --prep your own cars say what it will cost: those of the same make when there are enough.\n\
A fees file has a band a line, FROM=FEE: 0=75, then 250=110, then 1,000=6%+55; `plus-vat` adds VAT."
)]
pub struct BidArgs {
    /// What it should sell for
    #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub sells_for: Pence,
    /// What it will cost to put right [what your own have cost]
    #[arg(long, value_name = "AMOUNT")]
    pub prep: Option<Pence>,
    /// It must sell for so many times what it stands in at [as the programme]
    #[arg(long, value_name = "X", group = "target")]
    pub multiple: Option<Multiple>,
    /// It must make so much
    #[arg(long, value_name = "AMOUNT", group = "target")]
    pub profit: Option<Pence>,
    /// Its maker: your own cars of that make say what it will cost
    #[arg(long, value_name = "MAKE")]
    pub make: Option<Wording>,
    /// A fee of so many per cent of the price
    #[arg(long, value_name = "X")]
    pub fee_percent: Option<FeePercent>,
    /// A fee that is the same at any price
    #[arg(long, value_name = "AMOUNT")]
    pub fee: Option<Pence>,
    /// A file with the auction's fees by price
    #[arg(long, value_name = "FILE", conflicts_with = "auction")]
    pub fees: Option<PathBuf>,
    /// The auction whose saved fees apply
    #[arg(long, value_name = "NAME")]
    pub auction: Option<Wording>,
}
