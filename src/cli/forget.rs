//! `forget`.

use crate::cli::Trying;
use crate::domain::value::wording::Wording;
use clap::Args;

/// Take a person's name and address out of the book for good, once no rule needs them any more.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout forget \"R Ashdown\" --dry-run\n  \
runabout forget \"R Ashdown\" --notes --receipts\n\n\
VAT records are kept 6 years, self-employment records 5 years after the 31 January that follows the\n\
tax year, a car's own record while it is in stock. `forget` is the one entry that cannot be undone.")]
pub struct ForgetArgs {
    /// The name, whole, as it stands in the book; capitals do not count
    #[arg(value_name = "NAME")]
    pub name: Wording,
    /// Take it out of notes and other free text too, which are only listed otherwise
    #[arg(long)]
    pub notes: bool,
    /// Remove the receipts of the entries that name the person, which are only listed otherwise
    #[arg(long)]
    pub receipts: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}
