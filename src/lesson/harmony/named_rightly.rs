//! Chord names over a passage, and of voicings, as players of the strings write them.

use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::lesson::music::Passage;
use crate::theory::reading::{Context, Lowest, readings_limited};
use crate::theory::symbol::ChordSymbol;

/// Gives the chord names of `passage` the form that they have where the lowest pitch is `lowest` to the ear. Returns what changed, as
/// written before and after, each once.
pub fn name_rightly(passage: &mut Passage, lowest: Lowest) -> Vec<(String, String)> {
    let mut changed = Vec::new();
    let voices = passage.bars.iter_mut().flat_map(|bar| &mut bar.voices);
    for chord in voices.flat_map(|voice| &mut voice.0).filter_map(|event| event.chord.as_mut()) {
        if let Some(better) = lowest.better_name(chord) {
            let change = (std::mem::replace(chord, better.clone()), better);
            if !changed.contains(&change) {
                changed.push(change);
            }
        }
    }
    changed
}

/// Returns a chord name so many semitones further up; what is no chord stays as it is.
pub fn name_moved(name: &str, up: i32) -> String {
    let chord = name.trim().parse::<ChordSymbol>().ok().filter(|_| up != 0);
    chord.map_or_else(|| name.to_owned(), |chord| chord.moved(up, None).to_string())
}

/// Returns whether a name over the tab is that of a voicing. Names over the tab lie so many semitones `above` those of the shapes; where they
/// do, the spelling is no matter.
pub fn is_name_of(voicing: &str, over_tab: &str, above: i32) -> bool {
    let [voicing, over_tab] = [voicing.trim(), over_tab.trim()];
    let symbols = || Some((voicing.parse::<ChordSymbol>().ok()?, over_tab.parse::<ChordSymbol>().ok()?));
    match symbols() {
        Some((shape, written)) if above == 0 => shape == written,
        Some((shape, written)) => shape.moved(above, None) == written.moved(0, None),
        None => voicing == over_tab,
    }
}

/// Returns the names of `shape` on `rig` as players of its strings write them, each once. A name over a bass that is none of the chord's
/// own notes and sounds gives way to one that has all the notes: on the ukulele F/D, with a D, is Dm7.
pub fn names_of_shape(names: &[String], shape: &Shape, rig: &Rig) -> Vec<String> {
    let mut better: Vec<String> = Vec::with_capacity(names.len());
    for name in names.iter().map(|name| name_of_shape(name, shape, rig).unwrap_or_else(|| name.clone())) {
        if !better.contains(&name) {
            better.push(name);
        }
    }
    better
}

/// Returns the name that `shape` has on `rig` instead of `written`, as the hand plays it; `None` where that is how players write it.
pub fn name_of_shape(written: &str, shape: &Shape, rig: &Rig) -> Option<String> {
    let lowest = rig.lowest_is();
    let without_bass = lowest.better_name(written)?;
    let of_all_notes = || {
        let symbol: ChordSymbol = written.trim().parse().ok()?;
        let bass = symbol.bass().filter(|_| !symbol.is_inversion())?.pitch_class();
        let notes = rig.notes_as_played(shape).ok()?;
        let sounds = notes.iter().flatten().any(|note| note.pitch_class() == bass);
        let context = Context { lowest, ..Context::default() };
        let best = readings_limited(&notes, &context, 1).into_iter().next().filter(|_| sounds)?;
        best.root.map(|_| best.symbol)
    };
    Some(of_all_notes().unwrap_or(without_bass))
}

/// Says what [`name_rightly`] changed: `C/E became C: on these strings nobody hears a bass`; `None` where that is nothing.
pub fn said_of_names(changed: &[(String, String)]) -> Option<String> {
    let each: Vec<String> = changed.iter().map(|(before, now)| format!("{before} became {now}")).collect();
    (!each.is_empty()).then(|| format!("{}: {NO_BASS_HEARD}", each.join(", ")))
}

/// Why a chord has no bass in its name on re-entrant strings.
pub const NO_BASS_HEARD: &str = "on these strings the lowest note is not heard as a bass";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::setup_from_text;
    use crate::instrument::neck::Fret;

    fn names_on(instrument: &str, frets: &[u8], names: &[&str]) -> Vec<String> {
        let (body, tuning) = setup_from_text(Some(instrument), None).unwrap();
        let rig = Rig::new(body, tuning, None).unwrap();
        let shape = Shape::new(frets.iter().map(|fret| Fret::new(*fret)).collect()).unwrap();
        let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
        names_of_shape(&names, &shape, &rig)
    }

    #[test]
    fn a_bass_that_sounds_and_is_not_heard_as_one_is_in_the_better_name() {
        // D F A C: on a guitar a D lies below; on the ukulele it is one of four notes.
        assert_eq!(names_on("ukulele", &[2, 2, 1, 3], &["F/D", "F6"]), ["Dm7", "F6"]);
        assert_eq!(names_on("ukulele", &[2, 0, 1, 0], &["F/C", "F"]), ["F"]);
        // A bass that another instrument plays is no note of the shape.
        assert_eq!(names_on("ukulele", &[2, 0, 1, 0], &["F/D"]), ["F"]);
        assert_eq!(names_on("guitar", &[0, 0, 0, 2, 3, 2], &["D/E", "D/F#"]), ["D/E", "D/F#"]);
    }

    #[test]
    fn no_reading_names_a_bass_where_none_is_heard() {
        let (body, tuning) = setup_from_text(Some("ukulele"), None).unwrap();
        let rig = Rig::new(body, tuning, None).unwrap();
        for number in 0..5u32.pow(4) {
            let frets = (0..4).map(|string| u8::try_from(number / 5u32.pow(string) % 5).ok().and_then(Fret::new));
            let shape = Shape::new(frets.collect()).unwrap();
            let notes = rig.notes_as_played(&shape).unwrap();
            let context = Context { lowest: rig.lowest_is(), ..Context::default() };
            let all = crate::theory::reading::readings(&notes, &context);
            assert!(!all.is_empty(), "{shape:?}");
            // The slash of 6/9 leads to no bass.
            let over_a_bass = |symbol: &str| symbol.parse::<ChordSymbol>().is_ok_and(|symbol| symbol.bass().is_some());
            assert!(!all.iter().any(|reading| over_a_bass(&reading.symbol)), "{shape:?}: {all:?}");
        }
    }
}
