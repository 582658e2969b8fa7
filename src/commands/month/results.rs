//! `results`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::domain::days::month::{Month, WrittenMonth};
use crate::domain::figures::results::results;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::Report;
use crate::report::month::results::ResultsReport;
use crate::store::Reader;
use clap::Args;

/// Month by month: cars, profit, returns, cash tied up.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout results\n  runabout results --from 2026-01 --to jun")]
pub struct ResultsArgs {
    /// First month [eleven months before the last]
    #[arg(long, value_name = "MONTH")]
    pub from: Option<WrittenMonth>,
    /// Last month [this]
    #[arg(long, value_name = "MONTH")]
    pub to: Option<WrittenMonth>,
    /// Only one list [months]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

/// Months shown when none is named.
const MONTHS: u32 = 12;

impl Looks for ResultsArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let to = self
            .to
            .as_ref()
            .map_or_else(|| Ok(Month::containing(context.today)), |month| month.resolve(context.today))?;
        let from = self.from.as_ref().map_or_else(|| Ok(to.minus(MONTHS - 1)), |month| month.resolve(context.today))?;
        if from > to {
            return Err(Refusal::NothingBefore {
                what: format!("{from} is after {to}: write the earlier month as --from"),
            }
            .into());
        }
        let registration = settings_of(reader)?.registration;
        let facts =
            reader.facts(from.first_day(), to.last_day().min(context.today), context.standing_to, registration)?;
        let results = results(&facts, from, to)
            .ok_or_else(|| Refusal::NothingBefore { what: format!("{from} to {to} cannot be reckoned") })?;
        Ok(ResultsReport::new(context.today, &results).into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}
