//! `settings`: what is set, what it is otherwise, what it is for.

use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The settings of a book.
#[derive(Clone, Debug, Serialize)]
pub struct SettingsReport {
    #[serde(flatten)]
    stamp: Stamp,
    book: String,
    settings: Vec<SettingRow>,
}

/// One setting.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SettingRow {
    /// Its key.
    pub key: String,
    /// What it was set to; none while it was not.
    pub value: Option<String>,
    /// What it is then; empty for nothing.
    pub default: &'static str,
    /// What it is for.
    pub meaning: &'static str,
}

impl SettingsReport {
    /// Lays out the settings of the book at `book_path`.
    pub const fn new(as_of: NaiveDate, rows: Vec<SettingRow>, book_path: String) -> Self {
        Self { stamp: Stamp::new("settings", as_of), book: book_path, settings: rows }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let set = self.settings.iter().filter(|row| row.value.is_some()).count();
        let mut document = Document::new();
        document
            .headline(match set {
                0 => "Every setting is at its default.".to_owned(),
                1 => "1 setting is your own; the rest are at their default.".to_owned(),
                _ => format!("{set} settings are your own; the rest are at their default."),
            })
            .sentence(format!("The book is {}.", self.book))
            .facts(self.settings.iter().map(|row| (row.key.as_str(), Cell::text(row.words()))))
            .sentence("`runabout settings set KEY VALUE` changes one; `runabout settings headings` lists the headings.")
            .table(self.table());
        document
    }

    fn table(&self) -> Table {
        let keys = ["key", "value", "default", "meaning"];
        let columns = keys.into_iter().map(|key| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("settings", columns, "");
        for row in &self.settings {
            table.row(vec![
                Cell::text(&*row.key),
                row.value.clone().into(),
                Cell::text(row.default),
                Cell::text(row.meaning),
            ]);
        }
        table
    }
}

impl SettingRow {
    /// `cash (default bank) — how …`.
    fn words(&self) -> String {
        let Self { value, default, meaning, .. } = self;
        match (value, *default) {
            (Some(value), "" | "none") => format!("{value} — {meaning}"),
            (Some(value), default) => format!("{value} (default {default}) — {meaning}"),
            (None, "" | "none") => format!("not set — {meaning}"),
            (None, default) => format!("{default} (default) — {meaning}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture::{assert_keys, day, plain};

    fn row(key: &str, value: Option<&str>, default: &'static str, meaning: &'static str) -> SettingRow {
        SettingRow { key: key.into(), value: value.map(Into::into), default, meaning }
    }

    #[test]
    fn what_is_set_is_told_from_what_is_not() {
        let rows = vec![
            row("trader-name", Some("Wend Lane Motors"), "", "name on invoices"),
            row("trader-phone", None, "", "telephone on invoices"),
            row("vat-registered-from", Some("2026-04-01"), "none", "first day registered for VAT"),
            row("vat-registered-until", None, "none", "last day registered for VAT"),
            row("default-paid", Some("cash"), "bank", "how things are paid when not said"),
            row("remind-days", None, "30", "days ahead that dates are flagged"),
        ];
        let report = SettingsReport::new(day("2026-11-25"), rows, "a.book".into());
        assert_eq!(
            plain(&report.document()),
            "\
3 settings are your own; the rest are at their default.
The book is a.book.
trader-name: Wend Lane Motors — name on invoices
trader-phone: not set — telephone on invoices
vat-registered-from: 2026-04-01 — first day registered for VAT
vat-registered-until: not set — last day registered for VAT
default-paid: cash (default bank) — how things are paid when not said
remind-days: 30 (default) — days ahead that dates are flagged
`runabout settings set KEY VALUE` changes one; `runabout settings headings` lists the headings.
"
        );
        assert_keys(&report, "", "report version as_of book settings");
        assert_keys(&report, "/settings/0", "key value default meaning");
    }
}
