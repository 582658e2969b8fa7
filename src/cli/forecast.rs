//! `forecast`.

use crate::domain::value::count::Count;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Whole;
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
