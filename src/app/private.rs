//! Folders and files only their owner can look into, and never over what is there.

use crate::error::Error;
use crate::store::BookError;
use std::fs;
use std::io;
use std::path::Path;

/// A new folder.
pub fn new_folder(folder: &Path) -> Result<(), Error> {
    let mut builder = fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).map_err(|source| not_made(folder, source))
}

/// A new file, open for writing.
pub fn new_file(path: &Path) -> Result<fs::File, Error> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path).map_err(|source| not_made(path, source))
}

fn not_made(path: &Path, source: io::Error) -> Error {
    let path = path.to_owned();
    match source.kind() {
        io::ErrorKind::AlreadyExists => BookError::InTheWay { path }.into(),
        _ => Error::CannotWrite { path, source },
    }
}
