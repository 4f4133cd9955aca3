//! What the lines above the first system say in words: tuning, capo, tempo, meter.

use crate::instrument::neck::Fret;
use crate::instrument::tuning::Tuning;
use crate::lesson::time::{Length, Meter, Tempo};
use crate::tab::marks;

use super::exact::Building;
use super::guess_list::REMARK;
use super::labels;
use super::lines::{SourceLine, excerpt};
use super::outcome::WrittenCapo;
use super::tuning_words::{self, Sureness, TuningWords};

/// What was written above the first system.
#[derive(Debug, Default)]
pub(super) struct Written {
    /// What is said of the tuning: one thing, or a tuning and how far it is moved.
    tuning: Vec<SaidOfTuning>,
    /// The first tuning that is named without a word such as `tuning`: it may be a title.
    bare_name: Option<SaidOfTuning>,
    pub(super) capo: Option<WrittenCapo>,
    pub(super) meter: Option<Meter>,
    pub(super) tempo: Option<Tempo>,
}

/// What a line says of the tuning.
#[derive(Debug, Clone)]
struct SaidOfTuning {
    line: usize,
    /// As it is written.
    words: String,
    says: TuningWords,
}

impl SaidOfTuning {
    /// Returns what a line says; of a tuning with a name, the name alone is told again.
    fn new(line: usize, words: String, says: TuningWords) -> Self {
        let words = says.name().map_or(words, excerpt);
        Self { line, words, says }
    }
}

/// One thing that a line says.
enum Fact {
    Tuning(TuningWords),
    BareTuning(TuningWords),
    /// What another part of the line says more exactly.
    SaidBefore,
    /// A tuning that is spoken of and cannot be read.
    UnknownTuning,
    Capo(Option<WrittenCapo>),
    Tempo(Tempo),
    Meter(Meter),
}

impl Written {
    /// Reads `lines`, those above the first system, and notes what was used.
    pub(super) fn read(lines: &[SourceLine], building: &mut Building) -> Self {
        let mut written = Self::default();
        for line in lines.iter().filter(|line| line.string.is_none() && !line.is_blank()) {
            let parts = parts(&line.text);
            let mut facts: Vec<_> = parts.iter().map(|part| fact(part)).collect();
            notes_beside_a_tuning(&parts, &mut facts);
            if facts.iter().any(Option::is_some) {
                building.used.insert(line.number);
                for (part, _) in parts.iter().zip(&facts).filter(|(_, fact)| fact.is_none()) {
                    building.guess(line.number, format!("{REMARK}`{}`", excerpt(part)));
                }
            }
            for (part, fact) in parts.into_iter().zip(facts) {
                written.take(line.number, part, fact, building);
            }
        }
        written
    }

    fn take(&mut self, line: usize, words: &str, fact: Option<Fact>, building: &mut Building) {
        let words = excerpt(words);
        match fact {
            None | Some(Fact::SaidBefore) => {}
            Some(Fact::Tuning(says)) => self.take_tuning(SaidOfTuning::new(line, words, says), building),
            Some(Fact::BareTuning(says)) => self.take_bare(SaidOfTuning::new(line, words, says), building),
            Some(Fact::UnknownTuning) => {
                building.guess(line, format!("`{words}`: that tuning is not known; set it in the tuning"));
            }
            Some(Fact::Capo(None)) => {
                building.guess(line, format!("`{words}`: the fret of the capo cannot be read; set it in the tuning"));
            }
            Some(Fact::Capo(Some(capo))) => self.capo = Some(capo),
            Some(Fact::Tempo(tempo)) => {
                building.guess(line, format!("`{words}` was read as the tempo, {tempo}"));
                self.tempo = Some(tempo);
            }
            Some(Fact::Meter(meter)) => {
                building.guess(line, format!("`{words}` was read as the time signature, {meter}"));
                self.meter = Some(meter);
            }
        }
    }

    /// Takes what speaks of the tuning: a tuning in the place of one that was named before, or how far that is moved.
    fn take_tuning(&mut self, said: SaidOfTuning, building: &mut Building) {
        let moves = |said: &SaidOfTuning| said.says.name().is_none();
        if said.says.name().is_some() || !said.says.can_follow(self.tuning.last().map(|last| &last.says)) {
            let same_line = self.tuning.iter().any(|before| before.line == said.line && moves(before));
            for before in self.tuning.extract_if(.., |before| !(same_line && moves(before))) {
                left_out(&before, building);
            }
            self.tuning.insert(0, said);
        } else {
            self.tuning.push(said);
        }
    }

    /// Takes a name that may be a title, unless it says what was said before.
    fn take_bare(&mut self, said: SaidOfTuning, building: &mut Building) {
        let sounds = |said: &SaidOfTuning| said.says.tuning().map(|tuning| tuning.to_string());
        let before = self.tuning.first().or(self.bare_name.as_ref());
        if before.is_some_and(|before| before.line == said.line && sounds(before) == sounds(&said)) {
            return;
        }
        match &self.bare_name {
            Some(_) => left_out(&said, building),
            None => self.bare_name = Some(said),
        }
    }

    /// Returns the tuning, whatever the number of strings.
    pub(super) fn tuning(&self) -> Option<Tuning> {
        self.tuning.first().and_then(|said| said.says.tuning())
    }

    /// Returns the tuning for strings with these labels, the highest string number first, and adds to the guesses of
    /// `building` how the words were taken.
    ///
    /// The usual labels of an instrument are printed by habit, so words win over them. A name that may be a title loses against words that
    /// speak of the tuning, and against labels that are not the usual ones.
    pub(super) fn tuning_for(&self, labels: &[String], building: &mut Building) -> Option<Tuning> {
        let usual = labels::are_usual(labels) || labels.iter().all(|label| labels::class(label).is_none());
        let base = match (&self.bare_name, self.tuning.as_slice()) {
            (Some(bare), said) if said.first().is_none_or(|said| said.says.can_follow(Some(&bare.says))) => {
                let tuning = bare.says.tuning_for(labels);
                let means_it = usual && !bare.says.is_instrument();
                let tuning = tuning.filter(|tuning| means_it || labels::agree(labels, tuning));
                if tuning.is_none() {
                    left_out(bare, building);
                }
                tuning.is_some().then_some(bare)
            }
            (Some(bare), _) => {
                left_out(bare, building);
                None
            }
            (None, _) => None,
        };
        let said: Vec<&SaidOfTuning> = base.into_iter().chain(&self.tuning).collect();
        let first = said.first()?;
        let found = match said.as_slice() {
            [] => None,
            [only] => only.says.tuning_for(labels),
            [named, then @ ..] => {
                let moved = |tuning: Tuning, said: &&SaidOfTuning| said.says.applied_to(&tuning);
                named.says.tuning_for(labels).and_then(|tuning| then.iter().try_fold(tuning, moved))
            }
        };
        let words = said.iter().map(|said| excerpt(&said.words)).collect::<Vec<_>>().join(", ");
        let Some(tuning) = &found else {
            let count = labels.len();
            building.guess(first.line, format!("the tuning `{words}` does not suit {count} strings"));
            return None;
        };
        let written = labels.iter().rev().map(String::as_str).collect::<Vec<_>>().join(" ");
        let against = match (labels::agree(labels, tuning), usual) {
            (true, _) => String::new(),
            (false, true) => format!("; the usual labels {written} were ignored"),
            (false, false) => format!("; the labels {written} say another tuning: check which is right"),
        };
        building.guess(first.line, format!("the tuning `{words}` was read as {tuning}{against}"));
        found
    }
}

/// Says that a tuning was read as a remark.
fn left_out(said: &SaidOfTuning, building: &mut Building) {
    building.guess(said.line, format!("{REMARK}`{}`", excerpt(&said.words)));
}

/// Takes the notes of the strings that stand beside a tuning for it: `Half step down (Eb Ab Db Gb Bb Eb)`.
fn notes_beside_a_tuning(parts: &[&str], facts: &mut [Option<Fact>]) {
    let of_tuning = |fact: &Option<Fact>| matches!(fact, Some(Fact::Tuning(_) | Fact::BareTuning(_)));
    let notes = parts.iter().zip(facts.iter()).position(|(part, fact)| {
        fact.is_none() && part.split_whitespace().count() != 1 && tuning_words::named(part).is_some()
    });
    let Some((at, part)) = notes.and_then(|at| Some((at, parts.get(at)?))) else { return };
    if !facts.iter().any(of_tuning) {
        return;
    }
    for (place, fact) in facts.iter_mut().enumerate() {
        if place == at {
            *fact = Some(Fact::Tuning(TuningWords::Called((*part).to_owned())));
        } else if of_tuning(fact) {
            *fact = Some(Fact::SaidBefore);
        }
    }
}

/// Splits a line into what may be separate facts; a tuning is left whole.
fn parts(text: &str) -> Vec<&str> {
    let text = text.trim();
    let whole = fact(text);
    if whole.as_ref().is_some_and(Fact::is_read) {
        return vec![text];
    }
    let pieces = text.split([',', ';', '(', ')', '[', ']']).flat_map(|piece| piece.split("  "));
    let pieces: Vec<&str> = pieces.flat_map(joined).map(str::trim).filter(|piece| !piece.is_empty()).collect();
    let facts: Vec<Option<Fact>> = pieces.iter().map(|piece| fact(piece)).collect();
    // What stands beside a capo may be about it: `capo 2, strings 3 to 5`.
    let about_strings = |(piece, fact): (&&str, &Option<Fact>)| {
        let lower = piece.to_ascii_lowercase();
        fact.is_none() && ["string", "partial", "only"].iter().any(|word| lower.contains(word))
    };
    let is_capo = |fact: &Fact| matches!(fact, Fact::Capo(_));
    let partial = facts.iter().flatten().any(is_capo) && pieces.iter().zip(&facts).any(about_strings);
    let some = facts.iter().flatten().any(Fact::is_read);
    if whole.is_some() && (partial || !some) { vec![text] } else { pieces }
}

/// Splits `open G with capo 2` and `tempo 92 and capo 2`; what says nothing in parts is left whole.
fn joined(piece: &str) -> Vec<&str> {
    let parts: Vec<&str> = piece.split(" with ").flat_map(|part| part.split(" and ")).collect();
    let whole = fact(piece).is_some_and(|fact| fact.is_read());
    let some = || parts.iter().filter_map(|part| fact(part)).any(|fact| fact.is_read());
    if !whole && some() { parts } else { vec![piece] }
}

impl Fact {
    /// Returns whether it is understood.
    fn is_read(&self) -> bool {
        match self {
            Self::Capo(capo) => capo.is_some(),
            Self::UnknownTuning => false,
            Self::Tuning(_) | Self::BareTuning(_) | Self::SaidBefore | Self::Tempo(_) | Self::Meter(_) => true,
        }
    }
}

/// Reads one fact.
fn fact(text: &str) -> Option<Fact> {
    let text = text.trim();
    if text.len() > 80 {
        return None;
    }
    let lower = text.to_ascii_lowercase();
    if speaks_of_capo(&lower) {
        return Some(Fact::Capo(capo(&lower)));
    }
    meter(&lower).map(Fact::Meter).or_else(|| tempo(&lower).map(Fact::Tempo)).or_else(|| tuning(text, &lower))
}

/// Steps over a word at the start and what stands between it and its value.
fn after<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let rest = words.iter().find_map(|word| text.strip_prefix(word))?;
    let value = rest.trim_start_matches([' ', ':', '=', '-', '.']);
    (value.len() < rest.len() && !value.is_empty()).then_some(value)
}

/// Returns whether a part speaks of a capo and nothing else: `capo 2`, `capo: 3rd fret`, `no capo`.
fn speaks_of_capo(lower: &str) -> bool {
    let said = |value: &str| {
        let fret = at_fret(value);
        fret.starts_with(|sign: char| sign.is_ascii_digit())
            || ["i", "v", "none"].iter().any(|sign| fret.starts_with(sign))
    };
    lower == "no capo" || after(lower, &["capo"]).is_some_and(said)
}

/// Steps over the words between `capo` and its fret.
fn at_fret(value: &str) -> &str {
    let words = ["on ", "at ", "the ", "fret "];
    words.iter().fold(value, |value, word| value.trim_start_matches(word))
}

/// Reads the fret of a capo: `capo 2`, `capo: 3rd fret`, `capo on fret IV`; 0 and `none` are none.
fn capo(lower: &str) -> Option<WrittenCapo> {
    if lower == "no capo" {
        return Some(WrittenCapo::Off);
    }
    let value = at_fret(after(lower, &["capo"])?);
    let word = value.split([' ', '.']).next()?;
    const ROMAN: [&str; 12] = ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"];
    let digits = word.trim_end_matches(|sign: char| sign.is_ascii_alphabetic());
    let fret = match ROMAN.iter().position(|roman| *roman == word) {
        Some(at) => u8::try_from(at + 1).ok()?,
        None if matches!(word, "none" | "off") => 0,
        None => digits.parse().ok()?,
    };
    // A capo that covers some strings only, or sits where none does, is not read.
    let rest = value.get(word.len()..)?.trim_matches([' ', '.']);
    if !matches!(rest, "" | "fret") || fret > 12 {
        return None;
    }
    Some(if fret == 0 { WrittenCapo::Off } else { WrittenCapo::At(Fret::new(fret)?) })
}

/// Reads `3/4`, `time: 6/8`.
fn meter(lower: &str) -> Option<Meter> {
    let value = after(lower, &["time signature", "time", "meter", "metre"]).unwrap_or(lower);
    value.trim_end_matches(" time").trim().parse().ok()
}

/// Reads `q=92`, `quarter note = 92`, `tempo 92`, `92 bpm`.
fn tempo(lower: &str) -> Option<Tempo> {
    let named = after(lower, &["tempo", "bpm", "speed"]);
    let value = named.unwrap_or(lower).trim();
    let value = ["around ", "about ", "ca. "].iter().find_map(|word| value.strip_prefix(word)).unwrap_or(value);
    let compact: String = value.chars().filter(|sign| *sign != ' ').collect();
    let counted = compact.strip_suffix("bpm");
    let compact = counted.unwrap_or(&compact);
    if let Some(tempo) = marks::read_tempo(compact).or_else(|| marks::read_tempo(value)) {
        return Some(tempo);
    }
    let beats = compact.strip_prefix("♩=").or((named.is_some() || counted.is_some()).then_some(compact))?;
    Tempo::new(Length::QUARTER, beats.parse().ok()?)
}

/// Reads `Tuning: D A D G A D`, `tuned to open G`, `drop D tuning`, `half step down`, `drop D`.
fn tuning(text: &str, lower: &str) -> Option<Fact> {
    // Lower case in ASCII keeps every byte's place.
    let value = after(lower, &["tuning", "tuned to", "tune to", "tuned", "tune"])
        .and_then(|value| text.get(text.len() - value.len()..))
        .or_else(|| lower.strip_suffix(" tuning").and_then(|value| text.get(..value.len())));
    let value = value.map(|value| value.trim().trim_end_matches('.'));
    if let Some(value) = value.filter(|value| tuning_words::named(value).is_some()) {
        return Some(Fact::Tuning(TuningWords::Called(value.to_owned())));
    }
    match tuning_words::read(text) {
        Some((says, Sureness::Stated)) => Some(Fact::Tuning(says)),
        Some((says, Sureness::Bare)) => Some(Fact::BareTuning(says)),
        None => after(lower, &["tuning", "tuned to"]).is_some().then_some(Fact::UnknownTuning),
    }
}
