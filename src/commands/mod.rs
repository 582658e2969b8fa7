//! Which steps a command takes, in which order: one file a command. Nothing here prints, reads
//! the clock or knows SQL; what a rule says is the domain's.

#![allow(clippy::doc_markdown, reason = "comments of arguments are the help, shown as they stand")]
#![allow(rustdoc::broken_intra_doc_links, reason = "[today] in the help is a default, not a link")]

pub mod asking;
pub mod deal;
mod fitting;
pub mod keep;
pub mod law;
pub mod money;
pub mod month;
pub mod morning;
mod offering;
pub mod ready;
pub mod steps;
pub mod think;

pub use fitting::misfit;
pub use offering::{Offered, Wanted, offered};
pub use steps::act::Act;

use crate::cli::{Everywhere, Grammar, Group, Row};
use crate::commands::keep::completions::CompletionsArgs;
use crate::commands::keep::demo::DemoArgs;
use crate::commands::keep::import::ImportArgs;
use crate::commands::keep::manual::ManualArgs;
use crate::commands::keep::restore::RestoreArgs;
use crate::commands::law::export::ExportArgs;
use crate::commands::law::rates::RatesArgs;
use crate::commands::law::stock_book::StockBookArgs;
use crate::commands::month::backup::BackupArgs;
use crate::commands::month::calendar::CalendarArgs;
use crate::commands::month::month::MonthArgs;
use crate::commands::month::page::PageArgs;
use crate::commands::steps::question::Ask;
use clap::{Args, Parser, Subcommand};

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

/// What is typed, for whoever reads or explains a line.
pub const GRAMMAR: Grammar = Grammar::derived::<Cli>(ROWS, GROUPS);

/// What a command line is about.
pub enum Kind<'c> {
    /// The book, which is opened for it.
    OnBook(Act<'c>),
    /// Something else, or the book's file as a whole: the app sees to it.
    Apart(Apart<'c>),
}

/// A command that is neither a recording nor a report of an open book.
pub enum Apart<'c> {
    /// `page`.
    Page(&'c PageArgs),
    /// `calendar`.
    Calendar(&'c CalendarArgs),
    /// `backup`.
    Backup(&'c BackupArgs),
    /// `restore`.
    Restore(&'c RestoreArgs),
    /// `export`.
    Export(&'c ExportArgs),
    /// `rates`.
    Rates(&'c RatesArgs),
    /// `demo`.
    Demo(&'c DemoArgs),
    /// `completions`.
    Completions(&'c CompletionsArgs),
    /// `manual`.
    Manual(&'c ManualArgs),
    /// `month`.
    Month(&'c MonthArgs),
    /// `stock-book`.
    StockBook(&'c StockBookArgs),
    /// `import`.
    Import(&'c ImportArgs),
}

/// Makes the commands from their rows: the enum that clap derives from, what each comes to, and what it asks. The last
/// word of a row is its kind:
///
/// * `records`: it records; `asks`: it records, and has `QUESTIONS` for what is left out.
/// * `looks`: it looks. `either`: `act` says which, by what was typed.
/// * `apart`: it is no report of an open book; `looks_or_apart` and `records_or_apart` where `is_apart` says so.
macro_rules! commands {
    ($($(#[$doc:meta])* $word:literal $name:ident($args:path) $kind:ident),+ $(,)?) => {
        /// The commands.
        #[derive(Debug, Subcommand)]
        #[allow(clippy::large_enum_variant, reason = "there is one, made once")]
        pub enum Command { $($(#[$doc])* #[command(name = $word)] $name($args)),+ }

        impl Command {
            /// What it comes to.
            pub fn kind(&self) -> Kind<'_> {
                match self { $(Self::$name(args) => commands!(@kind $kind $name args)),+ }
            }

            /// What it does with an open book; none where it needs none, or more than that.
            pub fn on_book(&self) -> Option<Act<'_>> {
                match self.kind() {
                    Kind::OnBook(act) => Some(act),
                    Kind::Apart(_) => None,
                }
            }
        }

        /// Each command's word, what makes its arguments, and what it asks.
        const ROWS: &[Row] = &[$(Row { word: $word, arguments: <$args as Args>::augment_args }),+];

        /// What a command asks on a terminal; nothing, for one that does not ask.
        pub(crate) const QUESTIONS: &[(&str, &[Ask])] = &[$(($word, commands!(@asks $kind $args))),+];
    };
    (@kind apart $name:ident $args:ident) => { Kind::Apart(Apart::$name($args)) };
    (@kind looks $name:ident $args:ident) => { Kind::OnBook(Act::Looks($args)) };
    (@kind looks_or_apart $name:ident $args:ident) => {
        if $args.is_apart() { Kind::Apart(Apart::$name($args)) } else { Kind::OnBook(Act::Looks($args)) }
    };
    (@kind records_or_apart $name:ident $args:ident) => {
        if $args.is_apart() { Kind::Apart(Apart::$name($args)) } else { commands!(@kind records $name $args) }
    };
    (@kind either $name:ident $args:ident) => { Kind::OnBook($args.act()) };
    (@kind $records:ident $name:ident $args:ident) => {
        Kind::OnBook(Act::Records { command: $args, dry_run: $args.trying.dry_run })
    };
    (@asks asks $args:path) => { <$args>::QUESTIONS };
    (@asks $other:ident $args:path) => { &[] };
}

commands! {
    // A deal
    /// Record a car bought
    "buy" Buy(deal::buy::BuyArgs) asks,
    /// Set what a car is advertised at
    "ask" Ask(deal::ask::AskArgs) asks,
    /// Record an offer, and see what taking it would make
    "offer" Offer(deal::offer::OfferArgs) asks,
    /// Take a deposit on a car, give it back or keep it
    "deposit" Deposit(deal::deposit::DepositArgs) asks,
    /// Record a car sold
    "sell" Sell(deal::sell::SellArgs) asks,
    /// Take a sold car back from its buyer
    "take-back" TakeBack(deal::take_back::TakeBackArgs) asks,
    /// Record a car scrapped, broken, lost or kept
    "dispose" Dispose(deal::dispose::DisposeArgs) asks,
    /// Give up money a buyer owes and will never pay
    "write-off" WriteOff(deal::write_off::WriteOffArgs) asks,
    /// The most to give for a car, with the workings
    "bid" Bid(deal::bid::BidArgs) looks,
    /// The invoice, credit note or purchase record of a car, for paper
    "invoice" Invoice(deal::invoice::InvoiceArgs) looks,

    // Getting ready
    /// Log your own hours on a car
    "hours" Hours(ready::hours::HoursArgs) asks,
    /// Write a note on a car
    "note" Note(ready::note::NoteArgs) asks,
    /// Give a car a mark, or change it
    "mark" Mark(ready::mark::MarkArgs) asks,
    /// Record an MOT test
    "mot" Mot(ready::mot::MotArgs) asks,
    /// Record vehicle tax, a SORN, or neither
    "tax" Tax(ready::tax::TaxArgs) asks,
    /// Say how an item of the pre-sale list stands
    "check" Check(ready::check::CheckArgs) asks,
    /// Keep a photo or PDF of a bill with an entry
    "receipt" Receipt(ready::receipt::ReceiptArgs) records,

    // Money
    /// Record money spent on a car, on several, or on the yard
    "spend" Spend(money::spend::SpendArgs) asks,
    /// Record money received, other than for selling a car
    "receive" Receive(money::receive::ReceiveArgs) asks,
    /// Log business miles in your own vehicle
    "journey" Journey(money::journey::JourneyArgs) asks,
    /// Put the owner's money, or a loan, into the float
    "pay-in" PayIn(money::pay_in::PayInArgs) asks,
    /// Take the owner's money out of the float, or pay back a loan
    "draw" Draw(money::draw::DrawArgs) asks,
    /// Move money between cash in hand and the bank
    "move" Move(money::move_money::MoveArgs) asks,
    /// Overheads that come round by themselves: rent, insurance
    "standing" Standing(money::standing::StandingArgs) either,
    /// Cash in hand, bank, what is owed and what is tied up
    "cash" Cash(money::cash::CashArgs) looks,

    // Month's end
    /// What a month made, proved against the cash
    "month" Month(MonthArgs) looks_or_apart,
    /// Month by month
    "results" Results(month::results::ResultsArgs) looks,
    /// A page with pictures: the yard, months, float and every car
    "page" Page(PageArgs) apart,
    /// What `due` lists, as a calendar file for a phone
    "calendar" Calendar(CalendarArgs) apart,
    /// Close a month, or open it again
    "close" Close(month::close::CloseArgs) records,
    /// Copy the book, and read the copy through
    "backup" Backup(BackupArgs) apart,

    // Looking and thinking
    /// One car a month: slots, budget, multiple, and the next slot
    "programme" Programme(think::programme::ProgrammeArgs) either,
    /// The float at each month end to come, and how likely
    "forecast" Forecast(think::forecast::ForecastArgs) looks,
    /// The cars on the yard: what each stands in at, what lapses soon
    "stock" Stock(think::stock::StockArgs) looks,
    /// Everything about one car, line by line
    "car" Car(think::car::CarArgs) looks,
    /// What has paid: sold cars by make, age, source, spend
    "lessons" Lessons(think::lessons::LessonsArgs) looks,
    /// Everything dated, soonest first, and what to do about it
    "due" Due(think::due::DueArgs) looks,

    // The law
    /// Dated documents of the business: insurance, licence
    "paper" Paper(law::paper::PaperArgs) either,
    /// A tax year both ways: cash basis and traditional, side by side
    "tax-year" TaxYear(law::tax_year::TaxYearArgs) looks,
    /// The stock book the law asks for, on screen or to print
    "stock-book" StockBook(StockBookArgs) looks_or_apart,
    /// What a VAT return holds, or how near the threshold is
    "vat" Vat(law::vat::VatArgs) looks,
    /// Write the whole book, or a tax year's papers, to a folder
    "export" Export(ExportArgs) apart,
    /// Every rate, threshold and time limit known, with its source
    "rates" Rates(RatesArgs) apart,
    /// Take a person's name and address out of the book for good
    "forget" Forget(law::forget::ForgetArgs) records,

    // Keeping
    /// Mark items of `due` as dealt with
    "done" Done(keep::done::DoneArgs) records,
    /// What was recorded, newest first
    "log" Log(keep::log::LogArgs) looks,
    /// Take back an entry; naming an undo brings back what it took away
    "undo" Undo(keep::undo::UndoArgs) records,
    /// Put right a fact of an entry: price, date, name, heading
    "amend" Amend(keep::amend::AmendArgs) records,
    /// Check the file, every month's proof, closed months, receipts
    "verify" Verify(keep::verify::VerifyArgs) looks,
    /// Put a copy in the place of the book
    "restore" Restore(RestoreArgs) apart,
    /// Take in cars or money from a spreadsheet, or an exported book
    "import" Import(ImportArgs) records_or_apart,
    /// Your name, VAT, headings and what is flagged
    "settings" Settings(keep::settings::SettingsArgs) either,
    /// See every main screen on an invented yard, in a book of its own
    "demo" Demo(DemoArgs) apart,
    /// Print the script that lets a shell complete what you type
    "completions" Completions(CompletionsArgs) apart,
    /// Print the manual, or write its pages for `man`
    "manual" Manual(ManualArgs) apart,
}

/// The order of the help and of the manual. A command that is in no group would be in no help; a test compares.
pub const GROUPS: &[Group] = &[
    Group {
        name: "Record",
        commands: &[
            "buy",
            "spend",
            "receive",
            "hours",
            "journey",
            "note",
            "receipt",
            "mark",
            "mot",
            "tax",
            "check",
            "ask",
            "offer",
            "deposit",
            "sell",
            "take-back",
            "dispose",
            "write-off",
            "pay-in",
            "draw",
            "move",
            "done",
        ],
    },
    Group { name: "Plan", commands: &["programme", "standing", "paper", "bid", "forecast"] },
    Group { name: "Look", commands: &["stock", "car", "month", "results", "cash", "due", "lessons"] },
    Group { name: "Paperwork", commands: &["stock-book", "vat", "tax-year", "rates", "invoice", "page", "calendar"] },
    Group {
        name: "Look after the book",
        commands: &[
            "log",
            "undo",
            "amend",
            "close",
            "import",
            "export",
            "backup",
            "restore",
            "verify",
            "forget",
            "settings",
            "demo",
            "completions",
            "manual",
        ],
    },
];
