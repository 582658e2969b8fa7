//! A file that may not grow: the limit of the system stands in for a disk that is full.

use crate::common::Yard;
use crate::told::{TODAY, program};
use std::process::{Command, Output};

/// Runs the program where no file may grow beyond so many blocks of 512 bytes.
fn run_within(blocks: u64, yard: &Yard, words: &[&str]) -> Output {
    let real = program(&yard.book());
    let mut shell = Command::new("sh");
    // Ignored, the signal becomes an error of the write, as a full disk is.
    shell.args(["-c", "trap '' XFSZ && ulimit -f \"$0\" && exec \"$@\"", &blocks.to_string()]);
    shell.arg(real.get_program()).args(words);
    for (name, value) in real.get_envs() {
        match value {
            Some(value) => shell.env(name, value),
            None => shell.env_remove(name),
        };
    }
    shell.output().unwrap()
}

#[test]
fn what_does_not_fit_is_refused_in_plain_words_and_the_book_is_as_it_was() {
    let yard = Yard::new(TODAY);
    yard.ok("pay-in 3000");
    yard.ok("buy KX42RTO 465");
    let before = yard.dump();
    for (blocks, words) in [
        (0, vec!["spend", "5", "mot", "--car", "1"]),
        (1, vec!["spend", "5", "mot", "--car", "1"]),
        (9, vec!["spend", "5", "mot", "--car", "1"]),
        (64, vec!["sell", "1", "935", "--to", "D Farrow"]),
        (0, vec!["backup"]),
        (400, vec!["backup"]),
    ] {
        let answer = run_within(blocks, &yard, &words);
        let said = String::from_utf8(answer.stderr).unwrap();
        assert_eq!((answer.status.code(), answer.stdout), (Some(4), Vec::new()), "{words:?} in {blocks}: {said}");
        assert!(said.starts_with("error: ") && !said.contains("report this"), "{words:?} in {blocks}: {said}");
        assert_eq!(yard.run("verify").code, 0, "{words:?} in {blocks}");
        assert_eq!(yard.dump(), before, "{words:?} in {blocks}");
    }
    assert_eq!(std::fs::read_dir(yard.folder().join("yard.backups")).unwrap().count(), 0, "no half copy is left");
    assert!(run_within(1_000_000, &yard, &["spend", "5", "mot", "--car", "1"]).status.success());
}

#[test]
fn a_page_that_does_not_fit_leaves_the_one_before_it_as_it_was() {
    let yard = Yard::new(TODAY);
    yard.ok("pay-in 3000");
    yard.ok("buy KX12RTO 480");
    yard.ok("sell 1 905 --to \"D Farrow\"");
    let there = |yard: &Yard| {
        let names = std::fs::read_dir(yard.folder()).unwrap().map(|file| file.unwrap().file_name());
        names.collect::<std::collections::BTreeSet<_>>()
    };
    for line in ["page", "month --page", "calendar", "stock-book --html", "invoice 1"] {
        for blocks in [0, 1] {
            let file = yard.folder().join(format!("{blocks}.{}", line.len()));
            let words: Vec<&str> = line.split(' ').chain(["--out", file.to_str().unwrap()]).collect();
            let before = there(&yard);
            let refused = |why: &str| {
                let answer = run_within(blocks, &yard, &words);
                let said = String::from_utf8(answer.stderr).unwrap();
                assert_eq!(answer.status.code(), Some(1), "{line} in {blocks}, {why}: {said}");
                assert!(said.contains("could not be written"), "{line} in {blocks}, {why}: {said}");
            };
            refused("new");
            assert_eq!(there(&yard), before, "{line} in {blocks}: nothing is left");
            assert!(run_within(1_000_000, &yard, &words).status.success());
            let whole = std::fs::read(&file).unwrap();
            refused("again");
            assert_eq!(std::fs::read(&file).unwrap(), whole, "{line} in {blocks}");
            std::fs::remove_file(&file).unwrap();
        }
    }
}
