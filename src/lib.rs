//! Runabout: the book of a sole trader who buys one tired car a month, puts it right and sells it.
//! A library so that tests can reach every room; the program itself is a thin `main`.

pub mod app;
pub mod cli;
pub mod commands;
pub mod domain;
pub mod env;
pub mod error;
pub mod render;
pub mod report;
pub mod store;
