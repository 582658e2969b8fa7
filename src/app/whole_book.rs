//! `export DIR` and `import DIR`: the whole book as CSV files and back, its receipts beside them.

use crate::app::private;
use crate::commands::Context;
use crate::error::Error;
use crate::report::cell::{guard, unguard};
use crate::report::copied::CopiedReport;
use crate::store::{
    Book, BookError, Filling, FillingError, Reader, TableShape, copy_receipts_between, receipts_folder,
};
use csv::{ReaderBuilder, StringRecord, Terminator, WriterBuilder};
use std::fs;
use std::path::Path;

/// Says which version of the book's tables the files hold.
const VERSION_FILE: &str = "book-version.txt";
const RECEIPTS: &str = "receipts";

fn cannot_write(path: &Path) -> impl Fn(std::io::Error) -> Error + '_ {
    |source| Error::CannotWrite { path: path.to_owned(), source }
}

fn cannot_read(path: &Path) -> impl Fn(std::io::Error) -> Error + '_ {
    |source| Error::CannotRead { path: path.to_owned(), source }
}

/// Writes every table of the book to a file of its own in a new folder.
pub fn export(folder: &Path, reader: Reader<'_>, context: &Context) -> Result<CopiedReport, Error> {
    private::new_folder(folder)?;
    let mut rows = 0_u64;
    for table in reader.table_shapes()? {
        let path = folder.join(format!("{}.csv", table.name));
        rows += write_table(&path, &table, reader)?;
    }
    let version = folder.join(VERSION_FILE);
    fs::write(&version, format!("{}\n", reader.version()?)).map_err(cannot_write(&version))?;
    let receipts = copy_receipts_between(&receipts_folder(&reader.path()), &folder.join(RECEIPTS))?;
    let said = format!(
        "Wrote the whole book to {}: {rows} rows and {receipts} receipts. `runabout import {} --book NEW` reads it back.",
        folder.display(),
        folder.display()
    );
    let notes = vec!["it holds names and addresses: keep it as you keep the book".to_owned()];
    Ok(CopiedReport::new("export", context.today, folder.display().to_string(), None, said, notes))
}

fn write_table(path: &Path, table: &TableShape, reader: Reader<'_>) -> Result<u64, Error> {
    let file = private::new_file(path)?;
    let wrong = |error: csv::Error| Error::CannotWrite { path: path.to_owned(), source: std::io::Error::other(error) };
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(file);
    writer.write_record(table.columns.iter().map(|(name, _)| name)).map_err(wrong)?;
    let mut rows = 0;
    reader.each_row(table, |values| {
        rows += 1;
        let cells = values.iter().map(|value| guard(value.as_deref().unwrap_or_default()));
        writer.write_record(cells.map(std::borrow::Cow::into_owned)).map_err(wrong)
    })?;
    writer.flush().map_err(cannot_write(path))?;
    Ok(rows)
}

/// Fills a new book from the files of a folder.
pub fn import(folder: &Path, book: &mut Book, context: &Context) -> Result<CopiedReport, Error> {
    let version = folder.join(VERSION_FILE);
    let found = fs::read_to_string(&version).map_err(cannot_read(&version))?;
    let known = book.read().version()?;
    if found.trim().parse() != Ok(known) {
        return Err(BookError::OtherVersion { found: found.trim().to_owned(), known }.into());
    }
    let path = book.read().path();
    let mut rows = 0_u64;
    let filling = book.begin_filling()?;
    for table in filling.table_shapes()? {
        rows += read_table(&folder.join(format!("{}.csv", table.name)), &table, &filling)?;
    }
    match filling.finish() {
        Ok(()) => {}
        Err(FillingError::Whole(fault)) => {
            let path = folder.join(format!("{}.csv", fault.table));
            let line = fault.row.map(|row| line_of_row(&path, row)).transpose()?.flatten();
            return Err(Error::BadExport { path, line, why: fault.what });
        }
        Err(FillingError::Row(why)) => return Err(Error::BadExport { path: folder.to_owned(), line: None, why }),
        Err(FillingError::Book(error)) => return Err(error.into()),
    }
    copy_receipts_between(&folder.join(RECEIPTS), &receipts_folder(&path))?;
    let said = format!("Read {rows} rows from {} into a new book at {}.", folder.display(), path.display());
    Ok(CopiedReport::new("import", context.today, path.display().to_string(), None, said, Vec::new()))
}

fn read_table(path: &Path, table: &TableShape, filling: &Filling<'_>) -> Result<u64, Error> {
    let wrong = |error: csv::Error| Error::CannotRead { path: path.to_owned(), source: std::io::Error::other(error) };
    let file = fs::File::open(path).map_err(cannot_read(path))?;
    let mut reader = ReaderBuilder::new().from_reader(file);
    let header = reader.headers().map_err(wrong)?.clone();
    if !header.iter().eq(table.columns.iter().map(|(name, _)| name.as_str())) {
        return Err(cannot_read(path)(std::io::Error::other("its first line does not name the columns of the table")));
    }
    let mut rows = 0;
    for record in reader.records() {
        let record = record.map_err(wrong)?;
        let cells = record.iter().zip(&table.columns);
        let values = cells
            .map(|(cell, (_, may_be_empty))| (!cell.is_empty() || !may_be_empty).then(|| unguard(cell).to_owned()));
        match filling.add_row(table, &values.collect::<Vec<_>>()) {
            Ok(()) => {}
            Err(FillingError::Book(error)) => return Err(error.into()),
            Err(refused) => {
                let line = line_of(path, &record)?;
                return Err(Error::BadExport { path: path.to_owned(), line, why: refused.to_string() });
            }
        }
        rows += 1;
    }
    Ok(rows)
}

/// The line of a table's file on which the row of that number stands; none when it is not there.
fn line_of_row(path: &Path, row: i64) -> Result<Option<u64>, Error> {
    let wrong = |error: csv::Error| Error::CannotRead { path: path.to_owned(), source: std::io::Error::other(error) };
    let mut reader = ReaderBuilder::new().from_path(path).map_err(wrong)?;
    for record in reader.records() {
        let record = record.map_err(wrong)?;
        if record.get(0).is_some_and(|number| number.parse() == Ok(row)) {
            return line_of(path, &record);
        }
    }
    Ok(None)
}

/// The line a record begins on. Counted here: after a line that ends in CR LF the reader's own count is one behind.
fn line_of(path: &Path, record: &StringRecord) -> Result<Option<u64>, Error> {
    let Some(at) = record.position().and_then(|position| usize::try_from(position.byte()).ok()) else {
        return Ok(None);
    };
    let text = fs::read(path).map_err(cannot_read(path))?;
    let begins = at + text.iter().skip(at).take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
    Ok(Some(1 + text.iter().take(begins).filter(|byte| **byte == b'\n').count() as u64))
}
