//! What of a passage tab can carry.

use crate::instrument::neck::Fret;
use crate::lesson::music::{Note, Passage};
use crate::lesson::technique::TabSign;
use crate::text::charset::Charset;
use crate::text::safe::one_line;

/// Returns `passage` with everything dropped or put in order that its tab in `charset` does not
/// carry; a passage that is rendered and read back comes out as this.
///
/// - Fretting fingers and links to voicings are dropped: tab has no place for them.
/// - A note whose sign stands in place of its fret loses the fret: a dead note is written `x`.
/// - Chord names and words come out as they were printed: in one line, without control characters,
///   single spaces, in ASCII with the nearest ASCII signs.
/// - Notes of an event are ordered by string, techniques by kind, each once.
/// - A voice without events at the end of a bar's voices is no voice.
///
/// The identity, title, piece and setup come from [`super::ReadHints`].
pub fn comparable(passage: &Passage, charset: Charset) -> Passage {
    let mut passage = passage.clone();
    for bar in &mut passage.bars {
        while bar.voices.last().is_some_and(|voice| voice.0.is_empty()) {
            bar.voices.pop();
        }
        for event in bar.voices.iter_mut().flat_map(|voice| &mut voice.0) {
            event.voicing = None;
            event.chord = event.chord.take().and_then(|name| one_line(&name, charset));
            event.text = event.text.take().and_then(|text| one_line(&text, charset));
            event.notes.sort_by_key(|note| note.string);
            event.notes.iter_mut().chain(&mut event.grace).for_each(plain);
        }
    }
    passage
}

/// Drops from a note what tab does not carry.
fn plain(note: &mut Note) {
    note.finger = None;
    note.techniques.sort_unstable();
    note.techniques.dedup();
    if note.techniques.iter().any(|technique| matches!(technique.row().sign, TabSign::Instead(_))) {
        note.fret = Fret::OPEN;
    }
}
