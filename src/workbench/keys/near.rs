//! How near two words lie to each other, for what is misspelt.

/// Returns whether `read` may be a slip for `name`: apart from case, one begins with the other, or at most a third of
/// the letters differ.
pub(super) fn is_near(name: &str, read: &str) -> bool {
    let (name, read) = (name.to_ascii_lowercase(), read.to_lowercase());
    let begins = read.len() > 2 && (name.starts_with(&read) || read.starts_with(&name));
    begins || distance(&name, &read) * 3 <= name.len()
}

/// Returns the edit distance: how many letters have to be inserted, removed or replaced to turn one word into the
/// other.
pub(in crate::workbench) fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (number, letter) in one.chars().enumerate() {
        let mut next = vec![number + 1];
        for ((before, both), known) in row.iter().zip(row.iter().skip(1)).zip(&other) {
            let replaced = before + usize::from(letter != *known);
            let left = next.last().copied().unwrap_or(0);
            next.push(replaced.min(both + 1).min(left + 1));
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}
