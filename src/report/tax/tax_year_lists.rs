//! The lists of a tax year: boxes, the lines behind them, stock, journeys, the proof.

use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Table};
use crate::report::tax::tax_year::{BoxRow, LineRow, TaxYearReport};

/// Both ways side by side, box by box.
pub(crate) fn boxes(report: &TaxYearReport) -> Table {
    let columns = vec![
        Column::new("box", "Box"),
        Column::new("name", "What").elastic(),
        Column::new("cash_basis", "Cash basis"),
        Column::new("traditional", "Traditional"),
    ];
    let mut table = Table::new("boxes", columns, "");
    let (cash, traditional) = (&report.cash_basis.boxes, &report.traditional.boxes);
    for (number, name) in in_order(cash, traditional) {
        let amount =
            |boxes: &[BoxRow]| -> Cell { boxes.iter().find(|row| row.number == number).map(|row| row.amount).into() };
        table.row(vec![Cell::text(number), Cell::text(name), amount(cash), amount(traditional)]);
    }
    table
}

/// Every box either way has, in the order of their numbers.
fn in_order(cash: &[BoxRow], traditional: &[BoxRow]) -> Vec<(&'static str, &'static str)> {
    let mut boxes: Vec<(&str, &str)> = cash.iter().chain(traditional).map(|row| (row.number, row.name)).collect();
    boxes.sort_by_key(|(number, _)| number.parse::<u8>().unwrap_or_default());
    boxes.dedup();
    boxes
}

/// Why the two profits differ, for machines: people read it as facts.
pub(crate) fn identity(report: &TaxYearReport) -> Table {
    let columns = ["part", "amount"].map(|key| Column::new(key, key).csv_only());
    let mut table = Table::new("identity", columns.into(), "");
    let mut add = |part: &str, amount: MoneyText| {
        table.row(vec![Cell::text(part), amount.into()]);
    };
    add("cash basis", report.cash_basis.profit);
    for part in &report.identity {
        add(part.name, part.amount);
    }
    add("traditional", report.traditional.profit);
    table
}

pub(crate) fn named_lines(report: &TaxYearReport) -> Table {
    let columns = vec![
        Column::new("name", "What"),
        Column::new("box", "Box"),
        Column::new("cash_basis", "Cash basis"),
        Column::new("traditional", "Traditional"),
        Column::new("counts", "Counts").csv_only(),
    ];
    let mut table = Table::new("named-lines", columns, "");
    for line in &report.named_lines {
        table.row(vec![
            Cell::text(line.name),
            line.form_box.map_or_else(Cell::blank, Cell::text),
            line.cash_basis.map_or_else(Cell::blank, Cell::from),
            line.traditional.map_or_else(Cell::blank, Cell::from),
            Cell::text(line.counts),
        ]);
    }
    table
}

/// The cars whose worth is under what they stand in at; machines get every car.
pub(crate) fn stock(report: &TaxYearReport) -> Table {
    let columns = vec![
        Column::new("at", "At").csv_only(),
        Column::new("stock_no", "No").csv_only(),
        Column::new("mark", "Mark").csv_only(),
        Column::new("stands_in", "Stands in").csv_only(),
        Column::new("should_fetch", "Should fetch").csv_only(),
        Column::new("value", "Value").csv_only(),
        Column::new("written_down", "Written down").csv_only(),
    ];
    let mut table = Table::new("stock", columns, "");
    for row in &report.stock_values {
        table.row(vec![
            Cell::text(row.at),
            Cell::count(i64::from(row.stock_no)),
            row.mark.clone().into(),
            row.stands_in.into(),
            row.should_fetch.into(),
            row.value.into(),
            row.written_down.into(),
        ]);
    }
    table
}

pub(crate) fn written_down(report: &TaxYearReport) -> Table {
    let columns = vec![
        Column::new("at", "At the"),
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("stands_in", "Stands in"),
        Column::new("should_fetch", "Should fetch"),
        Column::new("written_down", "Written down"),
    ];
    let mut table = Table::new("written-down", columns, "");
    for row in report.stock_values.iter().filter(|row| !row.written_down.0.is_zero()) {
        table.row(vec![
            Cell::text(row.at),
            Cell::count(i64::from(row.stock_no)),
            row.mark.clone().into(),
            row.stands_in.into(),
            row.should_fetch.into(),
            row.written_down.into(),
        ]);
    }
    table
}

pub(crate) fn journeys(report: &TaxYearReport) -> Table {
    let columns = ["on", "entry", "miles", "purpose", "amount"].map(|key| Column::new(key, key).csv_only());
    let mut table = Table::new("journeys", columns.into(), "");
    for row in report.mileage.iter().flat_map(|mileage| &mileage.journeys) {
        table.row(vec![
            row.on.into(),
            Cell::count(row.entry),
            Cell::number(rust_decimal::Decimal::from(row.miles)),
            Cell::text(&*row.purpose),
            row.amount.into(),
        ]);
    }
    table
}

/// Lines behind a figure, for machines: there are hundreds in a year.
pub(crate) fn lines(name: &'static str, rows: &[LineRow], wanted: impl Fn(&LineRow) -> bool) -> Table {
    let columns = ["on", "entry", "counts_as", "heading", "what", "amount"].map(|key| Column::new(key, key).csv_only());
    let mut table = Table::new(name, columns.into(), "");
    for row in rows.iter().filter(|row| wanted(row)) {
        table.row(vec![
            row.on.into(),
            Cell::count(row.entry),
            Cell::text(row.counts_as.word()),
            Cell::text(&*row.heading),
            row.what.clone().into(),
            row.amount.into(),
        ]);
    }
    table
}
