//! `standing`: set up, listed, stopped, changed, one due day let off.

use crate::cli::Trying;
use crate::commands::steps::act::{Act, Looks, Records};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{ReadBack, paid_words, pocket, record};
use crate::domain::book::dealing::check_vat;
use crate::domain::book::standing::Standing;
use crate::domain::days::day::{DayAhead, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, Every, PaidBy};
use crate::error::Error;
use crate::report::Report;
use crate::report::money::standing::{StandingLine, StandingReport};
use crate::store::{Book, Reader, Recording};
use chrono::NaiveDate;
use clap::{Args, Subcommand};

/// Overheads that come round by themselves.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout standing add \"yard rent\" 115 --every month --from 1/9/2025\n  runabout standing list"
)]
pub struct StandingArgs {
    /// What to do; they are listed when nothing is said.
    #[command(subcommand)]
    pub action: Option<StandingAction>,
}

/// What to do with a standing cost.
#[derive(Debug, Subcommand)]
pub enum StandingAction {
    /// Set one up
    #[command(
        after_help = "Examples:\n  runabout standing add \"yard rent\" 115 --every month --from 1/9/2025\n  runabout standing add \"trade insurance\" 585 --every year --from 14/3/2026"
    )]
    Add {
        /// What you call it
        #[arg(value_name = "NAME")]
        name: Wording,
        /// What each time costs
        #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
        amount: Pence,
        /// How often: week, month, quarter or year
        #[arg(long, value_name = "INTERVAL")]
        every: Every,
        /// The first day it falls due [today]
        #[arg(long, value_name = "DATE")]
        from: Option<DayAhead>,
        /// The last day it can fall due
        #[arg(long, value_name = "DATE")]
        until: Option<DayAhead>,
        /// Its heading [the name, when that is a heading; else other]
        #[arg(long, value_name = "HEADING")]
        heading: Option<String>,
        /// How it is paid: cash, bank, card or own
        #[arg(long, value_name = "HOW")]
        paid: Option<PaidBy>,
        /// VAT in each
        #[arg(long, value_name = "AMOUNT")]
        vat: Option<Pence>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// List them
    #[command(after_help = "Examples:\n  runabout standing list\n  runabout standing list --format json")]
    List,
    /// Stop one; the day named is the last it can fall due
    #[command(
        after_help = "Examples:\n  runabout standing stop \"yard rent\"\n  runabout standing stop \"yard rent\" --on 31/10/2026"
    )]
    Stop {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// The last day [today]
        #[arg(long, value_name = "DATE")]
        on: Option<DayAhead>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Change what one costs from a day on
    #[command(
        after_help = "Examples:\n  runabout standing change \"yard rent\" 128 --from 1/10/2026\n  runabout standing change \"yard rent\" 122 --from today"
    )]
    Change {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// What it costs from then
        #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
        amount: Pence,
        /// From when
        #[arg(long, value_name = "DATE")]
        from: DayAhead,
        /// VAT in each
        #[arg(long, value_name = "AMOUNT")]
        vat: Option<Pence>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Let one due day off
    #[command(
        after_help = "Examples:\n  runabout standing skip \"yard rent\" --on 1/10/2026\n  runabout standing skip \"yard rent\" --on 1/1/2027"
    )]
    Skip {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// The due day
        #[arg(long, value_name = "DATE")]
        on: DayAhead,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
}

/// What `standing add` was given.
struct NewStanding<'a> {
    name: &'a Wording,
    amount: Pence,
    every: Every,
    from: Option<&'a DayAhead>,
    until: Option<&'a DayAhead>,
    heading: Option<&'a str>,
    paid: Option<PaidBy>,
    vat: Pence,
}

impl StandingArgs {
    fn dry_run(&self) -> bool {
        match &self.action {
            Some(
                StandingAction::Add { trying, .. }
                | StandingAction::Stop { trying, .. }
                | StandingAction::Change { trying, .. }
                | StandingAction::Skip { trying, .. },
            ) => trying.dry_run,
            Some(StandingAction::List) | None => false,
        }
    }

    /// What the words come to.
    pub(crate) fn act(&self) -> Act<'_> {
        match self.action {
            None | Some(StandingAction::List) => Act::Looks(self),
            Some(_) => Act::Records { command: self, dry_run: self.dry_run() },
        }
    }
}

impl Looks for StandingArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(list(reader, context)?.into())
    }
}

impl Records for StandingArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        run(self, book, context)
    }
}

fn run(args: &StandingArgs, book: &mut Book, context: &Context) -> Result<Report, Error> {
    let recorded = match args.action.as_ref().unwrap_or(&StandingAction::List) {
        StandingAction::List => return args.look(book.read(), context),
        StandingAction::Add { name, amount, every, from, until, heading, paid, vat, trying } => {
            let new = NewStanding {
                name,
                amount: *amount,
                every: *every,
                from: from.as_ref(),
                until: until.as_ref(),
                heading: heading.as_deref(),
                paid: *paid,
                vat: vat.unwrap_or_default(),
            };
            record(book, context, "standing", trying.dry_run, |recording| add(&new, recording, context))?
        }
        StandingAction::Stop { name, on, trying } => {
            let on = on.as_ref().map_or(Ok(context.today), |on| on.resolve(context.today))?;
            record(book, context, "standing", trying.dry_run, |recording| stop(name, on, recording))?
        }
        StandingAction::Change { name, amount, from, vat, trying } => {
            let from = from.resolve(context.today)?;
            record(book, context, "standing", trying.dry_run, |recording| {
                change(name, *amount, from, vat.unwrap_or_default(), recording)
            })?
        }
        StandingAction::Skip { name, on, trying } => {
            let on = on.resolve(context.today)?;
            record(book, context, "standing", trying.dry_run, |recording| skip(name, on, recording))?
        }
    };
    Ok(recorded.into())
}

fn list(reader: Reader<'_>, context: &Context) -> Result<StandingReport, Error> {
    let rows = reader
        .standings()?
        .into_iter()
        .map(|standing| StandingLine {
            amount: standing.amount_on(context.today).map(|amount| amount.amount).unwrap_or_default(),
            next_on: standing.next_from(context.today),
            name: standing.name,
            every: standing.every,
            heading: standing.heading,
            paid: standing.pocket,
            first_on: standing.first_on,
            until: standing.until,
        })
        .collect();
    Ok(StandingReport::new(context.today, rows))
}

fn add(new: &NewStanding<'_>, recording: &Recording<'_>, context: &Context) -> Result<ReadBack, Error> {
    let reader = recording.read();
    let first_on = new.from.map_or(Ok(context.today), |from| from.resolve(context.today))?;
    let until = new.until.map(|until| until.resolve(context.today)).transpose()?;
    if let Some(until) = until.filter(|until| *until < first_on) {
        let verdict = format!("is before the first due day, {}", long(first_on));
        return Err(ValueError::at_odds("last day", long(until), verdict).into());
    }
    check_vat(new.vat, new.amount, first_on, &reader.rates())?;
    let running = reader
        .standings()?
        .into_iter()
        .any(|standing| named(&standing, new.name) && standing.until.is_none_or(|until| until >= first_on));
    if running {
        return Err(Refusal::NameTaken { what: "standing cost", name: new.name.to_string() }.into());
    }
    let heading = match new.heading {
        Some(typed) => lookup::heading(reader, typed, Direction::Cost)?,
        None => heading_in_name(reader, new.name)?,
    };
    let pocket = pocket(reader, new.paid)?;
    let standing_no = recording.add_standing(new.name.as_str(), &heading, new.every, first_on, until, pocket)?;
    recording.add_standing_amount(standing_no, first_on, new.amount, new.vat)?;
    let until = until.map(|until| format!(" until {}", long(until))).unwrap_or_default();
    let summary = format!(
        "standing cost '{}': {} each {} from {}{until}, under {heading}, paid {}",
        new.name,
        new.amount,
        new.every,
        long(first_on),
        paid_words(pocket)
    );
    let mut said = ReadBack::new(summary, []);
    let past: Vec<Pence> = reader
        .standings()?
        .iter()
        .filter(|standing| standing.standing_no == standing_no)
        .flat_map(|standing| standing.falling(first_on, context.standing_to).map(|due| due.amount).collect::<Vec<_>>())
        .collect();
    if past.len() > 1 {
        let sum: Pence = past.iter().copied().sum();
        said.notes.push(format!("{} due days up to today count at once, {sum} in all", past.len()));
    }
    if heading == "other" && new.heading.is_none() {
        said.notes.push("it goes under 'other'; undo it and add --heading if another heading fits".into());
    }
    Ok(said)
}

/// A word of the name that is a heading, as in "yard rent"; `other` when none is.
fn heading_in_name(reader: Reader<'_>, name: &Wording) -> Result<String, Error> {
    let headings = reader.headings()?;
    let is_cost =
        |word: &String| headings.iter().any(|heading| heading.direction == Direction::Cost && heading.name == *word);
    let mut words = name.as_str().split_whitespace().rev().map(str::to_lowercase);
    Ok(words.find(is_cost).unwrap_or_else(|| "other".to_owned()))
}

fn stop(name: &Wording, on: NaiveDate, recording: &Recording<'_>) -> Result<ReadBack, Error> {
    let standing = find(recording.read(), name)?;
    if on < standing.first_on {
        return Err(Refusal::BeforeItBegan { name: standing.name, first: standing.first_on }.into());
    }
    recording.stop_standing(standing.standing_no, on)?;
    Ok(ReadBack::new(
        format!("standing cost '{}' ends; {} is the last day it can fall due", standing.name, long(on)),
        [],
    ))
}

fn change(
    name: &Wording,
    amount: Pence,
    from: NaiveDate,
    vat: Pence,
    recording: &Recording<'_>,
) -> Result<ReadBack, Error> {
    let standing = find(recording.read(), name)?;
    check_vat(vat, amount, from, &recording.read().rates())?;
    if from < standing.first_on {
        return Err(Refusal::BeforeItBegan { name: standing.name, first: standing.first_on }.into());
    }
    let before = standing.amount_on(from).map(|amount| amount.amount).unwrap_or_default();
    recording.add_standing_amount(standing.standing_no, from, amount, vat)?;
    Ok(ReadBack::new(format!("standing cost '{}' is {amount} from {}, was {before}", standing.name, long(from)), []))
}

fn skip(name: &Wording, on: NaiveDate, recording: &Recording<'_>) -> Result<ReadBack, Error> {
    let standing = find(recording.read(), name)?;
    if !standing.falls_on(on) || standing.skipped.contains(&on) {
        let next = standing.next_from(on);
        return Err(Refusal::NotADueDay { name: standing.name, day: on, next }.into());
    }
    recording.add_standing_skip(standing.standing_no, on)?;
    Ok(ReadBack::new(format!("standing cost '{}' is let off on {}", standing.name, long(on)), []))
}

fn named(standing: &Standing, name: &Wording) -> bool {
    standing.name.to_lowercase() == name.as_str().to_lowercase()
}

/// The standing cost meant: the latest set up under that name.
fn find(reader: Reader<'_>, name: &Wording) -> Result<Standing, Error> {
    let standings = reader.standings()?;
    let known: Vec<String> = standings.iter().map(|standing| standing.name.clone()).collect();
    standings
        .into_iter()
        .rev()
        .find(|standing| named(standing, name))
        .ok_or_else(|| lookup::name_unknown("standing cost", name.as_str(), known).into())
}
