//! Steps that several commands take: finding what is meant, recording, what is said beside it.
//!
//! * **One command, one entry, one transaction.** `steps::recording::record` begins it (`BEGIN IMMEDIATE`), does
//!   the work, checks the order of events on the facts as they would stand, describes the entry, and keeps it.
//!   Dropped without `keep`, nothing happened. The entry row is written first: the history triggers file every
//!   row's before and after under the latest entry.
//! * **Closed months are guarded in one place**: `steps::closed_months::guard_closed_months` reads the rows an
//!   entry changed from the history, and `domain/book/closing.rs` judges them by table and column.
//! * **What is said while recording asks what the figure asks**: `Recording::add_line` gives the line back, and
//!   `steps::recording::place_note` asks `Car::place` of that very line. An offer is told as of its own day for
//!   ever.
//! * `--as-of` is the day taken as today; `RUNABOUT_TODAY` stands in for the clock. Standing costs never count past
//!   the clock's day, so `--as-of` a future day does not invent rents.
//! * A refusal that a yes would settle has a `question()`; on a terminal the app asks and types the command again
//!   with the option that says so.
//! * A recording that leaves cash in hand or the bank below nothing, and with less than before, says so
//!   (`commands/steps/pocket_note.rs`); nothing is refused for it, because a book may begin in the middle.

pub mod act;
pub mod cash_note;
pub mod closed_months;
pub mod context;
pub mod departures;
pub mod due_items;
pub mod forecast_start;
pub mod lookup;
pub mod numbers;
pub mod pocket_note;
pub mod pre_sale_list;
pub mod question;
pub mod receipts;
pub mod recording;
pub mod roadworthy_note;
pub mod sale_notes;
pub mod tax_reckoning;
pub mod vehicle;
