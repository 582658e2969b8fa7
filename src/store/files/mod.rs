//! How a file is written for somebody: whole or not at all, and never over what is not the program's to
//! write over. Everything the program writes beside the book's own rows goes through here; there is no SQL.
//!
//! A thing is made in a folder of one's own beside its target (`part`), brought to the disk, and only then
//! given its name. What stands at that name is looked at first and once more just before (`standing`).
//!
//! `store/files/` decides how a file is written for somebody; everything that writes one goes through it.
//! `part.rs`: what is written is made in a folder of one's own beside its target (`.runabout-….part`, a name nobody
//! can guess, locked as long as its maker lives), brought to the disk, and given its name at the end: a new name by
//! a link, which never takes a name in use, and a file that may go by a rename. What a killed run left is known by
//! its name and its free lock, and the next to write there takes it away. Where a file has one name only (a stick),
//! an empty file holds it; a folder that is replaced is away for a moment: the part notes the name, and the next
//! run frees it or puts the folder back. `standing.rs`: what stands at the name, looked at before the work and once
//! more just before the name is given. A link is followed; the program's own of that kind goes
//! (`domain/value/made.rs` has the marks: `meta generator`, `PRODID`, a first line); anything else only with
//! `--replace`; a book, a copy or a receipt never, told by the file's header, by being the same file, and by what a
//! receipt holds. Devices and pipes are written straight. `app/failed_output.rs`: what is recorded or written is
//! done, and exits 0, though its answer cannot be written.
//!
//! Paths are paths: `Reader::path` is the book's file itself, links followed, and what is kept beside the book is
//! named from it without going through text.

mod file_error;
pub(crate) mod part;
pub(crate) mod receipt_names;
mod standing;

pub use file_error::FileError;
pub use part::{Part, clear_beside, make_private_folder, new_private_file, sync_file, sync_folder_of};
pub use standing::Over;

use standing::{Stands, stands_at};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Writes a file for somebody, whole or not at all. Devices and pipes are written straight.
pub fn write(path: &Path, content: &[u8], over: Over<'_>) -> Result<(), FileError> {
    clear_beside(path);
    match stands_at(path, over)? {
        Stands::Stream => {
            let opened = OpenOptions::new().write(true).open(path);
            opened
                .and_then(|mut stream| stream.write_all(content).and_then(|()| stream.flush()))
                .map_err(FileError::failed(path))
        }
        _ => {
            let new = NewFile::begin(path, over)?;
            part::write_new(&new.path(), content).map_err(FileError::failed(path))?;
            new.finish()
        }
    }
}

/// Refuses where what is there may not be written over.
pub fn may_write(path: &Path, over: Over<'_>) -> Result<(), FileError> {
    stands_at(path, over).map(|_| ())
}

/// A file being made beside its target; dropped before `finish`, it was never there.
#[derive(Debug)]
pub struct NewFile<'a> {
    typed: &'a Path,
    over: Over<'a>,
    /// The file itself, a link followed.
    target: PathBuf,
    part: Part,
}

impl<'a> NewFile<'a> {
    /// Refuses at once where the target may not be written over.
    pub fn begin(typed: &'a Path, over: Over<'a>) -> Result<Self, FileError> {
        clear_beside(typed);
        let target = match stands_at(typed, over)? {
            Stands::Stream => return Err(FileError::NotAFile(typed.to_owned())),
            Stands::Nothing => typed.to_owned(),
            Stands::MayGo { file, .. } => file,
        };
        let part = Part::beside(&target).map_err(FileError::failed(typed))?;
        Ok(Self { typed, over, target, part })
    }

    /// Where it is made.
    pub fn path(&self) -> PathBuf {
        self.part.path(MADE)
    }

    /// Gives it its name, after one more look at what stands there. It must be on the disk already.
    pub fn finish(self) -> Result<(), FileError> {
        match stands_at(self.typed, self.over)? {
            Stands::Nothing => self.part.place_new(MADE, &self.target),
            Stands::MayGo { file, .. } if file != self.target => {
                Err(FileError::InTheWay { path: file, is_folder: false })
            }
            Stands::MayGo { permissions, .. } => {
                if let Some(permissions) = permissions {
                    fs::set_permissions(self.path(), permissions).map_err(FileError::failed(self.typed))?;
                }
                self.part.place_over(MADE, &self.target)
            }
            Stands::Stream => Err(FileError::NotAFile(self.typed.to_owned())),
        }
    }
}

/// What is being made is called so inside its part.
const MADE: &str = "made";

/// Says whether a folder may give way to a new one; why not, where it may not.
pub type MayGo<'a> = &'a dyn Fn(&Path) -> Result<(), FileError>;

/// A folder being made, to be filled.
#[derive(Clone, Copy, Debug)]
pub struct Inside<'a> {
    folder: &'a Path,
    /// What it is going to be, for whoever has to be told that it failed.
    told: &'a Path,
}

impl Inside<'_> {
    /// Where something in it is made.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// What that will be called.
    pub fn told(&self, name: &str) -> PathBuf {
        self.told.join(name)
    }

    /// An empty file in it, to be written and brought to the disk.
    pub fn new_file(&self, name: &str) -> Result<File, FileError> {
        new_private_file(&self.path(name)).map_err(FileError::failed(&self.told(name)))
    }

    /// A file in it with that content, on the disk.
    pub fn write(&self, name: &str, content: &[u8]) -> Result<(), FileError> {
        let mut file = self.new_file(name)?;
        file.write_all(content).and_then(|()| file.sync_all()).map_err(FileError::failed(&self.told(name)))
    }
}

/// Makes a new folder whole: `fill` is given the folder to fill, which gets its name afterwards. With `earlier`
/// a folder that stands there gives way when that says it may.
pub fn new_folder<T, E: From<FileError>>(
    target: &Path,
    earlier: Option<MayGo<'_>>,
    fill: impl FnOnce(Inside<'_>) -> Result<T, E>,
) -> Result<T, E> {
    let gives_way = || -> Result<bool, FileError> {
        match fs::symlink_metadata(target) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
            Err(source) => Err(FileError::failed(target)(source)),
            Ok(found) => match earlier {
                Some(may_go) if found.is_dir() => may_go(target).map(|()| true),
                _ => Err(FileError::InTheWay { path: target.to_owned(), is_folder: target.is_dir() }),
            },
        }
    };
    clear_beside(target);
    gives_way()?;
    let part = Part::beside(target).map_err(FileError::failed(target))?;
    let folder = part.path(MADE);
    make_private_folder(&folder).map_err(FileError::failed(target))?;
    let filled = fill(Inside { folder: &folder, told: target })?;
    part::sync_folder(&folder).map_err(FileError::failed(target))?;
    if gives_way()? {
        part.swap_folder(MADE, target)?;
    } else {
        part.place_new_folder(MADE, target)?;
    }
    Ok(filled)
}

/// Whether a folder holds nothing but what is the program's own by its name.
pub fn holds_only(folder: &Path, is_ours: impl Fn(&Path) -> bool) -> Result<(), FileError> {
    for found in fs::read_dir(folder).map_err(FileError::failed(folder))? {
        let path = found.map_err(FileError::failed(folder))?.path();
        if !is_ours(&path) {
            return Err(FileError::NotOurFolder { folder: folder.to_owned(), holds: path });
        }
    }
    Ok(())
}

/// Puts something under the first of the names that is free, and gives that.
pub fn first_free(
    names: impl Fn(u32) -> PathBuf,
    mut place: impl FnMut(&Path) -> Result<(), FileError>,
) -> Result<PathBuf, FileError> {
    let mut nth = 1;
    loop {
        let name = names(nth);
        match place(&name) {
            Err(FileError::InTheWay { .. }) if nth < MOST_NAMES => nth += 1,
            placed => return placed.map(|()| name),
        }
    }
}

/// Names tried before it is given up: somebody would have to restore so often within a second.
const MOST_NAMES: u32 = 10_000;
