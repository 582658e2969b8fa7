//! Settings and headings.

use crate::domain::value::words::Direction;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use rusqlite::params;

/// A heading as listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeadingRow {
    /// Its word.
    pub name: String,
    /// For money spent or received.
    pub direction: Direction,
    /// The self-employment page's heading it belongs under.
    pub return_heading: String,
    /// Added by the trader, not by the program.
    pub added: bool,
}

impl Reader<'_> {
    /// Every setting made, in order of key.
    pub fn settings(&self) -> Result<Vec<(String, String)>, BookError> {
        let mut found = self.connection.prepare_cached("SELECT key, value FROM setting ORDER BY key")?;
        let settings = found.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        Ok(settings)
    }

    /// Every heading, in order of name.
    pub fn headings(&self) -> Result<Vec<HeadingRow>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT name, direction, return_heading, entry_no IS NOT NULL FROM heading ORDER BY direction, name",
        )?;
        let headings = found
            .query_map([], |row| {
                Ok(HeadingRow {
                    name: row.get(0)?,
                    direction: row.get(1)?,
                    return_heading: row.get(2)?,
                    added: row.get(3)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(headings)
    }
}

impl Recording<'_> {
    /// Sets a setting, or with no value puts it back to its default.
    pub fn set_setting(&self, key: &str, value: Option<&str>) -> Result<(), BookError> {
        match value {
            Some(value) => self.transaction.execute(
                "INSERT INTO setting (entry_no, key, value) VALUES (?1, ?2, ?3)
                 ON CONFLICT (key) DO UPDATE SET value = excluded.value",
                params![self.entry(), key, value],
            )?,
            None => self.transaction.execute("DELETE FROM setting WHERE key = ?1", [key])?,
        };
        Ok(())
    }

    /// Adds a heading, or moves one the trader added under another return heading.
    pub fn set_heading(&self, name: &str, direction: Direction, return_heading: &str) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO heading (entry_no, name, direction, return_heading) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT (name) DO UPDATE SET return_heading = excluded.return_heading",
            params![self.entry(), name, direction, return_heading],
        )?;
        Ok(())
    }
}
