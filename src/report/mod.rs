//! What each report is: plain structs whose serialisation is the JSON others rely on, each with a
//! [`Document`] for people and CSV. A report lays figures out; the domain works them out.

pub mod car;
pub mod cell;
pub mod document;
#[cfg(test)]
mod fixture;
pub mod keep;
mod left_out;
mod list;
pub mod money;
pub mod month;
pub mod paper;
pub mod phrase;
pub mod picture;
pub mod plan;
mod stamp;
pub mod tax;
pub mod yard;

use crate::report::document::Document;
use serde::Serialize;

/// Makes the enum of every report, each reachable by `into()`.
macro_rules! reports {
    ($($(#[$doc:meta])* $name:ident($report:path)),+ $(,)?) => {
        /// The answer of a command.
        #[derive(Clone, Debug, Serialize)]
        #[serde(untagged)]
        pub enum Report { $($(#[$doc])* $name(Box<$report>)),+ }

        impl Report {
            /// For people, and for CSV.
            pub fn document(&self) -> Document {
                match self { $(Self::$name(report) => report.document()),+ }
            }
        }

        $(impl From<$report> for Report {
            fn from(report: $report) -> Self {
                Self::$name(Box::new(report))
            }
        })+
    };
}

reports! {
    /// The read-back of a recording.
    Recorded(keep::recorded::Recorded),
    /// A month closed.
    Closed(month::closed::ClosedReport),
    /// A name forgotten.
    Forgotten(keep::forgotten::ForgottenReport),
    /// The cars in stock.
    Stock(yard::stock::StockReport),
    /// The stock book.
    StockBook(paper::stock_book::StockBookReport),
    /// One car.
    Car(car::car::CarReport),
    /// Everything dated.
    Due(yard::due::DueReport),
    /// What is due, stock and float on one screen.
    Morning(yard::morning::MorningReport),
    /// The papers of the business.
    Papers(yard::papers::PapersReport),
    /// One month.
    Month(month::month::MonthReport),
    /// Month by month.
    Results(month::results::ResultsReport),
    /// How the programme goes.
    Programme(plan::programme::ProgrammeReport),
    /// The most to give for a car.
    Bid(plan::bid::BidReport),
    /// The road ahead.
    Forecast(plan::forecast::ForecastReport),
    /// What has paid.
    Lessons(plan::lessons::LessonsReport),
    /// A tax year both ways.
    TaxYear(tax::tax_year::TaxYearReport),
    /// What is held and owed.
    Cash(money::cash::CashReport),
    /// The return of a period.
    Vat(tax::vat::VatReport),
    /// Turnover against the registration threshold.
    VatWatch(tax::vat_watch::VatWatchReport),
    /// The statutory figures.
    Rates(tax::rates::RatesReport),
    /// What checking the book found.
    Verify(keep::verify::VerifyReport),
    /// The paper of a deal.
    Invoice(paper::invoice::InvoiceReport),
    /// A copy made or put in the book's place, files written to a folder.
    Copied(keep::copied::CopiedReport),
    /// What was recorded.
    Log(keep::log::LogReport),
    /// The settings.
    Settings(keep::settings::SettingsReport),
    /// The headings money goes under.
    Headings(keep::headings::HeadingsReport),
    /// The standing costs.
    Standing(money::standing::StandingReport),
}

impl Report {
    /// Whether a check found something.
    pub fn found(&self) -> bool {
        match self {
            Self::Due(due) => due.found(),
            Self::Verify(verify) => !verify.findings.is_empty(),
            _ => false,
        }
    }

    /// The names `--part` knows its lists by, the main one first.
    pub fn parts(&self) -> Vec<&'static str> {
        self.document().tables().map(|table| table.name).collect()
    }
}
