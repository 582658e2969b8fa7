//! The manual: a page for the whole and one for each command. `mandoc` reads them where it is there.

#![allow(clippy::print_stderr, reason = "what could not be tried on this machine is said")]

use crate::common::Yard;
use clap::{Command, CommandFactory};
use runabout::commands::{Cli, GROUPS};

/// The names of the pages there should be.
fn pages(command: &Command, name: &str) -> Vec<String> {
    let inner = command.get_subcommands().filter(|inner| inner.get_name() != "help");
    let inner = inner.flat_map(|inner| pages(inner, &format!("{name}-{}", inner.get_name())));
    std::iter::once(format!("{name}.1")).chain(inner).collect()
}

#[test]
fn there_is_a_page_for_every_command_and_mandoc_finds_nothing_wrong() {
    let yard = Yard::new("2026-11-25");
    let folder = yard.folder().join("man1");
    let said = yard.ok(&format!("manual --dir {}", folder.display()));
    let mut written: Vec<String> =
        std::fs::read_dir(&folder).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
    written.sort();
    let mut wanted = pages(&Cli::command(), "runabout");
    wanted.sort();
    assert_eq!(written, wanted);
    assert!(said.err.starts_with(&format!("{} pages written to", wanted.len())), "{}", said.err);
    for name in &written {
        let page = std::fs::read_to_string(folder.join(name)).unwrap();
        assert!(page.lines().any(|line| line.starts_with(".TH RUNABOUT")), "{name}");
        for section in [".SH NAME", ".SH SYNOPSIS", ".SH DESCRIPTION"] {
            assert!(page.lines().any(|line| line == section), "{name} has no {section}");
        }
    }
    let mut linting = std::process::Command::new("mandoc");
    match linting.args(["-T", "lint"]).args(written.iter().map(|name| folder.join(name))).output() {
        Ok(linted) => assert_eq!(String::from_utf8_lossy(&linted.stdout), ""),
        Err(_) => eprintln!("mandoc is not on this machine: only the shape of the pages was checked"),
    }
}

#[test]
fn the_main_page_has_the_groups_and_what_goes_with_all_of_it() {
    let yard = Yard::new("2026-11-25");
    let page = yard.ok("manual").out;
    for group in GROUPS {
        assert!(page.contains(group.name), "{}", group.name);
    }
    for section in ["COMMANDS", "FILES", "ENVIRONMENT", "EXIT STATUS", "EXAMPLES", "CAUTIONS"] {
        assert!(
            page.contains(&format!(".SH \"{section}\"\n")) || page.contains(&format!(".SH {section}\n")),
            "{section}"
        );
    }
    assert!(page.contains("Road Traffic Act"), "{page}");
}

#[test]
fn a_page_of_one_command_has_its_examples_as_typed() {
    let yard = Yard::new("2026-11-25");
    let page = yard.ok("manual standing skip").out;
    assert!(page.contains("runabout standing skip \"yard rent\" \\-\\-on 1/10/2026\n"), "{page}");
    assert!(yard.refused("manual stnading").err.contains("did you mean 'standing'?"));
}

/// Both texts whole, from their title to the last word of the law, each with whose the copyright is.
#[test]
fn the_licences_are_printed_whole() {
    let yard = Yard::new("2026-11-25");
    let said = yard.ok("manual licence").out;
    for text in [include_str!("../../../.licences/MIT.txt"), include_str!("../../../.licences/Apache-2.0.txt")] {
        assert!(said.contains(text));
        assert!(
            text.contains("Copyright (c) 2026 The Runabout authors") || text.contains("Copyright 2026 The Runabout")
        );
    }
    for words in [
        "THE SOFTWARE IS PROVIDED \"AS IS\", WITHOUT WARRANTY OF ANY KIND",
        "TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION",
        "9. Accepting Warranty or Additional Liability.",
        "END OF TERMS AND CONDITIONS",
    ] {
        assert!(said.contains(words), "{words}");
    }
    assert_eq!(yard.ok("manual license").out, said);
    assert!(yard.refused("manual licens").err.contains("did you mean 'licence'?"));
    assert!(yard.refused("manual standing licence").err.contains("no command 'licence'"));
}
