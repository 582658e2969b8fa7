//! Small trees whose imports run in circles on purpose.

use crate::broken::{in_circles, told, tree};
use crate::circles::circles_of_folders;
use crate::imports::arrows;

/// A circle of two files, its way back written as each kind of path.
#[test]
fn a_circle_is_named_however_its_imports_are_written() {
    for (back, line) in [
        ("use crate::domain::book::line::Line;", 1),
        ("use crate::domain::book::Line;", 1),
        ("\nuse crate::domain::{book::{line::{self}}, value};", 2),
        (
            "use crate::{\n    domain::{\n        value::Pence as Money,\n        book::line::Line as Row,\n    },\n};",
            4,
        ),
        ("use super::super::book::line::*;", 1),
        ("fn row() -> crate::domain::book::line::Line { loop {} }", 1),
        ("fn row() {\n    self::super::super::book::line::make()\n}", 2),
        ("fn row() { say!(\n    \"{}\", crate::domain::book::line::make::<u8>()) }", 2),
        ("use crate::domain as rules;\nfn row() { rules::book::line::make() }", 2),
        ("fn row() {\n    use book::line;\n    use crate::domain::book;\n    line::make()\n}", 2),
        ("mod rows {\n    use super::super::super::book::line::Line;\n}", 2),
        ("pub use crate::domain::book::line::Line;", 1),
        ("pub(in crate::domain) use crate::domain::book::line::Line;", 1),
        ("#[derive(Serialize)]\nstruct Row {\n    #[serde(with = \"crate::domain::book::line\")]\n    line: u8,\n}", 3),
        ("fn row() { line_of!(1) }", 1),
    ] {
        let line_text = "use crate::domain::value::pence::Pence;\nmacro_rules! line_of { () => {} }\npub struct Line;";
        let tree = tree(&[("src/domain/value/pence.rs", back), ("src/domain/book/line.rs", line_text)]);
        let found = told(&in_circles(&tree));
        let arrow = format!("src/domain/value/pence.rs:{line} ");
        assert!(
            found.len() == 1 && found[0].contains(&arrow) && found[0].contains("src/domain/book/line.rs:1"),
            "{back}: {found:?}"
        );
    }
}

#[test]
fn a_circle_of_three_is_told_with_every_step() {
    let tree = tree(&[
        ("src/domain/value/mod.rs", "mod day;\nmod pence;\nmod month;\n"),
        ("src/domain/value/day.rs", "use super::month::Month;\npub struct Day;\n"),
        ("src/domain/value/month.rs", "\nuse super::pence::Pence;\npub struct Month;\n"),
        ("src/domain/value/pence.rs", "\n\nuse super::day::Day;\npub struct Pence;\n"),
    ]);
    assert_eq!(
        told(&in_circles(&tree)),
        ["src/domain/value/day.rs:1: super::month::Month -> src/domain/value/month.rs:2 super::pence::Pence \
          -> src/domain/value/pence.rs:3 super::day::Day -> src/domain/value/day.rs, a circle"]
    );
}

#[test]
fn a_front_that_only_passes_on_is_looked_through() {
    let line = ("src/domain/book/line.rs", "use super::Deal;\npub struct Line;\n");
    let deal = ("src/domain/book/deal.rs", "pub struct Deal;\n");
    let front = "mod deal;\npub mod line;\npub use deal::Deal;\npub use line::Line;\n";
    assert_eq!(told(&in_circles(&tree(&[line, deal, ("src/domain/book/mod.rs", front)]))), Vec::<String>::new());

    // Each knows the other through the front.
    let deal = ("src/domain/book/deal.rs", "use crate::domain::book::Line;\npub struct Deal;\n");
    let found = told(&in_circles(&tree(&[line, deal, ("src/domain/book/mod.rs", front)])));
    assert_eq!(
        found,
        ["src/domain/book/deal.rs:1: crate::domain::book::Line -> src/domain/book/line.rs:1 super::Deal \
          -> src/domain/book/deal.rs, a circle"]
    );
}

#[test]
fn a_front_that_its_child_asks_and_that_uses_its_child_is_a_circle() {
    let child = ("src/domain/book/line.rs", "use super::Rows;\npub struct Line;\n");
    for uses in ["fn rows() { line::make() }", "pub use line::Line;\nfn rows(of: Line) {}", "use line::Line;"] {
        let front = format!("pub mod line;\npub struct Rows;\n{uses}\n");
        let found = told(&in_circles(&tree(&[child, ("src/domain/book/mod.rs", &front)])));
        assert!(
            found.len() == 1 && found[0].starts_with("src/domain/book/line.rs:1: super::Rows -> "),
            "{uses}: {found:?}"
        );
    }
}

#[test]
fn folders_of_a_room_that_import_each_other_are_a_circle_though_no_files_are() {
    let broken = tree(&[
        ("src/store/keep/backup.rs", "use crate::store::facts::cars::Car;\npub struct Copy;\n"),
        ("src/store/keep/undo.rs", "pub struct Undone;\n"),
        ("src/store/facts/cars.rs", "pub struct Car;\n"),
        ("src/store/facts/notes.rs", "\nuse crate::store::keep::undo::Undone;\n"),
    ]);
    assert_eq!(told(&in_circles(&broken)), Vec::<String>::new());
    assert_eq!(
        told(&circles_of_folders(&arrows(&broken))),
        ["src/store/facts/notes.rs:2: crate::store::keep::undo::Undone \
          -> src/store/keep/backup.rs:1 crate::store::facts::cars::Car -> src/store/facts/, a circle"]
    );
}
