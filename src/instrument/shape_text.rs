//! Shapes as people write them: `x32010`, `x 3 2 0 1 0`, `x-10-12-12-x-x`, `x,3,2,0,1,0?`.
//!
//! The highest string number comes first. Without spaces, commas or hyphens every character is a
//! string. `x` is muted, `o` or `0` open; a string in brackets or with a `?` is one the ear is not
//! sure of, and [`WrittenShape`] keeps that. These forms are common practice, no published source.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::neck::{Fret, Shape, StringNumber};
use crate::text::quote::{quoted, quoted_char};
use crate::theory::reading::Doubt;

/// What was typed is no shape. Positions count characters from 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ShapeTextError {
    /// Nothing was written.
    #[error("a shape needs one fret for each string, as in `x 3 2 0 1 0`")]
    Empty,
    /// A character that no shape has.
    #[error("`{}` at character {position} is not part of a shape: write a fret number, `x` for a muted string or `0` for an open one", quoted_char(*.found))]
    Character {
        /// The character.
        found: char,
        /// Where it stands.
        position: usize,
    },
    /// Two strings written without a gap where the others have gaps.
    #[error("`{}` at character {position} is more than one string: put a space between them", quoted(.text))]
    Joined {
        /// The characters that stand together.
        text: String,
        /// Where they begin.
        position: usize,
    },
    /// A gap with no string in it, as in `x--3`.
    #[error("nothing is written for a string at character {position}: write `x` for a muted string")]
    Gap {
        /// Where the string was expected.
        position: usize,
    },
    /// A bracket without its partner, or with something other than one string in it.
    #[error("the bracket at character {position} should hold one string, as in `(0)`")]
    Bracket {
        /// Where it stands.
        position: usize,
    },
    /// A fret past the end of any neck.
    #[error("fret {} at character {position} is past the end of any neck: the last is {}", quoted(.text), Fret::LAST)]
    Fret {
        /// The number as typed.
        text: String,
        /// Where it begins.
        position: usize,
    },
    /// More strings than any instrument here has.
    #[error("that is {count} strings, at most {} can be written{}", StringNumber::LAST, if *.compact { "; put spaces between frets above 9" } else { "" })]
    TooMany {
        /// How many were written.
        count: usize,
        /// Whether they were written without gaps.
        compact: bool,
    },
    /// A doubt mark where only frets can be kept.
    #[error("the `?` at character {position} cannot be stored here: write the fret alone")]
    Doubt {
        /// Where the mark stands.
        position: usize,
    },
}

/// A shape with how sure the ear is of each string.
///
/// Invariant: as many doubts as strings; a muted string is never in doubt.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WrittenShape {
    shape: Shape,
    doubts: Vec<Doubt>,
}

impl WrittenShape {
    /// Returns the frets.
    pub const fn shape(&self) -> &Shape {
        &self.shape
    }

    /// Returns the doubts, highest string number first.
    pub fn doubts(&self) -> &[Doubt] {
        &self.doubts
    }

    /// Returns both parts.
    pub fn into_parts(self) -> (Shape, Vec<Doubt>) {
        (self.shape, self.doubts)
    }
}

impl From<Shape> for WrittenShape {
    fn from(shape: Shape) -> Self {
        let doubts = vec![Doubt::Sure; shape.strings().len()];
        Self { shape, doubts }
    }
}

/// Prints with spaces, an unsure string with `?`: `x 3 2 0 1 0?`.
impl fmt::Display for WrittenShape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, (fret, doubt)) in self.shape.strings().iter().zip(&self.doubts).enumerate() {
            let gap = if index == 0 { "" } else { " " };
            let mark = if *doubt == Doubt::Unsure { "?" } else { "" };
            write!(f, "{gap}{}{mark}", WrittenFret(*fret))?;
        }
        close_lone_string(&self.shape, f)
    }
}

impl FromStr for WrittenShape {
    type Err = ShapeTextError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (strings, layout) = read_strings(text)?;
        let count = strings.len();
        let (frets, doubts) = strings.into_iter().map(|string| (string.fret, string.doubt())).unzip();
        let compact = layout == ShapeLayout::Compact;
        let shape = Shape::new(frets).ok_or(ShapeTextError::TooMany { count, compact })?;
        Ok(Self { shape, doubts })
    }
}

impl FromStr for Shape {
    type Err = ShapeTextError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (strings, layout) = read_strings(text)?;
        if let Some(position) = strings.iter().find_map(|string| string.mark) {
            return Err(ShapeTextError::Doubt { position });
        }
        let count = strings.len();
        let compact = layout == ShapeLayout::Compact;
        Self::new(strings.into_iter().map(|string| string.fret).collect())
            .ok_or(ShapeTextError::TooMany { count, compact })
    }
}

/// Prints with spaces: `x 3 2 0 1 0`.
impl fmt::Display for Shape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, fret) in self.strings().iter().enumerate() {
            let gap = if index == 0 { "" } else { " " };
            write!(f, "{gap}{}", WrittenFret(*fret))?;
        }
        close_lone_string(self, f)
    }
}

impl Shape {
    /// Returns the short form: `x32010`, or `x-10-12-12-x-x` where a fret has two digits.
    pub fn compact(&self) -> String {
        let wide = self.strings().iter().flatten().any(|fret| fret.number() > 9);
        if wide && self.strings().len() < 2 {
            return self.to_string();
        }
        let strings: Vec<String> = self.strings().iter().map(|fret| WrittenFret(*fret).to_string()).collect();
        strings.join(if wide { "-" } else { "" })
    }
}

impl Serialize for Shape {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Shape {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        // A shape without strings can exist while it is being built, so it must survive a file.
        if text.is_empty() { Ok(Self::default()) } else { text.parse().map_err(serde::de::Error::custom) }
    }
}

/// What a string is written as.
struct WrittenFret(Option<Fret>);

impl fmt::Display for WrittenFret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Some(fret) => fret.fmt(f),
            None => f.write_str("x"),
        }
    }
}

/// Marks a single string above fret 9 as separated, which its two digits would otherwise not say.
fn close_lone_string(shape: &Shape, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    match shape.strings() {
        [Some(fret)] if fret.number() > 9 => f.write_str(","),
        _ => Ok(()),
    }
}

/// One string as read, with the position of its doubt mark.
struct ReadString {
    fret: Option<Fret>,
    mark: Option<usize>,
}

impl ReadString {
    fn doubt(&self) -> Doubt {
        // There is nothing to hear, or to doubt, on a muted string.
        if self.mark.is_some() && self.fret.is_some() { Doubt::Unsure } else { Doubt::Sure }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ShapeLayout {
    /// Every character is a string.
    Compact,
    /// Strings stand apart.
    Spaced,
}

/// A part of the text without separators, and where it begins.
struct Chunk {
    chars: Vec<char>,
    position: usize,
}

impl Chunk {
    fn text(&self) -> String {
        self.chars.iter().collect()
    }

    fn is_hyphen(&self) -> bool {
        matches!(self.chars[..], [only] if is_hyphen(only))
    }
}

fn is_hyphen(character: char) -> bool {
    matches!(character, '-' | '‐' | '‑' | '–' | '—')
}

fn is_muted(character: char) -> bool {
    matches!(character, 'x' | 'X' | '×')
}

fn read_strings(text: &str) -> Result<(Vec<ReadString>, ShapeLayout), ShapeTextError> {
    if let Some(strings) = plain(text) {
        return Ok((strings, ShapeLayout::Spaced));
    }
    let (chunks, layout) = split(text)?;
    let mut strings = Vec::new();
    for chunk in &chunks {
        match layout {
            ShapeLayout::Compact => read_chunk(chunk, ShapeLayout::Compact, &mut strings)?,
            ShapeLayout::Spaced => {
                let before = strings.len();
                read_chunk(chunk, ShapeLayout::Spaced, &mut strings)?;
                if strings.len() != before + 1 {
                    return Err(ShapeTextError::Joined { text: chunk.text(), position: chunk.position });
                }
            }
        }
    }
    Ok((strings, layout))
}

/// Reads strings with one space between them and nothing but frets and `x`, as programs write them by
/// the thousand; `None` for everything else, which is read with more care.
fn plain(text: &str) -> Option<Vec<ReadString>> {
    let mut strings = Vec::with_capacity(8);
    for part in text.split(' ') {
        let fret = match part.as_bytes() {
            b"x" => None,
            [one @ b'0'..=b'9'] => Some(Fret::new(one - b'0')?),
            [ten @ b'1'..=b'9', one @ b'0'..=b'9'] => Some(Fret::new(10 * (ten - b'0') + (one - b'0'))?),
            _ => return None,
        };
        strings.push(ReadString { fret, mark: None });
    }
    (strings.len() > 1).then_some(strings)
}

/// Splits at commas and spaces, and at hyphens where they separate.
fn split(text: &str) -> Result<(Vec<Chunk>, ShapeLayout), ShapeTextError> {
    let spaced = chunks_between(text, |character| character.is_whitespace() || character == ',');
    check_commas(text)?;
    let comma = text.contains(',');
    if spaced.is_empty() {
        return Err(ShapeTextError::Empty);
    }
    if spaced.len() > 1 || comma {
        let separating = spaced.len() % 2 == 1
            && spaced.len() > 1
            && spaced.iter().enumerate().all(|(index, chunk)| chunk.is_hyphen() == (index % 2 == 1));
        if separating {
            let strings = spaced.into_iter().filter(|chunk| !chunk.is_hyphen()).collect();
            return Ok((strings, ShapeLayout::Spaced));
        }
        return Ok((spaced, ShapeLayout::Spaced));
    }
    if !text.contains(is_hyphen) {
        return Ok((spaced, ShapeLayout::Compact));
    }
    check_hyphens(text)?;
    Ok((chunks_between(text, |character| character.is_whitespace() || is_hyphen(character)), ShapeLayout::Spaced))
}

fn chunks_between(text: &str, separates: impl Fn(char) -> bool) -> Vec<Chunk> {
    let mut chunks: Vec<Chunk> = Vec::new();
    let mut open = false;
    for (index, character) in text.chars().enumerate() {
        if separates(character) {
            open = false;
            continue;
        }
        match chunks.last_mut() {
            Some(chunk) if open => chunk.chars.push(character),
            _ => chunks.push(Chunk { chars: vec![character], position: index + 1 }),
        }
        open = true;
    }
    chunks
}

/// Finds a comma with no string before it; one after the last string is let pass.
fn check_commas(text: &str) -> Result<(), ShapeTextError> {
    let mut waiting = true;
    for (index, character) in text.chars().enumerate() {
        if character == ',' {
            if waiting {
                return Err(ShapeTextError::Gap { position: index + 1 });
            }
            waiting = true;
        } else if !character.is_whitespace() {
            waiting = false;
        }
    }
    Ok(())
}

/// Finds a hyphen with no string on one of its sides.
fn check_hyphens(text: &str) -> Result<(), ShapeTextError> {
    let mut waiting = true;
    let mut last = 1;
    for (index, character) in text.chars().enumerate().filter(|(_, character)| !character.is_whitespace()) {
        if is_hyphen(character) && waiting {
            return Err(ShapeTextError::Gap { position: index + 1 });
        }
        waiting = is_hyphen(character);
        last = index + 1;
    }
    if waiting { Err(ShapeTextError::Gap { position: last }) } else { Ok(()) }
}

/// Reads the strings of one chunk: one if strings stand apart, else one a character.
fn read_chunk(chunk: &Chunk, layout: ShapeLayout, strings: &mut Vec<ReadString>) -> Result<(), ShapeTextError> {
    let mut rest = &chunk.chars[..];
    while let Some((&first, after)) = rest.split_first() {
        let position = chunk.position + chunk.chars.len() - rest.len();
        let bracket = (first == '(').then_some(position);
        if bracket.is_some() {
            rest = after;
        }
        let position = chunk.position + chunk.chars.len() - rest.len();
        let (fret, used) = read_fret(rest, layout, position).map_err(|error| match bracket {
            Some(position) if rest.is_empty() || rest.first() == Some(&')') => ShapeTextError::Bracket { position },
            _ => error,
        })?;
        rest = rest.get(used..).unwrap_or_default();
        let mut mark = bracket;
        if rest.first() == Some(&'?') {
            mark = mark.or(Some(chunk.position + chunk.chars.len() - rest.len()));
            rest = rest.get(1..).unwrap_or_default();
        }
        if let Some(position) = bracket {
            match rest.split_first() {
                Some((')', after)) => rest = after,
                _ => return Err(ShapeTextError::Bracket { position }),
            }
        }
        strings.push(ReadString { fret, mark });
    }
    Ok(())
}

/// Reads one fret at the start of `chars`; returns it and how many characters it took.
fn read_fret(chars: &[char], layout: ShapeLayout, position: usize) -> Result<(Option<Fret>, usize), ShapeTextError> {
    let Some(&first) = chars.first() else {
        return Err(ShapeTextError::Gap { position });
    };
    if is_muted(first) || (is_hyphen(first) && layout == ShapeLayout::Spaced && chars.len() == 1) {
        return Ok((None, 1));
    }
    if matches!(first, 'o' | 'O') {
        return Ok((Some(Fret::OPEN), 1));
    }
    let digits = match layout {
        ShapeLayout::Compact => usize::from(first.is_ascii_digit()),
        ShapeLayout::Spaced => chars.iter().take_while(|character| character.is_ascii_digit()).count(),
    };
    if digits == 0 {
        return Err(match first {
            '(' | ')' => ShapeTextError::Bracket { position },
            found => ShapeTextError::Character { found, position },
        });
    }
    let written = chars.get(..digits).unwrap_or_default();
    let number = written.iter().try_fold(0u8, |number, digit| {
        let digit = u8::try_from(digit.to_digit(10)?).ok()?;
        number.checked_mul(10)?.checked_add(digit)
    });
    match number.and_then(Fret::new) {
        Some(fret) => Ok((Some(fret), digits)),
        None => Err(ShapeTextError::Fret { text: written.iter().collect(), position }),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn check_reads(typed: &str, expected: &str) {
        assert_eq!(typed.parse::<Shape>().unwrap().to_string(), expected, "`{typed}`");
    }

    #[track_caller]
    fn check_refuses(typed: &str, expected: &str) {
        assert_eq!(typed.parse::<WrittenShape>().unwrap_err().to_string(), expected, "`{typed}`");
    }

    proptest! {
        #[test]
        fn the_short_way_of_reading_a_shape_reads_what_the_long_way_does(
            strings in proptest::collection::vec(prop_oneof![Just("x".to_owned()), (0..=40u8).prop_map(|fret| fret.to_string())], 2..14),
        ) {
            // A second space takes the long way.
            let (short, long) = (strings.join(" "), strings.join("  "));
            match (short.parse::<WrittenShape>(), long.parse::<WrittenShape>()) {
                (Ok(short), Ok(long)) => prop_assert_eq!(short, long),
                (short, long) => prop_assert!(short.is_err() && long.is_err()),
            }
        }
    }

    #[test]
    fn every_way_people_write_a_shape_reads_alike() {
        for typed in [
            "x32010",
            "X32010",
            "x3201o",
            "x 3 2 0 1 0",
            "x,3,2,0,1,0",
            "x, 3, 2, 0, 1, 0",
            "x-3-2-0-1-0",
            "x - 3 - 2 - 0 - 1 - 0",
            "- 3 2 0 1 0",
            " ×–3–2–0–1–0 ",
            "x\t3\t2\t0\t1\t0\r\n",
            "x 3 2 0 01 0,",
        ] {
            check_reads(typed, "x 3 2 0 1 0");
        }
        check_reads("x-10-12-12-x-x", "x 10 12 12 x x");
        check_reads("0003", "0 0 0 3");
        check_reads("0 - 0 - 0", "0 0 0");
    }

    #[test]
    fn a_doubtful_string_is_marked_by_brackets_or_a_question_mark() {
        for typed in ["x 3 2 0 1 0?", "x 3 2 0 1 (0)", "x3201(0)", "x32010?", "x-3-2-0-1-(0)", "(x) 3 2 0 1 (0?)"] {
            let written: WrittenShape = typed.parse().unwrap();
            assert_eq!(written.to_string(), "x 3 2 0 1 0?", "`{typed}`");
            assert_eq!(written.doubts().iter().filter(|doubt| **doubt == Doubt::Unsure).count(), 1, "`{typed}`");
        }
        assert_eq!(
            "x 3 2 0 1 0?".parse::<Shape>().unwrap_err().to_string(),
            "the `?` at character 12 cannot be stored here: write the fret alone"
        );
    }

    #[test]
    fn what_is_no_shape_is_refused_with_its_place() {
        check_refuses("", "a shape needs one fret for each string, as in `x 3 2 0 1 0`");
        check_refuses(" , ", "nothing is written for a string at character 2: write `x` for a muted string");
        check_refuses(
            "x3201q",
            "`q` at character 6 is not part of a shape: write a fret number, `x` for a muted string or `0` for an open one",
        );
        check_refuses(
            "x 3\u{1b} 2",
            "`\\u{1b}` at character 4 is not part of a shape: write a fret number, `x` for a muted string or `0` for an open one",
        );
        check_refuses("x 3 2 0 1 99", "fret 99 at character 11 is past the end of any neck: the last is 36");
        check_refuses(
            "x-99999999999999999999-2",
            "fret 99999999999999999999 at character 3 is past the end of any neck: the last is 36",
        );
        check_refuses("x--3-2", "nothing is written for a string at character 3: write `x` for a muted string");
        check_refuses("x-3-2-", "nothing is written for a string at character 6: write `x` for a muted string");
        check_refuses("x 3,,2", "nothing is written for a string at character 5: write `x` for a muted string");
        check_refuses("x 32x 0", "`32x` at character 3 is more than one string: put a space between them");
        check_refuses("x (3 2", "the bracket at character 3 should hold one string, as in `(0)`");
        check_refuses("x 3) 2", "the bracket at character 4 should hold one string, as in `(0)`");
        check_refuses("()", "the bracket at character 1 should hold one string, as in `(0)`");
        check_refuses(
            "0000000000000",
            "that is 13 strings, at most 12 can be written; put spaces between frets above 9",
        );
    }

    #[test]
    fn the_short_form_has_hyphens_only_where_a_fret_needs_them() {
        assert_eq!("x 3 2 0 1 0".parse::<Shape>().unwrap().compact(), "x32010");
        assert_eq!("x 10 12 12 x x".parse::<Shape>().unwrap().compact(), "x-10-12-12-x-x");
    }

    fn any_shape() -> impl Strategy<Value = Shape> {
        let fret = proptest::option::weighted(0.8, (0..=Fret::LAST).prop_map(|number| Fret::new(number).unwrap()));
        proptest::collection::vec(fret, 0..=12).prop_map(|strings| Shape::new(strings).unwrap())
    }

    proptest! {
        #[test]
        fn every_shape_reads_back_from_each_of_its_forms(shape in any_shape()) {
            if !shape.strings().is_empty() {
                prop_assert_eq!(&shape.to_string().parse::<Shape>().unwrap(), &shape);
                prop_assert_eq!(&shape.compact().parse::<Shape>().unwrap(), &shape);
                prop_assert_eq!(shape.to_string().parse(), Ok(WrittenShape::from(shape.clone())));
            }
            let saved = ron::to_string(&shape).unwrap();
            prop_assert_eq!(&ron::from_str::<Shape>(&saved).unwrap(), &shape);
        }

        #[test]
        fn no_text_makes_it_panic(text in "[-x0-9 ,()?o–×a\u{0}]{0,24}|\\PC{0,24}") {
            let _ = text.parse::<Shape>();
            if let Ok(written) = text.parse::<WrittenShape>() {
                prop_assert_eq!(written.to_string().parse::<WrittenShape>().unwrap(), written);
            }
        }
    }
}
