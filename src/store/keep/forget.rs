//! Forgetting a person: where the book holds names, and how one is taken out of every row, of every
//! row's history, and of the file itself. The only writing that changes the history.

use crate::domain::book::blanking::{Blanking, Case};
use crate::domain::book::tables::{Role, TABLES};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::store::book::{Book, Reader};
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::keep::receipts::ReceiptRow;
use crate::store::values::day;
use chrono::NaiveDate;
use rusqlite::params;
use std::collections::BTreeSet;

/// A column that holds somebody's name and nothing else.
struct NameColumn {
    table: &'static str,
    name: &'static str,
    /// The column of the address beside it.
    address: Option<&'static str>,
    /// The column of the day the row is dated.
    dated: &'static str,
}

/// Every column of names. Each of the tables has a `stock_no`.
fn name_columns() -> impl Iterator<Item = NameColumn> {
    TABLES.iter().filter_map(|table| {
        let (name, dated) = table.column_of(Role::Name).zip(table.column_of(Role::Day))?;
        Some(NameColumn { table: table.name, name, address: table.column_of(Role::Address), dated })
    })
}

/// Every column of free text, in which a name may be mentioned: its table, itself, and what it is.
fn text_columns() -> impl Iterator<Item = (&'static str, &'static str, &'static str)> {
    TABLES.iter().flat_map(|table| {
        table.columns.iter().filter_map(|column| match column.role {
            Role::Text(what) => Some((table.name, column.name, what)),
            _ => None,
        })
    })
}

/// A fact that names somebody.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedFact {
    /// The table it stands in: `car`, `sale`, `line`, `movement`, `offer` or `disposal`.
    pub table: &'static str,
    /// The day it is dated.
    pub on: NaiveDate,
    /// The car it is about.
    pub stock_no: Option<StockNo>,
}

/// Free text that mentions a name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mention {
    /// The entry that wrote it.
    pub entry: EntryNo,
    /// What it is.
    pub what: &'static str,
    /// The text.
    pub text: String,
}

impl Reader<'_> {
    /// Every name there is or ever was in a column of names.
    pub fn known_names(&self) -> Result<BTreeSet<String>, BookError> {
        let mut names = BTreeSet::new();
        for NameColumn { table, name, .. } in name_columns() {
            let mut found = self.connection.prepare(&format!(
                "SELECT {name} FROM {table} WHERE {name} IS NOT NULL
                 UNION SELECT json_extract(value, '$.{name}') FROM history, json_each(json_array(before, after))
                     WHERE table_name = '{table}' AND value IS NOT NULL AND json_extract(value, '$.{name}') IS NOT NULL"
            ))?;
            for name in found.query_map([], |row| row.get(0))? {
                names.insert(name?);
            }
        }
        Ok(names)
    }

    /// The facts that stand and hold one of the names.
    pub fn facts_naming(&self, names: &[String]) -> Result<Vec<NamedFact>, BookError> {
        let mut facts = Vec::new();
        let list = json_texts(names);
        for NameColumn { table, name, dated, .. } in name_columns() {
            let mut found = self.connection.prepare(&format!(
                "SELECT {dated}, stock_no FROM {table} WHERE {name} IN (SELECT value FROM json_each(?1))
                 ORDER BY {dated}, 2"
            ))?;
            let rows =
                found.query_map([&list], |row| Ok(NamedFact { table, on: day(row, 0)?, stock_no: row.get(1)? }))?;
            for fact in rows {
                facts.push(fact?);
            }
        }
        Ok(facts)
    }

    /// The addresses that stand, or ever stood, beside one of the names.
    pub fn addresses_of(&self, names: &[String]) -> Result<Vec<String>, BookError> {
        let mut addresses = BTreeSet::new();
        for NameColumn { table, name, address, .. } in name_columns() {
            let Some(address) = address else { continue };
            let mut found = self.connection.prepare(&format!(
                "SELECT DISTINCT json_extract(value, '$.{address}') FROM history, json_each(json_array(before, after))
                 WHERE table_name = '{table}' AND json_extract(value, '$.{address}') IS NOT NULL
                     AND coalesce(json_extract(value, '$.{name}') IN (SELECT value FROM json_each(?1)), true)
                     AND row_no IN ({})",
                rows_naming(table, name)
            ))?;
            for address in found.query_map([json_texts(names)], |row| row.get(0))? {
                addresses.insert(address?);
            }
        }
        Ok(addresses.into_iter().collect())
    }

    /// The entries that changed a row with one of the names in it.
    pub fn entries_naming(&self, names: &[String]) -> Result<BTreeSet<EntryNo>, BookError> {
        let mut entries = BTreeSet::new();
        for NameColumn { table, name, .. } in name_columns() {
            let mut found = self.connection.prepare(&format!(
                "SELECT DISTINCT entry_no FROM history WHERE table_name = '{table}' AND row_no IN ({})",
                rows_naming(table, name)
            ))?;
            for entry in found.query_map([json_texts(names)], |row| row.get(0))? {
                entries.insert(entry?);
            }
        }
        Ok(entries)
    }

    /// The names that stood, before or after, where one of these did: perhaps the same person.
    pub fn names_in_the_same_place(&self, names: &[String]) -> Result<Vec<String>, BookError> {
        let mut others = BTreeSet::new();
        for NameColumn { table, name, .. } in name_columns() {
            let mut found = self.connection.prepare(&format!(
                "SELECT DISTINCT json_extract(value, '$.{name}') FROM history, json_each(json_array(before, after))
                 WHERE table_name = '{table}' AND json_extract(value, '$.{name}') IS NOT NULL
                     AND row_no IN ({})",
                rows_naming(table, name)
            ))?;
            for other in found.query_map([json_texts(names)], |row| row.get::<_, String>(0))? {
                others.insert(other?);
            }
        }
        Ok(others.into_iter().filter(|other| !names.contains(other)).collect())
    }

    /// Free text, as it stands or ever stood, in which one of the names is.
    pub fn mentions(&self, blanking: &Blanking) -> Result<Vec<Mention>, BookError> {
        let mut mentions = BTreeSet::new();
        for (table, column, what) in text_columns() {
            let mut found = self.connection.prepare(&format!(
                "SELECT entry_no, json_extract(value, '$.{column}') FROM history, json_each(json_array(before, after))
                 WHERE table_name = '{table}' AND json_extract(value, '$.{column}') IS NOT NULL
                 ORDER BY history_no"
            ))?;
            let mut seen = BTreeSet::new();
            let mut rows = found.query([])?;
            while let Some(row) = rows.next()? {
                let (entry, text): (EntryNo, String) = (row.get(0)?, row.get(1)?);
                if seen.insert(text.clone()) && blanking.of_text(&text, Case::Ignored).is_some() {
                    mentions.insert(Mention { entry, what, text });
                }
            }
        }
        Ok(mentions.into_iter().collect())
    }

    /// The receipts kept with any of the entries.
    pub fn receipts_of_entries(&self, entries: &BTreeSet<EntryNo>) -> Result<Vec<ReceiptRow>, BookError> {
        let receipts = self.every_receipt()?;
        Ok(receipts.into_iter().filter(|receipt| entries.contains(&receipt.of_entry)).collect())
    }
}

impl Recording<'_> {
    /// Does `work` while the history may be rewritten. The two guards are taken down and put back as
    /// they were, inside this entry's transaction: nobody else ever sees the book without them, and a
    /// failure in between leaves it as it was.
    pub fn rewriting_history<T, E: From<BookError>>(&self, work: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
        let guards = self.take_down_guards()?;
        let done = work()?;
        for guard in guards {
            self.transaction.execute_batch(&guard).map_err(BookError::from)?;
        }
        Ok(done)
    }

    fn take_down_guards(&self) -> Result<Vec<String>, BookError> {
        // Overwrites with zeros what is removed from a page.
        self.transaction.pragma_update(None, "secure_delete", true)?;
        let mut found = self.transaction.prepare(
            "SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND name IN ('history_never_changes', 'history_never_goes')",
        )?;
        let guards = found.query_map([], |row| row.get(0))?.collect::<Result<Vec<String>, _>>()?;
        drop(found);
        self.transaction.execute_batch("DROP TRIGGER history_never_changes; DROP TRIGGER history_never_goes")?;
        Ok(guards)
    }

    /// Puts `becomes` in the place of the names, in every table and every row's history, and takes
    /// away the addresses beside them. Gives how many rows of which table hold it now.
    pub fn replace_names(&self, names: &[String], becomes: &str) -> Result<Vec<(&'static str, usize)>, BookError> {
        let list = json_texts(names);
        let mut counts = Vec::new();
        for NameColumn { table, name, address, .. } in name_columns() {
            let key = self.columns(table)?.row_number().to_owned();
            if let Some(address) = address {
                // Where the row names nobody, before their name was put in or after, it is still their address.
                let is_his = |name: &str| format!("({name} IS NULL OR {name} IN (SELECT value FROM json_each(?1)))");
                let rows = rows_naming(table, name);
                let sql = format!("UPDATE {table} SET {address} = NULL WHERE {} AND {key} IN ({rows})", is_his(name));
                self.transaction.execute(&sql, [&list])?;
                for version in ["before", "after"] {
                    let sql = format!(
                        "UPDATE history SET {version} = json_replace({version}, '$.{address}', NULL)
                         WHERE table_name = '{table}' AND {version} IS NOT NULL AND row_no IN ({rows}) AND {}",
                        is_his(&format!("json_extract({version}, '$.{name}')"))
                    );
                    self.transaction.execute(&sql, [&list])?;
                }
            }
            let changed = self.transaction.execute(
                &format!("UPDATE {table} SET {name} = ?2 WHERE {name} IN (SELECT value FROM json_each(?1))"),
                params![list, becomes],
            )?;
            counts.push((table, changed));
            for version in ["before", "after"] {
                let sql = format!(
                    "UPDATE history SET {version} = json_replace({version}, '$.{name}', ?2)
                     WHERE table_name = '{table}'
                         AND json_extract({version}, '$.{name}') IN (SELECT value FROM json_each(?1))"
                );
                self.transaction.execute(&sql, params![list, becomes])?;
            }
        }
        Ok(counts.into_iter().filter(|(_, changed)| *changed > 0).collect())
    }

    /// Takes the names out of free text, in every table and every row's history.
    pub fn replace_in_texts(&self, blanking: &Blanking) -> Result<(), BookError> {
        for (table, column, _) in text_columns() {
            let key = self.columns(table)?.row_number().to_owned();
            let live = (
                format!("SELECT {key}, {column} FROM {table} WHERE {column} IS NOT NULL"),
                format!("UPDATE {table} SET {column} = ?2 WHERE {key} = ?1"),
            );
            let versions = ["before", "after"].map(|version| {
                (
                    format!(
                        "SELECT history_no, json_extract({version}, '$.{column}') FROM history
                         WHERE table_name = '{table}' AND json_extract({version}, '$.{column}') IS NOT NULL"
                    ),
                    format!(
                        "UPDATE history SET {version} = json_replace({version}, '$.{column}', ?2) WHERE history_no = ?1"
                    ),
                )
            });
            for (select, update) in std::iter::once(live).chain(versions) {
                let mut found = self.transaction.prepare(&select)?;
                let texts: Vec<(i64, String)> =
                    found.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
                for (number, text) in texts {
                    if let Some(blanked) = blanking.of_text(&text, Case::Ignored) {
                        self.transaction.execute(&update, params![number, blanked])?;
                    }
                }
            }
        }
        Ok(())
    }

    /// Takes words out of what entries were typed as and say they recorded: `here` out of the entries
    /// named, whose rows held a name, whatever its capitals; `elsewhere` out of all others, where a word
    /// that is only alike stays. Gives how many entries changed, this one aside.
    pub fn replace_in_entries(
        &self,
        named: &BTreeSet<EntryNo>,
        here: &Blanking,
        elsewhere: &Blanking,
    ) -> Result<usize, BookError> {
        let mut found = self.transaction.prepare("SELECT entry_no, typed, summary FROM entry")?;
        let entries: Vec<(EntryNo, String, String)> =
            found.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?.collect::<Result<_, _>>()?;
        let mut changed = 0;
        for (entry, typed, summary) in entries {
            let is_named = named.contains(&entry) || entry == self.entry();
            let (blanking, case) = if is_named { (here, Case::Ignored) } else { (elsewhere, Case::Counts) };
            let (new_typed, new_summary) = (blanking.of_command(&typed, case), blanking.of_text(&summary, case));
            if new_typed.is_some() || new_summary.is_some() {
                self.transaction.execute(
                    "UPDATE entry SET typed = ?2, summary = ?3 WHERE entry_no = ?1",
                    params![entry, new_typed.unwrap_or(typed), new_summary.unwrap_or(summary)],
                )?;
                changed += usize::from(entry != self.entry());
            }
        }
        Ok(changed)
    }

    /// Takes receipts out of the book as if they had never been kept. Their files are for
    /// [`Book::remove_forgotten_receipts`], once this entry is in the book.
    pub fn drop_receipts(&self, receipts: &[ReceiptRow]) -> Result<(), BookError> {
        for receipt in receipts {
            self.transaction.execute(
                "DELETE FROM history WHERE table_name = 'receipt'
                     AND row_no IN (SELECT receipt_no FROM receipt WHERE of_entry = ?1 AND sha256 = ?2)",
                params![receipt.of_entry, receipt.sha256],
            )?;
            self.transaction.execute(
                "DELETE FROM receipt WHERE of_entry = ?1 AND sha256 = ?2",
                params![receipt.of_entry, receipt.sha256],
            )?;
        }
        Ok(())
    }

    /// Takes away what the history kept of this very entry: there is nothing to put back from it.
    pub fn keep_no_history(&self) -> Result<(), BookError> {
        self.transaction.execute("DELETE FROM history WHERE entry_no = ?1", [self.entry()])?;
        Ok(())
    }
}

impl Book {
    /// Makes the file anew from what is in it, so that nothing is left in pages no longer used or in
    /// their unused ends. Needs room for a second copy.
    pub fn rebuild(&mut self) -> Result<(), BookError> {
        Ok(self.connection.execute_batch("VACUUM")?)
    }
}

/// The numbers of a table's rows that hold, or ever held, one of the names of the first parameter.
fn rows_naming(table: &str, name: &str) -> String {
    format!(
        "SELECT row_no FROM history WHERE table_name = '{table}'
             AND (json_extract(before, '$.{name}') IN (SELECT value FROM json_each(?1))
                 OR json_extract(after, '$.{name}') IN (SELECT value FROM json_each(?1)))"
    )
}

fn json_texts(texts: &[String]) -> String {
    serde_json::Value::from(texts).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_found_with_its_address_and_its_day() {
        let names: Vec<_> =
            name_columns().map(|column| (column.table, column.name, column.address, column.dated)).collect();
        assert_eq!(
            names,
            [
                ("car", "seller", None, "bought_on"),
                ("sale", "buyer", Some("address"), "sold_on"),
                ("line", "party", None, "dated"),
                ("movement", "party", None, "dated"),
                ("offer", "party", None, "dated"),
                ("disposal", "party", None, "dated"),
            ]
        );
        assert_eq!(text_columns().count(), 13);
    }
}
