//! `restore`: a copy put in the book's place.

use crate::cli::restore::RestoreArgs;
use crate::commands::Context;
use crate::error::Error;
use crate::report::copied::CopiedReport;
use crate::store::{copy_receipts, restore};
use std::path::Path;

pub fn run(args: &RestoreArgs, book: &Path, context: &Context) -> Result<CopiedReport, Error> {
    let stem = book.file_stem().unwrap_or_default().to_string_lossy();
    let kept_as = book.with_file_name(format!("{stem}-replaced-{}.book", context.now.format("%Y%m%d-%H%M%S")));
    let there = restore(book, &args.file, &kept_as)?;
    copy_receipts(&args.file, book)?;
    let kept = there.then(|| kept_as.display().to_string());
    let was = kept.as_ref().map(|kept| format!(" What was there is kept as {kept}.")).unwrap_or_default();
    let said = format!("The book is now the copy in {}, which was read through.{was}", args.file.display());
    Ok(CopiedReport::new("restore", context.today, book.display().to_string(), kept, said, Vec::new()))
}
