//! `mot`.

use crate::cli::Trying;
use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::law::mot::Defect;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Miles;
use crate::domain::value::words::{PaidBy, TestResult};
use clap::Args;

/// Record an MOT test. The last day is worked out; the date on the certificate always wins.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout mot 1 pass --fee 54.85 --miles 82,010\n  \
runabout mot KX42 RTO fail --on yesterday --defect \"major:brake hose perished\"\n\n\
On a terminal it asks for what is left out.")]
pub struct MotArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// pass or fail
    #[arg(value_name = "RESULT")]
    pub result: TestResult,
    /// The day of the test [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// The last day, as on the certificate, with its year [worked out]
    #[arg(long, value_name = "DATE")]
    pub until: Option<DayAhead>,
    /// Miles on the odometer
    #[arg(long, value_name = "N")]
    pub miles: Option<Miles>,
    /// The fee, booked as a cost on the car
    #[arg(long, value_name = "AMOUNT")]
    pub fee: Option<Pence>,
    /// How the fee was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", requires = "fee")]
    pub paid: Option<PaidBy>,
    /// A defect: dangerous, major, minor or advisory, a colon, and what; repeat for more. The buyer's invoice
    /// lists those of the last test
    #[arg(long, value_name = "LEVEL:TEXT")]
    pub defect: Vec<Defect>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}
