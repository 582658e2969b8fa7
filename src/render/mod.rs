//! Report to bytes: text for people, JSON and CSV for machines. Formats; never adds up or decides.
pub mod calendar;
pub mod csv;
pub mod folding;
pub mod html;
pub mod json;
mod narrow;
pub mod text;
