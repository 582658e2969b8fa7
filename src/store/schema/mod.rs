//! The file as a book: opened, made, migrated, held against its shape.
//!
//! * **A book is believed as far as it can be checked.** Opening compares one number over the schema
//!   (`store/schema/shape.rs`) with the one pinned for its version, before anything is set on it or migrated; only
//!   when it differs is the schema made in memory to name the table, trigger, view or index. Somebody's own views
//!   and indexes under free names are let be, and `verify` names them. Every value is read within bounds
//!   (`LARGEST_KEPT`, years, words) of `store/values.rs`; what is outside is `BookError::Foreign`, exit 4, and
//!   `store/schema/soundness.rs` then finds the row to name. What SQLite will not do with the file as it is, is
//!   `Unreadable`, also 4; `Sqlite`, our fault, is left for calls made wrongly.
//! * **The schema is told once.** SQL makes the tables; `domain/book/tables.rs` lists them with what SQLite cannot
//!   say: what the rows are, what a row is called where a closed month guards it, which column is a name, an
//!   address, free text. The guard of closed months, `forget` and the export of the whole book read that list; a
//!   test holds it against the schema. The triggers of the history are made from the tables' own columns when the
//!   schema is made or migrated (`store/schema/history_triggers.rs`), never at an ordinary opening: a missing one
//!   is seen, not healed.
//! * **What is kept beside the facts follows from them**: `line_total` and `movement_total` (money by month, for
//!   openings) and `whereabouts` (the day each car left for good, for finding a span's cars) are kept by triggers
//!   of the schema, are a function of the rows that stand, and are no part of the history; `verify` works them out
//!   again (`Reader::wrong_totals`), and an import of a whole book makes them anew.
//! * Rollback journal with `synchronous=EXTRA`: one file at rest, and the only pair that lost nothing in a
//!   power-loss simulation. A commit costs two or three milliseconds; nobody types faster.

pub(crate) mod derived;
pub(crate) mod history_triggers;
pub(crate) mod migrating;
pub(crate) mod new_book;
pub(crate) mod opening;
pub(crate) mod shape;
pub(crate) mod soundness;
pub(crate) mod versions;
