//! Whether a book's tables, views, triggers and indexes are the ones this program made: a trigger that is not
//! there keeps no history, and one of somebody else's may change what is recorded.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::schema::versions;
use rusqlite::Connection;
use std::collections::BTreeMap;

/// What [`sum`] comes to for a book of each version, from one with nothing in it on. A test works them out
/// from the migrations.
const MADE: [u64; 8] = [
    0,
    0x5598_7F85_45B1_CFF4,
    0xC1C7_B777_94B2_9D4D,
    0x9FCA_07D4_ED47_74BF,
    0xC06E_B24E_030E_97C6,
    0xC18A_A9C0_8DB0_F60A,
    0xCBA0_B1ED_BF03_4162,
    0xAA6C_6EF1_26D2_2A28,
];

/// Everything there is but what ANALYZE gathers, which says nothing of the book.
const OBJECTS: &str =
    "SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite^_stat%' ESCAPE '^'";

/// Refuses a book whose schema is not the one its version was made with. To be asked within one transaction, so
/// that version and schema belong together.
pub(crate) fn check(connection: &Connection, version: i64) -> Result<(), BookError> {
    let made = usize::try_from(version).ok().and_then(|version| MADE.get(version));
    if made == Some(&sum(connection)?) {
        return Ok(());
    }
    match differing(connection, version)? {
        Some(object) => Err(BookError::Altered(object)),
        None => Ok(()),
    }
}

impl Reader<'_> {
    /// Views and indexes of somebody's own, under names the program does not use: they change nothing.
    pub fn added_by_others(&self) -> Result<Vec<String>, BookError> {
        let known = made_by(versions::newest())?;
        let found = objects(self.connection)?;
        let others = found.iter().filter(|(name, object)| is_harmless(name, object, &known));
        Ok(others.map(|(name, object)| object.called(name)).collect())
    }
}

/// One number for the whole schema, in whatever order it stands: for each object a hash of its kind, its name,
/// its table and its text without white space and double quotes (a table renamed is written with them), all
/// added up. FNV-1a, 64 bits: it finds what happened to a file; against somebody who wants to deceive no number
/// kept in the open would help.
fn sum(connection: &Connection) -> Result<u64, BookError> {
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

/// The schema as this program makes it for a version: costs more than most commands, so it is only made when
/// something differs.
fn made_by(version: i64) -> Result<BTreeMap<String, Object>, BookError> {
    let fresh = Connection::open_in_memory()?;
    versions::make(&fresh, usize::try_from(version).unwrap_or_default())?;
    objects(&fresh)
}

fn is_harmless(name: &str, object: &Object, known: &BTreeMap<String, Object>) -> bool {
    !known.contains_key(name) && matches!(object.kind.as_str(), "view" | "index")
}

/// The first object that is missing, changed or not the program's, in words.
fn differing(connection: &Connection, version: i64) -> Result<Option<String>, BookError> {
    let (known, found) = (made_by(version)?, objects(connection)?);
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

    fn made(version: usize) -> Connection {
        let connection = Connection::open_in_memory().unwrap();
        versions::make(&connection, version).unwrap();
        connection
    }

    /// Each number is that of the migrations; a changed one would refuse every book there is.
    #[test]
    fn every_version_has_the_number_its_migrations_make() {
        let sums: Vec<u64> = (0..MADE.len()).map(|version| sum(&made(version)).unwrap()).collect();
        assert_eq!(MADE.to_vec(), sums, "{sums:#018X?}");
        assert_eq!(i64::try_from(MADE.len()).unwrap(), versions::newest() + 1);
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
