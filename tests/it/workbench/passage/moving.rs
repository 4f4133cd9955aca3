//! Music that is copied, cut, handed on, transposed and put elsewhere on the neck.

use fingerpost::lesson::music::{Bar, Technique};
use fingerpost::tab::read::{ReadHints, read};
use fingerpost::workbench::messages::effect::{Effect, TerminalEffect};

use super::{event, frets, on_passage, passage};
use crate::workbench::bench::{Bench, small_lesson};

#[test]
fn events_and_bars_are_copied_cut_and_pasted() {
    let mut bench = on_passage((100, 30));
    bench.strike("Shift+Right c");
    assert_eq!(bench.notice(), "copied 2 notes or rests");
    bench.strike("End Ctrl+V");
    assert_eq!(frets(passage(&bench), 1), "6/3 r 5/3 4/2");
    bench.strike("u Home S S c Right Ctrl+V");
    assert_eq!((frets(passage(&bench), 0), passage(&bench).bars.len()), (frets(passage(&bench), 1), 3));
    bench.strike("u Home Shift+Down Ctrl+X");
    assert_eq!(bench.notice(), "cut 2 bars; u undoes");
    assert_eq!(passage(&bench).bars, [Bar::default()]);
    bench.strike("Ctrl+V");
    assert_eq!(bench.lesson(), &small_lesson(), "what was cut is back");
}

#[test]
fn selected_notes_are_muted_together_and_taken_out_together() {
    let mut bench = on_passage((100, 30));
    bench.strike("Shift+Right Shift+Right m");
    let muted = |bench: &Bench| {
        passage(bench).bars[0].voices[0]
            .0
            .iter()
            .filter(|event| event.notes[0].techniques == [Technique::PalmMute])
            .count()
    };
    assert_eq!(muted(&bench), 3);
    bench.strike("m");
    assert_eq!(muted(&bench), 0);
    bench.strike("Delete");
    assert_eq!(frets(passage(&bench), 0), "3/2");
}

#[test]
fn a_palm_mute_is_one_of_the_whole_chord() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down P a \"Chords\" Enter Enter Enter 3 Down 2 Down 0 m");
    let muted = |bench: &Bench| -> Vec<usize> {
        let notes = &bench.lesson().passages.last().unwrap().bars[0].voices[0].0[0].notes;
        notes.iter().map(|note| note.techniques.len()).collect()
    };
    assert_eq!(muted(&bench), [1, 1, 1]);
    bench.strike("m");
    assert_eq!(muted(&bench), [0, 0, 0]);
}

#[test]
fn tab_is_copied_out_as_text_that_reads_back() {
    let mut bench = on_passage((100, 30));
    bench.strike("Right Shift+Down Ctrl+K");
    let Some(Effect::Terminal(TerminalEffect::CopyOut(text))) = bench.wanted.pop() else {
        panic!("nothing was copied out")
    };
    assert!(text.is_ascii() && text.contains("E|"), "{text}");
    let hints = ReadHints::new(passage(&bench).id, "Turnaround");
    let mut back = read(&text, &hints).unwrap().passage;
    back.piece = passage(&bench).piece;
    assert_eq!(&back, passage(&bench));
    assert!(bench.notice().contains("where the terminal allows it"));
}

#[test]
fn a_passage_too_long_for_the_clipboard_is_copied_out_in_parts() {
    let mut lesson = small_lesson();
    let bars = lesson.passages[0].bars.clone();
    lesson.passages[0].bars = bars.iter().cycle().take(600).cloned().collect();
    let mut bench = Bench::on(lesson, (100, 30));
    bench.strike("Down P Ctrl+K");
    assert_eq!(bench.notice(), "too long for the system clipboard: select fewer bars");
    assert!(!bench.wanted.iter().any(|effect| matches!(effect, Effect::Terminal(TerminalEffect::CopyOut(_)))));
    bench.strike("Shift+Down Shift+Down Ctrl+K");
    assert!(bench.notice().starts_with("3 bars copied as text tab"), "{}", bench.notice());
}

#[test]
fn music_is_transposed_and_put_on_other_strings() {
    let mut bench = on_passage((100, 30));
    bench.strike("# \"2\" Enter");
    assert_eq!((frets(passage(&bench), 0), frets(passage(&bench), 1)), ("5/5 4/4 3/2 3/4".into(), "6/5 r".into()));
    assert_eq!(event(&bench, 0, 0).chord.as_deref(), Some("D"));
    bench.strike("u Down Down Down Down )");
    // Common practice: C is the eighth fret of the low E string.
    assert_eq!(frets(passage(&bench), 0), "6/8 4/2 3/0 3/2");
    assert_eq!(bench.desk().passage.cursor(), (1, 1, 6), "the cursor goes along");
    bench.strike(")");
    assert_eq!(bench.notice(), "there is no string beyond this one");
    bench.strike("u # \"far\" Enter");
    assert!(bench.screen().contains("`far` is not a number of half steps"));
    bench.strike("Ctrl+U \"99\" Enter");
    assert!(bench.screen().contains("`99` is not a number of half steps from -36 to 36"), "{}", bench.screen());
}

#[test]
fn the_passage_is_placed_anew_for_another_setup() {
    let mut bench = on_passage((100, 30));
    bench.strike("E Enter Down Enter");
    assert_eq!(bench.lesson().passages[0].setup, Some(bench.lesson().setups[1].id));
    // Under a capo at the second fret the same pitches lie two frets lower, where there is room.
    let first = event(&bench, 0, 0).notes[0].clone();
    assert_eq!((first.string.number(), first.fret.number()), (5, 1));
    bench.strike("Esc u");
    assert_eq!(bench.lesson(), &small_lesson());
}
