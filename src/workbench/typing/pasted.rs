//! Text that was pasted, without what would act instead of showing.

/// Text that was pasted: its line ends are `\n`, and it holds no control character but these.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PastedText {
    /// The text.
    pub text: String,
    /// How many characters were left out because they would act instead of showing.
    pub left_out: usize,
}

impl PastedText {
    /// Takes in a text as a terminal hands it over: line ends of any kind, tabs, which become spaces, and control characters.
    pub fn new(text: &str) -> Self {
        // Some terminals send the line ends of a paste as carriage returns.
        let plain = text.replace("\r\n", "\n").replace('\r', "\n").replace('\t', " ");
        let acts = |letter: &char| letter.is_control() && *letter != '\n';
        let left_out = plain.chars().filter(acts).count();
        let text = if left_out == 0 { plain } else { plain.chars().filter(|letter| !acts(letter)).collect() };
        Self { text, left_out }
    }

    /// Returns the text with spaces for its line ends.
    pub fn in_one_line(&self) -> String {
        self.text.replace('\n', " ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_of_every_kind_are_one_and_what_acts_is_counted_and_left_out() {
        let pasted = PastedText::new("one\r\ntwo\rthree\tfour\n\u{1b}[31mfive\u{9b}\u{7f}");
        assert_eq!(pasted, PastedText { text: "one\ntwo\nthree four\n[31mfive".into(), left_out: 3 });
        assert_eq!(pasted.in_one_line(), "one two three four [31mfive");
    }
}
