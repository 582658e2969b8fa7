//! The book as a file: opened, copied, checked, brought up to date; files written for somebody.

mod copies;
mod keeping;
mod ladder;
mod opening;
mod trusted;
mod written_files;
