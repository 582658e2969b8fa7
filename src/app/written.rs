//! Answers written whole to a file or to standard output, for another program or for paper: a calendar,
//! a page to print.

use crate::app::{hint, print, text_style};
use crate::cli::calendar::CalendarArgs;
use crate::cli::month::MonthArgs;
use crate::cli::page::PageArgs;
use crate::cli::stock_book::StockBookArgs;
use crate::cli::{Command, Everywhere, Format};
use crate::commands::{self, Context};
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::report::invoice::InvoiceReport;
use crate::store::Book;
use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;

/// A command whose answer is written so.
#[derive(Clone, Copy, Debug)]
pub(super) enum Written<'c> {
    /// What is due, as iCalendar.
    Calendar(&'c CalendarArgs),
    /// The stock book, as HTML.
    StockBook(&'c StockBookArgs),
    /// The yard in pictures.
    Page(&'c PageArgs),
    /// A month in pictures.
    Month(&'c MonthArgs),
}

impl<'c> Written<'c> {
    /// What `command` writes, if it does.
    pub(super) fn by(command: &'c Command) -> Option<Self> {
        match command {
            Command::Calendar(args) => Some(Self::Calendar(args)),
            Command::StockBook(args) if args.html => Some(Self::StockBook(args)),
            Command::Page(args) => Some(Self::Page(args)),
            Command::Month(args) if args.page => Some(Self::Month(args)),
            _ => None,
        }
    }

    /// Makes the whole text, then writes it: to the file named; without one to standard output when that
    /// is not a terminal, else to a file here, which is named.
    pub(super) fn write(self, book: &Book, context: &Context, env: &mut Env) -> Result<(), Error> {
        let (text, out, named) = match self {
            Self::Calendar(args) => {
                let agenda = commands::agenda(args, book, context)?;
                (render::calendar::calendar(&agenda), args.out.as_deref(), "runabout.ics".to_owned())
            }
            Self::StockBook(args) => {
                let report = commands::stock_book(args, book, context)?;
                (render::html::stock_book::stock_book(&report), args.out.as_deref(), report.file_name())
            }
            Self::Page(args) => {
                let page = commands::page(book, context)?;
                (render::html::picture_page::page(&page), args.out.as_deref(), page.file_name)
            }
            Self::Month(args) => {
                let page = commands::month_page(args, book, context)?;
                (render::html::picture_page::page(&page), args.out.as_deref(), page.file_name)
            }
        };
        put(&text, out, &named, env)
    }
}

fn put(text: &str, out: Option<&Path>, named: &str, env: &mut Env) -> Result<(), Error> {
    let path = match out {
        Some(path) => path,
        None if env.terminal => Path::new(named),
        None => return print(env, text),
    };
    write_private(path, text).map_err(|source| Error::CannotWrite { path: path.to_owned(), source })?;
    hint(env, &format!("written to {}", path.display()));
    Ok(())
}

/// Writes the page of an invoice, unless only its facts were asked for. True when the page is the whole
/// answer: it went to standard output, and what it leaves to be done by hand is said beside it.
pub(super) fn hand_over(
    invoice: &InvoiceReport,
    out: Option<&Path>,
    everywhere: &Everywhere,
    env: &mut Env,
) -> Result<bool, Error> {
    if out.is_none() && everywhere.format != Format::Table {
        return Ok(false);
    }
    put(&render::html::invoice::page(invoice), out, &invoice.file_name(), env)?;
    let whole = out.is_none() && !env.terminal;
    if whole {
        for note in render::text::text(&invoice.document(), text_style(everywhere, env)).notes {
            hint(env, &format!("note: {note}"));
        }
    }
    Ok(whole)
}

/// Names and addresses may be in it, so a file made here is its owner's alone.
fn write_private(path: &Path, text: &str) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)?.write_all(text.as_bytes())
}
