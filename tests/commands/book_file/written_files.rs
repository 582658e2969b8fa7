//! What is written for somebody: whole or not at all, and never over what is not the program's to write over.

use crate::common::{Ran, Yard};
use clap::Command;
use runabout::cli::{self, Detail};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Every command with a way to name the file it writes, and a line that writes it.
const WRITING: &[(&str, &str)] = &[
    ("page", "page"),
    ("month", "month --page"),
    ("calendar", "calendar"),
    ("stock-book", "stock-book --html"),
    ("invoice", "invoice 1"),
];

/// What was typed into the receipt of the yard; reckoned with `printf '%%PDF-1.7 a bill' | sha256sum`.
const BILL: &[u8] = b"%PDF-1.7 a bill";

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    fs::write(yard.folder().join("bill.pdf"), BILL).unwrap();
    for line in [
        "pay-in 3000 --on 1/10/2026".to_owned(),
        "buy KX12RTO 480 --on 3/10/2026".into(),
        format!("spend 36 fuel --car 1 --on 4/10/2026 --receipt {}", yard.folder().join("bill.pdf").display()),
        "sell 1 905 --on 20/10/2026 --to \"D Farrow\"".into(),
    ] {
        yard.ok(&line);
    }
    yard
}

fn receipt(yard: &Yard) -> PathBuf {
    let mut receipts = fs::read_dir(yard.folder().join("yard.receipts")).unwrap();
    receipts.next().unwrap().unwrap().path()
}

/// Everything below a folder: names, links, and what is in the files.
fn tree(folder: &Path) -> BTreeSet<(PathBuf, Vec<u8>)> {
    let mut found = BTreeSet::new();
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.is_symlink() {
            found.insert((path.clone(), fs::read_link(&path).unwrap().into_os_string().into_encoded_bytes()));
        } else if path.is_dir() {
            found.extend(tree(&path));
            found.insert((path, Vec::new()));
        } else {
            found.insert((path.clone(), fs::read(&path).unwrap()));
        }
    }
    found
}

/// The commands that can be told where to write, as clap knows them.
fn told_where(root: &Command) -> Vec<&Command> {
    let where_to = |command: &&Command| {
        let written = ["out", "dir"].map(Some);
        command.get_arguments().any(|arg| written.contains(&arg.get_long()))
    };
    root.get_subcommands().filter(where_to).collect()
}

#[test]
fn every_command_that_writes_a_file_says_what_it_may_write_over() {
    let root = cli::command(&runabout::commands::GRAMMAR, Detail::Full);
    let commands = told_where(&root);
    assert!(commands.len() >= 6, "{commands:?}");
    let by_position = ["backup", "export"].map(|name| root.find_subcommand(name).unwrap());
    for command in commands.iter().copied().chain(by_position) {
        let replace = command.get_arguments().find(|arg| arg.get_long() == Some("replace"));
        assert!(replace.is_some_and(|arg| arg.get_help().is_some()), "{} has no --replace", command.get_name());
    }
    for command in commands.iter().filter(|command| command.get_name() != "manual") {
        assert!(
            WRITING.iter().any(|(name, _)| *name == command.get_name()),
            "{} is not tried here",
            command.get_name()
        );
    }
}

/// A line that writes to `out`, which must change nothing at all.
fn refused(yard: &Yard, line: &str, out: &Path, says: &str) {
    let before = tree(yard.folder());
    let ran = yard.run(&format!("{line} --out '{}'", out.display()));
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "`{line}` to {}: {}", out.display(), ran.err);
    assert!(ran.err.contains(says), "`{line}` to {} should say {says:?}: {}", out.display(), ran.err);
    assert_eq!(tree(yard.folder()), before, "`{line}` to {}", out.display());
}

#[cfg(unix)]
#[test]
fn books_copies_and_receipts_are_never_written_over_by_any_name() {
    let yard = yard();
    let at = |name: &str| yard.folder().join(name);
    let other = Yard::new("2026-11-25");
    other.ok("pay-in 15");
    fs::copy(other.book(), at("other.db")).unwrap();
    yard.ok("backup");
    let mut copy = fs::read_dir(at("yard.backups")).unwrap().map(|file| file.unwrap().path());
    let copy = copy.find(|path| path.extension().is_some_and(|ending| ending == "book")).unwrap();
    std::os::unix::fs::symlink(yard.book(), at("link.html")).unwrap();
    std::os::unix::fs::symlink("link.html", at("link-to-link.html")).unwrap();
    fs::hard_link(yard.book(), at("hard.html")).unwrap();
    std::os::unix::fs::symlink(receipt(&yard), at("bill-link.html")).unwrap();
    fs::hard_link(receipt(&yard), at("bill-hard.html")).unwrap();
    // A book that is damaged does not say what it is.
    fs::write(at("torn.book"), "torn to pieces").unwrap();
    std::os::unix::fs::symlink("nowhere", at("dangling.html")).unwrap();
    fs::create_dir(at("folder.html")).unwrap();
    for (_, line) in WRITING {
        for replace in ["", " --replace"] {
            let line = format!("{line}{replace}");
            for book in [
                yard.book(),
                at("link.html"),
                at("link-to-link.html"),
                at("hard.html"),
                at("other.db"),
                copy.clone(),
                at("./yard.backups/../yard.book"),
            ] {
                refused(&yard, &line, &book, "never written over");
            }
            for receipt in [receipt(&yard), at("bill-link.html"), at("bill-hard.html")] {
                refused(&yard, &line, &receipt, if replace.is_empty() { "not " } else { "a receipt is never" });
            }
            refused(&yard, &line, &at("torn.book"), if replace.is_empty() { "not " } else { "never written over" });
            refused(&yard, &line, &at("yard.book-journal"), "needs for itself");
            refused(&yard, &line, &at("dangling.html"), "a link to a file that is not there");
            refused(&yard, &line, &at("folder.html"), "there is a folder at");
            refused(&yard, &line, &at("no/such/folder.html"), "could not be written");
        }
    }
    assert_eq!(yard.run("verify").code, 0);
}

#[test]
fn somebodys_own_file_stays_unless_it_is_said_that_it_may_go() {
    let yard = yard();
    let mine = yard.folder().join("mine.html");
    for (_, line) in WRITING {
        for text in
            ["Dear Sir,", "", "<!DOCTYPE html><title>Runabout</title>", "BEGIN:VCALENDAR\r\nPRODID:-//Else//EN\r\n"]
        {
            fs::write(&mine, text).unwrap();
            refused(&yard, line, &mine, "--replace");
        }
        let said = yard.ok(&format!("{line} --replace --out '{}'", mine.display())).err;
        assert!(said.contains("written to"), "{said}");
        let whole = fs::read(&mine).unwrap();
        assert!(whole.len() > 300, "{line}");
        // What the program made it writes over, again and again.
        yard.ok(&format!("{line} --out '{}'", mine.display()));
        assert_eq!(fs::read(&mine).unwrap(), whole, "{line}");
        // But not with a thing of another kind.
        for (_, other) in WRITING.iter().filter(|(_, other)| other != line) {
            refused(&yard, other, &mine, "--replace");
        }
        fs::remove_file(&mine).unwrap();
    }
}

#[cfg(unix)]
#[test]
fn a_file_is_its_owners_alone_and_keeps_who_may_read_it() {
    use std::os::unix::fs::PermissionsExt;
    let yard = yard();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let (real, link) = (yard.folder().join("shared.html"), yard.folder().join("link.html"));
    for (_, line) in WRITING {
        yard.ok(&format!("{line} --out '{}'", real.display()));
        assert_eq!(mode(&real), 0o600, "{line}");
        // Shown to others on purpose, by a link: both stay as they were made.
        fs::set_permissions(&real, PermissionsExt::from_mode(0o644)).unwrap();
        std::os::unix::fs::symlink("shared.html", &link).unwrap();
        let before = fs::metadata(&real).unwrap().modified().unwrap();
        yard.ok(&format!("{line} --out '{}'", link.display()));
        assert!(link.is_symlink() && mode(&real) == 0o644, "{line}");
        assert!(fs::metadata(&real).unwrap().modified().unwrap() > before, "{line}: the file itself is new");
        // Marked as not to be written.
        fs::set_permissions(&real, PermissionsExt::from_mode(0o444)).unwrap();
        refused(&yard, line, &real, "--replace");
        fs::remove_file(&link).unwrap();
        fs::remove_file(&real).unwrap();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn devices_and_pipes_are_written_straight() {
    let yard = yard();
    for (_, line) in WRITING {
        yard.ok(&format!("{line} --out /dev/null"));
        let full = yard.run(&format!("{line} --out /dev/full"));
        assert!(full.code == 1 && full.err.contains("'/dev/full' could not be written"), "{line}: {}", full.err);
        let pipe = yard.folder().join("pipe");
        assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
        let reading = {
            let pipe = pipe.clone();
            std::thread::spawn(move || fs::read(pipe).unwrap())
        };
        yard.ok(&format!("{line} --out '{}'", pipe.display()));
        assert!(reading.join().unwrap().len() > 300, "{line}");
        fs::remove_file(pipe).unwrap();
    }
    assert!(!yard.folder().join(".runabout").exists());
}

#[test]
fn what_a_killed_run_left_goes_with_the_next_and_nothing_else_does() {
    let yard = yard();
    let left = |folder: &Path| {
        let left = folder.join(".runabout-0123456789abcdef.part");
        fs::create_dir_all(&left).unwrap();
        fs::write(left.join("lock"), "").unwrap();
        fs::write(left.join("made"), "<!DOCTYPE html><html><head>").unwrap();
        left
    };
    fs::write(yard.folder().join("yard.html.part"), "mine").unwrap();
    fs::write(yard.folder().join("stick.book.part"), "mine").unwrap();
    let folder = yard.folder().display().to_string();
    for (line, beside) in [
        (format!("page --out {folder}/yard.html"), yard.folder()),
        (format!("backup {folder}/stick.book"), yard.folder()),
        ("backup".to_owned(), &yard.folder().join("yard.backups")),
        (format!("restore {folder}/stick.book"), yard.folder()),
        (format!("export {folder}/whole"), yard.folder()),
        (format!("export {folder}/year-end --year 2026-27"), yard.folder()),
        (format!("import {folder}/whole --book {folder}/second.book"), yard.folder()),
        (format!("manual --dir {folder}/man1"), &yard.folder().join("man1")),
        (format!("receipt 2 {folder}/bill.pdf"), &yard.folder().join("yard.receipts")),
    ] {
        let left = left(beside);
        yard.ok(&line);
        assert!(!left.exists(), "`{line}`");
        let parts = tree(yard.folder());
        assert!(!parts.iter().any(|(path, _)| path.to_string_lossy().contains(".runabout-")), "`{line}`: {parts:?}");
    }
    for mine in ["yard.html.part", "stick.book.part"] {
        assert_eq!(fs::read(yard.folder().join(mine)).unwrap(), b"mine", "{mine}");
    }
}

#[test]
fn the_manual_is_written_over_and_somebodys_page_is_not() {
    let yard = yard();
    let folder = yard.folder().join("man1");
    let line = format!("manual --dir '{}'", folder.display());
    yard.ok(&line);
    yard.ok(&line);
    let mine = folder.join("runabout-spend.1");
    fs::write(&mine, ".TH MINE 1\n").unwrap();
    fs::remove_file(folder.join("runabout-sell.1")).unwrap();
    let before = tree(yard.folder());
    let ran = yard.run(&line);
    assert!(ran.code == 1 && ran.err.contains("runabout-spend.1") && ran.err.contains("--replace"), "{}", ran.err);
    assert_eq!(tree(yard.folder()), before, "none is written where one may not be");
    yard.ok(&format!("{line} --replace"));
    assert!(fs::read_to_string(&mine).unwrap().contains("RUNABOUT"));
}

#[test]
fn an_export_takes_the_place_of_an_earlier_one_and_of_nothing_else() {
    let yard = yard();
    for options in ["", " --year 2026-27"] {
        let folder = yard.folder().join("out");
        let line = format!("export '{}'{options}", folder.display());
        let run = |more: &str| -> Ran { yard.run(&format!("{line}{more}")) };
        assert_eq!(run("").code, 0);
        let first = tree(&folder);
        assert_eq!(run("").code, 1, "not without being told");
        assert_eq!(run(" --replace").code, 0, "{options}");
        assert_eq!(tree(&folder), first);
        fs::write(folder.join("notes.csv"), "mine").unwrap();
        let before = tree(yard.folder());
        let ran = run(" --replace");
        assert!(ran.code == 1 && ran.err.contains("notes.csv"), "{}", ran.err);
        assert_eq!(tree(yard.folder()), before);
        fs::remove_dir_all(&folder).unwrap();
        fs::write(&folder, "a file").unwrap();
        assert_eq!(run(" --replace").code, 1);
        assert_eq!(fs::read(&folder).unwrap(), b"a file");
        fs::remove_file(&folder).unwrap();
    }
}
