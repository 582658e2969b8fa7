//! What every printed page has in common: the frame, the style sheet, and how single values read.

use crate::domain::value::control_chars::escape_control_chars;
use crate::domain::value::made::Made;
use crate::render::text::human_form;
use crate::report::cell::Cell;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// The sheet of paper a page is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sheet {
    /// A4 on its side, for wide tables.
    Landscape,
}

impl Sheet {
    /// The rule for printing on it.
    const fn rule(self) -> &'static str {
        match self {
            Self::Landscape => "@page { size: A4 landscape; margin: 10mm }",
        }
    }
}

/// Black on white, and readable on a telephone as on paper: a wide table scrolls on a screen, a row is
/// never split between sheets, the headings of a table are printed again on each, its totals once.
const STYLE: &str = "
* { box-sizing: border-box }
body { margin: 0 auto; padding: 1rem; max-width: 277mm; color: #111; background: #fff;
  font: 10pt/1.35 'Liberation Sans', Arial, Helvetica, system-ui, sans-serif }
h1 { font-size: 15pt; margin: 0 0 .2rem }
h2 { font-size: 11pt; margin: 1.1rem 0 .3rem; break-after: avoid }
h1, h2, p { overflow-wrap: anywhere }
p { margin: .2rem 0; max-width: 230mm }
.wide { overflow-x: auto }
table { border-collapse: collapse; width: 100%; font-size: 8pt; line-height: 1.25 }
.wide table { table-layout: fixed; min-width: 70rem }
th, td { border: .5pt solid #999; padding: 2pt 3pt; text-align: left; vertical-align: top }
th, tfoot td { background: #eee; font-weight: 600; vertical-align: bottom }
thead { display: table-header-group }
tfoot { display: table-row-group }
tr { break-inside: avoid }
td { overflow-wrap: break-word }
.figure { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums }
.day { white-space: nowrap }
.free { overflow-wrap: anywhere }
.small { font-size: 8pt; color: #333 }
dl { display: grid; grid-template-columns: max-content max-content; gap: .1rem 1.2rem; margin: .3rem 0 }
dd { margin: 0 }
footer { margin-top: 1rem; border-top: .5pt solid #999; padding-top: .3rem; break-inside: avoid }
@media print { body { padding: 0; max-width: none } .wide { overflow: visible } .wide table { min-width: 0 }
  th, tfoot td { -webkit-print-color-adjust: exact; print-color-adjust: exact } }
";

/// Scripts, frames, pictures and anything from elsewhere are ruled out for whoever opens the file, on
/// top of escaping: a name that slipped through could still load and run nothing.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// A whole file of a kind, in this style; `class` says which of its settings holds for all of it.
pub(super) fn frame(made: Made, title: &str, style: &[&str], class: Option<&str>, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="generator" content=(made.mark());
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                title { (text(title)) }
                style { @for part in style { (PreEscaped(part)) } }
            }
            body class=[class] { (body) }
        }
    }
    .into_string()
        + "\n"
}

/// A whole file on a sheet for wide tables.
pub(super) fn page(made: Made, title: &str, sheet: Sheet, body: &Markup) -> String {
    frame(made, title, &[STYLE, sheet.rule()], None, body)
}

/// Words as recorded, with what cannot be seen written out: a mark that turns the direction of writing
/// could make one name read as another.
pub(super) fn text(text: &str) -> Markup {
    html! { (escape_control_chars(text)) }
}

/// One value as people read it; nothing where it says nothing.
pub(super) fn value(cell: &Cell) -> Markup {
    html! { @if !cell.is_silent() { (human_form(cell)) } }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_holds_everything_it_needs_and_nothing_that_runs() {
        let made = page(Made::StockBook, "<b>&", Sheet::Landscape, &text("a<script>\u{202e}b"));
        assert!(made.starts_with("<!DOCTYPE html><html lang=\"en-GB\">"), "{made}");
        assert!(made.contains("<title>&lt;b&gt;&amp;</title>"), "{made}");
        assert!(made.contains("<body>a&lt;script&gt;\\u{202e}b</body>"), "{made}");
        assert!(Made::StockBook.is_at(made.as_bytes()), "it is known again: {made}");
        assert!(made.contains("size: A4 landscape"), "{made}");
        for banned in ["<script", "http://", "https://", "src=", "url(", "@import"] {
            assert!(!made.contains(banned), "{banned}");
        }
    }
}
