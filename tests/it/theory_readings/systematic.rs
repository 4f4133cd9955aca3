//! Every quality of the table named back from voicings made of its own formula, on every root.

use super::*;
use fingerpost::theory::quality::{Quality, qualities};

/// The daily qualities, and where another name of the same tones is met so much more often that their own
/// does not stand among the first three: the bass, and the names before it.
///
/// Common practice, no published source: a chord whose bass is its ninth, sixth or eleventh is heard
/// as another chord with its root there.
const OTHERWISE: &[(&str, &str, &str)] = &[
    ("sus2sus4", "2", "m11 and 7sus4 have their root or fifth there"),
    ("sus2sus4", "4", "7sus4 with the same bass is a name of four tones as well"),
    ("6/9", "6", "m11 and its shorter spelling on that bass, 9sus4"),
    ("6/9", "9", "9sus4 and 11 on that bass, and the minor seventh a fourth below over it"),
    ("m6/9", "9", "7b9sus4 on that bass"),
    ("dim7", "bb7", "every tone could be the root"),
    ("add9", "9", "the triad over its ninth, 9sus4 and 11 on that bass"),
    ("add11", "11", "the triad over its fourth, and maj7sus2 on that bass"),
    ("9sus4", "4", "6/9 on that bass"),
    ("9sus4", "9", "m11 and 6/9 over other basses"),
    ("9#5", "9", "9b5 and 9#11 a whole tone below"),
    ("maj11", "11", "13 and m13 over other basses"),
    ("7#11", "#11", "7b5b9 and 7alt on that bass"),
    ("maj7#11", "#11", "the major seventh over it, and a thirteenth"),
    ("13", "11", "maj13 on that bass: all seven notes of one scale"),
    ("maj13", "11", "maj13#11 on that bass: all seven notes of one scale"),
    ("maj13", "13", "m13 and others: all seven notes of one scale"),
    ("m13", "9", "maj13 and others: all seven notes of one scale"),
];

/// Rows of the table beside the daily ones: rare names, which have to be found, not to stand first.
const RARE: &[&str] = &[
    "(b5)",
    "6sus4",
    "6sus2",
    "6/9sus4",
    "6#11",
    "6/9#11",
    "dim(maj7)",
    "maj7sus4",
    "maj7sus2",
    "7no3",
    "maj7no3",
    "6no3",
    "m7#5",
    "addb9",
    "add#9",
    "addb6",
    "m(b6)",
    "add9add11",
    "m(add9)add11",
    "add9add#11",
    "dim(add9)",
    "aug(add9)",
    "m9b5",
    "maj9#5",
    "dim9",
    "7b9#9",
    "7b9sus4",
    "m7b9",
    "m7b5b9",
    "7b5b9",
    "7b5#9",
    "7#5b9",
    "7#5#9",
    "m(maj11)",
    "m11b5",
    "7add11",
    "m7add11",
    "maj7add11",
    "m7#11",
    "m9#11",
    "7b9#11",
    "7#9#11",
    "m(maj13)",
    "7add13",
    "m7add13",
    "maj7add13",
    "9add13",
    "m7b13",
    "9b13",
    "13#9",
    "13b5",
    "13#5",
    "maj13#11",
    "13b9#11",
    "13b9sus4",
    "m(add11)",
];

/// Qualities whose four tones that players keep are another chord as a whole, which is read first in some inversion.
const CUT_OTHERWISE: &[(&str, &str)] = &[
    ("11", "without its third it is 9sus4"),
    ("m11", "without its fifth it is 7sus4 on the eleventh"),
    ("7#11", "without its fifth it is 7b5"),
    ("7b13", "without its fifth it is 7#5"),
    ("maj13", "root, third, seventh and thirteenth are a minor triad with an added ninth on the thirteenth"),
    ("13sus4", "without its fifth it is a major triad with an added eleventh on the fourth"),
];

/// The tones players keep when a chord is cut to four: what may be silent goes in the order of the table.
fn four_tones(quality: &Quality) -> Option<Vec<Degree>> {
    let mut tones: Vec<Degree> = quality.formula.degrees().collect();
    for (degree, _) in &quality.may_miss {
        if tones.len() > 4 && quality.formula.len() - tones.len() < quality.at_most {
            tones.retain(|tone| !degree.has(*tone));
        }
    }
    (tones.len() == 4).then_some(tones)
}

/// The tones in close position above `lowest`, the tone at `turn` at the bottom.
fn close(tones: &[Degree], turn: usize, lowest: u8) -> Vec<u8> {
    let mut classes: Vec<u8> = tones.iter().map(|degree| degree.folded()).collect();
    classes.sort_unstable();
    let bass = tones[turn].folded();
    let mut above: Vec<u8> = classes.iter().map(|class| (class + 12 - bass) % 12).collect();
    above.sort_unstable();
    above.into_iter().map(|up| lowest + up).collect()
}

/// Close position with the second or third voice from the top an octave lower.
fn dropped(close: &[u8], from_top: usize) -> Vec<u8> {
    let mut voices = close.to_vec();
    let place = voices.len() - from_top;
    voices[place] -= 12;
    voices.sort_unstable();
    voices
}

/// Close position with every other voice an octave higher and the bass doubled on top, as open strings
/// spread chords.
fn spread(close: &[u8]) -> Vec<u8> {
    let mut voices: Vec<u8> =
        close.iter().enumerate().map(|(place, voice)| if place % 2 == 1 { voice + 12 } else { *voice }).collect();
    voices.push(close[0] + 24);
    voices
}

/// Every voicing of `quality` on the root `root` steps above C, with the degree that lies in its bass.
fn voicings(quality: &Quality, root: u8) -> Vec<(Degree, Vec<u8>)> {
    let whole: Vec<Degree> = quality.formula.degrees().collect();
    let mut found = Vec::new();
    for (turn, bass) in whole.iter().enumerate() {
        let close = close(&whole, turn, 36 + (root + bass.folded()) % 12);
        found.push((*bass, spread(&close)));
        found.push((*bass, close));
    }
    if let Some(four) = four_tones(quality) {
        for turn in 0..4 {
            let close = close(&four, turn, 48 + (root + four[turn].folded()) % 12);
            for voicing in [dropped(&close, 2), dropped(&close, 3)] {
                let bass = four.iter().find(|degree| degree.folded() == (voicing[0] + 24 - root) % 12);
                found.extend(bass.map(|bass| (*bass, voicing)));
            }
        }
    }
    found
}

fn place_of(quality: &Quality, root: u8, voicing: &[u8]) -> Option<usize> {
    let formula: Vec<Degree> = quality.formula.degrees().collect();
    readings(&notes(voicing.iter().copied()), &Context::default()).iter().position(|reading| {
        reading.root.map(|name| name.pitch_class().number()) == Some(root) && reading.formula == formula
    })
}

#[test]
fn every_quality_is_named_back_from_its_voicings_on_every_root() {
    let mut used = BTreeSet::new();
    for quality in qualities() {
        let listed = |suffix: &&str| *suffix == quality.suffix;
        for root in 0..12 {
            let told = |bass: Degree| bass == Degree::ROOT || !quality.root_lowest;
            for (bass, voicing) in voicings(quality, root).into_iter().filter(|(bass, _)| told(*bass)) {
                let place = place_of(quality, root, &voicing);
                let what = format!("{} over its {bass}, {voicing:?} on {root}: {place:?}", quality.suffix);
                let place = place.unwrap_or_else(|| panic!("{what}"));
                let bass = bass.to_string();
                let cut = voicing.len() == 4 && quality.formula.len() > 4;
                let otherwise = OTHERWISE.iter().position(|(suffix, low, _)| listed(suffix) && *low == bass);
                if place >= 3 {
                    used.extend(otherwise);
                }
                let within = match otherwise {
                    Some(_) => 6,
                    None if RARE.iter().any(listed) => 9,
                    None if cut && CUT_OTHERWISE.iter().any(|(suffix, _)| listed(suffix)) => 9,
                    None => 3,
                };
                assert!(place < within, "{what}");
            }
        }
    }
    assert_eq!(used.len(), OTHERWISE.len(), "an exception is not needed any more");
}

#[test]
fn shells_of_root_third_and_seventh_are_named_by_them() {
    // Common practice: the fifth says nothing that third and seventh do not.
    for (suffix, above) in
        [("7", [4, 10]), ("maj7", [4, 11]), ("m7", [3, 10]), ("m(maj7)", [3, 11]), ("7sus4", [5, 10])]
    {
        for root in 40..52u8 {
            for shell in [[root, root + above[0], root + above[1]], [root, root + above[1], root + 12 + above[0]]] {
                let place = qualities()
                    .iter()
                    .find(|quality| quality.suffix == suffix)
                    .and_then(|quality| place_of(quality, root % 12, &shell));
                assert!(place.is_some_and(|place| place < 2), "{suffix} {shell:?}: {place:?}");
            }
        }
    }
}
/// What is left of `quality` without its root: whole, and without what else may be silent, three tones at least.
fn rootless_forms(quality: &Quality) -> BTreeSet<Vec<Degree>> {
    let upper = || quality.formula.degrees().filter(|degree| *degree != Degree::ROOT);
    let silent = |mask: u32, degree: Degree| {
        let may_miss = quality.may_miss.iter().enumerate();
        may_miss.filter(|(place, _)| mask >> place & 1 == 1).any(|(_, (missing, _))| missing.has(degree))
    };
    let forms = (0..1u32 << quality.may_miss.len())
        .map(|mask| upper().filter(|degree| !silent(mask, *degree)).collect::<Vec<Degree>>());
    forms.filter(|form| form.len() >= if quality.formula.has_number(3) { 3 } else { 4 }).collect()
}

#[test]
fn every_rootless_form_is_named_within_the_first_ten_in_every_inversion() {
    let mut checked = 0;
    for quality in qualities().iter().filter(|quality| quality.rootless.is_some()) {
        for form in rootless_forms(quality) {
            // An eleventh without its third is a suspended ninth, and without its root any minor seventh.
            if quality.formula.has_number(3) && !form.iter().any(|degree| degree.number() == 3) {
                continue;
            }
            for turn in 0..form.len() {
                for root in 0..12 {
                    let voicing = close(&form, turn, 48 + (root + form[turn].folded()) % 12);
                    let all = readings_limited(&notes(voicing.iter().copied()), &Context::default(), 10);
                    let found = all.iter().find(|reading| {
                        reading.kind == ReadingKind::Rootless
                            && reading.root.map(|name| name.pitch_class().number()) == Some(root)
                            && reading.formula.iter().copied().eq(quality.formula.degrees())
                    });
                    let what = format!("{} as {} over its {}", quality.suffix, degrees(&form), form[turn]);
                    let found = found.unwrap_or_else(|| panic!("{what} on {root}"));
                    assert_eq!(found.missing.first(), Some(&Degree::ROOT), "{what}");
                    checked += 1;
                }
            }
        }
    }
    assert!(checked > 3000, "{checked}");
}
#[test]
fn every_quality_is_named_over_a_bass_that_is_none_of_its_tones() {
    for quality in qualities().iter().filter(|quality| !quality.root_lowest) {
        let whole: Vec<Degree> = quality.formula.degrees().collect();
        for bass in (1..12).filter(|bass| !quality.folded.has(*bass)) {
            // Root and fifth over a third are that triad turned over.
            if quality.suffix == "5" && matches!(bass, 3 | 4) {
                continue;
            }
            let voicing: Vec<u8> = [36 + bass].into_iter().chain(close(&whole, 0, 48)).collect();
            let within = match quality.suffix.as_str() {
                "" | "m" => 3,
                "7" | "maj7" | "m7" | "m7b5" | "6" | "m6" | "add9" => 6,
                _ => 10,
            };
            let place = place_of(quality, 0, &voicing);
            assert!(place.is_some_and(|place| place < within), "{} over {bass}: {place:?}", quality.suffix);
        }
    }
}
