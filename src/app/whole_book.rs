//! `export DIR` and `import DIR`: the whole book as CSV files and back, its receipts beside them.

use crate::app::named_file;
use crate::commands::law::export::ExportArgs;
use crate::commands::steps::context::Context;
use crate::domain::value::made::Made;
use crate::error::Error;
use crate::report::cell::{guard, unguard};
use crate::report::keep::copied::CopiedReport;
use crate::store::{
    BookError, FileError, Filling, FillingError, Inside, Lacking, MayGo, NewBook, Reader, ReceiptFault, TableShape,
    copy_receipts, holds_only, new_folder, receipts_folder,
};
use csv::{ReaderBuilder, StringRecord, Terminator, WriterBuilder};
use std::fs;
use std::path::Path;

/// Says which version of the book's tables the files hold.
const VERSION_FILE: &str = "book-version.txt";
const RECEIPTS: &str = "receipts";
/// Says what is not in the folder though the book has it.
const LACKING: &str = "incomplete.txt";

fn cannot_read(path: &Path) -> impl Fn(std::io::Error) -> Error + '_ {
    |source| Error::CannotRead { path: path.to_owned(), source }
}

/// Writes every table of the book to a file of its own in a new folder.
pub fn export(args: &ExportArgs, reader: Reader<'_>, context: &Context) -> Result<CopiedReport, Error> {
    let folder = &args.folder;
    let tables = reader.table_shapes()?;
    let is_earlier = |folder: &Path| is_export(folder, &tables);
    let earlier = args.replace.then_some(&is_earlier as MayGo<'_>);
    let (rows, receipts, lacking) = new_folder(folder, earlier, |inside| -> Result<_, Error> {
        let mut rows = 0_u64;
        for table in &tables {
            rows += write_table(inside, table, reader)?;
        }
        inside.write(VERSION_FILE, format!("{}\n", reader.version()?).as_bytes())?;
        let named = reader.named_receipts()?;
        let receipts = copy_receipts(&named, &receipts_folder(reader.path()), &inside.path(RECEIPTS))
            .map_err(|error| error.told_as(&inside.told(RECEIPTS)))?;
        let (receipts, lacking) = receipts.keep();
        if !lacking.is_empty() {
            let lines: Vec<String> = lacking.iter().map(Lacking::to_string).collect();
            inside.write(LACKING, format!("{}\n\n{}\n", Made::Lacking.mark(), lines.join("\n")).as_bytes())?;
        }
        Ok((rows, receipts, lacking))
    })?;
    if !lacking.is_empty() {
        let unreadable = lacking.iter().any(|lacking| matches!(lacking.fault, ReceiptFault::Unreadable(_)));
        let lacking = lacking.iter().map(Lacking::to_string).collect();
        return Err(Error::CopyIncomplete { copy: folder.clone(), lacking, unreadable });
    }
    let said = format!(
        "Wrote the whole book to {}: {rows} rows and {receipts} receipts. `runabout import {} --book NEW` reads it back.",
        folder.display(),
        folder.display()
    );
    let notes = vec!["it holds names and addresses: keep it as you keep the book".to_owned()];
    Ok(CopiedReport::new("export", context.today, folder.display().to_string(), None, said, notes))
}

/// Whether a folder is a whole book as it was written, with nothing of anybody's beside.
fn is_export(folder: &Path, tables: &[TableShape]) -> Result<(), FileError> {
    let is_table = |name: &str| tables.iter().any(|table| name.strip_suffix(".csv") == Some(table.name.as_str()));
    if !folder.join(VERSION_FILE).is_file() {
        return holds_only(folder, |_| false);
    }
    holds_only(folder, |path| match path.file_name().and_then(|name| name.to_str()) {
        Some(RECEIPTS) => true,
        Some(name) => path.is_file() && (name == VERSION_FILE || name == LACKING || is_table(name)),
        None => false,
    })?;
    let receipts = folder.join(RECEIPTS);
    let is_hash = |name: &str| name.len() == 64 && name.bytes().all(|byte| byte.is_ascii_hexdigit());
    if receipts.exists() {
        holds_only(&receipts, |path| path.file_stem().and_then(|name| name.to_str()).is_some_and(is_hash))?;
    }
    Ok(())
}

fn write_table(inside: Inside<'_>, table: &TableShape, reader: Reader<'_>) -> Result<u64, Error> {
    let name = format!("{}.csv", table.name);
    let told = inside.told(&name);
    let failed = |source| FileError::Failed { path: told.clone(), source };
    let wrong = |error: csv::Error| Error::from(failed(std::io::Error::other(error)));
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(inside.new_file(&name)?);
    writer.write_record(table.columns.iter().map(|(name, _)| name)).map_err(wrong)?;
    let mut rows = 0;
    reader.each_row(table, |values| {
        rows += 1;
        let cells = values.iter().map(|value| guard(value.as_deref().unwrap_or_default()));
        writer.write_record(cells.map(std::borrow::Cow::into_owned)).map_err(wrong)
    })?;
    let file = writer.into_inner().map_err(|error| failed(error.into_error()))?;
    file.sync_all().map_err(failed)?;
    Ok(rows)
}

/// Fills a new book from the files of a folder.
pub fn import(folder: &Path, book: &Path, context: &Context) -> Result<CopiedReport, Error> {
    let version = named_file::read(&folder.join(VERSION_FILE), named_file::LARGEST_LIST, None)?;
    let mut new = NewBook::begin_of_version(book, version.trim())?;
    let mut rows = 0_u64;
    let filling = new.book().begin_filling()?;
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
    let named = new.book().read().named_receipts()?;
    let receipts = copy_receipts(&named, &folder.join(RECEIPTS), &receipts_folder(book)).map_err(BookError::from)?;
    let path = new.finish()?;
    let (_, lacking) = receipts.keep();
    let said = format!("Read {rows} rows from {} into a new book at {}.", folder.display(), path.display());
    let notes = lacking.iter().filter(|lacking| !lacking.is_there);
    let notes = notes.map(|lacking| format!("the receipt {lacking}; it is not in the new book's folder")).collect();
    Ok(CopiedReport::new("import", context.today, path.display().to_string(), None, said, notes))
}

fn read_table(path: &Path, table: &TableShape, filling: &Filling<'_>) -> Result<u64, Error> {
    let wrong = |error: csv::Error| Error::CannotRead { path: path.to_owned(), source: std::io::Error::other(error) };
    let file = named_file::open(path, named_file::LARGEST_TABLE, None)?;
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
