//! What a rule of the tree finds, and the exceptions to it that are still to go.

use std::fmt;

/// A place in the tree where a rule is broken.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// The file, from the root of the tree.
    pub file: String,
    /// The line, counted from one; none where a whole file or folder is at fault.
    pub line: Option<usize>,
    pub what: String,
}

impl Fault {
    pub fn at(file: &str, line: usize, what: impl Into<String>) -> Self {
        Self { file: file.to_owned(), line: Some(line), what: what.into() }
    }

    pub fn of(file: &str, what: impl Into<String>) -> Self {
        Self { file: file.to_owned(), line: None, what: what.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "{}:{line}: {}", self.file, self.what),
            None => write!(f, "{}: {}", self.file, self.what),
        }
    }
}

/// The faults of files that are no exception, and every exception that no fault needs: a list of exceptions only gets
/// shorter.
pub fn beyond(faults: Vec<Fault>, exceptions: &[&str]) -> Vec<Fault> {
    let needless = exceptions.iter().filter(|file| !faults.iter().any(|fault| fault.file == **file));
    let needless: Vec<Fault> = needless.map(|file| Fault::of(file, "is an exception that nothing needs")).collect();
    let mut left = faults;
    left.retain(|fault| !exceptions.contains(&fault.file.as_str()));
    left.extend(needless);
    left
}

/// Fails with every fault on a line of its own.
pub fn assert_none(faults: &[Fault]) {
    let told: Vec<String> = faults.iter().map(Fault::to_string).collect();
    assert!(told.is_empty(), "\n{}\n", told.join("\n"));
}
