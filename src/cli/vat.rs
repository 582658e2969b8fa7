//! `vat`.

use crate::domain::days::day::WrittenDay;
use clap::Args;

/// What a VAT return holds, box by box and car by car; or how near the threshold is.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout vat\n  runabout vat --from 1/7/2026 --to 30/9/2026\n  runabout vat --watch\n\n\
Without --from and --to it is the VAT quarter the day falls in, as `settings set vat-quarter-end` has it; with one \
of them, that day's quarter from it on or up to it.\n\n\
Box 6 holds every sale less its VAT, a car under the margin scheme less the VAT on its margin, and other receipts \
that show VAT or belong under sales. Box 7 holds the full price of every car bought, and costs that show VAT, less \
it; costs without VAT are in no box. Flat-rate, cash and annual accounting, and global accounting for parts, are not \
kept here.\n\n\
`spend AMOUNT vat` records what is paid to HMRC, `receive AMOUNT vat` what it repays."
)]
pub struct VatArgs {
    /// First day [that of the VAT quarter]
    #[arg(long, value_name = "DATE", conflicts_with = "watch")]
    pub from: Option<WrittenDay>,
    /// Last day [that of the VAT quarter]
    #[arg(long, value_name = "DATE", conflicts_with = "watch")]
    pub to: Option<WrittenDay>,
    /// Twelve months' turnover against the registration threshold
    #[arg(long)]
    pub watch: bool,
    /// Only one list [boxes; with --watch months]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}
