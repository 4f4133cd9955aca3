//! Text from outside, made safe: the strings themselves, because a screen or a page drops by itself much of what
//! must not reach it.

use fingerpost::lesson::document::Lesson;
use fingerpost::plan::chapters::{Basis, chapters};
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::{HandoutOptions, TalkingPoints};
use fingerpost::text::charset::Charset;
use fingerpost::text::quote::{quoted, written_out};
use fingerpost::text::safe::{clean, one_line, printable, printable_lines, shows_as_itself, to_ascii};
use fingerpost::workbench::drawing::appearance::Appearance;

use crate::reference::rows;
use crate::workbench::bench::small_lesson;

/// What a terminal obeys, as it is sent to one, and what is to be seen of it.
///
/// ECMA-48, 5th edition: CSI (5.4), OSC, DCS, APC and ST (5.6), RIS (8.3.105). The commands after OSC are those that
/// xterm's control sequences document: 0 names the window, 52 sets the clipboard, 8 makes a link.
const SEQUENCES: [(&str, &str, &str); 9] = [
    ("\u{1b}[31mred", "␛[31mred", "^[[31mred"),
    ("\u{1b}[2J\u{1b}[H", "␛[2J␛[H", "^[[2J^[[H"),
    ("\u{9b}2J", "\u{FFFD}2J", "?2J"),
    ("\u{1b}]0;taken over\u{7}", "␛]0;taken over␇", "^[]0;taken over^G"),
    ("\u{9d}0;taken over\u{9c}", "\u{FFFD}0;taken over\u{FFFD}", "?0;taken over?"),
    ("\u{1b}]52;c;Zm9v\u{1b}\\", "␛]52;c;Zm9v␛\\", "^[]52;c;Zm9v^[\\"),
    ("\u{1b}]8;;x\u{7}here\u{1b}]8;;\u{7}", "␛]8;;x␇here␛]8;;␇", "^[]8;;x^Ghere^[]8;;^G"),
    ("\u{1b}P$q\u{1b}\\\u{1b}_x\u{1b}\\", "␛P$q␛\\␛_x␛\\", "^[P$q^[\\^[_x^[\\"),
    ("\u{1b}c\u{8}\u{e}", "␛c␈␎", "^[c^H^N"),
];

/// Returns every character that Unicode says acts or shows nothing, but for those that only choose a variant of the
/// character before them: an emoji and its colour, a letter and its form.
fn acting() -> Vec<char> {
    let table = include_str!("../reference/acting_characters.tsv");
    let point = |hex: &str| u32::from_str_radix(hex, 16).unwrap();
    rows(table, ["first", "last", "property"])
        .into_iter()
        .filter(|[first, _, property]| *property != "Variation_Selector" || point(first) > 0xFFFF)
        .flat_map(|[first, last, _]| (point(first)..=point(last)).filter_map(char::from_u32))
        .collect()
}

/// Returns every way in which text reaches a terminal or paper, applied to `text`.
fn ways(text: &str) -> [(&'static str, String); 9] {
    let look = |charset| Appearance { charset, ..Appearance::default() }.shown(text).into_owned();
    [
        ("the screen", look(Charset::Utf8)),
        ("the screen in ASCII", look(Charset::Ascii)),
        ("a line", printable(text).into_owned()),
        ("lines", printable_lines(text)),
        ("a line of tab", one_line(text, Charset::Utf8).unwrap_or_default()),
        ("the handout in ASCII", clean(text, Charset::Ascii).into_owned()),
        ("ASCII", to_ascii(text)),
        ("a message", quoted(text)),
        ("a line of a file", written_out(text)),
    ]
}

#[test]
fn what_a_terminal_would_obey_is_seen_and_not_sent() {
    for (sent, seen, seen_in_ascii) in SEQUENCES {
        assert_eq!(Appearance::default().shown(sent), seen);
        assert_eq!(Appearance { charset: Charset::Ascii, ..Appearance::default() }.shown(sent), seen_in_ascii);
        assert_eq!(printable_lines(&format!("{sent}\n{sent}")), format!("{seen}\n{seen}"));
    }
}

#[test]
fn no_character_that_acts_gets_through_on_any_way() {
    let acting = acting();
    assert!(acting.len() > 4_000, "the tags alone are some thousands");
    for character in acting {
        for text in [character.to_string(), format!("a{character}b"), format!("{character}{character} ")] {
            for (way, shown) in ways(&text) {
                let through = shown.contains(character) && !(way == "lines" && character == '\n');
                assert!(!through, "{} on the way to {way}", character.escape_unicode());
            }
        }
    }
}

#[test]
fn only_what_acts_is_replaced() {
    let acting = acting();
    // The anchors of annotations (The Unicode Standard, 23.8) are not ignored by default and show nothing either.
    let known =
        |character: char| acting.binary_search(&character).is_ok() || ('\u{FFF9}'..='\u{FFFB}').contains(&character);
    for character in '\0'..=char::MAX {
        assert_eq!(!shows_as_itself(character), known(character), "{}", character.escape_unicode());
        assert_eq!(
            quoted(&character.to_string()) != character.to_string(),
            known(character),
            "{}",
            character.escape_unicode()
        );
    }
}

/// A lesson in which every text that is printed holds `trap`.
fn lesson_of(trap: &str) -> Lesson {
    let mut lesson = small_lesson();
    let trap = || trap.to_owned();
    let header = &mut lesson.header;
    (header.title, header.series, header.author, header.credit, header.rights) =
        (trap(), trap(), trap(), trap(), trap());
    for segment in &mut lesson.segments {
        (segment.title, segment.talking_points) = (trap(), vec![trap()]);
    }
    for piece in &mut lesson.pieces {
        (piece.title, piece.credit, piece.notes) = (trap(), trap(), trap());
    }
    for setup in &mut lesson.setups {
        (setup.name, setup.tone) = (trap(), trap());
    }
    for voicing in &mut lesson.voicings {
        (voicing.readings, voicing.notes) = (vec![trap(), trap()], trap());
    }
    for passage in &mut lesson.passages {
        passage.title = trap();
        let event = &mut passage.bars[0].voices[0].0[0];
        (event.chord, event.text) = (Some(trap()), Some(trap()));
    }
    lesson
}

#[test]
fn paper_and_chapters_hold_nothing_that_acts() {
    let acting = acting();
    // The tags are many and alike; a hundred of them stand for all.
    let traps = acting.iter().filter(|character| u32::from(**character) < 0xE0100).collect::<Vec<_>>();
    let traps = traps.chunks(16).map(|some| some.iter().map(|character| format!("a{character}")).collect::<String>());
    let sequences = SEQUENCES.map(|(sent, ..)| sent.to_owned());
    for trap in traps.chain(sequences) {
        let lesson = lesson_of(&trap);
        let acts = |text: &str| text.chars().find(|sign| acting.binary_search(sign).is_ok());
        for charset in [Charset::Utf8, Charset::Ascii] {
            let options = HandoutOptions { charset, talking_points: TalkingPoints::Print, ..HandoutOptions::default() };
            for line in handout(&lesson, &options).pages.iter().flat_map(|page| &page.lines) {
                assert_eq!(acts(line), None, "{line:?}");
            }
        }
        for chapter in chapters(&lesson, Basis::Planned).unwrap() {
            assert_eq!(acts(&chapter.title), None, "{:?}", chapter.title);
        }
    }
}
