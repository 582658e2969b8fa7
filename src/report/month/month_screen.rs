//! How `month` reads: what it made; the cars and overheads behind that; the proof.

use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::left_out::{over_which, without_a_return};
use crate::report::month::month::{BridgeParts, MonthReport};
use crate::report::phrase;

impl MonthReport {
    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(headline(self)).sentence(what_moved(self));
        if self.closed {
            document.sentence(closed(self));
        }
        list(&mut document, "Cars sold", &self.cars_sold);
        list(&mut document, "Sales reversed", &self.sales_reversed);
        list(&mut document, "Cars bought", &self.cars_bought);
        list(&mut document, "Cars that left without a sale", &self.cars_disposed);
        list(&mut document, "Money on cars that left without a sale", &self.disposal_lines);
        list(&mut document, "Overheads", &self.overhead_lines);
        list(&mut document, "Other income", &self.other_income_lines);
        list(&mut document, "After-sale costs", &self.after_sale_lines);
        document.table(self.overheads.clone());
        document.heading("How the profit comes about").facts(steps(self));
        document.heading("How well the money worked").facts(averages(self));
        for left_out in over_which_sales(self) {
            document.sentence(left_out);
        }
        list(&mut document, "What differs from when it was closed", &self.differences);
        document.heading("From profit to cash").facts(steps_to_cash(&self.bridge)).table(bridge(&self.bridge));
        for own in &self.own_rates {
            document.note(own.as_str());
        }
        document.sentence(match self.cars_sold.rows.first() {
            Some(sold) => format!(
                "`runabout car {}` shows the lines behind a car; `runabout results` month by month.",
                self.cars_sold.cell(sold, "stock_no").machine_form()
            ),
            None => "`runabout results` shows month by month.".to_owned(),
        });
        document
    }
}

pub(crate) fn closed(report: &MonthReport) -> &'static str {
    if report.differences.rows.is_empty() {
        "The month is closed, and every figure is as it was then."
    } else {
        "The month is closed, but figures have changed since: something outside this program wrote in the book."
    }
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
    match (report.cars_sold.rows.len(), report.cars_bought.rows.len()) {
        (0, 0) => money,
        (sold, 0) => format!("{} sold; {money}", phrase::cars(sold)),
        (0, bought) => format!("{} bought; {money}", phrase::cars(bought)),
        (sold, bought) => format!("{} sold, {bought} bought; {money}", phrase::cars(sold)),
    }
}

/// A table under its name; the sentence of an empty one needs none.
fn list(document: &mut Document, name: &str, table: &Table) {
    if !table.rows.is_empty() {
        document.heading(name);
    }
    document.table(table.clone());
}

/// The profit, signed so that the eye can add it up. What is nil is left out, except what a month
/// is judged by.
pub(crate) fn steps(report: &MonthReport) -> Vec<(&'static str, Cell)> {
    let minus = |amount: MoneyText| -amount.0;
    let without_a_sale = if report.disposal_losses.0.is_negative() {
        "Gains on cars that left without a sale"
    } else {
        "Losses on cars that left without a sale"
    };
    [
        ("Sales", report.sales.0, true),
        ("Cost of cars sold", minus(report.cost_of_cars_sold), true),
        ("VAT on sales", minus(report.vat_on_sales), false),
        ("Gross profit", report.gross_profit.0, true),
        (without_a_sale, minus(report.disposal_losses), false),
        ("After-sale costs", minus(report.after_sale_costs), false),
        ("Overheads", minus(report.overheads_total), true),
        ("Other income", report.other_income.0, false),
        ("Profit", report.profit.0, true),
    ]
    .into_iter()
    .filter(|(_, amount, always)| *always || !amount.is_zero())
    .map(|(label, amount, _)| (label, amount.into()))
    .chain(after_write_offs(report))
    .collect()
}

/// What buyers will never pay is not in the profit as it is defined; a trader who lost it should see
/// what is left.
pub(crate) fn after_write_offs(report: &MonthReport) -> Vec<(&'static str, Cell)> {
    if report.written_off.0.is_zero() {
        return Vec::new();
    }
    vec![
        ("Written off, not in the profit", (-report.written_off.0).into()),
        ("Left after that", report.profit_after_write_offs.into()),
    ]
}

/// Which sales the averages leave out, and why.
pub(crate) fn over_which_sales(report: &MonthReport) -> impl Iterator<Item = String> {
    let left_out = &report.left_out_of_averages;
    over_which(report.cars_sold.rows.len(), left_out).into_iter().chain(without_a_return(left_out))
}

pub(crate) fn averages(report: &MonthReport) -> Vec<(&'static str, Cell)> {
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
        ("Stock turn a year", phrase::number_or_reason(report.stock_turn, report.stock_turn_reason.as_deref())),
        ("Gross profit a year per £1 of stock", Cell::number(report.gmroi.map(Into::into))),
    ]
}

/// What a part of the bridge is called when it is more than nothing, and when it is less.
type Names = (&'static str, &'static str);

/// A part of the bridge: its name for machines, for people, and how it changes the float.
type Part = (&'static str, Names, Pence);

/// The bridge up to the float at the end. What did not change is left out, except the profit and
/// the stock, so that the amounts add up to that float.
fn parts(bridge: &BridgeParts) -> impl Iterator<Item = Part> {
    let stock =
        if bridge.stock_increase.0.is_zero() { same("stock unchanged") } else { ("less in stock", "more in stock") };
    let always = [
        ("float_at_start", same("float at the start"), bridge.float_at_start.0),
        ("profit", ("profit", "loss"), bridge.profit.0),
        ("stock_increase", stock, -bridge.stock_increase.0),
    ];
    let where_changed = [
        ("owed_by_buyers_increase", ("buyers owe less", "buyers owe more"), -bridge.owed_by_buyers_increase.0),
        (
            "owed_to_sellers_increase",
            ("sellers are owed more", "sellers are owed less"),
            bridge.owed_to_sellers_increase.0,
        ),
        ("deposits_increase", ("more deposits held", "fewer deposits held"), bridge.deposits_increase.0),
        ("vat_owed_increase", ("more VAT owed", "less VAT owed"), bridge.vat_owed_increase.0),
        ("paid_in", same("you paid in"), bridge.owner_in.through_float),
        ("paid_in", same("spent from your own pocket"), bridge.owner_in.own_pocket),
        ("drawn", same("you drew"), -bridge.owner_out.through_float),
        ("drawn", same("received into your own pocket"), -bridge.owner_out.own_pocket),
    ];
    let other = bridge.other_parts.iter().map(|other| (other.name, other_names(other.name), other.amount.0));
    always.into_iter().chain(where_changed.into_iter().chain(other).filter(|(.., amount)| !amount.is_zero()))
}

const fn same(name: &'static str) -> Names {
    (name, name)
}

fn other_names(name: &'static str) -> Names {
    match name {
        "paid ahead" => ("paid ahead, now in stock", "paid ahead for cars to come"),
        "unpaid bills" => ("more bills unpaid", "fewer bills unpaid"),
        "loans" => ("borrowed", "loans paid back"),
        "cars kept" => same("cars kept for yourself"),
        "refunds owed" => ("refunds still to pay", "refunds paid"),
        "written off" => ("written off before, lapsed now", "written off"),
        _ => same(name),
    }
}

/// The bridge as people read it.
pub(crate) fn steps_to_cash(bridge: &BridgeParts) -> Vec<(String, Cell)> {
    parts(bridge)
        .map(|(_, (more, less), amount)| (if amount.is_negative() { less } else { more }, amount))
        .chain([("float at the end", bridge.float_at_end.0)])
        .map(|(name, amount)| (phrase::capitalised(name), amount.into()))
        .collect()
}

/// The bridge for machines, by the names of its JSON: the owner's money is one sum each way.
fn bridge(bridge: &BridgeParts) -> Table {
    let mut sums: Vec<(&'static str, Pence)> = Vec::new();
    for (name, _, amount) in parts(bridge) {
        match sums.last_mut() {
            Some((last, sum)) if *last == name => *sum += amount,
            _ => sums.push((name, amount)),
        }
    }
    let columns = ["part", "amount"].map(|key| Column::new(key, key).csv_only());
    let mut table = Table::new("bridge", columns.into(), "");
    for (name, amount) in sums {
        table.row(vec![Cell::text(name), amount.into()]);
    }
    table
}
