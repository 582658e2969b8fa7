//! Which group each command belongs to: the order of the help and of the manual.

use crate::commands::deal::ask::AskArgs;
use crate::commands::deal::bid::BidArgs;
use crate::commands::deal::buy::BuyArgs;
use crate::commands::deal::deposit::DepositArgs;
use crate::commands::deal::dispose::DisposeArgs;
use crate::commands::deal::invoice::InvoiceArgs;
use crate::commands::deal::offer::OfferArgs;
use crate::commands::deal::sell::SellArgs;
use crate::commands::deal::take_back::TakeBackArgs;
use crate::commands::deal::write_off::WriteOffArgs;
use crate::commands::keep::amend::AmendArgs;
use crate::commands::keep::completions::CompletionsArgs;
use crate::commands::keep::demo::DemoArgs;
use crate::commands::keep::done::DoneArgs;
use crate::commands::keep::import::ImportArgs;
use crate::commands::keep::log::LogArgs;
use crate::commands::keep::manual::ManualArgs;
use crate::commands::keep::restore::RestoreArgs;
use crate::commands::keep::settings::SettingsArgs;
use crate::commands::keep::undo::UndoArgs;
use crate::commands::keep::verify::VerifyArgs;
use crate::commands::law::export::ExportArgs;
use crate::commands::law::forget::ForgetArgs;
use crate::commands::law::paper::PaperArgs;
use crate::commands::law::rates::RatesArgs;
use crate::commands::law::stock_book::StockBookArgs;
use crate::commands::law::tax_year::TaxYearArgs;
use crate::commands::law::vat::VatArgs;
use crate::commands::money::cash::CashArgs;
use crate::commands::money::draw::DrawArgs;
use crate::commands::money::journey::JourneyArgs;
use crate::commands::money::move_money::MoveArgs;
use crate::commands::money::pay_in::PayInArgs;
use crate::commands::money::receive::ReceiveArgs;
use crate::commands::money::spend::SpendArgs;
use crate::commands::money::standing::StandingArgs;
use crate::commands::month::backup::BackupArgs;
use crate::commands::month::calendar::CalendarArgs;
use crate::commands::month::close::CloseArgs;
use crate::commands::month::month::MonthArgs;
use crate::commands::month::page::PageArgs;
use crate::commands::month::results::ResultsArgs;
use crate::commands::ready::check::CheckArgs;
use crate::commands::ready::hours::HoursArgs;
use crate::commands::ready::mark::MarkArgs;
use crate::commands::ready::mot::MotArgs;
use crate::commands::ready::note::NoteArgs;
use crate::commands::ready::receipt::ReceiptArgs;
use crate::commands::ready::tax::TaxArgs;
use crate::commands::think::car::CarArgs;
use crate::commands::think::due::DueArgs;
use crate::commands::think::forecast::ForecastArgs;
use crate::commands::think::lessons::LessonsArgs;
use crate::commands::think::programme::ProgrammeArgs;
use crate::commands::think::stock::StockArgs;
use clap::{Args, Command};

/// A command's name, and what makes its arguments: its full description is in their comment.
pub type Grouped = (&'static str, fn(Command) -> Command);

/// Some commands under one name.
#[derive(Clone, Copy, Debug)]
pub struct Group {
    /// What they are for, as its heading.
    pub name: &'static str,
    /// In order of use.
    pub commands: &'static [Grouped],
}

/// Every command in its group. A command that is in none would be in no help; a test compares.
pub const GROUPS: &[Group] = &[
    Group {
        name: "Record",
        commands: &[
            ("buy", BuyArgs::augment_args),
            ("spend", SpendArgs::augment_args),
            ("receive", ReceiveArgs::augment_args),
            ("hours", HoursArgs::augment_args),
            ("journey", JourneyArgs::augment_args),
            ("note", NoteArgs::augment_args),
            ("receipt", ReceiptArgs::augment_args),
            ("mark", MarkArgs::augment_args),
            ("mot", MotArgs::augment_args),
            ("tax", TaxArgs::augment_args),
            ("check", CheckArgs::augment_args),
            ("ask", AskArgs::augment_args),
            ("offer", OfferArgs::augment_args),
            ("deposit", DepositArgs::augment_args),
            ("sell", SellArgs::augment_args),
            ("take-back", TakeBackArgs::augment_args),
            ("dispose", DisposeArgs::augment_args),
            ("write-off", WriteOffArgs::augment_args),
            ("pay-in", PayInArgs::augment_args),
            ("draw", DrawArgs::augment_args),
            ("move", MoveArgs::augment_args),
            ("done", DoneArgs::augment_args),
        ],
    },
    Group {
        name: "Plan",
        commands: &[
            ("programme", ProgrammeArgs::augment_args),
            ("standing", StandingArgs::augment_args),
            ("paper", PaperArgs::augment_args),
            ("bid", BidArgs::augment_args),
            ("forecast", ForecastArgs::augment_args),
        ],
    },
    Group {
        name: "Look",
        commands: &[
            ("stock", StockArgs::augment_args),
            ("car", CarArgs::augment_args),
            ("month", MonthArgs::augment_args),
            ("results", ResultsArgs::augment_args),
            ("cash", CashArgs::augment_args),
            ("due", DueArgs::augment_args),
            ("lessons", LessonsArgs::augment_args),
        ],
    },
    Group {
        name: "Paperwork",
        commands: &[
            ("stock-book", StockBookArgs::augment_args),
            ("vat", VatArgs::augment_args),
            ("tax-year", TaxYearArgs::augment_args),
            ("rates", RatesArgs::augment_args),
            ("invoice", InvoiceArgs::augment_args),
            ("page", PageArgs::augment_args),
            ("calendar", CalendarArgs::augment_args),
        ],
    },
    Group {
        name: "Look after the book",
        commands: &[
            ("log", LogArgs::augment_args),
            ("undo", UndoArgs::augment_args),
            ("amend", AmendArgs::augment_args),
            ("close", CloseArgs::augment_args),
            ("import", ImportArgs::augment_args),
            ("export", ExportArgs::augment_args),
            ("backup", BackupArgs::augment_args),
            ("restore", RestoreArgs::augment_args),
            ("verify", VerifyArgs::augment_args),
            ("forget", ForgetArgs::augment_args),
            ("settings", SettingsArgs::augment_args),
            ("demo", DemoArgs::augment_args),
            ("completions", CompletionsArgs::augment_args),
            ("manual", ManualArgs::augment_args),
        ],
    },
];
