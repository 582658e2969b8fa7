//! The lists of a month: cars sold, taken back, bought, gone without a sale; the lines behind each sum.

use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Table};
use crate::report::month::month::{DisposedRow, MonthLine, MonthReport};
use crate::report::phrase;

pub(crate) fn differences(report: &MonthReport) -> Table {
    let columns = vec![Column::new("figure", "Figure"), Column::new("kept", "When closed"), Column::new("now", "Now")];
    let mut table = Table::new("differences", columns, "");
    for row in &report.differences {
        table.row(vec![Cell::text(&*row.figure), row.kept.into(), row.now.into()]);
    }
    table
}

pub(crate) fn cars_sold(report: &MonthReport) -> Table {
    let vat = Column::new("vat_on_sale", "VAT");
    let came_back = report.cars_sold.iter().any(|sold| sold.reversed_on.is_some());
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic().importance(3),
        Column::new("sold_on", "Sold").importance(1),
        Column::new("selling_price", "Price"),
        Column::new("stands_in", "Stood in"),
        Column::new("vat_on_margin", "VAT on margin").csv_only(),
        if report.made.vat_on_sales.is_zero() { vat.csv_only() } else { vat },
        Column::new("profit", "Profit"),
        Column::new("return_pct", "Return"),
        Column::new("multiple", "Multiple").importance(2),
        Column::new("days_to_sell", "Days"),
        if came_back {
            Column::new("reversed_on", "Came back")
        } else {
            Column::new("reversed_on", "Came back").csv_only()
        },
    ];
    let mut table = Table::new("cars-sold", columns, "No car was sold.");
    for sold in &report.cars_sold {
        table.row(vec![
            Cell::count(i64::from(sold.stock_no)),
            sold.mark.clone().into(),
            sold.description.clone().into(),
            sold.sold_on.into(),
            sold.selling_price.into(),
            sold.stands_in.into(),
            sold.vat_on_margin.into(),
            sold.vat_on_sale.into(),
            sold.profit.into(),
            Cell::percent(sold.return_pct.map(Into::into)),
            Cell::number(sold.multiple.map(Into::into)),
            Cell::days(sold.days_to_sell),
            sold.reversed_on.map_or_else(Cell::blank, Cell::from),
        ]);
    }
    table.total_row(vec![
        Cell::blank(),
        Cell::text(phrase::cars(report.cars_sold.len())),
        Cell::blank(),
        Cell::blank(),
        report.made.sales.into(),
        report.made.cost_of_cars_sold.into(),
        report.made.vat_on_margins.into(),
        report.made.vat_on_sales.into(),
        report.made.gross_profit().into(),
        // The average leaves out what came back the same month, which the sums beside it do not.
        if came_back { Cell::blank() } else { Cell::percent(report.average_return_pct.map(Into::into)) },
        Cell::blank(),
        Cell::blank(),
        Cell::blank(),
    ]);
    table
}

pub(crate) fn sales_reversed(report: &MonthReport) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic().importance(3),
        Column::new("sold_on", "Sold").importance(1),
        Column::new("reversed_on", "Came back"),
        Column::new("selling_price", "Price"),
        Column::new("stands_in", "Stood in").importance(2),
        Column::new("vat_on_margin", "VAT on margin").csv_only(),
        Column::new("vat_on_sale", "VAT").csv_only(),
        Column::new("profit", "Profit"),
        Column::new("refund", "Refund"),
        Column::new("kept_back", "Kept back").importance(4),
    ];
    let mut table = Table::new("sales-reversed", columns, "");
    for row in &report.sales_reversed {
        table.row(vec![
            Cell::count(i64::from(row.stock_no)),
            row.mark.clone().into(),
            row.description.clone().into(),
            row.sold_on.into(),
            row.reversed_on.into(),
            row.selling_price.into(),
            row.stands_in.into(),
            row.vat_on_margin.into(),
            row.vat_on_sale.into(),
            row.profit.into(),
            row.refund.into(),
            row.kept_back.into(),
        ]);
    }
    let totals = &report.reversed;
    table.total_row(vec![
        Cell::blank(),
        Cell::text("Taken off"),
        Cell::blank(),
        Cell::blank(),
        Cell::blank(),
        totals.sales.into(),
        totals.cost_of_cars_sold.into(),
        totals.vat_on_margins.into(),
        totals.vat_on_sales.into(),
        totals.gross_profit().into(),
        Cell::blank(),
        Cell::blank(),
    ]);
    table
}

/// What leaving without a sale came to, for people: a gain is no loss with a minus.
fn gain_or_loss(rows: &[DisposedRow]) -> (&'static str, fn(&DisposedRow) -> Pence) {
    if rows.iter().all(|row| !row.loss.0.is_negative()) {
        ("Loss", |row| row.loss.0)
    } else if rows.iter().all(|row| !row.loss.0.is_positive()) {
        ("Gain", |row| -row.loss.0)
    } else {
        ("Gain, or loss (-)", |row| -row.loss.0)
    }
}

pub(crate) fn cars_disposed(report: &MonthReport) -> Table {
    let (name, amount) = gain_or_loss(&report.cars_disposed);
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic().importance(3),
        Column::new("on", "Left").importance(1),
        Column::new("how", "How"),
        Column::new("stands_in", "Stood in"),
        Column::new("value", "Worth"),
        Column::new("received", "Received"),
        Column::new("loss", "Loss").csv_only(),
        Column::new("gain_or_loss", name).screen_only(),
    ];
    let mut table = Table::new("cars-disposed", columns, "");
    for row in &report.cars_disposed {
        table.row(vec![
            Cell::count(i64::from(row.stock_no)),
            row.mark.clone().into(),
            row.description.clone().into(),
            row.on.into(),
            Cell::text(row.how),
            row.stands_in.into(),
            row.value.into(),
            row.received.into(),
            row.loss.into(),
            amount(row).into(),
        ]);
    }
    table
}

pub(crate) fn disposal_lines(report: &MonthReport) -> Table {
    let mut table = lines("disposal-lines", "Car", "", &report.disposal_lines, report.disposal_losses);
    table.total = None;
    table
}

pub(crate) fn cars_bought(report: &MonthReport) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic(),
        Column::new("bought_on", "Bought"),
        Column::new("purchase_price", "Price"),
    ];
    let mut table = Table::new("cars-bought", columns, "No car was bought.");
    for bought in &report.cars_bought {
        table.row(vec![
            Cell::count(i64::from(bought.stock_no)),
            bought.mark.clone().into(),
            bought.description.clone().into(),
            bought.bought_on.into(),
            bought.purchase_price.into(),
        ]);
    }
    table.total_row(vec![
        Cell::blank(),
        Cell::text(phrase::cars(report.cars_bought.len())),
        Cell::blank(),
        Cell::blank(),
        report.cost_of_cars_bought.into(),
    ]);
    table
}

pub(crate) fn overhead_lines(report: &MonthReport) -> Table {
    lines("overhead-lines", "What for", "No overheads.", &report.overhead_lines, report.overheads_total)
}

pub(crate) fn other_income_lines(report: &MonthReport) -> Table {
    lines("other-income-lines", "From", "", &report.other_income_lines, report.other_income)
}

pub(crate) fn after_sale_lines(report: &MonthReport) -> Table {
    lines("after-sale-lines", "Car", "", &report.after_sale_lines, report.after_sale_costs)
}

/// The lines behind one figure; `what` is the title of what each was for.
fn lines(name: &'static str, what: &'static str, empty: &'static str, lines: &[MonthLine], total: MoneyText) -> Table {
    let columns = vec![
        Column::new("on", "Date"),
        Column::new("entry", "Entry"),
        Column::new("heading", "Heading"),
        Column::new("what", what).elastic(),
        Column::new("amount", "Amount"),
    ];
    let mut table = Table::new(name, columns, empty);
    for line in lines {
        table.row(vec![
            line.on.into(),
            Cell::count(line.entry),
            Cell::text(&*line.heading),
            line.what.clone().map_or_else(Cell::blank, Cell::from),
            line.amount.into(),
        ]);
    }
    table.total_row(vec![Cell::blank(), Cell::blank(), Cell::text("Total"), Cell::blank(), total.into()]);
    table
}

/// The sums by heading, for machines: people read the lines.
pub(crate) fn overheads(report: &MonthReport) -> Table {
    let columns = ["heading", "amount"].map(|key| Column::new(key, key).csv_only());
    let mut table = Table::new("overheads", columns.into(), "");
    for overhead in &report.overheads {
        table.row(vec![Cell::text(&*overhead.heading), overhead.amount.into()]);
    }
    table
}
