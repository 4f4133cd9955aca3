//! Texts that have no room: where they are cut, on the right or on the left, a sign says so.
//!
//! Every text of the lesson is made of numbered words of its own. On the screen each of them must be followed by the next
//! one, in the line or in the line below, or by the sign; and it must follow the one before in the same way.

use fingerpost::lesson::document::Lesson;
use fingerpost::workbench::boxes::choice::ChoiceBox;
use fingerpost::workbench::boxes::list::{ListBox, ListLine};
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::boxes::typed_line::EntryBox;
use fingerpost::workbench::drawing::unseen::Counted;
use fingerpost::workbench::messages::notice::Notice;
use fingerpost::workbench::questions::pick::Pick;
use fingerpost::workbench::questions::program::{AfterSave, ProgramQuestion};

use super::bench::{Bench, small_lesson};
use super::room::box_of;

const SIZES: [(u16, u16); 4] = [(80, 24), (100, 30), (120, 36), (200, 50)];

/// How many words each text has: more than a line of the widest screen holds.
const WORDS: usize = 60;

/// What each numbered word begins with; nothing else on the screen has it.
const MARK: char = 'ж';

/// The sign of what is cut.
const MORE: char = '…';

/// A text of numbered words, told apart from others by its letter: `жa01 жa02 жa03`.
fn text(letter: char) -> String {
    (1..=WORDS).map(|number| format!("{MARK}{letter}{number:02}")).collect::<Vec<String>>().join(" ")
}

/// A lesson all of whose texts are too long.
fn long_lesson() -> Lesson {
    let mut lesson = small_lesson();
    let mut letters = ('a'..='z').chain('α'..='ω');
    let mut next = || text(letters.next().unwrap());
    lesson.header.title = next();
    for segment in &mut lesson.segments {
        segment.title = next();
        segment.talking_points = vec![next(), next()];
    }
    lesson.segments[1].shot = next();
    lesson.segments[1].tone = next();
    for setup in &mut lesson.setups {
        setup.name = next();
        setup.tone = next();
    }
    for voicing in &mut lesson.voicings {
        voicing.readings = vec![next()];
        voicing.tags = vec![next()];
        voicing.notes = next();
    }
    lesson.pieces[0].title = next();
    lesson.passages[0].title = next();
    lesson.passages[0].bars[0].voices[0].0[1].text = Some(next());
    lesson
}

/// One numbered word on the screen, possibly cut.
#[derive(Debug)]
struct Word {
    line: usize,
    /// What stands right before it and right behind it.
    before: String,
    behind: String,
    /// Its letter and its number, where the whole of it is there.
    whole: Option<(char, usize)>,
}

fn words_on(screen: &str) -> Vec<Word> {
    let mut words = Vec::new();
    for (line, text) in screen.lines().enumerate() {
        let signs: Vec<char> = text.chars().collect();
        for at in (0..signs.len()).filter(|at| signs[*at] == MARK) {
            let digit = |place: usize| signs.get(place).and_then(|sign| sign.to_digit(10));
            let whole =
                digit(at + 2).zip(digit(at + 3)).map(|(tens, ones)| (signs[at + 1], (tens * 10 + ones) as usize));
            let end = if whole.is_some() { at + 4 } else { at + 1 };
            words.push(Word {
                line,
                before: signs[..at].iter().collect(),
                behind: signs[end..].iter().collect(),
                whole,
            });
        }
    }
    words
}

/// Returns the first word that is cut without a sign.
fn cut_without_sign(screen: &str) -> Option<String> {
    let words = words_on(screen);
    let is_on =
        |line: usize, wanted: (char, usize)| words.iter().any(|word| word.line == line && word.whole == Some(wanted));
    let line = |line: usize| screen.lines().nth(line).unwrap_or("");
    // Music and paper say in their heading that they go on behind their last line.
    let ends_behind = |at: usize| line(at + 1).contains("───") || at + 3 >= screen.lines().count();
    let fault = |word: &Word| {
        let Some((letter, number)) = word.whole else {
            // A part of a word stands right before the sign.
            let part = word.behind.chars().take_while(|sign| sign.is_alphanumeric()).count();
            return word.behind.chars().nth(part) != Some(MORE);
        };
        let next = (letter, number + 1);
        let goes_on = number == WORDS
            || word.behind.starts_with(&format!(" {MARK}"))
            || word.behind.trim_start().starts_with(MORE)
            || is_on(word.line + 1, next)
            || line(word.line).contains("↓ ")
            || line(word.line + 1).contains("↓ ")
            || ends_behind(word.line) && screen.contains("↓ ");
        let before = (letter, number.saturating_sub(1));
        let begins = number == 1
            || word.before.trim_end().trim_end_matches(char::is_alphanumeric).ends_with(MORE)
            || word.before.trim_end().ends_with(&format!("{MARK}{letter}{:02}", number - 1))
            || word.line > 0 && (is_on(word.line - 1, before) || line(word.line - 1).contains("↑ "));
        !goes_on || !begins
    };
    words.iter().find(|word| fault(word)).map(|word| {
        format!("{:?} in line {}: {}", word.whole, word.line + 1, screen.lines().nth(word.line).unwrap_or(""))
    })
}

#[track_caller]
fn check(bench: &Bench, what: &str) {
    // What a box covers of the panes needs no sign.
    let has_edges = bench.state.overlay.is_some() && bench.screen().contains('┌');
    let screen = if has_edges { box_of(bench) } else { bench.screen() };
    assert!(screen.contains(MARK), "{what}: nothing to look at\n{screen}");
    if let Some(fault) = cut_without_sign(&screen) {
        panic!("after {what:?} {fault}\n{screen}");
    }
}

#[test]
fn a_word_that_is_cut_without_a_sign_is_found() {
    for (screen, is_right) in [
        ("жa01 жa02 жa03…", true),
        ("жa01 жa02 жa0…", true),
        ("жa01 жa02 ж…   x", true),
        ("жa01 жa02 …", true),
        ("жa01 жa02\nжa03 …", true),
        ("…жa07 жa08…", true),
        ("жa01 жa02", false),
        ("жa01 жa02   standard", false),
        ("жa01 жa0", false),
        ("жa07 жa08…", false),
    ] {
        assert_eq!(cut_without_sign(screen).is_none(), is_right, "{screen}");
    }
}

#[test]
fn in_every_pane_and_view() {
    for size in SIZES {
        for script in [
            "",
            "Down",
            "Down Down",
            "z",
            "Ctrl+Up Ctrl+Up",
            "Down Ctrl+Up Ctrl+Up",
            "P",
            "Down P",
            "F",
            "Down F",
            "Down R",
            "L",
            "L Down",
            "L z",
            "L f \"0\"",
            "V",
            "Down V",
            "H",
            "H Right",
            "Down V Space Space",
            "Down F s \"x 0 2 2 1 0\" Enter",
        ] {
            let mut bench = Bench::on(long_lesson(), size);
            bench.strike(script);
            check(&bench, script);
        }
    }
}

#[test]
fn in_every_box() {
    let mut looked = 0;
    for size in SIZES {
        for script in
            ["Enter", "p", "E", "t", "w", "Down n", "Down v", "Down X", "Down L i", "Down L g", "M", "Down P t"]
        {
            let mut bench = Bench::on(long_lesson(), size);
            bench.strike(script);
            if bench.screen().contains('┌') && box_of(&bench).contains(MARK) {
                looked += 1;
                check(&bench, script);
            }
        }
        for overlay in [
            Overlay::Choice(ChoiceBox::new(text('a'), text('b'), vec![(text('c'), Pick::Nothing); 3])),
            Overlay::Entry(
                EntryBox::new(ProgramQuestion::SaveWhere(AfterSave::Stay), text('a'), text('b'), text('c'))
                    .offering(vec![text('d')]),
            ),
            Overlay::List(ListBox::new(
                text('a'),
                Counted::Lines,
                vec![ListLine { head: text('b'), text: text('c'), below: text('d'), ..ListLine::default() }; 2],
            )),
        ] {
            let mut bench = Bench::small(size);
            bench.state.lay_over(overlay);
            bench.resize(size.0, size.1);
            check(&bench, "a box");
        }
    }
    assert!(looked > 20, "only {looked} boxes had words of the lesson");
}

#[test]
fn in_the_line_at_the_foot() {
    for size in SIZES {
        let mut bench = Bench::small(size);
        bench.state.said.say(Notice::trouble(format!("{0} {0}", text('a')).replace("жa60 жa01", "жa60, жb01")));
        let screen = bench.screen();
        assert!(screen.contains('…'), "{screen}");
        assert!(screen.contains("all of it"), "a key shows all of it\n{screen}");
    }
}
