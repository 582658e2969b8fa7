//! Receipts copied from beside one book to beside another: only those the book names, regular files, and only
//! with the content the book remembers. A link in a folder of receipts, or whatever else lies there, is left.

use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::fault::ReceiptFault;
use crate::store::files::receipt_names::hash;
use crate::store::files::{FileError, Part, clear_beside, make_private_folder, new_private_file};
use crate::store::keep::receipt_files::named_in;
use rusqlite::OptionalExtension;
use std::collections::BTreeMap;
use std::fmt;
use std::fs::{self, File, Metadata};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

/// A receipt by its content, as a book names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedReceipt {
    sha256: String,
    extension: String,
    bytes: u64,
    /// What it is called, and of which entry it is. None where the entry was undone: its file stays for the
    /// undo of the undo, but nothing lacks without it.
    told: Option<String>,
}

impl NamedReceipt {
    /// Where its file lies in a folder of receipts.
    pub(crate) fn path_in(&self, folder: &Path) -> PathBuf {
        named_in(folder, &self.sha256, &self.extension)
    }
}

/// A receipt that could not be copied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lacking {
    /// What it is called, and of which entry it is.
    pub receipt: String,
    /// Why.
    pub fault: ReceiptFault,
    /// Whether an earlier copy of it is where this one was to go.
    pub is_there: bool,
}

impl fmt::Display for Lacking {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.receipt, self.fault)?;
        if self.is_there { write!(f, "; it is there from an earlier copy") } else { Ok(()) }
    }
}

/// Receipts copied. Those that were not there before go again unless they are kept.
#[derive(Debug, Default)]
pub struct CopiedReceipts {
    placed: Vec<PathBuf>,
    /// The folder they are in, when it was made for them.
    folder: Option<PathBuf>,
    lacking: Vec<Lacking>,
}

impl CopiedReceipts {
    /// What they were copied for is done: they stay. Gives how many are new, and what is lacking.
    pub fn keep(mut self) -> (usize, Vec<Lacking>) {
        self.folder = None;
        (std::mem::take(&mut self.placed).len(), std::mem::take(&mut self.lacking))
    }

    /// What could not be copied.
    pub fn lacking(&self) -> &[Lacking] {
        &self.lacking
    }
}

impl Drop for CopiedReceipts {
    fn drop(&mut self) {
        // A copy that cannot be taken away is a file nobody points at, and no failure.
        for path in &self.placed {
            let _ = fs::remove_file(path);
        }
        if let Some(folder) = &self.folder {
            let _ = fs::remove_dir(folder);
        }
    }
}

impl Reader<'_> {
    /// Every receipt the book names, and those of entries that were undone.
    pub fn named_receipts(&self) -> Result<Vec<NamedReceipt>, BookError> {
        let known = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'receipt'";
        if self.connection.query_row(known, [], |_| Ok(())).optional()?.is_none() {
            // A copy from before there were receipts.
            return Ok(Vec::new());
        }
        let mut named = BTreeMap::new();
        let mut found = self.connection.prepare(
            "SELECT sha256, extension, bytes, file_name, of_entry FROM receipt
             UNION ALL
             SELECT json_extract(after, '$.sha256'), json_extract(after, '$.extension'),
                 json_extract(after, '$.bytes'), NULL, NULL
             FROM history WHERE table_name = 'receipt' AND json_extract(after, '$.sha256') IS NOT NULL",
        )?;
        let mut rows = found.query([])?;
        while let Some(row) = rows.next()? {
            let (sha256, extension): (String, String) = (row.get(0)?, row.get(1)?);
            let bytes = u64::try_from(row.get::<_, i64>(2)?).unwrap_or_default();
            let told = match (row.get::<_, Option<String>>(3)?, row.get::<_, Option<i64>>(4)?) {
                (Some(name), Some(entry)) => Some(format!("{name} of entry {entry}")),
                _ => None,
            };
            let receipt = NamedReceipt { sha256, extension, bytes, told };
            named.entry((receipt.sha256.clone(), receipt.extension.clone())).or_insert(receipt);
        }
        Ok(named.into_values().collect())
    }
}

/// Copies the receipts named from one folder to another, those that are not there yet.
pub fn copy_receipts(named: &[NamedReceipt], from: &Path, to: &Path) -> Result<CopiedReceipts, FileError> {
    // Here too when there is nothing left to copy.
    clear_beside(&to.join(INCOMING));
    let mut done = CopiedReceipts::default();
    let mut part = None;
    for receipt in named {
        let target = receipt.path_in(to);
        let is_whole = |about: &Metadata| about.is_file() && about.len() == receipt.bytes;
        let is_there = fs::symlink_metadata(&target).is_ok_and(|about| is_whole(&about));
        let source = receipt.path_in(from);
        let fault = match fault_of(&source, receipt.bytes) {
            None if is_there => None,
            None => {
                let part = match &mut part {
                    Some(part) => part,
                    empty => empty.insert(begin(to, &mut done)?),
                };
                let fault = copy_into(part, &source, &target, receipt)?;
                if fault.is_none() {
                    // What is there is not whole: the same content makes it good, and that stays.
                    if fs::symlink_metadata(&target).is_ok() {
                        part.place_over(INCOMING, &target)?;
                    } else {
                        done.placed.push(target.clone());
                        part.place_new(INCOMING, &target)?;
                    }
                }
                fault
            }
            fault => fault,
        };
        if let (Some(fault), Some(receipt)) = (fault, receipt.told.clone()) {
            done.lacking.push(Lacking { receipt, fault, is_there });
        }
    }
    Ok(done)
}

/// What a receipt is called while it is being copied.
const INCOMING: &str = "incoming";

/// Makes the folder if need be, and a part in it.
fn begin(to: &Path, done: &mut CopiedReceipts) -> Result<Part, FileError> {
    let failed = |source| FileError::Failed { path: to.to_owned(), source };
    if !to.is_dir() {
        make_private_folder(to).map_err(failed)?;
        done.folder = Some(to.to_owned());
    }
    Part::beside(&to.join(INCOMING)).map_err(failed)
}

/// What is wrong with a receipt before its content is read.
fn fault_of(source: &Path, bytes: u64) -> Option<ReceiptFault> {
    match fs::symlink_metadata(source) {
        Err(error) if error.kind() == ErrorKind::NotFound => Some(ReceiptFault::Missing),
        Err(error) => Some(ReceiptFault::Unreadable(error.to_string())),
        Ok(about) if about.is_symlink() => Some(ReceiptFault::Unreadable("it is a link".to_owned())),
        Ok(about) if !about.is_file() => Some(ReceiptFault::Unreadable("it is not a file".to_owned())),
        Ok(about) if about.len() != bytes => Some(ReceiptFault::Changed),
        Ok(_) => None,
    }
}

/// Copies one to the disk, and says what is wrong with it when it is not what the book remembers.
fn copy_into(
    part: &Part,
    source: &Path,
    target: &Path,
    receipt: &NamedReceipt,
) -> Result<Option<ReceiptFault>, FileError> {
    /// Either end of a copy may fail.
    enum Fails {
        Reading(io::Error),
        Writing(io::Error),
    }
    let path = part.path(INCOMING);
    let failed = |error| FileError::Failed { path: target.to_owned(), source: error };
    let mut copy = new_private_file(&path).map_err(failed)?;
    let hashed = File::open(source)
        .map_err(Fails::Reading)
        .and_then(|file| hash(file, Fails::Reading, |piece| copy.write_all(piece).map_err(Fails::Writing)));
    let fault = match hashed {
        Ok((sha256, _)) if sha256 == receipt.sha256 => None,
        Ok(_) => Some(ReceiptFault::Changed),
        Err(Fails::Reading(error)) => Some(ReceiptFault::Unreadable(error.to_string())),
        Err(Fails::Writing(error)) => return Err(failed(error)),
    };
    if fault.is_some() {
        drop(copy);
        fs::remove_file(&path).map_err(failed)?;
        return Ok(fault);
    }
    copy.sync_all().map_err(failed)?;
    Ok(None)
}
