//! How a page of pictures is set: as a printed ledger, one column on a phone, side headings on a desk and on
//! A4; in the light and in the dark. Colour only underlines what patterns, shapes and words already say.

/// The style sheet. Dark blue, ochre and rust stay apart for the common kinds of colour blindness, and as
/// greys on paper.
pub(super) const STYLE: &str = "
:root { color-scheme: light dark; --paper: #fbf9f4; --ink: #1a1f2b; --soft: #555b66; --rule: #c9c3b5;
  --deep: #24456b; --pale: #dce4ee; --gain: #e0a93a; --want: #d98a66; --bare: #fbf9f4; --link: #1d4f86 }
@media (prefers-color-scheme: dark) { :root { --paper: #15181d; --ink: #ece7da; --soft: #b3b0a6; --rule: #454a52;
  --deep: #86b3e0; --pale: #2b3948; --gain: #e3b04b; --want: #a85a3c; --bare: #15181d; --link: #9cc4ee } }
@page { size: A4; margin: 13mm 14mm }
@media print { :root { color-scheme: light; --paper: #fff; --ink: #000; --soft: #333; --rule: #aaa; --deep: #24456b;
  --pale: #e4e9f0; --gain: #e9bd62; --want: #dd9a7b; --bare: #fff; --link: #000 } }
* { box-sizing: border-box }
body { margin: 0 auto; padding: 1rem 1.1rem 2rem; max-width: 60rem; color: var(--ink); background: var(--paper);
  font: 1.05rem/1.45 'Iowan Old Style', 'Palatino Linotype', 'Liberation Serif', Georgia, serif }
p, h1, h2, li, dd, caption { overflow-wrap: anywhere }
.short { white-space: nowrap }
.long { min-width: 9rem; overflow-wrap: anywhere }
.trader { margin: 0; font-variant-caps: small-caps; letter-spacing: .04em; color: var(--soft) }
h1 { font-size: 1.9rem; line-height: 1.15; font-weight: 600; margin: .1rem 0 .8rem }
h2 { font-size: 1.15rem; line-height: 1.25; font-weight: 600; margin: 0 0 .3rem }
.answers { margin: 0; border-top: 2px solid var(--ink); border-bottom: 2px solid var(--ink) }
.answers > div { padding: .55rem 0 .5rem }
.answers > div + div { border-top: 1px dotted var(--soft) }
.answers dt { color: var(--soft) }
.answers dd { margin: 0 }
.answers strong { display: block; font-size: 1.75rem; line-height: 1.15; font-weight: 600; font-variant-numeric: lining-nums }
.answers span { display: block }
section { margin-top: 2rem; padding-top: .7rem; border-top: 3px double var(--ink) }
.said > p { margin: 0 0 .5rem; max-width: 42rem }
.note { font-size: .9em; color: var(--soft) }
a { color: var(--link) }
figure { margin: .8rem 0 .4rem }
svg { display: block; width: 100%; max-width: 36rem; height: auto; overflow: hidden }
.entries { list-style: none; margin: .4rem 0; padding: 0 }
.entries li { padding: .55rem 0; border-top: 1px solid var(--rule) }
.entries p { margin: 0 }
.what strong { font-size: 1.1em } .dated strong { font-size: 1em }
.more { color: var(--soft) }
.facts { display: grid; grid-template-columns: repeat(2, 1fr); gap: .1rem 1rem; margin: .15rem 0 .25rem }
.facts div { display: flex; flex-direction: column-reverse }
.facts dt { color: var(--soft); font-size: .85em; line-height: 1.2 }
.facts dd { margin: 0; font-variant-numeric: lining-nums tabular-nums }
code { font: .92em 'Liberation Mono', Menlo, Consolas, monospace; overflow-wrap: anywhere }
.watch { font-weight: 600 }
.next::before { content: '\\2192\\00a0' / '' }
.wide { overflow-x: auto; margin: 1.2rem 0 .2rem }
table { border-collapse: collapse; width: 100%; font: .85rem/1.3 'Liberation Sans', Arial, Helvetica, system-ui, sans-serif }
table.few { width: auto; min-width: min(24rem, 100%) }
caption { text-align: left; font-weight: 700; padding: 0 0 .3rem; caption-side: top }
th, td { padding: .22rem .6rem .22rem 0; text-align: left; vertical-align: top; border-bottom: 1px solid var(--rule); font-weight: 400 }
th:last-child, td:last-child { padding-right: 0 }
thead th { vertical-align: bottom; color: var(--soft); border-bottom: 1px solid var(--ink); }
tfoot th, tfoot td { border-top: 1px solid var(--ink); border-bottom: 3px double var(--ink); font-weight: 700 }
tr { break-inside: avoid }
thead { display: table-header-group }
tfoot { display: table-row-group }
.figure { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums }
footer { margin-top: 2rem; padding-top: .6rem; border-top: 2px solid var(--ink); font-size: .9em; color: var(--soft) }
footer p { margin: 0 0 .3rem }
text { fill: var(--ink); font: 118px 'Liberation Sans', Arial, Helvetica, system-ui, sans-serif }
text.small { font-size: 104px; fill: var(--soft) }
text.name { font-weight: 700 }
text.end { text-anchor: end }
text.mid { text-anchor: middle }
rect, polygon { stroke: var(--ink); stroke-width: 7 }
.edgeless { stroke: none }
.deep { fill: var(--deep) } .pale { fill: var(--pale) } .gain { fill: var(--gain) } .want { fill: var(--want) } .bare { fill: var(--bare) }
.lines { stroke: var(--ink); stroke-width: 9; fill: none }
.dots { stroke: var(--ink); stroke-width: 16; stroke-linecap: round; stroke-dasharray: 0 36; fill: none }
.rule { stroke: var(--rule); stroke-width: 6 }
.base { stroke: var(--ink); stroke-width: 12 }
.link { stroke: var(--ink); stroke-width: 7 }
.course { stroke: var(--ink); stroke-width: 24; fill: none; stroke-linejoin: round }
.point { fill: var(--paper); stroke: var(--ink); stroke-width: 16 }
.ahead { stroke: var(--ink); stroke-width: 20; stroke-dasharray: 70 45; fill: none }
.edge { stroke: var(--ink); stroke-width: 8; fill: none }
.today { stroke: var(--ink); stroke-width: 10; stroke-dasharray: 12 24 }
.mark { stroke: var(--ink); stroke-width: 16; fill: none }
.stop { stroke: var(--ink); stroke-width: 24; fill: none }
.diamond { fill: var(--gain); stroke: var(--ink); stroke-width: 12 }
.dot { fill: var(--deep); stroke: var(--ink); stroke-width: 7 }
@media (min-width: 48rem), print { .answers > div { display: grid; grid-template-columns: 11rem 1fr; gap: 0 1.5rem; align-items: baseline }
  .answers dd { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 1rem }
  section { display: grid; grid-template-columns: 11rem 1fr; gap: 0 1.5rem }
  .said { min-width: 0 }
  .facts { grid-template-columns: repeat(4, 1fr) }
  .dated { display: grid; grid-template-columns: 7rem 1fr; gap: 0 1rem; align-items: start }
  .dated .what { display: contents } .dated strong { grid-row: 1 / 3 } .dated .comma { display: none } .dated .when { display: block; font-weight: 400 } .dated .next { grid-column: 2 }
  #figures { display: block } }
@media print { body { padding: 0; max-width: none; font-size: 10pt; line-height: 1.35 } h1 { font-size: 19pt } h2 { font-size: 12pt; break-after: avoid }
  .answers strong { font-size: 14pt } .answers > div { padding: .2rem 0; grid-template-columns: 34mm 1fr }
  section { display: block; margin-top: 5mm } section:has(> .said > figure), figure, .entries li { break-inside: avoid }
    .dated { grid-template-columns: 24mm 1fr } svg { max-width: 98mm; max-height: 215mm } .wide { break-inside: avoid } .short { white-space: normal } .long { min-width: 0 } .wide { overflow: visible } table { font-size: 7.5pt } a { text-decoration: none } .note a { display: none }
  rect, polygon, path, circle { print-color-adjust: exact; -webkit-print-color-adjust: exact } }
";
