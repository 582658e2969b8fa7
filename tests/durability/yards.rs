//! Where the commands that write are tried: a yard with something of everything in it, and none yet; in
//! each, files of somebody else's beside the book, named much as the program names its own.

use crate::common::Yard;
use crate::told::TODAY;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

/// What a command finds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seed {
    /// A yard with cars, a closed month, receipts, a page made yesterday.
    Filled,
    /// The files beside it, but no book yet.
    NoBook,
    /// The same with a folder of all of it, but for the last note.
    Exported,
}

/// What was typed in the filled yard.
const LINES: &[&str] = &[
    "settings set trader-name \"Wend Lane Motors\"",
    "pay-in 6000 --on 1/9/2026",
    "pay-in 250 --loan \"Aunt Wyn\" --on 1/9/2026",
    "move 350 bank cash --on 2/9/2026",
    "programme set --cars 1 --budget 620 --multiple 2 --from 2026-09",
    "standing add \"yard rent\" 95 --every month --from 2026-09-01 --heading rent",
    "paper add \"trade insurance\" --until 2027-03-14",
    "buy UT08KEM 430 --on 3/9/2026 --from \"B Larkin\" --make Tamsel --miles 62100",
    "spend 54.85 mot --car 1 --on 4/9/2026 --receipt {}/bill.pdf",
    "spend 36 fuel --overhead --on 5/9/2026",
    "sell 1 985 --on 20/9/2026 --to \"D Farrow\" --paid-amount 935",
    "buy JK12FDY 640 --on 3/10/2026 --from \"H Stobart\" --make Pendry --mot-until 2026-12-06",
    "ask 2 1495 --on 4/10/2026",
    "offer 2 1200 --by \"N Ellery\" --on 5/10/2026",
    "receipt 14 {}/offer.pdf",
    "buy TJ57VMP 410 --on 6/10/2026 --from \"K Dorrow\"",
    "sell 3 880 --on 20/10/2026 --to \"P Sandon\"",
    "buy TT09NHO 340 --on 9/11/2026 --from \"Mrs Venn\"",
    "close 2026-09",
];

/// What the program has written for the trader before today.
const WRITTEN: &[&str] =
    &["page --out {}/yard.html --as-of 24/11/2026", "calendar --out {}/dates.ics --within 30 --as-of 24/11/2026"];

/// Somebody else's files. Each stays as it is, whatever becomes of a command.
const STRANGERS: &[&str] = &[
    "yard.book.part",
    "stick.book.part",
    "yard.html.part",
    "x.part",
    "incoming-1-0.part",
    "whole-book.part/letter.txt",
    "year-end.part/letter.txt",
    "yard.part/letter.txt",
    "stick.receipts/letter.txt",
    "yard.receipts/letter.txt",
    "yard.backups/letter.txt",
];

/// Lines of money to import.
pub const SHEET_LINES: u32 = 5_000;

impl Seed {
    /// Made once for all tests.
    pub fn yard(self) -> &'static Yard {
        static FILLED: OnceLock<Yard> = OnceLock::new();
        static NO_BOOK: OnceLock<Yard> = OnceLock::new();
        static EXPORTED: OnceLock<Yard> = OnceLock::new();
        match self {
            Self::Filled => FILLED.get_or_init(filled),
            Self::NoBook => NO_BOOK.get_or_init(|| {
                let yard = with_files_of_filled();
                Self::Filled.yard().ok(&format!("export {}", yard.folder().join("exported").display()));
                yard
            }),
            Self::Exported => EXPORTED.get_or_init(|| {
                let yard = Yard::new(TODAY);
                copy(Self::Filled.yard().folder(), yard.folder());
                yard.ok(&format!("export {}", yard.folder().join("exported").display()));
                yard.ok("note 2 'clutch slips when hot'");
                yard
            }),
        }
    }
}

fn filled() -> Yard {
    let yard = Yard::new(TODAY);
    let folder = yard.folder();
    for (name, holds) in [("bill.pdf", "a bill"), ("offer.pdf", "an offer"), ("slip.pdf", "a slip")] {
        fs::write(folder.join(name), format!("%PDF-1.7 {holds}")).unwrap();
    }
    fs::write(folder.join("money.csv"), sheet()).unwrap();
    let typed = |line: &str| line.replace("{}", &folder.display().to_string());
    for line in LINES.iter().chain(WRITTEN) {
        yard.ok(&typed(line));
    }
    let other = Yard::new(TODAY);
    other.ok("pay-in 1500 --on 1/8/2026");
    other.ok("buy TK11PLU 680 --on 2/8/2026 --from \"F Hollis\"");
    let slip = folder.join("slip.pdf");
    other.ok(&format!("spend 15 parts --car 1 --on 3/8/2026 --receipt {}", slip.display()));
    other.ok(&typed("backup {}/other/copy.book"));
    for stranger in STRANGERS {
        let path = folder.join(stranger);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, "somebody else's").unwrap();
    }
    yard
}

fn sheet() -> String {
    let day = |line| line % 25 + 1;
    let lines = (0..SHEET_LINES)
        .map(|line| format!("{}/11/2026,{}.{:02},fuel,line {line}\n", day(line), 5 + line / 100, line % 100));
    std::iter::once("on,amount,heading,note\n".to_owned()).chain(lines).collect()
}

/// Everything the filled yard has, but for the book and its receipts.
fn with_files_of_filled() -> Yard {
    let yard = Yard::new(TODAY);
    copy(Seed::Filled.yard().folder(), yard.folder());
    fs::remove_file(yard.book()).unwrap();
    for file in fs::read_dir(yard.folder().join("yard.receipts")).unwrap() {
        let path = file.unwrap().path();
        if !path.ends_with("letter.txt") {
            fs::remove_file(path).unwrap();
        }
    }
    yard
}

/// Copies a folder with everything in it into another, which is there.
pub fn copy(from: &Path, to: &Path) {
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
