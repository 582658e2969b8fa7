//! `amend`.

use crate::cli::Trying;
use crate::domain::value::target::Whole;
use clap::Args;

/// Put right a fact of an entry, or several at once.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout amend 12 amount 38.60\n  runabout amend 3 make Tamsin model Pike --pairs\n\n\
Purchases have price, on, from, make, model, year, colour, fuel, miles, vin, first-registered,\n\
mot-until, keys, via, mark, purchase-invoice. Costs and receipts have amount, on, heading, to, usual,\n\
vat, paid, note, car. Sales have price, on, to, address, miles, paid, to-trade, delivered, distance,\n\
and the make, model, year, colour, fuel and vin of a car taken in.\n\
`none` takes an optional fact away.\n\n\
Several facts are put right together or not at all. Where a name could be part of a value, it is asked which is \
meant: --pairs says that it begins another fact, quotes that it does not (amend 3 make \"Tamsin model Pike\")."
)]
pub struct AmendArgs {
    /// The entry's number, as the read-back or `log` shows it
    #[arg(value_name = "ENTRY")]
    pub entry: Whole,
    /// Which fact
    #[arg(value_name = "FIELD")]
    pub field: String,
    /// What it should be; FIELD VALUE can follow, more than once
    #[arg(value_name = "VALUE", num_args = 1.., required = true)]
    pub value: Vec<String>,
    /// Take each name of a fact as the beginning of another
    #[arg(long)]
    pub pairs: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}
