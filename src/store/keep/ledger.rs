//! What is outside the history and has no second telling: the entries, which cars they are about, the next
//! numbers. Checked by what must hold between them.

use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::fault::Fault;
use crate::store::schema::history_triggers::fact_tables;
use std::collections::BTreeMap;

impl Reader<'_> {
    /// What does not hold among the entries, the cars they are about and the next numbers.
    pub fn ledger_faults(&self) -> Result<Vec<Fault>, BookError> {
        let mut faults = self.entry_faults()?;
        faults.extend(self.entries_of_nothing()?);
        faults.extend(self.cars_never_there()?);
        faults.extend(self.next_number_faults()?);
        Ok(faults)
    }

    /// Entries are numbered without a gap, and stand against each other as their undoing, told again, leaves them.
    fn entry_faults(&self) -> Result<Vec<Fault>, BookError> {
        let mut found = self
            .connection
            .prepare("SELECT entry_no, undoes, undone_by, command, typed FROM entry ORDER BY entry_no")?;
        let mut rows = found.query([])?;
        let (mut faults, mut last) = (Vec::new(), 0);
        let mut stored: BTreeMap<EntryNo, EntryNo> = BTreeMap::new();
        let mut told: BTreeMap<EntryNo, EntryNo> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let (entry, undoes, undone_by): (EntryNo, Option<EntryNo>, Option<EntryNo>) =
                (row.get(0)?, row.get(1)?, row.get(2)?);
            let (command, typed): (String, String) = (row.get(3)?, row.get(4)?);
            if entry != last + 1 {
                faults.push(Fault::new("entry", entry, "the entry before it is missing"));
            }
            last = entry;
            stored.extend(undone_by.map(|by| (entry, by)));
            if let Some(undone) = undoes {
                if undone >= entry || told.contains_key(&undone) {
                    faults.push(Fault::new("entry", entry, format!("it cannot have taken back entry {undone}")));
                }
                // An undo taken back: what it had undone stands again.
                told.retain(|_, by| *by != undone);
                told.insert(undone, entry);
            }
            if undoes.is_some() != (command == "undo") {
                faults.push(Fault::new("entry", entry, "only an undo takes an entry back, and every undo does"));
            }
            // Forgetting a name may blank any word of what was typed.
            if !typed.is_empty() && !typed.contains(&command) && self.first_forgetting()?.is_none() {
                faults.push(Fault::new("entry", entry, format!("'{command}' is not what was typed")));
            }
        }
        for entry in stored.keys().chain(told.keys()).filter(|entry| stored.get(entry) != told.get(entry)) {
            faults.push(Fault::new("entry", *entry, "whether it still stands is not what the undos say"));
        }
        faults.sort_by_key(|fault| fault.row);
        faults.dedup();
        Ok(faults)
    }

    /// Every entry changed something, but for a forgetting, and for a receipt filed whose history was forgotten.
    fn entries_of_nothing(&self) -> Result<Vec<Fault>, BookError> {
        let mut found = self.connection.prepare(
            "SELECT entry_no FROM entry e WHERE NOT EXISTS (SELECT 1 FROM history h WHERE h.entry_no = e.entry_no)
                 AND command <> 'forget'
                 AND NOT EXISTS (SELECT 1 FROM entry f WHERE f.command = 'forget' AND f.entry_no > e.entry_no)",
        )?;
        let faults = found
            .query_map([], |row| Ok(Fault::new("entry", row.get::<_, i64>(0)?, "the history holds nothing of it")))?
            .collect::<Result<_, _>>()?;
        Ok(faults)
    }

    /// Cars an entry is said to be about that never were in the book.
    fn cars_never_there(&self) -> Result<Vec<Fault>, BookError> {
        let mut found = self.connection.prepare(
            "SELECT entry_no, stock_no FROM entry_car a WHERE NOT EXISTS (SELECT 1 FROM car c WHERE c.stock_no = a.stock_no)
                 AND NOT EXISTS (SELECT 1 FROM history h WHERE h.table_name = 'car' AND h.row_no = a.stock_no)",
        )?;
        let faults = found
            .query_map([], |row| {
                let (entry, car): (EntryNo, StockNo) = (row.get(0)?, row.get(1)?);
                Ok(Fault::new("entry_car", entry, format!("it is said to be about car {car}, and there never was one")))
            })?
            .collect::<Result<_, _>>()?;
        let mut strays = self
            .connection
            .prepare("SELECT stock_no FROM open_departure WHERE stock_no NOT IN (SELECT stock_no FROM departure)")?;
        let mut faults: Vec<Fault> = faults;
        for car in strays.query_map([], |row| row.get::<_, i64>(0))? {
            faults.push(Fault::new("open_departure", car?, "the car never left stock"));
        }
        Ok(faults)
    }

    /// The next number of each table follows the last one given, whether or not its row still stands.
    fn next_number_faults(&self) -> Result<Vec<Fault>, BookError> {
        let mut given: BTreeMap<String, i64> = BTreeMap::new();
        let mut found = self.connection.prepare("SELECT table_name, max(row_no) FROM history GROUP BY table_name")?;
        for row in found.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))? {
            let (table, last): (String, i64) = row?;
            given.insert(table, last);
        }
        let mut faults = Vec::new();
        let mut tables = fact_tables(self.connection)?;
        tables.extend(["entry".to_owned(), "backup_made".to_owned()]);
        for table in tables {
            let last_row: Option<i64> =
                self.connection.query_row(&format!("SELECT max(rowid) FROM {table}"), [], |row| row.get(0))?;
            let last = last_row.max(given.get(&table).copied());
            let next = self.next_numbers(&table)?;
            // A setting or heading set once more takes a number and gives it to no row, an export leaves out which
            // copies were made; what forgetting took out of the history may have had the highest.
            let may_be_ahead = match table.as_str() {
                "setting" | "heading" | "backup_made" => true,
                "receipt" => self.first_forgetting()?.is_some(),
                _ => false,
            };
            let holds = match next.as_slice() {
                [] => last.is_none(),
                [kept] => Some(*kept) == last || (last.is_none() && *kept == 0) || (may_be_ahead && Some(*kept) > last),
                _ => false,
            };
            if !holds {
                let what = format!("the last number given in {table} is not {}", last.unwrap_or_default());
                faults.push(Fault::new("sqlite_sequence", None, what));
            }
        }
        Ok(faults)
    }

    fn next_numbers(&self, table: &str) -> Result<Vec<i64>, BookError> {
        let mut found = self.connection.prepare_cached("SELECT seq FROM sqlite_sequence WHERE name = ?1")?;
        let numbers = found.query_map([table], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(numbers)
    }
}
