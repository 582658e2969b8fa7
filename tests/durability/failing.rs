//! A disk on which one call goes wrong: `failing_io.c` set before the C library of the real program.

use crate::common::Yard;
use crate::told::program;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// How a call goes wrong; see `failing_io.c`.
pub const WAYS: [&str; 5] = ["eio", "enospc", "short", "gone", "torn"];

/// What goes wrong, once compiled.
pub struct FailingDisk {
    folder: TempDir,
}

/// A folder with a copy of a yard in it, on memory where there is some: what counts is which calls are
/// made, not how long they take.
pub struct Place {
    folder: TempDir,
}

/// What became of a command.
#[derive(Debug)]
pub struct Ended {
    /// The exit code; none when it was killed.
    pub code: Option<i32>,
    /// Standard error, its folded lines joined.
    pub err: String,
    /// Which call went wrong, and on what; none when the command was done before.
    pub hit: Option<String>,
}

impl FailingDisk {
    pub fn new() -> Self {
        let disk = Self { folder: tempfile::tempdir().unwrap() };
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/durability/failing_io.c");
        let mut compiler = Command::new("cc");
        compiler.args(["-shared", "-fPIC", "-O1", "-o"]).arg(disk.library()).arg(source).arg("-ldl");
        let compiled = compiler.output().expect("the C compiler the README asks for, as `cc`");
        assert!(compiled.status.success(), "{}", String::from_utf8_lossy(&compiled.stderr));
        disk
    }

    fn library(&self) -> PathBuf {
        self.folder.path().join("failing_io.so")
    }

    /// Runs a command on the book of a place, where call number `at` goes wrong.
    pub fn run(&self, place: &Place, words: &[&str], way: &str, at: u32) -> Ended {
        let told = self.folder.path().join("told");
        let _ = fs::remove_file(&told);
        let mut failing = program(&place.book());
        failing.env("LD_PRELOAD", self.library()).env("FAIL_UNDER", place.folder.path());
        failing.env("FAIL_AT", at.to_string()).env("FAIL_HOW", way).env("FAIL_TOLD", &told);
        let mut ended = ended(failing.args(words));
        ended.hit = fs::read_to_string(told).ok().map(|told| told.trim_end().to_owned());
        ended
    }

    /// The calls a command makes when nothing goes wrong, each with what it is on.
    pub fn calls(&self, place: &Place, words: &[&str]) -> Vec<String> {
        let ended = self.run(place, words, "list", 0);
        assert_eq!(ended.code, Some(0), "{ended:?}");
        ended.hit.unwrap_or_default().lines().map(str::to_owned).collect()
    }
}

impl Place {
    /// With everything the yard has.
    pub fn with(yard: &Yard) -> Self {
        let memory = Path::new("/dev/shm");
        let folder = if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() };
        let place = Self { folder: folder.unwrap() };
        copy(yard.folder(), place.folder.path());
        place
    }

    pub fn book(&self) -> PathBuf {
        self.folder.path().join("yard.book")
    }

    /// Whether the call that went wrong was on the folder itself: bringing its list of files to the disk.
    pub fn is_sync_of_folder(&self, hit: &str) -> bool {
        hit == format!("sync {}", self.folder.path().display())
    }

    /// Runs a command where nothing goes wrong.
    pub fn run(&self, words: &[&str]) -> Ended {
        ended(program(&self.book()).args(words))
    }
}

fn ended(program: &mut Command) -> Ended {
    let output = program.output().unwrap();
    let err = String::from_utf8(output.stderr).unwrap().replace("\n  ", " ");
    Ended { code: output.status.code(), err, hit: None }
}

fn copy(from: &Path, to: &Path) {
    for file in fs::read_dir(from).unwrap() {
        let (source, target) = file.map(|file| (file.path(), to.join(file.file_name()))).unwrap();
        if source.is_dir() {
            fs::create_dir(&target).unwrap();
            copy(&source, &target);
        } else {
            fs::copy(source, target).unwrap();
        }
    }
}
