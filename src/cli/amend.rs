//! `amend`.

use crate::cli::Trying;
use crate::domain::target::Whole;
use clap::Args;

/// Put right a fact of an entry.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout amend 12 amount 38.60\n  runabout amend 3 from R Ashdown\n\n\
Purchases have price, on, from, make, model, year, colour, fuel, miles, vin, first-registered,\n\
mot-until, keys, via, mark, purchase-invoice. Costs and receipts have amount, on, heading, to, usual,\n\
vat, paid, note, car. Sales have price, on, to, address, miles, paid, to-trade, delivered, distance,\n\
and the make, model, year, colour, fuel and vin of a car taken in.\n\
`none` takes an optional fact away.")]
pub struct AmendArgs {
    /// The entry's number, as the read-back or `log` shows it
    #[arg(value_name = "ENTRY")]
    pub entry: Whole,
    /// Which fact
    #[arg(value_name = "FIELD")]
    pub field: String,
    /// What it should be
    #[arg(value_name = "VALUE", num_args = 1.., required = true)]
    pub value: Vec<String>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}
