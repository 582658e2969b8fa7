//! A file named on the command line that cannot be read: when it is not there, one spelt alike may be meant.

use crate::commands::near_words;
use crate::error::Error;
use std::io;
use std::path::Path;

/// Files of a folder that are looked at for one spelt alike.
const LOOKED_AT: usize = 1_000;

/// The text of a file; `otherwise` says what helps when there is no such file nor one spelt alike.
pub(super) fn read(path: &Path, otherwise: Option<&str>) -> Result<String, Error> {
    std::fs::read_to_string(path).map_err(|source| match source.kind() {
        io::ErrorKind::NotFound => {
            let near = spelt_alike(path).map(|near| format!("did you mean '{near}'?"));
            Error::NoSuchFile { path: path.to_owned(), hint: near.or_else(|| otherwise.map(str::to_owned)) }
        }
        _ => Error::CannotRead { path: path.to_owned(), source },
    })
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
        let hint = |name: &str| read(&folder.path().join(name), Some("save it as CSV")).unwrap_err().hint().unwrap();
        assert_eq!(hint("mony.csv"), format!("did you mean '{}'?", folder.path().join("money.csv").display()));
        assert_eq!(hint("zzz"), "save it as CSV");
    }
}
