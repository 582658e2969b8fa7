//! `settings`.

use crate::cli::Trying;
use clap::{Args, Subcommand};

/// Your name, VAT, headings and what is flagged.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout settings\n  runabout settings set default-paid cash\n  runabout settings set heading:dents goods"
)]
pub struct SettingsArgs {
    /// What to do; the settings are listed when nothing is said.
    #[command(subcommand)]
    pub action: Option<SettingsAction>,
}

/// What to do with the settings.
#[derive(Debug, Subcommand)]
pub enum SettingsAction {
    /// Record a setting; `heading:NAME` adds a heading under a return heading
    #[command(
        after_help = "Examples:\n  runabout settings set trader-name \"Wend Lane Motors\"\n  runabout settings set heading:dents goods"
    )]
    Set {
        /// Which setting
        #[arg(value_name = "KEY")]
        key: String,
        /// What it should be; `none` puts most back to their default
        #[arg(value_name = "VALUE")]
        value: String,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// List the headings money can go under
    #[command(after_help = "Examples:\n  runabout settings headings\n  runabout settings headings --format csv")]
    Headings,
}
