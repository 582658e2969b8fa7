//! What stands at a name a file is to have, and whether it may go for it. A link is followed to the file it
//! leads to. What is asked to be written over must not be a book, a copy of one, or a receipt: not by another
//! name, nor by a link of either kind, and not with `--replace` either.

use crate::domain::value::made::{BEGINNING, Made};
use crate::store::book::APPLICATION_ID;
use crate::store::files::file_error::FileError;
use crate::store::files::receipt_names::{folder_of, hash};
use std::fs::{self, File, Metadata, Permissions};
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

/// What a file may be written over.
#[derive(Clone, Copy, Debug)]
pub struct Over<'a> {
    /// The program's own of this kind; none where it knows none again.
    pub made: Option<Made>,
    /// Whatever else is there, but for books and receipts.
    pub replace: bool,
    /// The book in use: neither it nor its receipts go, by whatever name.
    pub book: Option<&'a Path>,
}

/// What there is.
#[derive(Debug)]
pub(super) enum Stands {
    Nothing,
    /// A device or a pipe.
    Stream,
    /// A file that may go.
    MayGo {
        /// The file, a link followed.
        file: PathBuf,
        /// Who may read it, where it is the program's own and keeps that.
        permissions: Option<Permissions>,
    },
}

pub(super) fn stands_at(typed: &Path, over: Over<'_>) -> Result<Stands, FileError> {
    let failed = FileError::failed(typed);
    if over.book.is_some_and(|book| is_beside(book, typed)) {
        return Err(FileError::IsJournal(typed.to_owned()));
    }
    match fs::symlink_metadata(typed) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Stands::Nothing),
        found => found.map_err(&failed)?,
    };
    let about = match fs::metadata(typed) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Err(FileError::LinkToNothing(typed.to_owned())),
        found => found.map_err(&failed)?,
    };
    if about.is_dir() {
        return Err(FileError::InTheWay { path: typed.to_owned(), is_folder: true });
    }
    if !about.is_file() {
        return Ok(Stands::Stream);
    }
    let file = fs::canonicalize(typed).map_err(&failed)?;
    let beginning = beginning(&file);
    // A file that may not be read is never the program's own.
    let known = beginning.as_deref().unwrap_or_default();
    if is_book(known) || over.book.is_some_and(|book| is_same(book, &file, &about)) {
        return Err(FileError::IsBook(typed.to_owned()));
    }
    if over.made.is_some_and(|made| made.is_at(known)) && !about.permissions().readonly() {
        return Ok(Stands::MayGo { file, permissions: Some(about.permissions()) });
    }
    if !over.replace {
        return Err(FileError::NotOurs { path: typed.to_owned(), made: over.made });
    }
    // It cannot be told what it is, so it may be anything.
    beginning.map_err(&failed)?;
    if about.len() > 0 && file.extension().is_some_and(|ending| ending == "book") {
        return Err(FileError::IsBook(typed.to_owned()));
    }
    if is_named_as_receipt(&file)
        || over.book.map_or(Ok(false), |book| holds_receipt_of(book, &file)).map_err(&failed)?
    {
        return Err(FileError::IsReceipt(typed.to_owned()));
    }
    Ok(Stands::MayGo { file, permissions: None })
}

fn beginning(file: &Path) -> io::Result<Vec<u8>> {
    let mut beginning = Vec::new();
    File::open(file)?.take(BEGINNING as u64).read_to_end(&mut beginning)?;
    Ok(beginning)
}

/// A database that says it is a book (SQLite's file format, sections 1.3.1 and 1.3.16: the words it begins
/// with, and the application's number at byte 68).
fn is_book(beginning: &[u8]) -> bool {
    let says = beginning.get(68..72).and_then(|bytes| <[u8; 4]>::try_from(bytes).ok());
    beginning.starts_with(b"SQLite format 3\0")
        && says.is_some_and(|bytes| i64::from(u32::from_be_bytes(bytes)) == APPLICATION_ID)
}

/// Whether the file is the book, by another name or not: a book that is damaged does not say so itself.
fn is_same(book: &Path, file: &Path, about: &Metadata) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        if let Ok(of_book) = fs::metadata(book)
            && (of_book.dev(), of_book.ino()) == (about.dev(), about.ino())
        {
            return true;
        }
    }
    #[cfg(not(unix))]
    let _ = about;
    fs::canonicalize(book).is_ok_and(|book| book == file)
}

/// Whether a path is one that SQLite uses beside the book while it writes, whether that is there or not.
fn is_beside(book: &Path, path: &Path) -> bool {
    let is_in_its_folder = || {
        let folder = |path: &Path| {
            let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
            fs::canonicalize(folder).ok()
        };
        let book = fs::canonicalize(book).unwrap_or_else(|_| book.to_owned());
        folder(path).is_some_and(|found| folder(&book) == Some(found))
    };
    let book = fs::canonicalize(book).unwrap_or_else(|_| book.to_owned());
    let (Some(book), Some(name)) = (book.file_name(), path.file_name()) else { return false };
    ["-journal", "-wal", "-shm"].iter().any(|ending| {
        let mut beside = book.to_owned();
        beside.push(ending);
        beside == name
    }) && is_in_its_folder()
}

/// Whether a file lies in a folder of receipts under such a name as receipts have, whichever book it is of.
fn is_named_as_receipt(file: &Path) -> bool {
    let in_folder = file.parent().and_then(Path::file_name).is_some_and(|folder| {
        folder == "receipts" || Path::new(folder).extension().is_some_and(|ending| ending == "receipts")
    });
    let is_hash = |name: &str| name.len() == 64 && name.bytes().all(|byte| byte.is_ascii_hexdigit());
    in_folder && file.file_stem().and_then(|name| name.to_str()).is_some_and(is_hash)
}

/// Whether a file holds what a receipt of the book holds: a hard link to it, or a copy.
fn holds_receipt_of(book: &Path, file: &Path) -> io::Result<bool> {
    let bytes = fs::metadata(file)?.len();
    let book = fs::canonicalize(book).unwrap_or_else(|_| book.to_owned());
    let receipts = match fs::read_dir(folder_of(&book)) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(false),
        found => found?,
    };
    let mut of_that_length = Vec::new();
    for receipt in receipts {
        let path = receipt?.path();
        if fs::metadata(&path).is_ok_and(|about| about.len() == bytes) {
            of_that_length.push(path);
        }
    }
    if of_that_length.is_empty() {
        return Ok(false);
    }
    let (sha256, _) = hash(File::open(file)?, |error| error, |_| Ok(()))?;
    Ok(of_that_length.iter().any(|path| path.file_stem().is_some_and(|name| *name == *sha256)))
}
