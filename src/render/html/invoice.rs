//! The paper of a deal as one sheet: invoice, credit note, or a purchase record to be signed.

use crate::domain::days::day::long;
use crate::render::html::paper::{is_long, sheet, typed};
use crate::report::paper::invoice::{InvoiceReport, PaperKind};
use crate::report::paper::invoice_parts::Party;
use crate::report::paper::invoice_screen::rate;
use crate::report::paper::invoice_words::grouped;
use crate::report::phrase::capitalised;
use maud::{Markup, html};

/// The whole page.
pub fn page(report: &InvoiceReport) -> String {
    let mark = report.car.mark.as_deref().unwrap_or("no plates");
    let signed = report.kind == PaperKind::PurchaseRecord;
    let content = html! {
        header {
            h1 { (report.title()) }
            p { "Date: " (long(report.on.0)) }
        }
        @if let Some(standing) = report.standing() { p.standing { (standing) } }
        div.two {
            (party("Seller", &report.seller))
            (party("Buyer", &report.buyer))
        }
        (car(report))
        (account(report))
        @for term in &report.terms {
            section { h2 { (term.heading) } p { bdi { (term.text) } } }
        }
        @if signed { (declaration(report)) }
        footer { p { (foot(report)) } }
    };
    sheet(report.kind.made(), &format!("{} – {mark}", report.title()), &content, has_long(report))
}

/// Whether a name, an address or a fact of the car is long.
fn has_long(report: &InvoiceReport) -> bool {
    let people = [&report.seller, &report.buyer].map(Party::lines).into_iter().flatten();
    people.filter_map(|(_, text)| text).any(is_long) || report.car.lines().iter().any(|(_, text)| is_long(text))
}

fn party(role: &str, party: &Party) -> Markup {
    html! {
        div {
            h2 { (role) }
            dl {
                @for (label, value) in party.lines() { dt { (label) } dd { (typed(value)) } }
            }
        }
    }
}

fn car(report: &InvoiceReport) -> Markup {
    // Whoever signs a purchase record fills in what is not known.
    let to_fill = report.kind == PaperKind::PurchaseRecord;
    html! {
        section {
            h2 { (capitalised(report.car.vehicle)) }
            dl.half {
                @for (label, value) in report.car.lines() { dt { (label) } dd { (typed(Some(&value))) } }
                @if to_fill {
                    @if report.car.vin.is_none() { dt { "VIN" } dd { (typed(None)) } }
                    dt { "Odometer" }
                    @match report.mileage {
                        Some(mileage) => dd { (grouped(mileage.miles)) " miles on " (long(mileage.on.0)) },
                        None => dd { (typed(None)) },
                    }
                }
            }
        }
    }
}

fn account(report: &InvoiceReport) -> Markup {
    html! {
        table {
            tr.total { th scope="row" { (report.price_label()) } td { (report.price.0) } }
            @if let Some(vat) = report.vat {
                tr { th scope="row" { "of which without VAT" } td { (vat.net.0) } }
                tr { th scope="row" { "of which VAT at " (rate(vat.rate_pct.0)) } td { (vat.vat.0) } }
            }
            // Each part is taken off, so that the eye can subtract to what is due.
            @for row in &report.settlement {
                tr { th scope="row" { bdi { (row.wording) } } td { (-row.amount.0) } }
            }
            @if let Some(label) = report.balance_label() {
                tr.total { th scope="row" { (label) } td { (report.balance_due.0) } }
            }
        }
        @if let Some(wording) = report.wording { p.scheme { (wording) } }
    }
}

fn declaration(report: &InvoiceReport) -> Markup {
    let choice = |text: &str| html! { span.choice { span.box {} (text) } };
    html! {
        section {
            h2 { "The seller declares" }
            ol { @for declared in &report.declaration { li { bdi { (declared) } } } }
            p { (choice("yes")) (choice("no")) (choice("I do not know")) }
        }
        div.two.sign {
            @for role in ["Seller", "Buyer"] {
                div {
                    h2 { (role) }
                    p { "Signature" span.line {} }
                    p { "Date" span.line {} }
                }
            }
        }
    }
}

fn foot(report: &InvoiceReport) -> &'static str {
    match report.kind {
        PaperKind::PurchaseRecord => "Made out by the buyer. Both keep a copy.",
        PaperKind::SalesInvoice | PaperKind::CreditNote => "From the seller's own records.",
    }
}
