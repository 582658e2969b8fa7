//! `invoice` for people at a terminal, and as one row of CSV; the page for paper is `render::html`'s.

use crate::domain::days::day::long;
use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::paper::invoice::{InvoiceReport, PaperKind};
use crate::report::paper::invoice_parts::{Described, Party, SettledRow};
use crate::report::paper::invoice_words::grouped;

impl Described {
    /// What is known of the car, label by label.
    pub fn lines(&self) -> Vec<(&'static str, String)> {
        let text = |text: &Option<String>| text.clone();
        [
            ("Registration mark", Some(self.mark.clone().unwrap_or_else(|| "none: without plates".into()))),
            ("Make", text(&self.make)),
            ("Model", text(&self.model)),
            ("Year", self.year.map(|year| year.to_string())),
            ("Colour", text(&self.colour)),
            ("VIN", text(&self.vin)),
            ("First registered", self.first_registered.map(|day| long(day.0))),
            ("Stock-book number", Some(self.stock_no.to_string())),
        ]
        .into_iter()
        .filter_map(|(label, value)| Some((label, value?)))
        .collect()
    }
}

impl InvoiceReport {
    /// For people, and for CSV as one row.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(format!("{} of {}.", self.title(), long(self.on.0)));
        if let Some(standing) = self.standing() {
            document.sentence(standing);
        }
        let told =
            |party: &Party| party.lines().into_iter().filter_map(|(_, value)| value).collect::<Vec<_>>().join(", ");
        let mut facts =
            vec![("Seller".to_owned(), words(told(&self.seller))), ("Buyer".to_owned(), words(told(&self.buyer)))];
        facts.extend(self.car.lines().into_iter().map(|(label, value)| (label.to_owned(), Cell::text(value))));
        if self.kind == PaperKind::PurchaseRecord {
            let read = |miles| Cell::text(format!("{} miles", grouped(miles)));
            facts.push(("Odometer".to_owned(), self.mileage.map(|mileage| read(mileage.miles)).into()));
        }
        document.facts(facts);
        // Each part is taken off, so that the eye can subtract to what is due.
        let mut account = vec![(self.price_label().to_owned(), Cell::Money(self.price.0))];
        if let Some(vat) = self.vat {
            account.push((format!("of it VAT at {}", rate(vat.rate_pct.0)), Cell::Money(vat.vat.0)));
        }
        account.extend(self.settlement.iter().map(|row| (short(row), Cell::Money(-row.amount.0))));
        account.extend(self.balance_label().map(|label| (label.to_owned(), Cell::Money(self.balance_due.0))));
        document.facts(account);
        if let Some(wording) = self.wording {
            document.sentence(wording);
        }
        for term in &self.terms {
            document.sentence(format!("{}: {}", term.heading, term.text));
        }
        for declared in &self.declaration {
            document.sentence(declared.as_str());
        }
        for note in &self.notes {
            document.note(note.as_str());
        }
        document.table(self.row());
        document
    }

    fn row(&self) -> Table {
        let values: [(&'static str, Cell); 16] = [
            ("kind", Cell::text(self.kind.word())),
            ("number", self.number.clone().into()),
            ("on", self.on.into()),
            ("stock_no", Cell::Count(self.car.stock_no.into())),
            ("mark", self.car.mark.clone().into()),
            (
                "description",
                Cell::text(self.car.lines().into_iter().map(|(_, value)| value).collect::<Vec<_>>().join(" ")),
            ),
            ("seller", self.seller.name.clone().into()),
            ("seller_address", self.seller.address.clone().into()),
            ("buyer", self.buyer.name.clone().into()),
            ("buyer_address", self.buyer.address.clone().into()),
            ("price", self.price.into()),
            ("vat", self.vat.map(|vat| vat.vat).into()),
            ("wording", self.wording.map(str::to_owned).into()),
            ("balance_due", self.balance_due.into()),
            ("refers_to", self.refers_to.as_ref().map(|other| other.number.clone()).into()),
            ("reversed_by", self.reversed_by.as_ref().map(|other| other.number.clone()).into()),
        ];
        let columns = values.iter().map(|(key, _)| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("invoice", columns, "");
        table.row(values.into_iter().map(|(_, cell)| cell).collect());
        table
    }
}

/// A rate as people write it: `20 %`.
pub(crate) fn rate(percent: rust_decimal::Decimal) -> String {
    format!("{} %", percent.normalize())
}

/// What settled part of the price, in so few words that 80 columns hold them.
fn short(row: &SettledRow) -> String {
    match (&row.mark, row.what) {
        (Some(mark), "part-exchange") => format!("Part-exchange {mark}"),
        (Some(mark), _) => format!("Given back: {mark}"),
        (None, _) => row.wording.clone(),
    }
}

/// Words, or missing when there are none.
fn words(text: String) -> Cell {
    if text.is_empty() { Cell::Missing } else { Cell::text(text) }
}
