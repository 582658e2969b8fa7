//! `page`.

use crate::cli::Replacing;
use clap::Args;
use std::path::PathBuf;

/// Write one page with pictures: the yard, the month, the float behind and ahead, every car.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout page --out yard.html\n  runabout page --as-of 31/10/2026 --out yard.html\n\n\
It is one HTML file that needs no network and no script: open it in any browser, on a phone too, or\n\
print it. Names and prices are in it, so mind who gets it. `month --page` draws one month."
)]
pub struct PageArgs {
    /// Where to write it [standard output, or a file named by its day on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}
