//! Which steps a command takes, in which order: one file a command. Nothing here prints, reads
//! the clock or knows SQL; what a rule says is the domain's.

#![allow(clippy::doc_markdown, reason = "comments of arguments are the help, shown as they stand")]
#![allow(rustdoc::broken_intra_doc_links, reason = "[today] in the help is a default, not a link")]

pub mod asking;
pub mod deal;
pub mod keep;
pub mod law;
pub mod money;
pub mod month;
mod morning;
mod offering;
pub mod ready;
pub mod steps;
pub mod think;

pub use offering::{Offered, Wanted, offered};
pub use steps::lookup::near_words;

use crate::cli::Command;
use crate::commands::keep::restore::RestoreArgs;
use crate::commands::keep::settings::SettingsAction;
use crate::commands::law::paper::PaperAction;
use crate::commands::law::rates::RatesArgs;
use crate::commands::law::stock_book::StockBookArgs;
use crate::commands::money::standing::StandingAction;
use crate::commands::month::calendar::CalendarArgs;
use crate::commands::month::month::MonthArgs;
use crate::commands::think::programme::ProgrammeAction;
use crate::domain::book::fee_scale::FeeScale;
use crate::domain::book::import_sheet::Sheet;
use crate::domain::book::settings::Settings;
use crate::domain::days::day::WrittenDay;
use crate::domain::law::rate_table::Rates;
use crate::error::Error;
use crate::report::Report;
use crate::report::paper::stock_book::StockBookReport;
use crate::report::picture::month_picture;
use crate::report::picture::picture::PicturePage;
use crate::report::yard::agenda::Agenda;
use crate::store::{Book, BookError, Reader};
use chrono::{DateTime, NaiveDate, Utc};
use std::fmt;
use std::path::Path;
use std::rc::Rc;

/// What was read from files named on the command line, before the book was opened.
#[derive(Clone, Debug, Default)]
pub struct Attached {
    /// An auction's fees.
    pub fees: Option<FeeScale>,
    /// Rows to import.
    pub sheet: Option<Rc<Sheet>>,
}

/// Says how far long work has come.
#[derive(Clone)]
pub struct Progress(pub Rc<dyn Fn(&str)>);

impl Progress {
    fn say(&self, how_far: &str) {
        (self.0)(how_far);
    }
}

impl fmt::Debug for Progress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Progress")
    }
}

/// What a command needs to know of the world.
#[derive(Clone, Debug)]
pub struct Context {
    /// The day taken as today.
    pub today: NaiveDate,
    /// The last day standing costs may count for: never after the real today.
    pub standing_to: NaiveDate,
    /// Now, for the entry.
    pub now: DateTime<Utc>,
    /// The command as typed.
    pub typed: String,
    /// Where the book is, for showing.
    pub book: String,
    /// What was read from files named on the command line.
    pub attached: Attached,
    /// Where long work says how far it has come.
    pub progress: Progress,
    /// The statutory figures in force, the trader's own among them.
    pub rates: Rates,
}

impl Context {
    /// The day something happened: as typed, never after today; today when not said.
    fn past_day(&self, typed: Option<&WrittenDay>) -> Result<NaiveDate, Error> {
        Ok(typed.map_or(Ok(self.today), |typed| typed.resolve_past(self.today))?)
    }
}

/// What a command does to the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Looks.
    Looks,
    /// Records, or with `dry_run` only tries to.
    Records {
        /// Keep nothing.
        dry_run: bool,
    },
}

/// What `command` does to the book.
pub fn does(command: &Command) -> Does {
    let trying = match command {
        Command::Buy(args) => args.trying,
        Command::Spend(args) => args.trying,
        Command::Receive(args) => args.trying,
        Command::Hours(args) => args.trying,
        Command::Journey(args) => args.trying,
        Command::Note(args) => args.trying,
        Command::Mark(args) => args.trying,
        Command::Ask(args) => args.trying,
        Command::Mot(args) => args.trying,
        Command::Tax(args) => args.trying,
        Command::Check(args) => args.trying,
        Command::Done(args) => args.trying,
        Command::Offer(args) => args.trying,
        Command::Deposit(args) => args.trying,
        Command::Sell(args) => args.trying,
        Command::TakeBack(args) => args.trying,
        Command::Dispose(args) => args.trying,
        Command::WriteOff(args) => args.trying,
        Command::Receipt(args) => args.trying,
        Command::Close(args) => args.trying,
        Command::Import(args) => args.trying,
        Command::PayIn(args) => args.trying,
        Command::Draw(args) => args.trying,
        Command::Move(args) => args.trying,
        Command::Undo(args) => args.trying,
        Command::Amend(args) => args.trying,
        Command::Forget(args) => args.trying,
        Command::Standing(args) => match args.action.as_ref().unwrap_or(&StandingAction::List) {
            StandingAction::Add { trying, .. }
            | StandingAction::Stop { trying, .. }
            | StandingAction::Change { trying, .. }
            | StandingAction::Skip { trying, .. } => *trying,
            StandingAction::List => return Does::Looks,
        },
        Command::Paper(args) => match args.action.as_ref().unwrap_or(&PaperAction::List) {
            PaperAction::Add { trying, .. }
            | PaperAction::Renew { trying, .. }
            | PaperAction::Remove { trying, .. } => *trying,
            PaperAction::List => return Does::Looks,
        },
        Command::Programme(args) => match &args.action {
            Some(ProgrammeAction::Set { trying, .. }) => *trying,
            None => return Does::Looks,
        },
        Command::Settings(args) => match &args.action {
            Some(SettingsAction::Set { trying, .. }) => *trying,
            Some(SettingsAction::Headings) | None => return Does::Looks,
        },
        Command::Backup(_)
        | Command::Restore(_)
        | Command::Export(_)
        | Command::Bid(_)
        | Command::Forecast(_)
        | Command::Lessons(_)
        | Command::Stock(_)
        | Command::StockBook(_)
        | Command::Car(_)
        | Command::Month(_)
        | Command::Results(_)
        | Command::TaxYear(_)
        | Command::Cash(_)
        | Command::Due(_)
        | Command::Page(_)
        | Command::Calendar(_)
        | Command::Invoice(_)
        | Command::Vat(_)
        | Command::Log(_)
        | Command::Verify(_)
        | Command::Rates(_)
        | Command::Completions(_)
        | Command::Manual(_)
        | Command::Demo(_) => return Does::Looks,
    };
    Does::Records { dry_run: trying.dry_run }
}

/// The list of a report that CSV was asked for by name.
pub fn part(command: &Command) -> Option<&str> {
    match command {
        Command::Car(args) => args.part.as_deref(),
        Command::Month(args) => args.part.as_deref(),
        Command::Results(args) => args.part.as_deref(),
        Command::Programme(args) => args.part.as_deref(),
        Command::TaxYear(args) => args.part.as_deref(),
        Command::Forecast(args) => args.part.as_deref(),
        Command::StockBook(args) => args.part.as_deref(),
        Command::Vat(args) => args.part.as_deref(),
        _ => None,
    }
}

/// Carries out `command` on an open book.
pub fn run(command: &Command, book: &mut Book, context: &Context) -> Result<Report, Error> {
    carry_out(command, book, context).map_err(|error| steps::numbers::explained(error, book.read(), context))
}

fn carry_out(command: &Command, book: &mut Book, context: &Context) -> Result<Report, Error> {
    Ok(match command {
        Command::Buy(args) => deal::buy::run(args, book, context)?.into(),
        Command::Spend(args) => money::spend::run(args, book, context)?.into(),
        Command::Receive(args) => money::receive::run(args, book, context)?.into(),
        Command::Hours(args) => ready::hours::run(args, book, context)?.into(),
        Command::Journey(args) => money::journey::run(args, book, context)?.into(),
        Command::Note(args) => ready::note::run(args, book, context)?.into(),
        Command::Mark(args) => ready::mark::run(args, book, context)?.into(),
        Command::Ask(args) => deal::ask::run(args, book, context)?.into(),
        Command::Mot(args) => ready::mot::run(args, book, context)?.into(),
        Command::Tax(args) => ready::tax::run(args, book, context)?.into(),
        Command::Check(args) => ready::check::run(args, book, context)?.into(),
        Command::Done(args) => keep::done::run(args, book, context)?.into(),
        Command::Paper(args) => law::paper::run(args, book, context)?,
        Command::Offer(args) => deal::offer::run(args, book, context)?.into(),
        Command::Deposit(args) => deal::deposit::run(args, book, context)?.into(),
        Command::Sell(args) => deal::sell::run(args, book, context)?.into(),
        Command::TakeBack(args) => deal::take_back::run(args, book, context)?.into(),
        Command::Dispose(args) => deal::dispose::run(args, book, context)?.into(),
        Command::WriteOff(args) => deal::write_off::run(args, book, context)?.into(),
        Command::Receipt(args) => ready::receipt::run(args, book, context)?.into(),
        Command::Close(args) => month::close::run(args, book, context)?,
        Command::PayIn(args) => money::pay_in::run(args, book, context)?.into(),
        Command::Draw(args) => money::draw::run(args, book, context)?.into(),
        Command::Move(args) => money::move_money::run(args, book, context)?.into(),
        Command::Undo(args) => keep::undo::run(args, book, context)?.into(),
        Command::Amend(args) => keep::amend::run(args, book, context)?.into(),
        Command::Forget(args) => law::forget::run(args, book, context)?.into(),
        Command::Standing(args) => money::standing::run(args, book, context)?,
        Command::Settings(args) => keep::settings::run(args, book, context)?,
        Command::Programme(args) => think::programme::run(args, book, context)?,
        Command::Bid(args) => deal::bid::run(args, context.attached.fees.clone(), book.read(), context)?.into(),
        Command::Forecast(args) => think::forecast::run(args, book.read(), context)?.into(),
        Command::Lessons(args) => think::lessons::run(args, book.read(), context)?.into(),
        Command::Stock(_) => think::stock::run(book.read(), context)?.into(),
        Command::StockBook(args) => law::stock_book::run(args, book.read(), context)?.into(),
        Command::Car(args) => think::car::run(args, book.read(), context)?.into(),
        Command::Month(args) => month::month::run(args, book.read(), context)?.into(),
        Command::Results(args) => month::results::run(args, book.read(), context)?.into(),
        Command::TaxYear(args) => law::tax_year::run(args, book.read(), context)?.into(),
        Command::Cash(_) => money::cash::run(book.read(), context)?.into(),
        Command::Due(args) => think::due::run(args, book.read(), context)?.into(),
        Command::Vat(args) => law::vat::run(args, book.read(), context)?,
        Command::Backup(args) => {
            let settings = settings_of(book.read())?;
            month::backup::run(args, &settings, book, context)?.into()
        }
        Command::Import(args) => {
            let sheet = context.attached.sheet.as_deref();
            keep::import::run(args, sheet.ok_or_else(|| Error::Ours("no file was read".into()))?, book, context)?.into()
        }
        Command::Verify(_) => keep::verify::run(book.read(), context)?.into(),
        Command::Invoice(args) => deal::invoice::run(args, book.read(), context)?.into(),
        Command::Log(args) => keep::log::run(args, book.read(), context)?.into(),
        Command::Demo(_)
        | Command::Page(_)
        | Command::Calendar(_)
        | Command::Restore(_)
        | Command::Export(_)
        | Command::Rates(_)
        | Command::Completions(_)
        | Command::Manual(_) => {
            return Err(Error::Ours("this command answers with something else than a report".into()));
        }
    })
}

/// The morning screen.
pub fn morning(book: &Book, context: &Context) -> Result<Report, Error> {
    Ok(morning::run(book.read(), context)?.into())
}

/// The statutory figures in force, for which no book is needed.
pub fn statutory_figures(args: &RatesArgs, context: &Context) -> Result<Report, Error> {
    Ok(law::rates::run(args, context)?.into())
}

/// What `restore` did: the book is not opened for it, for it may not open.
pub fn restored(args: &RestoreArgs, book: &Path, context: &Context) -> Result<Report, Error> {
    Ok(keep::restore::run(args, book, context)?.into())
}

/// What `calendar` writes.
pub fn agenda(args: &CalendarArgs, book: &Book, context: &Context) -> Result<Agenda, Error> {
    month::calendar::run(args, book.read(), context)
}

/// The stock book, for a page of it.
pub fn stock_book(args: &StockBookArgs, book: &Book, context: &Context) -> Result<StockBookReport, Error> {
    law::stock_book::run(args, book.read(), context)
}

/// What `page` draws.
pub fn page(book: &Book, context: &Context) -> Result<PicturePage, Error> {
    month::page::run(book.read(), context)
}

/// What `month --page` draws.
pub fn month_page(args: &MonthArgs, book: &Book, context: &Context) -> Result<PicturePage, Error> {
    let trader = month::page::trader_name(book.read())?;
    Ok(month_picture::page(&month::month::run(args, book.read(), context)?, trader))
}

/// The settings in force.
fn settings_of(reader: Reader<'_>) -> Result<Settings, Error> {
    let stored = reader.settings()?;
    // What was checked when it was set and cannot be read now is damage, and no mistake of whoever types.
    let mut settings = Settings::read(stored.iter().map(|(key, value)| (key.as_str(), value.as_str())))
        .map_err(|error| BookError::Foreign(format!("setting: {error}")))?;
    settings.registration.rates = reader.rates();
    Ok(settings)
}
