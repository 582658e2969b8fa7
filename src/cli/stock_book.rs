//! `stock-book`.

use crate::domain::days::day::WrittenDay;
use clap::Args;
use std::path::PathBuf;

/// The stock book: every car bought, what it cost, what became of it, its margin and the VAT due.
///
/// With --from or --to: the cars bought, sold, disposed of or in stock on a day of the period.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout stock-book\n  runabout stock-book --from 1/7/2026 --to 30/9/2026 --html --out book.html"
)]
pub struct StockBookArgs {
    /// First day [the book's first]
    #[arg(long, value_name = "DATE")]
    pub from: Option<WrittenDay>,
    /// Last day [today]
    #[arg(long, value_name = "DATE")]
    pub to: Option<WrittenDay>,
    /// Write it as one page to print
    #[arg(long, conflicts_with = "part")]
    pub html: bool,
    /// Where to write the page [standard output, or a file named by its days on a terminal]
    #[arg(long, value_name = "FILE", requires = "html")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "html")]
    pub replace: bool,
    /// Only one list [cars]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}
