//! `month --page`: one month as a page to hand to an accountant or a partner. What it says is what
//! `month` says; the walk and the bars are drawn from the same figures.

use crate::domain::days::day::long;
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, two_decimals};
use crate::report::document::{Column, Table};
use crate::report::month::month::MonthReport;
use crate::report::month::month_screen::{after_write_offs, averages, closed, over_which_sales, steps, steps_to_cash};
use crate::report::phrase::{self, capitalised};
use crate::report::picture::chart::{Bar, Chart, Drawing, Part, Pointer, Step};
use crate::report::picture::page::facts::MOST_CARS;
use crate::report::picture::picture::{Answer, PicturePage, Section, left_out};

/// The most rows of a table; a month with more is read as CSV.
const MOST_ROWS: usize = 200;

/// Lays the page out, with the trader's name if that is set.
pub fn page(report: &MonthReport, trader: Option<String>) -> PicturePage {
    let name = report.month.0.first_day().format("%B %Y").to_string();
    let so_far = report.to.0 < report.month.0.last_day();
    let mut sections = vec![made(report), sold(report)];
    let taken_back = report.sales_reversed.rows.len();
    let gone = report.cars_disposed.rows.len();
    let lists = [
        (
            "bought",
            "Cars bought",
            format!("{} for {}.", phrase::cars(report.cars_bought.rows.len()), report.cost_of_cars_bought.0),
            report.cars_bought.clone(),
        ),
        (
            "reversed",
            "Sales reversed",
            format!("{} taken back; sales of {} taken off.", phrase::cars(taken_back), report.reversed.sales),
            report.sales_reversed.clone(),
        ),
        (
            "disposed",
            "Cars that left without a sale",
            format!("{}; {}.", phrase::cars(gone), phrase::made(-report.disposal_losses.0)),
            report.cars_disposed.clone(),
        ),
        (
            "disposal-lines",
            "Money on cars that left without a sale",
            "A receipt is negative: it takes off the loss, or adds to the gain.".to_owned(),
            report.disposal_lines.clone(),
        ),
        (
            "after-sale",
            "After-sale costs",
            format!("{} in all.", report.after_sale_costs.0),
            report.after_sale_lines.clone(),
        ),
    ];
    sections.extend(lists.into_iter().filter_map(|(id, title, said, table)| list(report, (id, title), &said, table)));
    sections.push(overheads(report));
    let income = format!("{} in all.", report.other_income.0);
    sections.extend(list(report, ("other-income", "Other income"), &income, report.other_income_lines.clone()));
    sections.push(to_cash(report));
    sections.push(worked(report));
    let named = ("differences", "What differs from when it was closed");
    sections.extend(list(report, named, closed(report), report.differences.clone()));
    let mut cautions = vec![format!("Drawn from the book as of {}. {}", long(report.stamp.day()), phrase::CAUTION)];
    cautions.extend(report.own_rates.iter().cloned());
    PicturePage {
        title: if so_far { format!("{name}, up to {}", long(report.to.0)) } else { name },
        day: report.stamp.day(),
        trader,
        answers: answers(report),
        sections,
        cautions,
        file_name: format!("month-{}.html", report.month.0.iso()),
    }
}

fn answers(report: &MonthReport) -> Vec<Answer> {
    let mut answers = vec![
        Answer {
            name: "Profit".into(),
            figure: capitalised(&phrase::made(report.profit.0)),
            remark: Some("after everything".into()),
        },
        Answer {
            name: "Cars".into(),
            figure: format!("{} sold, {} bought", report.cars_sold.rows.len(), report.cars_bought.rows.len()),
            remark: report.average_return_pct.map(|percent| format!("{} % average return", two_decimals(percent.0))),
        },
        Answer {
            name: "Float at the end".into(),
            figure: report.bridge.float_at_end.0.to_string(),
            remark: Some(format!("{} at the start", report.bridge.float_at_start.0)),
        },
        Answer {
            name: "Still in the yard".into(),
            figure: report.stock_at_cost.0.to_string(),
            remark: Some(format!("stock at cost; cash tied up {}", report.cash_tied_up.0)),
        },
    ];
    answers.extend(report.closed.then(|| Answer {
        name: "Closed".into(),
        figure: if report.differences.rows.is_empty() { "As it was then".into() } else { "Changed since".into() },
        remark: Some(closed(report).into()),
    }));
    answers
}

/// From sales to profit.
fn made(report: &MonthReport) -> Section {
    let steps = steps(report);
    let said = format!("{} of sales; {} after everything.", report.sales.0, phrase::made(report.profit.0));
    let sums = ["Sales", "Gross profit", "Profit"];
    let told = format!("A bar for the sales, then what comes off or on step by step, down to the profit. {said}");
    // What was written off is no part of the profit, and comes after the walk's end.
    let after = after_write_offs(report).len();
    let walk = steps[..steps.len().saturating_sub(after)].iter().map(|(name, cell)| step(name, cell, &sums));
    let chart = Chart { title: "From sales to profit".into(), told, drawing: Drawing::Waterfall(walk.collect()) };
    Section::new("made", "What was made", said).drawn(Some(chart)).behind("What was made", amounts(steps))
}

fn step(name: &str, cell: &Cell, sums: &[&str]) -> Step {
    Step { name: name.to_owned(), amount: money(cell), is_sum: sums.contains(&name) }
}

const fn money(cell: &Cell) -> Pence {
    if let Cell::Money(amount) = cell { *amount } else { Pence::ZERO }
}

fn sold(report: &MonthReport) -> Section {
    let said = capitalised(&format!(
        "{} sold, {} bought.",
        phrase::cars(report.cars_sold.rows.len()),
        report.cars_bought.rows.len()
    ));
    let bars: Vec<Bar> = report.cars_sold.rows.iter().take(MOST_CARS).map(|row| bar(&report.cars_sold, row)).collect();
    let came_back = report.cars_sold.rows.iter().any(|row| !report.cars_sold.cell(row, "reversed_on").is_silent());
    let told = format!(
        "A bar for each car sold: what it stood in at, VAT if there is any, and the profit; all of it is the selling \
         price. On a loss the bar is what it stood in at and a pointer marks the selling price.{} {said}",
        if came_back { " A car that came back has its selling price alone, for nothing was made of it." } else { "" }
    );
    let shown = bars.len();
    let chart = Chart { title: "The cars sold".into(), told, drawing: Drawing::Bars(bars) };
    let all = report.cars_sold.rows.len();
    let more = (shown < all).then(|| format!("Drawn: the first {shown} of {all}."));
    tabled(
        report,
        Section::new("sold", "Cars sold", said).drawn((shown > 0).then_some(chart)).noting(more),
        "Cars sold",
        report.cars_sold.clone(),
    )
}

/// One car's bar. Of a sale that was reversed in the month nothing was made.
fn bar(sold: &Table, row: &[Cell]) -> Bar {
    let money = |key| money(sold.cell(row, key));
    let number = sold.cell(row, "stock_no").machine_form();
    let name = match sold.cell(row, "mark") {
        Cell::Text(mark) => format!("{number} {mark}"),
        _ => format!("{number} (no plates)"),
    };
    let (price, profit) = (money("selling_price"), money("profit"));
    if let Cell::Date(back) = sold.cell(row, "reversed_on") {
        let told = format!("sold at {price}, came back {}", back.format("%-d %b"));
        return Bar { name, told, parts: vec![(Part::TakenBack, price)], pointer: None };
    }
    let loss = profit.is_negative();
    let mut parts = vec![(Part::StoodIn, money("stands_in")), (Part::Vat, money("vat_on_sale"))];
    parts.extend((!loss).then_some((Part::Profit, profit)));
    Bar {
        name,
        told: format!("sold at {price}, {}", phrase::made(profit)),
        parts,
        pointer: loss.then_some((Pointer::CameIn, price)),
    }
}

fn overheads(report: &MonthReport) -> Section {
    let said = format!("{} on the yard.", report.overheads_total.0);
    let overheads = &report.overheads;
    let bars: Vec<Bar> = overheads
        .rows
        .iter()
        .map(|row| (overheads.cell(row, "heading").machine_form(), money(overheads.cell(row, "amount"))))
        .map(|(heading, amount)| Bar {
            name: heading.into_owned(),
            told: amount.to_string(),
            parts: vec![(Part::OnYard, amount)],
            pointer: None,
        })
        .take(MOST_CARS)
        .collect();
    let told = format!("A bar for each heading of the overheads. {said}");
    let is_empty = bars.is_empty();
    let chart = Chart { title: "Overheads by heading".into(), told, drawing: Drawing::Bars(bars) };
    tabled(
        report,
        Section::new("overheads", "Overheads", said).drawn((!is_empty).then_some(chart)),
        "Overheads",
        report.overhead_lines.clone(),
    )
}

/// The bridge, drawn, and its proof.
fn to_cash(report: &MonthReport) -> Section {
    let bridge = &report.bridge;
    let steps = steps_to_cash(bridge);
    let sums = ["Float at the start", "Float at the end"];
    let counted = bridge.float_at_end.0;
    let proof = if bridge.expected_float_at_end == counted {
        format!("Proved to the penny: the steps come to {counted}, and so does the cash counted from every movement.")
    } else {
        format!(
            "Not proved: the steps come to {}, the cash counted from every movement to {counted}. Run `runabout verify`.",
            bridge.expected_float_at_end
        )
    };
    let told = format!(
        "A bar for the float at the start, then the profit and each thing that keeps cash and profit apart, down to \
         the float at the end. {proof}"
    );
    let walk = steps.iter().map(|(name, cell)| step(name, cell, &sums)).collect();
    let chart = Chart {
        title: "From the float at the start to the float at the end".into(),
        told,
        drawing: Drawing::Waterfall(walk),
    };
    let mut section = Section::new("cash", "From profit to cash", proof)
        .drawn(Some(chart))
        .behind("From profit to cash", amounts(steps));
    section.said.push(format!("{} came in and {} went out.", report.money_in.0, report.money_out.0));
    section
}

fn worked(report: &MonthReport) -> Section {
    let said = match report.median_days_to_sell {
        Some(days) => format!("Half the cars sold were here {} days or less.", days.0.normalize()),
        None => "No car was sold and kept sold, so there are no averages.".to_owned(),
    };
    Section::new("worked", "How well the money worked", said)
        .noting(over_which_sales(report))
        .behind("How well the money worked", amounts(averages(report)))
}

/// Single values as a table.
fn amounts<L: Into<String>>(values: Vec<(L, Cell)>) -> Table {
    let mut table = Table::new("values", vec![Column::new("name", "What"), Column::new("value", "How much")], "");
    for (name, value) in values {
        table.row(vec![Cell::text(name), value]);
    }
    table
}

/// A section that is a list only; none for an empty one.
fn list(report: &MonthReport, (id, title): (&'static str, &'static str), said: &str, table: Table) -> Option<Section> {
    let has_rows = !table.rows.is_empty();
    has_rows.then(|| tabled(report, Section::new(id, title, capitalised(said)), title, table))
}

/// With the table behind it, its first rows when there are very many; what they come to is of all.
fn tabled(report: &MonthReport, section: Section, title: &str, mut table: Table) -> Section {
    let all = table.rows.len();
    table.rows.truncate(MOST_ROWS);
    let command = format!("month {} --format csv --part {}", report.month.0.iso(), table.name);
    section.noting(left_out(table.rows.len(), all, "lines", &command)).behind(title, table)
}
