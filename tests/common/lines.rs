//! Command lines made from the program's own list of commands, for the test yard: one that can be read, of
//! every command, with whatever is needed, and as many at random as are wanted. A new command or option is
//! among them without being named here, unless its value is of a new kind.

use clap::{Arg, Command};
use runabout::cli::{self, Detail};
use runabout::domain::book::journey::Distance;
use runabout::domain::days::day::{DayAhead, WrittenDay};
use runabout::domain::days::month::WrittenMonth;
use runabout::domain::days::tax_year::TaxYear;
use runabout::domain::law::mot::Defect;
use runabout::domain::law::vehicle_tax::TaxMonths;
use runabout::domain::value::car_ref::CarRef;
use runabout::domain::value::count::Count;
use runabout::domain::value::hours::Hours;
use runabout::domain::value::invoice_number::PaperNumber;
use runabout::domain::value::mark::Mark;
use runabout::domain::value::pence::Pence;
use runabout::domain::value::percent::FeePercent;
use runabout::domain::value::target::{BoughtMark, Miles, ModelYear, Multiple, SplitPart, TakenIn, Whole};
use runabout::domain::value::vin::Vin;
use runabout::domain::value::wording::Wording;
use std::any::TypeId;
use std::path::Path;

/// A command that can be typed, with the words that lead to it.
#[derive(Clone)]
pub struct Leaf {
    /// `standing add`.
    pub path: Vec<String>,
    /// What clap knows of it.
    pub command: Command,
}

impl Leaf {
    /// The words as typed.
    pub fn name(&self) -> String {
        self.path.join(" ")
    }

    /// Its own arguments.
    pub fn arguments(&self) -> impl Iterator<Item = &Arg> {
        self.command.get_arguments().filter(|argument| !argument.is_global_set())
    }

    /// Whether it records, which every command that can be tried does.
    pub fn records(&self) -> bool {
        self.arguments().any(|argument| argument.get_id() == "dry_run")
    }
}

/// Every command, and every command of a command.
pub fn leaves() -> Vec<Leaf> {
    fn gather(command: &Command, path: &[String], all: &mut Vec<Leaf>) {
        for inner in command.get_subcommands() {
            let path = [path, &[inner.get_name().to_owned()]].concat();
            gather(inner, &path, all);
            if !inner.is_subcommand_required_set() {
                all.push(Leaf { path, command: inner.clone() });
            }
        }
    }
    let mut all = Vec::new();
    gather(&cli::command(&runabout::commands::GRAMMAR, Detail::Plain), &[], &mut all);
    all
}

/// Of which options a command needs one, as its help says and clap does not know or keeps in a group.
const ONE_OF: &[(&str, &[&str])] = &[
    ("spend", &["car", "overhead", "share", "split"]),
    ("receive", &["car", "other"]),
    ("tax", &["months", "sorn", "none"]),
    ("deposit", &["amount", "give_back", "keep"]),
    ("dispose", &["value"]),
    ("programme set", &["cars", "budget", "multiple"]),
    ("close", &["month", "reopen"]),
];

/// Words no two of which go together, for a line that is to be read: the first there is stays.
const APART: &[&str] =
    &["watch", "page", "html", "part", "purchase", "credit_note", "number", "unpaid", "paid", "auction", "fees"];

/// Files a test keeps in the yard's folder for the lines to name.
pub const MONEY_SHEET: &str = "money.csv";
/// Cars of a spreadsheet.
pub const CARS_SHEET: &str = "cars.csv";
/// A bill.
pub const BILL: &str = "bill.pdf";
/// An auction's fees.
pub const FEES: &str = "fees.txt";

/// What is written beside the book for the lines to name.
pub fn with_files(folder: &Path) {
    let write = |name: &str, text: &str| std::fs::write(folder.join(name), text).unwrap();
    write(MONEY_SHEET, "on,amount,heading,car,note\n3/11/2026,54.85,mot,15,\n4/11/2026,27.50,fuel,,both vans\n");
    write(CARS_SHEET, "mark,bought_on,purchase_price,from\nQX90001,1/11/2026,385,Hob Lane\n");
    write(BILL, "%PDF-1.4 a bill");
    write(FEES, "0=54.85\n200=115\n");
}

/// Makes lines up. The same seed makes the same lines.
pub struct Typist {
    state: u64,
    /// Where files are.
    folder: String,
    made: u64,
}

impl Typist {
    /// Whose files are in a folder.
    pub fn new(seed: u64, folder: &Path) -> Self {
        Self { state: seed, folder: folder.display().to_string(), made: 0 }
    }

    /// One of the next numbers up to `most`, which is not among them (`SplitMix64`: Steele, Lea and Flood,
    /// Fast splittable pseudorandom number generators, OOPSLA 2014, figure 17).
    pub fn below(&mut self, most: usize) -> usize {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        usize::try_from((mixed ^ (mixed >> 31)) % most.max(1) as u64).unwrap()
    }

    fn pick<'w>(&mut self, words: &[&'w str]) -> &'w str {
        words[self.below(words.len())]
    }

    fn chance(&mut self, in_a_hundred: usize) -> bool {
        self.below(100) < in_a_hundred
    }

    /// A line of a command with what it needs and nothing else.
    pub fn least(&mut self, leaf: &Leaf) -> Vec<String> {
        self.line_with(leaf, 0, 0)
    }

    /// A line of a command with some of its options, most of them of the right kind.
    pub fn line(&mut self, leaf: &Leaf) -> Vec<String> {
        self.line_with(leaf, 15, 3)
    }

    fn line_with(&mut self, leaf: &Leaf, optional: usize, wrong: usize) -> Vec<String> {
        let name = leaf.name();
        let one_of = ONE_OF.iter().find(|(command, _)| *command == name).map_or(&[][..], |(_, ids)| ids);
        let chosen = if one_of.is_empty() { "" } else { one_of[self.below(one_of.len())] };
        let mut words = leaf.path.clone();
        let mut apart = false;
        for argument in leaf.arguments() {
            let id = argument.get_id().as_str();
            let wanted = if one_of.contains(&id) {
                id == chosen
            } else if argument.is_required_set() {
                !self.chance(wrong)
            } else {
                id != "tax_until" && self.chance(if argument.is_positional() { optional * 3 } else { optional })
            };
            if !wanted || (apart && APART.contains(&id)) {
                continue;
            }
            apart |= APART.contains(&id);
            let value = if self.chance(wrong) { self.wrong() } else { self.value(leaf, argument) };
            match argument.get_long() {
                Some(long) if argument.get_action().takes_values() => words.extend([format!("--{long}"), value]),
                Some(long) => words.push(format!("--{long}")),
                None => words.push(value),
            }
        }
        words
    }

    /// A value of no kind, or of the kind at its bounds.
    fn wrong(&mut self) -> String {
        let words = [
            "?!",
            "-5",
            "1e9",
            "0",
            "",
            " ",
            "\u{7}",
            "99999999999999999999",
            "31/2",
            "é",
            "none",
            "--",
            "a=b",
            "2100-01-01",
            "1.005",
            "KX12RTO",
            "\u{202e}",
            "9999 days ago",
        ];
        self.pick(&words).to_owned()
    }

    /// A value of the kind the argument takes.
    pub fn value(&mut self, leaf: &Leaf, argument: &Arg) -> String {
        let id = argument.get_id().as_str();
        let parser = argument.get_value_parser().type_id();
        let is = |kind: TypeId| parser == kind;
        let words = cli::words::accepted(argument);
        if !words.is_empty() && id != "month" {
            return words[self.below(words.len())].clone();
        }
        let possible: Vec<String> =
            argument.get_possible_values().iter().map(|value| value.get_name().to_owned()).collect();
        if !possible.is_empty() {
            return possible[self.below(possible.len())].clone();
        }
        if is(TypeId::of::<CarRef>()) {
            let marks = ["JU08HVD", "TK10 WBE", "tu09gle", "UJ62TAV", "12", "#3"];
            return if self.chance(20) { self.pick(&marks).into() } else { (self.below(18) + 1).to_string() };
        }
        if is(TypeId::of::<Pence>()) {
            let kinds = [
                self.below(90).to_string(),
                format!("{}.{:02}", self.below(900), self.below(100)),
                format!("£1,{:03}.50", self.below(900)),
            ];
            return kinds[self.below(3)].clone();
        }
        if is(TypeId::of::<WrittenDay>()) {
            let days = ["today", "yesterday", "3 days ago", "mon", "21/11", "1 Nov 2026", "2026-10-31", "12.9.26"];
            return self.pick(&days).into();
        }
        if is(TypeId::of::<DayAhead>()) {
            let days = ["2026-12-24", "in 10 days", "1/3/2027", "today", "2026-11-01", "30 Sep 2027"];
            return self.pick(&days).into();
        }
        if is(TypeId::of::<WrittenMonth>()) || id == "month" {
            return self.pick(&["nov", "last", "2026-09", "oct 2026", "this", "dec 2025"]).into();
        }
        if is(TypeId::of::<BoughtMark>()) || is(TypeId::of::<Mark>()) {
            self.made += 1;
            return format!("QX{}", 10_000 + self.made);
        }
        if is(TypeId::of::<TakenIn>()) {
            self.made += 1;
            return format!("QX{}={}", 10_000 + self.made, self.below(300));
        }
        if is(TypeId::of::<SplitPart>()) {
            return self.pick(&["12=15", "overhead=36", "15=27.50"]).into();
        }
        if is(TypeId::of::<Vin>()) {
            self.made += 1;
            return format!("BRNDLEX{:010}", self.made);
        }
        if is(TypeId::of::<Defect>()) {
            return self
                .pick(&["major:brake hose perished", "advisory:tyre worn", "minor:wiper", "dangerous:strut"])
                .into();
        }
        if is(TypeId::of::<Hours>()) {
            return self.pick(&["2", "1h30", "0:45", "2.5"]).into();
        }
        if is(TypeId::of::<TaxMonths>()) {
            return self.pick(&["6", "12"]).into();
        }
        if is(TypeId::of::<TaxYear>()) {
            return self.pick(&["2026-27", "2025-26", "25/26"]).into();
        }
        if is(TypeId::of::<ModelYear>()) {
            return (1995 + self.below(30)).to_string();
        }
        if is(TypeId::of::<Miles>()) || is(TypeId::of::<Distance>()) {
            return if is(TypeId::of::<Miles>()) { format!("{}", 60_000 + self.below(60_000)) } else { "12.5".into() };
        }
        if is(TypeId::of::<Multiple>()) || is(TypeId::of::<FeePercent>()) {
            return self.pick(&["2", "1.75", "5"]).into();
        }
        if is(TypeId::of::<PaperNumber>()) {
            return self.pick(&["S1", "C1", "1"]).into();
        }
        if is(TypeId::of::<Whole>()) {
            let due = ["161", "1610", "1713"];
            return if id == "items" { self.pick(&due).into() } else { (self.below(190) + 1).to_string() };
        }
        if is(TypeId::of::<Wording>()) {
            let standing = ["yard rent", "trade insurance", "yard phone"];
            let names = ["R Ashdown", "Hob Lane", "D Farrow", "Zoë O'Brien-Ünal", "Marl Cross Auctions", "=sum(A1)"];
            return self.pick(if id == "name" && leaf.name() != "forget" { &standing } else { &names }).into();
        }
        if is(TypeId::of::<std::path::PathBuf>()) {
            return self.file(leaf, id);
        }
        self.words(leaf, id).unwrap_or_else(|| {
            // Every count takes 5 but the ones that have it for their least.
            assert!(is(TypeId::of::<String>()) || is_count(argument), "{}: {id} is of a new kind", leaf.name());
            (5 + self.below(15)).to_string()
        })
    }

    /// What is typed for a part that is read as text.
    fn words(&mut self, leaf: &Leaf, id: &str) -> Option<String> {
        let costs = ["parts", "mot", "labour", "fuel", "rent", "bodywork", "balance"];
        let receipts = ["wheels-sold", "parts-sold", "scrap-sold", "other-income", "balance"];
        Some(match id {
            "heading" => self.pick(if leaf.name() == "receive" { &receipts } else { &costs }).to_owned(),
            "field" => self.pick(&["price", "on", "amount", "to", "note", "paid", "miles", "make"]).to_owned(),
            "value" if leaf.name() == "amend" => self.pick(&["36", "2026-11-20", "cash", "Hob Lane"]).to_owned(),
            "key" => self.pick(&["remind-days", "trader-name", "default-paid", "heading:dents"]).to_owned(),
            "value" => self.pick(&["21", "cash", "goods", "none"]).to_owned(),
            "part" => "months".to_owned(),
            "purpose" | "text" => "to the auction and back".to_owned(),
            "command" => self.pick(&["spend", "buy"]).to_owned(),
            "tax_until" => "2027-01-01".to_owned(),
            _ => return None,
        })
    }

    fn file(&mut self, leaf: &Leaf, id: &str) -> String {
        self.made += 1;
        let name = match (leaf.name().as_str(), id) {
            ("import", _) => self.pick(&[MONEY_SHEET, CARS_SHEET, "not-there.csv"]).to_owned(),
            (_, "receipt") | ("receipt", _) => BILL.to_owned(),
            (_, "fees") => FEES.to_owned(),
            _ => format!("made-{}", self.made),
        };
        format!("{}/{name}", self.folder)
    }
}

/// Whether it takes a whole number within bounds, whichever they are.
fn is_count(argument: &Arg) -> bool {
    format!("{:?}", argument.get_value_parser())
        .contains(std::any::type_name::<Count<0, 1>>().split('<').next().unwrap())
}
