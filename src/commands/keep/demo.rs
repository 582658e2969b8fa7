//! `demo`.

use clap::Args;

/// Open an invented yard in a fresh book and show every main screen.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout demo\n  runabout demo --book practice.book")]
pub struct DemoArgs {}
