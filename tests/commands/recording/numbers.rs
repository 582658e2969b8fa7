//! Numbers of three kinds side by side, each told for what it is; and a read-back that stays short.

use crate::common::Yard;
use clap::{Arg, Command, CommandFactory};
use runabout::commands::Cli;

/// Every command that takes the number of a car or an entry or of what is due, and a line for it.
const TYPED: &[(&str, &str)] = &[
    ("amend", "amend {} amount 15"),
    ("ask", "ask {} 795"),
    ("car", "car {}"),
    ("check", "check {} identity done"),
    ("deposit", "deposit {} 55"),
    ("dispose", "dispose {} scrapped"),
    ("done", "done {}"),
    ("hours", "hours {} 2"),
    ("invoice", "invoice {}"),
    ("log", "log {}"),
    ("mark", "mark {} TB12KEM"),
    ("mot", "mot {} pass"),
    ("note", "note {} tyre ordered"),
    ("offer", "offer {} 640"),
    ("receipt", "receipt {} slip.jpg"),
    ("receive", "receive 12 parts-sold --car {}"),
    ("sell", "sell {} 760"),
    ("spend", "spend 15 parts --car {}"),
    ("take-back", "take-back {}"),
    ("tax", "tax {} --sorn"),
    ("undo", "undo {}"),
    ("write-off", "write-off {} 15"),
];

/// Four cars by an import, so that there are fewer entries than cars.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    let rows = (1..=4).map(|n| format!("TU1{n}RTO,3/10/2026,385\r\n")).collect::<String>();
    std::fs::write(yard.folder().join("cars.csv"), format!("mark,bought_on,purchase_price\r\n{rows}")).unwrap();
    std::fs::write(yard.folder().join("slip.jpg"), b"\xFF\xD8\xFF\xE0 a photo").unwrap();
    yard.ok(&format!("import {}", yard.folder().join("cars.csv").display()));
    for n in 2..=6 {
        yard.ok(&format!("pay-in {n}0.50"));
    }
    yard
}

fn takes_a_number(argument: &Arg) -> bool {
    let named = |name: &str| argument.get_value_names().is_some_and(|names| names.iter().any(|found| found == name));
    argument.get_id() == "car" || named("ENTRY") || named("ITEM-NUMBER") || argument.get_id() == "entry"
}

#[test]
fn every_command_that_takes_a_number_says_what_kind_another_is() {
    let yard = yard();
    let slip = yard.folder().join("slip.jpg").display().to_string();
    let mut found = Vec::new();
    for command in Cli::command().get_subcommands().filter(|command| command.get_arguments().any(takes_a_number)) {
        let name = command.get_name().to_owned();
        let (_, line) = TYPED.iter().find(|(typed, _)| *typed == name).unwrap_or_else(|| panic!("no line for {name}"));
        let kind = kind_of(command);
        // 4 is a car and an entry, 5 an entry alone, 161 the notice that car 1 was bought.
        for (number, is) in [
            ("5", "5 is an entry, which says: paid in £50.50"),
            ("161", "161 is an item of `due`, about 1 TU11 RTO\nhint: `runabout done 161` marks it\n"),
        ] {
            let is_asked_for = (kind == "entry" && number == "5") || (kind == "due" && number == "161");
            if is_asked_for {
                continue;
            }
            let typed = line.replace("{}", number).replace("slip.jpg", &slip);
            let said = yard.refused(&typed).err;
            assert!(said.contains(is), "`{typed}`: {said}");
        }
        found.push(name);
    }
    assert_eq!(found.len(), TYPED.len(), "{found:?}");
}

fn kind_of(command: &Command) -> &'static str {
    match command.get_name() {
        "undo" | "amend" | "receipt" => "entry",
        "done" => "due",
        _ => "car",
    }
}

#[test]
fn the_number_of_a_car_typed_for_another_kind_says_which_car() {
    let yard = Yard::new("2026-11-25");
    let rows = (1..=4).map(|n| format!("TU1{n}RTO,3/10/2026,385\r\n")).collect::<String>();
    std::fs::write(yard.folder().join("cars.csv"), format!("mark,bought_on,purchase_price\r\n{rows}")).unwrap();
    yard.ok(&format!("import {}", yard.folder().join("cars.csv").display()));
    for line in ["undo 3", "amend 3 price 420", "done 3"] {
        let said = yard.refused(line).err;
        assert!(
            said.contains("3 is a car, 3 TU13 RTO\nhint: `runabout log 3` lists the entries of that car"),
            "{said}"
        );
    }
    // One that is of no kind is only that.
    let said = yard.refused("undo 99").err;
    assert_eq!(said, "error: there is no entry 99\nhint: `runabout log` lists the entries\n");
    // Asked for on a terminal, it is told in the same words.
    let asked = yard.run_answering("note", &["161", "."]);
    assert!(asked.err.contains("161 is an item of `due`, about 1 TU11 RTO"), "{}", asked.err);
}

#[test]
fn the_read_back_of_an_import_is_ten_lines_at_most() {
    let yard = Yard::new("2026-11-25");
    let row = |n: u32| {
        let sale = if n.is_multiple_of(2) { "20/9/2026,760" } else { "," };
        format!(
            "TU{:02}R{}{},3/8/2026,385,{sale}\r\n",
            n % 90 + 2,
            char::from(b'A' + u8::try_from(n / 90).unwrap()),
            "TO"
        )
    };
    let rows: String = (0..180).map(row).collect();
    let sheet = format!("mark,bought_on,purchase_price,sold_on,selling_price\r\n{rows}");
    let file = yard.folder().join("cars.csv");
    std::fs::write(&file, sheet).unwrap();
    let line = format!("import {}", file.display());
    let tried = yard.json(&format!("{line} --dry-run"));
    assert_eq!(tried["cars"].as_array().unwrap().len(), 180);
    let shown = yard.run_at(&line, 80);
    assert_eq!(shown.code, 0, "{}", shown.err);
    let lines = shown.out.lines().count() + shown.err.lines().count();
    assert!(lines <= 10, "{lines} lines: {}{}", shown.out, shown.err);
    assert!(yard.run_at("undo", 80).out.lines().count() <= 10);
}
