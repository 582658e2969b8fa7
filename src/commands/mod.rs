//! Which steps a command takes, in which order: one file a command. Nothing here prints, reads
//! the clock or knows SQL; what a rule says is the domain's.

mod amend;
mod amend_fields;
mod amend_rows;
mod amend_tables;
mod ask;
pub mod asking;
mod auction;
mod backup;
mod bid;
mod buy;
mod calendar;
mod car;
mod cash;
mod cash_note;
mod check;
mod close;
mod deposit;
mod dispose;
mod done;
mod draw;
mod due;
mod forecast;
mod forget;
mod hours;
mod import;
mod invoice;
mod journey;
mod lessons;
mod log;
mod lookup;
mod mark;
mod month;
mod morning;
mod mot;
mod move_money;
mod note;
mod numbers;
mod offer;
mod offering;
mod page;
mod paper;
mod pay_in;
mod pocket_note;
mod programme;
mod rates;
mod receipt;
mod receive;
mod recording;
mod restore;
mod results;
mod roadworthy_note;
mod sale_notes;
mod sell;
mod settings;
mod spend;
mod standing;
mod stock;
mod stock_book;
mod take_back;
mod tax;
mod tax_year;
mod undo;
mod vat;
mod verify;
mod write_off;

pub use lookup::near_words;
pub use offering::{Offered, Wanted, offered};

use crate::cli::Command;
use crate::cli::calendar::CalendarArgs;
use crate::cli::month::MonthArgs;
use crate::cli::paper::PaperAction;
use crate::cli::programme::ProgrammeAction;
use crate::cli::rates::RatesArgs;
use crate::cli::restore::RestoreArgs;
use crate::cli::settings::SettingsAction;
use crate::cli::standing::StandingAction;
use crate::cli::stock_book::StockBookArgs;
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
    carry_out(command, book, context).map_err(|error| numbers::explained(error, book.read(), context))
}

fn carry_out(command: &Command, book: &mut Book, context: &Context) -> Result<Report, Error> {
    Ok(match command {
        Command::Buy(args) => buy::run(args, book, context)?.into(),
        Command::Spend(args) => spend::run(args, book, context)?.into(),
        Command::Receive(args) => receive::run(args, book, context)?.into(),
        Command::Hours(args) => hours::run(args, book, context)?.into(),
        Command::Journey(args) => journey::run(args, book, context)?.into(),
        Command::Note(args) => note::run(args, book, context)?.into(),
        Command::Mark(args) => mark::run(args, book, context)?.into(),
        Command::Ask(args) => ask::run(args, book, context)?.into(),
        Command::Mot(args) => mot::run(args, book, context)?.into(),
        Command::Tax(args) => tax::run(args, book, context)?.into(),
        Command::Check(args) => check::run(args, book, context)?.into(),
        Command::Done(args) => done::run(args, book, context)?.into(),
        Command::Paper(args) => paper::run(args, book, context)?,
        Command::Offer(args) => offer::run(args, book, context)?.into(),
        Command::Deposit(args) => deposit::run(args, book, context)?.into(),
        Command::Sell(args) => sell::run(args, book, context)?.into(),
        Command::TakeBack(args) => take_back::run(args, book, context)?.into(),
        Command::Dispose(args) => dispose::run(args, book, context)?.into(),
        Command::WriteOff(args) => write_off::run(args, book, context)?.into(),
        Command::Receipt(args) => receipt::run(args, book, context)?.into(),
        Command::Close(args) => close::run(args, book, context)?,
        Command::PayIn(args) => pay_in::run(args, book, context)?.into(),
        Command::Draw(args) => draw::run(args, book, context)?.into(),
        Command::Move(args) => move_money::run(args, book, context)?.into(),
        Command::Undo(args) => undo::run(args, book, context)?.into(),
        Command::Amend(args) => amend::run(args, book, context)?.into(),
        Command::Forget(args) => forget::run(args, book, context)?.into(),
        Command::Standing(args) => standing::run(args, book, context)?,
        Command::Settings(args) => settings::run(args, book, context)?,
        Command::Programme(args) => programme::run(args, book, context)?,
        Command::Bid(args) => bid::run(args, context.attached.fees.clone(), book.read(), context)?.into(),
        Command::Forecast(args) => forecast::run(args, book.read(), context)?.into(),
        Command::Lessons(args) => lessons::run(args, book.read(), context)?.into(),
        Command::Stock(_) => stock::run(book.read(), context)?.into(),
        Command::StockBook(args) => stock_book::run(args, book.read(), context)?.into(),
        Command::Car(args) => car::run(args, book.read(), context)?.into(),
        Command::Month(args) => month::run(args, book.read(), context)?.into(),
        Command::Results(args) => results::run(args, book.read(), context)?.into(),
        Command::TaxYear(args) => tax_year::run(args, book.read(), context)?.into(),
        Command::Cash(_) => cash::run(book.read(), context)?.into(),
        Command::Due(args) => due::run(args, book.read(), context)?.into(),
        Command::Vat(args) => vat::run(args, book.read(), context)?,
        Command::Backup(args) => {
            let settings = settings_of(book.read())?;
            backup::run(args, &settings, book, context)?.into()
        }
        Command::Import(args) => {
            let sheet = context.attached.sheet.as_deref();
            import::run(args, sheet.ok_or_else(|| Error::Ours("no file was read".into()))?, book, context)?.into()
        }
        Command::Verify(_) => verify::run(book.read(), context)?.into(),
        Command::Invoice(args) => invoice::run(args, book.read(), context)?.into(),
        Command::Log(args) => log::run(args, book.read(), context)?.into(),
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
    Ok(rates::run(args, context)?.into())
}

/// What `restore` did: the book is not opened for it, for it may not open.
pub fn restored(args: &RestoreArgs, book: &Path, context: &Context) -> Result<Report, Error> {
    Ok(restore::run(args, book, context)?.into())
}

/// What `calendar` writes.
pub fn agenda(args: &CalendarArgs, book: &Book, context: &Context) -> Result<Agenda, Error> {
    calendar::run(args, book.read(), context)
}

/// The stock book, for a page of it.
pub fn stock_book(args: &StockBookArgs, book: &Book, context: &Context) -> Result<StockBookReport, Error> {
    stock_book::run(args, book.read(), context)
}

/// What `page` draws.
pub fn page(book: &Book, context: &Context) -> Result<PicturePage, Error> {
    page::run(book.read(), context)
}

/// What `month --page` draws.
pub fn month_page(args: &MonthArgs, book: &Book, context: &Context) -> Result<PicturePage, Error> {
    let trader = page::trader_name(book.read())?;
    Ok(month_picture::page(&month::run(args, book.read(), context)?, trader))
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
