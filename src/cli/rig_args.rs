//! The arguments that say what a command plays on.

use clap::Args;

use crate::instrument::neck::Fret;

/// The instrument as it is set up, for the commands that play on it.
#[derive(Debug, Args)]
pub struct RigArgs {
    /// The tuning: a name, or notes as in "D2 A2 D3 G3 A3 D4" [default: the instrument's standard]
    #[arg(long)]
    pub tuning: Option<String>,
    /// The instrument [default: the one the tuning is for, else the guitar]
    #[arg(long)]
    pub instrument: Option<String>,
    /// The capo's fret: shapes count from it, and chords are named as they sound
    #[arg(long, value_name = "FRET", default_value = "0", value_parser = fret, allow_negative_numbers = true)]
    pub capo: Fret,
}

/// Reads the fret of a capo; 0 stands for none.
///
/// Errors: the text is not a number, or the fret lies past the end of any neck.
pub(super) fn fret(text: &str) -> Result<Fret, String> {
    let fret = text.parse().ok().and_then(Fret::new);
    fret.ok_or_else(|| format!("a capo goes on fret 1 to {}; 0 means no capo", Fret::LAST))
}
