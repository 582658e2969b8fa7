//! `forecast`: the float at each month end to come, what it rests on, and the same with one thing
//! changed.

use crate::domain::plan::forecast::{AssumedValue, Assumption, Forecast, ForecastMonth, LowPoint, Origin, WhatIf};
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, IsoMonth, MoneyText, TwoDecimals, two_decimals};
use crate::report::document::{Document, Table};
use crate::report::list::List;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

/// A forecast, and beside it what would be with one thing changed.
#[derive(Clone, Debug, Serialize)]
pub struct ForecastReport {
    #[serde(flatten)]
    stamp: Stamp,
    months: Table,
    lowest_p10: LowRow,
    lowest_p50: LowRow,
    chance_slot_missed_pct: TwoDecimals,
    chance_below_nothing_pct: TwoDecimals,
    what_if: Table,
    assumptions: Table,
    #[serde(skip)]
    last: Option<ForecastMonth>,
    #[serde(skip)]
    is_a_guess: bool,
}

#[derive(Clone, Copy, Debug, Serialize)]
struct LowRow {
    float: MoneyText,
    month: IsoMonth,
}

impl ForecastReport {
    /// Lays out a forecast, and those with one thing changed.
    pub fn new(as_of: NaiveDate, base: &Forecast, changed: &[(WhatIf, Forecast)]) -> Self {
        Self {
            stamp: Stamp::new("forecast", as_of),
            months: months(&base.months),
            lowest_p10: base.lowest_p10.into(),
            lowest_p50: base.lowest_p50.into(),
            chance_slot_missed_pct: TwoDecimals(base.chance_slot_missed_pct),
            chance_below_nothing_pct: TwoDecimals(base.chance_below_nothing_pct),
            what_if: what_if(base, changed),
            assumptions: assumptions(&base.assumptions),
            last: base.months.last().copied(),
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
            .table(self.months.clone())
            .sentence(
                "One run in ten ends a month at the low float or under it, one in ten over the high one. \
                 In the fan < is low, | the middle, > high, and : is a float of nothing.",
            )
            .heading("With one thing changed")
            .table(self.what_if.clone())
            .heading("Assumptions")
            .table(self.assumptions.clone());
        document
    }

    fn headline(&self) -> String {
        self.last.map_or_else(String::new, |last| {
            format!(
                "At the end of {} the float is {} in the middle of the runs, and from {} to {} in eight of ten.",
                last.month, last.float_p50, last.float_p10, last.float_p90
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
}

fn months(months: &[ForecastMonth]) -> Table {
    let scale = Scale::from_months(months);
    List::of("months", months)
        .or_say("No months.")
        .column("month", "Month", |month| month.month)
        .column("float_p10", "Low", |month| month.float_p10)
        .column("float_p50", "Middle", |month| month.float_p50)
        .column("float_p90", "High", |month| month.float_p90)
        .column("fan", "Fan", |month| scale.fan(month))
        .importance(1)
        .screen_only()
        .column("chance_slot_missed_pct", "Missed", |month| Cell::percent(month.chance_slot_missed_pct))
        .column("expected_purchases", "Bought", |month| Cell::number(month.expected_purchases))
        .importance(2)
        .column("expected_sales", "Sold", |month| Cell::number(month.expected_sales))
        .importance(3)
        .table()
}

/// The last month's float and the whole span's dangers, as planned and with one thing changed.
fn what_if(base: &Forecast, changed: &[(WhatIf, Forecast)]) -> Table {
    let planned = std::iter::once(("as planned".to_owned(), base));
    let changed = changed.iter().map(|(what_if, forecast)| (what_if.to_string(), forecast));
    let rows: Vec<(String, &Forecast)> = planned.chain(changed).collect();
    let last = |forecast: &Forecast, float: fn(&ForecastMonth) -> Pence| forecast.months.last().map(float);
    List::of("what-if", &rows)
        .or_say("Nothing changed.")
        .column("what_if", "What if", |(name, _)| name.as_str())
        .column("float_p10", "Low", |(_, forecast)| last(forecast, |month| month.float_p10))
        .column("float_p50", "Middle", |(_, forecast)| last(forecast, |month| month.float_p50))
        .column("float_p90", "High", |(_, forecast)| last(forecast, |month| month.float_p90))
        .importance(2)
        .column("chance_slot_missed_pct", "Missed", |(_, forecast)| Cell::percent(forecast.chance_slot_missed_pct))
        .column("lowest_p10", "Lowest", |(_, forecast)| forecast.lowest_p10.float)
        .column("lowest_p10_month", "In", |(_, forecast)| forecast.lowest_p10.month)
        .importance(1)
        .table()
}

fn assumptions(assumptions: &[Assumption]) -> Table {
    let value = |assumption: &Assumption| match &assumption.value {
        AssumedValue::Money(amount) => (*amount).into(),
        AssumedValue::Days(days) => Cell::days(*days),
        AssumedValue::Count(count) => Cell::count(*count),
        AssumedValue::Percent(percent) => Cell::percent(*percent),
        AssumedValue::Number(number) => Cell::number(*number),
        AssumedValue::Words(words) => Cell::text(words.as_str()),
    };
    List::of("assumptions", assumptions)
        .or_say("Nothing assumed.")
        .column("name", "Assumed", |assumption| assumption.name)
        .column("value", "Value", value)
        .column("from", "From", |assumption| assumption.from.to_string())
        .table()
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

impl From<LowPoint> for LowRow {
    fn from(point: LowPoint) -> Self {
        Self { float: MoneyText(point.float), month: IsoMonth(point.month) }
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
    fn from_months(months: &[ForecastMonth]) -> Self {
        let low = months.iter().map(|month| month.float_p10).min().unwrap_or_default();
        let high = months.iter().map(|month| month.float_p90).max().unwrap_or_default();
        Self { low: low.min(Pence::ZERO), high: high.max(Pence::ZERO) }
    }

    /// The character that stands for a float, the first being 0; rounded down.
    fn place(&self, float: Pence) -> usize {
        let (low, high) = (i128::from(self.low.get()), i128::from(self.high.get()));
        let steps = i128::try_from(FAN - 1).unwrap_or(0);
        let place = (i128::from(float.get()) - low) * steps / (high - low).max(1);
        usize::try_from(place).unwrap_or(0).min(FAN - 1)
    }

    fn fan(&self, month: &ForecastMonth) -> String {
        let [nothing, low, middle, high] =
            [Pence::ZERO, month.float_p10, month.float_p50, month.float_p90].map(|float| self.place(float));
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
            let rows: Vec<ForecastMonth> = months.iter().map(|floats| ahead(11, *floats)).collect();
            let scale = Scale::from_months(&rows);
            rows.iter().map(|row| scale.fan(row)).collect::<Vec<_>>()
        };
        assert_eq!(fan(&[[0, 0, 0]]), ["|......................"]);
        assert_eq!(fan(&[[-300, -200, -100]]), ["<------|------>.......:"]);
        assert_eq!(fan(&[[100, 110, 220], [0, 0, 1]]), [":.........<|---------->", "|......................"]);
    }
}
