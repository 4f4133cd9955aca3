//! Music as it is to be heard: when each note starts is worked out by hand from meter and tempo.

use fingerpost::exchange::midi_in::{TrackChoice, read};
use fingerpost::instrument::catalogue::setup_from_text;
use fingerpost::instrument::neck::Shape;
use fingerpost::instrument::placement::line::Limits;
use fingerpost::instrument::rig::Rig;
use fingerpost::lesson::document::{BarRange, ChordNames, Lesson, PassageUse, Setup};
use fingerpost::lesson::id::{PassageId, SetupId};
use fingerpost::lesson::music::{Bar, Passage};
use fingerpost::lesson::seconds::Seconds;
use fingerpost::lesson::time::{NoteValue, Ticks};
use fingerpost::plan::length::{count_in_length, passage_length};
use fingerpost::sound::performance::passage::{Options, PassagePart, PerformanceError, passage, segment};
use fingerpost::sound::performance::shape::{Manner, over_a_drone, plain_form, shape};
use fingerpost::sound::score::{Accent, Attack, Muting, Score, SoundedNote};
use fingerpost::theory::pitch::{FinePitch, Hertz};
use proptest::prelude::*;

use crate::arbitrary::{Music, any_lesson, any_passage};
use crate::reference::rows;

use super::tempered;

/// A lesson on a guitar in `tuning`, and in it a passage of these bars, written as in a lesson file.
pub(super) fn lesson_with(tuning: &str, capo: Option<&str>, head: &str, bars: &str) -> (Lesson, Passage) {
    let (instrument, tuning) = setup_from_text(Some("guitar"), Some(tuning)).unwrap();
    let rig = Rig::new(instrument, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap();
    let text = format!("#![enable(implicit_some)]\n(id: 1, title: \"study\", {head}, bars: [{bars}])");
    let passage: Passage = ron::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
    let mut lesson = Lesson::blank(fingerpost::store::random::lesson_id(), "Test", &rig);
    lesson.passages.push(passage.clone());
    (lesson, passage)
}

fn played(head: &str, bars: &str, options: Options) -> Score {
    let (lesson, written) = lesson_with("standard", None, head, bars);
    passage(&lesson, &written, PassagePart::default(), options).unwrap().score
}

pub(super) const COMMON: &str = r#"meter: "4/4", tempo: "1/4=120""#;

/// One voice.
pub(super) fn bar(events: &str) -> String {
    format!("(voices: [[{events}]])")
}

/// A note on string 1.
pub(super) fn on_one(length: &str, fret: u8, more: &str) -> String {
    format!(r#"(length: "{length}", notes: [(string: 1, fret: {fret}{more})])"#)
}

pub(super) fn starts(score: &Score) -> Vec<f64> {
    score.notes.iter().map(|note| note.start.0).collect()
}

#[track_caller]
pub(super) fn about(found: &[f64], expected: &[f64]) {
    let same = found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9);
    assert!(same, "found {found:?}\nexpected {expected:?}");
}

/// The only note of a bar that holds one half note on string 1, fret 5 (A4, MIDI 69), at 120: one second.
fn one(techniques: &str) -> SoundedNote {
    let events = on_one("1/2", 5, &format!(", techniques: [{techniques}]"));
    let score = played(COMMON, &bar(&events), Options::default());
    assert_eq!(score.notes.len(), 1, "{techniques}");
    score.notes[0].clone()
}

#[test]
fn notes_start_when_meter_and_tempo_say() {
    // 120 quarters: half a second each. The second bar is 3/8 at 60 eighths: a second each.
    let first = bar(&[on_one("1/4", 1, ""), on_one("1/2", 2, ""), on_one("1/4", 3, "")].join(","));
    let second = format!(
        r#"(meter: "3/8", tempo: "1/8=60", voices: [[{}]])"#,
        [on_one("1/8", 1, ""), on_one("1/4", 2, "")].join(",")
    );
    let third = bar(&on_one("1/8", 3, ""));
    let score = played(COMMON, &[first, second, third].join(","), Options::default());
    about(&starts(&score), &[0.0, 0.5, 1.5, 2.0, 3.0, 5.0]);
    assert_eq!(score.end, Seconds(8.0));
    // Half as fast, all of it takes twice as long.
    let bars = bar(&[on_one("1/4", 1, ""), on_one("1/2", 2, ""), on_one("1/4", 3, "")].join(","));
    let slowly = played(COMMON, &bars, Options { percent: 50, ..Options::default() });
    about(&starts(&slowly), &[0.0, 1.0, 3.0]);
}

#[test]
fn tuplets_divide_their_time_evenly() {
    // Three eighths in the time of a quarter, five sixteenths in the time of four.
    let threes = vec![on_one("1/8 3:2", 1, ""); 3].join(",");
    let fives = vec![on_one("1/16 5:4", 2, ""); 5].join(",");
    let score = played(COMMON, &bar(&[threes, fives].join(",")), Options::default());
    let thirds = [0.0, 0.5 / 3.0, 1.0 / 3.0];
    let fifths = [0.5, 0.6, 0.7, 0.8, 0.9];
    about(&starts(&score), &[&thirds[..], &fifths[..]].concat());
}

#[test]
fn repeats_and_endings_are_taken() {
    let whole = |fret: u8, more: &str| format!(r#"({more}voices: [[{}]])"#, on_one("1/1", fret, ""));
    let bars =
        [whole(0, "repeat_start: true, "), whole(1, "endings: [1], repeat_end: 2, "), whole(2, "endings: [2], ")];
    let (lesson, written) = lesson_with("standard", None, COMMON, &bars.join(","));
    let score = passage(&lesson, &written, PassagePart::default(), Options::default()).unwrap().score;
    let pitches: Vec<f64> = score.notes.iter().map(|note| note.pitch.0).collect();
    assert_eq!(pitches, [64.0, 65.0, 64.0, 66.0]);
    about(&starts(&score), &[0.0, 2.0, 4.0, 6.0]);
    let bars: Vec<Option<usize>> = score.marks.iter().map(|mark| mark.bar).collect();
    assert_eq!(bars, [Some(0), Some(1), Some(0), Some(2)]);
    // A part within the repeat is played once.
    let part = PassagePart { bars: Some(BarRange { first: 2, last: 3 }), ..PassagePart::default() };
    assert_eq!(passage(&lesson, &written, part, Options::default()).unwrap().score.notes.len(), 2);
}

#[test]
fn swung_eighths_are_long_and_short_and_triplets_stay_even() {
    // Two thirds of the beat, common practice.
    let events = [vec![on_one("1/8", 1, ""); 4].join(","), vec![on_one("1/8 3:2", 2, ""); 3].join(",")].join(",");
    let head = format!("{COMMON}, feel: SwungEighths");
    let score = played(&head, &bar(&events), Options::default());
    let (third, half) = (0.5 / 3.0, 0.5);
    about(&starts(&score), &[0.0, 2.0 * third, half, half + 2.0 * third, 1.0, 1.0 + third, 1.0 + 2.0 * third]);
    // 6/8 falls in threes by itself.
    let score = played(
        r#"meter: "6/8", tempo: "1/8=120", feel: SwungEighths"#,
        &bar(&vec![on_one("1/8", 1, ""); 6].join(",")),
        Options::default(),
    );
    about(&starts(&score), &[0.0, 0.5, 1.0, 1.5, 2.0, 2.5]);
}

#[test]
fn clicks_follow_the_meter_and_a_bar_is_counted_in() {
    let bars = [bar(&on_one("1/1", 1, "")), format!(r#"(meter: "6/8", voices: [[{}]])"#, on_one("1/2.", 1, ""))];
    let options = Options { click: true, count_in: true, percent: 100 };
    let score = played(COMMON, &bars.join(","), options);
    let (bar, group, beat) = (Accent::Bar, Accent::Group, Accent::Beat);
    let accents: Vec<Accent> = score.clicks.iter().map(|click| click.accent).collect();
    assert_eq!(accents, [bar, beat, beat, beat, bar, beat, beat, beat, bar, beat, beat, group, beat, beat]);
    let times: Vec<f64> = score.clicks.iter().map(|click| click.at.0).collect();
    about(&times, &[0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.25, 4.5, 4.75, 5.0, 5.25]);
    about(&starts(&score), &[2.0, 4.0]);
    assert_eq!(score.mark_at(Seconds(1.9)).map(|mark| mark.bar), Some(None));
    assert_eq!(score.mark_at(Seconds(4.0)).map(|mark| (mark.bar, mark.tick.0)), Some((Some(1), 0)));
}

#[test]
fn a_pickup_is_counted_from_the_end_of_its_bar() {
    let bars = format!("(pickup: true, voices: [[{}]]), {}", on_one("1/4", 1, ""), bar(&on_one("1/1", 2, "")));
    let score = played(COMMON, &bars, Options { click: true, ..Options::default() });
    about(&starts(&score), &[0.0, 0.5]);
    let first = &score.clicks[..2];
    assert_eq!(
        first.iter().map(|click| (click.at.0, click.accent)).collect::<Vec<_>>(),
        [(0.0, Accent::Beat), (0.5, Accent::Bar)]
    );
}

#[test]
fn grace_notes_and_rakes_lie_before_the_beat() {
    let grace = r#"(length: "1/4", notes: [(string: 1, fret: 5)], grace: [(string: 1, fret: 3, join: HammerOn)])"#;
    let events = format!("{}, {grace}", on_one("1/4", 1, ""));
    let score = played(COMMON, &bar(&events), Options::default());
    assert!(score.notes[1].start < Seconds(0.5) && score.notes[1].start > Seconds(0.4));
    assert_eq!((score.notes[2].start.0, score.notes[2].attack), (0.5, Attack::Hammer));
    // At the very beginning they begin the score, and the beat comes that much later.
    let raked = r#"(length: "1/4", notes: [(string: 1, fret: 5)], stroke: RakeDown)"#;
    let score = played(COMMON, &bar(raked), Options::default());
    let strings: Vec<(usize, Muting)> = score.notes.iter().map(|note| (note.string, note.muting)).collect();
    assert_eq!(strings, [(2, Muting::Dead), (3, Muting::Dead), (4, Muting::Dead), (5, Muting::None)]);
    assert_eq!(score.notes[0].start.0, 0.0);
    assert_eq!(score.marks[0].at, score.notes[3].start);
}

#[test]
fn strokes_cross_the_strings_in_their_direction_and_begin_on_the_beat() {
    let chord = |stroke: &str| {
        let notes = "[(string: 3, fret: 0), (string: 1, fret: 0), (string: 2, fret: 0)]";
        bar(&format!(r#"(length: "1/1", notes: {notes}, stroke: {stroke})"#))
    };
    for (stroke, order) in
        [("Down", [3, 4, 5]), ("ArpeggioDown", [3, 4, 5]), ("Up", [5, 4, 3]), ("ArpeggioUp", [5, 4, 3])]
    {
        let score = played(COMMON, &chord(stroke), Options::default());
        assert_eq!(score.notes.iter().map(|note| note.string).collect::<Vec<_>>(), order, "{stroke}");
        assert_eq!(score.notes[0].start.0, 0.0);
        assert!(score.notes[0].start < score.notes[1].start && score.notes[1].start < score.notes[2].start);
    }
    let block = chord("Down").replace(", stroke: Down", "");
    assert!(played(COMMON, &block, Options::default()).notes.iter().all(|note| note.start == Seconds(0.0)));
}

#[test]
fn joins_lead_into_the_next_note() {
    let two = |join: &str, to: u8| {
        let events = [on_one("1/2", 5, &format!(", join: {join}")), on_one("1/2", to, "")].join(",");
        played(COMMON, &bar(&events), Options::default()).notes
    };
    let [tied] = &two("Tie", 5)[..] else { panic!("one note") };
    assert_eq!((tied.start.0, tied.end.0, tied.path.len()), (0.0, 2.0, 0));
    let [slid] = &two("Slide", 7)[..] else { panic!("one note") };
    assert_eq!(
        (
            slid.end.0,
            slid.pitch_after(Seconds(0.5)).0,
            slid.pitch_after(Seconds(1.0)).0,
            slid.pitch_after(Seconds(1.9)).0
        ),
        (2.0, 69.0, 71.0, 71.0)
    );
    let shifted = two("SlideAndPick", 7);
    assert_eq!(
        (shifted[0].pitch_after(Seconds(1.0)).0, shifted[1].start.0, shifted[1].attack),
        (71.0, 1.0, Attack::Pluck)
    );
    for (join, to, attack) in [("HammerOn", 7, Attack::Hammer), ("PullOff", 3, Attack::Pull)] {
        let notes = two(join, to);
        assert_eq!((notes[1].start.0, notes[1].attack), (1.0, attack), "{join}");
    }
}

#[test]
fn every_bend_ends_where_it_should() {
    for (technique, checks) in [
        (r#"Bend("1/2")"#, [(0.0, 69.0), (0.5, 70.0), (0.99, 70.0)]),
        (r#"BendRelease("1")"#, [(0.0, 69.0), (0.4, 71.0), (0.99, 69.0)]),
        (r#"PreBend("1/4")"#, [(0.0, 69.5), (0.5, 69.5), (0.99, 69.5)]),
        (r#"PreBendRelease("1 1/2")"#, [(0.0, 72.0), (0.2, 72.0), (0.99, 69.0)]),
        (r#"TremoloBarDip("1")"#, [(0.0, 69.0), (0.14, 67.0), (0.99, 69.0)]),
        (r#"TremoloBarDive("2")"#, [(0.0, 69.0), (0.25, 69.0), (1.0, 65.0)]),
        ("SlideUpInto", [(0.0, 66.0), (0.1, 69.0), (0.99, 69.0)]),
        ("SlideDownInto", [(0.0, 72.0), (0.1, 69.0), (0.99, 69.0)]),
        // Not below the first fret, which is F4.
        ("SlideAwayDown", [(0.0, 69.0), (0.8, 69.0), (1.0, 65.0)]),
        ("SlideAwayUp", [(0.0, 69.0), (0.8, 69.0), (1.0, 74.0)]),
    ] {
        let note = one(technique);
        for (at, pitch) in checks {
            assert!(
                (note.pitch_after(Seconds(at)).0 - pitch).abs() < 1e-9,
                "{technique} at {at}: {}",
                note.pitch_after(Seconds(at)).0
            );
        }
    }
}

#[test]
fn what_is_done_to_the_string_is_done() {
    assert_eq!(one("PalmMute").muting, Muting::Palm);
    assert_eq!(one("Dead").muting, Muting::Dead);
    assert!(one("Ghost").strength < one("").strength);
    assert_eq!(one("LetRing").end, Seconds(f64::INFINITY));
    assert_eq!(one("Tap").attack, Attack::Tap);
    assert_eq!(one("FrettingHandTap").attack, Attack::Hammer);
    assert_eq!(one("PinchHarmonic").attack, Attack::Pinch);
    assert_eq!(one("Vibrato").vibratos.len(), 1);
    // The nodes of the fourth and second partial: instrument::harmonics has their sources.
    let natural = one("NaturalHarmonic");
    assert_eq!((natural.pitch.0, natural.partial), (64.0, 4));
    let touched = one("TouchedHarmonic(17)");
    assert_eq!((touched.pitch.0, touched.partial, touched.attack), (69.0, 2, Attack::Pluck));
    let tapped = one("TappedHarmonic(17)");
    assert_eq!((tapped.pitch.0, tapped.partial, tapped.attack), (69.0, 2, Attack::Tap));
}

#[test]
fn trills_and_tremolos_fill_their_note() {
    let many = |technique: &str| {
        let events = on_one("1/2", 5, &format!(", techniques: [{technique}]"));
        played(COMMON, &bar(&events), Options::default()).notes
    };
    let trill = many("Trill(7)");
    assert_eq!(trill.len(), 12);
    assert_eq!(trill[0].attack, Attack::Pluck);
    for (number, note) in trill.iter().enumerate().skip(1) {
        let (pitch, attack) = if number % 2 == 1 { (71.0, Attack::Hammer) } else { (69.0, Attack::Pull) };
        assert_eq!((note.pitch.0, note.attack), (pitch, attack), "{number}");
    }
    let below = many("Trill(3)");
    assert_eq!((below[1].pitch.0, below[1].attack, below[2].attack), (67.0, Attack::Pull, Attack::Hammer));
    let tremolo = many("TremoloPicking");
    assert!(tremolo.iter().all(|note| note.attack == Attack::Pluck && note.pitch == FinePitch(69.0)));
    assert_eq!((tremolo.len(), tremolo[12].end.0), (13, 1.0));
}

#[test]
fn a_part_begins_and_ends_where_it_is_said() {
    let bars = [bar(&vec![on_one("1/4", 1, ""); 4].join(",")), bar(&vec![on_one("1/4", 2, ""); 4].join(","))].join(",");
    let (lesson, written) = lesson_with("standard", None, COMMON, &bars);
    let quarter = NoteValue::Quarter.ticks().0;
    let part = PassagePart {
        bars: Some(BarRange { first: 1, last: 2 }),
        begin: None,
        from: Ticks(2 * quarter),
        to: Some(Ticks(3 * quarter)),
    };
    let score = passage(&lesson, &written, part, Options::default()).unwrap().score;
    about(&starts(&score), &[0.0, 0.5, 1.0, 1.5, 2.0]);
    assert_eq!((score.end.0, score.marks[0].bar, score.marks[0].tick.0), (2.5, Some(0), 2 * quarter));
}

#[test]
fn capo_and_tuning_are_heard() {
    let note = bar(&on_one("1/4", 2, ""));
    for (tuning, capo, pitch) in
        [("standard", None, 66.0), ("standard", Some("3"), 69.0), ("half step down", None, 65.0)]
    {
        let (lesson, written) = lesson_with(tuning, capo, COMMON, &note);
        let score = passage(&lesson, &written, PassagePart::default(), Options::default()).unwrap().score;
        assert_eq!(score.notes[0].pitch, FinePitch(pitch), "{tuning} {capo:?}");
    }
}

#[test]
fn what_cannot_be_played_is_refused_with_the_reason() {
    let (lesson, written) = lesson_with("standard", None, COMMON, &bar(&on_one("1/4", 1, "")));
    let options = |percent| Options { percent, ..Options::default() };
    for percent in [0, 24, 151, 255] {
        assert_eq!(
            passage(&lesson, &written, PassagePart::default(), options(percent)),
            Err(PerformanceError::Tempo(percent))
        );
    }
    let part = PassagePart { bars: Some(BarRange { first: 2, last: 3 }), ..PassagePart::default() };
    assert!(matches!(passage(&lesson, &written, part, options(100)), Err(PerformanceError::Length(_))));
    let none = Passage { bars: Vec::new(), ..written.clone() };
    assert!(matches!(passage(&lesson, &none, PassagePart::default(), options(100)), Err(PerformanceError::Empty(_))));
    let endless =
        Passage { bars: vec![Bar { repeat_start: true, repeat_end: Some(255), ..Bar::default() }; 1000], ..written };
    assert_eq!(passage(&lesson, &endless, PassagePart::default(), options(100)), Err(PerformanceError::TooLong));
    let silent = &lesson.segments[0];
    assert!(matches!(segment(&lesson, silent, options(100)), Err(PerformanceError::Empty(_))));
}

#[test]
fn a_shape_is_heard_as_it_is_asked_for() {
    let (instrument, tuning) = setup_from_text(Some("guitar"), Some("standard")).unwrap();
    let rig = Rig::new(instrument, tuning, None).unwrap();
    let c: Shape = "x32010".parse().unwrap();
    let pitches = |manner: Manner, heard: fn(usize) -> bool| {
        let score = shape(&rig, &c, heard, manner);
        score.notes.iter().map(|note| (note.string, note.pitch.0)).collect::<Vec<_>>()
    };
    let all = [(1, 48.0), (2, 52.0), (3, 55.0), (4, 60.0), (5, 64.0)];
    assert_eq!(pitches(Manner::StrumDown, |_| true), all);
    assert_eq!(pitches(Manner::Slowly, |_| true), all);
    assert_eq!(pitches(Manner::StrumUp, |_| true), all.iter().rev().copied().collect::<Vec<_>>());
    assert_eq!(pitches(Manner::Bass, |_| true), [(1, 48.0)]);
    assert_eq!(pitches(Manner::Bass, |index| index != 1), [(2, 52.0)]);
    assert_eq!(
        pitches(Manner::String(fingerpost::instrument::neck::StringNumber::new(3).unwrap()), |_| true),
        [(3, 55.0)]
    );
    // On a ukulele the lowest note is not on the first string that is struck.
    let (instrument, tuning) = setup_from_text(Some("ukulele"), None).unwrap();
    let ukulele = Rig::new(instrument, tuning, None).unwrap();
    let slowly = shape(&ukulele, &"0003".parse().unwrap(), |_| true, Manner::Slowly);
    assert_eq!(slowly.notes[0].pitch, FinePitch(60.0));
    // Nothing held down sounds nothing.
    assert_eq!(shape(&rig, &"xxxxxx".parse().unwrap(), |_| true, Manner::StrumDown).end, Seconds(0.0));
}

#[test]
fn a_name_is_heard_in_close_position_over_its_root() {
    for (symbol, expected) in [
        ("C", vec![48.0, 52.0, 55.0]),
        ("Am7", vec![57.0, 60.0, 64.0, 67.0]),
        ("C9", vec![48.0, 52.0, 55.0, 58.0, 62.0]),
        ("C/E", vec![40.0, 48.0, 52.0, 55.0]),
        ("E/D", vec![50.0, 52.0, 56.0, 59.0]),
    ] {
        let score = plain_form(&symbol.parse().unwrap(), Manner::Together);
        assert_eq!(score.notes.iter().map(|note| note.pitch.0).collect::<Vec<_>>(), expected, "{symbol}");
        // The lowest note of a bass is E1.
        let drone =
            over_a_drone(score, "D".parse::<fingerpost::theory::pitch::NoteName>().unwrap().pitch_class()).drone;
        assert_eq!(drone.map(|drone| drone.pitch.0), Some(38.0));
    }
}

/// Everything is in order, on strings that there are, within the score.
fn check_order(score: &Score) -> Result<(), TestCaseError> {
    prop_assert!(score.end.is_finite());
    prop_assert!(score.notes.windows(2).all(|pair| pair[0].start <= pair[1].start));
    prop_assert!(score.clicks.windows(2).all(|pair| pair[0].at <= pair[1].at));
    prop_assert!(score.marks.windows(2).all(|pair| pair[0].at <= pair[1].at));
    for note in &score.notes {
        prop_assert!(note.string < score.strings.len());
        prop_assert!(note.start.0 >= 0.0 && note.start <= score.end && note.end >= note.start, "{:?}", note);
        prop_assert!(note.path.windows(2).all(|pair| pair[0].at < pair[1].at), "{:?}", note);
        prop_assert!(
            note.pitch.0.is_finite() && note.path.iter().all(|point| point.pitch.0.is_finite() && point.at.0 > 0.0)
        );
        prop_assert!((0.0..=1.0).contains(&note.strength.0) && note.partial >= 1);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn everything_that_a_guitar_can_play_is_played(
        written in any_passage(Music { strings: 6, frets: 19, ..Music::everything() }),
        percent in 25u8..=150,
        click: bool,
        count_in: bool,
        (times, slow_times, slow_percent) in (1u8..3, 0u8..3, any::<u8>()),
    ) {
        let (mut lesson, _) = lesson_with("standard", None, COMMON, "");
        lesson.passages = vec![written.clone()];
        let used = PassageUse { times, slow_times, slow_percent, ..PassageUse::whole(written.id) };
        lesson.segments[0].passages = vec![used];
        let options = Options { percent, click, count_in };
        if written.bars.is_empty() {
            prop_assert!(matches!(passage(&lesson, &written, PassagePart::default(), options), Err(PerformanceError::Empty(_))));
            return Ok(());
        }
        let once = passage(&lesson, &written, PassagePart::default(), options).unwrap().score;
        check_order(&once)?;
        // The same length as the plan's, but for rounding to milliseconds, and grace notes before the first beat.
        let counted = if count_in { count_in_length(&written, None, percent).unwrap().0 } else { 0 };
        let planned = f64::from(passage_length(&written, None, percent).unwrap().0 + counted) / 1000.0;
        prop_assert!((-0.002..1.0).contains(&(once.end.0 - planned)), "{} {}", once.end.0, planned);
        let whole = segment(&lesson, &lesson.segments[0], options).unwrap().score;
        check_order(&whole)?;
        let struck = |score: &Score| score.notes.iter().filter(|note| note.attack == Attack::Pluck).count();
        prop_assert!(whole.end >= once.end && struck(&whole) >= struck(&once));
    }

    #[test]
    fn whatever_is_written_can_be_played(lesson in any_lesson(), percent in 25u8..=150, click: bool, count_in: bool) {
        for written in &lesson.passages {
            let Ok(found) = passage(&lesson, written, PassagePart::default(), Options { percent, click, count_in }) else { continue };
            let rig = lesson.passage_rig(written).unwrap();
            let score = found.score;
            prop_assert_eq!(score.strings.len(), rig.strings().count());
            check_order(&score)?;
            // Plain notes sound what their places sound.
            let plain = written.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0).flat_map(|event| &event.notes);
            for note in plain.filter(|note| note.techniques.is_empty()) {
                // Random lessons know notes that their neck does not have; check reports them.
                let Ok(sounding) = rig.sounding(note.string, note.fret) else { continue };
                let pitch = f64::from(sounding.number());
                let index = note.string.index(score.strings.len()).unwrap();
                let reaches = |sounded: &SoundedNote| {
                    sounded.pitch.0 == pitch || sounded.path.iter().any(|point| (point.pitch.0 - pitch).abs() < 1e-6)
                };
                prop_assert!(score.notes.iter().any(|sounded| sounded.string == index && reaches(sounded)), "{:?}", note);
            }
        }
    }
}

#[test]
fn a_segment_is_played_as_it_is_planned() {
    let bars = [bar(&on_one("1/1", 1, "")), bar(&on_one("1/1", 2, "")), bar(&on_one("1/1", 3, ""))].join(",");
    let (mut lesson, written) = lesson_with("standard", None, COMMON, &bars);
    let used = PassageUse {
        bars: Some(BarRange { first: 2, last: 3 }),
        times: 2,
        slow_times: 1,
        slow_percent: 50,
        ..PassageUse::whole(written.id)
    };
    lesson.segments[0].passages = vec![used];
    let played = |options| segment(&lesson, &lesson.segments[0], options).unwrap().score;
    // A bar lasts 2 s, and 4 s slowly. Twice two bars, half a second, two slow bars.
    let score = played(Options::default());
    about(&starts(&score), &[0.0, 2.0, 4.0, 6.0, 8.5, 12.5]);
    assert_eq!(score.notes.iter().map(|note| note.pitch.0).collect::<Vec<_>>(), [66.0, 67.0, 66.0, 67.0, 66.0, 67.0]);
    assert_eq!(score.end, Seconds(16.5));
    // Each tempo is counted in once.
    about(&starts(&played(Options { count_in: true, ..Options::default() })), &[2.0, 4.0, 6.0, 8.0, 14.5, 18.5]);
    // No slower than a quarter of the tempo: 8 s a bar.
    about(&starts(&played(Options { percent: 25, ..Options::default() })), &[0.0, 8.0, 16.0, 24.0, 32.5, 40.5]);
    let wrong = segment(&lesson, &lesson.segments[0], Options { percent: 151, ..Options::default() });
    assert_eq!(wrong, Err(PerformanceError::Tempo(151)));
}

#[test]
fn an_example_file_of_the_midi_standard_is_heard_when_the_standard_says() {
    // Standard MIDI Files 1.0 (RP-001), the example in format 0; its notes as mido reads them, at 96 ticks and half a
    // second a quarter: tests/reference/smf_examples.tsv.
    let rows = rows(include_str!("../../reference/smf_examples.tsv"), ["hex", "notes"]);
    let [hex, notes] = rows[0];
    let bytes: Vec<u8> = hex.split(' ').map(|byte| u8::from_str_radix(byte, 16).unwrap()).collect();
    let line = read(&bytes, TrackChoice::default()).unwrap().line;
    let (mut lesson, _) = lesson_with("standard", None, COMMON, "");
    let rig = lesson.passage_rig(&lesson.passages[0]).unwrap();
    lesson.passages[0] =
        line.placed(&rig, Limits::NONE, ChordNames::PlayedAs, PassageId(1), "example".into()).unwrap().passage;
    let score = passage(&lesson, &lesson.passages[0], PassagePart::default(), Options::default()).unwrap().score;
    let mut found: Vec<(f64, f64)> = score.notes.iter().map(|note| (note.start.0, note.pitch.0)).collect();
    found.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let expected = notes.split(';').map(|note| {
        let mut words = note.split(' ');
        let start = words.next().unwrap().split('-').next().unwrap().parse::<f64>().unwrap() / 96.0 * 0.5;
        (start, words.nth(1).unwrap()[1..].parse::<f64>().unwrap())
    });
    assert_eq!(found, expected.collect::<Vec<_>>());
    assert_eq!(score.end, Seconds(2.0));
}

/// The notes of two tied halves on string 1, fret 5, at 120.
fn tied(first: &str, second: &str) -> Vec<SoundedNote> {
    let events = [
        on_one("1/2", 5, &format!(", techniques: [{first}], join: Tie")),
        on_one("1/2", 5, &format!(", techniques: [{second}]")),
    ];
    played(COMMON, &bar(&events.join(",")), Options::default()).notes
}

/// The pitch that is heard at `seconds`, of the note that was struck last.
fn heard_at(notes: &[SoundedNote], seconds: f64) -> Option<f64> {
    let last = notes.iter().rev().find(|note| note.start.0 <= seconds)?;
    (seconds < last.end.0).then(|| last.steady_pitch_after(Seconds(seconds - last.start.0)).0)
}

#[test]
fn a_tie_holds_the_last_stroke_of_what_was_repeated() {
    for technique in ["TremoloPicking", "Trill(7)"] {
        let notes = tied(technique, "");
        assert_eq!(heard_at(&notes, 1.5), Some(69.0), "{technique}");
        assert_eq!(notes.iter().map(|note| note.end.0).fold(0.0, f64::max), 2.0);
    }
}

#[test]
fn tied_tremolos_and_trills_go_on_evenly() {
    for technique in ["TremoloPicking", "Trill(7)"] {
        let notes = tied(technique, technique);
        let gaps: Vec<f64> = notes.windows(2).map(|pair| (pair[1].start - pair[0].start).0).collect();
        assert!(gaps.iter().all(|gap| (0.07..0.09).contains(gap)), "{technique}: {gaps:?}");
        if technique.starts_with("Trill") {
            assert!(notes.windows(2).all(|pair| pair[0].pitch != pair[1].pitch && pair[1].attack != Attack::Pluck));
        }
    }
}

#[test]
fn a_slide_leaves_a_tremolo_from_its_last_stroke() {
    let events = [on_one("1/2", 5, ", techniques: [TremoloPicking], join: Slide"), on_one("1/2", 7, "")];
    let notes = played(COMMON, &bar(&events.join(",")), Options::default()).notes;
    assert_eq!(
        (heard_at(&notes, 0.5), heard_at(&notes, 1.0), heard_at(&notes, 1.9)),
        (Some(69.0), Some(71.0), Some(71.0))
    );
}

#[test]
fn a_bend_is_held_over_a_tie_and_let_down_from_where_it_is() {
    let semitones = |first: &str, second: &str| {
        let [note] = &tied(first, second)[..] else { panic!("one note") };
        [0.0, 0.9, 1.1, 1.99].map(|at| note.pitch_after(Seconds(at)).0 - 69.0)
    };
    assert_eq!(semitones(r#"Bend("1")"#, ""), [0.0, 2.0, 2.0, 2.0]);
    assert_eq!(semitones(r#"Bend("1")"#, r#"PreBend("1")"#), [0.0, 2.0, 2.0, 2.0]);
    assert_eq!(semitones(r#"Bend("1")"#, r#"PreBendRelease("1")"#), [0.0, 2.0, 2.0, 0.0]);
    assert_eq!(semitones(r#"Bend("1")"#, r#"Bend("1")"#), [0.0, 2.0, 2.0, 2.0]);
    assert_eq!(semitones(r#"Bend("1")"#, r#"BendRelease("1")"#), [0.0, 2.0, 2.0, 0.0]);
    // A bend of the second half leaves the first alone.
    assert_eq!(semitones("", r#"PreBend("1")"#)[..2], [0.0, 0.0]);
}

#[test]
fn a_vibrato_goes_on_over_a_tie() {
    for (first, second) in [("Vibrato", "Vibrato"), ("Vibrato", "")] {
        let [note] = &tied(first, second)[..] else { panic!("one note") };
        let [vibrato] = &note.vibratos[..] else { panic!("{first} {second}") };
        assert!(vibrato.from < Seconds(0.5) && vibrato.until == Seconds(f64::INFINITY), "{first} {second}");
    }
    // Where it sets in only on the second half, the first is still.
    let [note] = &tied("", "Vibrato")[..] else { panic!("one note") };
    assert!(matches!(&note.vibratos[..], [vibrato] if vibrato.from >= Seconds(1.0)));
    // It is one movement of the finger, however often the string is picked meanwhile.
    let events = on_one("1/2", 5, ", techniques: [TremoloPicking, Vibrato]");
    let notes = played(COMMON, &bar(&events), Options::default()).notes;
    let whole = one("Vibrato");
    for note in &notes {
        assert!(
            (note.pitch_after(Seconds(0.03)).0 - whole.pitch_after(Seconds(note.start.0 + 0.03)).0).abs() < 1e-9,
            "{:?}",
            note.start
        );
    }
}

#[test]
fn a_vibrato_rests_while_the_finger_slides() {
    for (second, swings) in [("", false), ("Vibrato", true)] {
        let events = [
            on_one("1/2", 5, ", techniques: [Vibrato], join: Slide"),
            on_one("1/2", 7, &format!(", techniques: [{second}]")),
        ];
        let notes = played(COMMON, &bar(&events.join(",")), Options::default()).notes;
        let [note] = &notes[..] else { panic!("one note") };
        let off = |from: f64, to: f64| {
            let moments = (0..=1000).map(|step| from + (to - from) * f64::from(step) / 1000.0);
            moments
                .map(|at| (note.pitch_after(Seconds(at)).0 - note.steady_pitch_after(Seconds(at)).0).abs())
                .fold(0.0, f64::max)
        };
        assert!(off(0.0, 0.7) > 0.1, "it swings before");
        let begins = note.path[0].at.0;
        assert_eq!(off(begins, 1.05), 0.0, "and rests from {begins} on");
        assert_eq!(off(1.3, 2.0) > 0.1, swings, "`{second}`");
        // It ends in the middle of its swing: the pitch never jumps.
        let steps = (0..4000).map(|step| f64::from(step) * 5e-4).map(|at| note.pitch_after(Seconds(at)).0);
        let jumps = steps.clone().zip(steps.skip(1)).map(|(one, next)| (one - next).abs());
        assert!(jumps.fold(0.0, f64::max) < 0.05);
    }
}

#[test]
fn a_segment_goes_from_one_reference_to_the_next() {
    let (mut lesson, written) =
        lesson_with("standard", None, COMMON, &bar(&on_one("1/1", 5, ", techniques: [Vibrato]")));
    let lower = Setup { id: SetupId(9), reference: Some(Hertz(432.0)), ..lesson.setups[0].clone() };
    lesson.setups.push(lower);
    lesson.passages.push(Passage { id: PassageId(9), setup: Some(SetupId(9)), ..written.clone() });
    lesson.segments[0].passages = vec![PassageUse::whole(written.id), PassageUse::whole(PassageId(9))];
    let heard = segment(&lesson, &lesson.segments[0], Options::default()).unwrap();
    let hertz: Vec<f64> = heard.score.notes.iter().map(|note| tempered(note.pitch.0, heard.reference.0)).collect();
    // String 1, fret 5 is A4: what the two are tuned to.
    about(&hertz, &[440.0, 432.0]);
}

#[test]
fn what_is_done_to_a_tied_note_begins_with_it() {
    for technique in ["SlideUpInto", "SlideDownInto", "TremoloBarDip(\"1\")", "TremoloBarDive(\"1\")", "SlideAwayUp"] {
        let [note] = &tied("", technique)[..] else { panic!("one note") };
        assert!([0.0, 0.5, 0.99].iter().all(|at| note.pitch_after(Seconds(*at)).0 == 69.0), "{technique}");
    }
}
