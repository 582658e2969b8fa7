//! What is told of the book itself: what was recorded, copied, checked, forgotten, and how it is set.

pub mod choosing;
pub mod copied;
pub mod forgotten;
pub mod headings;
pub mod log;
pub mod recorded;
pub mod settings;
pub mod verify;
