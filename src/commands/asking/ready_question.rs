//! A question ready to be asked.

use crate::cli::unfinished::Part;
use crate::commands::steps::question::{Ask, Need};
use crate::report::document::Document;

/// A question ready to be asked.
#[derive(Clone, Debug)]
pub struct Question {
    pub(super) ask: Ask,
    /// What is shown before it.
    pub before: Option<Document>,
    /// What Enter stands for, in words; none where there is nothing to take.
    pub offered: Option<String>,
    /// What Enter types; without it Enter passes the question over.
    pub(super) types: Option<Vec<Part>>,
}

impl Question {
    /// The question, without what Enter stands for.
    pub const fn words(&self) -> &'static str {
        self.ask.words
    }

    /// Whether it asks what money was about, the one thing a line typed out still lacks.
    pub const fn is_about(&self) -> bool {
        self.ask.takes.is_about()
    }

    /// What Enter alone gives: parts to type, or none to pass the question over. None at all where an
    /// answer is needed.
    pub fn on_enter(&self) -> Option<Option<Vec<Part>>> {
        match (&self.types, self.ask.need) {
            (Some(parts), _) => Some(Some(parts.clone())),
            (None, Need::Needed) => None,
            (None, _) => Some(None),
        }
    }
}
