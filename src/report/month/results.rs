//! `results`: month by month, and the whole span.

use crate::domain::days::day::long;
use crate::domain::days::month::Month;
use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::figures::results::Results;
use crate::report::cell::{Cell, IsoDay, IsoMonth, MoneyText, TwoDecimals, two_decimals};
use crate::report::document::{Column, Document, Table};
use crate::report::left_out::{LeftOutRow, over_which};
use crate::report::phrase;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The results of a span of months.
#[derive(Clone, Debug, Serialize)]
pub struct ResultsReport {
    #[serde(flatten)]
    stamp: Stamp,
    months: Vec<ResultRow>,
    total: ResultRow,
    stock_turn: Option<TwoDecimals>,
    days_sales_in_stock: Option<TwoDecimals>,
    gmroi: Option<TwoDecimals>,
    annual_return_pct: Option<TwoDecimals>,
    annual_return_reason: Option<String>,
    /// Why there is no turn and no margin on stock.
    stock_turn_reason: Option<String>,
    /// Sales that the averages of the span leave out.
    left_out_of_averages: Vec<LeftOutRow>,
    /// The book's first day, when months before its own were asked for: people are not shown those.
    book_begins_on: Option<IsoDay>,
}

/// The results of a month, or of the span.
#[derive(Clone, Debug, Serialize)]
struct ResultRow {
    /// Null for the span.
    month: Option<IsoMonth>,
    cars_bought: usize,
    cars_sold: usize,
    sales: MoneyText,
    gross_profit: MoneyText,
    overheads_total: MoneyText,
    /// Other income less losses on cars that left without a sale and after-sale costs.
    other: MoneyText,
    profit: MoneyText,
    average_return_pct: Option<TwoDecimals>,
    mean_days_to_sell: Option<TwoDecimals>,
    cash_tied_up: MoneyText,
    float_at_end: MoneyText,
}

impl ResultsReport {
    /// Lays out the results.
    pub fn new(as_of: NaiveDate, results: &Results<'_>) -> Self {
        let stock = &results.total.stock;
        Self {
            stamp: Stamp::new("results", as_of),
            months: results.months.iter().map(|(month, figures)| ResultRow::new(Some(*month), figures)).collect(),
            total: ResultRow::new(None, &results.total),
            stock_turn: stock.turn.map(TwoDecimals),
            days_sales_in_stock: stock.days_sales.map(TwoDecimals),
            gmroi: stock.gmroi.map(TwoDecimals),
            annual_return_pct: results.annual_return.ok().map(TwoDecimals),
            annual_return_reason: results.annual_return.err().map(|reason| reason.to_string()),
            stock_turn_reason: stock.no_turn.map(|reason| reason.to_string()),
            left_out_of_averages: LeftOutRow::all(&results.total.averages),
            book_begins_on: results.book_begins.map(IsoDay),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let annual_return = phrase::percent_or_reason(self.annual_return_pct, self.annual_return_reason.as_deref());
        let mut document = Document::new();
        document.headline(self.headline());
        if let Some(begins) = self.book_begins_on {
            document.sentence(format!("The book begins on {}; months before it are not shown.", long(begins.0)));
        }
        if let Some(over) = over_which(self.total.cars_sold, &self.left_out_of_averages) {
            document.sentence(over);
        }
        document
            .table(self.table())
            .facts([
                ("Stock turn a year", phrase::number_or_reason(self.stock_turn, self.stock_turn_reason.as_deref())),
                ("Days' sales in stock", Cell::number(self.days_sales_in_stock.map(Into::into))),
                ("Gross profit a year per £1 of stock", Cell::number(self.gmroi.map(Into::into))),
                ("Annual return", annual_return),
            ])
            .sentence("`runabout month MONTH` shows what is behind a line.");
        document
    }

    /// The months from the one the book began in.
    fn shown(&self) -> impl Iterator<Item = &ResultRow> {
        let first = self.book_begins_on.map(|begins| Month::containing(begins.0));
        self.months.iter().filter(move |row| first.is_none() || row.month.map(|month| month.0) >= first)
    }

    fn headline(&self) -> String {
        let last = self.months.last().and_then(|row| row.month).map(|month| month.0.to_string()).unwrap_or_default();
        let span = match self.shown().count() {
            1 => last,
            months => format!("{months} months to {last}"),
        };
        let total = &self.total;
        let made = phrase::made(total.profit.0);
        let average = total.average_return_pct;
        let average =
            average.map(|average| format!(", {} % average return", two_decimals(average.0))).unwrap_or_default();
        format!("{span}: {made} after everything; {} sold{average}.", phrase::cars(total.cars_sold))
    }

    fn table(&self) -> Table {
        let has_other = self.months.iter().any(|row| !row.other.0.is_zero());
        let columns = vec![
            Column::new("month", "Month"),
            Column::new("cars_bought", "Bought"),
            Column::new("cars_sold", "Sold"),
            Column::new("sales", "Sales").importance(1),
            Column::new("gross_profit", "Gross"),
            Column::new("overheads_total", "Overheads"),
            if has_other { Column::new("other", "Other") } else { Column::new("other", "Other").csv_only() },
            Column::new("profit", "Profit"),
            Column::new("bar", "Profit as a bar").importance(2).screen_only(),
            Column::new("average_return_pct", "Return"),
            Column::new("mean_days_to_sell", "Days"),
            Column::new("cash_tied_up", "Tied up").importance(4),
            Column::new("float_at_end", "Float").importance(3),
        ];
        let longest = self.months.iter().map(|row| row.profit.0.get().unsigned_abs()).max().unwrap_or(0);
        let mut table = Table::new("months", columns, "No months.");
        for row in self.shown() {
            table.row(row.cells(row.month.into(), bar(row, longest)));
        }
        table.total_row(self.total.cells(Cell::text("Total"), Cell::blank()));
        table
    }
}

/// The characters of the longest bar.
const LONGEST_BAR: u64 = 15;

/// As many signs as the month's profit has parts of the greatest: plus for a profit, minus for a
/// loss, so that it needs no colour. What is not nothing has at least one.
fn bar(row: &ResultRow, longest: u64) -> Cell {
    let profit = row.profit.0.get();
    let parts =
        (u128::from(profit.unsigned_abs()) * u128::from(LONGEST_BAR)).checked_div(u128::from(longest)).unwrap_or(0);
    let signs = usize::try_from(parts).unwrap_or(0).max(usize::from(profit != 0));
    Cell::text(if profit < 0 { "-" } else { "+" }.repeat(signs))
}

impl ResultRow {
    fn new(month: Option<Month>, figures: &PeriodFigures<'_>) -> Self {
        Self {
            month: month.map(IsoMonth),
            cars_bought: figures.cars_bought.len(),
            cars_sold: figures.cars_sold.len(),
            sales: MoneyText(figures.sales),
            gross_profit: MoneyText(figures.gross_profit),
            overheads_total: MoneyText(figures.overheads_total),
            other: MoneyText(figures.other_profit()),
            profit: MoneyText(figures.profit),
            average_return_pct: figures.averages.pooled_return_pct.map(TwoDecimals),
            mean_days_to_sell: figures.averages.mean_days_to_sell.map(TwoDecimals),
            cash_tied_up: MoneyText(figures.closing.cash_tied_up()),
            float_at_end: MoneyText(figures.bridge.float_at_end),
        }
    }

    fn cells(&self, name: Cell, bar: Cell) -> Vec<Cell> {
        vec![
            name,
            count(self.cars_bought),
            count(self.cars_sold),
            self.sales.into(),
            self.gross_profit.into(),
            self.overheads_total.into(),
            self.other.into(),
            self.profit.into(),
            bar,
            Cell::percent(self.average_return_pct.map(Into::into)),
            Cell::number(self.mean_days_to_sell.map(Into::into)),
            self.cash_tied_up.into(),
            self.float_at_end.into(),
        ]
    }
}

fn count(cars: usize) -> Cell {
    Cell::count(i64::try_from(cars).ok())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::facts::Facts;
    use crate::domain::figures::results::results;
    use crate::report::fixture::{assert_keys, autumn, day, nothing, plain, records};
    use serde_json::Value;

    fn report(facts: &Facts, from: &str, to: &str) -> ResultsReport {
        let month = |day_in: &str| Month::containing(day(day_in));
        ResultsReport::new(day("2026-11-25"), &results(facts, month(from), month(to)).unwrap())
    }

    const ROW: &str = "month cars_bought cars_sold sales gross_profit overheads_total other profit average_return_pct \
        mean_days_to_sell cash_tied_up float_at_end";

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = report(&autumn(), "2026-09-01", "2026-11-01");
        assert_keys(
            &report,
            "",
            "report version as_of months total stock_turn days_sales_in_stock gmroi annual_return_pct \
             annual_return_reason stock_turn_reason left_out_of_averages book_begins_on",
        );
        assert_keys(&report, "/months/0", ROW);
        assert_keys(&report, "/total", ROW);
    }

    #[test]
    fn months_come_one_by_one_with_a_sign_for_each_part_of_the_best() {
        let document = report(&autumn(), "2026-09-01", "2026-11-01").document();
        let shown = plain(&document);
        assert!(
            shown.starts_with(
                "3 months to Nov 2026: made £100.15 after everything; 1 car sold, 83.76 % average return.\n"
            ),
            "{shown}"
        );
        let bars: Vec<&str> = shown.lines().filter_map(|line| line.split(" | ").nth(8)).collect();
        assert_eq!(bars, ["Profit as a bar", "-----", "-----", "+++++++++++++++", ""]);
        assert_eq!(
            records(&document, None)[2..],
            [
                "2026-10,1,0,0.00,0.00,120.00,0.00,-120.00,,,999.85,855.15",
                "2026-11,1,1,1185.00,540.15,180.00,-20.00,340.15,83.76,33.00,975.00,1220.15",
            ]
        );
    }

    #[test]
    fn a_span_with_nothing_has_reasons_and_no_averages() {
        let report = report(&nothing(), "2026-11-01", "2026-11-01");
        let json = serde_json::to_value(&report).unwrap();
        assert_eq!(json["annual_return_pct"], Value::Null);
        assert!(json["annual_return_reason"].is_string());
        assert_eq!(json["total"]["profit"], "0.00");
        assert_eq!(json["total"]["average_return_pct"], Value::Null);
        let shown = plain(&report.document());
        assert!(
            shown.starts_with("Nov 2026: made nothing and lost nothing after everything; no cars sold.\n"),
            "{shown}"
        );
    }
}
