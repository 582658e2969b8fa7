//! `completions`.

use clap::{Args, ValueEnum};

/// Print the script that lets a shell complete commands, options, and what your book holds: the cars in
/// stock, headings, numbers of entries and of `due` items, names of standing costs and papers.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout completions bash\n  runabout completions fish\n\n\
Load it when the shell starts, so that it always fits the program:\n  \
bash  in ~/.bashrc: source <(runabout completions bash)\n  \
zsh   in ~/.zshrc, after compinit: source <(runabout completions zsh)\n  \
fish  in ~/.config/fish/config.fish: runabout completions fish | source\n  \
PowerShell, in $PROFILE:\n    runabout completions powershell | Out-String | Invoke-Expression\n\n\
Completing only reads the book, waits for nobody, and offers nothing when anything is wrong.")]
pub struct CompletionsArgs {
    /// bash, zsh, fish or powershell
    #[arg(value_name = "SHELL", value_enum, hide_possible_values = true)]
    pub shell: Shell,
}

/// A shell that completes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Shell {
    /// GNU Bash, 4.4 or later for the best of it.
    Bash,
    /// Zsh.
    Zsh,
    /// Fish.
    Fish,
    /// PowerShell.
    #[value(alias = "pwsh")]
    Powershell,
}

impl Shell {
    /// Its name, as typed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bash => "bash",
            Self::Zsh => "zsh",
            Self::Fish => "fish",
            Self::Powershell => "powershell",
        }
    }
}
