//! What a report for people is: sentences, facts and tables in reading order, not yet laid out.
//!
//! A report decides here which columns there are, in which order, what the total row holds and what
//! is said when there is nothing to list. How wide a column is, and what a sum of money looks like,
//! is for the renderers.

use crate::report::cell::Cell;
use serde::{Serialize, Serializer};

/// A report as a person reads it: the answer first, the tables after it, what to do next last.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Document {
    /// In reading order.
    pub blocks: Vec<Block>,
}

/// One piece of a [`Document`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// The answer, in one sentence.
    Headline(String),
    /// A further sentence.
    Sentence(String),
    /// The name of what follows.
    Heading(String),
    /// A list with columns.
    Table(Table),
    /// Single values, each with its label.
    Facts(Vec<(String, Cell)>),
    /// A hint or caution. It is not part of the answer, so it goes to standard error.
    Note(String),
}

/// A list with columns, which is also one `--part` of the CSV output.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// The name `--part` knows it by, in kebab-case.
    pub name: &'static str,
    /// In order of reading.
    pub columns: Vec<Column>,
    /// As many cells in each as there are columns.
    pub rows: Vec<Vec<Cell>>,
    /// The last line for people; it is not data, so CSV leaves it out.
    pub total: Option<Vec<Cell>>,
    /// The sentence for people when there are no rows.
    pub empty: &'static str,
}

/// What a [`Table`] says about one of its columns. Alignment is not said: it follows from the cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// The CSV header, in `snake_case`.
    pub key: &'static str,
    /// The header for people.
    pub title: &'static str,
    /// 0 is always shown; on a narrow terminal the highest goes first.
    pub importance: u8,
    /// Text that may be cut short when there is no room. Figures and dates never are.
    pub elastic: bool,
    /// Who it is for.
    pub readers: Readers,
}

/// Who a [`Column`] is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readers {
    /// People and machines.
    Everyone,
    /// Only people: words for what machines read in columns of their own.
    People,
    /// Only machines, such as a key that repeats what people read elsewhere.
    Machines,
}

impl Document {
    /// A report with nothing in it yet.
    pub const fn new() -> Self {
        Self { blocks: Vec::new() }
    }

    /// Adds the answer.
    pub fn headline(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Headline(text.into()))
    }

    /// Adds a sentence.
    pub fn sentence(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Sentence(text.into()))
    }

    /// Adds the name of what follows.
    pub fn heading(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Heading(text.into()))
    }

    /// Adds a table.
    pub fn table(&mut self, table: Table) -> &mut Self {
        self.push(Block::Table(table))
    }

    /// Adds labelled values.
    pub fn facts<L: Into<String>>(&mut self, facts: impl IntoIterator<Item = (L, Cell)>) -> &mut Self {
        let facts = facts.into_iter().map(|(label, cell)| (label.into(), cell));
        self.push(Block::Facts(facts.collect()))
    }

    /// Adds a hint or caution.
    pub fn note(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Note(text.into()))
    }

    /// Its tables in order; the first is the main list.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Table(table) => Some(table),
            _ => None,
        })
    }

    /// The table of that name, or without a name the main list.
    pub fn part(&self, name: Option<&str>) -> Option<&Table> {
        self.tables().find(|table| name.is_none_or(|name| table.name == name))
    }

    /// Nothing but the table of that name, for people: with what only machines read of it, where there is
    /// nothing else.
    pub fn only(&self, name: &str) -> Option<Self> {
        let mut table = self.part(Some(name))?.clone();
        if table.columns.iter().all(|column| column.readers == Readers::Machines) {
            for column in &mut table.columns {
                column.readers = Readers::Everyone;
            }
        }
        if table.empty.is_empty() {
            table.empty = "Nothing.";
        }
        Some(Self { blocks: vec![Block::Table(table)] })
    }

    fn push(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }
}

impl Table {
    /// A table without rows. `name` is in kebab-case; `empty` is the sentence shown while it stays
    /// so.
    pub fn new(name: &'static str, columns: Vec<Column>, empty: &'static str) -> Self {
        Self { name, columns, rows: Vec::new(), total: None, empty }
    }

    /// Adds a row, one cell for each column.
    pub fn row(&mut self, cells: Vec<Cell>) -> &mut Self {
        debug_assert_eq!(cells.len(), self.columns.len(), "a row of {}", self.name);
        self.rows.push(cells);
        self
    }

    /// Sets the total row, one cell for each column, [`Cell::blank`] where nothing is totalled.
    pub fn total_row(&mut self, cells: Vec<Cell>) -> &mut Self {
        debug_assert_eq!(cells.len(), self.columns.len(), "the total of {}", self.name);
        self.total = Some(cells);
        self
    }

    /// The cell of a row below a column; a column that is not there has nothing in it.
    pub fn cell<'t>(&self, row: &'t [Cell], key: &str) -> &'t Cell {
        static ABSENT: Cell = Cell::Missing;
        let at = self.columns.iter().position(|column| column.key == key);
        at.and_then(|at| row.get(at)).unwrap_or(&ABSENT)
    }

    /// The cells of one column, the total included. A row that is too short has nothing there.
    pub fn cells_of(&self, column: usize) -> impl Iterator<Item = &Cell> {
        static ABSENT: Cell = Cell::Missing;
        let rows = self.rows.iter().chain(&self.total);
        rows.map(move |row| row.get(column).unwrap_or(&ABSENT))
    }

    /// Whether a column holds figures only (money, days, counts, percentages, numbers), and so
    /// lines up on the right. A column that says nothing at all lines up on the left, as text does.
    pub fn holds_figures(&self, column: usize) -> bool {
        let mut telling = self.cells_of(column).filter(|cell| !cell.is_silent());
        let first = telling.next().is_some_and(Cell::is_figure);
        first && telling.all(Cell::is_figure)
    }
}

/// A list in JSON: an object a row, of what machines read.
impl Serialize for Table {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.rows.iter().map(|row| MachineRow { columns: &self.columns, row }))
    }
}

struct MachineRow<'t> {
    columns: &'t [Column],
    row: &'t [Cell],
}

impl Serialize for MachineRow<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let read = self.columns.iter().zip(self.row).filter(|(column, _)| column.readers != Readers::People);
        serializer.collect_map(read.map(|(column, cell)| (column.key, cell)))
    }
}

impl Column {
    /// A column that is always shown in full.
    pub const fn new(key: &'static str, title: &'static str) -> Self {
        Self { key, title, importance: 0, elastic: false, readers: Readers::Everyone }
    }

    /// Lets the column go when there is no room, the highest number first.
    #[must_use]
    pub const fn importance(self, importance: u8) -> Self {
        Self { importance, ..self }
    }

    /// Lets its text be cut short when there is no room.
    #[must_use]
    pub const fn elastic(self) -> Self {
        Self { elastic: true, ..self }
    }

    /// Keeps the column for machines.
    #[must_use]
    pub const fn csv_only(self) -> Self {
        Self { readers: Readers::Machines, ..self }
    }

    /// Keeps the column for people.
    #[must_use]
    pub const fn screen_only(self) -> Self {
        Self { readers: Readers::People, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::value::pence::Pence;

    fn table(name: &'static str) -> Table {
        let columns = vec![Column::new("mark", "Mark"), Column::new("profit", "Profit")];
        Table::new(name, columns, "No cars.")
    }

    #[test]
    fn the_first_table_is_the_main_part() {
        let mut report = Document::new();
        report.headline("Two lists.").table(table("cars-sold")).table(table("overheads"));
        assert_eq!(report.part(None).map(|t| t.name), Some("cars-sold"));
        assert_eq!(report.part(Some("overheads")).map(|t| t.name), Some("overheads"));
        assert_eq!(report.part(Some("wheels")), None);
        assert_eq!(Document::new().part(None), None);
    }

    #[test]
    fn figures_make_a_column_of_figures() {
        let money = || Cell::Money(Pence::new(100));
        for (cells, figures) in [
            (vec![money(), Cell::Missing], true),
            (vec![Cell::Missing, Cell::days(3)], true),
            (vec![Cell::blank(), money()], true),
            (vec![Cell::Missing], false),
            (vec![money(), Cell::text("sold")], false),
            (vec![Cell::text("sold"), money()], false),
        ] {
            let mut list = table("cars");
            for cell in &cells {
                list.row(vec![Cell::text("KX42 RTO"), cell.clone()]);
            }
            assert_eq!(list.holds_figures(1), figures, "{cells:?}");
            assert!(!list.holds_figures(0));
        }
    }

    #[test]
    #[should_panic(expected = "a row of cars")]
    fn a_row_has_a_cell_for_each_column() {
        table("cars").row(vec![Cell::Missing]);
    }

    #[test]
    #[should_panic(expected = "the total of cars")]
    fn so_does_the_total() {
        table("cars").total_row(vec![Cell::Missing]);
    }
}
