//! What can be typed: clap types only, one file a command. The doc comments are the help text.

#![allow(clippy::doc_markdown, reason = "the help is shown as it stands here")]
#![allow(rustdoc::broken_intra_doc_links, reason = "[today] in the help is a default, not a link")]

pub mod amend;
pub mod ask;
pub mod backup;
pub mod bid;
pub mod buy;
pub mod calendar;
pub mod car;
pub mod cash;
pub mod check;
pub mod close;
pub mod completions;
pub mod demo;
pub mod deposit;
pub mod dispose;
pub mod done;
pub mod draw;
pub mod due;
pub mod export;
pub mod fitting;
pub mod forecast;
pub mod forget;
pub mod groups;
mod help;
pub mod hours;
pub mod import;
pub mod invoice;
pub mod journey;
pub mod lessons;
pub mod log;
pub mod manual;
pub mod mark;
pub mod meant;
pub mod misread;
pub mod month;
pub mod mot;
pub mod move_money;
pub mod note;
pub mod offer;
pub mod page;
pub mod paper;
pub mod pay_in;
pub mod programme;
pub mod rates;
pub mod receipt;
pub mod receive;
pub mod reference;
pub mod restore;
pub mod results;
pub mod sell;
pub mod settings;
pub mod spend;
pub mod standing;
pub mod stock;
pub mod stock_book;
pub mod stray;
pub mod take_back;
pub mod tax;
pub mod tax_year;
pub mod undo;
pub mod unfinished;
pub mod vat;
pub mod verify;
mod word_joining;
pub mod words;
pub mod write_off;

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
    Buy(buy::BuyArgs),
    /// Record money spent on a car, on several, or on the yard
    Spend(spend::SpendArgs),
    /// Record money received, other than for selling a car
    Receive(receive::ReceiveArgs),
    /// Log your own hours on a car
    Hours(hours::HoursArgs),
    /// Log business miles in your own vehicle
    Journey(journey::JourneyArgs),
    /// Write a note on a car
    Note(note::NoteArgs),
    /// Give a car a mark, or change it
    Mark(mark::MarkArgs),
    /// Record an MOT test
    Mot(mot::MotArgs),
    /// Record vehicle tax, a SORN, or neither
    Tax(tax::TaxArgs),
    /// Say how an item of the pre-sale list stands
    Check(check::CheckArgs),
    /// Set what a car is advertised at
    Ask(ask::AskArgs),
    /// Record an offer, and see what taking it would make
    Offer(offer::OfferArgs),
    /// Take a deposit on a car, give it back or keep it
    Deposit(deposit::DepositArgs),
    /// Record a car sold
    Sell(sell::SellArgs),
    /// Take a sold car back from its buyer
    TakeBack(take_back::TakeBackArgs),
    /// Record a car scrapped, broken, lost or kept
    Dispose(dispose::DisposeArgs),
    /// Give up money a buyer owes and will never pay
    WriteOff(write_off::WriteOffArgs),
    /// Keep a photo or PDF of a bill with an entry
    Receipt(receipt::ReceiptArgs),
    /// Put the owner's money, or a loan, into the float
    PayIn(pay_in::PayInArgs),
    /// Take the owner's money out of the float, or pay back a loan
    Draw(draw::DrawArgs),
    /// Move money between cash in hand and the bank
    Move(move_money::MoveArgs),
    /// Mark items of `due` as dealt with
    Done(done::DoneArgs),
    /// Overheads that come round by themselves: rent, insurance
    Standing(standing::StandingArgs),
    /// Dated documents of the business: insurance, licence
    Paper(paper::PaperArgs),
    /// One car a month: slots, budget, multiple, and the next slot
    Programme(programme::ProgrammeArgs),
    /// The most to give for a car, with the workings
    Bid(bid::BidArgs),
    /// The float at each month end to come, and how likely
    Forecast(forecast::ForecastArgs),
    /// The cars on the yard: what each stands in at, what lapses soon
    Stock(stock::StockArgs),
    /// Everything about one car, line by line
    Car(car::CarArgs),
    /// What a month made, proved against the cash
    Month(month::MonthArgs),
    /// Month by month
    Results(results::ResultsArgs),
    /// What has paid: sold cars by make, age, source, spend
    Lessons(lessons::LessonsArgs),
    /// A tax year both ways: cash basis and traditional, side by side
    TaxYear(tax_year::TaxYearArgs),
    /// Cash in hand, bank, what is owed and what is tied up
    Cash(cash::CashArgs),
    /// Everything dated, soonest first, and what to do about it
    Due(due::DueArgs),
    /// A page with pictures: the yard, months, float and every car
    Page(page::PageArgs),
    /// What `due` lists, as a calendar file for a phone
    Calendar(calendar::CalendarArgs),
    /// The stock book the law asks for, on screen or to print
    StockBook(stock_book::StockBookArgs),
    /// The invoice, credit note or purchase record of a car, for paper
    Invoice(invoice::InvoiceArgs),
    /// What a VAT return holds, or how near the threshold is
    Vat(vat::VatArgs),
    /// What was recorded, newest first
    Log(log::LogArgs),
    /// Take back an entry; naming an undo brings back what it took away
    Undo(undo::UndoArgs),
    /// Put right a fact of an entry: price, date, name, heading
    Amend(amend::AmendArgs),
    /// Close a month, or open it again
    Close(close::CloseArgs),
    /// Check the file, every month's proof, closed months, receipts
    Verify(verify::VerifyArgs),
    /// Copy the book, and read the copy through
    Backup(backup::BackupArgs),
    /// Put a copy in the place of the book
    Restore(restore::RestoreArgs),
    /// Take in cars or money from a spreadsheet, or an exported book
    Import(import::ImportArgs),
    /// Write the whole book, or a tax year's papers, to a folder
    Export(export::ExportArgs),
    /// Your name, VAT, headings and what is flagged
    Settings(settings::SettingsArgs),
    /// Every rate, threshold and time limit known, with its source
    Rates(rates::RatesArgs),
    /// Take a person's name and address out of the book for good
    Forget(forget::ForgetArgs),
    /// See every main screen on an invented yard, in a book of its own
    Demo(demo::DemoArgs),
    /// Print the script that lets a shell complete what you type
    Completions(completions::CompletionsArgs),
    /// Print the manual, or write its pages for `man`
    Manual(manual::ManualArgs),
}
