//! Days to sell against return.

use crate::domain::figures::period_lines::CarSold;
use crate::report::cell::{Cell, two_decimals};
use crate::report::document::{Column, Table};
use crate::report::left_out::{LeftOutRow, over_which, without_a_return};
use crate::report::phrase;
use crate::report::picture::chart::{Chart, Dot, Drawing};
use crate::report::picture::page::facts::{MOST_SOLD, PageFacts};
use crate::report::picture::page::months::came_back;
use crate::report::picture::picture::{Section, left_out};

/// A dot for each car sold and not taken back.
pub fn section(facts: &PageFacts<'_>) -> Section {
    let figures = &facts.results.total;
    let sold: Vec<&CarSold<'_>> = figures.cars_sold.iter().filter(|sold| sold.taken_back.is_none()).collect();
    let averages = &figures.averages;
    let average = averages.pooled_return_pct.zip(averages.median_days_to_sell).map(|(percent, days)| {
        let (percent, days) = (two_decimals(percent), days.normalize());
        match sold.len() {
            1 => format!("{percent} % return, in {days} days."),
            _ => format!("{percent} % average return; half of them sold within {days} days."),
        }
    });
    let all = figures.cars_sold.len();
    let drawn = came_back(figures)
        .map(|came_back| format!(", {came_back}: {} to go by", phrase::grouped(sold.len())))
        .unwrap_or_default();
    let said = format!("{} sold in these months{drawn}. {}", phrase::cars(all), average.unwrap_or_default());
    let said = phrase::capitalised(said.trim_end());
    let latest = &sold[sold.len().saturating_sub(MOST_SOLD)..];
    let dots: Vec<Dot> = latest.iter().filter_map(|sold| dot(sold)).collect();
    let told = format!(
        "A dot for each car sold, further right the longer it was in stock, higher the more it returned on what it \
         stood in at; a cross for a loss. A broken line marks the return that doubles the money. {said}"
    );
    let rows = LeftOutRow::all(averages);
    let chart = Chart { title: "Days to sell against return".into(), told, drawing: Drawing::Scatter(dots.clone()) };
    Section::new("sold", "Quick sales and good ones", said)
        .drawn((!dots.is_empty()).then_some(chart))
        .behind("Days to sell against return", table(latest))
        .noting(left_out(latest.len(), sold.len(), "cars sold in these months", "stock-book"))
        .noting(over_which(all, &rows).into_iter().chain(without_a_return(&rows)))
        .noting(["`runabout lessons` says which cars have paid.".to_owned()])
}

/// A car that stood in at nothing has no return, and no place.
fn dot(sold: &CarSold<'_>) -> Option<Dot> {
    let figures = &sold.figures;
    Some(Dot { stock_no: sold.car.stock_no.get(), days: figures.days, return_pct: figures.return_pct? })
}

fn table(latest: &[&CarSold<'_>]) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("sold_on", "Sold"),
        Column::new("days_to_sell", "Days"),
        Column::new("stands_in", "Stood in at"),
        Column::new("selling_price", "Price"),
        Column::new("profit", "Profit"),
        Column::new("return_pct", "Return"),
    ];
    let mut table = Table::new("sold", columns, "");
    for sold in latest {
        let figures = &sold.figures;
        table.row(vec![
            Cell::count(i64::from(sold.car.stock_no.get())),
            sold.car.mark.as_ref().map(ToString::to_string).into(),
            figures.sold_on.into(),
            Cell::days(figures.days),
            figures.stood_in.into(),
            figures.selling_price.into(),
            figures.profit.into(),
            Cell::percent(figures.return_pct),
        ]);
    }
    table
}
