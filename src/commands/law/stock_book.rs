//! `stock-book`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::days::period::Period;
use crate::domain::figures::stock_book::StockBook;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::Report;
use crate::report::paper::stock_book::{Cover, StockBookReport};
use crate::store::Reader;
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

impl StockBookArgs {
    /// Whether a page to print is made, in place of a report.
    pub(crate) const fn is_apart(&self) -> bool {
        self.html
    }
}

impl Looks for StockBookArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(run(self, reader, context)?.into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

/// The stock book, for the report and for a page of it.
pub fn run(args: &StockBookArgs, reader: Reader<'_>, context: &Context) -> Result<StockBookReport, Error> {
    let to = context.past_day(args.to.as_ref())?;
    let from = args.from.as_ref().map(|typed| typed.resolve_past(context.today)).transpose()?;
    // A book that begins later than the day it is asked for has nothing by then.
    let first = from.map_or_else(|| Ok(reader.first_day()?.unwrap_or(to).min(to)), Ok::<_, Error>)?;
    let period = Period::new(first, to).ok_or_else(|| Refusal::NothingBefore {
        what: format!("{} is after {}: write the earlier day as --from", long(first), long(to)),
    })?;
    let registration = settings_of(reader)?.registration;
    let facts = reader.facts(period.from(), period.to(), context.standing_to, registration)?;
    let book = StockBook::from_facts(&facts, period);
    let undone = reader.undone_numbers()?;
    let settings = reader.settings()?;
    let setting = |key: &str| settings.iter().find(|(name, _)| name == key).map(|(_, value)| value.clone());
    let cover = Cover {
        as_of: context.today,
        from,
        to,
        registration,
        trader_name: setting("trader-name"),
        vat_number: setting("vat-number"),
    };
    let gaps = book.gaps(&undone, from, args.to.as_ref().map(|_| to));
    Ok(StockBookReport::new(cover, &book, &gaps))
}
