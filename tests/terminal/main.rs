//! The real program on a real terminal: a pseudo-terminal that types what a person would, waits for each
//! question, and presses Ctrl-C and Ctrl-D. Where there are no pseudo-terminals of Unix it is left out.

#![cfg(unix)]
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;
mod terminal;

use crate::common::Yard;
use crate::terminal::{CTRL_C, CTRL_D, Terminal};
use std::os::unix::process::ExitStatusExt;
use std::process::Stdio;

const TODAY: &str = "2026-11-25";

#[test]
fn a_car_is_bought_with_mistakes_on_the_way() {
    let yard = Yard::new(TODAY);
    let mut terminal = Terminal::running(&yard, &["buy"]);
    for (question, answer) in [
        ("Registration mark (none if it has no plates): ", "kx42 rto"),
        ("Price: ", "4x"),
        ("amount '4x' has letters in it", ""),
        ("Price: ", "485"),
        ("Bought from (name) [skip]: ", "Zoë Ashdown"),
        ("Paid by cash, bank, card or own [bank]: ", "cash"),
        ("Miles on the odometer [skip]: ", "82,000"),
        ("MOT until [skip]: ", "21/3"),
        ("21/3 in which year [2027]: ", ""),
        ("Make [skip]: ", ""),
        ("Model [skip]: ", ""),
        ("Which day [today]: ", "tomorrow"),
        ("after today", ""),
        ("Which day [today]: ", ""),
    ] {
        terminal.sees(question);
        if question.ends_with(' ') {
            terminal.types(answer);
        }
    }
    let (status, screen) = terminal.ends();
    assert!(status.success(), "{screen}");
    assert!(screen.contains("Entry 1: bought KX42 RTO as car 1 for £485.00 from Zoë Ashdown"), "{screen}");
    let whole = "buy kx42rto 485 --from 'Zoë Ashdown' --paid cash --miles '82,000' --mot-until 21/3/2027";
    assert!(screen.contains(&format!("`runabout {whole}`")), "{screen}");
    let car = yard.json("car 1");
    assert_eq!((&car["purchase_price"], &car["mot_until"]), (&"485.00".into(), &"2027-03-21".into()));
    // Nothing but the command to copy is wider than the terminal.
    for line in screen.lines().filter(|line| !line.contains("`runabout buy")) {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn ctrl_c_leaves_at_once_with_nothing_recorded() {
    let yard = Yard::new(TODAY);
    let mut terminal = Terminal::running(&yard, &["buy"]);
    terminal.sees("plates): ");
    terminal.types("KX42 RTO");
    terminal.sees("Price: ");
    terminal.types("485");
    terminal.sees("[skip]: ");
    terminal.presses(CTRL_C);
    let (status, screen) = terminal.ends();
    assert_eq!(status.signal(), Some(2), "{screen}");
    assert!(!yard.book().exists());
}

#[test]
fn ctrl_d_and_a_full_stop_leave_and_say_so() {
    let yard = Yard::new(TODAY);
    yard.ok("buy KX42RTO 465");
    let before = yard.dump();
    for leaving in [CTRL_D, b".\n"] {
        let mut terminal = Terminal::running(&yard, &["sell"]);
        terminal.sees("[1 KX42 RTO]: ");
        terminal.types("");
        terminal.sees("Price: ");
        terminal.presses(leaving);
        let (status, screen) = terminal.ends();
        assert_eq!(status.code(), Some(1), "{screen}");
        assert!(screen.ends_with("\nnothing recorded\n"), "{screen}");
    }
    assert_eq!(yard.dump(), before);
}

#[test]
fn the_book_is_free_while_somebody_thinks() {
    let yard = Yard::new(TODAY);
    yard.ok("buy KX42RTO 465");
    let mut terminal = Terminal::running(&yard, &["spend"]);
    terminal.sees("How much: ");
    terminal.types("54.85");
    terminal.sees("On what (? lists them): ");
    yard.ok("sell 1 935 --to \"D Farrow\"");
    yard.ok("buy AB91CDE 345");
    terminal.types("mot");
    terminal.sees("[2 AB91 CDE]: ");
    terminal.types("");
    terminal.sees("Paid to (name) [skip]: ");
    for _ in 0..3 {
        terminal.types("");
    }
    let (status, screen) = terminal.ends();
    assert!(status.success() && screen.contains("Entry 4: spent £54.85 on mot for 2 AB91 CDE"), "{screen}");
}

#[test]
fn letters_that_cannot_be_read_are_asked_for_again() {
    let yard = Yard::new(TODAY);
    let mut terminal = Terminal::running(&yard, &["note"]);
    terminal.sees("there is no car in stock");
    terminal.ends();
    yard.ok("buy KX42RTO 465");
    let mut terminal = Terminal::running(&yard, &["note", "1"]);
    terminal.sees("Note: ");
    // `é` as Latin-1 types it, which is no UTF-8.
    terminal.presses(b"caf\xE9\n");
    terminal.sees("that holds letters that cannot be read: type it again");
    terminal.sees("Note: ");
    terminal.types("café");
    let (status, screen) = terminal.ends();
    assert!(status.success() && screen.contains("in one line: `runabout note 1 'café'`"), "{screen}");
}

#[test]
fn nobody_is_asked_with_yes_or_when_it_is_no_terminal() {
    let yard = Yard::new(TODAY);
    let missing = "`buy` needs MARK and PRICE too";
    let (status, screen) = Terminal::running(&yard, &["buy", "--yes"]).ends();
    assert!(status.code() == Some(2) && screen.contains(missing), "{screen}");
    // Answers from a pipe are no person's.
    let piped = Terminal::with(&yard, &["buy"], |command| command.stdin(Stdio::piped()));
    let (status, screen) = piped.ends();
    assert!(status.code() == Some(2) && screen.contains(missing), "{screen}");
    // Nor does anybody see a question that goes to a file.
    let unseen = Terminal::with(&yard, &["buy"], |command| command.stderr(Stdio::null()));
    let (status, screen) = unseen.ends();
    assert_eq!((status.code(), screen.as_str()), (Some(2), ""));
    assert!(!yard.book().exists());
}

#[test]
fn the_answer_can_go_elsewhere_while_questions_stay_on_the_terminal() {
    let yard = Yard::new(TODAY);
    yard.ok("buy KX42RTO 465");
    let mut terminal = Terminal::with(&yard, &["ask", "-f", "json"], |command| command.stdout(Stdio::null()));
    terminal.sees("[1 KX42 RTO]: ");
    terminal.types("");
    terminal.sees("Asking price: ");
    terminal.types("1295");
    terminal.sees("Lowest you would take [skip]: ");
    terminal.types("");
    let (status, screen) = terminal.ends();
    assert!(status.success() && !screen.contains("\"entry\""), "{screen}");
    assert_eq!(yard.json("car 1")["asking_price"], "1295.00");
}

#[test]
fn a_file_named_by_itself_is_never_somebodys_own() {
    let yard = Yard::new(TODAY);
    yard.ok("pay-in 3000");
    let file = yard.folder().join("runabout.ics");
    let run = |words: &[&str]| {
        let (status, screen) = Terminal::with(&yard, words, |command| command.current_dir(yard.folder())).ends();
        (status.code(), screen)
    };
    std::fs::write(&file, "mine").unwrap();
    let (code, screen) = run(&["calendar"]);
    assert!(code == Some(1) && screen.contains("--replace"), "{screen}");
    assert_eq!(std::fs::read(&file).unwrap(), b"mine");
    assert_eq!(run(&["calendar", "--replace"]).0, Some(0));
    let (code, screen) = run(&["calendar"]);
    assert!(code == Some(0) && screen.contains("written to runabout.ics"), "{screen}");
}
