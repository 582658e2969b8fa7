//! The triggers that keep the history: three a table of facts, made from the table's own columns whenever the schema
//! is made or migrated. A book that is only opened keeps those it has, so that a missing one is seen.

use crate::domain::book::tables::{self, Rows};
use crate::store::book_error::BookError;
use rusqlite::Connection;

/// What happens to a row, as the trigger's name and as SQLite say it, and which of its states there are then.
const EVENTS: [(&str, &str, Option<&str>, Option<&str>); 3] = [
    ("added", "INSERT", None, Some("NEW")),
    ("changed", "UPDATE", Some("OLD"), Some("NEW")),
    ("removed", "DELETE", Some("OLD"), None),
];

/// Every table the history is kept of, in order of name: those whose rows belong to an entry, but for the
/// entries' own. It is asked of the file, which may be of an earlier version than the list of tables.
pub(crate) fn fact_tables(connection: &Connection) -> Result<Vec<String>, BookError> {
    let mut found = connection.prepare(
        "SELECT s.name FROM sqlite_schema s, pragma_table_info(s.name) c
         WHERE s.type = 'table' AND c.name = 'entry_no' ORDER BY s.name",
    )?;
    let mut names: Vec<String> = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    names.retain(|name| tables::table(name).is_none_or(|table| table.rows != Rows::Entries));
    Ok(names)
}

/// The columns of a table, in order; none where there is no such table.
pub(crate) fn column_names(connection: &Connection, table: &str) -> Result<Vec<String>, BookError> {
    let mut found = connection.prepare_cached("SELECT name FROM pragma_table_info(?1) ORDER BY cid")?;
    let names = found.query_map([table], |row| row.get(0))?.collect::<Result<_, _>>()?;
    Ok(names)
}

/// The SQL of a row as JSON; each column is asked for with `of` before its name.
pub(crate) fn row_as_json(columns: &[String], of: &str) -> String {
    let pairs: Vec<String> = columns.iter().map(|name| format!("'{name}', {of}{name}")).collect();
    format!("json_object({})", pairs.join(", "))
}

/// Makes the triggers of every table of facts. The entry's own row is always written first, so the latest entry is
/// the one at work.
pub(crate) fn make(connection: &Connection) -> Result<(), BookError> {
    for table in fact_tables(connection)? {
        let columns = column_names(connection, &table)?;
        let number = columns.first().map_or("", String::as_str);
        let json =
            |row: Option<&str>| row.map_or_else(|| "NULL".to_owned(), |row| row_as_json(&columns, &format!("{row}.")));
        for (event, verb, before, after) in EVENTS {
            let row = after.or(before).unwrap_or_default();
            connection.execute_batch(&format!(
                "CREATE TRIGGER {table}_{event} AFTER {verb} ON {table} BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), '{table}', {row}.{number},
        {},
        {});
END",
                json(before),
                json(after)
            ))?;
        }
    }
    Ok(())
}

/// Takes them away, so that a migration can change the tables; whatever it does to rows is no entry's doing.
pub(crate) fn take_away(connection: &Connection) -> Result<(), BookError> {
    for table in fact_tables(connection)? {
        for (event, ..) in EVENTS {
            connection.execute_batch(&format!("DROP TRIGGER IF EXISTS {table}_{event}"))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::schema::versions::LADDER;

    /// Every column there is stands in the list with what it holds, and none that is not there; in order.
    #[test]
    fn the_list_of_tables_and_the_schema_are_the_same() {
        let connection = Connection::open_in_memory().unwrap();
        LADDER.make(&connection).unwrap();
        let mut found = connection
            .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'sqlite_sequence' ORDER BY rowid")
            .unwrap();
        let found: Vec<String> = found.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        let found: Vec<(String, Vec<String>)> = found
            .into_iter()
            .map(|table| {
                let columns = column_names(&connection, &table).unwrap();
                (table, columns)
            })
            .collect();
        let told: Vec<(String, Vec<String>)> = tables::TABLES
            .iter()
            .map(|table| (table.name.to_owned(), table.columns.iter().map(|column| column.name.to_owned()).collect()))
            .collect();
        assert_eq!(told, found);
        let mut facts: Vec<&str> =
            tables::TABLES.iter().filter(|table| table.rows == Rows::Fact).map(|table| table.name).collect();
        facts.sort_unstable();
        assert_eq!(facts, fact_tables(&connection).unwrap());
    }

    /// The history is only whole if every trigger names every column of its table.
    #[test]
    fn every_table_of_facts_keeps_the_whole_row_in_the_history() {
        let connection = Connection::open_in_memory().unwrap();
        LADDER.make(&connection).unwrap();
        let tables = fact_tables(&connection).unwrap();
        assert!(tables.len() >= 30, "{tables:?}");
        for table in tables {
            for (event, rows) in [("added", &["NEW"][..]), ("changed", &["OLD", "NEW"]), ("removed", &["OLD"])] {
                let sql: String = connection
                    .query_row("SELECT sql FROM sqlite_schema WHERE name = ?1", [format!("{table}_{event}")], |row| {
                        row.get(0)
                    })
                    .unwrap_or_else(|_| panic!("{table} has no trigger {table}_{event}"));
                for row in rows {
                    for column in column_names(&connection, &table).unwrap() {
                        assert!(sql.contains(&format!("'{column}', {row}.{column}")), "{table}_{event}: {column}");
                    }
                }
            }
        }
    }
}
