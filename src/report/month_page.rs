//! How `month` reads: what it made; the cars and overheads behind that; the proof.

use crate::domain::pence::Pence;
use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::month::{BridgeParts, MonthReport};
use crate::report::phrase;

/// The report for people, its lists being the CSV.
pub(super) fn document(report: &MonthReport) -> Document {
    let mut document = Document::new();
    document.headline(headline(report)).sentence(what_moved(report));
    list(&mut document, "Cars sold", cars_sold(report));
    list(&mut document, "Cars bought", cars_bought(report));
    document.table(overheads(report));
    document.heading("How the profit comes about").facts(steps(report));
    document.heading("How well the money worked").facts(averages(report));
    document.table(bridge(&report.bridge));
    document.sentence(match report.cars_sold.first() {
        Some(sold) => {
            format!("`runabout car {}` shows the lines behind a car; `runabout results` month by month.", sold.stock_no)
        }
        None => "`runabout results` shows month by month.".to_owned(),
    });
    document
}

fn headline(report: &MonthReport) -> String {
    let name = report.month.0.first_day().format("%B %Y");
    let made = phrase::made(report.profit.0);
    let everything = if report.profit.0.is_zero() { "" } else { " after everything" };
    if report.to.0 < report.month.0.last_day() {
        format!("{name} so far, to {}: {made}{everything}.", report.to.0.format("%-d %b"))
    } else {
        format!("{name} {made}{everything}.")
    }
}

/// Cars and money in one sentence; cars only when there were any, for the lists say so too.
fn what_moved(report: &MonthReport) -> String {
    let money = format!("{} came in and {} went out.", report.money_in.0, report.money_out.0);
    match (report.cars_sold.len(), report.cars_bought.len()) {
        (0, 0) => money,
        (sold, 0) => format!("{} sold; {money}", phrase::cars(sold)),
        (0, bought) => format!("{} bought; {money}", phrase::cars(bought)),
        (sold, bought) => format!("{} sold, {bought} bought; {money}", phrase::cars(sold)),
    }
}

/// A table under its name; the sentence of an empty one needs none.
fn list(document: &mut Document, name: &str, table: Table) {
    if !table.rows.is_empty() {
        document.heading(name);
    }
    document.table(table);
}

fn cars_sold(report: &MonthReport) -> Table {
    let vat = Column::new("vat_on_sale", "VAT");
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic().importance(3),
        Column::new("sold_on", "Sold").importance(1),
        Column::new("selling_price", "Price"),
        Column::new("stands_in", "Stood in"),
        Column::new("vat_on_margin", "VAT on margin").csv_only(),
        if report.vat_on_sales.0.is_zero() { vat.csv_only() } else { vat },
        Column::new("profit", "Profit"),
        Column::new("return_pct", "Return"),
        Column::new("multiple", "Multiple").importance(2),
        Column::new("days_to_sell", "Days"),
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
        ]);
    }
    table.total_row(vec![
        Cell::blank(),
        Cell::text(phrase::cars(report.cars_sold.len())),
        Cell::blank(),
        Cell::blank(),
        report.sales.into(),
        report.cost_of_cars_sold.into(),
        report.vat_on_margins.into(),
        report.vat_on_sales.into(),
        report.gross_profit.into(),
        Cell::percent(report.average_return_pct.map(Into::into)),
        Cell::blank(),
        Cell::blank(),
    ]);
    table
}

fn cars_bought(report: &MonthReport) -> Table {
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

fn overheads(report: &MonthReport) -> Table {
    let columns = vec![Column::new("heading", "Overheads"), Column::new("amount", "Amount")];
    let mut table = Table::new("overheads", columns, "No overheads.");
    for overhead in &report.overheads {
        table.row(vec![Cell::text(&*overhead.heading), overhead.amount.into()]);
    }
    table.total_row(vec![Cell::text("Total"), report.overheads_total.into()]);
    table
}

/// The profit, signed so that the eye can add it up. What is nil is left out, except what a month
/// is judged by.
fn steps(report: &MonthReport) -> Vec<(&'static str, Cell)> {
    let minus = |amount: MoneyText| -amount.0;
    [
        ("Sales", report.sales.0, true),
        ("Cost of cars sold", minus(report.cost_of_cars_sold), true),
        ("VAT on sales", minus(report.vat_on_sales), false),
        ("Gross profit", report.gross_profit.0, true),
        ("After-sale costs", minus(report.after_sale_costs), false),
        ("Overheads", minus(report.overheads_total), true),
        ("Other income", report.other_income.0, false),
        ("Profit", report.profit.0, true),
    ]
    .into_iter()
    .filter(|(_, amount, always)| *always || !amount.is_zero())
    .map(|(label, amount, _)| (label, amount.into()))
    .collect()
}

fn averages(report: &MonthReport) -> Vec<(&'static str, Cell)> {
    vec![
        ("Average return, pooled", Cell::percent(report.average_return_pct.map(Into::into))),
        ("Mean of the returns", Cell::percent(report.mean_return_pct.map(Into::into))),
        ("Median of the returns", Cell::percent(report.median_return_pct.map(Into::into))),
        ("Days to sell, mean", Cell::number(report.mean_days_to_sell.map(Into::into))),
        ("Days to sell, median", Cell::number(report.median_days_to_sell.map(Into::into))),
        ("Profit at usual prices", report.profit_at_usual_prices.into()),
        ("Stock at cost", report.stock_at_cost.into()),
        ("Average stock at cost", report.average_stock_at_cost.into()),
        ("Cash tied up", report.cash_tied_up.into()),
        ("Stock turn a year", Cell::number(report.stock_turn.map(Into::into))),
        ("Gross profit a year per £1 of stock", Cell::number(report.gmroi.map(Into::into))),
    ]
}

/// What a part of the bridge is called when it is more than nothing, and when it is less.
type Names = (&'static str, &'static str);

/// Each part signed as it changes the float. What did not change is left out, except the profit
/// and the stock, so that the column adds up to the float at the end.
fn bridge(parts: &BridgeParts) -> Table {
    let columns = vec![
        Column::new("part", "Part").csv_only(),
        Column::new("name", "From profit to cash").screen_only(),
        Column::new("amount", "Amount"),
    ];
    let mut table = Table::new("bridge", columns, "");
    let mut add = |key: &str, (more, less): Names, amount: Pence, always: bool| {
        if always || !amount.is_zero() {
            let name = match amount.get().signum() {
                -1 => less,
                0 if key == "stock_increase" => "stock unchanged",
                _ => more,
            };
            table.row(vec![Cell::text(key), Cell::text(phrase::capitalised(name)), amount.into()]);
        }
    };
    let same = |name: &'static str| (name, name);
    add("float_at_start", same("Float at the start"), parts.float_at_start.0, true);
    add("profit", ("Profit", "Loss"), parts.profit.0, true);
    add("stock_increase", ("Less in stock", "More in stock"), -parts.stock_increase.0, true);
    add("owed_by_buyers_increase", ("Buyers owe less", "Buyers owe more"), -parts.owed_by_buyers_increase.0, false);
    add(
        "owed_to_sellers_increase",
        ("Sellers are owed more", "Sellers are owed less"),
        parts.owed_to_sellers_increase.0,
        false,
    );
    add("deposits_increase", ("More deposits held", "Fewer deposits held"), parts.deposits_increase.0, false);
    add("vat_owed_increase", ("More VAT owed", "Less VAT owed"), parts.vat_owed_increase.0, false);
    add("paid_in", same("You paid in"), parts.paid_in.0, false);
    add("drawn", same("You drew"), -parts.drawn.0, false);
    for other in &parts.other_parts {
        add(other.name, other_names(other.name), other.amount.0, true);
    }
    table.total_row(vec![Cell::blank(), Cell::text("Float at the end"), parts.float_at_end.into()]);
    table
}

fn other_names(name: &'static str) -> Names {
    match name {
        "paid ahead" => ("Paid ahead, now in stock", "Paid ahead for cars to come"),
        "unpaid bills" => ("More bills unpaid", "Fewer bills unpaid"),
        "loans" => ("Borrowed", "Loans paid back"),
        _ => (name, name),
    }
}
