//! `programme`: set, or how it goes.

use crate::cli::Trying;
use crate::commands::steps::act::{Act, Looks, Records};
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::month::{Month, WrittenMonth};
use crate::domain::days::period::Period;
use crate::domain::plan::programme::{Programme, Purse, first_month, programme};
use crate::domain::refusal::Refusal;
use crate::domain::value::count::CarsAMonth;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Multiple;
use crate::error::Error;
use crate::report::Report;
use crate::report::plan::programme::ProgrammeReport;
use crate::store::{Book, Reader};
use clap::{Args, Subcommand};

/// How "one car a month" goes: slots, budget, multiple; and the next slot.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout programme\n  runabout programme --format json")]
pub struct ProgrammeArgs {
    /// What to do; the score is shown when nothing is said.
    #[command(subcommand)]
    pub action: Option<ProgrammeAction>,
    /// Only one list: `months` or `slots` [months]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

/// What to do with the programme.
#[derive(Debug, Subcommand)]
pub enum ProgrammeAction {
    /// Set how many cars a month, for how much, to make what of them
    #[command(after_help = "Examples:\n  runabout programme set --cars 1 --budget 680 --multiple 2\n  \
runabout programme set --budget 725 --from dec 2026\n\nWhat is not said stays as it was.")]
    Set {
        /// Cars a month, 1 to 31
        #[arg(long, value_name = "N")]
        cars: Option<CarsAMonth>,
        /// The purchase price of one
        #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
        budget: Option<Pence>,
        /// What each is to sell for, as times what it stands in at: 2 is doubled
        #[arg(long, value_name = "X")]
        multiple: Option<Multiple>,
        /// From which month on [this]
        #[arg(long, value_name = "MONTH")]
        from: Option<WrittenMonth>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
}

impl ProgrammeArgs {
    fn dry_run(&self) -> bool {
        matches!(&self.action, Some(ProgrammeAction::Set { trying, .. }) if trying.dry_run)
    }

    /// What the words come to.
    pub(crate) fn act(&self) -> Act<'_> {
        if self.action.is_some() { Act::Records { command: self, dry_run: self.dry_run() } } else { Act::Looks(self) }
    }
}

impl Looks for ProgrammeArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(show(reader, context)?.into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

impl Records for ProgrammeArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        run(self, book, context)
    }
}

fn run(args: &ProgrammeArgs, book: &mut Book, context: &Context) -> Result<Report, Error> {
    let Some(ProgrammeAction::Set { cars, budget, multiple, from, trying }) = &args.action else {
        return args.look(book.read(), context);
    };
    let from = from.as_ref().map_or(Month::containing(context.today), |from| from.resolve_any(context.today));
    Ok(record(book, context, "programme", trying.dry_run, |recording| {
        let set = recording.read().programmes()?;
        let before = Programme::holding_in(&set, from);
        let now = Programme {
            from,
            cars: cars.map_or(before.cars, CarsAMonth::get),
            budget: budget.or(before.budget),
            multiple: multiple.map_or(before.multiple, |multiple| multiple.0),
        };
        let says_nothing = cars.is_none() && budget.is_none() && multiple.is_none();
        if says_nothing {
            let example = "runabout programme set --cars 2 --budget 700 --multiple 2";
            return Err(Refusal::NothingSaid { of: format!("the programme is {}", words(&before)), example }.into());
        }
        // What holds while nothing was set can be set: from then on `due` minds the slots.
        if before == now && !set.is_empty() {
            return Err(Refusal::NothingChanges { field: "the programme".into(), value: words(&before) }.into());
        }
        recording.add_programme(&now)?;
        Ok(ReadBack::new(format!("from {from} on the programme is {}", words(&now)), []))
    })?
    .into())
}

/// `1 car a month at up to £680.00, to sell at 2 times what it stands in at`.
fn words(programme: &Programme) -> String {
    let cars = if programme.cars == 1 { "1 car".to_owned() } else { format!("{} cars", programme.cars) };
    let budget = programme.budget.map_or(", no budget set".to_owned(), |budget| format!(" at up to {budget}"));
    format!("{cars} a month{budget}, to sell at {} times what it stands in at", programme.multiple)
}

fn show(reader: Reader<'_>, context: &Context) -> Result<ProgrammeReport, Error> {
    let (day, registration) = (context.today, settings_of(reader)?.registration);
    let set = reader.programmes()?;
    let cars = reader.cars(&reader.every_car(day)?, day)?;
    let from = first_month(&set, &cars, day).first_day();
    let facts = reader.facts(from, day, context.standing_to, registration)?;
    let profit = Period::new(from, day).and_then(|period| facts.period_figures(period)).map(|figures| figures.profit);
    let purse = Purse::from_balances(&facts.balances(day), &facts.standings, day);
    let figures = programme(&set, &cars, &registration, day, purse, profit.unwrap_or(Pence::ZERO));
    Ok(ProgrammeReport::new(day, &figures))
}
