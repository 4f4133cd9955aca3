//! Which passage, voicing or segment of a lesson somebody means, who says its number or its name.
//!
//! Numbers of passages and voicings are drawn at random and long, so that nobody types them by choice: every option that
//! takes one takes the name as well.

use std::fmt::Display;

use anyhow::{Result, bail};

use crate::lesson::document::{Lesson, Segment, Voicing};
use crate::lesson::music::Passage;
use crate::text::quote::quoted;
use crate::text::safe::printable;

/// The most names that a message lists.
const LISTED: usize = 20;

/// Returns the passage that is meant: by its number, its title, its piece and its title as in `Kiln Street, verse`, or
/// the beginning of one of these.
///
/// Errors: no passage is called so, or more than one; the message says which there are.
pub fn passage<'a>(lesson: &'a Lesson, text: &str) -> Result<&'a Passage> {
    let candidates = lesson.passages.iter().map(|passage| {
        let piece = passage.piece.and_then(|piece| lesson.piece(piece));
        let apart = piece.map(|piece| format!(" of \"{}\"", printable(&piece.title)));
        let in_piece = piece.map(|piece| format!("{} {}", piece.title, passage.title));
        let named = NamedThing::new(passage.id, &passage.title, passage);
        NamedThing { apart: apart.unwrap_or_default(), other_name: in_piece, ..named }
    });
    meant(&candidates.collect::<Vec<_>>(), "passage", text)
}

/// Returns the voicing that is meant: by its number, the name that it is kept under, or the beginning of that; one
/// without a name by its shape.
///
/// Errors: no voicing is called so, or more than one; the message says which there are.
pub fn voicing<'a>(lesson: &'a Lesson, text: &str) -> Result<&'a Voicing> {
    let candidates = lesson.voicings.iter().map(|voicing| {
        let shape = voicing.shape.to_string();
        match voicing.name() {
            Some(name) => NamedThing { apart: format!(" ({shape})"), ..NamedThing::new(voicing.id, name, voicing) },
            None => NamedThing::new(voicing.id, &shape, voicing),
        }
    });
    meant(&candidates.collect::<Vec<_>>(), "voicing", text)
}

/// Returns the segment that is meant: by its place in the video, counted from 1 as in every other command, its title, or
/// the beginning of that.
///
/// Errors: no segment is called so, or more than one; the message says which there are.
pub fn segment<'a>(lesson: &'a Lesson, text: &str) -> Result<&'a Segment> {
    let candidates = lesson.segments.iter().zip(1..).map(|(segment, place)| {
        let place: usize = place;
        NamedThing::new(place, &segment.title, segment)
    });
    meant(&candidates.collect::<Vec<_>>(), "segment", text)
}

/// What may be meant.
struct NamedThing<'a, T> {
    number: String,
    name: String,
    /// What it may be called as well.
    other_name: Option<String>,
    /// What tells it from others of its name.
    apart: String,
    thing: &'a T,
}

impl<'a, T> NamedThing<'a, T> {
    fn new(number: impl Display, name: &str, thing: &'a T) -> Self {
        Self { number: number.to_string(), name: name.to_owned(), other_name: None, apart: String::new(), thing }
    }

    /// Returns whether one of its names fits.
    fn is_called(&self, fits: impl Fn(&str) -> bool) -> bool {
        fits(&self.name) || self.other_name.as_deref().is_some_and(fits)
    }
}

/// Returns the one that `text` fits: by its number; by its name as written; whatever its case and the signs between its
/// words; or by the beginning of its name.
fn meant<'a, T>(candidates: &[NamedThing<'a, T>], what: &str, text: &str) -> Result<&'a T> {
    if let Some(numbered) = candidates.iter().find(|candidate| candidate.number == text.trim()) {
        return Ok(numbered.thing);
    }
    let wanted = words(text);
    let ways: [&dyn Fn(&str) -> bool; 3] =
        [&|name| name.trim() == text.trim(), &|name| words(name) == wanted, &|name| words(name).starts_with(&wanted)];
    let mut fitting: Vec<&NamedThing<'a, T>> = Vec::new();
    for fits in ways {
        // Every name begins with nothing.
        if fitting.is_empty() && !wanted.is_empty() {
            fitting = candidates.iter().filter(|candidate| candidate.is_called(fits)).collect();
        }
    }
    match fitting.as_slice() {
        [one] => Ok(one.thing),
        [] => {
            bail!("no {what} has the number or name `{}`; the lesson has {}", quoted(text), listed(candidates.iter()))
        }
        several => bail!(
            "`{}` is the name of more than one {what}: {}; say which by its number",
            quoted(text),
            listed(several.iter().copied())
        ),
    }
}

/// Returns the words of a name in lower case, without what stands between a piece and its part.
fn words(text: &str) -> String {
    let between = |sign: char| sign.is_whitespace() || matches!(sign, ',' | ':' | ';' | '/' | '-' | '–' | '—');
    let words = text.split(between).filter(|word| !word.is_empty()).map(str::to_lowercase);
    words.collect::<Vec<_>>().join(" ")
}

/// Returns the numbers with their names: `1 "Verse" of "Kiln Street", 2 "Chorus"`.
fn listed<'a, T: 'a>(candidates: impl Iterator<Item = &'a NamedThing<'a, T>>) -> String {
    let shown = |named: &NamedThing<'_, T>| format!("{} \"{}\"{}", named.number, printable(&named.name), named.apart);
    let mut names: Vec<String> = candidates.take(LISTED + 1).map(shown).collect();
    if names.len() > LISTED {
        names.truncate(LISTED);
        names.push("and more".to_owned());
    }
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::Piece;
    use crate::lesson::id::{PassageId, PieceId};

    fn piece(id: u32, title: &str) -> Piece {
        Piece::new(PieceId(id), title)
    }

    fn part(id: u32, piece: Option<u32>, title: &str) -> Passage {
        Passage { piece: piece.map(PieceId), ..Passage::plain(PassageId(id), title, Vec::new()) }
    }

    fn lesson() -> Lesson {
        Lesson {
            pieces: vec![piece(1, "Kiln Street"), piece(2, "Two Bridges")],
            passages: vec![
                part(3_000_000_001, Some(1), "Verse"),
                part(3_000_000_002, Some(2), "Verse"),
                part(3_000_000_003, Some(2), "Call-and-answer"),
                part(3_000_000_004, None, "Verse for two"),
                part(3_000_000_005, None, "1"),
            ],
            ..Lesson::default()
        }
    }

    #[track_caller]
    fn means(text: &str, number: u32) {
        assert_eq!(passage(&lesson(), text).unwrap().id, PassageId(number), "{text}");
    }

    #[track_caller]
    fn refused(text: &str, message: &str) {
        assert_eq!(passage(&lesson(), text).unwrap_err().to_string(), message);
    }

    #[test]
    fn a_passage_is_found_by_number_title_or_piece_and_title() {
        means("3000000002", 3_000_000_002);
        means("call and answer", 3_000_000_003);
        means("Verse for", 3_000_000_004);
        means("1", 3_000_000_005);
        for text in ["Kiln Street, Verse", "kiln street: verse", "Kiln Street / Verse", " Kiln Street - Verse ", "Kiln"]
        {
            means(text, 3_000_000_001);
        }
        means("two bridges call", 3_000_000_003);
    }

    #[test]
    fn a_name_that_fits_none_or_several_is_answered_with_what_there_is() {
        let both = "3000000001 \"Verse\" of \"Kiln Street\", 3000000002 \"Verse\" of \"Two Bridges\"";
        refused("verse", &format!("`verse` is the name of more than one passage: {both}; say which by its number"));
        let bridges = "3000000002 \"Verse\" of \"Two Bridges\", 3000000003 \"Call-and-answer\" of \"Two Bridges\"";
        let message = format!("`Two Bridges` is the name of more than one passage: {bridges}; say which by its number");
        refused("Two Bridges", &message);
        let others =
            "3000000003 \"Call-and-answer\" of \"Two Bridges\", 3000000004 \"Verse for two\", 3000000005 \"1\"";
        for text in ["Coda", "", " , "] {
            let message = format!("no passage has the number or name `{text}`; the lesson has {both}, {others}");
            refused(text, &message);
        }
    }

    #[test]
    fn many_passages_are_not_all_listed() {
        let passages = (1..=30).map(|number| part(number, None, "Riff")).collect();
        let told = passage(&Lesson { passages, ..Lesson::default() }, "Coda").unwrap_err().to_string();
        assert!(told.contains("20 \"Riff\", and more") && !told.contains("21 \"Riff\""), "{told}");
    }
}
