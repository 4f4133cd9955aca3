//! Hearing what stands on the screen: what is played is looked at as a score, without a device.

use fingerpost::instrument::neck::{Fret, StringNumber};
use fingerpost::lesson::document::PassageUse;
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::{Note, Passage, Voice};
use fingerpost::lesson::seconds::Seconds;
use fingerpost::theory::pitch::{FinePitch, Hertz};
use fingerpost::workbench::drawing::role::Role;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, SoundEffect};
use fingerpost::workbench::messages::message::Message;
use fingerpost::workbench::playback::playing::SoundOrder;

use super::bench::{Bench, small_lesson};

/// What was played last.
#[track_caller]
fn order(bench: &Bench) -> &SoundOrder {
    let played = bench.wanted.iter().rev().find_map(|effect| match effect {
        Effect::Sound(SoundEffect::Play(order, _)) => Some(&**order),
        _ => None,
    });
    played.expect("something is played")
}

fn pitches(bench: &Bench) -> Vec<f64> {
    order(bench).score.notes.iter().map(|note| note.pitch.0).collect()
}

/// A bench whose fretboard holds an open C chord of a guitar.
fn on_c() -> Bench {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F s \"x32010\" Enter");
    bench
}

#[test]
fn the_fingers_are_heard_in_every_manner() {
    let mut bench = on_c();
    let c = [48.0, 52.0, 55.0, 60.0, 64.0];
    bench.strike("F5");
    assert_eq!(pitches(&bench), c);
    bench.strike("Shift+F5");
    assert_eq!(pitches(&bench), c.iter().rev().copied().collect::<Vec<_>>());
    bench.strike("F6");
    assert_eq!(pitches(&bench), c);
    assert!(order(&bench).score.notes[1].start > Seconds(0.2));
    bench.strike("F7");
    assert_eq!(pitches(&bench), [48.0]);
    bench.strike("Home Up Up Up Up Up Up Down Shift+F7");
    assert_eq!(pitches(&bench), [60.0]);
}

#[test]
fn the_first_sound_comes_with_a_word_about_ears_and_the_next_without() {
    let mut bench = on_c();
    bench.strike("F5");
    assert!(bench.notice().contains("80 dB for 40 hours a week"), "{}", bench.notice());
    assert!(matches!(bench.wanted.last(), Some(Effect::Sound(SoundEffect::Play(_, settings))) if settings.warned));
    bench.strike("F5");
    assert_eq!(bench.notice(), "C");
}

#[test]
fn doubtful_strings_are_heard_or_not() {
    let mut bench = on_c();
    bench.strike("Home Up Up Up Up Up Up d F5");
    assert_eq!(pitches(&bench).len(), 5);
    bench.strike("Shift+F12 F5");
    assert_eq!(pitches(&bench), [48.0, 52.0, 55.0, 60.0]);
}

#[test]
fn a_drone_is_the_bass_of_the_name_or_the_one_that_was_stated() {
    let mut bench = on_c();
    bench.strike("F5");
    assert_eq!(order(&bench).score.drone, None);
    bench.strike("_ F5");
    assert_eq!(order(&bench).score.drone.map(|drone| drone.pitch.0), Some(36.0));
    bench.strike("R b \"D\" Enter F _ _ F5");
    assert_eq!(order(&bench).score.drone.map(|drone| drone.pitch.0), Some(38.0));
}

#[test]
fn slots_are_heard_one_after_the_other_and_a_name_against_its_shape() {
    let mut bench = on_c();
    bench.strike("F8");
    assert!(bench.notice().contains("slots A and B"), "{}", bench.notice());
    bench.strike("A s \"320003\" Enter B F8");
    assert_eq!(pitches(&bench), [48.0, 52.0, 55.0, 60.0, 64.0, 43.0, 47.0, 50.0, 55.0, 59.0, 67.0]);
    bench.strike("s \"x32010\" Enter R F5");
    assert_eq!(pitches(&bench), [48.0, 52.0, 55.0]);
    bench.strike("F8");
    assert_eq!(pitches(&bench), [48.0, 52.0, 55.0, 48.0, 52.0, 55.0, 60.0, 64.0]);
}

#[test]
fn music_is_heard_from_the_cursor_or_what_is_selected_or_all_of_it() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Home Down P F6");
    let whole = order(&bench).score.notes.len();
    assert!(whole > 4);
    bench.strike("Ctrl+P Home Right F5");
    let rest = order(&bench).score.notes.len();
    assert!(rest < whole, "{rest} of {whole}");
    bench.strike("Ctrl+P S F5");
    assert!(order(&bench).score.notes.len() < rest);
    // The segment has the same music.
    bench.strike("Ctrl+P T F5");
    assert_eq!(order(&bench).score.notes.len(), whole);
}

#[test]
fn the_same_key_stops_music_and_strikes_a_chord_again() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Home Down P F5 F5");
    assert_eq!(bench.wanted.last(), Some(&Effect::Sound(SoundEffect::Stop)));
    assert_eq!(bench.state.playback.playing, None);
    let mut bench = on_c();
    bench.strike("F5 F5");
    assert_eq!(bench.wanted.iter().filter(|effect| matches!(effect, Effect::Sound(SoundEffect::Play(..)))).count(), 2);
}

#[test]
fn the_tempo_changes_where_the_music_is() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Home Down P F6");
    let marks = order(&bench).score.marks.clone();
    bench.send(Message::Heard(Some(marks[2].at + Seconds(0.01))));
    bench.strike("% Ctrl+U \"50\" Enter");
    let slow = order(&bench);
    assert!((slow.from - (marks[2].at - marks[0].at) * 2.0).0.abs() < 1e-6, "{:?} {marks:?}", slow.from);
    bench.strike("{ { } % Ctrl+U \"20\" Enter");
    assert!(bench.screen().contains("25 to 150"), "{}", bench.screen());
    bench.strike("Esc");
    assert_eq!(bench.state.playback.percent, 45);
    assert!(bench.screen().contains("45 % of the"), "{}", bench.screen());
}

#[test]
fn a_loop_leaves_the_count_in_out() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Home Down P F9 Down Enter @ F6 F6");
    let found = order(&bench);
    let first = found.score.marks.iter().find(|mark| mark.bar.is_some()).unwrap().at;
    assert!(first > Seconds(0.5));
    assert_eq!(found.span, Some((first, found.score.end)));
    assert!(!found.score.clicks.is_empty());
    assert!(bench.screen().contains("counting in"), "{}", bench.screen());
}

#[test]
fn tab_and_fretboard_show_what_is_heard() {
    let mut bench = Bench::small((160, 48));
    bench.strike("Home Down P F6");
    let before = bench.buffer();
    let mark = order(&bench).score.marks[1];
    bench.send(Message::Heard(Some(mark.at + Seconds(0.01))));
    let role = bench.state.appearance.style(Role::Heard);
    let lit = |bench: &Bench, focus| {
        let (buffer, area) = (bench.buffer(), bench.state.layout().unwrap().pane(focus).area);
        area.positions()
            .filter(|place| {
                buffer[*place].fg == ratatui::style::Color::Green && buffer[*place].modifier.contains(role.add_modifier)
            })
            .count()
    };
    assert!(lit(&bench, Focus::Passage) > 0, "{}", bench.screen());
    assert!(lit(&bench, Focus::Fretboard) > 0, "{:?}", bench.state.playback.playing);
    assert_ne!(bench.buffer(), before);
    assert!(bench.state.wake_in().is_some());
    bench.send(Message::Heard(None));
    assert_eq!(lit(&bench, Focus::Passage) + lit(&bench, Focus::Fretboard), 0);
    assert_eq!(bench.state.wake_in(), None);
}

#[test]
fn the_volume_is_kept_and_closing_the_lesson_is_silence() {
    let mut bench = on_c();
    bench.strike("F4 F4 F3");
    let Some(Effect::Sound(SoundEffect::KeepSettings(settings))) = bench.wanted.last() else { panic!("kept") };
    assert_eq!(settings.volume, 40);
    bench.strike("F5 Ctrl+S Ctrl+O");
    assert_eq!(bench.state.playback.playing, None);
}

#[test]
fn where_nothing_can_be_heard_it_is_said() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F Shift+Delete F5");
    assert!(bench.notice().contains("nothing sounds"), "{}", bench.notice());
    bench.strike("L f \"no such voicing\" Enter F5");
    assert!(bench.notice().contains("no voicing is selected"), "{}", bench.notice());
    bench.strike("End T End F5");
    assert!(bench.notice().contains("plays no passage: t in the timeline"), "{}", bench.notice());
}

#[test]
fn what_nobody_hears_is_said_each_time() {
    let mut bench = on_c();
    bench.strike("F5");
    bench.send(Message::Silent(true));
    bench.strike("F5");
    assert!(bench.notice().ends_with("in silence, without a sound device"), "{}", bench.notice());
    bench.strike("Down P F6 Left");
    let foot = bench.screen().lines().last().unwrap().to_owned();
    assert!(foot.contains("playing \"Turnaround\" in silence, without a sound device, bar 1"), "{foot}");
    bench.send(Message::Silent(false));
    assert!(!bench.screen().contains("in silence"));
}

#[test]
fn the_box_of_what_is_heard_shows_how_things_stand() {
    let mut bench = on_c();
    bench.strike("F9");
    let line = |bench: &Bench, text: &str| bench.screen().lines().find(|line| line.contains(text)).unwrap().to_owned();
    assert!(line(&bench, "metronome click").contains("[ ] metronome click"));
    assert!(line(&bench, "each instrument's own sound").contains("[x]"));
    bench.strike("Enter F9 Down Down Down Enter } @ F9");
    assert!(line(&bench, "metronome click").contains("[x] metronome click"));
    assert!(line(&bench, "each instrument's own sound").contains("[ ]"));
    assert!(line(&bench, "use nylon for everything").contains("[x]"));
    assert!(bench.screen().contains("105 % tempo, loop on, volume 30 %."), "{}", bench.screen());
}

#[test]
fn the_device_is_chosen_from_those_there_are() {
    let mut bench = on_c();
    bench.strike("F9 End Enter");
    assert_eq!(bench.wanted.last(), Some(&Effect::Sound(SoundEffect::SeekDevices)));
    let found =
        vec![("sink.one".to_owned(), "Loudspeakers".to_owned()), ("sink.two".to_owned(), "Headphones".to_owned())];
    bench.send(Message::DevicesFound(Ok(found)));
    assert!(bench.screen().contains("Headphones"), "{}", bench.screen());
    bench.strike("Down Down Enter");
    assert!(
        matches!(bench.wanted.last(), Some(Effect::Sound(SoundEffect::KeepSettings(settings))) if settings.device == "sink.two")
    );
    bench.send(Message::DevicesFound(Err("there is no sound server".to_owned())));
    assert_eq!(bench.notice(), "there is no sound server");
}

#[test]
fn the_bass_is_held_under_names_and_under_both_of_two_shapes_as_well() {
    let mut bench = on_c();
    let held = |bench: &Bench| order(bench).score.drone.map(|drone| drone.pitch);
    // F2 is what somebody else plays under C: MIDI 41, in the octave from E1 on.
    bench.strike("R b \"F\" Enter _ F5");
    assert_eq!(held(&bench), Some(FinePitch(29.0)), "the name in root position");
    bench.strike("F8");
    assert_eq!(held(&bench), Some(FinePitch(29.0)), "the name, then the shape");
    // What was said of C was not said of G.
    bench.strike("F A s \"320003\" Enter B F8");
    assert_eq!(held(&bench), None, "a bass that was said of another chord");
    bench.strike("R b \"F\" Enter F F8");
    assert_eq!(held(&bench), Some(FinePitch(29.0)), "slot A, then slot B");
    bench.strike("_ F8");
    assert_eq!(held(&bench), None);
}

#[test]
fn slots_are_compared_from_the_library_too() {
    let mut bench = on_c();
    bench.strike("A s \"320003\" Enter B L F8");
    assert_eq!(pitches(&bench), [48.0, 52.0, 55.0, 60.0, 64.0, 43.0, 47.0, 50.0, 55.0, 59.0, 67.0]);
}

#[test]
fn chords_sound_at_the_reference_of_the_setup_as_music_does() {
    let mut lesson = small_lesson();
    lesson.setups[0].reference = Some(Hertz(432.0));
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P F6");
    assert_eq!(order(&bench).reference, Hertz(432.0));
    for pane in ["F", "R"] {
        bench.strike(&format!("Ctrl+P {pane} F5"));
        assert_eq!(order(&bench).reference, Hertz(432.0), "{pane}");
    }
}

#[test]
fn a_segment_is_heard_as_it_is_planned_and_the_tab_follows() {
    let mut lesson = small_lesson();
    let again = PassageUse { times: 2, slow_times: 1, slow_percent: 50, ..PassageUse::whole(PassageId(1)) };
    lesson.segments[1].passages = vec![again];
    let mut bench = Bench::on(lesson, (160, 48));
    bench.strike("Down P F6");
    let once = order(&bench).score.clone();
    bench.strike("Ctrl+P T F5");
    let planned = order(&bench).score.clone();
    assert_eq!(planned.notes.len(), 3 * once.notes.len());
    // At 92 quarters a minute two bars last 480/92 s; then half a second, and the slow turn.
    let turn = 480.0 / 92.0;
    assert!((planned.end.0 - (4.0 * turn + 0.5)).abs() < 1e-9, "{:?}", planned.end);
    // In the second turn the first note of the tab is shown again.
    let shown = |bench: &mut Bench, second: f64| {
        bench.send(Message::Heard(Some(Seconds(second))));
        let (buffer, area) = (bench.buffer(), bench.state.layout().unwrap().pane(Focus::Passage).area);
        let green = area.positions().filter(|place| buffer[*place].fg == ratatui::style::Color::Green);
        green.map(|place| (place.x, place.y)).collect::<Vec<_>>()
    };
    let first = shown(&mut bench, turn + 0.01);
    assert!(!first.is_empty(), "{}", bench.screen());
    assert_ne!(shown(&mut bench, turn + 0.7), first);
    assert_eq!(shown(&mut bench, 2.0 * turn + 0.51), first, "slowly");
}

#[test]
fn from_a_cursor_within_a_repeat_the_repeat_is_still_taken() {
    let mut lesson = small_lesson();
    lesson.passages[0].bars[1].repeat_end = Some(2);
    let mut bench = Bench::on(lesson, (100, 30));
    // From the second beat: the rest of bar 1, bar 2, and both again.
    bench.strike("Down P Home Right F5");
    assert_eq!(pitches(&bench), [52.0, 55.0, 57.0, 43.0, 48.0, 52.0, 55.0, 57.0, 43.0]);
    // From bar 2: that bar, and both again.
    bench.strike("Ctrl+P Right Right Right F5");
    assert_eq!(pitches(&bench), [43.0, 48.0, 52.0, 55.0, 57.0, 43.0]);
}

#[test]
fn what_lies_before_the_first_beat_is_heard_in_every_round_of_a_loop() {
    let mut lesson = small_lesson();
    let grace = Note::plain(StringNumber::new(5).unwrap(), Fret::new(1).unwrap());
    lesson.passages[0].bars[0].voices[0].0[0].grace = vec![grace];
    let mut bench = Bench::on(lesson, (100, 30));
    for count_in in ["", "F9 Down Enter"] {
        bench.strike(&format!("Down P {count_in} @ F6"));
        let found = order(&bench);
        let (Seconds(first), Seconds(end)) = found.span.unwrap();
        let graces: Vec<f64> =
            found.score.notes.iter().filter(|note| note.pitch == FinePitch(46.0)).map(|note| note.start.0).collect();
        // Once before the first beat, once as long before the loop comes round.
        assert_eq!(graces.len(), 2, "{graces:?}");
        assert!(graces[0] < first && (first - graces[0] - (end - graces[1])).abs() < 1e-9, "{graces:?} {first} {end}");
        assert!(found.score.notes.is_sorted_by_key(|note| (note.start.0 * 1e6) as u64));
        bench.strike("Ctrl+P @ Home");
    }
}

#[test]
fn the_passage_that_is_heard_is_shown_while_its_segment_plays() {
    let mut lesson = small_lesson();
    let second = Passage { id: PassageId(2), title: "Answer".to_owned(), ..lesson.passages[0].clone() };
    lesson.passages.push(second);
    lesson.segments[1].passages.push(PassageUse::whole(PassageId(2)));
    let mut bench = Bench::on(lesson, (160, 48));
    bench.strike("Down F5");
    let marks = &order(&bench).score.marks;
    let answer = marks.iter().find(|mark| mark.passage == Some(PassageId(2))).unwrap().at;
    bench.send(Message::Heard(Some(Seconds(0.1))));
    assert!(bench.screen().contains("─ Turnaround "), "{}", bench.screen());
    bench.send(Message::Heard(Some(answer + Seconds(0.1))));
    assert!(bench.screen().contains("─ Answer "), "{}", bench.screen());
    let role = bench.state.appearance.style(Role::Heard).add_modifier;
    let (buffer, area) = (bench.buffer(), bench.state.layout().unwrap().pane(Focus::Passage).area);
    assert!(area.positions().any(|place| buffer[place].modifier.contains(role)));
    // Who writes in a passage stays there.
    bench.strike("P");
    bench.send(Message::Heard(Some(Seconds(0.1))));
    assert!(bench.screen().contains("─ Answer "), "{}", bench.screen());
}

/// A bench whose only passage is these events of one bar, and what is lit on its neck at some seconds.
fn lit_at<const MANY: usize>(size: (u16, u16), events: &str, seconds: [f64; MANY]) -> [Vec<(u8, u8)>; MANY] {
    let mut lesson = small_lesson();
    let events = ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(&format!("[{events}]"))
        .unwrap();
    lesson.passages[0].bars[0].voices[0] = Voice(events);
    let mut bench = Bench::on(lesson, size);
    bench.strike("Down P F6");
    seconds.map(|second| {
        bench.send(Message::Heard(Some(Seconds(second))));
        let neck = &bench.desk().fretboard;
        let places = (1..=6).flat_map(|string| (0..=22).map(move |fret| (string, fret)));
        let is_lit =
            |(string, fret): &(u8, u8)| neck.is_lit(StringNumber::new(*string).unwrap(), Fret::new(*fret).unwrap());
        places.filter(is_lit).collect()
    })
}

#[test]
fn the_finger_that_is_lit_is_where_it_lies_and_not_where_the_pitch_is() {
    // A half note at 92 lasts 1.3 s.
    for (how, meant) in [
        (r#"techniques: [Bend("1")]"#, [7, 7]),
        (r#"techniques: [PreBend("1 1/2")]"#, [7, 7]),
        (r#"techniques: [Bend("1"), TremoloPicking]"#, [7, 7]),
        (r#"techniques: [TremoloBarDive("1")]"#, [7, 7]),
        ("techniques: [NaturalHarmonic]", [7, 7]),
        ("join: Slide", [7, 9]),
        ("join: HammerOn", [7, 9]),
    ] {
        let events = format!(
            r#"(length: "1/2", notes: [(string: 3, fret: 7, {how})]), (length: "1/2", notes: [(string: 3, fret: {})])"#,
            meant[1]
        );
        let after = if meant[1] == 7 { 1.2 } else { 1.5 };
        let found = lit_at((160, 48), &events, [0.5, after]);
        assert_eq!(found, meant.map(|fret| vec![(3, fret)]), "{how}");
    }
    // A trill goes to and fro.
    let events = r#"(length: "1/1", notes: [(string: 3, fret: 7, techniques: [Trill(9)])])"#;
    assert_eq!(lit_at((160, 48), events, [0.04, 0.13]), [vec![(3, 7)], vec![(3, 9)]]);
}

#[test]
fn the_neck_shows_the_frets_that_are_heard() {
    let mut lesson = small_lesson();
    lesson.passages[0].bars[0].voices[0].0[0].notes[0].fret = Fret::new(17).unwrap();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P F6");
    let lit = |bench: &Bench| {
        let (buffer, area) = (bench.buffer(), bench.state.layout().unwrap().pane(Focus::Fretboard).area);
        let role = bench.state.appearance.style(Role::Heard).add_modifier;
        let green = |place: &ratatui::layout::Position| {
            buffer[*place].fg == ratatui::style::Color::Green && buffer[*place].modifier.contains(role)
        };
        area.positions().filter(green).count()
    };
    bench.send(Message::Heard(Some(Seconds(0.01))));
    assert!(lit(&bench) > 0, "{}", bench.screen());
    bench.send(Message::Heard(Some(Seconds(0.7))));
    assert!(lit(&bench) > 0, "{}", bench.screen());
}

#[test]
fn what_is_selected_is_what_a_loop_goes_round_in() {
    let mut bench = Bench::small((100, 30));
    let quarter = 60.0 / 92.0;
    for (keys, notes, quarters) in [
        // The second and third beat; the whole second bar; from the second beat on, to the end.
        ("Home Right S Right", &[52.0, 55.0][..], 2.0),
        ("Esc Home Right Right Right Right S S", &[43.0], 4.0),
        ("Esc Home Right", &[52.0, 55.0, 57.0, 43.0], 7.0),
    ] {
        bench.strike(&format!("Down P Ctrl+P {keys} @ F5"));
        let found = order(&bench);
        assert_eq!(found.score.notes.iter().map(|note| note.pitch.0).collect::<Vec<_>>(), notes, "{keys}");
        let (Seconds(from), Seconds(to)) = found.span.expect("it goes round");
        assert!(from == 0.0 && (to - quarters * quarter).abs() < 1e-9, "{keys}: {to}");
        bench.strike("@");
        assert_eq!(order(&bench).span, None, "{keys}");
    }
}
