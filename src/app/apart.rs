//! Commands that are neither a recording nor a report of an open book: files for somebody, the book's file as a
//! whole, and what needs no book.

use crate::app::context::{beside_book, book_path};
use crate::app::output::{hint, show};
use crate::app::written::{File, write};
use crate::app::{completing, demo, failed_output, manual, whole_book, year_end};
use crate::cli::Everywhere;
use crate::commands::Apart;
use crate::commands::keep::restore;
use crate::commands::law::{rates, stock_book};
use crate::commands::month::{backup, calendar, month, page};
use crate::commands::steps::context::Context;
use crate::domain::value::made::Made;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::report::Report;
use crate::report::keep::copied::CopiedReport;
use crate::store::{Reader, open_to_read};
use std::path::Path;

/// Carries it out and shows what it answers.
pub(super) fn carry_out(apart: &Apart<'_>, everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    match apart {
        Apart::Demo(_) => demo::run(everywhere, env),
        Apart::Completions(args) => completing::script(args.shell, env),
        Apart::Manual(args) => manual::run(args, book_path(everywhere, env).ok().as_deref(), env),
        Apart::Rates(args) => {
            let (_, context) = beside_book(everywhere, env)?;
            show(&rates::run(args, &context)?.into(), None, everywhere, env)
        }
        Apart::Backup(args) => whole_file(everywhere, env, |path, context, _| {
            backup::run(args, &mut open_to_read(path)?.with_rates(context.rates), context)
        }),
        Apart::Restore(args) => whole_file(everywhere, env, |path, context, _| restore::run(args, path, context)),
        Apart::Export(args) => whole_file(everywhere, env, |path, context, _| match args.year {
            Some(year) => year_end::export(args, year, path, context),
            None => whole_book::export(args, open_to_read(path)?.read(), context),
        }),
        Apart::Import(args) => whole_file(everywhere, env, |path, context, env| {
            let read = whole_book::import(&args.file, path, context)?;
            hint(env, &format!("started a new book at {}", path.display()));
            Ok(read)
        }),
        Apart::Calendar(args) => file(everywhere, env, |reader, context| {
            Ok(File {
                text: render::calendar::calendar(&calendar::run(args, reader, context)?),
                named: "runabout.ics".to_owned(),
                made: Made::Calendar,
                out: args.out.as_deref(),
                replace: args.replacing.replace,
            })
        }),
        Apart::StockBook(args) => file(everywhere, env, |reader, context| {
            let report = stock_book::run(args, reader, context)?;
            Ok(File {
                text: render::html::stock_book::stock_book(&report),
                named: report.file_name(),
                made: Made::StockBook,
                out: args.out.as_deref(),
                replace: args.replace,
            })
        }),
        Apart::Page(args) => file(everywhere, env, |reader, context| {
            let page = page::run(reader, context)?;
            Ok(File {
                text: render::html::picture_page::page(Made::YardPage, &page),
                named: page.file_name,
                made: Made::YardPage,
                out: args.out.as_deref(),
                replace: args.replacing.replace,
            })
        }),
        Apart::Month(args) => file(everywhere, env, |reader, context| {
            let page = month::page(args, reader, context)?;
            Ok(File {
                text: render::html::picture_page::page(Made::MonthPage, &page),
                named: page.file_name,
                made: Made::MonthPage,
                out: args.out.as_deref(),
                replace: args.replace,
            })
        }),
    }
}

/// Does what concerns the book's file as a whole, and says what was done.
fn whole_file(
    everywhere: &Everywhere,
    env: &mut Env,
    work: impl FnOnce(&Path, &Context, &mut Env) -> Result<CopiedReport, Error>,
) -> Result<(), Error> {
    let (path, context) = beside_book(everywhere, env)?;
    let report = Report::from(work(&path, &context, env)?);
    let answered = show(&report, None, everywhere, env);
    failed_output::or_tell_it_is_done(answered, &report, env)
}

/// Writes a file made from the book for somebody.
fn file<'f>(
    everywhere: &Everywhere,
    env: &mut Env,
    work: impl FnOnce(Reader<'_>, &Context) -> Result<File<'f>, Error>,
) -> Result<(), Error> {
    let (path, context) = beside_book(everywhere, env)?;
    let made = work(open_to_read(&path)?.with_rates(context.rates).read(), &context)?;
    write(&made, &path, env)
}
