//! The outside world as one value: arguments, variables, the clock, the terminal and the standard
//! streams. Everything else gets it handed down, so a test can replace it all.

use crate::domain::days::day::WrittenDay;
use chrono::{DateTime, Local, NaiveDate, Utc};
use std::ffi::OsString;
use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;
use std::rc::Rc;

/// What the program can see and touch outside itself.
#[allow(clippy::struct_excessive_bools, reason = "each is a fact of its own about the outside world")]
pub struct Env {
    /// Arguments, the program's own name first.
    pub arguments: Vec<OsString>,
    /// `RUNABOUT_BOOK`, when set.
    pub book: Option<PathBuf>,
    /// `RUNABOUT_RATES`, when set.
    pub rates: Option<PathBuf>,
    /// `RUNABOUT_TODAY`, when set: stands in for the clock's day.
    pub today: Option<String>,
    /// `RUNABOUT_COMPLETE`, when set: the shell that asks what could be typed next.
    pub completing: Option<String>,
    /// Which word is being completed, where the script says so: the cursor need not be at the end.
    pub completing_index: Option<usize>,
    /// The word being completed as it stands on the line, where the script hands it over.
    pub completing_word: Option<String>,
    /// The folder the program was started in.
    pub folder: Option<PathBuf>,
    /// The folder that `~` stands for.
    pub home: Option<PathBuf>,
    /// The clock's day, local.
    pub clock_day: NaiveDate,
    /// The clock, UTC.
    pub clock: DateTime<Utc>,
    /// Where the platform keeps the program's data.
    pub data_folder: Option<PathBuf>,
    /// Where the platform keeps what need not last.
    pub temporary_folder: PathBuf,
    /// Whether the answer goes to a terminal.
    pub terminal: bool,
    /// Whether the answer goes to a terminal that can show colour.
    pub colour: bool,
    /// Whether the locale can show more than ASCII.
    pub unicode: bool,
    /// Columns across, for fitting tables.
    pub width: usize,
    /// Reads what is typed in answer to a question; none where there is nobody to ask.
    pub answer: Option<Box<dyn FnMut() -> Option<String>>>,
    /// Where long work says how far it has come.
    pub progress: Rc<dyn Fn(&str)>,
    /// Whether the process ends with this run, so that its memory need not be given back.
    pub process_ends: bool,
    /// Where answers go.
    pub out: Box<dyn Write>,
    /// Where hints, warnings and errors go.
    pub err: Box<dyn Write>,
}

/// The variable a completion script asks with; its value is the shell.
pub const COMPLETING: &str = "RUNABOUT_COMPLETE";

/// The variable Bash's script hands the word over in as it stands on the line: Bash takes an opening quote off it.
pub const COMPLETING_WORD: &str = "RUNABOUT_COMPLETING_WORD";

/// Columns when the answer does not go to a terminal.
const PLAIN_WIDTH: usize = 80;

impl Env {
    /// The real one.
    #[allow(clippy::disallowed_methods)]
    pub fn real() -> Self {
        let variable = |name: &str| std::env::var(name).ok().filter(|value| !value.is_empty());
        let terminal = std::io::stdout().is_terminal();
        let plain = variable("NO_COLOR").is_some() || variable("TERM").is_some_and(|term| term == "dumb");
        let columns = variable("COLUMNS").and_then(|columns| columns.parse().ok());
        Self {
            arguments: std::env::args_os().collect(),
            book: std::env::var_os("RUNABOUT_BOOK").filter(|path| !path.is_empty()).map(PathBuf::from),
            rates: std::env::var_os("RUNABOUT_RATES").filter(|path| !path.is_empty()).map(PathBuf::from),
            today: variable("RUNABOUT_TODAY"),
            completing: variable(COMPLETING),
            completing_index: variable("_CLAP_COMPLETE_INDEX").and_then(|index| index.parse().ok()),
            completing_word: variable(COMPLETING_WORD),
            folder: std::env::current_dir().ok(),
            home: directories::BaseDirs::new().map(|folders| folders.home_dir().to_owned()),
            clock_day: Local::now().date_naive(),
            clock: Utc::now(),
            data_folder: directories::ProjectDirs::from("", "", "runabout")
                .map(|folders| folders.data_dir().to_owned()),
            temporary_folder: std::env::temp_dir(),
            terminal,
            colour: terminal && !plain,
            unicode: speaks_unicode(&variable),
            width: columns.or_else(|| terminal.then(terminal_width).flatten()).unwrap_or(PLAIN_WIDTH),
            answer: (std::io::stdin().is_terminal() && std::io::stderr().is_terminal())
                .then(|| Box::new(typed_line) as Box<dyn FnMut() -> Option<String>>),
            progress: Rc::new(|how_far| {
                // Nobody need know of it when it cannot be told.
                let _ = writeln!(std::io::stderr(), "{how_far}");
            }),
            process_ends: true,
            out: Box::new(std::io::stdout()),
            err: Box::new(std::io::stderr()),
        }
    }

    /// Today: what `RUNABOUT_TODAY` says, else the clock.
    pub fn real_today(&self) -> Result<NaiveDate, crate::domain::value::value_error::ValueError> {
        match &self.today {
            Some(typed) => typed.parse::<WrittenDay>()?.resolve_any(self.clock_day),
            None => Ok(self.clock_day),
        }
    }
}

/// The C locale's letters are ASCII; any locale named UTF-8, and Windows, can show the rest. With
/// no locale set at all, what most terminals can do is taken.
fn speaks_unicode(variable: &impl Fn(&str) -> Option<String>) -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].iter().find_map(|name| variable(name));
    locale.is_none_or(|locale| {
        let locale = locale.to_lowercase();
        locale.contains("utf") || !matches!(locale.as_str(), "c" | "posix")
    })
}

/// A line typed, without its end; none when the input is closed. What is no text in it is replaced by
/// a sign that says so.
fn typed_line() -> Option<String> {
    let mut line = Vec::new();
    let read = std::io::stdin().lock().read_until(b'\n', &mut line).ok().filter(|read| *read > 0);
    read.map(|_| String::from_utf8_lossy(&line).trim().to_owned())
}

fn terminal_width() -> Option<usize> {
    terminal_size::terminal_size().map(|(width, _)| usize::from(width.0))
}
