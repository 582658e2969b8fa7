//! `invoice`.

use crate::cli::Replacing;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::invoice_number::PaperNumber;
use clap::Args;
use std::path::PathBuf;

/// The invoice, credit note or purchase record of a car: one page made for paper.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout invoice 4\n  runabout invoice KX42 RTO --purchase --out record.html\n\n\
Open the file in any browser to print it or save it as PDF. The number of an invoice (S12) comes with the sale \
and that of a credit note (C3) with the take-back; neither is ever given again, not even after an undo.\n\n\
Registered for VAT on the day of sale, the invoice says 'margin scheme - second hand goods' and shows no VAT; \
a car bought on an invoice showing VAT is outside the scheme and gets an ordinary VAT invoice.")]
pub struct InvoiceArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The record of the purchase, for a private seller to sign
    #[arg(long, conflicts_with_all = ["credit_note", "number"])]
    pub purchase: bool,
    /// The credit note for the car taken back
    #[arg(long, conflicts_with = "number")]
    pub credit_note: bool,
    /// An earlier invoice or credit note of the car: S12 or C3 [the latest invoice]
    #[arg(long, value_name = "NUMBER")]
    pub number: Option<PaperNumber>,
    /// Where to write the page [standard output, or a file named for it on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}
