//! Reads a CSV file (RFC 4180) as rows of text, for `import`.

use crate::app::named_file;
use crate::domain::book::import_sheet::{Sheet, SheetRow};
use crate::error::Error;
use crate::report::cell::unguard;
use csv::ReaderBuilder;
use std::path::Path;

/// Where a file to import comes from.
const HOW_TO_MAKE_ONE: &str = "save the spreadsheet as CSV, with a line of headings, and name that file; `runabout help import` lists the columns";

/// The header and rows of the file. The mark that keeps a spreadsheet from taking text for a formula is
/// taken off again.
pub fn read(path: &Path) -> Result<Sheet, Error> {
    let wrong = |error: csv::Error| Error::CannotRead { path: path.to_owned(), source: std::io::Error::other(error) };
    let text = named_file::read(path, named_file::LARGEST_SHEET, Some(HOW_TO_MAKE_ONE))?;
    // Rows of other lengths are read too: which of them will do is for `domain::book::import_sheet` to say.
    let mut reader = ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let header = reader.headers().map_err(wrong)?.iter().map(str::to_owned).collect();
    let (mut rows, mut line, mut counted) = (Vec::new(), 1, 0);
    for record in reader.records() {
        let record = record.map_err(wrong)?;
        // Counted here: after a line that ends in CR LF the reader's own count is one behind.
        let at = record.position().map_or(counted, |position| usize::try_from(position.byte()).unwrap_or(counted));
        let begins = at + text.as_bytes()[at..].iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
        line += text.get(counted..begins).map_or(0, |passed| passed.matches('\n').count() as u64);
        counted = begins;
        rows.push(SheetRow { line, cells: record.iter().map(|cell| unguard(cell).to_owned()).collect() });
    }
    Ok(Sheet { header, rows })
}
