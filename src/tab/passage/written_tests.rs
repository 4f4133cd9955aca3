//! Notes as players write and read them: bends in steps, ties in brackets, a mute for one note alone.

use super::tests::{bar, ev, n, passage, text, there_and_back, to, with};
use super::*;
use crate::lesson::id::PassageId;
use crate::lesson::music::{BendAmount, Join, Passage, Technique};
use crate::tab::read::{ReadHints, read};
use crate::tab::style::TabSpacing;
use crate::tab::style::TabStyle;
use crate::text::charset::Charset;

fn bent(quarters: u8) -> BendAmount {
    BendAmount::quarter_tones(quarters).unwrap()
}

/// Reads tab; returns the bars.
#[track_caller]
fn read_back(text: &str) -> Passage {
    read(text, &ReadHints::new(PassageId(1), "riff".to_owned())).unwrap().passage
}

#[test]
fn bends_are_written_in_whole_steps_as_players_say_them() {
    // What bends are called is common practice, no published source.
    for (fret, quarters, written) in [
        (7, 1, "7b1/4"),
        (7, 2, "7b1/2"),
        (7, 3, "7b3/4"),
        (7, 4, "7bfull"),
        (7, 5, "7b1+1/4"),
        (7, 6, "7b1+1/2"),
        (7, 8, "7b2"),
        (7, 12, "7b3"),
        (0, 4, "0bfull"),
        // `2b2` has always been a bend to the pitch of fret 2.
        (2, 8, "2b6"),
    ] {
        for charset in [Charset::Utf8, Charset::Ascii] {
            let note = with(n(3, fret), &[Technique::Bend(bent(quarters))]);
            let riff = passage(vec![bar(vec![ev("1/2", &[note]), ev("1/2", &[n(3, 5)])])]);
            let text = there_and_back(&riff, 72, charset);
            let string = text.lines().find(|line| line.starts_with('G')).unwrap();
            let sign = string.trim_start_matches(['G', '|', '│', '-', '─']).split(['-', '─']).next();
            assert_eq!(sign, Some(written), "{text}");
        }
    }
}

#[test]
fn every_kind_of_bend_comes_back_with_what_follows_it() {
    for quarters in 1..=BendAmount::WIDEST {
        let amount = bent(quarters);
        let kinds = [
            Technique::Bend(amount),
            Technique::BendRelease(amount),
            Technique::PreBend(amount),
            Technique::PreBendRelease(amount),
        ];
        for fret in [0, 1, 3, 9] {
            for width in [24, 40, 72] {
                let notes = kinds.map(|kind| {
                    let slid = to(with(n(3, fret), &[kind, Technique::Vibrato]), Join::Slide);
                    ev("1/8", &[slid])
                });
                let more = ev("1/2", &[with(n(1, fret), &[kinds[1]])]);
                let riff = passage(vec![bar(notes.into_iter().chain([more]).collect())]);
                there_and_back(&riff, width, Charset::Utf8);
                there_and_back(&riff, width, Charset::Ascii);
            }
        }
    }
}

#[test]
fn the_tremolo_bar_is_written_in_whole_steps_and_comes_back_with_what_follows_it() {
    for quarters in 1..=BendAmount::WIDEST {
        let kinds = [Technique::TremoloBarDip(bent(quarters)), Technique::TremoloBarDive(bent(quarters))];
        for (fret, join) in [(0, Join::Slide), (1, Join::HammerOn), (12, Join::SlideAndPick)] {
            let events = kinds.map(|kind| ev("1/4", &[to(with(n(3, fret), &[kind]), join)]));
            let riff = passage(vec![bar(events.into_iter().chain([ev("1/2", &[n(3, 14)])]).collect())]);
            there_and_back(&riff, 40, Charset::Ascii);
        }
    }
    let signs = [2, 4, 6].map(|quarters| with(n(3, 7), &[Technique::TremoloBarDip(bent(quarters))]));
    let events = signs.iter().map(|note| ev("1/4", std::slice::from_ref(note))).chain([ev("1/4", &[n(3, 5)])]);
    let riff = passage(vec![bar(events.collect())]);
    let text = render(&riff, &super::tests::labels(), &TabStyle::filled(60, Charset::Ascii));
    let string = text.systems[0].lines.iter().find(|line| line.contains('7')).unwrap();
    let written: Vec<&str> = string.split('-').filter(|part| part.contains('7')).collect();
    assert_eq!(written, ["7v(1/2)", "7v(1)", "7v(1+1/2)"]);
    assert!(text.legend.iter().all(|entry| !entry.meaning.contains("quarter tone")), "{:?}", text.legend);
}

#[test]
fn a_bar_without_room_names_the_pitch_that_a_bend_reaches() {
    let lick = || ev("1/8", &[with(n(3, 7), &[Technique::BendRelease(bent(5))])]);
    let riff = passage(vec![bar((0..8).map(|_| lick()).collect())]);
    let wide = there_and_back(&riff, 100, Charset::Ascii);
    assert!(wide.contains("7b1+1/4r7") && !wide.contains("7b9"), "{wide}");
    let narrow = there_and_back(&riff, 60, Charset::Ascii);
    assert!(narrow.contains("7b9+r7") && !narrow.contains("1/4r"), "{narrow}");
    let meanings = |width: usize| {
        let text = render(&riff, &super::tests::labels(), &TabStyle::filled(width, Charset::Ascii));
        text.legend.into_iter().map(|entry| entry.sign).collect::<Vec<_>>()
    };
    assert_eq!(meanings(100), ["e", "7bfullr7", "b1/2"]);
    assert_eq!(meanings(60), ["e", "7bfullr7", "7b9", "+", ">"]);
}

#[test]
fn what_was_printed_before_is_read_as_it_was_meant() {
    let drawn = |signs: [&str; 4]| {
        let third: String = signs.iter().map(|sign| format!("{sign:-<12}")).collect();
        let fourth: String = ["-", "-", "-", "5"].iter().map(|sign| format!("{sign:-<12}")).collect();
        let rest = "-".repeat(48);
        let lengths = "q           ".repeat(4);
        format!("4/4  q=120\n1  {lengths}\ne|-{rest}|\nB|-{rest}|\nG|-{third}|\nD|-{fourth}|\nA|-{rest}|\nE|-{rest}|\n")
    };
    // The tremolo bar was written in half steps.
    let bar = [["7v1", "7d2", "7v3", "7d0+"], ["7v(1/2)", "7d(1)", "7v(1+1/2)", "7d(1/4)"]].map(drawn);
    assert_eq!(read_back(&bar[0]).bars, read_back(&bar[1]).bars);
    let old = drawn(["7b9", "7b9r7", "7pb8+", "7."]);
    let new = drawn(["7bfull", "7bfullr7", "7pb3/4", "7m"]);
    assert_eq!(read_back(&old).bars, read_back(&new).bars);
    let bars = read_back(&old).bars;
    let techniques: Vec<_> = bars[0].voices[0].0.iter().flat_map(|event| event.notes[0].techniques.clone()).collect();
    let full = BendAmount::FULL;
    let wanted =
        [Technique::Bend(full), Technique::BendRelease(full), Technique::PreBend(bent(3)), Technique::PalmMute];
    assert_eq!(techniques, wanted);
}

#[test]
fn a_note_that_another_is_tied_to_stands_in_brackets_over_bar_lines_too() {
    let held = || to(n(3, 7), Join::Tie);
    let ghost = || with(n(3, 7), &[Technique::Ghost]);
    let riff = passage(vec![
        bar(vec![ev("1/2", &[n(2, 5), held()]), ev("1/2", &[n(2, 5), held()])]),
        bar(vec![ev("1/2", &[n(3, 7)]), ev("1/2", &[ghost()])]),
        bar(vec![ev("1/1", &[n(3, 7)])]),
    ]);
    insta::assert_snapshot!(there_and_back(&riff, 60, Charset::Ascii), @r"
    4/4  q=120
    1  h       h         h       h          w
    e|-----------------|------------------|--------------------|
    B|-5-------5-------|------------------|--------------------|
    G|-7=------(7)=----|-(7)-----(7)------|-7------------------|
    D|-----------------|------------------|--------------------|
    A|-----------------|------------------|--------------------|
    E|-----------------|------------------|--------------------|
       1   2   3   4     1   2   3   4      1   2    3   4
    ");
    // Tab from before has no brackets there.
    let text = text(&riff, 60, Charset::Ascii);
    let plain = text.replace("--(7)=--", "--7=----").replace("|-(7)-", "|-7---");
    assert_ne!(text, plain);
    assert_eq!(read_back(&text).bars, read_back(&plain).bars);
}

#[test]
fn chord_names_between_bars_are_no_strings() {
    // A lone palm mute is written with an `m`.
    let tab = "|Bm|Bm|\ne|-7m--5--|\nB|-7---5--|\nG|-7---5--|\n";
    let found = read_back(tab);
    let strings = found.bars[0].voices[0].0[0].notes.len();
    assert_eq!(strings, 3, "{found:?}");
}

/// PH over the note is common practice in print; a note of a chord alone has its own sign.
#[test]
fn a_pinch_harmonic_is_written_over_the_strings() {
    let squeal = with(n(3, 5), &[Technique::PinchHarmonic]);
    let chord = [with(n(3, 5), &[Technique::PinchHarmonic]), n(4, 5)];
    let riff = passage(vec![bar(vec![ev("1/2", &[squeal]), ev("1/2", &chord)])]);
    insta::assert_snapshot!(there_and_back(&riff, 60, Charset::Ascii), @r"
    4/4  q=120
       PH
    1  h       h
    e|-----------------|
    B|-----------------|
    G|-5-------5!------|
    D|---------5-------|
    A|-----------------|
    E|-----------------|
       1   2   3   4
    ");
}

/// The passage that is written, the recording view and the handout show one form, and the key says what it is.
#[test]
fn a_bend_is_written_alike_on_paper_and_where_tab_is_written() {
    for (quarters, sign, part) in [(1, "7b1/4", true), (2, "7b1/2", true), (4, "7bfull", false), (6, "7b1+1/2", true)] {
        for back in [false, true] {
            let bend = if back { Technique::BendRelease(bent(quarters)) } else { Technique::Bend(bent(quarters)) };
            let notes = || (0..8).map(|_| ev("1/8", &[with(n(3, 7), &[bend])])).collect();
            let wanted = if back { format!("-{sign}r7-") } else { format!("-{sign}-") };
            for width in [76, 96, 116, 196] {
                for style in [TabStyle::filled(width, Charset::Ascii), TabStyle::steady(width, Charset::Ascii)] {
                    let text = render(&passage(vec![bar(notes())]), &super::tests::labels(), &style);
                    let shown = text.systems.iter().flat_map(|system| &system.lines).any(|line| line.contains(&wanted));
                    let explained = |sign: &str| text.legend.iter().any(|entry| entry.sign == sign);
                    // Only a bar on paper that is too wide for a line names the pitch instead.
                    assert!(shown || (style.spacing == TabSpacing::Filled && width < 100), "{wanted} {style:?}");
                    assert_eq!((explained("b1/2"), explained("7b9")), (part && shown, !shown), "{wanted} {style:?}");
                }
            }
        }
    }
}
