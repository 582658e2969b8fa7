//! `check`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::checklist::CheckState;
use crate::domain::value::wording::Wording;
use clap::Args;

/// Say how an item of the pre-sale list stands: identity, finance, recall and the rest.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout check 1 identity done\n  runabout check 1 recall not-needed --note \"none outstanding, DVSA site\"\n\n\
`runabout car 1` shows the whole list, and a sale says how much of it is open. An MOT pass does the item mot by \
itself.\n\nNo buyer's paper shows the note. The invoice says that the mileage was checked, and when.\n\n\
On a terminal it asks for what is left out."
)]
pub struct CheckArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The item
    #[arg(value_name = "ITEM")]
    pub item: String,
    /// done, not-needed or not-done
    #[arg(value_name = "STATE")]
    pub state: CheckState,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// A note, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}
