//! What keeps the book whole: entries, history, undo, copies, receipts, forgetting.
//!
//! * **Copies.** `backup.rs` copies with SQLite's online backup, reads the copy through, copies the receipts
//!   (`receipt_copies.rs`: those the book names, of the content it remembers, never a link) and only then gives the
//!   copy its name. `restore.rs` does all that can fail first and replaces the book last, with the write lock held
//!   where an open file can be replaced, so that nobody records in what is being kept. A name something was kept
//!   under is never used again: `first_free` counts up.
//! * **The whole book out and in.** `whole_book.rs` gives every table as text and takes it back into a book that is
//!   new (`store/schema/new_book.rs` fills it before it has its name): with the triggers set aside, in one
//!   transaction, checked by SQLite, by the month totals and by its own history before it counts. A cell that will
//!   not do is told by file and line. SQLite's table of next numbers is read in last, because it counts on while the
//!   others are filled.
//! * **The history leads to the rows.** `verify` tells it again from the first change (`store/keep/replay.rs`), one
//!   pass, a hash a row: every change must find what the last one left, and the end must be what stands. Numbers of
//!   changes have no gaps but where a forgetting took receipts out. An undo first asks whether the history holds
//!   all its entry changed. `store/keep/ledger.rs` checks what has no second telling by what must hold between it:
//!   entries, the cars they are about, next numbers. What neither can see: other words, as good as the old, in an
//!   entry's `typed`, `summary` or `recorded_at`; a car named or left out of an entry that changed no row of that
//!   car; `backup_made`; a car that has left and is looked at again for nothing; a number passed over in `setting`
//!   or `heading`; and a row and its history changed alike.
//! * **Receipts** are copied (`store/keep/receipt_files.rs`) before the entry is kept; a copy made for an entry
//!   that is not kept goes again while the write lock is held.
//! * **Receipts of a forgotten name** are listed beside the book before the entry is kept and removed after it
//!   (`store/keep/forgotten_receipts.rs`), so that a `forget` that was stopped in between is finished by the next.
//! * **Only `forget` rewrites the history.** It takes down the two guard triggers and puts them back inside its own
//!   transaction, changes live rows and their versions by the same rule (so that an undo still finds rows as they
//!   were left), keeps no history of itself, and makes the file anew afterwards (`VACUUM`).
//! * **Undo puts rows back** from the history when they are still as the entry left them, refuses by naming the
//!   later entry otherwise, and then the order of events (`domain::book::order`) is checked on what remains.

pub(crate) mod backup;
pub(crate) mod entries;
pub(crate) mod forget;
pub(crate) mod forgotten_receipts;
pub(crate) mod history;
pub(crate) mod ledger;
pub(crate) mod receipt_copies;
pub(crate) mod receipt_files;
pub(crate) mod receipts;
pub(crate) mod replay;
pub(crate) mod restore;
pub(crate) mod undo;
pub(crate) mod undone_numbers;
pub(crate) mod undone_papers;
pub(crate) mod whole_book;
