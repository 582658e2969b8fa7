//! The sheet every paper is on: one file with its style in it, no script, nothing fetched. A4 when
//! printed; one column on a phone.

use crate::domain::value::made::Made;
use crate::render::html::page::frame;
use maud::{Markup, html};

/// How small the print is set, by how many bytes of markup there are at most, so that the sheet stays one
/// page whatever the names are; with more it is set in the last. Found by printing 500 capital Ws, the
/// longest and widest a name can be, in one field after another.
const PRINT: [(usize, &str); 5] =
    [(3_400, "plain"), (3_900, "snug"), (5_700, "small"), (9_700, "tiny"), (usize::MAX, "tiniest")];
/// The same where a single text is long, which is told across the whole sheet.
const PRINT_WIDE: [(usize, &str); 4] =
    [(3_200, "wide snug"), (5_700, "wide small"), (9_700, "wide tiny"), (usize::MAX, "wide tiniest")];
/// From how many bytes a text is long.
const LONG: usize = 120;

const STYLE: &str = "
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;background:#ececec;color:#111;font:1rem/1.45 system-ui,'Helvetica Neue',Arial,sans-serif}
main{max-width:50rem;margin:1rem auto;padding:2rem;background:#fff}
main,main *{overflow-wrap:anywhere;min-width:0}
header{display:flex;flex-wrap:wrap;justify-content:space-between;gap:.5rem 2rem;border-bottom:2px solid #111;padding-bottom:.6rem}
h1{font-size:1.6em;line-height:1.15;margin:0}
h2{font-size:1em;margin:0 0 .15rem}
p{margin:0 0 .3rem}
header p{margin:.1rem 0 0}
.standing{border:2px solid #111;padding:.35rem .6rem;margin:.8rem 0 0;font-weight:600}
.two{display:grid;grid-template-columns:1fr 1fr;gap:1rem 2rem;margin-top:1rem}
dl{display:grid;grid-template-columns:minmax(7em,max-content) 1fr;gap:.1rem .8rem;margin:0}
dl.half{grid-template-columns:minmax(6em,max-content) 1fr minmax(6em,max-content) 1fr}
dt{color:#444}
dd{margin:0}
.line{display:block;border-bottom:1px solid #111;height:1.5em}
table{width:100%;border-collapse:collapse;margin-top:1rem}
th,td{padding:.25rem 0;text-align:left;font-weight:400;vertical-align:top;border-bottom:1px solid #bbb}
td{text-align:right;white-space:nowrap;padding-left:1rem;font-variant-numeric:tabular-nums;overflow-wrap:normal}
.total th,.total td{font-weight:700;border-bottom:2px solid #111}
.scheme{margin-top:.5rem;font-weight:600}
section{margin-top:.8rem}
ol{margin:.2rem 0 0;padding-left:1.4em}
.choice{display:inline-block;margin-right:1.2em;white-space:nowrap}
.box{display:inline-block;width:.9em;height:.9em;border:1px solid #111;margin-right:.4em;vertical-align:-.1em}
.sign{margin-top:1.4rem}
.sign p{margin:1.1rem 0 0}
footer{margin-top:1rem;border-top:1px solid #bbb;padding-top:.4rem;color:#444;font-size:.85em}
@media (max-width:40rem){main{margin:0;padding:1rem}.two{grid-template-columns:1fr}
dl.half{grid-template-columns:minmax(7em,max-content) 1fr}}
@page{size:A4;margin:12mm 14mm}
@media print{body{background:none;font-size:10pt;line-height:1.35}main{max-width:none;margin:0;padding:0}
.two{grid-template-columns:1fr 1fr}.snug{font-size:8.6pt;line-height:1.25}
.small{font-size:6.6pt}.tiny{font-size:5pt}.tiniest{font-size:3.9pt}
.wide{& .two:not(.sign){grid-template-columns:1fr;gap:.3rem}& dl.half{grid-template-columns:minmax(7em,max-content) 1fr}}
:is(.small,.tiny,.tiniest){line-height:1.2;& :is(section,table,.two,footer){margin-top:.3rem}& :is(th,td){padding:.1rem 0}}}
";

/// Whether a text is so long that it is told across the whole sheet.
pub(super) const fn is_long(text: &str) -> bool {
    text.len() > LONG
}

/// A whole sheet with a title for the browser's tab and the printed file's name. `wide` where a text of
/// somebody's or of the car's is long.
pub(super) fn sheet(made: Made, title: &str, content: &Markup, wide: bool) -> String {
    let sizes: &[(usize, &str)] = if wide { &PRINT_WIDE } else { &PRINT };
    let print = sizes.iter().find(|(most, _)| content.0.len() <= *most).map(|(_, print)| *print);
    frame(made, title, &[STYLE], print, &html! { main { (content) } })
}

/// A text somebody typed, kept from turning the line around it; without one a line to write on.
pub(super) fn typed(text: Option<&str>) -> Markup {
    match text {
        Some(text) => html! { bdi { (text) } },
        None => html! { span.line {} },
    }
}
