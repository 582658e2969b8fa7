//! What a command needs to know of the world, and the settings in force.

use crate::domain::book::fee_scale::FeeScale;
use crate::domain::book::import_sheet::Sheet;
use crate::domain::book::invoice::Trader;
use crate::domain::book::settings::Settings;
use crate::domain::days::day::WrittenDay;
use crate::domain::law::rate_table::Rates;
use crate::error::Error;
use crate::store::{BookError, Reader};
use chrono::{DateTime, NaiveDate, Utc};
use std::fmt;
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
    pub(crate) fn say(&self, how_far: &str) {
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
    /// The rows of the file named.
    pub(crate) fn sheet(&self) -> Result<&Sheet, Error> {
        self.attached.sheet.as_deref().ok_or_else(|| Error::Ours("no file was read".into()))
    }

    /// The day something happened: as typed, never after today; today when not said.
    pub(crate) fn past_day(&self, typed: Option<&WrittenDay>) -> Result<NaiveDate, Error> {
        Ok(typed.map_or(Ok(self.today), |typed| typed.resolve_past(self.today))?)
    }
}

/// The settings in force.
pub(crate) fn settings_of(reader: Reader<'_>) -> Result<Settings, Error> {
    let stored = reader.settings()?;
    // What was checked when it was set and cannot be read now is damage, and no mistake of whoever types.
    let mut settings = Settings::read(stored.iter().map(|(key, value)| (key.as_str(), value.as_str())))
        .map_err(|error| BookError::Foreign(format!("setting: {error}")))?;
    settings.registration.rates = reader.rates();
    Ok(settings)
}

/// The trader's name, if set.
pub fn trader_name(reader: Reader<'_>) -> Result<Option<String>, Error> {
    let stored = reader.settings()?;
    Ok(Trader::read(stored.iter().map(|(key, value)| (key.as_str(), value.as_str()))).name)
}
