//! The schema by version: a file of SQL makes each version out of the one before it, the first out of nothing.
//! `user_version` says which a book is of.

use crate::store::book_error::BookError;
use crate::store::schema::history_triggers;
use rusqlite::Connection;

/// A version of the book's schema.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Version {
    /// Its number.
    pub(crate) number: i64,
    /// What makes it out of the version before.
    pub(crate) script: &'static str,
    /// The number of its whole schema, as `shape` reckons it. A test works it out from the scripts.
    pub(crate) shape: u64,
}

/// Versions that follow one another, the first of them made out of nothing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ladder(pub(crate) &'static [Version]);

/// Every version this program opens. A file once released never changes, nor does its number; a change is a new
/// file. The versions before the first came before any release.
pub(crate) const LADDER: Ladder = Ladder(&[Version {
    number: 7,
    script: include_str!("../../../migrations/0001_book.sql"),
    shape: 0xAA6C_6EF1_26D2_2A28,
}]);

impl Ladder {
    /// The earliest version it knows.
    pub(crate) fn oldest(self) -> i64 {
        self.0.first().map_or(0, |version| version.number)
    }

    /// The version it makes.
    pub(crate) fn newest(self) -> i64 {
        self.0.last().map_or(0, |version| version.number)
    }

    /// The version of that number.
    pub(crate) fn version(self, number: i64) -> Option<&'static Version> {
        self.0.iter().find(|version| version.number == number)
    }

    /// The same up to a version.
    pub(crate) fn up_to(self, number: i64) -> Self {
        Self(&self.0[..self.0.partition_point(|version| version.number <= number)])
    }

    /// Makes its newest schema in a file with nothing in it.
    pub(crate) fn make(self, connection: &Connection) -> Result<(), BookError> {
        self.climb(connection, 0)
    }

    /// Makes its newest schema out of that of version `from`.
    pub(crate) fn climb(self, connection: &Connection, from: i64) -> Result<(), BookError> {
        history_triggers::take_away(connection)?;
        for version in self.0.iter().filter(|version| version.number > from) {
            connection.execute_batch(version.script)?;
        }
        history_triggers::make(connection)
    }
}

/// The version of an open book.
pub(crate) fn version(connection: &Connection) -> rusqlite::Result<i64> {
    connection.pragma_query_value(None, "user_version", |row| row.get(0))
}

/// Whether the file holds nothing at all yet.
pub(crate) fn is_blank(connection: &Connection) -> rusqlite::Result<bool> {
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(tables == 0 && version(connection)? == 0)
}

/// Takes every trigger away, and gives what makes them again.
pub(crate) fn drop_triggers(connection: &Connection) -> Result<Vec<String>, BookError> {
    let triggers: Vec<(String, String)> = connection
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    for (name, _) in &triggers {
        connection.execute_batch(&format!("DROP TRIGGER {name}"))?;
    }
    Ok(triggers.into_iter().map(|(_, sql)| sql).collect())
}
