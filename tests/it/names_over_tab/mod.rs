//! Chord names over tab against what sounds under them: random progressions, in the styles of `styles`, under names that are right and
//! names that are wrong.
//!
//! What is right is common practice of the trade, no published source: the chords of a key and those that are borrowed for it, voiced by
//! the search for voicings (which knows nothing of the judgement), and written as players accompany. As many progressions as
//! `FINGERPOST_NAMES` says are measured, with other dice where a seed stands behind them: `2000:7`.

mod ornaments;
mod styles;

use std::collections::BTreeMap;

use fingerpost::instrument::rig::Rig;
use fingerpost::lesson::document::ChordNames;
use fingerpost::lesson::harmony::judgement::{ContradictedName, NameStands, contradicted_names};
use fingerpost::lesson::music::Passage;
use fingerpost::lesson::phrase::Slot;
use fingerpost::theory::symbol::ChordSymbol;

use super::workbench::random::Dice;
use styles::{Band, GoesOn, Played, RIGHT, Style, UNDER_ONE_NAME, WRONG, rig, rig_of, strew};

/// How many progressions of each sort are played where nothing else is asked for.
const USUAL: usize = 200;

/// Returns how many progressions are asked for, and the seed of the dice.
fn asked() -> (usize, u64) {
    let Ok(asked) = std::env::var("FINGERPOST_NAMES") else { return (USUAL, 1) };
    let (count, seed) = asked.split_once(':').unwrap_or((&asked, "1"));
    let count = count.parse().expect("FINGERPOST_NAMES is a number of progressions, then perhaps a colon and a seed");
    (count, seed.parse::<u64>().expect("the seed is a number").max(1))
}

fn contradicted(passage: &Passage, rig: &Rig) -> Vec<ContradictedName> {
    let mut found = contradicted_names(passage, rig, ChordNames::SoundsAs);
    // The names of the shapes are right ones too, though not those of such a lesson.
    found.retain(|name| !matches!(name.stands, NameStands::ByTheOther(_)));
    found
}

/// What was accused of the names that are right.
#[derive(Default)]
struct Accused {
    /// Names, and how many of them were accused, by style.
    figures: BTreeMap<String, (usize, usize)>,
    examples: Vec<String>,
}

impl Accused {
    fn count(&mut self, style: Style, played: &Played, rig: &Rig) {
        let accused = contradicted(&played.passage, rig);
        let entry = self.figures.entry(format!("{style:?}")).or_default();
        entry.0 += played.names.len();
        entry.1 += accused.len();
        self.examples.extend(accused.into_iter().map(|name| format!("{style:?}: {name:?}\n{}", played.described(rig))));
    }

    fn sum(&self) -> (usize, usize) {
        self.figures.values().fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    }

    /// Two in ten thousand: random music has bars in which a chord of the key is all there.
    fn is_few(&self) -> bool {
        let (names, accused) = self.sum();
        accused * 5_000 <= names
    }

    fn text(&self) -> String {
        let (names, accused) = self.sum();
        format!("{accused} of {names} accused: {:?}\n{}", self.figures, self.examples.join("\n"))
    }
}

#[test]
fn names_that_are_right_are_not_accused() {
    let (count, seed) = asked();
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    // Dice of their own, so that the progressions are the same with passing notes and without.
    let mut passing = Dice(seed.wrapping_mul(0xA24B_AED4_963E_E407));
    let mut band = Band::default();
    let (mut plain, mut strewn) = (Accused::default(), Accused::default());
    for _ in 0..count {
        let style = dice.pick(&RIGHT);
        let rig = rig(&mut dice);
        let Some(mut played) = band.play(&mut dice, &rig, style) else { continue };
        plain.count(style, &played, &rig);
        strew(&mut passing, &mut played.passage);
        strewn.count(style, &played, &rig);
        if let Some(ornamented) = band.play(&mut passing, &rig, Style::Ornamented) {
            strewn.count(Style::Ornamented, &ornamented, &rig);
        }
    }
    let both = format!("names that are right, {}\nwith passing notes, {}", plain.text(), strewn.text());
    println!("{both}");
    assert!(plain.is_few() && strewn.is_few(), "{both}");
}

/// How far a name is from the chord that sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Distance {
    /// The other third over the same root.
    OtherThird,
    /// At most one tone in common.
    Far,
    /// Two tones in common: the relative chord, or the one on the third. Over somebody else's bass it would be right.
    Near,
}

fn distance(sounding: &ChordSymbol, named: &ChordSymbol) -> Distance {
    let (one, other) = (sounding.pitch_classes(), named.pitch_classes());
    let common = one.len() - one.minus(other).len();
    match common {
        0 | 1 => Distance::Far,
        _ if sounding.root() == named.root() => Distance::OtherThird,
        _ => Distance::Near,
    }
}

#[test]
fn names_that_are_wrong_are_found() {
    let (count, seed) = asked();
    let mut dice = Dice(seed.wrapping_mul(0xD134_2543_DE82_EF95));
    let mut band = Band::default();
    let mut figures: BTreeMap<(String, Distance), (usize, usize)> = BTreeMap::new();
    let mut examples = Vec::new();
    for _ in 0..count {
        let style = dice.pick(&WRONG);
        let rig = rig(&mut dice);
        let Some(mut passage) = band.play(&mut dice, &rig, style) else { continue };
        let place = dice.roll(passage.names.len());
        let (slot, sounding) = passage.names[place].clone();
        let (wrong, how_far) = loop {
            let wrong = styles::any_symbol(&mut dice);
            // A name is held against what sounds and against what the hand plays.
            let both = [wrong.clone(), wrong.moved(rig.played_as().semitones(), None)];
            let part_of =
                |one: &ChordSymbol, other: &ChordSymbol| one.pitch_classes().minus(other.pitch_classes()).is_empty();
            if !both.iter().any(|name| part_of(name, &sounding) || part_of(&sounding, name)) {
                break (wrong, both.iter().map(|name| distance(&sounding, name)).max().unwrap());
            }
        };
        // What lacks a tone of its triad, or is diminished, is no full triad.
        if !passage.sounds_in_full(&rig, slot, &sounding) {
            continue;
        }
        passage.rename(slot, &wrong.to_string());
        let found = contradicted(&passage.passage, &rig);
        let hit = found.iter().find(|name| name.slot == slot);
        let entry = figures.entry((format!("{style:?}"), how_far)).or_default();
        entry.0 += 1;
        entry.1 += usize::from(hit.is_some());
        if hit.is_none() && how_far != Distance::Near {
            examples.push(format!("{style:?}: {wrong} for {sounding}\n{}", passage.described(&rig)));
        }
    }
    let of = |style: Style, far: &[Distance]| {
        figures
            .iter()
            .filter(|((name, how), _)| *name == format!("{style:?}") && far.contains(how))
            .fold((0, 0), |sum, (_, one)| (sum.0 + one.0, sum.1 + one.1))
    };
    println!("names that are wrong, and how many of them are found: {figures:?}");
    let far = [Distance::Far, Distance::OtherThird];
    let all = [Style::Strums, Style::BassAndChord, Style::PartialChords].map(|style| of(style, &far));
    let (names, found) = all.into_iter().fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
    assert!(found * 100 >= names * 95, "{found} of {names}: {figures:?}\n{}", examples.join("\n"));
}

/// Returns a chord that is far from another one, as it is played and as it sounds.
fn far_from(dice: &mut Dice, rig: &Rig, sounding: &ChordSymbol) -> ChordSymbol {
    loop {
        let wrong = styles::any_symbol(dice);
        let both = [wrong.clone(), wrong.moved(rig.played_as().semitones(), None)];
        if both.iter().all(|name| distance(sounding, name) == Distance::Far) {
            return wrong;
        }
    }
}

#[test]
fn the_only_name_is_found_where_it_is_wrong_whatever_follows() {
    let (count, seed) = asked();
    let mut dice = Dice(seed.wrapping_mul(0x9E6C_63D0_876A_68E1));
    let mut band = Band::default();
    for instrument in UNDER_ONE_NAME {
        let mut figures: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
        let mut examples = Vec::new();
        for _ in 0..count {
            let rig = rig_of(&mut dice, instrument);
            let goes_on = dice.pick(&[GoesOn::Melody, GoesOn::Same, GoesOn::Another]);
            let Some((mut passage, other)) = band.play_under_one_name(&mut dice, &rig, goes_on) else { continue };
            let (slot, sounding) = passage.names[0].clone();
            if !passage.sounds_in_full(&rig, slot, &sounding) {
                continue;
            }
            let accused = contradicted(&passage.passage, &rig);
            let mut note = |what, is_one: bool| {
                let entry = figures.entry(what).or_default();
                (entry.0, entry.1) = (entry.0 + 1, entry.1 + usize::from(is_one));
                is_one
            };
            let missing = |one: &ContradictedName| one.stands == NameStands::Before(0) && one.slot.bar == 1;
            match goes_on {
                GoesOn::Melody | GoesOn::Same => {
                    if note("right, accused", !accused.is_empty()) {
                        examples.push(passage.described(&rig));
                    }
                }
                GoesOn::Another if distance(&sounding, &other) == Distance::Far => {
                    let second = Slot { bar: 1, ..slot };
                    if passage.sounds_in_full(&rig, second, &other) {
                        note("missing, found", accused.len() == 1 && missing(&accused[0]));
                    }
                }
                GoesOn::Another => {}
            }
            passage.rename(slot, &far_from(&mut dice, &rig, &sounding).to_string());
            let found = contradicted(&passage.passage, &rig);
            let hit = found.iter().any(|name| (name.slot, name.stands) == (slot, NameStands::Here));
            let what =
                if goes_on == GoesOn::Melody { "wrong over a melody, found" } else { "wrong over strums, found" };
            if !note(what, hit) {
                examples.push(passage.described(&rig));
            }
        }
        println!("{instrument:?}: {figures:?}");
        for (what, (all, found)) in &figures {
            // Another chord over the same bass note may be a chord over a pedal.
            let least = if *what == "missing, found" { 70 } else { 95 };
            let enough = if what.starts_with("right") { *found == 0 } else { found * 100 >= all * least };
            assert!(*all > 10 && enough, "{instrument:?}: {what}: {found} of {all}\n{}", examples.join("\n"));
        }
    }
}

#[test]
fn a_whole_triad_strummed_under_a_name_without_a_third_is_found() {
    let (count, seed) = asked();
    let mut dice = Dice(seed.wrapping_mul(0xA076_1D64_78BD_642F));
    let mut band = Band::default();
    let (mut names, mut found) = (0, 0);
    for _ in 0..count {
        let rig = rig(&mut dice);
        let Some(mut passage) = band.play(&mut dice, &rig, Style::Strums) else { continue };
        let (slot, sounding) = passage.names[dice.roll(passage.names.len())].clone();
        let is_triad = sounding.pitch_classes().len() == 3;
        if !is_triad || !passage.sounds_in_full(&rig, slot, &sounding) {
            continue;
        }
        passage.rename(slot, &format!("{}{}", sounding.root(), dice.pick(&["sus4", "5"])));
        names += 1;
        found += usize::from(contradicted(&passage.passage, &rig).iter().any(|name| name.slot == slot));
    }
    println!("{names} whole triads under a name without a third, {found} found");
    assert!(names > 10 && found * 10 >= names * 9, "{found} of {names}");
}
