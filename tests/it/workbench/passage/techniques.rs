//! How notes are played: joins, techniques, grace notes, fingers.

use fingerpost::instrument::hand::Finger;
use fingerpost::lesson::music::{Join, Stroke, Technique};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::messages::message::Message;

use super::{event, on_passage};
use crate::workbench::bench::Bench;

#[test]
fn an_answer_is_written_where_its_question_was_insisted_on() {
    let mut bench = on_passage((100, 30));
    bench.strike("I 0 b");
    assert!(bench.notice().ends_with("; press b again to write it anyway"), "{}", bench.notice());
    // Half a step is not what the question was refused for.
    bench.strike("b Ctrl+U \"1/2\" Enter");
    assert_eq!(event(&bench, 1, 0).notes[0].techniques.len(), 1, "{}", bench.notice());
    // Another key gets no benefit of it.
    bench.strike("b Ctrl+U Enter b b Esc h");
    assert!(event(&bench, 1, 0).notes[0].join.is_none() || bench.notice().is_empty(), "{}", bench.notice());
}

#[test]
fn joins_follow_the_frets_and_go_when_struck_again() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down");
    let join = |bench: &Bench| event(bench, 0, 2).notes[0].join;
    bench.strike("h");
    assert_eq!(join(&bench), None, "the hammer-on that was there");
    bench.strike("h");
    assert_eq!(join(&bench), Some(Join::HammerOn));
    bench.strike("7 h h");
    assert_eq!(join(&bench), Some(Join::PullOff), "from seven to two");
    bench.strike("s");
    assert_eq!(join(&bench), Some(Join::Slide));
    bench.strike("s");
    assert_eq!(join(&bench), Some(Join::SlideAndPick));
    bench.strike("s");
    assert_eq!(join(&bench), None);
    bench.strike("t");
    assert_eq!(bench.notice(), "a tie from fret 7 to fret 2; press t again to write it anyway");
    bench.strike("2 t");
    assert_eq!(join(&bench), Some(Join::Tie));
}

/// A run is typed from left to right, each note with what is done to it behind its fret.
#[test]
fn what_is_done_to_a_note_just_typed_leaves_the_next_fret_to_the_next_note() {
    let mut bench = on_passage((100, 30));
    bench.strike("a \"Run\" Enter Enter Enter Down Down Down Down 3 v 5 m 1 2 x 0 g b 7 b \"1\" Enter 8 & 1 0 Enter 9");
    let events: Vec<(u8, Vec<Technique>)> = bench.lesson().passages.last().unwrap().bars[0].voices[0]
        .0
        .iter()
        .map(|event| (event.notes[0].fret.number(), event.notes[0].techniques.clone()))
        .collect();
    let frets: Vec<u8> = events.iter().map(|(fret, _)| *fret).collect();
    assert_eq!(frets, [3, 5, 12, 0, 7, 8, 9]);
    assert_eq!(events[0].1, [Technique::Vibrato]);
    assert_eq!(events[1].1, [Technique::PalmMute]);
    assert_eq!(events[2].1, [Technique::Dead]);
    // Elsewhere than at the end, a fret goes to the note that the cursor is on.
    bench.strike("Home 4 v 6");
    let first = &bench.lesson().passages.last().unwrap().bars[0].voices[0].0[0].notes[0];
    assert_eq!(first.fret.number(), 6);
}

#[test]
fn every_technique_is_in_the_list_and_those_that_do_not_fit_say_why() {
    let mut bench = on_passage((100, 48));
    bench.strike("Right Down Down Down Enter");
    let screen = bench.screen();
    for word in
        ["hammer-on", "pull-off", "legato slide", "vibrato", "ghost note", "trill...", "tremolo-bar dive...", "rake up"]
    {
        assert!(screen.contains(word), "{word}\n{screen}");
    }
    assert!(screen.contains("(tie: a rest comes before the note"), "{screen}");
    bench.strike("Enter");
    let on = |bench: &Bench| event(bench, 0, 1).notes[0].techniques.clone();
    assert_eq!(on(&bench), [Technique::Vibrato], "the first line that fits");
    bench.strike("v m +");
    assert_eq!(on(&bench), [Technique::PalmMute, Technique::Tap]);
    bench.strike("g");
    assert!(bench.notice().starts_with("palm mute and let ring together"), "{}", bench.notice());
    bench.strike("m + k k");
    assert_eq!((on(&bench), event(&bench, 0, 1).stroke), (Vec::new(), Some(Stroke::Up)));
}

#[test]
fn amounts_and_frets_of_techniques_are_typed() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Down Down Down");
    let on = |bench: &Bench| event(bench, 0, 1).notes[0].techniques.clone();
    let amount = |text: &str| text.parse().unwrap();
    for (typed, expected) in [
        ("1/2", Technique::Bend(amount("1/2"))),
        ("1 1/2 r", Technique::BendRelease(amount("1 1/2"))),
        ("pre 1", Technique::PreBend(amount("1"))),
        ("pre 1/4 release", Technique::PreBendRelease(amount("1/4"))),
    ] {
        bench.strike(&format!("b Ctrl+U \"{typed}\" Enter"));
        if bench.notice().contains(" again") {
            bench.strike("b Ctrl+U Enter");
            bench.strike(&format!("b Ctrl+U \"{typed}\" Enter"));
        }
        assert_eq!(on(&bench), [expected], "{typed}: {}", bench.notice());
    }
    bench.strike("b Ctrl+U \"far\" Enter");
    assert!(bench.screen().contains("`far` is not a bend"));
}

#[test]
fn grace_notes_and_fingers_are_typed_for_the_note() {
    let mut bench = on_passage((100, 60));
    let choose = |bench: &mut Bench, word: &str| {
        bench.strike("Enter");
        let Some(Overlay::Choice(list)) = &bench.state.overlay else { panic!("no list") };
        let line = list.lines.iter().position(|(text, _)| text.starts_with(word)).unwrap();
        bench.strike(&"Down ".repeat(line));
        bench.strike("Enter");
    };
    bench.strike("Right Down Down Down");
    choose(&mut bench, "grace notes");
    bench.strike("\"0 4\" Enter");
    let grace: Vec<(u8, Option<Join>)> =
        event(&bench, 0, 1).grace.iter().map(|note| (note.fret.number(), note.join)).collect();
    assert_eq!(grace, [(0, Some(Join::HammerOn)), (4, Some(Join::PullOff))]);
    choose(&mut bench, "fretting finger");
    bench.strike("\"2\" Enter");
    assert_eq!(event(&bench, 0, 1).notes[0].finger, Some(Finger::Middle));
}

#[test]
fn letters_lead_to_a_technique_in_four_keys() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Down Down Down");
    let on = |bench: &Bench| event(bench, 0, 1).notes[0].techniques.clone();
    bench.strike("Enter t r");
    assert!(bench.screen().contains(": tr "), "{}", bench.screen());
    bench.strike("Enter Ctrl+U \"9\" Enter");
    assert!(matches!(on(&bench)[..], [Technique::Trill(_)]), "{}", bench.screen());
    bench.strike("u Enter t h Enter Ctrl+U \"19\" Enter");
    assert!(matches!(on(&bench)[..], [Technique::TappedHarmonic(_)]), "{}", bench.screen());
    // A letter that begins no line says so, and an arrow begins anew.
    bench.strike("u Enter t Down v");
    assert!(bench.screen().contains(": v "), "{}", bench.screen());
}

#[test]
fn a_refusal_goes_with_the_next_thing_that_is_done_and_other_trouble_stays() {
    let mut bench = on_passage((80, 24));
    bench.strike("Right Right Down Down 7 t");
    assert!(bench.notice().starts_with("a tie from fret 7 to fret 2"), "{}", bench.notice());
    bench.strike("F11");
    assert!(bench.notice().starts_with("a tie from fret 7"), "a slip of the finger does nothing: {}", bench.notice());
    bench.strike("h");
    assert_eq!((event(&bench, 0, 2).notes[0].join, bench.notice()), (None, ""));
    bench.strike("t");
    assert!(bench.notice().starts_with("a tie from fret 7"), "{}", bench.notice());
    bench.strike("n");
    assert_eq!(bench.notice(), "", "a box opens");
    bench.strike("Esc");
    bench.send(Message::Saved(Err("the disk is full".to_owned())));
    bench.strike("Left");
    assert!(bench.notice().starts_with("not saved"), "{}", bench.notice());
}

#[test]
fn the_list_of_techniques_knows_the_whammy_bar() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Right Down Down Enter w h a m m y");
    let Some(Overlay::Choice(choice)) = &bench.state.overlay else { panic!("no list") };
    assert!(choice.lines[choice.selected].0.starts_with("tremolo-bar"), "{}", choice.lines[choice.selected].0);
}
