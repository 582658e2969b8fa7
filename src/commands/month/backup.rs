//! `backup`: a copy that was read through, its receipts beside it, the oldest gone.

use crate::commands::steps::context::Context;
use crate::commands::steps::context::settings_of;
use crate::domain::value::made::Made;
use crate::error::Error;
use crate::report::keep::copied::CopiedReport;
use crate::store::{
    Book, BookError, FileError, Lacking, Over, Reader, ReceiptFault, copy_receipts, dated_backup, dated_backups,
    lacking_beside, receipts_folder, remove_backup, write,
};
use clap::Args;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Copy the book, with its receipts, and read the copy through.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout backup\n  runabout backup stick.book\n\n\
Without FILE the copy goes to the folder of backups beside the book, dated, and the oldest of those beyond\n\
the setting backup-keep goes. A copy that lacks a receipt says so in a file beside it, .incomplete.txt. Keep one somewhere else too: a stick, another machine.")]
pub struct BackupArgs {
    /// Where the copy goes [beside the book, dated]
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "file")]
    pub replace: bool,
}

/// Copies the book, and drops what is one copy too many.
pub fn run(args: &BackupArgs, book: &mut Book, context: &Context) -> Result<CopiedReport, Error> {
    let reader = book.read();
    let settings = settings_of(reader)?;
    let path = reader.path().to_owned();
    let last_entry = reader.span_of_entries()?.map_or(0, |(_, last)| last);
    let (to, receipts, lacking) = match &args.file {
        Some(file) => copy(file, args.replace, reader)?,
        None => copy_dated(reader, context)?,
    };
    let mut notes = Vec::new();
    if args.file.is_none() {
        for old in too_many(&path, &to, settings.backup_keep)? {
            if let Err(error) = remove_backup(&old) {
                notes.push(format!("{error}: it is one more than backup-keep asks for"));
            }
        }
        notes.push("it is on the same disk: keep a copy somewhere else too, with `runabout backup FILE`".to_owned());
    }
    // A receipt that is gone is gone; one that cannot be read should be in a copy, which is still to be made.
    let unreadable = lacking.iter().any(|lacking| matches!(lacking.fault, ReceiptFault::Unreadable(_)));
    if !unreadable {
        let noted = book.note_backup(context.now, &to, last_entry);
        noted.map_err(|source| Error::CopyNotNoted { copy: to.clone(), source })?;
    }
    if !lacking.is_empty() {
        return Err(Error::CopyIncomplete {
            copy: to,
            lacking: lacking.iter().map(Lacking::to_string).collect(),
            unreadable,
        });
    }
    let receipts = match receipts {
        0 => String::new(),
        1 => ", with 1 receipt new to it".to_owned(),
        some => format!(", with {some} receipts new to it"),
    };
    let said = format!("Copied {last_entry} entries to {}{receipts}; the copy was read through.", to.display());
    Ok(CopiedReport::new("backup", context.today, to.display().to_string(), None, said, notes))
}

/// Where the copy is, how many receipts are new to it, and those it lacks or that are missing beside the book.
type Copied = (PathBuf, usize, Vec<Lacking>);

/// A dated copy beside the book; two in one second are two.
fn copy_dated(reader: Reader<'_>, context: &Context) -> Result<Copied, Error> {
    let mut nth = 1;
    loop {
        let to = dated_backup(reader.path(), context.now, nth);
        let is_free = fs::symlink_metadata(&to).is_err_and(|error| error.kind() == ErrorKind::NotFound);
        match is_free.then(|| copy(&to, false, reader)) {
            None | Some(Err(Error::Book(BookError::File(FileError::InTheWay { .. })))) => nth += 1,
            Some(copied) => return copied,
        }
    }
}

/// Copies the book, then its receipts, and only then gives the copy its name: a copy that is there is whole, or
/// says beside it what it lacks.
fn copy(to: &Path, replace: bool, reader: Reader<'_>) -> Result<Copied, Error> {
    let book = reader.back_up(to, replace)?;
    let named = reader.named_receipts()?;
    let receipts =
        copy_receipts(&named, &receipts_folder(reader.path()), &receipts_folder(to)).map_err(BookError::from)?;
    say_what_lacks(to, receipts.lacking(), reader)?;
    book.finish().map_err(BookError::from)?;
    let (new, lacking) = receipts.keep();
    Ok((to.to_owned(), new, lacking))
}

/// Writes beside a copy what it lacks; when that is nothing, what an earlier try wrote there goes.
fn say_what_lacks(to: &Path, lacking: &[Lacking], reader: Reader<'_>) -> Result<(), Error> {
    let path = lacking_beside(to);
    let lines: Vec<String> = lacking.iter().filter(|lacking| !lacking.is_there).map(Lacking::to_string).collect();
    let made = Made::Lacking;
    if lines.is_empty() {
        if fs::read(&path).is_ok_and(|text| made.is_at(&text)) {
            let gone = fs::remove_file(&path);
            gone.map_err(|source| BookError::from(FileError::Failed { path, source }))?;
        }
        return Ok(());
    }
    let text = format!("{}\n\n{}\n", made.mark(), lines.join("\n"));
    let over = Over { made: Some(made), replace: false, book: Some(reader.path()) };
    Ok(write(&path, text.as_bytes(), over).map_err(BookError::from)?)
}

/// The dated copies beyond so many, the oldest first. The one just made is never among them, whatever the
/// clock said when the others were.
fn too_many(book: &Path, made: &Path, keep: usize) -> Result<Vec<PathBuf>, Error> {
    let mut others = dated_backups(book)?;
    others.retain(|other| other != made);
    let too_many = (others.len() + 1).saturating_sub(keep.max(1));
    others.truncate(too_many);
    Ok(others)
}
