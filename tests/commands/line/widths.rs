//! Every screen on the test yard fits the terminal, however narrow.

use crate::common::{LOOKS, Yard};
use runabout::commands::GROUPS;
use unicode_width::UnicodeWidthStr;

/// A command is never broken, so that it can be copied; nor is an address.
fn may_not_be_broken(line: &str) -> bool {
    let line = line.trim();
    !line.contains(' ') || (line.contains('`') && line.width() <= 80)
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    let yard = Yard::filled();
    let mut wrong = Vec::new();
    for looking in LOOKS {
        for width in [60, 80, 120] {
            let ran = yard.run_at(looking, width);
            assert!(ran.code == 0 || ran.code == 3, "`{looking}`: {}", ran.err);
            assert!(!ran.out.is_empty(), "`{looking}` shows nothing");
            for line in ran.out.lines().chain(ran.err.lines()) {
                let wide = line.width();
                if wide > width && !may_not_be_broken(line) {
                    wrong.push(format!("`{looking}` at {width}: {wide}: {line}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} lines:\n{}", wrong.len(), wrong.join("\n"));
}

/// A command that looks and is not among them would not be looked at.
#[test]
fn every_command_that_looks_is_among_them() {
    let looked_at = |name: &str| LOOKS.iter().any(|line| line.split(' ').next() == Some(name));
    let group = |name: &str| GROUPS.iter().find(|group| group.name == name).unwrap().commands.iter();
    // Made for paper or another program, or recording.
    let written = ["page", "invoice", "calendar"];
    for name in group("Look").chain(group("Paperwork")).chain(group("Plan")) {
        assert!(looked_at(name) || written.contains(name), "{name}");
    }
}

/// Everything that can be wrong with a car at once, and a long name: the flags are cut, the figures are not.
#[test]
fn a_car_with_every_flag_still_takes_one_line() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy AB91CDE 12500 --on 1/6/2026 --make \"Brindle of the long name\" --model \"Harrow Estate Automatic\" --mot-until 1/12/2026");
    yard.ok("mot 1 fail --on 2/6/2026 --defect \"dangerous:brake pipe holed\" --defect \"major:spring broken\"");
    yard.ok("ask 1 19995");
    yard.ok("deposit 1 100 --hold-until 28/11/2026");
    for width in [80, 120] {
        let shown = yard.run_at("stock", width).out;
        let row = shown
            .lines()
            .find(|line| line.starts_with(" 1  "))
            .or_else(|| shown.lines().find(|line| line.starts_with("1 ")));
        let row = row.unwrap_or_else(|| panic!("no row in\n{shown}"));
        assert!(row.contains("12,500.00") && row.contains("19,995.00") && row.contains("DANGEROUS"), "{shown}");
        assert!(row.width() <= width && row.contains('…'), "{shown}");
        assert_eq!(shown.lines().filter(|line| line.contains("AB91 CDE")).count(), 1, "{shown}");
    }
}
