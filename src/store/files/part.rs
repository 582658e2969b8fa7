//! A folder of one's own beside a target, in which things are made before they get their names. Its name
//! cannot be guessed and is made new; whoever makes something in it holds a lock, so that a later run can tell
//! what an earlier one that was killed left behind, and take that away.

use crate::store::files::file_error::FileError;
use std::fs::{self, DirBuilder, File, OpenOptions, TryLockError};
use std::hash::BuildHasher;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

const BEGINS: &str = ".runabout-";
const ENDS: &str = ".part";

/// What a copy of a book is called while it is being made.
pub(crate) const COPY: &str = "copy";

/// Held as long as something is being made.
const LOCK: &str = "lock";
/// What gave way to a new folder is kept here until that has its name.
const EARLIER: &str = "earlier";
/// Says which name beside the part is held for what is made in it, by an empty file or by none.
const HELD: &str = "held";
/// Where that goes once it has.
const GONE: &str = "gone";
/// Names tried; a second is needed only where another run takes this one's folder for one left behind.
const TRIES: usize = 16;

/// The folder; it goes, with all that did not get a name, when this is dropped.
#[derive(Debug)]
pub struct Part {
    folder: PathBuf,
    lock: Option<File>,
}

impl Part {
    /// Makes one beside `target`, and takes away what earlier runs left there.
    pub fn beside(target: &Path) -> io::Result<Self> {
        let beside = folder_of(target);
        clear_beside(target);
        for _ in 0..TRIES {
            let folder = beside.join(format!("{BEGINS}{:016x}{ENDS}", unguessable()));
            match new_private_folder(&folder) {
                Err(error) if error.kind() == ErrorKind::AlreadyExists => continue,
                made => made?,
            }
            let mut part = Self { folder, lock: None };
            if part.take()? {
                return Ok(part);
            }
        }
        Err(io::Error::other("no folder to make it in could be had"))
    }

    /// Whether the folder is this run's, and no other took it for one left behind.
    fn take(&mut self) -> io::Result<bool> {
        let path = self.folder.join(LOCK);
        let lock = match new_private_file(&path) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(false),
            made => made?,
        };
        match lock.try_lock() {
            Err(TryLockError::WouldBlock) => return Ok(false),
            // Where there are no locks nobody can think it left behind.
            Ok(()) | Err(TryLockError::Error(_)) => {}
        }
        self.lock = Some(lock);
        path.try_exists()
    }

    /// Where something of that name is made.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Gives a file made here a name that is not in use. Whatever has that name meanwhile stays.
    pub fn place_new(&self, name: &str, target: &Path) -> Result<(), FileError> {
        let made = self.path(name);
        let in_the_way = || FileError::InTheWay { path: target.to_owned(), is_folder: target.is_dir() };
        match fs::hard_link(&made, target) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => return Err(in_the_way()),
            // A file system without links, as sticks have: an empty file holds the name.
            Err(_) => match self.note_held(target).and_then(|()| new_private_file(target)) {
                Err(error) if error.kind() == ErrorKind::AlreadyExists => return Err(in_the_way()),
                Err(source) => return Err(FileError::failed(target)(source)),
                Ok(_) => fs::rename(&made, target).map_err(|source| {
                    // The failure is the one to tell.
                    let _ = fs::remove_file(target);
                    FileError::failed(target)(source)
                })?,
            },
        }
        // One name is enough; failing to take the other away is no failure of the file.
        let _ = fs::remove_file(made);
        confirm(target)
    }

    /// Puts a file made here in the place of another.
    pub fn place_over(&self, name: &str, target: &Path) -> Result<(), FileError> {
        fs::rename(self.path(name), target).map_err(FileError::failed(target))?;
        confirm(target)
    }

    /// Gives a folder made here a name that is not in use.
    pub fn place_new_folder(&self, name: &str, target: &Path) -> Result<(), FileError> {
        fs::rename(self.path(name), target).map_err(FileError::failed(target))?;
        confirm(target)
    }

    /// Puts a folder made here in the place of another, which goes.
    pub fn swap_folder(&self, name: &str, target: &Path) -> Result<(), FileError> {
        let earlier = self.path(EARLIER);
        let moved = self.note_held(target).and_then(|()| fs::rename(target, &earlier));
        moved.map_err(FileError::failed(target))?;
        if let Err(source) = fs::rename(self.path(name), target) {
            // Back to where it was; the failure is the one to tell.
            let _ = fs::rename(&earlier, target);
            return Err(FileError::failed(target)(source));
        }
        // Killed before this, a later run sees by the name whether it has given way.
        let _ = fs::rename(&earlier, self.path(GONE));
        confirm(target)
    }

    /// Notes that a name is about to be held. The end of the line says that the note is whole.
    fn note_held(&self, target: &Path) -> io::Result<()> {
        let name = target.file_name().and_then(|name| name.to_str());
        // Without the note a later run leaves what it finds.
        name.map_or(Ok(()), |name| {
            let note = self.path(HELD);
            let _ = fs::remove_file(&note);
            write_new(&note, format!("{name}\n").as_bytes())
        })
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        if remove(&self.folder, self.lock.take()).is_err() {
            // A disk may fail once; what cannot be taken away now either a later run takes away.
            let _ = fs::remove_dir_all(&self.folder);
        }
    }
}

/// Takes away what earlier runs that were killed left beside `target`: only what is named as a part is, and is
/// nobody's any more. What cannot be taken away is in nobody's way.
pub fn clear_beside(target: &Path) {
    let folder = folder_of(target);
    let Ok(found) = fs::read_dir(folder) else { return };
    for found in found.flatten() {
        let is_part = found.file_name().to_str().is_some_and(is_part_name);
        let path = found.path();
        if is_part && found.file_type().is_ok_and(|kind| kind.is_dir()) {
            match OpenOptions::new().write(true).open(path.join(LOCK)) {
                Ok(lock) => {
                    if lock.try_lock().is_ok() {
                        free_held(&path, folder);
                        let _ = remove(&path, Some(lock));
                    }
                }
                // Killed before it had a lock: there is nothing in it yet, or it does not go.
                Err(_) => {
                    let _ = fs::remove_dir(&path);
                }
            }
        }
    }
}

/// Frees a name that a part was killed holding: an empty file goes, a folder that had given way to nothing yet
/// is put back.
fn free_held(part: &Path, folder: &Path) {
    let note = fs::read_to_string(part.join(HELD)).unwrap_or_default();
    let Some(name) = note.strip_suffix('\n').map(Path::new).filter(|name| name.file_name() == Some(name.as_os_str()))
    else {
        return;
    };
    let (held, earlier) = (folder.join(name), part.join(EARLIER));
    let _ = match (fs::symlink_metadata(&held), earlier.exists()) {
        (Err(error), true) if error.kind() == ErrorKind::NotFound => fs::rename(earlier, held),
        (Ok(about), true) if about.is_dir() => fs::rename(earlier, part.join(GONE)),
        (Ok(about), false) if about.is_file() && about.len() == 0 => fs::remove_file(held),
        _ => Ok(()),
    };
}

/// Takes a part away, its lock last: killed on the way, it is still known for what it is. What gave way to
/// nothing is somebody's and has no other name.
fn remove(folder: &Path, lock: Option<File>) -> io::Result<()> {
    if folder.join(EARLIER).exists() {
        return Ok(());
    }
    for found in fs::read_dir(folder)? {
        let found = found?;
        if found.file_name() != LOCK {
            let is_folder = found.file_type()?.is_dir();
            if is_folder { fs::remove_dir_all(found.path())? } else { fs::remove_file(found.path())? }
        }
    }
    // A file that is open cannot go everywhere.
    drop(lock);
    match fs::remove_file(folder.join(LOCK)) {
        Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
        _ => fs::remove_dir(folder),
    }
}

fn is_part_name(name: &str) -> bool {
    let between = name.strip_prefix(BEGINS).and_then(|rest| rest.strip_suffix(ENDS));
    between.is_some_and(|digits| digits.len() == 16 && digits.bytes().all(|digit| digit.is_ascii_hexdigit()))
}

/// Sixty-four bits that nobody outside can foresee: the keys of the standard hash maps come from the system.
fn unguessable() -> u64 {
    std::hash::RandomState::new().hash_one(std::process::id())
}

/// Makes a file that is not there yet, which only its owner can read.
pub fn new_private_file(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Writes a file that is not there yet, and brings it to the disk.
pub(super) fn write_new(path: &Path, content: &[u8]) -> io::Result<()> {
    let mut file = new_private_file(path)?;
    file.write_all(content)?;
    file.sync_all()
}

fn new_private_folder(folder: &Path) -> io::Result<()> {
    private_folders(false).create(folder)
}

/// Makes a folder that is not there yet, and those it is in, which only its owner can look into.
pub fn make_private_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    private_folders(true).create(folder)?;
    sync_folder_of(folder)
}

fn private_folders(recursive: bool) -> DirBuilder {
    let mut builder = DirBuilder::new();
    builder.recursive(recursive);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder
}

/// Brings a file to the disk. It is opened for writing: elsewhere than on Unix nothing else may.
pub fn sync_file(path: &Path) -> io::Result<()> {
    OpenOptions::new().write(true).open(path)?.sync_all()
}

/// A new name lasts through a power cut only once its folder is on the disk too. Windows has no such call.
pub fn sync_folder_of(path: &Path) -> io::Result<()> {
    sync_folder(folder_of(path))
}

pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

fn confirm(target: &Path) -> Result<(), FileError> {
    sync_folder_of(target).map_err(|source| FileError::NotConfirmed { path: target.to_owned(), source })
}

/// The folder a path is in.
fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn what_was_not_finished_leaves_nothing_and_what_was_keeps_its_name() {
        let yard = tempfile::tempdir().unwrap();
        let target = yard.path().join("yard.html");
        let part = Part::beside(&target).unwrap();
        write_new(&part.path("made"), b"half").unwrap();
        drop(part);
        assert_eq!(names(yard.path()), Vec::<String>::new());
        let part = Part::beside(&target).unwrap();
        write_new(&part.path("made"), b"whole").unwrap();
        part.place_new("made", &target).unwrap();
        drop(part);
        assert_eq!(names(yard.path()), ["yard.html"]);
        assert_eq!(fs::read(&target).unwrap(), b"whole");
    }

    #[test]
    fn a_name_taken_meanwhile_stays_whoevers_it_is() {
        let yard = tempfile::tempdir().unwrap();
        let target = yard.path().join("yard.html");
        let part = Part::beside(&target).unwrap();
        write_new(&part.path("made"), b"ours").unwrap();
        fs::write(&target, "theirs").unwrap();
        assert!(matches!(part.place_new("made", &target), Err(FileError::InTheWay { .. })));
        assert_eq!(fs::read(&target).unwrap(), b"theirs");
    }

    #[test]
    fn only_what_a_dead_run_left_is_taken_away() {
        let yard = tempfile::tempdir().unwrap();
        let target = yard.path().join("yard.html");
        let left = yard.path().join(".runabout-00112233445566aa.part");
        fs::create_dir(&left).unwrap();
        fs::write(left.join(LOCK), "").unwrap();
        fs::write(left.join("made"), "half a pa").unwrap();
        let empty = yard.path().join(".runabout-00112233445566bb.part");
        fs::create_dir(&empty).unwrap();
        // Somebody else's, however alike.
        for theirs in [".runabout-notes.part", "stick.book.part", ".runabout-00112233445566cc.part"] {
            fs::write(yard.path().join(theirs), "mine").unwrap();
        }
        let folder = yard.path().join(".runabout-00112233445566dd.part");
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("photo.jpg"), "mine").unwrap();
        for (part, held) in [("a1", "stick.book\n"), ("a2", "notes.t"), ("a3", "../kept.txt\n")] {
            let part = yard.path().join(format!(".runabout-00112233445566{part}.part"));
            fs::create_dir(&part).unwrap();
            fs::write(part.join(LOCK), "").unwrap();
            fs::write(part.join(HELD), held).unwrap();
        }
        for empty in ["stick.book", "notes.t", "kept.txt"] {
            fs::write(yard.path().join(empty), "").unwrap();
        }
        let alive = Part::beside(&target).unwrap();
        let another = Part::beside(&target).unwrap();
        assert!(alive.folder.exists() && another.folder.exists(), "two at work leave each other alone");
        drop((alive, another));
        assert_eq!(
            names(yard.path()),
            [
                ".runabout-00112233445566cc.part",
                ".runabout-00112233445566dd.part",
                ".runabout-notes.part",
                "kept.txt",
                "notes.t",
                "stick.book.part"
            ]
        );
    }

    #[test]
    fn a_folder_that_gave_way_to_nothing_yet_is_put_back() {
        let yard = tempfile::tempdir().unwrap();
        let target = yard.path().join("year-end");
        let killed = |part: &str| {
            let part = yard.path().join(format!(".runabout-00112233445566{part}.part"));
            fs::create_dir_all(part.join(EARLIER)).unwrap();
            fs::write(part.join(LOCK), "").unwrap();
            fs::write(part.join(HELD), "year-end\n").unwrap();
        };
        killed("aa");
        clear_beside(&target);
        assert_eq!(names(yard.path()), ["year-end"]);
        killed("bb");
        clear_beside(&target);
        assert_eq!(names(yard.path()), ["year-end"]);
    }

    #[cfg(unix)]
    #[test]
    fn nobody_else_can_look_into_it() {
        use std::os::unix::fs::PermissionsExt;
        let yard = tempfile::tempdir().unwrap();
        let part = Part::beside(&yard.path().join("yard.html")).unwrap();
        assert_eq!(fs::metadata(&part.folder).unwrap().permissions().mode() & 0o777, 0o700);
    }
}
