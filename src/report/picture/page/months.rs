//! The month and the eleven before it.

use crate::domain::days::month::Month;
use crate::domain::figures::period_figures::PeriodFigures;
use crate::report::cell::Cell;
use crate::report::document::{Column, Table};
use crate::report::phrase;
use crate::report::picture::chart::{Chart, Drawing, MonthColumn, Part};
use crate::report::picture::page::facts::PageFacts;
use crate::report::picture::picture::Section;

/// Profit month by month.
pub fn section(facts: &PageFacts<'_>) -> Section {
    let months = &facts.results.months;
    let total = &facts.results.total;
    let said = format!(
        "{}{}: {} after everything; {} sold{}.",
        span(months),
        if months.last().is_some_and(|(last, _)| facts.day < last.last_day()) { " (not yet over)" } else { "" },
        phrase::made(total.profit),
        phrase::cars(total.cars_sold.len()),
        came_back(total).map(|came_back| format!(", {came_back}")).unwrap_or_default()
    );
    let best = months.iter().max_by_key(|(_, figures)| figures.profit);
    let worst = months.iter().min_by_key(|(_, figures)| figures.profit);
    let extremes = best.zip(worst).filter(|(best, worst)| best.1.profit != worst.1.profit).map(|(best, worst)| {
        format!(
            " The best was {}, which {}; the worst {}, which {}.",
            best.0,
            phrase::made(best.1.profit),
            worst.0,
            phrase::made(worst.1.profit)
        )
    });
    let told = format!(
        "For each month a bar up for the gross profit on cars and one down for overheads and whatever else took \
         from it, with a line through the profit that is left. {said}{}",
        extremes.clone().unwrap_or_default()
    );
    let columns = months.iter().map(|(month, figures)| column(*month, figures)).collect();
    let is_empty = months.iter().all(|(_, figures)| {
        figures.profit.is_zero() && figures.gross_profit.is_zero() && figures.overheads_total.is_zero()
    });
    let chart = Chart { title: "Profit, month by month".into(), told, drawing: Drawing::Months(columns) };
    Section::new("months", "Month by month", said + &extremes.unwrap_or_default())
        .drawn((!is_empty).then_some(chart))
        .behind("Month by month", table(facts))
        .noting(["`runabout month MONTH --page` draws a month by itself.".to_owned()])
}

/// `1 of them taken back`, where any came back.
pub(crate) fn came_back(total: &PeriodFigures<'_>) -> Option<String> {
    let back = total.cars_sold.len() - total.averages.over;
    (back > 0).then(|| format!("{back} of them taken back"))
}

fn span(months: &[(Month, PeriodFigures<'_>)]) -> String {
    match months {
        [(only, _)] => only.to_string(),
        [.., (last, _)] => format!("{} months to {last}", months.len()),
        [] => String::new(),
    }
}

/// The parts come to the profit.
fn column(month: Month, figures: &PeriodFigures<'_>) -> MonthColumn {
    MonthColumn {
        month,
        parts: vec![
            (Part::Gross, figures.gross_profit),
            (Part::Overheads, -figures.overheads_total),
            (Part::Rest, figures.other_profit()),
        ],
        profit: figures.profit,
    }
}

fn table(facts: &PageFacts<'_>) -> Table {
    let columns = vec![
        Column::new("month", "Month"),
        Column::new("cars_bought", "Bought"),
        Column::new("cars_sold", "Sold"),
        Column::new("sales", "Sales"),
        Column::new("gross_profit", "Gross profit"),
        Column::new("overheads_total", "Overheads"),
        Column::new("other", "Other"),
        Column::new("profit", "Profit"),
        Column::new("average_return_pct", "Return"),
        Column::new("float_at_end", "Float at end"),
    ];
    let row = |name: Cell, figures: &PeriodFigures<'_>| {
        let count = |cars: usize| Cell::count(i64::try_from(cars).ok());
        vec![
            name,
            count(figures.cars_bought.len()),
            count(figures.cars_sold.len()),
            figures.sales.into(),
            figures.gross_profit.into(),
            figures.overheads_total.into(),
            figures.other_profit().into(),
            figures.profit.into(),
            Cell::percent(figures.averages.pooled_return_pct),
            figures.bridge.float_at_end.into(),
        ]
    };
    let mut table = Table::new("months", columns, "");
    for (month, figures) in &facts.results.months {
        table.row(row((*month).into(), figures));
    }
    table.total_row(row(Cell::text("Together"), &facts.results.total));
    table
}
