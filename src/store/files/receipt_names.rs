//! How receipts lie beside a book: in which folder, and each named by its content.

use sha2::{Digest, Sha256};
use std::ffi::OsStr;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

pub(crate) const PIECE: usize = 64 * 1024;

/// The folder the receipts of a book lie in, beside it. Copies kept in a folder of backups share one:
/// each receipt is named by its content.
pub fn folder_of(book: &Path) -> PathBuf {
    let backups = book.parent().filter(|folder| folder.extension().is_some_and(|extension| extension == "backups"));
    if let Some(folder) = backups {
        return folder.join("receipts");
    }
    let mut name = book.file_stem().unwrap_or(OsStr::new("book")).to_owned();
    name.push(".receipts");
    book.with_file_name(name)
}

/// The SHA-256 in hexadecimal and the length of everything `content` holds, each piece of it also
/// given to `copy`.
pub(crate) fn hash<E>(
    mut content: impl Read,
    unreadable: impl Fn(io::Error) -> E,
    mut copy: impl FnMut(&[u8]) -> Result<(), E>,
) -> Result<(String, u64), E> {
    let (mut digest, mut bytes, mut buffer) = (Sha256::new(), 0, vec![0; PIECE]);
    loop {
        match content.read(&mut buffer) {
            Ok(0) => break,
            Ok(length) => {
                let piece = buffer.get(..length).unwrap_or_default();
                digest.update(piece);
                copy(piece)?;
                bytes += piece.len() as u64;
            }
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(unreadable(error)),
        }
    }
    Ok((digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect(), bytes))
}
