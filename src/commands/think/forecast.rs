//! `forecast`: the facts it starts from, the assumptions told otherwise, and what if.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::Context;
use crate::commands::steps::forecast_start::starting_point;
use crate::domain::plan::forecast::{Overrides, WhatIf, forecast_if, forecast_telling};
use crate::domain::value::count::Count;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Whole;
use crate::error::Error;
use crate::report::Report;
use crate::report::plan::forecast::ForecastReport;
use crate::store::Reader;
use clap::Args;

/// The float at each month end to come, how likely, and what it rests on.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout forecast\n  runabout forecast --months 6 --budget 720 --draws 180\n\n\
Every assumption it lists can be told otherwise. The same book, day and seed give the same answer.")]
pub struct ForecastArgs {
    /// How many month ends, 1 to 60 [12]
    #[arg(long, value_name = "N", default_value = "12", hide_default_value = true)]
    pub months: Count<1, 60>,
    /// How many runs, up to 100,000 [10000]
    #[arg(long, value_name = "N")]
    pub runs: Option<Count<1, 100_000>>,
    /// Where the draw begins [1]
    #[arg(long, value_name = "N")]
    pub seed: Option<Whole>,
    /// Cars a month, up to 31 [as the programme]
    #[arg(long, value_name = "N")]
    pub cars: Option<Count<0, 31>>,
    /// The purchase price of one [as the programme, else the middle one of your own cars]
    #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub budget: Option<Pence>,
    /// The day of the month cars are bought [15]
    #[arg(long, value_name = "DAY")]
    pub buying_day: Option<Count<1, 31>>,
    /// Days from buying a car to what is spent on it, on average, up to 365 [14]
    #[arg(long, value_name = "DAYS")]
    pub costs_after: Option<Count<0, 365>>,
    /// What you draw at each month end [nothing]
    #[arg(long, value_name = "AMOUNT")]
    pub draws: Option<Pence>,
    /// Days every car takes to sell, 1 to 3650 [as your own have]
    #[arg(long, value_name = "DAYS")]
    pub days_to_sell: Option<Count<1, 3_650>>,
    /// What every car costs beside its price [as your own have]
    #[arg(long, value_name = "AMOUNT")]
    pub costs: Option<Pence>,
    /// What every car sells for, in per cent of what it stands in at, up to 1000 [as your own have]
    #[arg(long, value_name = "PERCENT")]
    pub sells_at: Option<Count<1, 1_000>>,
    /// How many of your latest sales are drawn from, 5 to 1000 [200]
    #[arg(long, value_name = "N")]
    pub past_cars: Option<Count<5, 1_000>>,
    /// Beside it: a budget so many per cent dearer, up to 1000 [20]
    #[arg(long, value_name = "PERCENT")]
    pub dearer: Option<Count<1, 1_000>>,
    /// Beside it: selling takes so many per cent longer, up to 1000 [50]
    #[arg(long, value_name = "PERCENT")]
    pub slower: Option<Count<1, 1_000>>,
    /// Only one list: `months`, `what-if` or `assumptions` [months]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

impl Looks for ForecastArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let told = overrides(self);
        let facts = starting_point(self.months.get(), reader, context)?;
        let what_if = [
            WhatIf::OneMoreCar,
            WhatIf::DearerBudget(self.dearer.map_or(20, Count::get)),
            WhatIf::SlowerSale(self.slower.map_or(50, Count::get)),
        ];
        let say = |which: usize| {
            move |done: usize, of: usize| {
                context.progress.say(&format!("forecast {which} of {}: {done} of {of} runs", 1 + what_if.len()));
            }
        };
        let base = forecast_telling(&facts, &told, say(1));
        let mut which = 1;
        let changed = what_if.map(|what_if| {
            which += 1;
            (what_if, forecast_if(&facts, &told, what_if, say(which)))
        });
        Ok(ForecastReport::new(context.today, &base, &changed).into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

fn overrides(args: &ForecastArgs) -> Overrides {
    let size = |given: u32| usize::try_from(given).ok();
    Overrides {
        cars_a_month: args.cars.map(Count::get),
        budget: args.budget,
        buying_day: args.buying_day.map(Count::get),
        costs_after_days: args.costs_after.map(Count::get),
        drawn_a_month: args.draws,
        days_to_sell: args.days_to_sell.map(Count::get),
        pace_pct: None,
        costs: args.costs,
        price_pct: args.sells_at.map(Count::get),
        past_cars: args.past_cars.map(Count::get).and_then(size),
        runs: args.runs.map(Count::get).and_then(size),
        seed: args.seed.map(|seed| seed.0.into()),
    }
}
