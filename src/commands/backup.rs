//! `backup`: a copy that was read through, its receipts beside it, the oldest gone.

use crate::cli::backup::BackupArgs;
use crate::commands::Context;
use crate::domain::settings::Settings;
use crate::error::Error;
use crate::report::copied::CopiedReport;
use crate::store::{Book, copy_receipts, dated_backups, remove_backup};
use std::path::{Path, PathBuf};

pub fn run(args: &BackupArgs, settings: &Settings, book: &mut Book, context: &Context) -> Result<CopiedReport, Error> {
    let reader = book.read();
    let path = reader.path();
    let last_entry = reader.span_of_entries()?.map_or(0, |(_, last)| last);
    let to = args.file.clone().unwrap_or_else(|| dated(&path, context));
    reader.back_up(&to)?;
    let receipts = copy_receipts(&path, &to)?;
    let mut notes = Vec::new();
    if args.file.is_none() {
        for old in dated_backups(&path)?.iter().rev().skip(settings.backup_keep) {
            remove_backup(old)?;
        }
        notes.push("it is on the same disk: keep a copy somewhere else too, with `runabout backup FILE`".to_owned());
    }
    book.note_backup(context.now, &to, last_entry)?;
    let receipts = match receipts {
        0 => String::new(),
        1 => ", with 1 receipt new to it".to_owned(),
        some => format!(", with {some} receipts new to it"),
    };
    let said = format!("Copied {last_entry} entries to {}{receipts}; the copy was read through.", to.display());
    Ok(CopiedReport::new("backup", context.today, to.display().to_string(), None, said, notes))
}

/// `runabout.backups/runabout-20261125-140531.book`, beside the book.
fn dated(book: &Path, context: &Context) -> PathBuf {
    let stem = book.file_stem().unwrap_or_default().to_string_lossy();
    let name = format!("{stem}-{}.book", context.now.format("%Y%m%d-%H%M%S"));
    book.with_extension("backups").join(name)
}
