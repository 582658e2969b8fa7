//! The stock book for people and CSV: sentences first, the two lists, what explains the numbers.

use crate::domain::days::day::long;
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::paper::stock_book::{GapRow, StockBookReport, StockBookRow, StockBookTotals};
use crate::report::phrase;

/// How the VAT of a line comes about, in a sentence.
pub const HOW_VAT: &str = "Margin is selling price less purchase price; costs are never in it. VAT due is the VAT within the \
     margin at the standard rate of the day of sale, one sixth at 20 %, car by car; a loss has none and takes nothing off \
     another car's.";

impl StockBookReport {
    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(format!("{}: {}.", self.title(), self.counts())).sentence(self.vat_sentence());
        document.table(list("cars", &self.rows, &self.totals, "No cars."));
        if !self.outside_scheme.is_empty() {
            document.heading("Bought on a VAT invoice: outside the margin scheme, VAT on the full price");
        }
        document.table(list("outside-scheme", &self.outside_scheme, &self.outside_scheme_totals, ""));
        if !self.gaps.is_empty() {
            document.heading("Numbers not in use");
            for gap in &self.gaps {
                document.sentence(gap.sentence());
            }
        }
        document.table(self.gap_table());
        let missing = self.missing_sentences();
        if !missing.is_empty() {
            document.note(format!("{} `runabout amend` adds it.", missing.join(" ")));
        }
        document.note(phrase::CAUTION);
        document.sentence("`runabout stock-book --html` makes a page to print; `--format csv` has every field.");
        document
    }

    /// `Stock book of D Quill, 1 Jul 2026 to 30 Sep 2026`, or `Stock book to 25 Nov 2026`.
    pub fn title(&self) -> String {
        let whose = self.trader_name.as_ref().map(|name| format!(" of {name}")).unwrap_or_default();
        match self.from {
            Some(from) => format!("Stock book{whose}, {} to {}", long(from.0), long(self.to.0)),
            None => format!("Stock book{whose} to {}", long(self.to.0)),
        }
    }

    /// `3 cars bought, 2 sold, 1 taken back, 1 disposed of, 4 in stock`: both lists together.
    pub fn counts(&self) -> String {
        let both = |of: fn(&StockBookTotals) -> usize| of(&self.totals) + of(&self.outside_scheme_totals);
        let mut counts = vec![
            format!("{} bought", phrase::cars(both(|totals| totals.cars_bought))),
            format!("{} sold", both(|totals| totals.cars_sold)),
        ];
        for (count, what) in
            [(both(|totals| totals.sales_reversed), "taken back"), (both(|totals| totals.cars_disposed), "disposed of")]
        {
            if count > 0 {
                counts.push(format!("{count} {what}"));
            }
        }
        counts.push(format!("{} in stock at the end", both(|totals| totals.cars_in_stock)));
        counts.join(", ")
    }

    /// What VAT comes to, or why there is none.
    pub fn vat_sentence(&self) -> String {
        let totals = &self.totals;
        let Some(vat) = totals.vat_due else {
            return "Not registered for VAT on any of these days, so none is due: the margin scheme is for registered \
                    traders only."
                .to_owned();
        };
        let losses = if totals.margin_losses.0 == Pence::ZERO {
            String::new()
        } else {
            format!(" Losses come to {} and take nothing off it.", totals.margin_losses.0)
        };
        let outside = self.outside_scheme_totals.vat_due.filter(|_| !self.outside_scheme.is_empty());
        let outside = outside.map(|vat| format!(" Outside the scheme {} more.", vat.0)).unwrap_or_default();
        format!("VAT due on margins: {}, car by car.{losses}{outside}", vat.0)
    }

    /// `No name of seller for stock numbers 4, 9.` and the like, field by field.
    pub fn missing_sentences(&self) -> Vec<String> {
        [
            ("purchase_invoice", "purchase invoice number (bought from the trade, at auction or on a VAT invoice)"),
            ("seller", "name of seller"),
            ("description", "registration mark or VIN"),
            ("buyer", "name of buyer"),
        ]
        .into_iter()
        .filter_map(|(key, words)| {
            let cars = self.missing.iter().filter(|row| row.fields.contains(&key));
            let numbers: Vec<String> = cars.map(|row| row.stock_no.to_string()).collect();
            let plural = if numbers.len() == 1 { "" } else { "s" };
            (!numbers.is_empty()).then(|| format!("No {words} for stock number{plural} {}.", numbers.join(", ")))
        })
        .collect()
    }

    fn gap_table(&self) -> Table {
        let keys = ["series", "number", "entry", "command", "given_on", "undone_by", "undone_on"];
        let columns = keys.into_iter().map(|key| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("gaps", columns, "");
        for gap in &self.gaps {
            table.row(vec![
                Cell::text(gap.series),
                Cell::text(&*gap.number),
                Cell::count(gap.entry),
                Cell::text(&*gap.command),
                gap.given_on.into(),
                Cell::count(gap.undone_by),
                gap.undone_on.into(),
            ]);
        }
        table
    }
}

impl GapRow {
    /// `Stock number 3: given on 3 Nov 2026 by entry 12 (buy), undone on 4 Nov 2026 by entry 13.`
    pub fn sentence(&self) -> String {
        format!(
            "{} {}: given on {} by entry {} ({}), undone on {} by entry {}; never given again.",
            phrase::capitalised(self.series),
            self.number,
            long(self.given_on.0),
            self.entry,
            self.command,
            long(self.undone_on.0),
            self.undone_by,
        )
    }
}

/// The fields in the order of the record-keeping guidance; what they add up to below.
fn list(name: &'static str, rows: &[StockBookRow], totals: &StockBookTotals, empty: &'static str) -> Table {
    // On a narrow screen the margin gives way to the VAT on it, where there is any.
    let taxed = totals.vat_due.is_some();
    let columns = vec![
        Column::new("stock_no", "No."),
        Column::new("status", "Status").csv_only(),
        Column::new("became", "Status").screen_only(),
        Column::new("date_of_purchase", "Bought").importance(3),
        Column::new("purchase_invoice", "Invoice").importance(7).elastic(),
        Column::new("purchase_price", "Price"),
        Column::new("vat_on_purchase", "VAT on it").csv_only(),
        Column::new("seller", "Seller").importance(6).elastic(),
        Column::new("description", "Description").elastic(),
        Column::new("date_of_sale", "Sold"),
        Column::new("sales_invoice", "Sales invoice").csv_only(),
        Column::new("credit_note", "Credit note").csv_only(),
        Column::new("paper", "Invoice").importance(4).screen_only(),
        Column::new("selling_price", "Sold for"),
        Column::new("disposal", "Disposal").csv_only(),
        Column::new("buyer", "Buyer").importance(5).elastic(),
        Column::new("margin", "Margin").importance(u8::from(taxed)),
        Column::new("vat_due", "VAT due").importance(u8::from(!taxed)),
        Column::new("note", "Note").importance(8).elastic(),
    ];
    let mut table = Table::new(name, columns, empty);
    for row in rows {
        table.row(row.cells());
    }
    if !rows.is_empty() {
        table.total_row(totals.cells());
    }
    table
}

impl StockBookRow {
    fn cells(&self) -> Vec<Cell> {
        let text = |text: &Option<String>| Cell::from(text.as_deref());
        vec![
            Cell::count(i64::from(self.stock_no)),
            Cell::text(self.status),
            Cell::text(self.status.replace('-', " ")),
            self.date_of_purchase.into(),
            text(&self.purchase_invoice),
            self.purchase_price.into(),
            self.vat_on_purchase.into(),
            text(&self.seller),
            Cell::text(&*self.description),
            self.date_of_sale.into(),
            text(&self.sales_invoice),
            text(&self.credit_note),
            text(&self.paper()),
            self.selling_price.into(),
            self.disposal.into(),
            text(&self.buyer),
            self.margin.into(),
            self.vat_due.into(),
            text(&self.note),
        ]
    }

    /// Selling price, or method of disposal: one field of the law's.
    pub fn sold_for(&self) -> Cell {
        self.selling_price.map_or_else(|| self.disposal.into(), Into::into)
    }
}

impl StockBookTotals {
    fn cells(&self) -> Vec<Cell> {
        let blanks = |count: usize| std::iter::repeat_n(Cell::blank(), count);
        let mut cells: Vec<Cell> = blanks(5).collect();
        cells.push(self.purchase_price.into());
        cells.extend(blanks(2));
        cells.push(Cell::text("Bought, and sold"));
        cells.extend(blanks(4));
        cells.push(self.selling_price.into());
        cells.extend(blanks(3));
        cells.push(self.vat_due.map_or(Cell::blank(), |vat: MoneyText| vat.into()));
        cells.push(Cell::blank());
        cells
    }
}
