//! Keeps the list of guesses short enough to read.

use super::outcome::Guess;

/// The most guesses that are listed.
const MOST: usize = 60;
/// The most lines that are listed one by one.
const LISTED: usize = 5;
/// The fewest remarks in a row that are told together.
const REMARKS: usize = 4;

/// How the guess for a line that was not read begins.
pub(super) const REMARK: &str = "read as a remark and left out: ";

/// Puts the guesses in order and tells those of one kind together.
pub(super) fn shorten(mut notes: Vec<Guess>) -> Vec<Guess> {
    notes.sort();
    notes.dedup();
    let mut short = Vec::new();
    for (message, lines) in by_message(&remarks_together(notes)) {
        let Some(line) = lines.first().copied() else { continue };
        let last = lines.last().copied().unwrap_or(line);
        let message = match lines.len() {
            1 => message.to_owned(),
            2..=LISTED => {
                let listed: Vec<String> = lines.iter().map(ToString::to_string).collect();
                format!("lines {}: {message}", listed.join(", "))
            }
            count => format!("lines {line} to {last}, {count} times: {message}"),
        };
        short.push(Guess { line, message });
    }
    short.sort();
    if let Some(first_left_out) = short.get(MOST) {
        let message = format!("and {} more guesses from here on", short.len() - MOST);
        let last = Guess { line: first_left_out.line, message };
        short.truncate(MOST);
        short.push(last);
    }
    short
}

/// Tells remarks that follow each other, with no other guess between them, as one.
fn remarks_together(notes: Vec<Guess>) -> Vec<Guess> {
    let remark = |guess: &Guess| guess.message.starts_with(REMARK);
    let mut told = Vec::new();
    for run in notes.chunk_by(|one, next| remark(one) && remark(next)) {
        match run {
            [first, .., last] if run.len() >= REMARKS => {
                let words = first.message.strip_prefix(REMARK).unwrap_or_default();
                let message = format!(
                    "{} lines up to line {} were read as remarks and left out, from {words}",
                    run.len(),
                    last.line
                );
                told.push(Guess { line: first.line, message });
            }
            _ => told.extend_from_slice(run),
        }
    }
    told
}

/// Returns each message with its lines, both in order.
fn by_message(notes: &[Guess]) -> Vec<(&str, Vec<usize>)> {
    let mut told: std::collections::BTreeMap<&str, Vec<usize>> = std::collections::BTreeMap::new();
    for guess in notes {
        told.entry(&guess.message).or_default().push(guess.line);
    }
    told.into_iter().collect()
}
