//! A page of pictures as plain data: the answers first, a section for each picture, the figures behind
//! them last. What `page` and `month --page` say is laid out so; one renderer draws both.

use crate::report::cell::Cell;
use crate::report::document::Table;
use crate::report::phrase::grouped;
use crate::report::picture::chart::Chart;
use chrono::NaiveDate;

/// A page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PicturePage {
    /// What it is of.
    pub title: String,
    /// The day it is as of.
    pub day: NaiveDate,
    /// Whose it is, if that is set.
    pub trader: Option<String>,
    /// What is wanted first.
    pub answers: Vec<Answer>,
    /// In reading order.
    pub sections: Vec<Section>,
    /// What the page rests on and defers to, said at its foot.
    pub cautions: Vec<String>,
    /// What its file is called when no name is given.
    pub file_name: String,
}

/// One answer, in a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The question, in a word or two.
    pub name: String,
    /// The answer.
    pub figure: String,
    /// What belongs to it.
    pub remark: Option<String>,
}

/// One section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Its name in the page's links, of letters and hyphens.
    pub id: &'static str,
    /// Its heading.
    pub title: String,
    /// What it comes to, in sentences.
    pub said: Vec<String>,
    /// Entries one under another.
    pub entries: Vec<Entry>,
    /// A picture.
    pub chart: Option<Chart>,
    /// What is left out, and the command that shows it; a short caution.
    pub notes: Vec<String>,
    /// The figures behind it, shown at the end of the page.
    pub figures: Option<Figures>,
}

/// A table with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figures {
    /// What it is called.
    pub title: String,
    /// The figures.
    pub table: Table,
}

/// An entry of a list: a car in the yard, something due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What it is.
    pub name: String,
    /// How far off it is.
    pub when: Option<String>,
    /// More about it.
    pub more: Option<String>,
    /// Its figures.
    pub facts: Vec<(&'static str, Cell)>,
    /// What wants looking at.
    pub watch: Option<String>,
    /// What is to be done.
    pub next: Option<String>,
}

impl Section {
    /// A section with a heading and a sentence.
    pub fn new(id: &'static str, title: impl Into<String>, said: impl Into<String>) -> Self {
        Self {
            id,
            title: title.into(),
            said: vec![said.into()],
            entries: Vec::new(),
            chart: None,
            notes: Vec::new(),
            figures: None,
        }
    }

    /// The same with a picture; one of nothing is left out.
    #[must_use]
    pub fn drawn(self, chart: Option<Chart>) -> Self {
        Self { chart, ..self }
    }

    /// The same with the figures behind it; a table without rows is left out.
    #[must_use]
    pub fn behind(self, title: impl Into<String>, table: Table) -> Self {
        let figures = (!table.rows.is_empty()).then(|| Figures { title: title.into(), table });
        Self { figures, ..self }
    }

    /// The same with notes.
    #[must_use]
    pub fn noting(mut self, notes: impl IntoIterator<Item = String>) -> Self {
        self.notes.extend(notes);
        self
    }
}

/// What is shown of how many, and the command that shows them all, when some are left out.
pub(crate) fn left_out(shown: usize, all: usize, what: &str, command: &str) -> Option<String> {
    let counts = [shown, all].map(grouped);
    (shown < all).then(|| format!("Shown: {} of {} {what}. `runabout {command}` shows them all.", counts[0], counts[1]))
}
