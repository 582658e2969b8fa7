//! Which group each command belongs to: the order of the help and of the manual.

use crate::cli::amend::AmendArgs;
use crate::cli::ask::AskArgs;
use crate::cli::backup::BackupArgs;
use crate::cli::bid::BidArgs;
use crate::cli::buy::BuyArgs;
use crate::cli::calendar::CalendarArgs;
use crate::cli::car::CarArgs;
use crate::cli::cash::CashArgs;
use crate::cli::check::CheckArgs;
use crate::cli::close::CloseArgs;
use crate::cli::completions::CompletionsArgs;
use crate::cli::demo::DemoArgs;
use crate::cli::deposit::DepositArgs;
use crate::cli::dispose::DisposeArgs;
use crate::cli::done::DoneArgs;
use crate::cli::draw::DrawArgs;
use crate::cli::due::DueArgs;
use crate::cli::export::ExportArgs;
use crate::cli::forecast::ForecastArgs;
use crate::cli::forget::ForgetArgs;
use crate::cli::hours::HoursArgs;
use crate::cli::import::ImportArgs;
use crate::cli::invoice::InvoiceArgs;
use crate::cli::journey::JourneyArgs;
use crate::cli::lessons::LessonsArgs;
use crate::cli::log::LogArgs;
use crate::cli::manual::ManualArgs;
use crate::cli::mark::MarkArgs;
use crate::cli::month::MonthArgs;
use crate::cli::mot::MotArgs;
use crate::cli::move_money::MoveArgs;
use crate::cli::note::NoteArgs;
use crate::cli::offer::OfferArgs;
use crate::cli::page::PageArgs;
use crate::cli::paper::PaperArgs;
use crate::cli::pay_in::PayInArgs;
use crate::cli::programme::ProgrammeArgs;
use crate::cli::rates::RatesArgs;
use crate::cli::receipt::ReceiptArgs;
use crate::cli::receive::ReceiveArgs;
use crate::cli::restore::RestoreArgs;
use crate::cli::results::ResultsArgs;
use crate::cli::sell::SellArgs;
use crate::cli::settings::SettingsArgs;
use crate::cli::spend::SpendArgs;
use crate::cli::standing::StandingArgs;
use crate::cli::stock::StockArgs;
use crate::cli::stock_book::StockBookArgs;
use crate::cli::take_back::TakeBackArgs;
use crate::cli::tax::TaxArgs;
use crate::cli::tax_year::TaxYearArgs;
use crate::cli::undo::UndoArgs;
use crate::cli::vat::VatArgs;
use crate::cli::verify::VerifyArgs;
use crate::cli::write_off::WriteOffArgs;
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
