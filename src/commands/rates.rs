//! `rates`: the statutory figures, which need no book.

use crate::cli::rates::RatesArgs;
use crate::commands::Context;
use crate::error::Error;
use crate::report::tax::rates::RatesReport;

pub fn run(args: &RatesArgs, context: &Context) -> Result<RatesReport, Error> {
    let on = args.on.as_ref().map(|on| on.resolve_any(context.today)).transpose()?;
    Ok(RatesReport::new(context.today, on, &context.rates))
}
