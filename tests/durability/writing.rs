//! Every command that writes, once: how it is typed, where, and what it is there to write.

use crate::yards::Seed;
use std::collections::BTreeSet;
use std::path::PathBuf;

/// One way the program writes.
#[derive(Clone, Copy, Debug)]
pub struct Writing {
    /// As typed.
    pub line: &'static str,
    /// Where.
    pub seed: Seed,
    /// The file it is there to write, or the folder, with a stroke at its end. Digits of a clock in a name
    /// are `TIME`.
    pub writes: &'static str,
    /// What may still be to do when that is written: whoever types the command again has it done.
    pub follows: &'static str,
    /// A folder whose files come one by one; otherwise it is there whole or not at all, and while one gives way
    /// to another perhaps neither.
    pub file_by_file: bool,
    /// What no file of the yard may hold once it is done.
    pub wipes: Option<&'static str>,
    /// How often it is tried beside the others; with 0 only in a documented run.
    pub weight: u32,
}

impl Writing {
    /// The words typed.
    pub fn words(&self) -> Vec<String> {
        shlex::split(self.line).unwrap()
    }

    const fn often(self) -> Self {
        Self { weight: 4, ..self }
    }
}

const BOOK: &str = "yard.book";

const fn to(writes: &'static str, line: &'static str) -> Writing {
    Writing { line, seed: Seed::Filled, writes, follows: "", file_by_file: false, wipes: None, weight: 1 }
}

const fn entry(line: &'static str) -> Writing {
    to(BOOK, line)
}

/// The table. A command that writes and has no row here fails a test below.
pub const WRITINGS: &[Writing] = &[
    entry("buy UU10BRK 520 --from 'I Mabey'").often(),
    entry("spend 27.50 fuel --car 2").often(),
    entry("spend 54.85 mot --car 4 --receipt slip.pdf"),
    entry("sell 2 1345 --to 'R Tansley'").often(),
    entry("receipt 10 slip.pdf").often(),
    entry("undo").often(),
    entry("close 2026-10").often(),
    Writing { follows: "yard.receipts/", wipes: Some("N Ellery"), ..entry("forget 'N Ellery' --notes --receipts") }
        .often(),
    entry("import money.csv").often(),
    Writing { seed: Seed::NoBook, ..entry("import exported") }.often(),
    Writing { seed: Seed::NoBook, ..entry("pay-in 1500") },
    to("yard.backups/yard-TIME.book", "backup").often(),
    to("stick.book", "backup stick.book").often(),
    entry("restore other/copy.book").often(),
    to("whole-book/", "export whole-book").often(),
    Writing { seed: Seed::Exported, ..to("exported/", "export exported --replace") },
    to("year-end/", "export year-end --year 2026-27").often(),
    to("yard.html", "page --out yard.html").often(),
    to("dates.ics", "calendar --out dates.ics"),
    to("month.html", "month oct --page --out month.html"),
    to("stock-book.html", "stock-book --html --out stock-book.html"),
    to("invoice.html", "invoice 1 --out invoice.html"),
    Writing { file_by_file: true, ..to("man1/", "manual --dir man1") },
    Writing { weight: 0, ..to("practice.book", "demo --book practice.book") },
    entry("receive 45.20 wheels-sold --car 2"),
    entry("hours 2 2h30"),
    entry("journey 42 'to the auction and back'"),
    entry("note 2 'clutch slips when hot'"),
    entry("mark 4 JU08HVD"),
    entry("mot 2 pass --fee 54.85 --until 2027-12-05"),
    entry("tax 2 --sorn"),
    entry("check 2 inspection done"),
    entry("ask 2 1395"),
    entry("offer 2 1150 --by 'R Tansley'"),
    entry("deposit 2 75 --by 'R Tansley'"),
    entry("take-back 3 --reason 'gearbox failed'"),
    entry("dispose 4 scrapped --received 180 --certificate CD1234567"),
    entry("write-off 1 50"),
    entry("pay-in 515"),
    entry("draw 65"),
    entry("move 85 bank cash"),
    entry("done 161"),
    entry("programme set --budget 750 --from 2026-12"),
    entry("standing add 'unit insurance' 64 --every year --from 2026-11-01"),
    entry("standing stop 'yard rent'"),
    entry("standing change 'yard rent' 105 --from 2026-12-01"),
    entry("standing skip 'yard rent' --on 2026-12-01"),
    entry("paper add 'unit insurance' --until 2027-02-28"),
    entry("paper renew 'trade insurance' --until 2028-03-14"),
    entry("paper remove 'trade insurance'"),
    entry("amend 12 price 655"),
    entry("settings set default-paid cash"),
];

/// Commands that write without an option that says so.
const WRITE_BY_THEMSELVES: &[&str] = &["backup", "demo", "restore"];

/// Commands that only look, but for the files their options name.
const LOOK: &[&str] = &[
    "bid",
    "calendar",
    "car",
    "cash",
    "completions",
    "due",
    "export",
    "forecast",
    "invoice",
    "lessons",
    "log",
    "manual",
    "month",
    "page",
    "paper",
    "paper list",
    "programme",
    "rates",
    "results",
    "settings",
    "settings headings",
    "standing",
    "standing list",
    "stock",
    "stock-book",
    "tax-year",
    "vat",
    "verify",
];

/// Options, of any command, and words of one that name a file to be read.
const READ: &[&str] = &["fees", "receipt", "import file", "receipt file", "restore file"];

/// Every command that can be typed, by its words.
fn commands() -> Vec<(String, clap::Command)> {
    let mut found = Vec::new();
    let mut waiting =
        vec![(String::new(), runabout::cli::command(&runabout::commands::GRAMMAR, runabout::cli::Detail::Full))];
    while let Some((words, command)) = waiting.pop() {
        for inner in command.get_subcommands().filter(|inner| inner.get_name() != "help") {
            waiting.push((format!("{words} {}", inner.get_name()).trim().to_owned(), inner.clone()));
        }
        if !words.is_empty() && !command.is_subcommand_required_set() {
            found.push((words, command));
        }
    }
    found
}

/// The ways one command writes: itself when it can be tried with `--dry-run`, and each file it is told to write.
fn ways(words: &str, command: &clap::Command) -> Vec<String> {
    let is_path = |argument: &&clap::Arg| argument.get_value_parser().type_id() == std::any::TypeId::of::<PathBuf>();
    let paths = command.get_arguments().filter(is_path).map(|argument| format!("{words} {}", argument.get_id()));
    let records = command.get_arguments().any(|argument| argument.get_id() == "dry_run");
    let is_read = |way: &String| READ.iter().any(|read| format!(" {way}").ends_with(&format!(" {read}")));
    let mut ways: Vec<String> = paths.filter(|way| !is_read(way)).collect();
    if records || WRITE_BY_THEMSELVES.contains(&words) {
        ways.push(words.to_owned());
    }
    ways
}

/// The ways a row of the table is for.
fn ways_of(line: &str) -> Vec<String> {
    let typed = std::iter::once("runabout".to_owned()).chain(shlex::split(line).unwrap()).collect::<Vec<_>>();
    let root = runabout::cli::command(&runabout::commands::GRAMMAR, runabout::cli::Detail::Full);
    let mut matches = root.try_get_matches_from(&typed).unwrap_or_else(|error| panic!("`{line}`: {error}"));
    let mut words = Vec::new();
    while let Some((name, inner)) = matches.remove_subcommand() {
        words.push(name);
        matches = inner;
    }
    let words = words.join(" ");
    let named = matches.ids().map(|id| format!("{words} {id}"));
    named.chain([words.clone()]).collect()
}

#[test]
fn every_command_that_writes_is_in_the_table() {
    let tried: BTreeSet<String> = WRITINGS.iter().flat_map(|writing| ways_of(writing.line)).collect();
    for (words, command) in commands() {
        let ways = ways(&words, &command);
        for way in &ways {
            assert!(tried.contains(way), "`{way}` writes, and tests/durability/writing.rs has no row for it");
        }
        let looks = LOOK.contains(&words.as_str());
        assert!(!looks || !ways.contains(&words), "`{words}` records: it does not only look");
        assert!(
            looks || ways.contains(&words),
            "does `{words}` write? Then it needs a row in tests/durability/writing.rs"
        );
    }
}
