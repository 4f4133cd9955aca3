//! The words about segments that have no start time yet.

use crate::lesson::document::Segment;

/// The most runs of numbers that are named; beyond that, the segments are counted.
const MOST_RUNS: usize = 3;

/// Segments without a recorded start, by their numbers counted from 1, in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing(Vec<usize>);

impl Missing {
    /// Returns which of `segments`, the first ones of a lesson, have no start; `None` where all have one.
    pub fn of(segments: &[Segment]) -> Option<Self> {
        let without = segments.iter().enumerate().filter(|(_, segment)| segment.recorded.is_none());
        let numbers: Vec<usize> = without.map(|(place, _)| place + 1).collect();
        (!numbers.is_empty()).then_some(Self(numbers))
    }

    /// Returns their names: `1`, `1 and 2`, `1 to 3`, `1, 3 to 5 and 9`, or `7 segments`.
    fn names(&self) -> String {
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for &number in &self.0 {
            match runs.last_mut() {
                Some((_, last)) if *last + 1 == number => *last = number,
                _ => runs.push((number, number)),
            }
        }
        if runs.len() > MOST_RUNS {
            return format!("{} segments", self.0.len());
        }
        let named = runs.iter().flat_map(|&(first, last)| match last - first {
            0 => vec![first.to_string()],
            1 => vec![first.to_string(), last.to_string()],
            _ => vec![format!("{first} to {last}")],
        });
        let mut named: Vec<String> = named.collect();
        let last = named.pop().unwrap_or_default();
        if named.is_empty() { last } else { format!("{} and {last}", named.join(", ")) }
    }

    /// Returns the words that say that they have no start, and how to give them one.
    pub fn to_mend(&self) -> String {
        let them = if self.0.len() == 1 { "it" } else { "them" };
        format!("{}: {{Timeline(Stamp)}} in the timeline sets {them}", self.words())
    }

    /// Returns one line that names them as a list of chapters lacks them.
    pub fn title(&self) -> String {
        format!("No chapter list yet: {}", self.words())
    }

    /// Returns the words that say that they have no start.
    pub fn words(&self) -> String {
        let (who, have) = self.subject();
        format!("{who} {have} no start time")
    }

    /// Returns the words that say that they have no start, in two parts for two lines.
    pub fn in_two_lines(&self) -> (String, &'static str) {
        match self.subject() {
            (who, "has") => (who, "has no start time"),
            (who, _) => (who, "have no start time"),
        }
    }

    /// Returns their names behind the word for them, and the verb that goes with it: `segment 1` and `has`.
    fn subject(&self) -> (String, &'static str) {
        let names = self.names();
        match self.0.len() {
            1 => (format!("segment {names}"), "has"),
            // What is counted rather than named says the word itself.
            _ if names.ends_with("segments") => (names, "have"),
            _ => (format!("segments {names}"), "have"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn segments_are_named_in_runs_and_counted_where_there_are_too_many() {
        let named = |numbers: &[usize]| Missing(numbers.to_vec()).names();
        assert_eq!(named(&[1]), "1");
        assert_eq!(named(&[1, 2]), "1 and 2");
        assert_eq!(named(&[2, 3, 4]), "2 to 4");
        assert_eq!(named(&[1, 2, 4]), "1, 2 and 4");
        assert_eq!(named(&[1, 3, 4, 5, 9]), "1, 3 to 5 and 9");
        assert_eq!(named(&[1, 3, 5, 7, 8]), "5 segments");
    }
}
