use super::sound::{bar, event, finds, finds_in_bars, finds_in_notes, joined, note, passage, with};
use crate::instrument::body::ShortString;
use crate::instrument::catalogue;
use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::id::SetupId;
use crate::lesson::music::{Bar, BendAmount, Join, Note, Stroke, Technique, Voice};

/// Checks two notes on string 2, the first joined to the second.
#[track_caller]
fn finds_in_join(from: u8, join: Join, to: u8, expected: Option<&str>) {
    let notes = vec![vec![joined(2, from, join)], vec![note(2, to)]];
    let expected = expected.map(|text| format!("problem: passage \"verse\", bar 1, beat 1, string 2: {text}"));
    finds_in_notes(notes, &expected.iter().map(String::as_str).collect::<Vec<_>>());
}

#[test]
fn joins_go_where_a_finger_can_go() {
    use Join::{HammerOn, PullOff, Slide, SlideAndPick, Tie};
    for (from, join, to) in [(5, Tie, 5), (0, HammerOn, 2), (7, PullOff, 0), (5, Slide, 7), (7, SlideAndPick, 2)] {
        finds_in_join(from, join, to, None);
    }
    for (from, join, to, text) in [
        (
            5,
            Tie,
            7,
            "a tie from fret 5 to fret 7: a tied note stays where it is (write the same fret twice, or make it a slide, hammer-on or pull-off)",
        ),
        (
            7,
            HammerOn,
            5,
            "a hammer-on from fret 7 to fret 5: a hammer-on goes to a higher fret (make it a pull-off, or correct the frets)",
        ),
        (5, HammerOn, 5, "a hammer-on to the same fret, 5 (make it a tie if it rings on, or pick it again)"),
        (
            0,
            PullOff,
            2,
            "a pull-off from an open string: no finger is there to leave (write the fretted note it starts from, or delete the pull-off)",
        ),
        (
            2,
            PullOff,
            4,
            "a pull-off from fret 2 to fret 4: a pull-off goes to a lower fret (make it a hammer-on, or correct the frets)",
        ),
        (2, PullOff, 2, "a pull-off to the same fret, 2 (make it a tie if it rings on, or pick it again)"),
        (5, SlideAndPick, 5, "a slide to the same fret, 5 (make it a tie if it rings on, or correct one of the frets)"),
        (
            5,
            Slide,
            0,
            "a slide to an open string: no fret is there to arrive at (let the note slide out instead, or make it a pull-off)",
        ),
        (
            0,
            Slide,
            5,
            "a slide from an open string: no finger is there to slide (write the fret the slide starts from, or slide in from nowhere)",
        ),
    ] {
        finds_in_join(from, join, to, Some(text));
    }
}

#[test]
fn a_join_leads_to_the_next_note_on_its_string() {
    // The thumb may play between the two; a tie has to be next.
    finds_in_notes(vec![vec![joined(2, 1, Join::HammerOn)], vec![note(6, 0)], vec![note(2, 3)]], &[]);
    finds_in_notes(
        vec![vec![joined(2, 1, Join::Tie)], vec![note(6, 0)], vec![note(2, 1)]],
        &["problem: passage \"verse\", bar 1, beat 1, string 2: a tie leads to the very next notes, and this string \
           is not among them (write the note it leads to, or delete the tie)"],
    );
    finds_in_notes(
        vec![vec![joined(2, 1, Join::HammerOn)]],
        &["problem: passage \"verse\", bar 1, beat 1, string 2: a rest comes before the note the hammer-on leads to \
           (write the note it leads to, or delete the hammer-on)"],
    );
}

fn whole_bar(note: Note) -> Bar {
    Bar { voices: vec![Voice(vec![event("1/1", vec![note])])], ..Bar::default() }
}

#[test]
fn joins_cross_bar_lines_and_may_end_a_passage_or_a_repeat() {
    finds_in_bars(vec![whole_bar(joined(2, 1, Join::HammerOn)), whole_bar(note(2, 3))], &[]);
    finds_in_bars(vec![whole_bar(joined(2, 1, Join::HammerOn))], &[]);
    finds_in_bars(
        vec![Bar { repeat_end: Some(2), ..whole_bar(joined(2, 3, Join::HammerOn)) }, whole_bar(note(2, 1))],
        &[],
    );
    finds_in_bars(
        vec![whole_bar(joined(2, 1, Join::HammerOn)), whole_bar(note(3, 0)), whole_bar(note(2, 3))],
        &["problem: passage \"verse\", bar 1, beat 1, string 2: no note follows on this string for the hammer-on to \
           lead to (write the note it leads to, or delete the hammer-on)"],
    );
}

#[test]
fn grace_notes_lead_to_their_own_note() {
    let mut ornament = event("1/1", vec![note(2, 3)]);
    ornament.grace = vec![joined(2, 1, Join::HammerOn)];
    let bar = |ornament| vec![Bar { voices: vec![Voice(vec![ornament])], ..Bar::default() }];
    finds_in_bars(bar(ornament.clone()), &[]);
    ornament.grace = vec![joined(2, 5, Join::HammerOn)];
    finds_in_bars(
        bar(ornament),
        &["problem: passage \"verse\", bar 1, beat 1, string 2: a hammer-on from fret 5 to fret 3: a hammer-on goes \
           to a higher fret (make it a pull-off, or correct the frets)"],
    );
}

#[test]
fn strokes_and_grace_notes_need_notes() {
    let mut rest = event("1/1", Vec::new());
    rest.grace = vec![note(1, 3)];
    rest.stroke = Some(Stroke::Up);
    let mut single = event("1/1", vec![note(1, 3)]);
    single.stroke = Some(Stroke::ArpeggioDown);
    let bar = |event| Bar { voices: vec![Voice(vec![event])], ..Bar::default() };
    finds_in_bars(
        vec![bar(rest), bar(single)],
        &[
            "warning: passage \"verse\", bar 1, beat 1: grace notes before a rest lead to nothing \
             (write the note they lead to, or delete them)",
            "warning: passage \"verse\", bar 1, beat 1: a pick stroke on a rest: no string is struck \
             (delete the pick stroke, or write the notes it strikes)",
            "warning: passage \"verse\", bar 2, beat 1: a rolled chord (arpeggio) over one note \
             (write the whole chord, or a plain pick stroke)",
        ],
    );
}

/// Checks one note with techniques.
#[track_caller]
fn finds_in_note(note: Note, expected: &[&str]) {
    let place = format!("passage \"verse\", bar 1, beat 1, string {}", note.string);
    let expected: Vec<String> = expected
        .iter()
        .map(|text| text.split_once(": ").map(|(severity, rest)| format!("{severity}: {place}: {rest}")).unwrap())
        .collect();
    finds_in_notes(vec![vec![note]], &expected.iter().map(String::as_str).collect::<Vec<_>>());
}

fn at(fret: u8) -> Fret {
    Fret::new(fret).unwrap()
}

#[test]
fn techniques_have_to_be_possible_at_their_fret() {
    use Technique as T;
    for (fret, technique, text) in [
        (
            0,
            T::Bend(BendAmount::HALF),
            "a bend on an open string: no finger is there to bend it (fret the note on another string, or delete the bend)",
        ),
        (
            0,
            T::SlideAwayUp,
            "a slide out up the neck on an open string: no finger is there to slide (delete the slide, or fret the note on another string)",
        ),
        (
            1,
            T::SlideAwayDown,
            "a slide out down the neck from fret 1: there is no lower fret to go to (slide out up the neck, or delete the slide)",
        ),
        (
            1,
            T::SlideUpInto,
            "a slide in from below to fret 1: there is no lower fret to come from (slide in from above, or delete the slide)",
        ),
        (
            0,
            T::SlideDownInto,
            "a slide in from above to an open string: no fret is there to arrive at (delete the slide, or fret the note on another string)",
        ),
        (5, T::Trill(at(5)), "a trill with its own fret, 5 (name the other fret of the trill)"),
        (
            0,
            T::Tap,
            "a tap on an open string: no fret is there to tap (write the fret that is tapped, or delete the tap)",
        ),
        (
            5,
            T::TappedHarmonic(at(5)),
            "a tapped harmonic over fret 5, which does not lie above the note at fret 5 (name a fret above the note: 12 above gives the octave)",
        ),
        (
            0,
            T::NaturalHarmonic,
            "a natural harmonic over fret 0: nothing is touched there (write the fret the string is touched over: 12 gives the octave)",
        ),
    ] {
        finds_in_note(with(2, fret, &[technique]), &[&format!("problem: {text}")]);
    }
    for (fret, technique) in [
        (2, T::Bend(BendAmount::FULL)),
        (2, T::SlideUpInto),
        (5, T::Trill(at(0))),
        (12, T::Tap),
        (3, T::TappedHarmonic(at(15))),
        (12, T::NaturalHarmonic),
        (0, T::ArtificialHarmonic(at(12))),
    ] {
        finds_in_note(with(2, fret, &[technique]), &[]);
    }
}

#[test]
fn harmonics_lie_near_a_node() {
    use Technique as T;
    finds_in_note(
        with(2, 11, &[T::NaturalHarmonic]),
        &[
            "warning: a natural harmonic over fret 11: no strong harmonic lies there (the next ones lie near frets 10 and 12)",
        ],
    );
    finds_in_note(
        with(2, 2, &[T::ArtificialHarmonic(at(13))]),
        &[
            "warning: a harp (artificial) harmonic over fret 13: no strong harmonic lies there (the next ones lie near frets 12 and 14)",
        ],
    );
}

#[test]
fn techniques_that_exclude_each_other_are_found() {
    use Technique as T;
    let both = |one, other, text: &str| finds_in_note(with(2, 5, &[one, other]), &[text]);
    both(T::Vibrato, T::Vibrato, "problem: vibrato is written twice on one note (delete one of the two)");
    both(
        T::Bend(BendAmount::HALF),
        T::PreBend(BendAmount::FULL),
        "problem: bend or pre-bend, not both (delete one of the two)",
    );
    both(
        T::PalmMute,
        T::LetRing,
        "problem: palm mute and let ring together: a muted note does not ring on (delete one of the two)",
    );
    both(
        T::Dead,
        T::Vibrato,
        "problem: dead note and vibrato together: a dead note has no pitch and does not ring (delete one of the two)",
    );
    both(
        T::TremoloPicking,
        T::Tap,
        "problem: tremolo picking and tap together: a tapped note is not picked (delete one of the two)",
    );
    finds_in_note(with(2, 5, &[T::Vibrato, T::LetRing, T::Bend(BendAmount::HALF)]), &[]);
    finds_in_note(with(2, 5, &[T::PalmMute, T::Dead]), &[]);
}

#[test]
fn joins_and_techniques_exclude_each_other_too() {
    let notes = |first: Note, second: Note| vec![vec![first], vec![second]];
    let dead = with(2, 7, &[Technique::Dead]);
    finds_in_notes(
        notes(joined(2, 5, Join::HammerOn), dead.clone()),
        &["problem: passage \"verse\", bar 1, beat 1, string 2: a hammer-on to a dead note: it does not ring \
           (delete one of the two)"],
    );
    finds_in_notes(notes(joined(2, 5, Join::SlideAndPick), dead), &[]);
    finds_in_notes(
        notes(joined(2, 5, Join::HammerOn), with(2, 12, &[Technique::Tap])),
        &["problem: passage \"verse\", bar 1, beat 1, string 2: a hammer-on to a tapped note: the tap sounds it \
           (delete one of the two)"],
    );
    // A tapped note that is pulled off is how tapping goes on.
    finds_in_notes(notes(Note { join: Some(Join::PullOff), ..with(2, 12, &[Technique::Tap]) }, note(2, 5)), &[]);
}

#[test]
fn notes_stay_on_the_neck() {
    finds_in_note(
        note(7, 0),
        &[
            "problem: there is no string 7, the highest number is 6 (move the note to one of the strings 1 to 6, or choose another tuning)",
        ],
    );
    let last = catalogue::guitar().instrument.frets.number();
    finds_in_note(note(1, last), &[]);
    let text = format!(
        "problem: string 1, fret 30 is past the last fret, which is {last} (play it on a higher string, or give the instrument its frets)"
    );
    finds_in_note(note(1, 30), &[&text]);
    finds_in_note(with(1, 2, &[Technique::Trill(at(30))]), &[&text]);
}

#[test]
fn a_capo_shortens_the_neck() {
    let last = catalogue::guitar().instrument.frets.number();
    let change = |fret: u8| {
        move |lesson: &mut crate::lesson::document::Lesson| {
            lesson.passages[0].setup = Some(SetupId(2));
            lesson.passages[0].bars = vec![whole_bar(note(1, fret))];
            lesson.segments.iter_mut().for_each(|segment| segment.setup = Some(SetupId(2)));
        }
    };
    finds(change(last - 3), &[]);
    let expected = format!(
        "problem: passage \"verse\", bar 1, beat 1, string 1: string 1, fret {} is past the end of the neck: above \
         the capo at fret 3 the last is {} (play it on a higher string, or move the capo)",
        last - 2,
        last - 3
    );
    finds(change(last - 2), &[&expected]);
}

#[test]
fn a_short_string_has_no_frets_below_its_peg() {
    let change = |fret: u8| {
        move |lesson: &mut crate::lesson::document::Lesson| {
            let body = &mut lesson.instruments[0].body;
            body.short = Some(ShortString { string: StringNumber::new(6).unwrap(), starts_at: at(5) });
            lesson.passages[0].bars = vec![whole_bar(note(6, fret))];
        }
    };
    finds(change(0), &[]);
    finds(change(6), &[]);
    finds(
        change(5),
        &["problem: passage \"verse\", bar 1, beat 1, string 6: string 6 starts at fret 5: after the open string its \
           first fret is 6 (write 0 for the open string, or count frets from the main nut, past 5)"],
    );
}

#[test]
fn a_chord_that_no_hand_can_hold_is_noted() {
    let reach = "note: passage \"verse\", bar 1, beat 1: no hand can hold this chord: it reaches from fret 3 to fret 12 \
                 (move a note to another string, or leave one out)";
    let fingers = "note: passage \"verse\", bar 1, beat 1: no hand can hold this chord with four fingers \
                   (move a note to another string, or leave one out)";
    let wide = || vec![note(6, 3), note(2, 12)];
    let apart = vec![note(6, 8), note(5, 6), note(4, 0), note(3, 6), note(2, 5), note(1, 7)];
    finds_in_notes(vec![wide()], &[reach]);
    finds_in_notes(vec![apart], &[fingers]);
    // One finger lies flat; open strings ring; high up the frets lie close together.
    let barre = [(6, 3), (5, 5), (4, 5), (3, 4), (2, 3), (1, 3)];
    for chord in [&barre[..], &[(6, 0), (5, 9), (4, 9), (1, 0)], &[(6, 12), (5, 16)], &[(3, 5), (1, 5)]] {
        finds_in_notes(vec![chord.iter().map(|(string, fret)| note(*string, *fret)).collect()], &[]);
    }
    // Both hands play it, it rings as a harmonic, or the hand slides there.
    for technique in [Technique::Tap, Technique::SlideUpInto] {
        finds_in_notes(vec![vec![note(6, 3), with(2, 12, &[technique])]], &[]);
    }
    finds_in_notes(vec![vec![note(6, 3), with(2, 12, &[Technique::NaturalHarmonic])]], &[]);
    let slide = vec![note(6, 3), joined(2, 5, Join::Slide)];
    finds_in_notes(vec![slide, wide()], &[]);
    // Frets of a small instrument lie closer than the rules of fingering know.
    finds(
        |lesson| {
            lesson.instruments[0].body.scale = crate::instrument::body::Millimetres(350.0);
            lesson.passages =
                vec![passage(vec![Bar { voices: vec![Voice(vec![event("1/1", wide())])], ..Bar::default() }])];
        },
        &[],
    );
}

#[test]
fn chord_names_are_chord_symbols() {
    let named = |name: &str| {
        let mut bar = bar("1/1");
        bar.voices[0].0[0].chord = Some(name.into());
        vec![bar]
    };
    for name in ["Am7", "D/F#", "N.C.", " C6/9 "] {
        finds_in_bars(named(name), &[]);
    }
    finds(
        |lesson| {
            lesson.passages = vec![passage(named("Hm"))];
            lesson.passages[0].bars[0].voices[0].0[0].chord = Some("slow".into());
        },
        &[
            "warning: passage \"verse\", bar 1, beat 1: `slow` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7` (write it as in `Am7`, `D/F#` or `N.C.`, or write it as words over the note or rest)",
        ],
    );
}
