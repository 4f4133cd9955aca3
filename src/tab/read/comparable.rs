//! What of a passage tab can carry.

use crate::instrument::neck::Fret;
use crate::lesson::music::{Note, Passage, Technique};
use crate::lesson::technique::TabSign;
use crate::tab::ties::OpenTies;
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
/// - A note that another is tied to stands in brackets, and is no ghost note.
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
    drop_ghosts_of_tied_notes(&mut passage);
    passage
}

/// Drops what brackets around a note that another is tied to would say of a note that is played: softly.
pub(super) fn drop_ghosts_of_tied_notes(passage: &mut Passage) {
    let mut ties = OpenTies::default();
    for bar in &mut passage.bars {
        for (voice, events) in bar.voices.iter_mut().enumerate() {
            for note in events.0.iter_mut().flat_map(|event| event.grace.iter_mut().chain(&mut event.notes)) {
                if ties.pass(voice, note) {
                    note.techniques.retain(|technique| *technique != Technique::Ghost);
                }
            }
        }
    }
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
