//! How `tax-year` reads: the two profits; box by box; how the traditional one comes about; why they
//! differ; what stands apart.

use crate::domain::days::day::long;
use crate::domain::law::rates::income_tax::CASH_BASIS_BY_DEFAULT;
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Document, Table};
use crate::report::phrase;
use crate::report::tax::tax_year::{LineRow, TaxYearReport};
use crate::report::tax::tax_year_lists::{boxes, identity, journeys, lines, named_lines, stock, written_down};

impl TaxYearReport {
    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(headline(self)).sentence(which_basis(self));
        document.heading(format!("For the pages {}, {}", self.form.number(), self.form_name)).table(boxes(self));
        if let Some(sentence) = allowance(self) {
            document.sentence(sentence);
        }
        document.heading("How the traditional profit comes about").facts(traditional(self));
        document.heading("From the cash basis to the traditional profit").facts(proof(self)).table(identity(self));
        list(&mut document, "Amounts with a name of their own", named_lines(self));
        for line in &self.named_lines {
            document.sentence(format!("{}: {}.", phrase::capitalised(line.name), line.counts));
        }
        list(&mut document, "Stock written down to what it should fetch", written_down(self));
        if let Some(sentence) = mileage(self) {
            document.sentence(sentence);
        }
        document.table(stock(self)).table(journeys(self));
        let (cash, traditional) = (&self.cash_basis.lines, &self.traditional.lines);
        let income = |row: &LineRow| row.counts_as.is_income();
        let expense = |row: &LineRow| row.counts_as.is_expense();
        for table in [
            lines("cash-income", cash, income),
            lines("cash-expenses", cash, expense),
            lines("traditional-income", traditional, income),
            lines("traditional-expenses", traditional, expense),
            lines("equipment", traditional, |row| !row.counts_as.is_income() && !row.counts_as.is_expense()),
        ] {
            document.table(table);
        }
        document
            .sentence(format!(
                "Return and tax by {}; a trade begun in {} is registered by {}.",
                long(self.return_by.0),
                self.tax_year,
                long(self.register_by.0)
            ))
            .sentence(format!(
                "`runabout tax-year {} --format csv --part cash-expenses` lists every line behind a figure.",
                self.tax_year
            ));
        for note in notes(self) {
            document.note(note);
        }
        document
    }
}

fn headline(report: &TaxYearReport) -> String {
    let when = if report.complete {
        report.tax_year.to_string()
    } else {
        format!("{} so far, to {}", report.tax_year, long(report.to.0))
    };
    let (cash, traditional) = (report.cash_basis.profit.0, report.traditional.profit.0);
    format!(
        "{when}: {} on the cash basis, {} by traditional accounting.",
        phrase::made(cash),
        phrase::made(traditional)
    )
}

/// Which of the two counts unless something else is chosen.
fn which_basis(report: &TaxYearReport) -> &'static str {
    if report.from.0 >= CASH_BASIS_BY_DEFAULT {
        "The cash basis is used unless the return opts out of it."
    } else {
        "Until 2023-24 traditional accounting was used unless the return chose the cash basis."
    }
}

fn allowance(report: &TaxYearReport) -> Option<String> {
    let allowance = report.trading_allowance.as_ref()?;
    let amount = allowance.amount.0;
    let words = if allowance.better {
        format!(
            "The trading allowance of {amount} (box {}) takes off more than the expenses of {}: {} would be left.",
            allowance.form_box, report.cash_basis.expenses.0, allowance.profit.0
        )
    } else {
        format!("The trading allowance of {amount} would take off no more than the expenses do.")
    };
    Some(words)
}

/// A table under its name, when there is anything in it.
fn list(document: &mut Document, name: &str, table: Table) {
    if !table.rows.is_empty() {
        document.heading(name);
    }
    document.table(table);
}

/// Signed so that the eye can add it up, nothing left out that a year is judged by.
fn traditional(report: &TaxYearReport) -> Vec<(&'static str, Cell)> {
    let basis = &report.traditional;
    let other_expenses = basis.expenses.0 - basis.cost_of_goods.0;
    let steps = [
        ("Turnover", basis.turnover.0, true),
        ("Other income", basis.other_income.0, false),
        ("Stock at the start", -basis.opening_stock.0, true),
        ("Paid ahead before the start", -basis.paid_ahead_at_start.0, false),
        ("Cars bought", -basis.purchases.0, true),
        ("Other costs of goods", -basis.costs_of_goods.0, true),
        ("Paid ahead at the end", basis.paid_ahead_at_end.0, false),
        ("Stock at the end", basis.closing_stock.0, true),
        ("Other expenses", -other_expenses, true),
        ("Cars kept for own use", basis.cars_kept.0, false),
        ("Profit", basis.profit.0, true),
    ];
    let to_the_book = [
        ("Equipment, no expense here", -basis.equipment.0, false),
        ("Stock written down", basis.stock_written_down.0, false),
        ("Mileage at the flat rate", basis.mileage.0, false),
    ];
    let differs = basis.profit.0 != basis.book_profit.0 || to_the_book.iter().any(|(_, amount, _)| !amount.is_zero());
    let book = differs.then_some(("The profit of `month` and `results`", basis.book_profit.0, true));
    steps
        .into_iter()
        .chain(to_the_book)
        .chain(book)
        .filter(|(_, amount, always)| *always || !amount.is_zero())
        .map(|(name, amount, _)| (name, amount.into()))
        .collect()
}

/// What a part of the identity is called when it adds to the traditional profit, and when it takes off.
fn names(part: &'static str) -> (&'static str, &'static str) {
    match part {
        "stock at cost" => ("more in stock, at cost", "less in stock, at cost"),
        "written down" => ("written down before, not now", "stock written down"),
        "owed by buyers" => ("buyers owe more", "buyers owe less"),
        "owed to sellers" => ("sellers are owed less", "sellers are owed more"),
        "unpaid bills" => ("fewer bills unpaid", "more bills unpaid"),
        "refunds owed" => ("refunds owed before, paid now", "refunds still to pay"),
        "deposits held" => ("fewer deposits held", "more deposits held"),
        "paid ahead" => ("paid ahead for cars to come", "paid ahead before, in stock now"),
        "cars kept" => ("cars kept for own use", "cars kept for own use"),
        "written off" => ("written off, not in the profit", "written off before, lapsed now"),
        other => (other, other),
    }
}

fn proof(report: &TaxYearReport) -> Vec<(String, Cell)> {
    let part = |name: &'static str, amount: MoneyText| {
        let (more, less) = names(name);
        (if amount.0.is_negative() { less } else { more }, amount.0)
    };
    let parts = report.identity.iter().filter(|part| !part.amount.0.is_zero());
    std::iter::once(("profit on the cash basis", report.cash_basis.profit.0))
        .chain(parts.map(|named| part(named.name, named.amount)))
        .chain([("profit by traditional accounting", report.traditional.profit.0)])
        .map(|(name, amount): (&str, Pence)| (phrase::capitalised(name), amount.into()))
        .collect()
}

fn mileage(report: &TaxYearReport) -> Option<String> {
    let mileage = report.mileage.as_ref()?;
    let (first, after) = (mileage.pence_a_mile, mileage.pence_a_mile_after);
    Some(format!(
        "{} at the flat rate of {first}p, {after}p after the first 10,000, come to {}.",
        mileage.distance, mileage.amount.0
    ))
}

/// Cautions, each short and where it applies.
fn notes(report: &TaxYearReport) -> Vec<String> {
    let mut notes = report.own_rates.clone();
    if let Some(mileage) = &report.mileage {
        if !mileage.settled {
            notes.push(format!(
                "the flat rate for sole traders in {} was not settled when this was written: {}p is used, \
                 GOV.UK has the year's rate",
                report.tax_year, mileage.pence_a_mile
            ));
        }
        notes.push(
            "the flat rate is for your own car or van, never for cars in stock, and instead of its fuel and upkeep: \
             leave those out"
                .to_owned(),
        );
    }
    if report.registered {
        notes.push(
            "VAT is left out either way: it comes off on the day it falls due or is reclaimed, and what HMRC is paid \
             does not count"
                .to_owned(),
        );
    }
    notes.push("box numbers are those of the forms known here; the year's own form decides".to_owned());
    notes.push(
        "Making Tax Digital wants compatible software or a digital link: this is the record, not the filing".to_owned(),
    );
    notes.push("a record, not tax advice: check with HMRC guidance or an accountant".to_owned());
    notes
}
