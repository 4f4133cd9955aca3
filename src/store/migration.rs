//! Reading files of older formats: each format has one step to the next, and the steps are chained.

use super::fault::Fault;

/// The oldest format whose words are today's. Files of older ones go through the steps first.
pub const SAME_WORDS: u32 = 1;

/// One step: the text of a file of format `from` becomes the text of one of format `from + 1`.
///
/// It works on text, through whatever types the old format had, because a generic RON value does
/// not remember the names of enum variants.
#[derive(Debug, Clone, Copy)]
pub struct Migration {
    /// The format that is read.
    pub from: u32,
    /// Rewrites the text of a lesson file; the fault's place is in the text that was given.
    pub upgrade: fn(&str) -> Result<String, Fault>,
    /// Rewrites the text of one change in a journal ([`super::journal`]), which is written in the format of the lesson; `None` where
    /// it does not understand it.
    pub change: fn(&str) -> Option<String>,
}

/// The steps to today's format, which is the first: there are none yet.
pub const MIGRATIONS: &[Migration] = &[];

/// Brings `text` from format `from` to format `to`.
///
/// Errors: a step that does not understand its input, or a format that has no step.
pub fn upgrade(text: &str, from: u32, to: u32, steps: &[Migration]) -> Result<String, Fault> {
    let mut text = text.to_owned();
    for format in from..to {
        let step = steps.iter().find(|step| step.from == format).ok_or_else(|| {
            let problem = format!("there is no format {format}: expected `format: {to}`");
            let (line, column) = place_of_format(&text);
            Fault::at(&text, line, column, problem, "correct the number if it was changed by hand")
        })?;
        text = (step.upgrade)(&text)?;
    }
    Ok(text)
}

/// Brings the text of one change in a journal from format `from` to the words of format `to`; `None` where a step does not
/// understand it or there is none.
pub fn upgrade_change(text: &str, from: u32, to: u32, steps: &[Migration]) -> Option<String> {
    let step =
        |text: String, format| steps.iter().find(|step| step.from == format).and_then(|step| (step.change)(&text));
    (from..to).try_fold(text.to_owned(), step)
}

/// Returns the line and column of the word `format`.
fn place_of_format(text: &str) -> (usize, usize) {
    for (index, line) in text.lines().enumerate() {
        if let Some(at) = line.find("format:").filter(|_| !line.trim_start().starts_with("//")) {
            let column = line.get(..at).map_or(0, |before| before.chars().count()) + 1;
            return (index + 1, column);
        }
    }
    (1, 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEPS: &[Migration] = &[
        Migration {
            from: 1,
            upgrade: |text| Ok(text.replace("name:", "title:").replace("format: 1", "format: 2")),
            change: |text| Some(text.replace("name:", "title:")),
        },
        Migration {
            from: 2,
            upgrade: |text| Ok(text.replace("Speak", "Talk").replace("format: 2", "format: 3")),
            change: |text| text.contains("Speak").then(|| text.replace("Speak", "Talk")),
        },
    ];

    #[test]
    fn steps_are_chained_from_the_file_s_format_on() {
        let oldest = "(format: 1, name: \"a\", kind: Speak)";
        let middle = "(format: 2, title: \"a\", kind: Speak)";
        let newest = "(format: 3, title: \"a\", kind: Talk)";
        for text in [oldest, middle, newest] {
            let format = text.chars().find_map(|sign| sign.to_digit(10)).unwrap();
            assert_eq!(upgrade(text, format, 3, STEPS).unwrap(), newest);
        }
    }

    #[test]
    fn a_change_takes_the_same_steps_or_is_not_understood() {
        assert_eq!(upgrade_change("(name: 1, kind: Speak)", 1, 3, STEPS).as_deref(), Some("(title: 1, kind: Talk)"));
        assert_eq!(upgrade_change("(title: 1, kind: Speak)", 2, 3, STEPS).as_deref(), Some("(title: 1, kind: Talk)"));
        assert_eq!(upgrade_change("as it is", 3, 3, STEPS).as_deref(), Some("as it is"));
        assert_eq!(upgrade_change("(kind: Shout)", 2, 3, STEPS), None);
        assert_eq!(upgrade_change("(kind: Speak)", 0, 3, STEPS), None);
    }

    #[test]
    fn a_format_that_never_was_is_refused_with_its_place() {
        let fault = upgrade("// format: 9\n(\n  format: 0,\n)", 0, 3, STEPS).unwrap_err();
        assert_eq!(fault.to_string(), "3:3: there is no format 0: expected `format: 3`");
    }
}
