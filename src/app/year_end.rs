//! `export DIR --year`: what an accountant asks for, made by the very commands that show it, a file each,
//! with a list of contents.

use crate::app::demo::parse;
use crate::commands::Command;
use crate::commands::law::export::ExportArgs;
use crate::commands::steps::context::Context;
use crate::domain::days::month::Month;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::render;
use crate::report::Report;
use crate::report::cell::Cell;
use crate::report::document::{Column, Table};
use crate::report::keep::copied::CopiedReport;
use crate::store::{FileError, MayGo, holds_only, new_folder, open_to_read};
use chrono::NaiveDate;
use std::collections::BTreeSet;
use std::path::Path;

/// A file: its name, the command that makes it, the list of it, what it holds.
type Wanted = (String, String, Option<&'static str>, &'static str);

/// The list of what the folder holds.
const CONTENTS: &str = "contents.csv";

/// Writes the folder, which must be new.
pub(super) fn export(args: &ExportArgs, year: TaxYear, book: &Path, context: &Context) -> Result<CopiedReport, Error> {
    let folder = &args.folder;
    if year.first_day() > context.today {
        return Err(Refusal::NothingBefore { what: format!("the tax year {year} has not begun") }.into());
    }
    let earlier = args.replace.then_some(&is_export as MayGo<'_>);
    let files = new_folder(folder, earlier, |inside| -> Result<_, Error> {
        let last = year.last_day().min(context.today);
        let ours = |error: csv::Error| Error::Ours(error.to_string());
        let mut contents = contents();
        for (name, line, part, holds) in wanted(year, last) {
            let report = answer(&line, book, context)?;
            let document = report.document();
            let Some(table) = document.part(part) else { continue };
            inside.write(&name, render::csv::table_csv(table).map_err(ours)?.as_bytes())?;
            contents.row(vec![Cell::text(name), Cell::text(holds), Cell::text(format!("runabout {line}"))]);
        }
        let line = format!("stock-book --from {} --to {last}", year.first_day());
        if let Report::StockBook(report) = answer(&line, book, context)? {
            let name = "stock-book.html";
            inside.write(name, render::html::stock_book::stock_book(&report).as_bytes())?;
            let shown = format!("runabout {line} --html");
            contents.row(vec![Cell::text(name), Cell::text("the stock book, to print"), Cell::text(shown)]);
        }
        inside.write(CONTENTS, render::csv::table_csv(&contents).map_err(ours)?.as_bytes())?;
        Ok(contents.rows.len())
    })?;
    let said = format!("Wrote {files} files for {year} to {}; contents.csv lists them.", folder.display());
    let notes = vec![
        "it holds names and addresses; a record, not advice: your accountant decides what goes on a return".into(),
    ];
    Ok(CopiedReport::new("export", context.today, folder.display().to_string(), None, said, notes))
}

/// Whether a folder is a tax year's papers as they were written, with nothing of anybody's beside.
fn is_export(folder: &Path) -> Result<(), FileError> {
    let listed = std::fs::read_to_string(folder.join(CONTENTS)).unwrap_or_default();
    let mut lines = listed.lines();
    let is_list = lines.next().is_some_and(|header| header == CONTENTS_COLUMNS.join(","));
    let mut ours: BTreeSet<&str> = lines.filter_map(|line| line.split(',').next()).collect();
    ours.insert(CONTENTS);
    holds_only(folder, |path| {
        is_list
            && path.is_file()
            && path.file_name().and_then(|name| name.to_str()).is_some_and(|name| ours.contains(name))
    })
}

const CONTENTS_COLUMNS: [&str; 3] = ["file", "holds", "made_by"];

fn contents() -> Table {
    let columns = CONTENTS_COLUMNS.map(|key| Column::new(key, key).csv_only());
    Table::new("contents", columns.into(), "")
}

/// Every file wanted of a year up to a day.
fn wanted(year: TaxYear, last: NaiveDate) -> Vec<Wanted> {
    let first = year.first_day();
    let span = format!("--from {first} --to {last}");
    let mut wanted: Vec<Wanted> = vec![
        (
            "stock-book.csv".into(),
            format!("stock-book {span}"),
            None,
            "every car: bought, sold or gone, margin, VAT due",
        ),
        ("vat-boxes.csv".into(), format!("vat {span}"), None, "VAT of the whole year, box by box"),
    ];
    let of_the_year = [
        ("boxes", "the return's boxes, cash basis and traditional"),
        ("cash-income", "every receipt, cash basis"),
        ("cash-expenses", "every payment, cash basis"),
        ("traditional-income", "income, traditional"),
        ("traditional-expenses", "expenses, traditional"),
        ("stock", "stock at the start and the end"),
        ("journeys", "business miles at the flat rate"),
        ("equipment", "equipment to keep"),
        ("identity", "why the two bases differ, line by line"),
    ];
    wanted.extend(
        of_the_year
            .map(|(part, holds)| (format!("tax-year-{part}.csv"), format!("tax-year {year}"), Some(part), holds)),
    );
    let months = std::iter::successors(Some(Month::containing(first)), |month| Some(month.next()));
    for month in months.take_while(|month| *month <= Month::containing(last)) {
        for (part, holds) in [
            ("cars-sold", "cars sold in the month"),
            ("overhead-lines", "overheads of the month"),
            ("bridge", "the month's profit proved against the cash"),
        ] {
            wanted.push((
                format!("month-{}-{part}.csv", month.iso()),
                format!("month {}", month.iso()),
                Some(part),
                holds,
            ));
        }
    }
    wanted
}

fn answer(line: &str, book: &Path, context: &Context) -> Result<Report, Error> {
    let cli = parse(&line.split(' ').map(str::to_owned).collect::<Vec<_>>())?;
    let act = cli.command.as_ref().and_then(Command::on_book);
    let act = act.ok_or_else(|| Error::Ours(format!("`{line}` says nothing to do")))?;
    act.carry_out(&mut open_to_read(book)?.with_rates(context.rates), context)
}
