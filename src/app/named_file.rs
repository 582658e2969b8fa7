//! A file named on the command line that cannot be read: when it is not there, one spelt alike may be meant.

use crate::commands::steps::lookup::near_words;
use crate::error::Error;
use std::fs::File;
use std::io::{self, Read, Take};
use std::path::Path;

/// Files of a folder that are looked at for one spelt alike.
const LOOKED_AT: usize = 1_000;

/// The most that a file of rates or of fees may hold, in bytes: some ten thousand lines.
pub(super) const LARGEST_LIST: u64 = 1024 * 1024;
/// The most that a sheet to import may hold, in bytes: a million rows.
pub(super) const LARGEST_SHEET: u64 = 128 * 1024 * 1024;
/// The most that a table of an exported book may hold, in bytes; its history is the longest.
pub(super) const LARGEST_TABLE: u64 = 4 * 1024 * 1024 * 1024;

/// The text of a file of at most so many bytes, without the mark some programs begin a file with (U+FEFF);
/// `otherwise` says what helps when there is no such file nor one spelt alike.
pub(super) fn read(path: &Path, most: u64, otherwise: Option<&str>) -> Result<String, Error> {
    let mut text = String::new();
    open(path, most, otherwise)?
        .read_to_string(&mut text)
        .map_err(|source| Error::CannotRead { path: path.to_owned(), source })?;
    if text.len() as u64 > most {
        return Err(Error::TooLarge { path: path.to_owned(), most });
    }
    Ok(match text.strip_prefix('\u{feff}') {
        Some(marked) => marked.to_owned(),
        None => text,
    })
}

/// A file to read from, never more of it than that. Only a file has an end that can be relied on: a device
/// or a pipe may have none, and opening a pipe waits for somebody to write to it.
pub(super) fn open(path: &Path, most: u64, otherwise: Option<&str>) -> Result<Take<File>, Error> {
    let wrong = |source: io::Error| match source.kind() {
        io::ErrorKind::NotFound => {
            let near = spelt_alike(path).map(|near| format!("did you mean '{near}'?"));
            Error::NoSuchFile { path: path.to_owned(), hint: near.or_else(|| otherwise.map(str::to_owned)) }
        }
        _ => Error::CannotRead { path: path.to_owned(), source },
    };
    let about = std::fs::metadata(path).map_err(wrong)?;
    if !about.is_file() {
        return Err(Error::NotAFile(path.to_owned()));
    }
    if about.len() > most {
        return Err(Error::TooLarge { path: path.to_owned(), most });
    }
    // The length is counted, not believed: the file may still be growing.
    Ok(File::open(path).map_err(wrong)?.take(most.saturating_add(1)))
}

/// The name in the same folder most like that of `path`.
fn spelt_alike(path: &Path) -> Option<String> {
    let wanted = path.file_name()?.to_str()?;
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let files = std::fs::read_dir(folder).ok()?.take(LOOKED_AT).flatten();
    let names: Vec<String> = files.filter_map(|file| file.file_name().into_string().ok()).collect();
    let near = near_words(wanted, names.iter().map(String::as_str)).into_iter().next()?;
    Some(path.with_file_name(near).display().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_spelt_alike_is_named() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("money.csv"), "on,amount,heading").unwrap();
        std::fs::write(folder.path().join("notes.txt"), "").unwrap();
        let hint = |name: &str| {
            read(&folder.path().join(name), LARGEST_SHEET, Some("save it as CSV")).unwrap_err().hint().unwrap()
        };
        assert_eq!(hint("mony.csv"), format!("did you mean '{}'?", folder.path().join("money.csv").display()));
        assert_eq!(hint("zzz"), "save it as CSV");
    }

    #[test]
    fn only_a_file_is_read_and_no_more_than_may_be() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("yard.rates");
        std::fs::write(&file, "\u{feff}0=54.85").unwrap();
        assert_eq!(read(&file, 10, None).unwrap(), "0=54.85");
        assert!(matches!(read(&file, 9, None), Err(Error::TooLarge { .. })));
        assert!(matches!(read(folder.path(), 10, None), Err(Error::NotAFile(_))));
    }
}
