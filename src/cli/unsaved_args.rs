//! The argument of the commands that read a lesson which may not be saved yet.

use clap::Args;

/// Whether changes that are not saved are wanted.
#[derive(Debug, Clone, Default, Args)]
pub struct UnsavedArgs {
    /// Include changes that are not saved yet, in an open window or from a crash
    #[arg(long)]
    pub with_unsaved: bool,
}
