//! Answers written whole to a file or to standard output, for another program or for paper: a calendar, a page
//! to print.

use crate::app::output::{hint, print, text_style};
use crate::cli::{Everywhere, Format};
use crate::commands::deal::invoice::InvoiceArgs;
use crate::domain::value::made::Made;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::report::paper::invoice::InvoiceReport;
use crate::store::{self, Over};
use std::path::Path;

/// A file made for somebody.
pub(super) struct File<'f> {
    pub text: String,
    /// Its name where none is typed.
    pub named: String,
    pub made: Made,
    /// Where it is to go, as typed.
    pub out: Option<&'f Path>,
    pub replace: bool,
}

/// Writes it, or prints it where the output is not a terminal and no file is named.
pub(super) fn write(file: &File<'_>, book: &Path, env: &mut Env) -> Result<(), Error> {
    let path = match file.out {
        Some(path) => path,
        None if env.terminal => Path::new(&file.named),
        None => return print(env, &file.text),
    };
    let over = Over { made: Some(file.made), replace: file.replace, book: Some(book) };
    store::write(path, file.text.as_bytes(), over)?;
    hint(env, &format!("written to {}", path.display()));
    Ok(())
}

/// Writes the page of an invoice, unless only its facts were asked for. True when the page is the whole
/// answer: it went to standard output, and what it leaves to be done by hand is said beside it.
pub(super) fn hand_over(
    invoice: &InvoiceReport,
    args: &InvoiceArgs,
    book: &Path,
    everywhere: &Everywhere,
    env: &mut Env,
) -> Result<bool, Error> {
    let out = args.out.as_deref();
    if out.is_none() && everywhere.format != Format::Table {
        return Ok(false);
    }
    let (text, named, made) = (render::html::invoice::page(invoice), invoice.file_name(), invoice.kind.made());
    write(&File { text, named, made, out, replace: args.replacing.replace }, book, env)?;
    let whole = out.is_none() && !env.terminal;
    if whole {
        for note in render::text::text(&invoice.document(), text_style(everywhere, env)).notes {
            hint(env, &format!("note: {note}"));
        }
    }
    Ok(whole)
}
