//! The float, behind and ahead.

use crate::domain::plan::forecast::Origin;
use crate::report::cell::{Cell, two_decimals};
use crate::report::document::{Column, Table};
use crate::report::picture::chart::{Ahead, Chart, Drawing, LineBand};
use crate::report::picture::page::facts::PageFacts;
use crate::report::picture::picture::Section;

/// The float at month ends.
pub fn section(facts: &PageFacts<'_>) -> Section {
    let float = facts.balances.float();
    let ahead: Vec<Ahead> = facts
        .forecast
        .months
        .iter()
        .map(|month| Ahead {
            on: month.month.last_day(),
            low: month.float_p10,
            middle: month.float_p50,
            high: month.float_p90,
        })
        .collect();
    let mut said = vec![format!("{float} today.")];
    said.extend(facts.forecast.months.last().map(|last| {
        format!(
            "At the end of {} it is {} in the middle of the runs, and from {} to {} in eight of ten; a slot is missed \
             for want of money in {} % of them.",
            last.month,
            last.float_p50,
            last.float_p10,
            last.float_p90,
            two_decimals(facts.forecast.chance_slot_missed_pct)
        )
    }));
    if facts.forecast.assumptions.iter().any(|line| line.from == Origin::TooFewSold) {
        said.push("Fewer than five cars sold: how cars sell is a guess, not your own trade.".into());
    }
    let behind = facts.results.months.iter();
    let behind = behind.map(|(_, figures)| (figures.period.to(), figures.bridge.float_at_end)).collect();
    let told = format!(
        "A line through the float at each month end up to today; from there a broken line through the middle of the \
         forecast, inside a band that eight runs in ten end in. {}",
        said.join(" ")
    );
    let drawing = Drawing::LineBand(LineBand { behind, ahead });
    let mut section = Section::new("float", "The float, behind and ahead", "")
        .drawn(Some(Chart { title: "The float at each month end".into(), told, drawing }))
        .behind("The float to come", table(facts))
        .noting(["Arithmetic on the past, not advice. `runabout forecast` lists what it rests on.".to_owned()]);
    section.said = said;
    section
}

fn table(facts: &PageFacts<'_>) -> Table {
    let columns = vec![
        Column::new("month", "Month end"),
        Column::new("float_p10", "Low: one run in ten"),
        Column::new("float_p50", "Middle"),
        Column::new("float_p90", "High: nine in ten"),
        Column::new("chance_slot_missed_pct", "Slot missed"),
        Column::new("expected_purchases", "Bought"),
        Column::new("expected_sales", "Sold"),
    ];
    let mut table = Table::new("forecast", columns, "");
    for month in &facts.forecast.months {
        table.row(vec![
            month.month.into(),
            month.float_p10.into(),
            month.float_p50.into(),
            month.float_p90.into(),
            Cell::percent(month.chance_slot_missed_pct),
            Cell::number(month.expected_purchases),
            Cell::number(month.expected_sales),
        ]);
    }
    table
}
