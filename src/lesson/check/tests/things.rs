use super::sound::{bar, finds, note, sound, voicing};
use crate::instrument::body::{Millimetres, ShortString};
use crate::instrument::catalogue;
use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::check::{FindingKind, check};
use crate::lesson::document::{Lesson, Piece};
use crate::lesson::id::{InstrumentId, PassageId, PieceId, SetupId, VoicingId};
use crate::theory::pitch::Hertz;
use crate::theory::reading::Doubt;

fn string(number: u8) -> StringNumber {
    StringNumber::new(number).unwrap()
}

#[test]
fn an_empty_lesson_is_a_note_not_a_problem() {
    let lesson = Lesson::default();
    let found: Vec<String> = check(&lesson).iter().map(|finding| finding.text(&lesson)).collect();
    assert_eq!(
        found,
        [
            "note: lesson: there is nothing in this lesson yet (add a segment or a piece)",
            "warning: header: the lesson has no title (give it one)"
        ]
    );
}

#[test]
fn identities_are_given_once() {
    finds(
        |lesson| {
            lesson.pieces.push(lesson.pieces[0].clone());
            lesson.pieces.push(lesson.pieces[0].clone());
        },
        &["problem: piece \"Kiln Street\": 3 pieces share one number in the file; links reach only the first \
           (give the others numbers of their own)"],
    );
}

#[test]
fn every_sort_of_link_is_followed() {
    let gone = |place: &str, word: &str| {
        format!("problem: {place}: the {word} that this links to is gone (choose another {word}, or delete the link)")
    };
    #[track_caller]
    fn one(change: impl FnOnce(&mut Lesson), expected: &str) {
        finds(change, &[expected]);
    }
    let setup = "tuning \"capo 3\"";
    one(|lesson| lesson.setups[1].instrument = InstrumentId(9), &gone(setup, "instrument"));
    one(|lesson| lesson.pieces[0].setup = Some(SetupId(9)), &gone("piece \"Kiln Street\"", "tuning"));
    one(|lesson| lesson.passages[0].piece = Some(PieceId(9)), &gone("passage \"verse\"", "piece"));
    one(|lesson| lesson.passages[0].setup = Some(SetupId(9)), &gone("passage \"verse\"", "tuning"));
    one(
        |lesson| lesson.passages[0].bars[0].voices[0].0[1].voicing = Some(VoicingId(9)),
        &gone("passage \"verse\", bar 1, beat 2", "voicing"),
    );
    one(|lesson| lesson.voicings[0].setup = Some(SetupId(9)), &gone("voicing \"C\"", "tuning"));
    one(|lesson| lesson.segments[2].setup = Some(SetupId(9)), &gone("segment 3 \"bye\"", "tuning"));
    one(|lesson| lesson.segments[2].pieces = vec![PieceId(9)], &gone("segment 3 \"bye\"", "piece"));
    one(|lesson| lesson.segments[2].passages[0].passage = PassageId(9), &gone("segment 3 \"bye\"", "passage"));
    one(|lesson| lesson.segments[2].voicings = vec![VoicingId(9)], &gone("segment 3 \"bye\"", "voicing"));
}

#[test]
fn titles_are_given() {
    finds(
        |lesson| {
            lesson.header.title.clear();
            lesson.setups[0].name = " ".into();
            lesson.segments[1].title.clear();
        },
        &[
            "warning: header: the lesson has no title (give it one)",
            "warning: tuning 1: this tuning has no title (give it one)",
            "warning: segment 2: this segment has no title (give it one)",
        ],
    );
}

#[test]
fn text_that_acts_instead_of_showing_is_named_with_its_place() {
    finds(
        |lesson| {
            lesson.header.rights = "two\nlines are fine".into();
            lesson.header.author = "a\nb".into();
            lesson.pieces[0].notes = "tab\tand\u{7}\u{7}bell".into();
            lesson.segments[0].talking_points = vec!["fine".into(), "\u{202E}reversed".into()];
        },
        &[
            "warning: header: the author holds a line end, which would act instead of showing (type that text again)",
            "warning: piece \"Kiln Street\": the note holds the control character U+0007 and 1 more like it, which would \
             act instead of showing (type that text again)",
            "warning: segment 1 \"hello\": talking point 2 holds the control character U+202E, which would act instead of \
             showing (type that text again)",
        ],
    );
}

#[test]
fn no_finding_sends_a_control_character() {
    let act = "\u{1b}]0;x\u{7}\u{9b}";
    let mut lesson = super::sound::sound();
    lesson.header.title = act.into();
    lesson.instruments[0].body.name = act.into();
    lesson.instruments[0].body.strings = 4;
    for setup in &mut lesson.setups {
        setup.name = act.into();
    }
    lesson.pieces[0].title = act.into();
    lesson.passages[0].title = act.into();
    let event = &mut lesson.passages[0].bars[0].voices[0].0[0];
    event.chord = Some(format!("A{act}"));
    event.voicing = Some(VoicingId(1));
    lesson.voicings[0].readings = vec![act.into()];
    lesson.segments[0].title = act.into();
    lesson.segments[1].setup = Some(SetupId(2));
    let findings = check(&lesson);
    assert!(findings.len() > 8);
    for finding in findings {
        assert!(!finding.text(&lesson).contains(char::is_control), "{finding:?}");
    }
}

#[test]
fn numbers_no_instrument_has_are_found() {
    let scale = |lesson: &mut Lesson, millimetres: f64| lesson.instruments[0].body.scale = Millimetres(millimetres);
    for (millimetres, text) in [(0.0, "0"), (-648.0, "-648"), (f64::NAN, "NaN"), (f64::INFINITY, "inf")] {
        let expected = format!(
            "problem: instrument \"guitar\": a scale length of {text} mm (expected 150 to 1500 mm; 648 mm is usual for a guitar)"
        );
        finds(|lesson| scale(lesson, millimetres), &[&expected]);
    }
    finds(|lesson| scale(lesson, 346.0), &[]);
    for (hertz, text) in [(299.0, "299"), (f64::NAN, "NaN"), (4400.0, "4400")] {
        let expected = format!(
            "problem: tuning \"standard\": a reference pitch of {text} Hz for A4 (expected 300 to 600 Hz; 440 Hz is usual)"
        );
        finds(|lesson| lesson.setups[0].reference = Some(Hertz(hertz)), &[&expected]);
    }
    finds(|lesson| lesson.setups[0].reference = Some(Hertz(415.0)), &[]);
}

#[test]
fn setups_fit_their_instrument() {
    finds(
        |lesson| {
            let ukulele = &catalogue::instrument_named("ukulele").unwrap().instrument;
            lesson.setups[1].tuning = catalogue::tuning_from_text("standard", ukulele).unwrap();
        },
        &["problem: tuning \"capo 3\": the tuning has 4 strings (G4 C4 E4 A4), the guitar has 6 \
           (give the tuning one note for each string, or choose another instrument)"],
    );
    finds(
        |lesson| lesson.instruments[0].body.short = Some(ShortString { string: string(9), starts_at: Fret::OPEN }),
        &[
            "problem: instrument \"guitar\": string 9 is short, and there are 6 strings (name a string that the instrument has)",
        ],
    );
}

#[test]
fn shapes_fit_their_setup() {
    finds(
        |lesson| lesson.voicings = vec![voicing(1, "C7", "0003")],
        &["problem: voicing \"C7\": `0 0 0 3` has 4 strings, the tuning has 6 (E2 A2 D3 G3 B3 E4) \
           (choose the tuning it is played in, or give the shape one fret for each string)"],
    );
}

#[test]
fn fingers_lie_on_fretted_strings() {
    let index = Some(Finger::Index);
    finds(
        |lesson| lesson.voicings[0].fingers = vec![index, None, None, index, None, None, None],
        &[
            "warning: voicing \"C\": 7 fingers for 6 strings (delete those past the last string)",
            "warning: voicing \"C\", string 3: finger 1 on string 3, which is open (lift the finger, or fret the string)",
            "warning: voicing \"C\", string 6: finger 1 on string 6, which is muted (lift the finger, or fret the string)",
        ],
    );
}

#[test]
fn a_barre_runs_down_over_strings_it_can_hold() {
    let barre = |fret, from, to| Some(Barre { fret: Fret::new(fret).unwrap(), from: string(from), to: string(to) });
    let f = |barre| {
        move |lesson: &mut Lesson| {
            lesson.voicings[0] = voicing(1, "F", "133211");
            lesson.voicings[0].barre = barre;
        }
    };
    finds(f(barre(1, 6, 1)), &[]);
    finds(
        f(barre(2, 6, 3)),
        &["warning: voicing \"F\", string 6: string 6 sounds fret 1 under a barre at fret 2 \
           (shorten the barre, or fret the string at it or above)"],
    );
    finds(
        f(barre(1, 1, 6)),
        &["warning: voicing \"F\": a barre from string 1 to string 6 of 6 \
           (name two strings it has, the higher number first)"],
    );
}

#[test]
fn a_name_covers_every_note_that_surely_sounds() {
    let named = |name: &'static str, doubts: Vec<Doubt>| {
        move |lesson: &mut Lesson| {
            lesson.voicings[0].readings = vec![name.into()];
            lesson.voicings[0].doubts = doubts;
        }
    };
    finds(
        named("Am", Vec::new()),
        &["warning: voicing \"Am\", string 3: string 3 sounds the G, which is not in Am \
           (keep another name, mute that string, or mark it as unsure)"],
    );
    finds(named("Am7/C", Vec::new()), &[]);
    // A rootless or partial chord leaves tones out; that is no contradiction.
    finds(named("Cmaj7", Vec::new()), &[]);
    let not_heard = vec![Doubt::Sure, Doubt::Sure, Doubt::Sure, Doubt::NotHeard];
    finds(named("Am", not_heard), &[]);
    finds(named("the one with the thumb", Vec::new()), &[]);
}

#[test]
fn a_name_may_follow_the_shape_or_the_sound() {
    // x32010 above a capo at fret 3 is played as C and sounds as Eb.
    for (name, sound) in [("C", true), ("Eb", true), ("D", false)] {
        let mut lesson = super::sound::sound();
        lesson.voicings[0] = voicing(1, name, "x32010");
        lesson.voicings[0].setup = Some(SetupId(2));
        // Nothing shows it now, which is another matter.
        let names = check(&lesson).into_iter().filter(|finding| finding.kind != FindingKind::UsedNowhere);
        assert_eq!(names.count() == 0, sound, "{name}");
    }
}

#[test]
fn open_doubts_are_listed() {
    let doubts = |marks: &[Doubt]| marks.to_vec();
    use Doubt::{NotHeard, Sure, Unsure};
    finds(
        |lesson| lesson.voicings[0].doubts = doubts(&[Sure, Unsure]),
        &["warning: voicing \"C\", string 5: unsure whether string 5 sounds \
           (listen again, then mark each string as sure or not heard)"],
    );
    finds(
        |lesson| lesson.voicings[0].doubts = doubts(&[Sure, Unsure, NotHeard, Sure, Sure, Unsure]),
        &["warning: voicing \"C\": unsure whether strings 5 and 1 sound \
           (listen again, then mark each string as sure or not heard)"],
    );
}

#[test]
fn one_shape_has_one_name() {
    finds(
        |lesson| lesson.voicings.push(voicing(2, "Am7/C", "x32010")),
        &["warning: voicing \"Am7/C\": Am7/C here, and C for the same shape in the same tuning \
           (use one name in both places, or keep both names)"],
    );
    // Another spelling of the same symbol, another setup, another shape.
    finds(|lesson| lesson.voicings.extend([voicing(2, "Cmaj", "x32010"), voicing(3, "C", "x32013")]), &[]);
    finds(
        |lesson| {
            lesson.voicings.push(voicing(2, "Eb", "x32010"));
            lesson.voicings[1].setup = Some(SetupId(2));
        },
        &[],
    );
    finds(
        |lesson| {
            lesson.voicings.push(voicing(2, "Am7/C", "x32010"));
            lesson.voicings[0].readings.push("Am7/C".into());
        },
        &[],
    );
}

#[test]
fn the_name_over_a_beat_is_the_voicing_s() {
    let named = |name: &'static str| {
        move |lesson: &mut Lesson| {
            let mut bar = bar("1/1");
            bar.voices[0].0[0].notes = vec![note(2, 1)];
            bar.voices[0].0[0].chord = Some(name.into());
            bar.voices[0].0[0].voicing = Some(VoicingId(1));
            lesson.passages[0].bars = vec![bar];
        }
    };
    finds(named("Cmaj"), &[]);
    finds(
        named("Am7"),
        &["warning: passage \"verse\", bar 1, beat 1: Am7 is written here, and its voicing has the name C \
           (use one name in both places, or keep both names)"],
    );
}

#[test]
fn what_is_used_nowhere_is_noted_once_there_are_segments() {
    let mut lesson = sound();
    let noted = |lesson: &Lesson| -> Vec<String> {
        let found = check(lesson).into_iter().filter(|finding| finding.kind == FindingKind::UsedNowhere);
        found.map(|finding| finding.text(lesson)).collect()
    };
    assert_eq!(
        noted(&lesson),
        [
            "note: tuning \"capo 3\": nothing is played in it (choose it for a segment, or delete it)",
            "note: voicing \"C\": no segment or passage shows it, so it is not on the handout (have a segment show it, or \
             delete it)",
        ]
    );
    for segment in &mut lesson.segments {
        segment.passages.clear();
    }
    lesson.pieces.push(Piece { id: PieceId(2), title: "Kiln Lane".into(), ..lesson.pieces[0].clone() });
    assert_eq!(
        noted(&lesson)[1..3],
        [
            "note: piece \"Kiln Lane\": no segment is about it, and no passage is of it (have a segment be about it, or \
             delete it)",
            "note: passage \"verse\": no segment plays it, so it is not on the handout (have a segment play it, or delete it)",
        ]
    );
    lesson.segments.clear();
    assert_eq!(noted(&lesson), [""; 0]);
}
