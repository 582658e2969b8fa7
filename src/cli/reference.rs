//! What the help and the manual say of the program as a whole: how values are written, files, variables,
//! exit codes, cautions. Each is said here once.

/// A term and what is said of it.
pub type Entry = (&'static str, &'static str);

/// How what is typed is written.
pub const VALUES: &[Entry] = &[
    ("CAR", "7 or KX42RTO: a stock number or a mark; spaces and capitals do not count"),
    ("AMOUNT", "1250, 1,250.50 or £1,250.50"),
    ("DATE", "21/11, 21 Nov 2026, yesterday, mon: day first; no year means the latest"),
    ("MONTH", "nov, nov 2026, 11/2026, 2026-11, this or last"),
    ("YEAR", "2026-27: a tax year, 6 April to 5 April"),
];

/// Exit codes.
pub const EXIT_CODES: &[Entry] = &[
    ("0", "done"),
    ("1", "cannot be carried out; the book is as it was"),
    ("2", "wrong command line: not to be read, left out or not going together"),
    ("3", "a check found something (due --check, verify)"),
    ("4", "the book cannot be used: locked, damaged, too new, or not a book"),
    ("70", "a fault of the program: please report it"),
];

/// What is read and written.
pub const FILES: &[Entry] = &[
    ("runabout.book", "the book: one SQLite file in the platform's data folder; `runabout settings` shows where"),
    ("runabout.receipts", "the folder of receipts, beside the book"),
    ("runabout.rates", "rates and thresholds of your own, beside the book, if you need any"),
];

/// Variables of the environment.
pub const ENVIRONMENT: &[Entry] = &[
    ("RUNABOUT_BOOK", "the book to use, unless --book says"),
    ("RUNABOUT_RATES", "the file of your own rates, unless --rates says"),
    ("RUNABOUT_TODAY", "the day to take as today, in place of the clock's"),
    ("NO_COLOR", "when not empty, no colour"),
    ("COLUMNS", "how wide to write, when the terminal does not say"),
    ("RUNABOUT_COMPLETE", "set by the completion script while a shell asks what could come next"),
    ("RUNABOUT_COMPLETING_WORD", "set by Bash's script: the word as it stands on the line"),
];

/// The cautions that go with all of it.
pub const CAUTIONS: &[&str] = &[
    "Runabout keeps a record; it gives no legal, tax or mechanical advice.",
    "Selling a car in an unroadworthy condition, or offering it for sale, is an offence (Road Traffic Act 1988 s.75); \
     so is using or keeping an untaxed car on a public road (Vehicle Excise and Registration Act 1994 s.29).",
    "Check figures for tax with HMRC's guidance or an accountant, and mechanical work with a licensed tester.",
    "Nothing is sent to anybody: the program makes no network connection.",
];

/// Command lines for the beginning, each with what it does.
pub const BEGINNING: &[Entry] = &[
    ("runabout pay-in 1,850", "put the money in hand in the book, which is made"),
    ("runabout buy KX42 RTO 485", "record a car bought"),
    ("runabout spend 54.85 mot --car KX42RTO", "record money spent on it"),
    ("runabout sell KX42 RTO 1,095", "record it sold, and see what was made"),
    ("runabout month", "see what the month made after everything, proved against the cash"),
];
