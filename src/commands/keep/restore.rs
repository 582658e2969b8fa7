//! `restore`: a copy put in the book's place.

use crate::commands::steps::context::Context;
use crate::error::Error;
use crate::report::keep::copied::CopiedReport;
use crate::store::restore;
use clap::Args;
use std::path::{Path, PathBuf};

/// Put a copy in the place of the book; what was there is kept beside it.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout restore stick.book\n  runabout restore stick.book --format json")]
pub struct RestoreArgs {
    /// The copy, made by `backup`
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// Puts the copy in the place of the book, which is not opened for it: it may not open.
pub fn run(args: &RestoreArgs, book: &Path, context: &Context) -> Result<CopiedReport, Error> {
    let restored = restore(book, &args.file, context.now)?;
    let kept = restored.kept_as.map(|kept| kept.display().to_string());
    let was = kept.as_ref().map(|kept| format!(" What was there is kept as {kept}.")).unwrap_or_default();
    let said = format!("The book is now the copy in {}, which was read through.{was}", args.file.display());
    let mut notes: Vec<String> = restored.unconfirmed.map(|error| error.to_string()).into_iter().collect();
    notes.extend(restored.lacking.iter().map(|lacking| format!("a receipt did not come with the copy, {lacking}")));
    Ok(CopiedReport::new("restore", context.today, book.display().to_string(), kept, said, notes))
}
