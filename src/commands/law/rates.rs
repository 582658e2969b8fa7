//! `rates`: the statutory figures, which need no book.

use crate::commands::steps::context::Context;
use crate::domain::days::day::WrittenDay;
use crate::error::Error;
use crate::report::tax::rates::RatesReport;
use clap::Args;

/// Every rate, threshold and time limit the program knows, from which day on, and where it was read.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout rates\n  runabout rates --on 1/6/2010\n\n\
Lines of your own come before these: a figure a line, NAME FROM-DATE VALUE and where you have it from, \
in a file beside the book with the same name and the ending .rates, or named with --rates FILE:\n\n  \
vat-standard-rate 2027-04-01 20 Finance Act 2027  # a remark")]
pub struct RatesArgs {
    /// Only what holds on a day
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
}

/// The statutory figures in force, for which no book is needed.
pub fn run(args: &RatesArgs, context: &Context) -> Result<RatesReport, Error> {
    let on = args.on.as_ref().map(|on| on.resolve_any(context.today)).transpose()?;
    Ok(RatesReport::new(context.today, on, &context.rates))
}
