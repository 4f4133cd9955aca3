//! How the handout tells setups and keys, and which music stands under which.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::instrument::tuning::Capo;
use fingerpost::lesson::document::{ChordNames, Lesson, PassageUse, Piece, SegmentKind};
use fingerpost::lesson::id::{InstrumentId, PassageId, PieceId, SetupId, VoicingId};
use fingerpost::lesson::music::{Note, Passage};
use fingerpost::tab::handout::options::{Columns, HandoutOptions};
use fingerpost::text::charset::Charset;
use fingerpost::theory::pitch::Hertz;

use super::{capo_lesson, check_order, lesson, number_of, passage, piece, setup, text, voicing};

#[test]
fn the_setup_box_says_what_to_turn() {
    let text = text(&lesson(), &HandoutOptions::default());
    check_order(
        &text,
        &["double drop D:  6 D  5 A  4 D  3 G  2 B  1 d", "strings 6 and 1 down a whole step (from standard)"],
    );
    let mut lesson = lesson();
    lesson.setups[1] = setup(2, "", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4", None);
    lesson.setups[0].capo = Some(Capo { fret: Fret::new(2).unwrap(), strings: [3, 4, 5].map(number_of).to_vec() });
    let text = self::text(&lesson, &HandoutOptions::default());
    check_order(&text, &["6 E♭", "every string down a half step", "fret 2 on strings 5, 4 and 3 only"]);
}

#[test]
fn a_later_setup_box_says_how_to_get_there_from_the_one_before_it() {
    let mut lesson = lesson();
    // In the order of the video: first the piece in setup 2, then that in setup 1.
    lesson.setups[1] = setup(2, "", "D2 A2 D3 G3 B3 E4", Some(2));
    lesson.setups[1].reference = Some(Hertz(432.0));
    lesson.setups[0] = setup(1, "", "E2 A2 D3 G3 B3 E4", None);
    check_order(
        &text(&lesson, &HandoutOptions::default()),
        &[
            "══ Lamp Oil ══",
            "Retune       string 6 down a whole step (from standard)",
            "Capo         fret 2; frets are counted from it",
            "══ Wash Day ══",
            "Retune       string 6 up a whole step (from drop D)",
            "Capo         off",
            "Pitch        tune to A4 = 440 Hz",
            "── wash riff ──",
        ],
    );
    lesson.setups[0] = setup(1, "", "D2 A2 D3 G3 B3 E4", Some(4));
    let text = self::text(&lesson, &HandoutOptions::default());
    check_order(
        &text,
        &["Capo         fret 2;", "══ Wash Day ══", "Capo         from fret 2 to fret 4; frets are counted from it"],
    );
    // A string that is down stays there.
    assert_eq!(text.matches("Retune ").count(), 1, "{text}");
}

#[test]
fn another_instrument_is_tuned_from_where_it_was_left() {
    let mut lesson = lesson();
    let mut second = lesson.instruments[0].clone();
    (second.id, second.body.name) = (InstrumentId(2), "second guitar".into());
    lesson.instruments.push(second);
    lesson.setups[0].instrument = InstrumentId(2);
    let text = text(&lesson, &HandoutOptions::default());
    check_order(&text, &["Capo         fret 3", "══ Wash Day ══", "strings 6 and 1 down a whole step (from standard)"]);
    assert!(!text.contains("Capo         off"), "{text}");
}

#[test]
fn chords_are_called_by_the_shape_or_by_the_sound() {
    // Shapes of G with the capo at fret 3 sound in B flat: common practice, no published source.
    let mut lesson = lesson();
    let played = text(&lesson, &HandoutOptions::default());
    check_order(&played, &["sounds in B♭ major, played as G major", "Chord names  by shape: G sounds as B♭"]);
    assert!(played.contains("D/F♯") && !played.contains("E♭"), "{played}");
    lesson.header.chord_names = ChordNames::SoundsAs;
    rename(&mut lesson.passages[1], &["Bb", "Eb", "F/A", "slap"]);
    let sounding = text(&lesson, &HandoutOptions::default());
    check_order(
        &sounding,
        &[
            "Chord names  by sound: B♭ is played as G",
            "── Chords ──",
            "B♭\n",
            "── lamp riff ──",
            "B♭",
            "E♭",
            "F/A",
            "slap",
        ],
    );
    // The piece without a capo keeps its names.
    check_order(&sounding, &["── wash riff ──", "D5", "G"]);
}

/// Gives the bars of a passage these names.
fn rename(passage: &mut Passage, names: &[&str]) {
    for (bar, name) in passage.bars.iter_mut().zip(names) {
        bar.voices[0].0[0].chord = Some((*name).to_owned());
    }
}

/// A lesson of one passage, a D shape under `name` with the capo at fret 2, beside its grid.
fn a_shape_of_d_under(name: &str, names: ChordNames) -> Lesson {
    let mut lesson = lesson();
    lesson.header.chord_names = names;
    lesson.setups[1] = setup(2, "capo 2", "E2 A2 D3 G3 B3 E4", Some(2));
    lesson.pieces[1].key = None;
    lesson.voicings[0] = voicing(1, "D", "x x 0 2 3 2");
    lesson.voicings[0].setup = Some(SetupId(2));
    lesson.passages[1] = passage(2, "lamp riff", Some(2), &[name]);
    let frets = [(4, 0), (3, 2), (2, 3), (1, 2)];
    let note = |(string, fret)| Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap());
    lesson.passages[1].bars[0].voices[0].0[0].notes = frets.into_iter().map(note).collect();
    lesson
}

#[test]
fn a_capo_counts_once_in_the_names_over_the_tab() {
    // A D shape sounds E with the capo at fret 2: common practice. Names of the shapes in a lesson that goes by the sound are understood.
    for (typed, names, printed) in
        [("E", ChordNames::SoundsAs, "E"), ("D", ChordNames::SoundsAs, "E"), ("D", ChordNames::PlayedAs, "D")]
    {
        let text = text(&a_shape_of_d_under(typed, names), &HandoutOptions::default());
        let (_, riff) = text.split_once("── lamp riff").unwrap();
        let over = riff.lines().find(|line| line.split_whitespace().any(|word| ["D", "E", "F♯", "G♭"].contains(&word)));
        assert_eq!(over.map(str::trim), Some(printed), "{typed} {names:?}\n{text}");
        let (_, grids) = text.split_once("── Chords ──").unwrap();
        let grid = grids.lines().skip(1).map(str::trim).find(|line| !line.is_empty());
        assert_eq!(grid, Some(printed), "{typed} {names:?}\n{text}");
    }
}

#[test]
fn a_grid_is_spelled_as_its_name_over_the_tab() {
    let mut lesson = lesson();
    lesson.header.chord_names = ChordNames::SoundsAs;
    lesson.pieces[1].key = None;
    lesson.setups[1] = setup(2, "capo 1", "E2 A2 D3 G3 B3 E4", Some(1));
    lesson.voicings[0] = voicing(1, "F", "1 3 3 2 1 1");
    for written in ["F#", "Gb"] {
        lesson.passages[1] = passage(2, "lamp riff", Some(2), &[written]);
        let printed = text(&lesson, &HandoutOptions { charset: Charset::Ascii, ..HandoutOptions::default() });
        let (_, grids) = printed.split_once("Chords").unwrap();
        assert_eq!(grids.lines().skip(1).map(str::trim).find(|line| !line.is_empty()), Some(written), "{printed}");
    }
}

#[test]
fn names_as_they_sound_without_a_key_are_spelled_alike_over_the_whole_piece() {
    let mut lesson = lesson();
    lesson.header.chord_names = ChordNames::SoundsAs;
    lesson.pieces[1].key = None;
    lesson.setups[1] = setup(2, "capo 1", "E2 A2 D3 G3 B3 E4", Some(1));
    // A half step higher, C5 alone is C#5 and G7sus4 alone is Ab7sus4.
    lesson.voicings = vec![voicing(1, "C5", "x 3 5 x x x"), voicing(2, "G7sus4", "3 5 3 5 3 3")];
    lesson.segments[1].voicings = vec![VoicingId(1), VoicingId(2)];
    let printed = text(&lesson, &HandoutOptions { charset: Charset::Ascii, ..HandoutOptions::default() });
    let sharps = printed.contains("C#5") && printed.contains("G#7sus4");
    let flats = printed.contains("Db5") && printed.contains("Ab7sus4");
    assert!(sharps != flats, "{printed}");
}

#[test]
fn the_setup_box_is_one_whole() {
    insta::assert_snapshot!(setup_box_of(&lesson(), "capo 3"), @r"
    ┌─ Tuning: capo 3, guitar ─────────────────────────────────┐
    │ Tuning       standard:  6 E  5 A  4 D  3 G  2 B  1 e     │
    │ Capo         fret 3; frets are counted from it           │
    │ Key          sounds in B♭ major, played as G major       │
    │ Chord names  by shape: G sounds as B♭                    │
    └──────────────────────────────────────────────────────────┘
    ");
    let mut lesson = lesson();
    lesson.header.chord_names = ChordNames::SoundsAs;
    lesson.setups[1].reference = Some(Hertz(432.0));
    lesson.setups[1].tone = "Neck pickup".into();
    lesson.pieces[1].tempo = "1/4.=60".parse().ok();
    insta::assert_snapshot!(setup_box_of(&lesson, "capo 3"), @r"
    ┌─ Tuning: capo 3, guitar ─────────────────────────────────┐
    │ Tuning       standard:  6 E  5 A  4 D  3 G  2 B  1 e     │
    │ Capo         fret 3; frets are counted from it           │
    │ Pitch        tune to A4 = 432 Hz                         │
    │ Key          sounds in B♭ major, played as G major       │
    │ Chord names  by sound: B♭ is played as G                 │
    │ Tempo        dotted quarter note = 60                    │
    │ Tone         Neck pickup                                 │
    └──────────────────────────────────────────────────────────┘
    ");
}

/// Returns the setup box whose title says `name`.
fn setup_box_of(lesson: &Lesson, name: &str) -> String {
    let text = text(lesson, &HandoutOptions { columns: Columns::new(60), ..HandoutOptions::default() });
    let lines = text.lines().skip_while(|line| !line.starts_with('┌') || !line.contains(name));
    let mut ended = false;
    let lines = lines.take_while(|line| !std::mem::replace(&mut ended, line.starts_with('└')));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn music_of_no_piece_stands_under_its_segment_and_its_setup() {
    check_order(
        &text(&capo_lesson(), &HandoutOptions::default()),
        &[
            "══ Two ways to C ══",
            "┌─ Tuning: standard, guitar ─",
            "        C\n",
            // The setup stays, so the heading says it.
            "══ Rolling ══",
            "═ Tuning: standard, guitar ══\n\n── pattern ──",
            "══ Capo on ══",
            "┌─ Tuning: standard, capo 2, guitar ─",
            "Capo         fret 2",
            "Cadd9             Am\n",
            "══ Rolling again ══",
            "═ Tuning: standard, capo 2, guitar ══",
            "── pattern, higher ──",
            "Key to the tab",
        ],
    );
}

#[test]
fn chords_saved_for_another_setup_have_a_box_of_their_own() {
    // The voicing says the capo, the segment does not.
    let mut lesson = capo_lesson();
    lesson.segments.truncate(1);
    lesson.segments[0].voicings = vec![VoicingId(1), VoicingId(2)];
    lesson.passages.clear();
    lesson.voicings.truncate(2);
    let parts = ["Tuning: standard, guitar", "        C\n", "Tuning: standard, capo 2", "Cadd9\n", "Key to the chord"];
    check_order(&text(&lesson, &HandoutOptions::default()), &[&["══ Two ways to C ══"][..], &parts].concat());
    // The same under the heading of a piece, which is told once.
    lesson.pieces = vec![Piece { notes: "slowly".into(), ..piece(1, "Wash Day", 1, "C") }];
    lesson.segments[0].pieces = vec![PieceId(1)];
    let text = text(&lesson, &HandoutOptions::default());
    check_order(&text, &[&["══ Wash Day ══"][..], &parts].concat());
    check_order(&text, &["Key          C major", "Key          sounds in C major, played as B♭ major"]);
    assert_eq!(text.matches("Notes        slowly").count(), 1, "{text}");
    // In no segment at all.
    lesson.segments.clear();
    check_order(&self::text(&lesson, &HandoutOptions::default()), &[&["══ Two small pieces ══"][..], &parts].concat());
}

#[test]
fn a_passage_in_another_setup_than_its_piece_stands_in_a_box_of_its_own() {
    let mut lesson = lesson();
    lesson.passages[0].setup = Some(SetupId(2));
    lesson.passages.push(passage(4, "wash end", Some(1), &["D5"]));
    lesson.segments[2].passages.extend([PassageUse::whole(PassageId(4)), PassageUse::whole(PassageId(3))]);
    let text = text(&lesson, &HandoutOptions::default());
    check_order(
        &text,
        &[
            "══ Wash Day ══",
            "Tuning: capo 3",
            "── wash riff ──",
            "Tuning: double drop D",
            "── wash end ──",
            "── left over ──",
        ],
    );
    let used = text.split("Also in this lesson").next().unwrap();
    assert_eq!(used.matches("Tuning: double drop D").count(), 1, "{text}");
}

#[test]
fn a_piece_without_music_has_the_tuning_that_its_segments_are_played_in() {
    let mut lesson = capo_lesson();
    lesson.pieces = vec![Piece::new(PieceId(1), "Wash Day")];
    for segment in &mut lesson.segments {
        (segment.pieces, segment.passages, segment.voicings) = (Vec::new(), Vec::new(), Vec::new());
    }
    let about = |lesson: &mut Lesson, place: usize, kind: SegmentKind, setup: u32| {
        let segment = &mut lesson.segments[place];
        (segment.kind, segment.pieces, segment.setup) = (kind, vec![PieceId(1)], Some(SetupId(setup)));
    };
    let boxes = |lesson: &Lesson| {
        let text = text(lesson, &HandoutOptions::default());
        let found = text.lines().filter_map(|line| line.split_once("─ Tuning: ")).map(|(_, name)| name.to_owned());
        found.map(|name| name.split(" ─").next().unwrap_or_default().to_owned()).collect::<Vec<String>>()
    };
    // What is said of it, or tuned for it, in the tuning before does not count where it is played.
    about(&mut lesson, 0, SegmentKind::Talk, 1);
    about(&mut lesson, 1, SegmentKind::Performance, 2);
    assert_eq!(boxes(&lesson), ["standard, capo 2, guitar"]);
    about(&mut lesson, 2, SegmentKind::Walkthrough, 1);
    assert_eq!(boxes(&lesson), ["standard, capo 2, guitar", "standard, guitar"]);
    about(&mut lesson, 2, SegmentKind::Retuning, 1);
    about(&mut lesson, 1, SegmentKind::Talk, 2);
    about(&mut lesson, 0, SegmentKind::Retuning, 2);
    assert_eq!(boxes(&lesson), ["standard, capo 2, guitar"], "the first that speaks of it");
}

#[test]
fn the_list_of_segments_says_what_a_retuning_goes_to_unless_its_title_does() {
    let mut lesson = capo_lesson();
    let name = lesson.setups[1].name.clone();
    let segment = &mut lesson.segments[1];
    (segment.kind, segment.title, segment.setup) = (SegmentKind::Retuning, "Retuning".to_owned(), Some(SetupId(2)));
    let told = format!("Retuning (to {name})");
    assert!(text(&lesson, &HandoutOptions::default()).contains(&told));
    // One that states none goes to what the next is played in.
    lesson.segments[0].setup = Some(SetupId(1));
    lesson.segments[1].setup = None;
    lesson.segments[2].setup = Some(SetupId(2));
    assert!(text(&lesson, &HandoutOptions::default()).contains(&told));
    lesson.segments[1].title = format!("Now to {}", name.to_uppercase());
    assert!(!text(&lesson, &HandoutOptions::default()).contains("(to "));
}

#[test]
fn a_chord_without_a_setup_is_played_in_that_of_its_segment() {
    let mut lesson = capo_lesson();
    lesson.pieces = vec![piece(1, "Wash Day", 1, "C")];
    lesson.segments[2].pieces = vec![PieceId(1)];
    lesson.segments[2].voicings = vec![VoicingId(3)];
    let only = HandoutOptions { segments: "3".parse().unwrap(), ..HandoutOptions::default() };
    check_order(&text(&lesson, &only), &["══ Wash Day ══", "Tuning: standard, capo 2", " Am\n"]);
    assert!(!text(&lesson, &only).contains("Tuning: standard, guitar"));
    // Where no segment says one, in that of the piece.
    lesson.pieces[0].setup = Some(SetupId(2));
    lesson.segments.iter_mut().for_each(|segment| segment.setup = None);
    check_order(&text(&lesson, &only), &["══ Wash Day ══", "Tuning: standard, capo 2", " Am\n"]);
}

#[test]
fn an_instrument_whose_lowest_string_is_no_bass_has_no_inversions_under_its_grids() {
    let mut lesson = lesson();
    lesson.instruments[0].body.strings = 4;
    lesson.setups[1] = setup(2, "uke", "G4 C4 E4 A4", None);
    lesson.setups.remove(0);
    lesson.passages.clear();
    lesson.pieces = vec![piece(2, "Lamp Oil", 2, "C")];
    lesson.segments[1].passages.clear();
    lesson.segments[1].pieces = vec![PieceId(2)];
    lesson.segments[2].pieces.clear();
    lesson.segments[2].passages.clear();
    lesson.voicings[0] = voicing(1, "Dm7", "2 2 1 3");
    lesson.voicings[0].readings = ["Dm7", "F6/D", "F6", "Dm7/C"].map(str::to_owned).to_vec();
    let uke = text(&lesson, &HandoutOptions::default());
    assert!(uke.contains("also F6\n"), "{uke}");
    // With a low fourth string there is a bass to speak of.
    lesson.setups[0].tuning = setup(2, "low", "G3 C4 E4 A4", None).tuning;
    let low = text(&lesson, &HandoutOptions::default());
    assert!(low.contains("also F6/D"), "{low}");
}

#[test]
fn two_grids_of_one_name_are_told_apart() {
    let mut lesson = lesson();
    lesson.voicings = vec![
        voicing(1, "G", "3 2 0 0 0 3"),
        voicing(2, "G", "3 5 5 4 3 3"),
        voicing(3, "G", "x x 5 4 3 3"),
        voicing(4, "Em7", "0 2 0 0 0 0"),
    ];
    lesson.segments[1].voicings = (1..=4).map(VoicingId).collect();
    let text = text(&lesson, &HandoutOptions::default());
    let line = text.lines().find(|line| line.contains("open")).map(str::trim);
    let words: Vec<&str> =
        line.unwrap_or_default().split("  ").map(str::trim).filter(|word| !word.is_empty()).collect();
    assert_eq!(words, ["open", "fret 3", "short form"], "{text}");
}

#[test]
fn one_note_in_octaves_is_not_printed_like_a_chord() {
    let mut lesson = lesson();
    lesson.voicings[0] = voicing(1, "C", "x 3 x 5 x x");
    lesson.voicings[1] = voicing(2, "C", "x 3 2 0 1 0");
    lesson.segments[1].voicings = vec![VoicingId(1), VoicingId(2)];
    let text = text(&lesson, &HandoutOptions::default());
    check_order(&text, &["── Chords ──", "C octave", "C\n"]);
}

#[test]
fn bar_numbers_and_the_count_are_explained_on_paper() {
    let text = text(&capo_lesson(), &HandoutOptions::default());
    check_order(
        &text,
        &["Key to the tab", "Rhythm row", "at the left: the number", "Above and below the tab", "1 & 2 &"],
    );
}
