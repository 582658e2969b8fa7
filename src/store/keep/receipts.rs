//! Receipts: which file belongs to which entry, and copies that go again when nothing is kept.

use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::keep::receipt_files::{KeptFile, ReceiptError, keep_copy, path_of};
use crate::store::values::Whole;
use chrono::NaiveDate;
use rusqlite::params;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why a receipt was not kept.
#[derive(Debug, Error)]
pub enum KeepError {
    /// The file will not do.
    #[error(transparent)]
    File(#[from] ReceiptError),
    /// It is kept with that entry already.
    #[error("{0} is kept with that entry already")]
    KeptAlready(String),
    /// The book failed.
    #[error(transparent)]
    Book(#[from] BookError),
}

/// A receipt as listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReceiptRow {
    /// The entry it belongs to.
    pub of_entry: EntryNo,
    /// SHA-256 of the file, hexadecimal.
    pub sha256: String,
    /// Its kind, as a file name ends.
    pub extension: String,
    /// Its length.
    pub bytes: u64,
    /// What it was called.
    pub file_name: String,
    /// Where the copy lies.
    pub path: PathBuf,
}

impl Recording<'_> {
    /// Copies a receipt beside the book and files it under `of_entry`; gives its name.
    pub fn keep_receipt(&self, of_entry: EntryNo, source: &Path) -> Result<String, KeepError> {
        let book = self.read().path();
        let copy = keep_copy(book, source)?;
        let name = copy.original_name.clone();
        let there = self.read().receipts_where("of_entry = ?1 AND sha256 = ?2", params![of_entry, copy.sha256]);
        if let Ok(there) = &there
            && !there.is_empty()
        {
            // The copy was there before, so there is none to take away.
            return Err(KeepError::KeptAlready(name));
        }
        let added = there.and_then(|_| self.add_receipt(of_entry, &copy, &name));
        self.copies.made.borrow_mut().push((book.to_owned(), copy));
        added?;
        Ok(name)
    }

    fn add_receipt(&self, of_entry: EntryNo, copy: &KeptFile, name: &str) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO receipt (entry_no, of_entry, sha256, extension, bytes, file_name) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                self.entry(),
                of_entry,
                copy.sha256,
                copy.extension,
                i64::try_from(copy.bytes).unwrap_or(i64::MAX),
                name
            ],
        )?;
        Ok(())
    }
}

impl Reader<'_> {
    /// The receipts of a car's entries that stand and were made by `to`, by entry.
    pub fn receipts_of_car(&self, car: StockNo, to: NaiveDate) -> Result<Vec<ReceiptRow>, BookError> {
        self.receipts_where(
            "of_entry IN (SELECT a.entry_no FROM entry_car a JOIN entry e USING (entry_no)
                 WHERE a.stock_no = ?1 AND e.undone_by IS NULL
                     AND NOT EXISTS (SELECT 1 FROM line l WHERE l.entry_no = e.entry_no AND l.dated > ?2))",
            params![car, to],
        )
    }

    /// Every receipt.
    pub fn every_receipt(&self) -> Result<Vec<ReceiptRow>, BookError> {
        self.receipts_where("true", params![])
    }

    fn receipts_where(&self, condition: &str, values: impl rusqlite::Params) -> Result<Vec<ReceiptRow>, BookError> {
        let book = self.path();
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT of_entry, sha256, extension, bytes, file_name FROM receipt WHERE {condition}
             ORDER BY of_entry, receipt_no"
        ))?;
        let receipts = found
            .query_map(values, |row| {
                let (sha256, extension): (String, String) = (row.get(1)?, row.get(2)?);
                let path = path_of(book, &sha256, &extension);
                Ok(ReceiptRow {
                    of_entry: row.get(0)?,
                    sha256,
                    extension,
                    bytes: row.get::<_, Whole>(3)?.get(),
                    file_name: row.get(4)?,
                    path,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(receipts)
    }
}
