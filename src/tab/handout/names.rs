//! Chord names as the handout shall read: by the shape or by what sounds.
//!
//! Voicings are always named by their shapes. Names over the tab are those that the lesson goes by, so they are printed as they are
//! written, unless the notes say that those of a passage are names of the shapes after all.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

use crate::lesson::document::{ChordNames, Lesson, Setup};
use crate::lesson::music::Passage;
use crate::text::charset::Charset;
use crate::text::safe::clean;
use crate::theory::key::Key;
use crate::theory::pitch::{Letter, NoteName, PitchClass};
use crate::theory::reading::Lowest;
use crate::theory::symbol::ChordSymbol;

/// Turns names of shapes into those of the handout.
#[derive(Debug, Clone)]
pub(super) struct Names {
    /// Semitones from the name of a shape to the name printed.
    shift: i32,
    /// The key as it sounds.
    key: Option<Key>,
    charset: Charset,
    /// What the lowest pitch is to the ear on these strings.
    lowest: Lowest,
    known: HashMap<String, String>,
    /// Names over the tab that are printed as they are.
    sounding: Vec<ChordSymbol>,
}

impl Names {
    pub(super) fn new(lesson: &Lesson, setup: Option<&Setup>, key: Option<Key>, charset: Charset) -> Self {
        let shift = match lesson.header.chord_names {
            ChordNames::PlayedAs => 0,
            ChordNames::SoundsAs => setup.map_or(0, |setup| raised_by(lesson, setup)),
        };
        let lowest = setup.map_or(Lowest::Bass, |setup| setup.tuning.lowest_is());
        Self { shift, key, charset, lowest, known: HashMap::new(), sounding: Vec::new() }
    }

    /// Takes note of names over the tab that are printed as they are; those that move beside them are spelled as they are.
    pub(super) fn beside<'a>(mut self, names: impl IntoIterator<Item = &'a str>) -> Self {
        if self.shift != 0 {
            self.sounding.extend(names.into_iter().filter_map(|name| name.trim().parse().ok()));
        }
        self
    }

    /// Takes note of names that stand on the handout together, so that those that move are spelled alike: without a key, all
    /// with sharps or all with flats.
    pub(super) fn standing_with<'a>(mut self, names: impl IntoIterator<Item = &'a str>) -> Self {
        if self.shift == 0 {
            return self;
        }
        let mut seen = HashSet::new();
        let names = names.into_iter().filter(|name| seen.insert(*name));
        let read = |name: &'a str| Some((name, self.lowest.named(&name.trim().parse().ok()?)));
        let (names, symbols): (Vec<&str>, Vec<ChordSymbol>) = names.filter_map(read).unzip();
        let moved = ChordSymbol::moved_together(&symbols, self.shift, self.key);
        let spelled = moved.iter().map(|symbol| self.spelled_beside(symbol));
        let printed: Vec<String> = spelled.map(|symbol| with_signs(&symbol.to_string(), self.charset)).collect();
        self.known.extend(names.into_iter().map(str::to_owned).zip(printed));
        self
    }

    /// Returns a moved name as it is spelled over the tab, if it stands there.
    fn spelled_beside<'a>(&'a self, moved: &'a ChordSymbol) -> &'a ChordSymbol {
        let plain = moved.moved(0, None);
        self.sounding.iter().find(|symbol| symbol.moved(0, None) == plain).unwrap_or(moved)
    }

    /// Returns the name of a shape as it is printed. What is no chord symbol stays as it was typed.
    pub(super) fn printed(&mut self, name: &str) -> String {
        if let Some(known) = self.known.get(name) {
            return known.clone();
        }
        let printed = self.moved(name, self.shift);
        self.known.insert(name.to_owned(), printed.clone());
        printed
    }

    fn moved(&self, name: &str, shift: i32) -> String {
        let better = self.lowest.better_name(name);
        let name_here = better.as_deref().unwrap_or(name).trim();
        match name_here.parse::<ChordSymbol>() {
            Ok(symbol) if shift != 0 => {
                let moved = symbol.moved(shift, self.key);
                with_signs(&self.spelled_beside(&moved).to_string(), self.charset)
            }
            Ok(symbol) if self.charset == Charset::Ascii && !name.is_ascii() => symbol.to_string(),
            Ok(_) => with_signs(&clean(name_here, self.charset), self.charset),
            Err(_) => clean(name_here, self.charset).into_owned(),
        }
    }

    /// Returns `passage`, whose chord names go by `names`, with them as they are printed.
    pub(super) fn in_passage<'a>(&mut self, passage: &'a Passage, names: ChordNames) -> Cow<'a, Passage> {
        let mut changed = Cow::Borrowed(passage);
        for (place, bar) in passage.bars.iter().enumerate() {
            for (line, voice) in bar.voices.iter().enumerate() {
                for (at, event) in voice.0.iter().enumerate() {
                    let Some(written) = &event.chord else { continue };
                    let printed = match names {
                        ChordNames::PlayedAs => self.printed(written),
                        ChordNames::SoundsAs => self.moved(written, 0),
                    };
                    if printed == *written {
                        continue;
                    }
                    let bar = changed.to_mut().bars.get_mut(place);
                    let event = bar.and_then(|bar| bar.voices.get_mut(line)).and_then(|voice| voice.0.get_mut(at));
                    if let Some(event) = event {
                        event.chord = Some(printed);
                    }
                }
            }
        }
        changed
    }
}

/// Returns how many semitones above its shape a chord sounds in `setup`: a capo over all strings
/// raises it, a lowered tuning lowers it. 0 for a setup that does not fit its instrument.
pub(super) fn raised_by(lesson: &Lesson, setup: &Setup) -> i32 {
    lesson.rig(setup).map_or(0, |rig| rig.played_as().semitones())
}

/// Returns `key` moved by semitones, spelled with the fewest accidentals in its signature.
pub(super) fn moved_key(key: Key, semitones: i32) -> Option<Key> {
    let class = PitchClass::of(i32::from(key.tonic().pitch_class().number()) + semitones % 12);
    let spellings =
        "CDEFGAB".chars().filter_map(Letter::from_char).filter_map(|letter| NoteName::spelled(letter, class));
    let keys = spellings.filter_map(|tonic| Key::new(tonic, key.mode()));
    keys.min_by_key(|key| (key.fifths().abs(), key.tonic() != NoteName::usual(class)))
}

/// Writes the accidentals of a chord symbol, key or note as music does where the charset has them.
pub(super) fn with_signs(symbol: &str, charset: Charset) -> String {
    if charset == Charset::Ascii {
        return symbol.to_owned();
    }
    let mut text = String::with_capacity(symbol.len());
    let mut before = None;
    for sign in symbol.chars() {
        text.push(match sign {
            '#' => '♯',
            // In a symbol a small b is a flat unless it is the name of a note.
            'b' if before.is_some_and(|before| before != '/') => '♭',
            _ => sign,
        });
        before = Some(sign);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(shift: i32, key: Option<&str>, charset: Charset) -> Names {
        let key = key.map(|key| key.parse().unwrap());
        Names { shift, key, charset, lowest: Lowest::Bass, known: HashMap::new(), sounding: Vec::new() }
    }

    #[test]
    fn shapes_of_g_with_the_capo_at_3_sound_in_b_flat() {
        // Common practice, no published source.
        let mut sounding = names(3, Some("Bb"), Charset::Utf8);
        let shapes = ["G", "C", "D/F#", "Em7", "Am7", "Cadd9", "N.C.", "walk down"];
        let printed: Vec<String> = shapes.iter().map(|name| sounding.printed(name)).collect();
        assert_eq!(printed, ["B♭", "E♭", "F/A", "Gm7", "Cm7", "E♭add9", "N.C.", "walk down"]);
    }

    #[test]
    fn names_that_stand_together_without_a_key_are_spelled_alike() {
        // Alone, the first would be written with a sharp and the second with a flat.
        let shapes = ["E5", "B7sus4", "C"];
        let alone: Vec<String> = shapes.iter().map(|name| names(-3, None, Charset::Ascii).printed(name)).collect();
        assert_eq!(alone, ["C#5", "Ab7sus4", "A"]);
        let mut sounding = names(-3, None, Charset::Ascii).standing_with(shapes);
        let printed: Vec<String> = shapes.iter().map(|name| sounding.printed(name)).collect();
        assert!(printed == ["C#5", "G#7sus4", "A"] || printed == ["Db5", "Ab7sus4", "A"], "{printed:?}");
        let mut in_key = names(3, Some("Bb"), Charset::Utf8).standing_with(["G", "D/F#"]);
        assert_eq!((in_key.printed("G"), in_key.printed("D/F#")), ("B♭".to_owned(), "F/A".to_owned()));
    }

    #[test]
    fn names_by_the_shape_stay_as_typed_in_the_signs_of_the_charset() {
        let mut plain = names(0, None, Charset::Utf8);
        assert_eq!(plain.printed("Bbmaj7/D"), "B♭maj7/D");
        assert_eq!(plain.printed("C7#9"), "C7♯9");
        assert_eq!(plain.printed("about B"), "about B");
        let mut ascii = names(0, None, Charset::Ascii);
        assert_eq!(ascii.printed("B♭Δ7"), "Bbmaj7");
        assert_eq!(ascii.printed("B♭ or so"), "Bb or so");
    }

    #[test]
    fn keys_move_with_the_capo() {
        assert_eq!(moved_key("Bb".parse().unwrap(), -3).unwrap().to_string(), "G");
        assert_eq!(moved_key("Am".parse().unwrap(), -1).unwrap().to_string(), "G#m");
        assert_eq!(moved_key("C".parse().unwrap(), 6).unwrap().to_string(), "F#");
    }
}
