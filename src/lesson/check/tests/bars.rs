use super::sound::{bar, event, finds, finds_in_bars, note, passage, sound, voice};
use crate::lesson::check::{FindingKind, check, choices, mended_by, remedy};
use crate::lesson::document::Lesson;
use crate::lesson::fresh::{IdSource, Seed};
use crate::lesson::music::{Bar, Event, Voice};
use crate::lesson::time::{Meter, NoteValue};

#[test]
fn a_short_bar_says_how_much_is_missing() {
    finds_in_bars(
        vec![bar("1/4 1/4 1/4 1/8")],
        &["problem: passage \"verse\", bar 1: an eighth note short: 3 1/2 beats in a 4/4 bar \
           (add an eighth rest, or mark the bar as a pickup)"],
    );
    finds_in_bars(
        vec![bar("1/1"), bar("1/2"), bar("1/1")],
        &["problem: passage \"verse\", bar 2: a half note short: 2 beats in a 4/4 bar (add a half rest)"],
    );
}

#[test]
fn an_odd_length_that_is_missing_is_said_in_note_values() {
    finds_in_bars(
        vec![bar("1/1"), bar("1/4. 1/4"), bar("1/2 1/8."), bar("1/1")],
        &[
            "problem: passage \"verse\", bar 2: a dotted quarter note short: 2 1/2 beats in a 4/4 bar (add an eighth rest and a quarter rest)",
            "problem: passage \"verse\", bar 3: a quarter note and a sixteenth note short: 2 3/4 beats in a 4/4 bar \
             (add a sixteenth rest and a quarter rest)",
        ],
    );
}

#[test]
fn a_short_bar_is_filled_with_rests_unless_it_may_be_a_pickup() {
    let mut lesson = sound();
    lesson.passages[0].bars = vec![bar("1/4 1/4 1/4 1/8"), bar("1/1"), bar("1/4. 1/8"), bar("1/1 1/8")];
    let found = |lesson: &Lesson| {
        let of_length =
            |kind| matches!(kind, FindingKind::BarLength | FindingKind::ShortBar | FindingKind::ShortOrPickup);
        check(lesson).into_iter().filter(|finding| of_length(finding.kind)).collect::<Vec<_>>()
    };
    let [pickup, short, long] = &found(&lesson)[..] else { panic!("{:?}", found(&lesson)) };
    let kinds = [pickup.kind, short.kind, long.kind];
    assert_eq!(kinds, [FindingKind::ShortOrPickup, FindingKind::ShortBar, FindingKind::BarLength]);
    assert_eq!((mended_by(&lesson, pickup), mended_by(&lesson, long)), (None, None));
    let mended = remedy(&lesson, short, &mut IdSource::new(Seed(1), &lesson)).unwrap();
    assert_eq!((mended_by(&lesson, short), mended.text.as_str()), (Some("add a half rest".into()), "add a half rest"));
    lesson.apply_all(mended.edits).unwrap();
    let left: Vec<String> = found(&lesson).iter().map(|finding| finding.reason.clone()).collect();
    assert_eq!(left, [&*pickup.reason, &*long.reason]);
    let texts: Vec<String> = choices(&lesson, pickup).into_iter().map(|way| way.text).collect();
    assert_eq!(texts, ["fill the bar with rests", "mark the bar as a pickup"]);
    for way in choices(&lesson, pickup) {
        let mut mended = lesson.clone();
        mended.apply_all(way.edits).unwrap();
        assert_eq!(found(&mended).len(), 1, "{}", way.text);
    }
    let last = lesson.passages[0].bars[2].voices[0].0.last().unwrap();
    assert_eq!((last.notes.len(), last.length.ticks()), (0, NoteValue::Half.ticks()));
}

#[test]
fn a_long_bar_says_how_much_is_too_much_and_which_meter_would_hold_it() {
    finds_in_bars(
        vec![bar("1/1 1/4.")],
        &["problem: passage \"verse\", bar 1: a dotted quarter note too long: 5 1/2 beats in a 4/4 bar \
           (shorten the notes by a dotted quarter note, or change the time signature to 11/8)"],
    );
}

#[test]
fn what_no_note_value_says_is_told_in_beats() {
    finds_in_bars(
        vec![bar("1/1 1/8@3:2 1/8@3:2 1/8@3:2 1/8@3:2 1/8@3:2 1/8@3:2 1/8@3:2")],
        &[
            "problem: passage \"verse\", bar 1: 2 1/3 beats too long: 6 1/3 beats in a 4/4 bar \
             (shorten the notes by 2 1/3 beats)",
            "problem: passage \"verse\", bar 1, beat 5: the triplet is not complete: 7 eighths where 3 count as 2 \
             (add 2 more eighths to it, as notes or rests)",
        ],
    );
    let waltz = Bar { meter: Meter::new(6, NoteValue::Eighth), ..bar("1/8 1/8 1/8 1/2 1/16@5:4") };
    finds_in_bars(
        vec![waltz],
        &[
            "problem: passage \"verse\", bar 1: 1 2/5 eighths too long: 7 2/5 eighths in a 6/8 bar \
             (shorten the notes by 1 2/5 eighths)",
            "problem: passage \"verse\", bar 1, beat 3 1/3: the quintuplet is not complete: 1 sixteenth where 5 count as 4 \
             (add 4 more sixteenths to it, as notes or rests)",
        ],
    );
}

#[test]
fn a_pickup_begins_on_a_late_beat() {
    let pickup = Bar { pickup: true, ..bar("1/8 1/8") };
    let clash =
        Bar { voices: vec![Voice(vec![event("1/8", vec![]), event("1/8", vec![note(3, 2), note(3, 4)])])], ..pickup };
    finds_in_bars(
        vec![clash, bar("1/1")],
        &[
            "problem: passage \"verse\", pickup, beat 4 1/2, string 3: 2 notes on one string at one time: frets 2 and 4 \
           (leave one of them, or move the others to another string)",
        ],
    );
}

#[test]
fn each_voice_has_to_fill_the_bar() {
    let two = Bar { voices: vec![voice("1/1"), Voice(Vec::new())], ..Bar::default() };
    finds_in_bars(
        vec![two],
        &["problem: passage \"verse\", bar 1, voice 2: this voice is empty in a 4/4 bar \
           (fill it with a rest, or delete the voice)"],
    );
}

#[test]
fn a_change_of_meter_holds_until_the_next() {
    let waltz = Meter::new(3, NoteValue::Quarter);
    finds_in_bars(vec![bar("1/1"), Bar { meter: waltz, ..bar("1/2.") }, bar("1/2."), bar("1/4 1/2")], &[]);
    finds_in_bars(
        vec![Bar { meter: waltz, ..bar("1/2.") }, bar("1/1")],
        &["problem: passage \"verse\", bar 2: a quarter note too long: 4 beats in a 3/4 bar \
           (shorten the notes by a quarter note, or change the time signature to 4/4)"],
    );
}

#[test]
fn a_pickup_may_be_short_and_the_last_bar_may_give_it_back() {
    let pickup = || Bar { pickup: true, ..bar("1/4") };
    finds_in_bars(vec![pickup(), bar("1/1"), bar("1/2.")], &[]);
    finds_in_bars(vec![pickup(), bar("1/1"), bar("1/1")], &[]);
    finds_in_bars(
        vec![pickup(), bar("1/1"), bar("1/2")],
        &["problem: passage \"verse\", bar 2: a half note short: 2 beats in a 4/4 bar (add a half rest)"],
    );
    let long = Bar { pickup: true, ..bar("1/1 1/4") };
    finds_in_bars(
        vec![long],
        &["problem: passage \"verse\", pickup: a quarter note too long: 5 beats in a 4/4 bar \
           (shorten the notes by a quarter note, or change the time signature to 5/4)"],
    );
}

#[test]
fn a_passage_without_notes_is_said_once_and_so_is_a_bar_of_three_voices() {
    let empty = || Bar { voices: vec![Voice(Vec::new())], ..Bar::default() };
    for bars in [Vec::new(), vec![Bar::default()], vec![empty(), empty(), Bar::default()]] {
        finds_in_bars(
            bars,
            &["warning: passage \"verse\": nothing is written in this passage, so it is not on the handout \
               (write notes or rests in it or read tab into it, or delete it)"],
        );
    }
    let rest = || Voice(vec![event("1/1", Vec::new())]);
    let rests = |named: fn(&mut Event)| {
        let mut voice = rest();
        voice.0.iter_mut().for_each(named);
        vec![Bar { voices: vec![rest()], ..Bar::default() }, Bar { voices: vec![voice], ..Bar::default() }]
    };
    finds_in_bars(
        rests(|_| {}),
        &["warning: passage \"verse\": only rests are written in this passage, so it is not on the handout \
           (write notes, chord names or words in it, or delete it)"],
    );
    finds_in_bars(rests(|event| event.text = Some("count along".to_owned())), &[]);
    finds_in_bars(
        vec![Bar { voices: vec![voice("1/1"), rest(), rest()], ..Bar::default() }],
        &[
            "warning: passage \"verse\", bar 1: 3 voices in one bar (tab has room for two: put the notes of the others into them)",
        ],
    );
}

#[test]
fn tuplets_come_in_whole_groups() {
    finds_in_bars(vec![bar("1/4 1/4 1/4 1/8@3:2 1/8@3:2 1/8@3:2")], &[]);
    finds_in_bars(vec![bar("1/4@3:2 1/8@3:2 1/8.@3:2 1/16@3:2 1/8@3:2 1/2")], &[]);
    finds_in_bars(
        vec![bar("1/2. 1/8@3:2 1/8@3:2 1/16")],
        &[
            "problem: passage \"verse\", bar 1: a triplet thirty-second short (of three in a sixteenth): 3 11/12 beats in a 4/4 bar \
             (complete the tuplet in it, or correct a length)",
            "problem: passage \"verse\", bar 1, beat 4: the triplet is not complete: 2 eighths where 3 count as 2 \
             (add 1 more eighth to it, as notes or rests)",
        ],
    );
    finds_in_bars(
        vec![bar("1/1 1/16@5:4")],
        &[
            "problem: passage \"verse\", bar 1: 1/5 of a beat too long: 4 1/5 beats in a 4/4 bar \
             (shorten the notes by 1/5 of a beat)",
            "problem: passage \"verse\", bar 1, beat 5: the quintuplet is not complete: 1 sixteenth where 5 count \
             as 4 (add 4 more sixteenths to it, as notes or rests)",
        ],
    );
}

fn repeated(start: bool, end: Option<u8>, endings: &[u8]) -> Bar {
    Bar { repeat_start: start, repeat_end: end, endings: endings.to_vec(), ..bar("1/1") }
}

#[test]
fn repeats_have_to_close() {
    finds_in_bars(vec![repeated(true, None, &[]), repeated(false, Some(2), &[])], &[]);
    // A repeat without a start goes back to the beginning: common practice.
    finds_in_bars(vec![bar("1/1"), repeated(false, Some(2), &[])], &[]);
    finds_in_bars(
        vec![bar("1/1"), repeated(true, None, &[])],
        &["problem: passage \"verse\", bar 2: the repeat that starts here never ends \
           (end it after the last bar that is repeated, or delete the start)"],
    );
    finds_in_bars(
        vec![repeated(true, Some(1), &[])],
        &["problem: passage \"verse\", bar 1: the repeat that ends here is played 1 time in all, which is no repeat \
           (play it 2 times or more, or delete the repeat)"],
    );
    finds_in_bars(
        vec![repeated(true, None, &[]), repeated(true, Some(2), &[])],
        &["warning: passage \"verse\", bar 2: a repeat starts here before the one from bar 1 has ended \
           (end the first repeat, or delete one of the two starts)"],
    );
}

#[test]
fn endings_follow_each_other() {
    finds_in_bars(vec![repeated(true, None, &[]), repeated(false, Some(3), &[1, 2]), repeated(false, None, &[3])], &[]);
    finds_in_bars(
        vec![repeated(true, None, &[]), repeated(false, Some(2), &[1]), repeated(false, None, &[3])],
        &["problem: passage \"verse\", bar 3: ending 3 where ending 2 should come \
           (number the endings 1, 2, 3 in the order they are played: this one 2)"],
    );
    finds_in_bars(
        vec![repeated(false, Some(2), &[2])],
        &["problem: passage \"verse\", bar 1: ending 2 where ending 1 should come \
           (number the endings 1, 2, 3 in the order they are played: this one 1)"],
    );
    finds_in_bars(
        vec![repeated(true, Some(2), &[1]), repeated(false, None, &[2]), repeated(false, None, &[255])],
        &[
            "warning: passage \"verse\", bar 1: the repeat is played 2 times, and there are endings for 3 \
             (give every time one ending: `1, 2` and `3` for three times)",
            "warning: passage \"verse\", bar 2: ending 2 does not go back: no repeat ends in it \
             (end a repeat after its last bar)",
            "problem: passage \"verse\", bar 3: ending 255 where ending 3 should come \
             (number the endings 1, 2, 3 in the order they are played: this one 3)",
        ],
    );
}

#[test]
fn one_string_sounds_one_note_at_a_time() {
    let clash = Bar { voices: vec![Voice(vec![event("1/1", vec![note(3, 2), note(3, 4), note(1, 0)])])], ..bar("") };
    finds_in_bars(
        vec![clash],
        &["problem: passage \"verse\", bar 1, beat 1, string 3: 2 notes on one string at one time: frets 2 and 4 \
           (leave one of them, or move the others to another string)"],
    );
}

#[test]
fn two_voices_share_a_string_only_for_one_and_the_same_note() {
    let voices = |lower: Voice| vec![Bar { voices: vec![voice("1/2 1/2"), lower], ..Bar::default() }];
    let lower =
        |first: u8, second: u8| Voice(vec![event("1/4", vec![note(3, first)]), event("1/2.", vec![note(second, 0)])]);
    finds_in_bars(voices(lower(0, 6)), &[]);
    finds_in_bars(
        voices(lower(2, 6)),
        &[
            "problem: passage \"verse\", bar 1, voice 2, beat 1, string 3: voice 1 plays fret 0 on this string at the same time \
           (move one of the two to another string)",
        ],
    );
    finds_in_bars(
        voices(Voice(vec![event("1/4", vec![note(6, 0)]), event("1/4", vec![note(3, 2)]), event("1/2", Vec::new())])),
        &[
            "warning: passage \"verse\", bar 1, voice 2, beat 2, string 3: this note cuts off fret 0, which voice 1 still holds \
           on this string (shorten the held note, or move one of the two to another string)",
        ],
    );
}

#[test]
fn control_characters_in_a_title_are_shown_never_sent() {
    let change = |lesson: &mut Lesson| {
        lesson.passages = vec![passage(vec![bar("1/1")])];
        lesson.passages[0].title = "a\u{1b}[2J".into();
    };
    finds(
        change,
        &[
            "warning: passage \"a\\u{1b}[2J\": the title holds the control character U+001B, which would act instead of \
           showing (type that text again)",
        ],
    );
}
