//! An error as one message: the outermost cause first, and each thing said once. Printing it is not done here.

use std::error::Error;
use std::io;

/// Returns the message of an error with its causes.
///
/// A cause that the message before it already quotes is left out, and the system's errors about files are put into
/// plain words.
pub fn told(error: &anyhow::Error) -> String {
    let mut message = String::new();
    for cause in error.chain() {
        let said = said(cause);
        if message.is_empty() {
            message = said;
        } else if !message.contains(&said) {
            message.push_str(": ");
            message.push_str(&said);
        }
    }
    message
}

/// Ends a command whose arguments have `faults`, each told in a line of its own. Errors: there is one.
pub(super) fn refused(faults: &[String]) -> anyhow::Result<()> {
    if faults.is_empty() { Ok(()) } else { Err(anyhow::anyhow!(faults.join("\n"))) }
}

fn said(cause: &(dyn Error + 'static)) -> String {
    match cause.downcast_ref::<io::Error>().map(io::Error::kind) {
        Some(io::ErrorKind::NotFound) => "there is no such file or folder; check the name".to_owned(),
        Some(io::ErrorKind::NotADirectory) => "a part of its path is a file, not a folder; check the path".to_owned(),
        Some(io::ErrorKind::IsADirectory) => "this is a folder, not a file; name the file itself".to_owned(),
        Some(io::ErrorKind::PermissionDenied) => "no permission; check whom it belongs to".to_owned(),
        _ => cause.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use anyhow::Context as _;

    use super::*;
    use crate::instrument::tuning::Tuning;

    #[test]
    fn nothing_is_told_twice() {
        let error = "C-2 C-1 C-1".parse::<Tuning>().unwrap_err();
        let message = error.to_string();
        assert_eq!(told(&error.into()), message);
    }

    #[test]
    fn the_system_s_words_give_way_to_plain_ones() {
        let error = Err::<(), _>(io::Error::from(io::ErrorKind::NotFound)).context("cannot read riff.txt").unwrap_err();
        assert_eq!(told(&error), "cannot read riff.txt: there is no such file or folder; check the name");
    }
}
