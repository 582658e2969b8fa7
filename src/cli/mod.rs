//! What can be typed: clap types only, one file a command. The doc comments are the help text.

#![allow(clippy::doc_markdown, reason = "the help is shown as it stands here")]
#![allow(rustdoc::broken_intra_doc_links, reason = "[today] in the help is a default, not a link")]

pub mod fitting;
pub mod groups;
mod help;
pub mod meant;
pub mod misread;
pub mod reference;
pub mod stray;
pub mod unfinished;
mod word_joining;
pub mod words;

pub use crate::cli::help::{Detail, command, examples};
pub use crate::cli::word_joining::{join_words, typed_command};

use crate::cli::help::{detail_asked, options_before_help};
use crate::domain::days::day::WrittenDay;
use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::path::PathBuf;

/// The book of a trader who buys one tired car a month, puts it right and sells it.
#[derive(Debug, Parser)]
#[command(name = "runabout", version, max_term_width = 100, disable_help_subcommand = false)]
pub struct Cli {
    /// Options that go with every command.
    #[command(flatten)]
    pub everywhere: Everywhere,
    /// The command.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Reads the words typed, the program's own name first, for a terminal of that many columns; `is_car` says
/// whether a word alone is a car of the book.
pub fn read(words: Vec<OsString>, width: usize, is_car: &dyn Fn(&str) -> bool) -> Result<Cli, clap::Error> {
    let detail = detail_asked(&words);
    let words = options_before_help(words);
    let matches = command(detail).term_width(width).try_get_matches_from(join_words(words, is_car))?;
    Cli::from_arg_matches(&matches)
}

/// The first example of a command's help, for showing beside an error.
pub fn first_example(name: &str) -> Option<String> {
    examples(Cli::command().find_subcommand(name)?).into_iter().next()
}

/// Options that go with every command.
#[derive(Clone, Debug, Default, Args)]
#[command(next_help_heading = "Everywhere")]
pub struct Everywhere {
    /// The book to use, instead of the one in your data folder [or RUNABOUT_BOOK]
    #[arg(long, global = true, value_name = "FILE")]
    pub book: Option<PathBuf>,
    /// Rates and thresholds of your own, instead of the file beside the book [or RUNABOUT_RATES]
    #[arg(long, global = true, value_name = "FILE")]
    pub rates: Option<PathBuf>,
    /// The day to take as today [or RUNABOUT_TODAY]
    #[arg(long, global = true, value_name = "DATE")]
    pub as_of: Option<WrittenDay>,
    /// How the answer is written: table, json or csv
    #[arg(long, short = 'f', global = true, value_enum, default_value_t = Format::Table, hide_possible_values = true)]
    pub format: Format,
    /// Whether to use colour: auto, always or never
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN", hide_possible_values = true)]
    pub color: Colour,
    /// Never ask; where something needed is missing, refuse
    #[arg(long, global = true)]
    pub yes: bool,
}

/// How the answer is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Table,
    /// One JSON object.
    Json,
    /// RFC 4180 with a header line.
    Csv,
}

/// Whether to use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// On every command that records.
#[derive(Clone, Copy, Debug, Args)]
pub struct Trying {
    /// Do all of it, show the result, keep nothing
    #[arg(long)]
    pub dry_run: bool,
}

/// On every command that writes a file for somebody.
#[derive(Clone, Copy, Debug, Args)]
pub struct Replacing {
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long)]
    pub replace: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
#[allow(clippy::large_enum_variant, reason = "there is one, made once")]
pub enum Command {
    /// Record a car bought
    Buy(crate::commands::deal::buy::BuyArgs),
    /// Record money spent on a car, on several, or on the yard
    Spend(crate::commands::money::spend::SpendArgs),
    /// Record money received, other than for selling a car
    Receive(crate::commands::money::receive::ReceiveArgs),
    /// Log your own hours on a car
    Hours(crate::commands::ready::hours::HoursArgs),
    /// Log business miles in your own vehicle
    Journey(crate::commands::money::journey::JourneyArgs),
    /// Write a note on a car
    Note(crate::commands::ready::note::NoteArgs),
    /// Give a car a mark, or change it
    Mark(crate::commands::ready::mark::MarkArgs),
    /// Record an MOT test
    Mot(crate::commands::ready::mot::MotArgs),
    /// Record vehicle tax, a SORN, or neither
    Tax(crate::commands::ready::tax::TaxArgs),
    /// Say how an item of the pre-sale list stands
    Check(crate::commands::ready::check::CheckArgs),
    /// Set what a car is advertised at
    Ask(crate::commands::deal::ask::AskArgs),
    /// Record an offer, and see what taking it would make
    Offer(crate::commands::deal::offer::OfferArgs),
    /// Take a deposit on a car, give it back or keep it
    Deposit(crate::commands::deal::deposit::DepositArgs),
    /// Record a car sold
    Sell(crate::commands::deal::sell::SellArgs),
    /// Take a sold car back from its buyer
    TakeBack(crate::commands::deal::take_back::TakeBackArgs),
    /// Record a car scrapped, broken, lost or kept
    Dispose(crate::commands::deal::dispose::DisposeArgs),
    /// Give up money a buyer owes and will never pay
    WriteOff(crate::commands::deal::write_off::WriteOffArgs),
    /// Keep a photo or PDF of a bill with an entry
    Receipt(crate::commands::ready::receipt::ReceiptArgs),
    /// Put the owner's money, or a loan, into the float
    PayIn(crate::commands::money::pay_in::PayInArgs),
    /// Take the owner's money out of the float, or pay back a loan
    Draw(crate::commands::money::draw::DrawArgs),
    /// Move money between cash in hand and the bank
    Move(crate::commands::money::move_money::MoveArgs),
    /// Mark items of `due` as dealt with
    Done(crate::commands::keep::done::DoneArgs),
    /// Overheads that come round by themselves: rent, insurance
    Standing(crate::commands::money::standing::StandingArgs),
    /// Dated documents of the business: insurance, licence
    Paper(crate::commands::law::paper::PaperArgs),
    /// One car a month: slots, budget, multiple, and the next slot
    Programme(crate::commands::think::programme::ProgrammeArgs),
    /// The most to give for a car, with the workings
    Bid(crate::commands::deal::bid::BidArgs),
    /// The float at each month end to come, and how likely
    Forecast(crate::commands::think::forecast::ForecastArgs),
    /// The cars on the yard: what each stands in at, what lapses soon
    Stock(crate::commands::think::stock::StockArgs),
    /// Everything about one car, line by line
    Car(crate::commands::think::car::CarArgs),
    /// What a month made, proved against the cash
    Month(crate::commands::month::month::MonthArgs),
    /// Month by month
    Results(crate::commands::month::results::ResultsArgs),
    /// What has paid: sold cars by make, age, source, spend
    Lessons(crate::commands::think::lessons::LessonsArgs),
    /// A tax year both ways: cash basis and traditional, side by side
    TaxYear(crate::commands::law::tax_year::TaxYearArgs),
    /// Cash in hand, bank, what is owed and what is tied up
    Cash(crate::commands::money::cash::CashArgs),
    /// Everything dated, soonest first, and what to do about it
    Due(crate::commands::think::due::DueArgs),
    /// A page with pictures: the yard, months, float and every car
    Page(crate::commands::month::page::PageArgs),
    /// What `due` lists, as a calendar file for a phone
    Calendar(crate::commands::month::calendar::CalendarArgs),
    /// The stock book the law asks for, on screen or to print
    StockBook(crate::commands::law::stock_book::StockBookArgs),
    /// The invoice, credit note or purchase record of a car, for paper
    Invoice(crate::commands::deal::invoice::InvoiceArgs),
    /// What a VAT return holds, or how near the threshold is
    Vat(crate::commands::law::vat::VatArgs),
    /// What was recorded, newest first
    Log(crate::commands::keep::log::LogArgs),
    /// Take back an entry; naming an undo brings back what it took away
    Undo(crate::commands::keep::undo::UndoArgs),
    /// Put right a fact of an entry: price, date, name, heading
    Amend(crate::commands::keep::amend::AmendArgs),
    /// Close a month, or open it again
    Close(crate::commands::month::close::CloseArgs),
    /// Check the file, every month's proof, closed months, receipts
    Verify(crate::commands::keep::verify::VerifyArgs),
    /// Copy the book, and read the copy through
    Backup(crate::commands::month::backup::BackupArgs),
    /// Put a copy in the place of the book
    Restore(crate::commands::keep::restore::RestoreArgs),
    /// Take in cars or money from a spreadsheet, or an exported book
    Import(crate::commands::keep::import::ImportArgs),
    /// Write the whole book, or a tax year's papers, to a folder
    Export(crate::commands::law::export::ExportArgs),
    /// Your name, VAT, headings and what is flagged
    Settings(crate::commands::keep::settings::SettingsArgs),
    /// Every rate, threshold and time limit known, with its source
    Rates(crate::commands::law::rates::RatesArgs),
    /// Take a person's name and address out of the book for good
    Forget(crate::commands::law::forget::ForgetArgs),
    /// See every main screen on an invented yard, in a book of its own
    Demo(crate::commands::keep::demo::DemoArgs),
    /// Print the script that lets a shell complete what you type
    Completions(crate::commands::keep::completions::CompletionsArgs),
    /// Print the manual, or write its pages for `man`
    Manual(crate::commands::keep::manual::ManualArgs),
}
