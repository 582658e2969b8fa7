//! What keeps the book whole: entries, history, undo, copies, receipts, forgetting.

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
