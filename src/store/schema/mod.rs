//! The file as a book: opened, made, migrated, held against its shape.

pub(crate) mod derived;
pub(crate) mod history_triggers;
pub(crate) mod migrating;
pub(crate) mod new_book;
pub(crate) mod opening;
pub(crate) mod shape;
pub(crate) mod soundness;
pub(crate) mod versions;
