//! The stock book as a page to print, its two sides under headings of their own.

use crate::domain::days::day::long;
use crate::domain::value::made::Made;
use crate::render::html::page::{Sheet, page, text, value};
use crate::report::cell::{Cell, IsoDay, MoneyText};
use crate::report::paper::stock_book::{StockBookReport, StockBookRow, StockBookTotals};
use crate::report::paper::stock_book_screen::HOW_VAT;
use maud::{Markup, html};

/// How much of the sheet each column has, in per cent: room for a date or a price of seven figures, the rest
/// for words.
const WIDTHS: [&str; 13] = ["4", "7.5", "6.5", "8", "9.5", "12", "7.5", "5", "8.5", "8.5", "7.5", "6.5", "9"];

/// What the second list is of.
const OUTSIDE: &str = "Outside the margin scheme: bought on a VAT invoice, VAT due on the full price";

/// The whole file.
pub fn stock_book(report: &StockBookReport) -> String {
    let missing = report.missing_sentences();
    let body = html! {
        main {
            h1 { (text(&report.title())) }
            p { (report.counts()) "." }
            p { (report.vat_sentence()) (registration(report)) }
            (list("The cars", &report.rows, &report.totals, "No cars."))
            @if !report.outside_scheme.is_empty() {
                h2 { (OUTSIDE) }
                (list(OUTSIDE, &report.outside_scheme, &report.outside_scheme_totals, ""))
            }
            @if !report.gaps.is_empty() {
                h2 { "Numbers not in use" }
                @for gap in &report.gaps { p { (text(&gap.sentence())) } }
            }
            @if !missing.is_empty() {
                h2 { "Still to fill in" }
                @for sentence in &missing { p { (sentence) } }
            }
        }
        footer.small {
            p {
                (HOW_VAT) " No purchase invoice number is needed where the trader made the purchase invoice out himself. \
                A sale reversed stands as a line of its own with the number of its credit note."
            }
            p { "As of " (long(report.day())) ". " (report.caution) }
        }
    };
    page(Made::StockBook, &report.title(), Sheet::Landscape, &body)
}

/// When the trader was registered, and under which number.
fn registration(report: &StockBookReport) -> Markup {
    html! {
        @if let Some(from) = report.vat_registered_from {
            " Registered for VAT from " (long(from.0))
            @if let Some(until) = report.vat_registered_until { " until " (long(until.0)) }
            @if let Some(number) = &report.vat_number { ", number " (text(number)) }
            "."
        }
    }
}

/// A list that scrolls by itself on a narrow screen, and so can be reached from the keyboard.
fn list(name: &str, rows: &[StockBookRow], totals: &StockBookTotals, empty: &str) -> Markup {
    html! {
        @if rows.is_empty() { p { (empty) } } @else {
            div.wide role="region" aria-label=(name) tabindex="0" { table {
                colgroup { @for width in WIDTHS { col style={ "width:" (width) "%" }; } }
                thead {
                    tr {
                        th colspan="6" scope="colgroup" { "Purchase" }
                        th colspan="6" scope="colgroup" { "Sale" }
                        th rowspan="2" scope="col" { "Note" }
                    }
                    tr {
                        @for name in [
                            "Stock no.", "Date of purchase", "Purchase invoice no.", "Purchase price", "Name of seller",
                            "Description", "Date of sale", "Sales invoice no.", "Selling price, or method of disposal",
                            "Name of buyer", "Margin on sale", "VAT due",
                        ] { th scope="col" { (name) } }
                    }
                }
                tbody { @for row in rows { (line(row)) } }
                tfoot { (sums(totals, rows.iter().any(|row| row.margin.is_some()))) }
            } }
        }
    }
}

fn line(row: &StockBookRow) -> Markup {
    html! {
        tr {
            td.figure { (row.stock_no) }
            (day(Some(row.date_of_purchase)))
            (words(row.purchase_invoice.as_deref()))
            (money(Some(row.purchase_price)))
            (words(row.seller.as_deref()))
            (words(Some(&row.description)))
            (day(row.date_of_sale))
            (words(row.paper().as_deref()))
            @match (row.selling_price, row.disposal, row.status) {
                (Some(price), _, _) => (money(Some(price))),
                (None, Some(method), _) => td { (method) },
                (None, None, _) => td { "in stock" },
            }
            (words(row.buyer.as_deref()))
            (money(row.margin))
            (money(row.vat_due))
            (words(row.note.as_deref()))
        }
    }
}

/// What the days of the period come to: a car with several lines was bought once.
fn sums(totals: &StockBookTotals, margins: bool) -> Markup {
    html! {
        tr {
            th colspan="3" scope="row" { "Bought " (totals.cars_bought) }
            td.figure { (value(&totals.purchase_price.into())) }
            th colspan="4" scope="row" { "Sold " (totals.cars_sold) ", less taken back " (totals.sales_reversed) }
            td.figure { (value(&totals.selling_price.into())) }
            @if margins {
                th scope="row" { "Gains" br; "Losses" }
                td.figure { (value(&totals.margin_gains.into())) br; (value(&totals.margin_losses.into())) }
            } @else { td colspan="2" {} }
            td.figure { (value(&totals.vat_due.into())) }
            td {}
        }
    }
}

fn words(words: Option<&str>) -> Markup {
    html! { td.free { @if let Some(words) = words { (text(words)) } } }
}

fn money(amount: Option<MoneyText>) -> Markup {
    html! { td.figure { (value(&Cell::from(amount))) } }
}

fn day(day: Option<IsoDay>) -> Markup {
    html! { td.day { (value(&Cell::from(day))) } }
}
