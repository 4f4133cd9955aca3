//! What is told of a passage that is placed anew.

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::place::Spot;

/// Something that could not be kept, and what was done instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// Where, in the passage as it was.
    pub spot: Spot,
    /// What, in words.
    pub text: String,
    /// The same of several notes, in words that follow their number: `notes cannot ring to their end`. `None` where `text` says
    /// it of several as well.
    pub of_several: Option<String>,
}

impl Remark {
    /// Returns a remark whose words name nothing that is this note's alone.
    pub fn plain(spot: Spot, text: impl Into<String>) -> Self {
        Self { spot, text: text.into(), of_several: None }
    }

    /// Returns a remark about one note, with the words for several.
    pub fn of_a_note(spot: Spot, text: impl Into<String>, of_several: impl Into<String>) -> Self {
        Self { spot, text: text.into(), of_several: Some(of_several.into()) }
    }

    /// Returns what it has in common with the remarks that are told together with it.
    fn common(&self) -> &str {
        self.of_several.as_deref().unwrap_or(&self.text)
    }
}

/// Remarks that say the same, told once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SummedRemark {
    /// Where, in order: at least one place.
    pub spots: Vec<Spot>,
    /// What, in words, with the number where there are several.
    pub text: String,
}

impl SummedRemark {
    /// Returns the bars that it is about, in words: `bar 3`, `bars 1-4, 7`; nothing where it is about no bar.
    pub fn bars(&self, numbers: BarNumbers) -> String {
        numbers.listed(self.spots.iter().filter_map(|spot| spot.bar))
    }
}

/// Sums up the remarks that say the same, each sum where its first remark stands.
pub fn summed<'r>(remarks: impl IntoIterator<Item = &'r Remark>) -> Vec<SummedRemark> {
    let mut sums: Vec<(&Remark, Vec<Spot>)> = Vec::new();
    for remark in remarks {
        match sums.iter_mut().find(|(first, _)| first.common() == remark.common()) {
            Some((_, spots)) => spots.push(remark.spot),
            None => sums.push((remark, vec![remark.spot])),
        }
    }
    let summed = |(first, spots): (&Remark, Vec<Spot>)| {
        let text = match (&first.of_several, spots.len()) {
            (_, 1) => first.text.clone(),
            (Some(of_several), count) => format!("{count} {of_several}"),
            (None, count) => format!("{count} times: {}", first.text),
        };
        SummedRemark { spots, text }
    };
    sums.into_iter().map(summed).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remarks_that_say_the_same_are_told_once_with_their_number_and_bars() {
        let note = |bar, name: &str| {
            Remark::of_a_note(Spot::bar(bar), format!("{name} cannot ring on"), "notes cannot ring on")
        };
        let remarks = [
            note(0, "E3"),
            Remark::plain(Spot::bar(0), "check the words"),
            note(1, "G3"),
            note(1, "B3"),
            note(4, "E3"),
            Remark::of_a_note(Spot::bar(5), "the slide goes", "slides go"),
        ];
        let told: Vec<(String, String)> =
            summed(&remarks).into_iter().map(|sum| (sum.bars(BarNumbers::default()), sum.text)).collect();
        let told: Vec<(&str, &str)> = told.iter().map(|(bars, text)| (bars.as_str(), text.as_str())).collect();
        assert_eq!(
            told,
            [("bars 1-2, 5", "4 notes cannot ring on"), ("bar 1", "check the words"), ("bar 6", "the slide goes"),]
        );
    }
}
