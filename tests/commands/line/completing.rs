//! Completion: the real program asked as the scripts ask it, and the scripts loaded in real shells where
//! those are there. PowerShell is not: its script is only read.

#![allow(clippy::print_stderr, reason = "what could not be tried on this machine is said")]

use crate::common::Yard;
use std::path::Path;
use std::process::{Command, Output};

const PROGRAM: &str = env!("CARGO_BIN_EXE_runabout");

/// A yard with a car in stock, one sold, and something under every name.
fn filled() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3000 --on 1/9/2026",
        "buy KX42RTO 485 --on 1/10/2026 --make Brindle --model Harrow",
        "buy none 340 --vin WDX7654321 --on 2/10/2026",
        "buy ST99WEM 375 --on 3/10/2026",
        "sell 3 835 --on 4/11/2026",
        "standing add \"yard rent\" 115 --every month --from 1/11/2026 --heading rent",
        "paper add \"trade insurance\" --until 2027-03-14",
        "settings set heading:dents goods",
        "settings set auction:\"Marsh Lane\" \"0=75 250=110\"",
        "spend 54.85 mot --car 1",
    ] {
        yard.ok(line);
    }
    yard
}

fn program(yard: &Yard) -> Command {
    let mut program = Command::new(PROGRAM);
    program.env("RUNABOUT_TODAY", "2026-11-25").env("RUNABOUT_BOOK", yard.book()).current_dir(yard.folder());
    program
}

fn text(ran: Output) -> String {
    assert!(ran.status.success() && ran.stderr.is_empty(), "{ran:?}");
    String::from_utf8(ran.stdout).unwrap()
}

/// What a shell is answered, word and meaning.
fn asked(yard: &Yard, shell: &str, words: &[&str]) -> Vec<String> {
    let index = (words.len() - 1).to_string();
    let mut asking = program(yard);
    asking.env("RUNABOUT_COMPLETE", shell).env("_CLAP_COMPLETE_INDEX", index).env("_CLAP_IFS", "\n");
    text(asking.arg("--").args(words).output().unwrap()).lines().map(str::to_owned).collect()
}

/// The words offered, without what they mean.
fn offered(yard: &Yard, line: &str) -> Vec<String> {
    let words: Vec<&str> = std::iter::once("runabout").chain(line.split(' ')).collect();
    let lines = asked(yard, "fish", &words);
    lines.into_iter().map(|line| line.split('\t').next().unwrap_or_default().to_owned()).collect()
}

#[test]
fn every_kind_of_word_is_offered() {
    let yard = filled();
    for (typed, wanted) in [
        ("sel", &["sell"][..]),
        ("sell --paid-", &["--paid-amount"]),
        ("sell ", &["KX42RTO", "1", "2"]),
        ("sell k", &["kx42rto"]),
        ("spend 54.85 mot --car KX", &["KX42RTO"]),
        ("spend 54.85 mot --car=KX", &["--car=KX42RTO"]),
        ("spend 54.85 mot --share 2,K", &["2,KX42RTO"]),
        ("spend 54.85 mot --split ", &["KX42RTO=", "1=", "2=", "overhead="]),
        ("spend 15 den", &["dents"]),
        ("spend 15 bal", &["balance"]),
        ("receive 15 scr", &["scrap-sold"]),
        ("spend 54.85 mot --paid c", &["cash", "card"]),
        ("take-back ", &["ST99WEM", "3"]),
        ("car ST", &["ST99WEM"]),
        ("mot KX42 RTO p", &["pass"]),
        ("car KX42 R", &["RTO"]),
        ("sell kx42 r", &["rto"]),
        ("spend 54.85 mot --car KX42 ", &["RTO"]),
        ("sell 1 5", &[]),
        ("check 1 id", &["identity"]),
        ("check 1 identity not", &["not-needed", "not-done"]),
        ("dispose 1 s", &["scrapped"]),
        ("standing stop ", &["yard rent"]),
        ("standing add rent 10 --every q", &["quarter"]),
        ("paper renew ", &["trade insurance"]),
        ("settings set default", &["default-paid"]),
        ("buy AB91CDE 420 --auction ", &["marsh-lane"]),
        ("buy AB91CDE 420 --via a", &["auction"]),
        ("undo 1", &["10", "1"]),
        ("amend 2 mo", &["model", "mot-until"]),
        ("done 17", &["173"]),
        ("due --kind mot", &["mot", "mot-window"]),
        ("month nov", &["november"]),
        ("month --part over", &["overheads"]),
        ("close la", &["last"]),
        ("tax-year 2025", &["2025-26"]),
        ("export --year 2026", &["2026-27"]),
        ("import x --kind m", &["money"]),
        ("-f j", &["json"]),
        ("completions ", &["bash", "zsh", "fish", "powershell"]),
    ] {
        assert_eq!(offered(&yard, typed), wanted, "{typed:?}");
    }
    // Where nothing else can stand, options can.
    assert_eq!(offered(&yard, "sell KX42RTO ").first().map(String::as_str), Some("--on"));
}

#[test]
fn each_shell_is_answered_in_its_own_way() {
    let yard = filled();
    let words = ["runabout", "sell", "K"];
    assert_eq!(asked(&yard, "bash", &words), ["KX42RTO"]);
    assert_eq!(asked(&yard, "zsh", &words), ["KX42RTO:1 Brindle Harrow"]);
    for shell in ["fish", "powershell"] {
        assert_eq!(asked(&yard, shell, &words), ["KX42RTO\t1 Brindle Harrow"]);
    }
    // A name of two words: zsh and fish quote it themselves.
    let words = ["runabout", "standing", "stop", "y"];
    assert_eq!(asked(&yard, "bash", &words), ["yard\\ rent"]);
    assert_eq!(asked(&yard, "bash", &["runabout", "standing", "stop", "yard\\ r"]), ["yard\\ rent"]);
    assert_eq!(asked(&yard, "powershell", &words), ["'yard rent'\teach month"]);
    assert_eq!(asked(&yard, "zsh", &words), ["yard rent:each month"]);
    assert!(asked(&yard, "tcsh", &words).is_empty(), "a shell not known is offered nothing");
}

#[test]
fn a_word_in_the_middle_of_the_line_is_completed_by_what_is_before_it() {
    let yard = filled();
    let mut asking = program(&yard);
    asking.env("RUNABOUT_COMPLETE", "bash").env("_CLAP_COMPLETE_INDEX", "5").env("_CLAP_IFS", "\n");
    let line = ["runabout", "spend", "54.85", "mot", "--car", "KX", "--paid", "c"];
    assert_eq!(text(asking.arg("--").args(line).output().unwrap()), "KX42RTO");
}

#[test]
fn the_book_on_the_line_is_the_one_looked_into() {
    let (yard, other) = (filled(), Yard::new("2026-11-25"));
    other.ok("buy UT48KEM 330 --on 1/11/2026");
    let path = other.book().to_string_lossy().into_owned();
    for line in [
        vec!["runabout", "--book", &path, "sell", "U"],
        vec!["runabout", "sell", "--book", &path, "U"],
        vec!["runabout", "sell", &format!("--book={path}"), "U"],
        vec!["runabout", "sell", "--book", &format!("'{path}'"), "U"],
    ] {
        assert_eq!(asked(&yard, "bash", &line), ["UT48KEM"], "{line:?}");
    }
}

#[test]
fn nothing_is_offered_when_anything_is_wrong_and_nothing_is_made() {
    let yard = Yard::new("2026-11-25");
    assert!(offered(&yard, "sell K").is_empty());
    assert!(!yard.book().exists());
    std::fs::write(yard.book(), "this is no book").unwrap();
    assert!(offered(&yard, "sell K").is_empty());
    assert_eq!(std::fs::read_to_string(yard.book()).unwrap(), "this is no book");
}

#[test]
fn a_book_somebody_writes_in_is_not_waited_for() {
    let yard = filled();
    let writing = rusqlite::Connection::open(yard.book()).unwrap();
    writing.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let begun = std::time::Instant::now();
    assert!(offered(&yard, "sell K").is_empty());
    assert!(begun.elapsed() < std::time::Duration::from_secs(2), "{:?}", begun.elapsed());
}

#[test]
fn at_most_fifty_are_offered() {
    let yard = Yard::new("2026-11-25");
    for n in 0..60 {
        yard.ok(&format!("buy AB91{} 330 --on 1/11/2026", three_letters(n)));
    }
    assert_eq!(offered(&yard, "sell A").len(), 50);
}

/// `AAA`, `AAB`, … without the letters marks leave out.
fn three_letters(n: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGH";
    [n / 64, n / 8 % 8, n % 8].iter().map(|digit| char::from(LETTERS[*digit])).collect()
}

#[test]
fn the_scripts_call_the_program_by_its_whole_path() {
    let yard = Yard::new("2026-11-25");
    for (shell, holds) in [
        ("bash", "complete -o nospace -o bashdefault -o nosort -F"),
        ("zsh", "#compdef runabout"),
        ("fish", "--command runabout"),
        ("powershell", "Register-ArgumentCompleter -Native -CommandName runabout -ScriptBlock {"),
    ] {
        let script = text(program(&yard).args(["completions", shell]).output().unwrap());
        assert!(script.contains(holds) && script.contains(PROGRAM), "{script}");
        assert!(script.contains("RUNABOUT_COMPLETE"), "{script}");
        let opened = script.matches('{').count();
        assert_eq!(opened, script.matches('}').count(), "{shell}");
    }
}

/// Runs a script in a real shell; nothing when it is not on this machine, which is said.
fn in_shell(yard: &Yard, shell: &str, options: &[&str], script: &str) -> Option<String> {
    let found = std::env::var_os("PATH")
        .is_some_and(|path| std::env::split_paths(&path).any(|folder| Path::new(&folder).join(shell).is_file()));
    if !found {
        eprintln!("{shell} is not on this machine: its completion was not run");
        return None;
    }
    let mut running = Command::new(shell);
    running.args(options).arg("-c").arg(script).env("RUNABOUT_TODAY", "2026-11-25").env("RUNABOUT_BOOK", yard.book());
    let ran = running.env("PROGRAM", PROGRAM).env("HOME", yard.folder()).output().unwrap();
    Some(String::from_utf8_lossy(&ran.stdout).into_owned() + &String::from_utf8_lossy(&ran.stderr))
}

#[test]
fn bash_completes_a_mark_in_stock() {
    let script = "source <(\"$PROGRAM\" completions bash)
        COMP_WORDS=(runabout spend 54.85 mot --car K); COMP_CWORD=5; COMP_TYPE=9
        _clap_complete_runabout runabout K --car
        printf '%s\\n' \"${COMPREPLY[@]}\"; complete -p runabout
        COMP_WORDS=(runabout standing stop '\"yard r'); COMP_CWORD=3
        _clap_complete_runabout runabout 'yard r' stop; printf '%s\\n' \"${COMPREPLY[@]}\"";
    if let Some(said) = in_shell(&filled(), "bash", &["--norc"], script) {
        assert!(said.starts_with("KX42RTO\n"), "{said}");
        assert!(said.contains("-F _clap_complete_runabout runabout"), "{said}");
        // Begun with a quote, which bash takes off and closes itself.
        assert!(said.ends_with("\nyard rent\n"), "{said}");
    }
}

#[test]
fn fish_completes_a_mark_in_stock() {
    let script = "$PROGRAM completions fish | source; complete -C 'runabout sell K'";
    if let Some(said) = in_shell(&filled(), "fish", &["--no-config"], script) {
        assert_eq!(said, "KX42RTO\t1 Brindle Harrow\n");
    }
}

/// What zsh would list is caught on its way to the screen, which `zsh -c` has none of.
#[test]
fn zsh_completes_a_mark_in_stock() {
    let script = "compdef() { registered=$2 }; _describe() { print -l -- ${(P)3} }
        source <(\"$PROGRAM\" completions zsh); words=(runabout sell K); CURRENT=3
        _clap_dynamic_completer_runabout; print $registered";
    if let Some(said) = in_shell(&filled(), "zsh", &["-f"], script) {
        assert_eq!(said, "KX42RTO:1 Brindle Harrow\nrunabout\n");
    }
}
