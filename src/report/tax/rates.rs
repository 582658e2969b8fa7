//! `rates`: every statutory figure, from which day on, and where it was read.

use crate::domain::days::day::long;
use crate::domain::law::every_table::tables;
use crate::domain::law::rate_table::{ListedRate, RateValue, Rates};
use crate::report::cell::{Cell, IsoDay};
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The figures known.
#[derive(Clone, Debug, Serialize)]
pub struct RatesReport {
    #[serde(flatten)]
    stamp: Stamp,
    /// Only what holds on this day.
    on: Option<IsoDay>,
    /// The file the trader's own lines came from.
    own_file: Option<&'static str>,
    rates: Vec<RateRow>,
}

#[derive(Clone, Debug, Serialize)]
struct RateRow {
    name: &'static str,
    meaning: &'static str,
    from: IsoDay,
    until: Option<IsoDay>,
    value: Cell,
    unit: &'static str,
    own: bool,
    source: &'static str,
    /// As people read it.
    #[serde(skip)]
    words: String,
}

impl RateRow {
    fn new(name: &'static str, meaning: &'static str, listed: &ListedRate) -> Self {
        let value = listed.row.value;
        Self {
            name,
            meaning,
            from: IsoDay(listed.row.from),
            until: listed.until.map(IsoDay),
            value: match value {
                RateValue::Percent(percent) => Cell::Percent(percent),
                RateValue::Pounds(amount) => Cell::Money(amount),
                RateValue::Span(number, _) => Cell::Count(number.into()),
            },
            unit: value.unit(),
            own: listed.own,
            source: listed.row.source,
            words: value.to_string(),
        }
    }

    fn holds_on(&self, day: NaiveDate) -> bool {
        self.from.0 <= day && self.until.is_none_or(|until| day <= until.0)
    }

    /// `20 % — where it was read`, and whose it is when it is the trader's own.
    fn told(&self) -> String {
        let words = &self.words;
        match (self.own, self.source) {
            (false, source) => format!("{words} — {source}"),
            (true, "") => format!("{words} — your own"),
            (true, source) => format!("{words} — your own: {source}"),
        }
    }
}

impl RatesReport {
    /// Lays out the figures in force; all of them, or what holds on a day.
    pub fn new(as_of: NaiveDate, on: Option<NaiveDate>, rates: &Rates) -> Self {
        let rows = tables().flat_map(|table| {
            let rows = rates.rows(table);
            rows.into_iter().map(|listed| RateRow::new(table.name(), table.meaning(), &listed)).collect::<Vec<_>>()
        });
        Self {
            stamp: Stamp::new("rates", as_of),
            on: on.map(IsoDay),
            own_file: rates.own_file(),
            rates: rows.filter(|row| on.is_none_or(|on| row.holds_on(on))).collect(),
        }
    }

    /// For people, a figure after the other; for CSV, a row a figure.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.headline());
        for rows in self.rates.chunk_by(|one, next| one.name == next.name) {
            let Some(first) = rows.first() else { continue };
            document.heading(format!("{} — {}", first.name, first.meaning));
            document.facts(rows.iter().map(|row| (long(row.from.0), Cell::text(row.told()))));
        }
        document.table(self.table());
        document.sentence(
            "Each holds from its day until the next. A record, not tax advice: check with HMRC guidance or an accountant.",
        );
        if let Some(file) = self.own_file {
            document.note(format!("lines of your own from {file} come before the program's; they are marked"));
        }
        document
    }

    fn headline(&self) -> String {
        let own = self.rates.iter().filter(|row| row.own).count();
        let own = match own {
            0 => String::new(),
            1 => ", 1 of them your own".to_owned(),
            _ => format!(", {own} of them your own"),
        };
        match (self.on, self.rates.len()) {
            (Some(on), 0) => format!("No figure known here held on {}.", long(on.0)),
            (Some(on), count) => format!("{count} figures that hold on {}{own}.", long(on.0)),
            (None, count) => format!("{count} figures{own}."),
        }
    }

    fn table(&self) -> Table {
        let keys = ["name", "meaning", "from", "until", "value", "unit", "own", "source"];
        let columns = keys.into_iter().map(|key| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("rates", columns, "");
        for row in &self.rates {
            table.row(vec![
                Cell::text(row.name),
                Cell::text(row.meaning),
                row.from.into(),
                row.until.into(),
                row.value.clone(),
                Cell::text(row.unit),
                Cell::text(if row.own { "yes" } else { "no" }),
                Cell::text(row.source),
            ]);
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::law::own_rates::read;
    use crate::report::fixture::{assert_keys, day, plain, records};

    #[test]
    fn his_own_are_marked_and_the_file_named() {
        let own = read("vat-standard-rate 2027-04-01 21 Finance Act 2027\ncash-limit 2027-01-01 £9,000").unwrap();
        let rates = Rates::with_own(own.leak(), "yard.rates");
        let report = RatesReport::new(day("2026-11-25"), Some(day("2027-05-01")), &rates);
        let shown = plain(&report.document());
        for line in [
            "figures that hold on 1 May 2027, 2 of them your own.\n",
            "vat-standard-rate — standard rate of VAT\n",
            "1 Apr 2027: 21 % — your own: Finance Act 2027\n",
            "1 Jan 2027: £9,000.00 — your own\n",
            "note: lines of your own from yard.rates come before the program's; they are marked\n",
        ] {
            assert!(shown.contains(line), "{line} in {shown}");
        }
        assert!(!shown.contains("15 %"), "{shown}");
        assert_keys(&report, "", "report version as_of on own_file rates");
        assert_keys(&report, "/rates/0", "name meaning from until value unit own source");
        let first = &records(&report.document(), None)[1];
        assert_eq!(first, "vat-standard-rate,standard rate of VAT,2027-04-01,,21.00,percent,yes,Finance Act 2027");
    }
}
