//! A list of a report, each column told once: the key of its JSON and CSV, its name for people, and its cell. The
//! kind of a column (money, a day, a count, a percentage, text) follows from its cells.
//!
//! ```text
//! List::of("cars-bought", &figures.cars_bought)
//!     .or_say("No car was bought.")
//!     .column("bought_on", "Bought", |(car, _)| car.bought_on)
//!     .column("purchase_price", "Price", |(_, price)| *price).total(figures.cost_of_cars_bought())
//!     .table()
//! ```

use crate::report::cell::Cell;
use crate::report::document::{Column, Table};

/// A list being told. What follows a column is about that column.
pub(crate) struct List<'r, R> {
    rows: &'r [R],
    table: Table,
}

impl<'r, R> List<'r, R> {
    /// A list without columns yet; `--part` knows it by `name`.
    pub(crate) fn of(name: &'static str, rows: &'r [R]) -> Self {
        let mut table = Table::new(name, Vec::new(), "");
        table.rows = rows.iter().map(|_| Vec::new()).collect();
        Self { rows, table }
    }

    /// What people are told where there are no rows.
    pub(crate) fn or_say(mut self, empty: &'static str) -> Self {
        self.table.empty = empty;
        self
    }

    /// A further column.
    pub(crate) fn column<C: Into<Cell>>(
        mut self,
        key: &'static str,
        title: &'static str,
        cell: impl Fn(&'r R) -> C,
    ) -> Self {
        self.table.columns.push(Column::new(key, title));
        for (cells, row) in self.table.rows.iter_mut().zip(self.rows) {
            cells.push(cell(row).into());
        }
        if let Some(total) = &mut self.table.total {
            total.push(Cell::blank());
        }
        self
    }

    /// Lets the column go when there is no room, the highest number first.
    pub(crate) fn importance(self, importance: u8) -> Self {
        self.changed(|column| column.importance(importance))
    }

    /// Lets its text be cut short when there is no room.
    pub(crate) fn elastic(self) -> Self {
        self.changed(Column::elastic)
    }

    /// Keeps the column for machines.
    pub(crate) fn csv_only(self) -> Self {
        self.csv_only_unless(false)
    }

    /// Keeps the column for machines unless people have something to read in it.
    pub(crate) fn csv_only_unless(self, tells: bool) -> Self {
        if tells { self } else { self.changed(Column::csv_only) }
    }

    /// Keeps the column for people.
    pub(crate) fn screen_only(self) -> Self {
        self.changed(Column::screen_only)
    }

    /// What stands below the column in the last line, which is for people.
    pub(crate) fn total(mut self, cell: impl Into<Cell>) -> Self {
        let columns = self.table.columns.len();
        let total = self.table.total.get_or_insert_with(|| vec![Cell::blank(); columns]);
        if let Some(last) = total.last_mut() {
            *last = cell.into();
        }
        self
    }

    /// What the last line says of itself, below the column of that key.
    pub(crate) fn named_total(mut self, key: &str, says: impl Into<Cell>) -> Self {
        let at = self.table.columns.iter().position(|column| column.key == key);
        if let Some(cell) = at.zip(self.table.total.as_mut()).and_then(|(at, total)| total.get_mut(at)) {
            *cell = says.into();
        }
        self
    }

    /// The list as it is shown and written.
    pub(crate) fn table(self) -> Table {
        self.table
    }

    fn changed(mut self, change: impl FnOnce(Column) -> Column) -> Self {
        if let Some(column) = self.table.columns.pop() {
            self.table.columns.push(change(column));
        }
        self
    }
}
