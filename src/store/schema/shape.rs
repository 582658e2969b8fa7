//! Whether a book's tables, views, triggers and indexes are the ones this program made: a trigger that is not
//! there keeps no history, and one of somebody else's may change what is recorded.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::schema::versions::{LADDER, Ladder};
use rusqlite::Connection;
use std::collections::BTreeMap;

/// Everything there is but what ANALYZE gathers, which says nothing of the book.
const OBJECTS: &str =
    "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite^_stat%' ESCAPE '^'";

/// Refuses a book whose schema is not the one its version was made with. To be asked within one transaction, so
/// that version and schema belong together.
pub(crate) fn check(connection: &Connection, ladder: Ladder, version: i64) -> Result<(), BookError> {
    let made = if version == 0 { Some(0) } else { ladder.version(version).map(|version| version.shape) };
    if made == Some(sum(connection)?) {
        return Ok(());
    }
    match differing(connection, ladder.up_to(version))? {
        Some(object) => Err(BookError::Altered(object)),
        None => Ok(()),
    }
}

impl Reader<'_> {
    /// Views and indexes of somebody's own, under names the program does not use: they change nothing.
    pub fn added_by_others(&self) -> Result<Vec<String>, BookError> {
        let known = made_by(LADDER)?;
        let found = objects(self.connection)?;
        let others = found.iter().filter(|(name, object)| is_harmless(name, object, &known));
        Ok(others.map(|(name, object)| object.called(name)).collect())
    }
}

/// One number for the whole schema, in whatever order it stands: for each object a hash of its kind, its name,
/// its table and its text without white space and double quotes (a table renamed is written with them), all
/// added up. FNV-1a, 64 bits: it finds what happened to a file; against somebody who wants to deceive no number
/// kept in the open would help.
pub(crate) fn sum(connection: &Connection) -> Result<u64, BookError> {
    let mut found = connection.prepare(OBJECTS)?;
    let mut rows = found.query([])?;
    let mut sum = 0_u64;
    while let Some(row) = rows.next()? {
        let mut hash = FNV_OFFSET;
        for column in 0..4 {
            let text =
                row.get_ref(column)?.as_bytes().map_err(|_| BookError::Damaged("its schema is not text".into()))?;
            for byte in text.iter().filter(|byte| !is_dressing(**byte)) {
                hash = (hash ^ u64::from(*byte)).wrapping_mul(FNV_PRIME);
            }
            // Where one ends and the next begins counts too.
            hash = (hash ^ 0xFF).wrapping_mul(FNV_PRIME);
        }
        sum = sum.wrapping_add(hash);
    }
    Ok(sum)
}

const FNV_OFFSET: u64 = 0xCBF2_9CE4_8422_2325;
const FNV_PRIME: u64 = 0x0100_0000_01B3;

const fn is_dressing(byte: u8) -> bool {
    byte.is_ascii_whitespace() || byte == b'"'
}

/// A table, view, trigger or index.
#[derive(Debug, PartialEq, Eq)]
struct Object {
    kind: String,
    table: String,
    text: String,
}

impl Object {
    fn called(&self, name: &str) -> String {
        format!("{} '{name}'", self.kind)
    }
}

fn objects(connection: &Connection) -> Result<BTreeMap<String, Object>, BookError> {
    let mut found = connection.prepare(OBJECTS)?;
    let objects = found
        .query_map([], |row| {
            let text: String = row.get(3)?;
            let text = text.chars().filter(|letter| !letter.is_ascii_whitespace() && *letter != '"').collect();
            Ok((row.get(1)?, Object { kind: row.get(0)?, table: row.get(2)?, text }))
        })?
        .collect::<Result<_, _>>()?;
    Ok(objects)
}

/// The schema as this program makes it: costs more than most commands, so it is only made when something differs.
fn made_by(ladder: Ladder) -> Result<BTreeMap<String, Object>, BookError> {
    let fresh = Connection::open_in_memory()?;
    ladder.make(&fresh)?;
    objects(&fresh)
}

fn is_harmless(name: &str, object: &Object, known: &BTreeMap<String, Object>) -> bool {
    !known.contains_key(name) && matches!(object.kind.as_str(), "view" | "index")
}

/// The first object that is missing, changed or not the program's, in words.
fn differing(connection: &Connection, made: Ladder) -> Result<Option<String>, BookError> {
    let (known, found) = (made_by(made)?, objects(connection)?);
    let missing_or_changed = known.iter().find_map(|(name, made)| match found.get(name) {
        None => Some(format!("its {} is missing", made.called(name))),
        Some(other) if other.kind != made.kind => {
            Some(format!("'{name}' is a {} and should be a {}", other.kind, made.kind))
        }
        Some(other) if other != made => Some(format!("its {} is not as it was made", made.called(name))),
        Some(_) => None,
    });
    let foreign = || {
        let mut others =
            found.iter().filter(|(name, object)| !known.contains_key(*name) && !is_harmless(name, object, &known));
        others.next().map(|(name, object)| format!("the {} in it is none of its own", object.called(name)))
    };
    Ok(missing_or_changed.or_else(foreign))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each number is that of the migrations; a changed one would refuse every book there is.
    #[test]
    fn every_version_has_the_number_its_migrations_make() {
        for version in LADDER.0 {
            let connection = Connection::open_in_memory().unwrap();
            LADDER.up_to(version.number).make(&connection).unwrap();
            let sum = sum(&connection).unwrap();
            assert_eq!(sum, version.shape, "version {}: {sum:#018X}", version.number);
        }
    }

    /// Books of version 7 are in use: what makes one today makes what made them.
    #[test]
    fn a_book_of_version_7_is_made_as_it_always_was() {
        let made = LADDER.version(7).unwrap();
        assert_eq!(made.shape, 0xAA6C_6EF1_26D2_2A28);
        let connection = Connection::open_in_memory().unwrap();
        LADDER.up_to(7).make(&connection).unwrap();
        assert_eq!(objects(&connection).unwrap().len(), 221);
        let headings = "SELECT count(*), max(heading_no), (SELECT seq FROM sqlite_sequence) FROM heading";
        let headings = connection.query_row(headings, [], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).unwrap();
        assert_eq!(headings, (43, 43, 43));
    }

    #[test]
    fn versions_follow_one_another() {
        assert!(LADDER.0.windows(2).all(|pair| pair[1].number == pair[0].number + 1));
        assert_eq!((LADDER.oldest(), LADDER.up_to(6).0.len(), LADDER.up_to(7).newest()), (7, 0, 7));
    }

    /// Dressing and order do not count; a letter does.
    #[test]
    fn the_number_is_of_what_is_said_and_not_of_how_it_is_set() {
        let of = |sql: &str| {
            let connection = Connection::open_in_memory().unwrap();
            connection.execute_batch(sql).unwrap();
            sum(&connection).unwrap()
        };
        let plain = of("CREATE TABLE a (b TEXT); CREATE TABLE c (d TEXT)");
        assert_eq!(of("CREATE TABLE  c (\n d TEXT); CREATE TABLE \"a\" (b   TEXT)"), plain);
        for other in [
            "CREATE TABLE a (b TEXT)",
            "CREATE TABLE a (d TEXT); CREATE TABLE c (b TEXT)",
            "CREATE TABLE a (b TEXT); CREATE TABLE c (d TEXT); CREATE VIEW v AS SELECT 1",
            "CREATE TABLE a (b TEXT); CREATE TABLE c (D TEXT)",
        ] {
            assert_ne!(of(other), plain, "{other}");
        }
        assert_eq!(of("CREATE TABLE a (b TEXT); CREATE TABLE c (d TEXT); INSERT INTO a VALUES ('x'); ANALYZE"), plain);
    }
}
