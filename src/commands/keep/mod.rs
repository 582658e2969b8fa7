//! Keeping the book: what was recorded, put right, taken in, checked and set.

pub mod amend;
pub mod amend_fields;
pub mod amend_rows;
pub mod amend_tables;
pub mod completions;
pub mod demo;
pub mod done;
pub mod import;
mod import_cars;
mod import_money;
mod import_rows;
pub mod log;
pub mod manual;
pub mod restore;
pub mod settings;
pub mod undo;
pub mod verify;
