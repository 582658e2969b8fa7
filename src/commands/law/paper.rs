//! `paper`: dated documents of the business.

use crate::cli::Trying;
use crate::commands::steps::act::{Act, Looks, Records};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::book::dated_facts::Paper;
use crate::domain::days::day::{DayAhead, long};
use crate::domain::law::trade_licence::may_end_on;
use crate::domain::refusal::Refusal;
use crate::domain::value::count::DaysAhead;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::report::yard::papers::PapersReport;
use crate::store::{Book, Reader};
use chrono::NaiveDate;
use clap::{Args, Subcommand};

/// Dated documents of the business: trade insurance, trade licence, fire check.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout paper add \"trade insurance\" --until 2027-03-14\n  runabout paper list")]
pub struct PaperArgs {
    /// What to do; they are listed when nothing is said.
    #[command(subcommand)]
    pub action: Option<PaperAction>,
}

/// What to do with a paper.
#[derive(Debug, Subcommand)]
pub enum PaperAction {
    /// Add one
    #[command(
        after_help = "Examples:\n  runabout paper add \"trade insurance\" --until 2027-03-14\n  runabout paper add \"trade licence\" --until 31/12/2026 --remind 21"
    )]
    Add {
        /// What you call it
        #[arg(value_name = "NAME")]
        name: Wording,
        /// Its last day, with its year
        #[arg(long, value_name = "DATE")]
        until: DayAhead,
        /// Days ahead to be reminded, up to 3650 [the setting remind-days]
        #[arg(long, value_name = "DAYS")]
        remind: Option<DaysAhead>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Give one its next last day
    #[command(
        after_help = "Examples:\n  runabout paper renew \"trade insurance\" --until 2028-03-14\n  runabout paper renew \"TRADE INSURANCE\" --until 14/3/2029"
    )]
    Renew {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// Its new last day, with its year
        #[arg(long, value_name = "DATE")]
        until: DayAhead,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Take one off the list
    #[command(
        after_help = "Examples:\n  runabout paper remove \"trade insurance\"\n  runabout paper remove \"trade insurance\" --dry-run"
    )]
    Remove {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// List them
    #[command(after_help = "Examples:\n  runabout paper list\n  runabout paper list --format csv")]
    List,
}

impl PaperArgs {
    fn dry_run(&self) -> bool {
        match &self.action {
            Some(
                PaperAction::Add { trying, .. }
                | PaperAction::Renew { trying, .. }
                | PaperAction::Remove { trying, .. },
            ) => trying.dry_run,
            Some(PaperAction::List) | None => false,
        }
    }

    /// What the words come to.
    pub(crate) fn act(&self) -> Act<'_> {
        match self.action {
            None | Some(PaperAction::List) => Act::Looks(self),
            Some(_) => Act::Records { command: self, dry_run: self.dry_run() },
        }
    }
}

impl Looks for PaperArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(PapersReport::new(context.today, &reader.papers()?).into())
    }
}

impl Records for PaperArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        run(self, book, context)
    }
}

fn run(args: &PaperArgs, book: &mut Book, context: &Context) -> Result<Report, Error> {
    let recorded = match args.action.as_ref().unwrap_or(&PaperAction::List) {
        PaperAction::List => return args.look(book.read(), context),
        PaperAction::Add { name, until, remind, trying } => {
            let until = until.resolve(context.today)?;
            record(book, context, "paper", trying.dry_run, |recording| {
                if recording.read().papers()?.iter().any(|paper| named(paper, name)) {
                    return Err(Refusal::NameTaken { what: "paper", name: name.to_string() }.into());
                }
                recording.add_paper(name.as_str(), until, remind.map(DaysAhead::days))?;
                let mut said = ReadBack::new(format!("paper '{name}' runs to {}", long(until)), []);
                said.notes.extend(licence_note(name, until));
                Ok(said)
            })?
        }
        PaperAction::Renew { name, until, trying } => {
            let until = until.resolve(context.today)?;
            record(book, context, "paper", trying.dry_run, |recording| {
                let paper = find(recording.read(), name)?;
                recording.renew_paper(paper.paper_no, until)?;
                let mut said = ReadBack::new(
                    format!("paper '{}' now runs to {}, was {}", paper.name, long(until), long(paper.until)),
                    [],
                );
                said.notes.extend(licence_note(name, until));
                Ok(said)
            })?
        }
        PaperAction::Remove { name, trying } => record(book, context, "paper", trying.dry_run, |recording| {
            let paper = find(recording.read(), name)?;
            recording.remove_paper(paper.paper_no)?;
            Ok(ReadBack::new(format!("paper '{}' is off the list", paper.name), []))
        })?,
    };
    Ok(recorded.into())
}

fn licence_note(name: &Wording, until: NaiveDate) -> Option<String> {
    let licence = name.as_str().to_lowercase().contains("licence");
    (licence && !may_end_on(until)).then(|| {
        format!("a trade licence ends on 30 June or 31 December, not {}; check it if that is what this is", long(until))
    })
}

fn named(paper: &Paper, name: &Wording) -> bool {
    paper.name.to_lowercase() == name.as_str().to_lowercase()
}

fn find(reader: Reader<'_>, name: &Wording) -> Result<Paper, Error> {
    let papers = reader.papers()?;
    let known: Vec<String> = papers.iter().map(|paper| paper.name.clone()).collect();
    papers
        .into_iter()
        .find(|paper| named(paper, name))
        .ok_or_else(|| lookup::name_unknown("paper", name.as_str(), known).into())
}
