//! `forecast`: the float at each month end to come, what it rests on, and the same with one thing
//! changed.

use crate::domain::plan::forecast::{AssumedValue, Assumption, Forecast, ForecastMonth, LowPoint, Origin, WhatIf};
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, IsoMonth, MoneyText, TwoDecimals, two_decimals};
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

/// A forecast, and beside it what would be with one thing changed.
#[derive(Clone, Debug, Serialize)]
pub struct ForecastReport {
    #[serde(flatten)]
    stamp: Stamp,
    months: Vec<MonthRow>,
    lowest_p10: LowRow,
    lowest_p50: LowRow,
    chance_slot_missed_pct: TwoDecimals,
    chance_below_nothing_pct: TwoDecimals,
    what_if: Vec<WhatIfRow>,
    assumptions: Vec<AssumptionRow>,
    #[serde(skip)]
    is_a_guess: bool,
}

#[derive(Clone, Copy, Debug, Serialize)]
struct MonthRow {
    month: IsoMonth,
    float_p10: MoneyText,
    float_p50: MoneyText,
    float_p90: MoneyText,
    chance_slot_missed_pct: TwoDecimals,
    expected_purchases: TwoDecimals,
    expected_sales: TwoDecimals,
}

#[derive(Clone, Copy, Debug, Serialize)]
struct LowRow {
    float: MoneyText,
    month: IsoMonth,
}

/// The last month's float and the whole span's dangers.
#[derive(Clone, Debug, Serialize)]
struct WhatIfRow {
    what_if: String,
    float_p10: Option<MoneyText>,
    float_p50: Option<MoneyText>,
    float_p90: Option<MoneyText>,
    chance_slot_missed_pct: TwoDecimals,
    lowest_p10: MoneyText,
    lowest_p10_month: IsoMonth,
}

#[derive(Clone, Debug, Serialize)]
struct AssumptionRow {
    name: &'static str,
    value: Cell,
    from: String,
}

impl ForecastReport {
    /// Lays out a forecast, and those with one thing changed.
    pub fn new(as_of: NaiveDate, base: &Forecast, changed: &[(WhatIf, Forecast)]) -> Self {
        let changed = changed.iter().map(|(what_if, forecast)| WhatIfRow::new(what_if.to_string(), forecast));
        Self {
            stamp: Stamp::new("forecast", as_of),
            months: base.months.iter().map(MonthRow::from).collect(),
            lowest_p10: base.lowest_p10.into(),
            lowest_p50: base.lowest_p50.into(),
            chance_slot_missed_pct: TwoDecimals(base.chance_slot_missed_pct),
            chance_below_nothing_pct: TwoDecimals(base.chance_below_nothing_pct),
            what_if: std::iter::once(WhatIfRow::new("as planned".into(), base)).chain(changed).collect(),
            assumptions: base.assumptions.iter().map(AssumptionRow::from).collect(),
            is_a_guess: base.assumptions.iter().any(|line| line.from == Origin::TooFewSold),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.headline()).sentence(self.lowest()).sentence(self.dangers());
        if self.is_a_guess {
            document.sentence("Fewer than five cars sold: how cars sell is a guess, shown below, not your own trade.");
        }
        document
            .table(self.months_table())
            .sentence(
                "One run in ten ends a month at the low float or under it, one in ten over the high one. \
                 In the fan < is low, | the middle, > high, and : is a float of nothing.",
            )
            .heading("With one thing changed")
            .table(self.what_if_table())
            .heading("Assumptions")
            .table(self.assumptions_table());
        document
    }

    fn headline(&self) -> String {
        self.months.last().map_or_else(String::new, |last| {
            format!(
                "At the end of {} the float is {} in the middle of the runs, and from {} to {} in eight of ten.",
                last.month.0, last.float_p50.0, last.float_p10.0, last.float_p90.0
            )
        })
    }

    /// How low it gets.
    fn lowest(&self) -> String {
        let (middle, low) = (&self.lowest_p50, &self.lowest_p10);
        format!(
            "It is lowest in {}, at {} in the middle of the runs; one run in ten is down to {} or less in {}.",
            middle.month.0, middle.float.0, low.float.0, low.month.0
        )
    }

    fn dangers(&self) -> String {
        format!(
            "A slot is missed for want of money in {}; the float falls below nothing in {}.",
            part_of_runs(self.chance_slot_missed_pct.0),
            part_of_runs(self.chance_below_nothing_pct.0)
        )
    }

    fn months_table(&self) -> Table {
        let columns = vec![
            Column::new("month", "Month"),
            Column::new("float_p10", "Low"),
            Column::new("float_p50", "Middle"),
            Column::new("float_p90", "High"),
            Column::new("fan", "Fan").importance(1).screen_only(),
            Column::new("chance_slot_missed_pct", "Missed"),
            Column::new("expected_purchases", "Bought").importance(2),
            Column::new("expected_sales", "Sold").importance(3),
        ];
        let scale = Scale::from_months(&self.months);
        let mut table = Table::new("months", columns, "No months.");
        for row in &self.months {
            table.row(vec![
                row.month.into(),
                row.float_p10.into(),
                row.float_p50.into(),
                row.float_p90.into(),
                Cell::text(scale.fan(row)),
                Cell::percent(row.chance_slot_missed_pct.0),
                Cell::number(row.expected_purchases.0),
                Cell::number(row.expected_sales.0),
            ]);
        }
        table
    }

    fn what_if_table(&self) -> Table {
        let columns = vec![
            Column::new("what_if", "What if"),
            Column::new("float_p10", "Low"),
            Column::new("float_p50", "Middle"),
            Column::new("float_p90", "High").importance(2),
            Column::new("chance_slot_missed_pct", "Missed"),
            Column::new("lowest_p10", "Lowest"),
            Column::new("lowest_p10_month", "In").importance(1),
        ];
        let mut table = Table::new("what-if", columns, "Nothing changed.");
        for row in &self.what_if {
            table.row(vec![
                Cell::text(row.what_if.as_str()),
                row.float_p10.into(),
                row.float_p50.into(),
                row.float_p90.into(),
                Cell::percent(row.chance_slot_missed_pct.0),
                row.lowest_p10.into(),
                row.lowest_p10_month.into(),
            ]);
        }
        table
    }

    fn assumptions_table(&self) -> Table {
        let columns = vec![Column::new("name", "Assumed"), Column::new("value", "Value"), Column::new("from", "From")];
        let mut table = Table::new("assumptions", columns, "Nothing assumed.");
        for row in &self.assumptions {
            table.row(vec![Cell::text(row.name), row.value.clone(), Cell::text(row.from.as_str())]);
        }
        table
    }
}

/// `no run`, `12.30 % of runs`, `every run`.
fn part_of_runs(percent: Decimal) -> String {
    if percent.is_zero() {
        "no run".into()
    } else if percent == Decimal::ONE_HUNDRED {
        "every run".into()
    } else {
        format!("{} % of runs", two_decimals(percent))
    }
}

impl From<&ForecastMonth> for MonthRow {
    fn from(month: &ForecastMonth) -> Self {
        Self {
            month: IsoMonth(month.month),
            float_p10: MoneyText(month.float_p10),
            float_p50: MoneyText(month.float_p50),
            float_p90: MoneyText(month.float_p90),
            chance_slot_missed_pct: TwoDecimals(month.chance_slot_missed_pct),
            expected_purchases: TwoDecimals(month.expected_purchases),
            expected_sales: TwoDecimals(month.expected_sales),
        }
    }
}

impl From<LowPoint> for LowRow {
    fn from(point: LowPoint) -> Self {
        Self { float: MoneyText(point.float), month: IsoMonth(point.month) }
    }
}

impl WhatIfRow {
    fn new(what_if: String, forecast: &Forecast) -> Self {
        let last = forecast.months.last().map(MonthRow::from);
        Self {
            what_if,
            float_p10: last.map(|last| last.float_p10),
            float_p50: last.map(|last| last.float_p50),
            float_p90: last.map(|last| last.float_p90),
            chance_slot_missed_pct: TwoDecimals(forecast.chance_slot_missed_pct),
            lowest_p10: MoneyText(forecast.lowest_p10.float),
            lowest_p10_month: IsoMonth(forecast.lowest_p10.month),
        }
    }
}

impl From<&Assumption> for AssumptionRow {
    fn from(line: &Assumption) -> Self {
        let value = match &line.value {
            AssumedValue::Money(amount) => (*amount).into(),
            AssumedValue::Days(days) => Cell::days(*days),
            AssumedValue::Count(count) => Cell::count(*count),
            AssumedValue::Percent(percent) => Cell::percent(*percent),
            AssumedValue::Number(number) => Cell::number(*number),
            AssumedValue::Words(words) => Cell::text(words.as_str()),
        };
        Self { name: line.name, value, from: line.from.to_string() }
    }
}

/// The characters of a fan.
const FAN: usize = 23;

/// The span of floats that fans are drawn over, nothing included.
struct Scale {
    low: Pence,
    high: Pence,
}

impl Scale {
    fn from_months(months: &[MonthRow]) -> Self {
        let low = months.iter().map(|row| row.float_p10.0).min().unwrap_or_default();
        let high = months.iter().map(|row| row.float_p90.0).max().unwrap_or_default();
        Self { low: low.min(Pence::ZERO), high: high.max(Pence::ZERO) }
    }

    /// The character that stands for a float, the first being 0; rounded down.
    fn place(&self, float: Pence) -> usize {
        let (low, high) = (i128::from(self.low.get()), i128::from(self.high.get()));
        let steps = i128::try_from(FAN - 1).unwrap_or(0);
        let place = (i128::from(float.get()) - low) * steps / (high - low).max(1);
        usize::try_from(place).unwrap_or(0).min(FAN - 1)
    }

    fn fan(&self, row: &MonthRow) -> String {
        let [nothing, low, middle, high] =
            [Pence::ZERO, row.float_p10.0, row.float_p50.0, row.float_p90.0].map(|float| self.place(float));
        let sign = |place: usize| match place {
            at if at == middle => '|',
            at if at == low => '<',
            at if at == high => '>',
            at if at == nothing => ':',
            at if (low..high).contains(&at) => '-',
            _ => '.',
        };
        (0..FAN).map(sign).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::days::month::Month;
    use crate::report::fixture::{assert_keys, day, plain, records};

    fn pounds(pounds: i64) -> Pence {
        Pence::new(pounds * 100)
    }

    fn month(number: u32) -> Month {
        Month::new(2026, number).unwrap()
    }

    fn ahead(number: u32, [p10, p50, p90]: [i64; 3]) -> ForecastMonth {
        ForecastMonth {
            month: month(number),
            float_p10: pounds(p10),
            float_p50: pounds(p50),
            float_p90: pounds(p90),
            chance_slot_missed_pct: Decimal::new(1230, 2),
            expected_purchases: Decimal::new(188, 2),
            expected_sales: Decimal::new(175, 2),
        }
    }

    fn forecast(from: Origin) -> Forecast {
        let line = |name, value, from| Assumption { name, value, from };
        Forecast {
            months: vec![ahead(11, [500, 500, 500]), ahead(12, [-100, 900, 2_100])],
            lowest_p50: LowPoint { float: pounds(350), month: month(11) },
            lowest_p10: LowPoint { float: pounds(-240), month: month(12) },
            chance_slot_missed_pct: Decimal::new(2050, 2),
            chance_below_nothing_pct: Decimal::ZERO,
            assumptions: vec![
                line("median days to sell", AssumedValue::Number(Decimal::new(3350, 2)), from),
                line("budget of a car", AssumedValue::Money(pounds(1_000)), Origin::Programme),
                line("costs spent after, on average", AssumedValue::Days(14), Origin::Method),
                line("days to sell against past cars", AssumedValue::Percent(Decimal::new(15_000, 2)), Origin::Given),
                line("runs", AssumedValue::Count(10_000), Origin::Method),
                line("VAT on margins", AssumedValue::Words("not registered".into()), Origin::Book),
            ],
        }
    }

    fn report(from: Origin) -> ForecastReport {
        let dearer = (WhatIf::DearerBudget(20), forecast(from));
        ForecastReport::new(day("2026-11-01"), &forecast(from), &[dearer])
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = report(Origin::OwnCars);
        assert_keys(
            &report,
            "",
            "report version as_of months lowest_p10 lowest_p50 chance_slot_missed_pct chance_below_nothing_pct \
             what_if assumptions",
        );
        assert_keys(
            &report,
            "/months/0",
            "month float_p10 float_p50 float_p90 chance_slot_missed_pct expected_purchases expected_sales",
        );
        assert_keys(&report, "/assumptions/0", "name value from");
        assert_keys(&report, "/lowest_p10", "float month");
        assert_keys(
            &report,
            "/what_if/1",
            "what_if float_p10 float_p50 float_p90 chance_slot_missed_pct lowest_p10 lowest_p10_month",
        );
        let json = serde_json::to_value(&report).unwrap();
        assert_eq!(json["months"][1]["float_p10"], "-100.00");
        assert_eq!(json["months"][1]["chance_slot_missed_pct"], 12.3);
        assert_eq!(json["what_if"][1]["what_if"], "a budget 20 % dearer");
        let values: Vec<String> =
            (0..6).map(|line| json["assumptions"][line]["value"].to_string().replace('"', "")).collect();
        assert_eq!(values, ["33.5", "1000.00", "14", "150.0", "10000", "not registered"]);
    }

    #[test]
    fn the_answer_comes_in_words_and_the_fan_beside_the_figures() {
        let shown = plain(&report(Origin::OwnCars).document());
        let lines: Vec<&str> = shown.lines().collect();
        assert_eq!(
            lines[..6],
            [
                "At the end of Dec 2026 the float is £900.00 in the middle of the runs, and from -£100.00 to £2,100.00 \
                 in eight of ten.",
                "It is lowest in Nov 2026, at £350.00 in the middle of the runs; one run in ten is down to -£240.00 or \
                 less in Dec 2026.",
                "A slot is missed for want of money in 20.50 % of runs; the float falls below nothing in no run.",
                "Month | Low | Middle | High | Fan | Missed | Bought | Sold",
                "2026-11 | 500.00 | 500.00 | 500.00 | .:....|................ | 12.30 | 1.88 | 1.75",
                "2026-12 | -100.00 | 900.00 | 2100.00 | <:--------|-----------> | 12.30 | 1.88 | 1.75",
            ]
        );
        assert!(!shown.contains("Fewer than five"), "{shown}");
    }

    #[test]
    fn a_guess_is_said_to_be_one() {
        let shown = plain(&report(Origin::TooFewSold).document());
        assert!(shown.contains("Fewer than five cars sold: how cars sell is a guess"), "{shown}");
        assert!(shown.contains("median days to sell | 33.50 | guess, too few sold"), "{shown}");
    }

    #[test]
    fn machines_read_the_figures_without_the_fan() {
        let document = report(Origin::OwnCars).document();
        assert_eq!(records(&document, None)[2], "2026-12,-100.00,900.00,2100.00,12.30,1.88,1.75");
        assert_eq!(records(&document, Some("what-if"))[1], "as planned,-100.00,900.00,2100.00,20.50,-240.00,2026-12");
        assert_eq!(records(&document, Some("assumptions"))[2], "budget of a car,1000.00,programme");
    }

    #[test]
    fn a_fan_needs_no_room_for_what_it_has_not() {
        let fan = |months: &[[i64; 3]]| {
            let rows: Vec<MonthRow> = months.iter().map(|floats| MonthRow::from(&ahead(11, *floats))).collect();
            let scale = Scale::from_months(&rows);
            rows.iter().map(|row| scale.fan(row)).collect::<Vec<_>>()
        };
        assert_eq!(fan(&[[0, 0, 0]]), ["|......................"]);
        assert_eq!(fan(&[[-300, -200, -100]]), ["<------|------>.......:"]);
        assert_eq!(fan(&[[100, 110, 220], [0, 0, 1]]), [":.........<|---------->", "|......................"]);
    }
}
