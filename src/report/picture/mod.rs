//! What pages in pictures are made of: answers, charts and the figures behind them.
//!
//! `page` and `month --page` are one kind of thing: `report/picture/picture.rs` says what a page is made of
//! (answers, sections, the figures behind them), `report/picture/page/` and `report/picture/month_picture.rs` fill
//! it in, `render/html/picture_page.rs` sets it. A picture is plain data (`report/picture/chart.rs`) until
//! `render/html/chart/` draws it, a file for each kind, as inline SVG in whole numbers: 3600 across, so that ten
//! are a pixel on a phone. `scale.rs` has the axes, `words.rs` how much room words take, `style.rs` what each part
//! looks like: a tone and a pattern, because no part may be told by colour alone. Patterns are lines drawn inside
//! the part, since a page may name no address, not even its own (`url(`). There is no script and nothing is folded
//! away, so that what is read is what is printed.
//!
//! * **A picture of its own**: a variant of `Drawing`, a file in `render/html/chart/`, a `Section` with the table
//!   behind it.
//! * Every list is bounded (`MOST_…` in `report/picture/page/facts.rs`) and says what it leaves out and which
//!   command shows it.

pub mod chart;
pub mod month_picture;
pub mod page;
pub mod picture;
