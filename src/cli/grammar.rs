//! What can be typed, as it is handed to whatever reads or explains a line.

use clap::{Command, CommandFactory};

/// A command's word, and what makes its arguments: its full description is in their comment.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// As typed.
    pub word: &'static str,
    /// Gives a command these arguments.
    pub arguments: fn(Command) -> Command,
}

/// Some commands under one name.
#[derive(Clone, Copy, Debug)]
pub struct Group {
    /// What they are for, as its heading.
    pub name: &'static str,
    /// Their words, in order of use.
    pub commands: &'static [&'static str],
}

/// What can be typed: every command line is read and explained by it.
#[derive(Clone, Copy, Debug)]
pub struct Grammar {
    /// Makes the whole command.
    pub root: fn() -> Command,
    /// Every command.
    pub rows: &'static [Row],
    /// The groups that help shows them in.
    pub groups: &'static [Group],
}

impl Grammar {
    /// What `C` derives, its commands told by these rows and shown in these groups.
    pub const fn derived<C: CommandFactory>(rows: &'static [Row], groups: &'static [Group]) -> Self {
        Self { root: C::command, rows, groups }
    }
}
