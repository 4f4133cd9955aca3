//! Passages as text tab, and back.

use std::path::Path;

use fingerpost::instrument::tuning::Tuning;
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::Passage;
use fingerpost::store::lesson_file;
use fingerpost::tab::passage::{LaidOut, lay_out};
use fingerpost::tab::read::{ReadHints, comparable, read};
use fingerpost::tab::style::{TabStyle, TabText};
use fingerpost::text::charset::Charset;
use fingerpost::text::width::width as columns;
use proptest::prelude::*;

use super::arbitrary::{Music, any_passage, any_passage_on_any_neck};

fn any_charset() -> impl Strategy<Value = Charset> {
    prop_oneof![Just(Charset::Utf8), Just(Charset::Ascii)]
}

fn labels(strings: u8) -> Vec<String> {
    ["C", "F#", "B", "Bb", "Ab", "Eb", "E", "A", "D", "G", "B", "e"][12 - usize::from(strings)..]
        .iter()
        .map(|label| (*label).to_owned())
        .collect()
}

fn laid_out(passage: &Passage, strings: u8, width: usize, charset: Charset) -> LaidOut {
    lay_out(passage, &labels(strings), &TabStyle::filled(width, charset))
}

/// Joins the systems as a page would, a blank line between them.
fn as_text(text: &TabText) -> String {
    let systems: Vec<String> = text.systems.iter().map(|system| system.lines.join("\n")).collect();
    systems.join("\n\n")
}

/// Says where two passages differ.
fn same(found: &Passage, wanted: &Passage) -> Result<(), String> {
    for (index, (found, wanted)) in found.bars.iter().zip(&wanted.bars).enumerate() {
        if found != wanted {
            let [found, wanted] = [found, wanted].map(|bar| ron::to_string(bar).unwrap());
            return Err(format!("bar {}:\nfound  {found}\nwanted {wanted}", index + 1));
        }
    }
    if found == wanted { Ok(()) } else { Err(format!("found {found:?}\nwanted {wanted:?}")) }
}

fn hints(passage: &Passage, strings: u8) -> ReadHints {
    let open = labels(strings).into_iter().map(|label| format!("{}3", label.replace('e', "E")).parse().unwrap());
    let tuning = Tuning::new(open.collect());
    let (piece, setup) = (passage.piece, passage.setup);
    ReadHints { piece, setup, tuning, ..ReadHints::new(passage.id, passage.title.clone()) }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn every_line_keeps_to_the_page((music, passage) in any_passage_on_any_neck(), width in 40usize..=160, charset in any_charset()) {
        let LaidOut { text, maps, .. } = laid_out(&passage, music.strings, width, charset);
        for (system, map) in text.systems.iter().zip(&maps) {
            for line in &system.lines {
                prop_assert!(columns(line) <= width, "{line:?}");
                prop_assert!(!line.chars().any(char::is_control), "{line:?}");
                prop_assert!(charset == Charset::Utf8 || line.is_ascii(), "{line:?}");
            }
            let strings = &system.lines[map.strings.clone()];
            prop_assert_eq!(strings.len(), usize::from(music.strings));
            for line in strings {
                prop_assert_eq!(columns(line), columns(&strings[0]));
            }
            // Every note of an event stands in the event's column, and time runs to the right.
            for place in &map.events {
                for note in &passage.bars[place.bar].voices[place.voice].0[place.event].notes {
                    let sign = strings[usize::from(note.string.number()) - 1].chars().nth(place.column);
                    prop_assert!(sign.is_some_and(|sign| !"-─ ".contains(sign)), "{place:?}\n{}", strings.join("\n"));
                }
            }
            for pair in map.events.windows(2).filter(|pair| pair[0].bar == pair[1].bar) {
                prop_assert!(pair[0].start <= pair[1].start && pair[0].column <= pair[1].column, "{pair:?}");
            }
        }
    }

    #[test]
    fn what_we_render_reads_back_to_the_same_passage((music, passage) in any_passage_on_any_neck(), width in 40usize..=160, charset in any_charset()) {
        let text = as_text(&laid_out(&passage, music.strings, width, charset).text);
        let found = read(&text, &hints(&passage, music.strings)).unwrap();
        same(&found.passage, &comparable(&passage, charset)).map_err(|why| TestCaseError::fail(format!("{why}\n{text}\n{:?}", found.notes)))?;
        prop_assert_eq!(&found.notes, &vec![], "{}", text);
    }
}

/// Text that looks a little like tab.
fn tab_like() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        8 => Just("-".to_owned()),
        3 => "[0-9]{1,3}",
        2 => Just("|".to_owned()),
        2 => "[hpbrsxtvdHPBRSXTV/\\\\~()<>\\[\\]{}^*:!&+=_.,'\"`»║│─]",
        1 => Just(" ".to_owned()),
        1 => Just("\n".to_owned()),
        1 => prop_oneof![Just("\ne|--"), Just("\nB|--"), Just("\nEb|"), Just("\n\n"), Just("\t"), Just("\r\n")].prop_map(str::to_owned),
        1 => prop_oneof![Just("PM--|"), Just("4/4  q=92\n"), Just("\ne q r e3 s.. "), Just("x2"), Just("*1 "), Just("1.--")].prop_map(str::to_owned),
    ];
    proptest::collection::vec(piece, 0..400).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn no_text_makes_the_reader_panic(text in prop_oneof![any::<String>(), tab_like()]) {
        let found = read(&text, &ReadHints::new(PassageId(1), "anything"));
        if let Err(error) = found {
            prop_assert!(!error.to_string().chars().any(char::is_control), "{error}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_slip_of_the_pen_makes_the_reader_panic(
        passage in any_passage(Music::everything()),
        slips in proptest::collection::vec((any::<prop::sample::Index>(), any::<char>(), 0u8..4), 1..12),
        charset in any_charset(),
    ) {
        let mut signs: Vec<char> = as_text(&laid_out(&passage, 6, 72, charset).text).chars().collect();
        for (place, sign, kind) in slips {
            let at = place.index(signs.len());
            match kind {
                0 => signs[at] = sign,
                1 => signs.insert(at, sign),
                2 => signs[at] = '-',
                _ => drop(signs.remove(at)),
            }
        }
        let text: String = signs.into_iter().collect();
        let _ = read(&text, &ReadHints::new(PassageId(1), "anything"));
    }
}

#[test]
fn what_cannot_be_tab_is_refused_with_its_line() {
    let refused = |text: &str| read(text, &ReadHints::new(PassageId(1), "anything")).unwrap_err().to_string();
    insta::assert_snapshot!(refused(" \n\n"), @"line 1: expected text tab, but no line holds anything but spaces");
    insta::assert_snapshot!(refused("\nDear diary,\ntoday we played."), @"line 2: expected string lines such as `e|--3--5--|`, but no line looks like one; this one is `Dear diary,`");
    insta::assert_snapshot!(refused("PK\u{3}\u{4}\u{0}\u{14}junk"), @"line 1: expected text tab, but this is not plain text (character U+0003): `PK␃␄␀␔junk`; copy the tab into a plain text file");
    insta::assert_snapshot!(refused("e|--3--5--|\nB|--3--5--|\n"), @"line 1: expected at least 3 string lines one under the other, but found 2: `e|--3--5--|`");
    insta::assert_snapshot!(refused(&"|--3--5--|\n".repeat(40)), @"line 1: expected at most 12 string lines one under the other, but found 40: `|--3--5--|`; put a blank line between systems");
    insta::assert_snapshot!(refused(&"-".repeat(5_000_000)), @"line 1: expected lines of at most 20000 characters, but this one has 5000000: `-----------------------------------------------~`; break it into systems");
    insta::assert_snapshot!(refused("a\u{1b}[31mred|"), @"line 1: expected text tab, but this is not plain text (character U+001B): `a␛[31mred|`; copy the tab into a plain text file");
}

#[test]
fn what_is_read_and_remarked_grows_with_the_text_only() {
    // Neither music nor remarks may be made of each pair of places in a line: half the text gives about half of both.
    let hints = ReadHints::new(PassageId(1), "long");
    let found = |head: &str, line: &str, length: usize| {
        let line = line.repeat(length / line.len());
        let over = "3/4 1.-|  PM-- e  ".repeat(length / 19);
        let system = format!("{over}\n{}\ne|---{line}\nB|---{line}\nG|---{line}\n\n", " e".repeat(length / 2));
        read(&format!("{head}{system}"), &hints)
            .map_or_else(|error| error.to_string().len(), |read| format!("{read:?}").len())
    };
    for line in ["t", "~", "3-", "|-", "(", "3", "h", "||:-:", "x2 |-"] {
        for head in ["", "4/4  q=92\n"] {
            let (half, whole) = (found(head, line, 150), found(head, line, 300));
            assert!(whole <= 2 * half + half / 4 + 200, "{line:?} after {head:?}: {half} grows to {whole}");
        }
    }
}

#[test]
fn tab_that_was_printed_with_the_older_sign_for_palm_mutes_is_still_read() {
    let found = |over: &str| {
        let text = format!("{over}\ne|--0--0--|\nB|--------|\nG|--------|\n");
        format!("{:?}", read(&text, &ReadHints::new(PassageId(1), "muted")).unwrap().passage)
    };
    let (new, old) = (found("    P.M.-|"), found("    PM---|"));
    assert_eq!(new, old);
    assert_eq!(new.matches("PalmMute").count(), 2, "{new}");
}

#[test]
fn the_demo_lessons_read_back() {
    for file in ["funk-rhythm", "dadgad-fingerstyle", "ukulele-strum"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lessons").join(format!("{file}.lesson.ron"));
        for passage in &lesson_file::load(&path).unwrap().lesson.passages {
            for charset in [Charset::Utf8, Charset::Ascii] {
                let text = as_text(&laid_out(passage, 4, 72, charset).text);
                let found = read(&text, &hints(passage, 4)).unwrap();
                same(&found.passage, &comparable(passage, charset)).unwrap_or_else(|why| panic!("{why}\n{text}"));
            }
        }
    }
}
