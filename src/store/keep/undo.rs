//! Undo: an entry's rows are put back as they were before it. What later entries built on them is
//! found first, and named.

use crate::domain::value::numbers::EntryNo;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use rusqlite::params;
use std::collections::BTreeMap;
use thiserror::Error;

/// Why an entry cannot be taken back.
#[derive(Debug, Error)]
pub enum UndoError {
    /// A later entry changed or depends on what this one recorded.
    #[error("entry {0} depends on it")]
    InTheWay(EntryNo),
    /// What it recorded was forgotten since.
    #[error("nothing of it is left")]
    NothingLeft,
    /// The book itself failed.
    #[error(transparent)]
    Book(#[from] BookError),
}

impl Recording<'_> {
    /// Puts back every row `target` changed, and marks it undone by this entry. When `target` is
    /// itself an undo, what it took away stands again.
    pub fn take_back_entry(&self, target: EntryNo) -> Result<(), UndoError> {
        self.transaction.pragma_update(None, "defer_foreign_keys", true).map_err(BookError::from)?;
        let changes = self.read().changes(target)?;
        if changes.is_empty() && self.read().first_forgetting()?.is_some_and(|forgetting| forgetting > target) {
            return Err(UndoError::NothingLeft);
        }
        self.read().needs_whole_history(target)?;
        // An import is thousands of rows in a dozen tables: what is true of a table is asked once.
        let (mut tables, mut links) = (BTreeMap::new(), BTreeMap::new());
        for change in &changes {
            if !tables.contains_key(change.table.as_str()) {
                tables.insert(change.table.as_str(), self.columns(&change.table)?);
                links.insert(change.table.as_str(), self.read().links_to(&change.table)?);
            }
        }
        for change in changes.iter().rev() {
            let Some(columns) = tables.get(change.table.as_str()) else { continue };
            let now = columns.row_now(&self.transaction, change.row)?;
            let known =
                |json: &Option<String>| json.as_deref().map(|json| columns.known_part(json.as_bytes()).to_vec());
            if known(&now) != known(&change.after) {
                let by = self.read().later_entry_on(target, &change.table, change.row)?;
                return Err(UndoError::InTheWay(by.unwrap_or(target)));
            }
            columns.put(&self.transaction, change.row, change.before.as_deref())?;
        }
        for change in changes.iter().filter(|change| change.before.is_none()) {
            let links = links.get(change.table.as_str()).map_or(&[][..], Vec::as_slice);
            if let Some(entry) = self.read().entry_depending_on(change, links)? {
                return Err(UndoError::InTheWay(entry));
            }
        }
        self.mark_undone(target)?;
        Ok(())
    }

    fn mark_undone(&self, target: EntryNo) -> Result<(), BookError> {
        // Undoing an undo: the entry it had taken back stands again.
        self.transaction.execute("UPDATE entry SET undone_by = NULL WHERE undone_by = ?1", [target])?;
        self.transaction
            .execute("UPDATE entry SET undone_by = ?2 WHERE entry_no = ?1", params![target, self.entry()])?;
        self.transaction.execute("UPDATE entry SET undoes = ?2 WHERE entry_no = ?1", params![self.entry(), target])?;
        Ok(())
    }
}
