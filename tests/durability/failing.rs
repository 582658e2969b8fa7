//! A disk on which one call goes wrong: `failing_io.c` set before the C library of the real program.

use crate::common::Yard;
use crate::told::program;
use crate::yards::copy;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{self, Command, Output};
use std::sync::OnceLock;
use tempfile::TempDir;

/// How a call goes wrong, and which are counted; see `failing_io.c`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    pub how: &'static str,
    pub on: &'static str,
}

const fn write(how: &'static str) -> Way {
    Way { how, on: "writes" }
}

/// The ways in which a disk fails.
pub const FAILING: [Way; 6] =
    [write("eio"), write("enospc"), write("short"), write("gone"), write("torn"), Way { how: "eio", on: "reads" }];

/// The ways of being killed at a call, the last on a disk where no file can have two names.
pub const KILLING: [Way; 3] = [write("killed"), write("torn"), Way { how: "killed", on: "linkless" }];

/// The folder in a place for what need not last.
pub const TEMPORARY: &str = "temporary";

/// Where calls go wrong, and what is told of them.
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
    /// Whether it said that it is done.
    pub acknowledged: bool,
    /// Standard error, its folded lines joined.
    pub err: String,
    /// Which call went wrong, and on what; none when the command was done before.
    pub hit: Option<String>,
}

/// What is set before the C library, compiled once.
fn library() -> &'static Path {
    static COMPILED: OnceLock<PathBuf> = OnceLock::new();
    COMPILED.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let (library, part) = (folder.join("failing_io.so"), folder.join(format!("failing_io-{}.so", process::id())));
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/durability/failing_io.c");
        let mut compiler = Command::new("cc");
        compiler.args(["-shared", "-fPIC", "-O1", "-o"]).arg(&part).arg(source).arg("-ldl");
        let compiled = compiler.output().expect("the C compiler the README asks for, as `cc`");
        assert!(compiled.status.success(), "{}", String::from_utf8_lossy(&compiled.stderr));
        // Another run of the tests may be using it.
        fs::rename(part, &library).unwrap();
        library
    })
}

impl FailingDisk {
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// Runs a command on the book of a place, where call number `at` goes wrong.
    pub fn run(&self, place: &Place, words: &[String], way: Way, at: usize) -> Ended {
        let told = self.folder.path().join("told");
        let _ = fs::remove_file(&told);
        let mut failing = place.program(words);
        failing.env("LD_PRELOAD", library()).env("FAIL_UNDER", place.folder());
        failing.env("FAIL_ON", way.on).env("FAIL_HOW", way.how).env("FAIL_AT", at.to_string()).env("FAIL_TOLD", &told);
        let mut ended = Ended::of(failing.output().unwrap());
        ended.hit = fs::read_to_string(told).ok().map(|told| told.trim_end().to_owned());
        ended
    }

    /// The calls of that kind a command makes when nothing goes wrong, each with what it is on.
    pub fn calls(&self, place: &Place, words: &[String], on: &'static str) -> Vec<String> {
        let ended = self.run(place, words, Way { how: "list", on }, 0);
        assert_eq!(ended.code, Some(0), "{ended:?}");
        ended.hit.unwrap_or_default().lines().map(str::to_owned).collect()
    }
}

impl Place {
    /// With everything the yard has.
    pub fn with(yard: &Yard) -> Self {
        Self::of(yard.folder())
    }

    /// Another with all that is in this one.
    pub fn copy(&self) -> Self {
        Self::of(self.folder())
    }

    fn of(files: &Path) -> Self {
        let memory = Path::new("/dev/shm");
        let folder = if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() };
        let place = Self { folder: folder.unwrap() };
        copy(files, place.folder());
        fs::create_dir_all(place.folder().join(TEMPORARY)).unwrap();
        place
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub fn book(&self) -> PathBuf {
        self.folder().join("yard.book")
    }

    /// The program, started in the folder: what is typed names files by themselves, the same in every place.
    pub fn program(&self, words: &[String]) -> Command {
        let mut program = program(&self.book());
        program.current_dir(self.folder()).env("TMPDIR", self.folder().join(TEMPORARY)).args(words);
        program
    }

    /// Runs a command where nothing goes wrong.
    pub fn run(&self, words: &[String]) -> Ended {
        Ended::of(self.program(words).output().unwrap())
    }
}

impl Ended {
    pub fn of(output: Output) -> Self {
        let err = String::from_utf8(output.stderr).unwrap().replace("\n  ", " ");
        let acknowledged = output.status.success() || !output.stdout.is_empty() || err.contains("written to ");
        Self { code: output.status.code(), acknowledged, err, hit: None }
    }
}
