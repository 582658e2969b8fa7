//! Months closed, the figures kept with them, and what an entry changed, for guarding them.

use crate::domain::book::closing::Columns;
use crate::domain::days::month::Month;
use crate::domain::figures::kept_figures::KeptFigures;
use crate::domain::value::pence::Pence;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::keep::history::{parse, stored};
use crate::store::values::{KeptMonth, LARGEST_KEPT};
use rusqlite::{OptionalExtension, params};

/// A row as an entry found it and left it.
#[derive(Clone, Debug)]
pub struct RowChange {
    /// Its table.
    pub table: String,
    /// Before; none when the entry added it.
    pub before: Option<Columns>,
    /// After; none when the entry removed it.
    pub after: Option<Columns>,
}

impl Reader<'_> {
    /// The latest month closed.
    pub fn latest_closed_month(&self) -> Result<Option<Month>, BookError> {
        let found: Option<KeptMonth> =
            self.connection.prepare_cached("SELECT max(month) FROM closed_month")?.query_row([], |row| row.get(0))?;
        Ok(found.map(|KeptMonth(month)| month))
    }

    /// The figures kept of a month, if it is closed.
    pub fn kept_figures(&self, month: Month) -> Result<Option<KeptFigures>, BookError> {
        let found: Option<String> = self
            .connection
            .prepare_cached("SELECT figures FROM closed_month WHERE month = ?1")?
            .query_row([month.iso()], |row| row.get(0))
            .optional()?;
        found.as_deref().map(figures).transpose()
    }

    /// Every closed month with its figures.
    pub fn closed_months(&self) -> Result<Vec<(Month, KeptFigures)>, BookError> {
        let mut found = self.connection.prepare_cached("SELECT month, figures FROM closed_month ORDER BY month")?;
        let rows: Vec<(KeptMonth, String)> =
            found.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        rows.into_iter().map(|(KeptMonth(month), kept)| Ok((month, figures(&kept)?))).collect()
    }

    /// The rows an entry changed, column by column.
    pub fn row_changes(&self, entry: i64) -> Result<Vec<RowChange>, BookError> {
        let columns = |json: Option<String>| -> Result<Option<Columns>, BookError> {
            let Some(json) = json else { return Ok(None) };
            let row = parse(&json)?;
            row.iter().map(|(name, value)| Ok((name.clone(), stored(Some(value))?))).collect::<Result<_, _>>().map(Some)
        };
        let changes = self.changes(entry)?;
        changes
            .into_iter()
            .map(|change| {
                Ok(RowChange { table: change.table, before: columns(change.before)?, after: columns(change.after)? })
            })
            .collect()
    }
}

impl Recording<'_> {
    /// Closes a month with its figures.
    pub fn add_closed_month(&self, month: Month, figures: &KeptFigures) -> Result<(), BookError> {
        let pence: serde_json::Map<String, serde_json::Value> =
            figures.0.iter().map(|(name, amount)| (name.clone(), amount.get().into())).collect();
        self.transaction.execute(
            "INSERT INTO closed_month (entry_no, month, figures) VALUES (?1, ?2, ?3)",
            params![self.entry(), month.iso(), serde_json::Value::Object(pence).to_string()],
        )?;
        Ok(())
    }

    /// Opens a month and every later one again.
    pub fn remove_closed_months(&self, from: Month) -> Result<(), BookError> {
        self.transaction.execute("DELETE FROM closed_month WHERE month >= ?1", [from.iso()])?;
        Ok(())
    }
}

fn figures(json: &str) -> Result<KeptFigures, BookError> {
    let pence = |value: &serde_json::Value| {
        let pence = value.as_i64().filter(|pence| pence.abs() <= LARGEST_KEPT);
        pence.map(Pence::new).ok_or_else(|| BookError::Foreign(format!("a kept figure of {value}")))
    };
    parse(json)?
        .iter()
        .map(|(name, value)| Ok((name.clone(), pence(value)?)))
        .collect::<Result<_, _>>()
        .map(KeptFigures)
}
