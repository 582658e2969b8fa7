//! `vat`: the return of a period, or the watch on the registration threshold.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::domain::book::facts::Facts;
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::days::vat_quarter::QuarterEnd;
use crate::domain::law::registration::Registration;
use crate::domain::refusal::Refusal;
use crate::domain::tax::vat_return::{VatReturn, vat_return};
use crate::domain::tax::vat_watch::{Watch, last_complete_month};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Direction;
use crate::error::Error;
use crate::report::Report;
use crate::report::tax::vat::VatReport;
use crate::report::tax::vat_watch::VatWatchReport;
use crate::store::Reader;
use chrono::NaiveDate;
use clap::Args;
use std::collections::BTreeSet;

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

impl Looks for VatArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let settings = settings_of(reader)?;
        if self.watch {
            return Ok(watch(reader, context, settings.registration)?.into());
        }
        let period = period(self, settings.vat_quarter_end, context.today)?;
        let whole_quarter = settings.vat_quarter_end.quarter_of(period.to()) == period;
        let known = known(reader, context, settings.registration, period)?;
        Ok(VatReport::new(context.today, &known.vat_return(period)?, settings.registration, whole_quarter).into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

/// The days asked for: a quarter where a day is not said.
fn period(args: &VatArgs, quarter_end: QuarterEnd, today: NaiveDate) -> Result<Period, Error> {
    let from = args.from.as_ref().map(|from| from.resolve_past(today)).transpose()?;
    let to = args.to.as_ref().map(|to| to.resolve_any(today)).transpose()?;
    let quarter = quarter_end.quarter_of(from.or(to).unwrap_or(today));
    let (from, to) = (from.unwrap_or(quarter.from()), to.unwrap_or(quarter.to()));
    let refused = |what: String| Refusal::NothingBefore { what };
    let period = Period::new(from, to)
        .ok_or_else(|| refused(format!("{} is after {}: write the earlier day as --from", long(from), long(to))))?;
    if period.from() > today {
        let what = format!("{} to {} has not begun: write an earlier day as --to", long(from), long(to));
        return Err(refused(what).into());
    }
    Ok(period)
}

/// What a return is worked out from.
struct Known {
    facts: Facts,
    sales_headings: BTreeSet<String>,
}

fn known(reader: Reader<'_>, context: &Context, registration: Registration, period: Period) -> Result<Known, Error> {
    let facts = reader.facts(period.from(), period.to().min(context.today), context.standing_to, registration)?;
    let headings = reader.headings()?.into_iter();
    let sales = headings.filter(|row| row.direction == Direction::Receipt && row.return_heading == "sales");
    Ok(Known { facts, sales_headings: sales.map(|row| row.name).collect() })
}

impl Known {
    fn vat_return(&self, period: Period) -> Result<VatReturn<'_>, Refusal> {
        vat_return(&self.facts, period, &self.sales_headings).ok_or_else(|| Refusal::NothingBefore {
            what: format!("{} to {} cannot be reckoned", long(period.from()), long(period.to())),
        })
    }
}

fn watch(reader: Reader<'_>, context: &Context, registration: Registration) -> Result<VatWatchReport, Error> {
    let registered = registration.holds_on(context.today);
    // A registered trader's turnover is shown whole, for deregistering is about what they turn over.
    let left_out = if registered { Registration::default() } else { registration };
    let turnover = reader.turnover(context.today, &left_out)?;
    let found = Watch::new(&turnover, context.today, reader.first_day()?, &registration);
    let last = last_complete_month(context.today);
    let vat = registered.then(|| vat_of_twelve_months(reader, context, registration, last)).transpose()?;
    let without_vat = vat.map(|vat| turnover.twelve_to(last) - vat);
    Ok(VatWatchReport::new(context.today, &found, registration, without_vat))
}

/// The VAT in the sales of the twelve months ending with `last`.
fn vat_of_twelve_months(
    reader: Reader<'_>,
    context: &Context,
    registration: Registration,
    last: Month,
) -> Result<Pence, Error> {
    let period = Period::new(last.minus(11).first_day(), last.last_day()).unwrap_or(Period::of_month(last));
    Ok(known(reader, context, registration, period)?.vat_return(period)?.vat_on_sales())
}
