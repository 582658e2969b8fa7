//! The files of receipts that go when a name is forgotten. They are listed beside the book before its rows
//! forget them, and go afterwards: whoever is stopped in between has them removed by the next `forget`.

use crate::store::book::{Book, Reader};
use crate::store::book_error::BookError;
use crate::store::files::receipt_names::folder_of;
use crate::store::files::{FileError, sync_folder_of};
use crate::store::keep::entries::Recording;
use crate::store::keep::receipt_files::named_in;
use crate::store::keep::receipts::ReceiptRow;
use rusqlite::TransactionBehavior;
use std::collections::BTreeSet;
use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

/// The list, in the folder of receipts: a content and a kind a line, nobody's name.
const LIST: &str = ".runabout-forgotten.part";

impl Recording<'_> {
    /// Lists the files of receipts that this entry takes out of the book, for
    /// [`Book::remove_forgotten_receipts`].
    pub fn list_forgotten_receipts(&self, receipts: &[ReceiptRow]) -> Result<(), BookError> {
        if receipts.is_empty() {
            return Ok(());
        }
        let path = folder_of(self.read().path()).join(LIST);
        // A line cut short by an earlier failure ends here.
        let lines: String =
            receipts.iter().map(|receipt| format!("\n{}\t{}", receipt.sha256, receipt.extension)).collect();
        let listed = append(&path, &format!("{lines}\n")).and_then(|()| sync_folder_of(&path));
        listed.map_err(|source| FileError::Failed { path, source }.into())
    }
}

impl Book {
    /// Takes away the files listed that no entry has, nor one that was undone; gives those that could not be,
    /// which stay listed. The book is held for writing meanwhile, so that nobody comes to rely on one that is
    /// about to go.
    pub fn remove_forgotten_receipts(&mut self) -> Result<Vec<(PathBuf, io::Error)>, BookError> {
        let folder = folder_of(&self.path);
        let path = folder.join(LIST);
        let listed = match fs::read_to_string(&path) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            listed => listed.map_err(|source| BookError::CannotOpen { path: path.clone(), source })?,
        };
        let held = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let named = Reader { connection: &held, path: &self.path, rates: self.rates }.named_receipts()?;
        let needed: BTreeSet<PathBuf> = named.iter().map(|receipt| receipt.path_in(&folder)).collect();
        let files = listed.lines().filter_map(|line| line.split_once('\t'));
        let files = files.map(|(sha256, extension)| named_in(&folder, sha256, extension));
        let mut failed = Vec::new();
        for file in files.filter(|file| !needed.contains(file)).chain([path.clone()]) {
            // The list goes last, and stays while something on it does.
            if failed.is_empty() || file != path {
                match fs::remove_file(&file) {
                    Err(error) if error.kind() != ErrorKind::NotFound => failed.push((file, error)),
                    _ => {}
                }
            }
        }
        Ok(failed)
    }
}

fn append(path: &Path, text: &str) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.create(true).append(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}
