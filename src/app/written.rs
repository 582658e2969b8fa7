//! Answers written whole to a file or to standard output, for another program or for paper: a calendar,
//! a page to print.

use crate::app::{hint, print, text_style};
use crate::cli::{Command, Everywhere, Format};
use crate::commands::deal::invoice::InvoiceArgs;
use crate::commands::law::stock_book::StockBookArgs;
use crate::commands::month::calendar::CalendarArgs;
use crate::commands::month::month::MonthArgs;
use crate::commands::month::page::PageArgs;
use crate::commands::{self, Context};
use crate::domain::value::made::Made;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::report::paper::invoice::InvoiceReport;
use crate::store::{Book, Over, write};
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
        let (text, named) = match self {
            Self::Calendar(args) => {
                (render::calendar::calendar(&commands::agenda(args, book, context)?), "runabout.ics".to_owned())
            }
            Self::StockBook(args) => {
                let report = commands::stock_book(args, book, context)?;
                (render::html::stock_book::stock_book(&report), report.file_name())
            }
            Self::Page(_) => {
                let page = commands::page(book, context)?;
                (render::html::picture_page::page(Made::YardPage, &page), page.file_name)
            }
            Self::Month(args) => {
                let page = commands::month_page(args, book, context)?;
                (render::html::picture_page::page(Made::MonthPage, &page), page.file_name)
            }
        };
        put(&text, self.place(book.read().path()), &named, env)
    }

    /// Where it goes.
    fn place<'p>(&self, book: &'p Path) -> Place<'p>
    where
        'c: 'p,
    {
        let (made, out, replace) = match self {
            Self::Calendar(args) => (Made::Calendar, &args.out, args.replacing.replace),
            Self::StockBook(args) => (Made::StockBook, &args.out, args.replace),
            Self::Page(args) => (Made::YardPage, &args.out, args.replacing.replace),
            Self::Month(args) => (Made::MonthPage, &args.out, args.replace),
        };
        Place { out: out.as_deref(), over: Over { made: Some(made), replace, book: Some(book) } }
    }
}

/// Where an answer goes, and what it may go over.
#[derive(Clone, Copy)]
struct Place<'p> {
    out: Option<&'p Path>,
    over: Over<'p>,
}

fn put(text: &str, place: Place<'_>, named: &str, env: &mut Env) -> Result<(), Error> {
    let path = match place.out {
        Some(path) => path,
        None if env.terminal => Path::new(named),
        None => return print(env, text),
    };
    // Names and addresses may be in it, so it is its owner's alone.
    write(path, text.as_bytes(), place.over)?;
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
    let over = Over { made: Some(invoice.kind.made()), replace: args.replacing.replace, book: Some(book) };
    put(&render::html::invoice::page(invoice), Place { out, over }, &invoice.file_name(), env)?;
    let whole = out.is_none() && !env.terminal;
    if whole {
        for note in render::text::text(&invoice.document(), text_style(everywhere, env)).notes {
            hint(env, &format!("note: {note}"));
        }
    }
    Ok(whole)
}
