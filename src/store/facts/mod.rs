//! Facts of the trade, read and written: a file for each group of tables.
//!
//! * **Facts come in slices.** `Reader::facts(from, to, …)` loads, whole, the cars a span is about, the yard's
//!   lines and movements in it, and plain sums (`Opening`) for everything before. Balances at any day of the span
//!   are opening + facts up to that day. Nothing dated after `to` is loaded.
//! * **What is asked of one car costs the same however many there have been.** The view `departure` is gone through
//!   whole by SQLite unless it can be merged into the question: its columns must have one affinity in both halves,
//!   the question may not be a `min()` (order and take one), and it must come first in a FROM. A test in
//!   `store/facts/cars.rs` counts the steps of SQLite's machine (rusqlite's `hooks`, in tests only), so that no
//!   clock decides. Plans do not look at bound values (`QPSG`), or a statement would be prepared anew for every
//!   row. Before an entry is kept, the cars it is about are read together, not one by one.
//! * A query that SQLite could plan as a walk over a whole table is pinned with `+` or `CROSS JOIN`.

pub(crate) mod cars;
pub(crate) mod closed_months;
pub(crate) mod completing;
pub(crate) mod dates;
pub(crate) mod deals;
pub(crate) mod facts;
pub(crate) mod imported;
pub(crate) mod lines;
pub(crate) mod opening_sums;
pub(crate) mod programme;
pub(crate) mod settings;
pub(crate) mod standing;
pub(crate) mod tax_year;
pub(crate) mod turnover;
