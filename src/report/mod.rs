//! What each report is: plain structs whose serialisation is the JSON others rely on, each with a
//! [`Document`] for people and CSV. A report lays figures out; the domain works them out.

pub mod agenda;
pub mod bid;
pub mod car;
pub mod car_deals;
mod car_facts;
mod car_lines;
mod car_page;
pub mod cash;
pub mod cell;
pub mod chart;
pub mod choosing;
pub mod closed;
pub mod copied;
pub mod document;
pub mod due;
#[cfg(test)]
mod fixture;
pub mod forecast;
pub mod forgotten;
pub mod headings;
pub mod invoice;
pub mod invoice_page;
pub mod invoice_parts;
pub mod invoice_words;
mod left_out;
pub mod lessons;
pub mod log;
pub mod month;
mod month_page;
pub mod month_picture;
mod month_tables;
pub mod morning;
mod next_slot;
pub mod page;
pub mod papers;
pub mod phrase;
pub mod picture;
pub mod programme;
pub mod rates;
pub mod recorded;
pub mod results;
pub mod settings;
mod stamp;
pub mod standing;
pub mod stock;
pub mod stock_book;
pub mod stock_book_page;
pub mod tax_year;
mod tax_year_lists;
mod tax_year_page;
pub mod vat;
pub mod vat_watch;
pub mod verify;

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
    Recorded(recorded::Recorded),
    /// A month closed.
    Closed(closed::ClosedReport),
    /// A name forgotten.
    Forgotten(forgotten::ForgottenReport),
    /// The cars in stock.
    Stock(stock::StockReport),
    /// The stock book.
    StockBook(stock_book::StockBookReport),
    /// One car.
    Car(car::CarReport),
    /// Everything dated.
    Due(due::DueReport),
    /// What is due, stock and float on one screen.
    Morning(morning::MorningReport),
    /// The papers of the business.
    Papers(papers::PapersReport),
    /// One month.
    Month(month::MonthReport),
    /// Month by month.
    Results(results::ResultsReport),
    /// How the programme goes.
    Programme(programme::ProgrammeReport),
    /// The most to give for a car.
    Bid(bid::BidReport),
    /// The road ahead.
    Forecast(forecast::ForecastReport),
    /// What has paid.
    Lessons(lessons::LessonsReport),
    /// A tax year both ways.
    TaxYear(tax_year::TaxYearReport),
    /// What is held and owed.
    Cash(cash::CashReport),
    /// The return of a period.
    Vat(vat::VatReport),
    /// Turnover against the registration threshold.
    VatWatch(vat_watch::VatWatchReport),
    /// The statutory figures.
    Rates(rates::RatesReport),
    /// What checking the book found.
    Verify(verify::VerifyReport),
    /// The paper of a deal.
    Invoice(invoice::InvoiceReport),
    /// A copy made or put in the book's place, files written to a folder.
    Copied(copied::CopiedReport),
    /// What was recorded.
    Log(log::LogReport),
    /// The settings.
    Settings(settings::SettingsReport),
    /// The headings money goes under.
    Headings(headings::HeadingsReport),
    /// The standing costs.
    Standing(standing::StandingReport),
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
