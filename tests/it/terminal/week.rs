//! A lesson as a teacher plans one in a week: five pieces in four tunings, sixteen segments and 27 bars with everything that
//! can be done to a note, by keys alone; printed, and on another day reordered, retuned and printed again. The pieces are invented.

use std::collections::BTreeSet;

use fingerpost::lesson::document::Lesson;
use fingerpost::lesson::music::{Bar, BendAmount, Event, Join, Note, Stroke};
use fingerpost::lesson::technique::{FretUse, TECHNIQUES, TechniqueValue};
use fingerpost::store::lesson_file;
use fingerpost::theory::pitch::MidiNote;

use super::screen::Session;
use super::whole::{finish, new_lesson};

const HOME: &str = "\x1b[H";
const END: &str = "\x1b[F";
const UP: &str = "\x1b[A";
const DOWN: &str = "\x1b[B";

/// What is typed of a piece.
struct Typed {
    piece: &'static str,
    kinds: &'static str,
    /// The tuning and capo; the first piece has that of the lesson.
    tuning: &'static str,
    meter: &'static str,
    /// Each bar of its passage: what is in it beside frets, and its keys. Arrows move, `⏎` is Enter, `⇥` End.
    bars: &'static [(&'static str, &'static str)],
}

const PIECES: [Typed; 5] = [
    Typed {
        piece: "Gasworks Lantern",
        kinds: "performance, walkthrough, play-along",
        tuning: "",
        meter: "4/4",
        bars: &[
            ("hammer-on, pull-off, legato slide, vibrato", "↓↓↓↓35h7h5s357v5"),
            ("palm mute, dead note, bend 4, trill 7", "3m0m3x5b⏎75&7⏎30"),
            ("let ring, tie, natural harmonic, tap, pick stroke down", "03g4t45<7+5k0"),
            (
                "bend 1, bend 2, bend 6, bend and release 4, pre-bend 4, pre-bend and release 4",
                "5b1/4⏎5bhalf⏎7b1 1/2⏎7bfull r⏎7bpre 1⏎7bpre full r⏎75",
            ),
            (
                "shift slide, slide in from below, slide in from above, slide out down the neck, slide out up the neck",
                "5ss77⏎slideinfrombelow⏎5⏎slideinfromabove⏎7⏎slideoutdown⏎5⏎slideoutup⏎35",
            ),
            (
                "pinch harmonic, harp (artificial) harmonic 17, tapped harmonic 17, tremolo-bar dip 2, tremolo-bar dive 4, \
                 tremolo picking, ghost note, hammer-on from nowhere",
                "7⏎pinch⏎5⏎harp⏎17⏎5⏎tappedharmonic⏎17⏎7⏎tremolobardip⏎1/2⏎7⏎tremolobardive⏎1⏎7⏎tremolopicking⏎5⏎ghost⏎\
                 5⏎hammeronfromnowhere⏎",
            ),
        ],
    },
    Typed {
        piece: "Tide Table",
        kinds: "performance, walkthrough, play-along",
        tuning: "drop D",
        meter: "4/4",
        bars: &[
            ("pick stroke down, pick stroke up, dead note", "↓↓↓↓↓5*↑5↑5k→!kk→7↓7↓7k→!kk"),
            (
                "rake down, rake up, rolled chord down, rolled chord up",
                "→5↑5↑5⏎rakedown⏎→7↓7↓7⏎rakeup⏎→5↑5↑5⏎rolledchordarpeggiodown⏎→7↓7↓7⏎rolledchordarpeggioup⏎",
            ),
            ("tuplet 3:2", "→5/,75357537535"),
            ("dotted, tie", "→5,.7../5**3*t"),
            ("rest", "3→ "),
            ("tuplet 5:4, dotted", "→5l1/16 5:4⏎75353l1/2.⏎"),
        ],
    },
    Typed {
        piece: "Osier Bed",
        kinds: "walkthrough, exercise, play-along",
        tuning: "DADGAD capo 2",
        meter: "4/4",
        bars: &[
            ("second voice", "l1/4⏎0475O↓↓↓↓↓0*0O⇥"),
            ("grace notes, fretting finger, words, chord name", "→↑↑↑↑↑4/⏎grace⏎2⏎5⏎fretting⏎1⏎7'let it breathe⏎5nG⏎"),
            ("time signature", "→047etime⏎3/4⏎"),
            ("tempo, repeat start", "→475etempo⏎92⏎erepeatstarts⏎"),
            ("repeat end 3", "→574erepeatends⏎3⏎"),
        ],
    },
    Typed {
        piece: "Brick Kiln",
        kinds: "performance, walkthrough, exercise",
        tuning: "standard",
        meter: "4/4",
        bars: &[
            ("pickup", "↓↓↓l1/4⏎4epickup⏎"),
            ("repeat start", "I4457erepeatstarts⏎"),
            ("ending 1, repeat end 2", "→5754eendings⏎1⏎erepeatends⏎⏎"),
            ("ending 2", "→5745eendings⏎2⏎"),
            ("let ring, key", "→4**gekey⏎A⏎"),
        ],
    },
    Typed {
        piece: "Quay Waltz",
        kinds: "performance, walkthrough",
        tuning: "open G",
        meter: "3/4",
        bars: &[
            ("natural harmonic", "↓↓l1/4⏎12<7<5<"),
            ("chord name", "→0nG⏎54"),
            ("palm mute", "→0m5m4m"),
            ("tie", "→5t54"),
            ("dotted, let ring", "→0l1/2.⏎g"),
        ],
    },
];

/// Returns keys as a terminal sends them.
fn sent(keys: &str) -> String {
    let arrows = [("→", "\x1b[C"), ("↑", UP), ("↓", DOWN), ("⇥", END), ("⏎", "\r")];
    arrows.iter().fold(keys.to_owned(), |keys, (drawn, sent)| keys.replace(drawn, sent))
}

/// Adds the segments of a piece before the goodbye, its tuning and its passage, which its second segment plays as well.
fn type_piece(session: &mut Session, typed: &Typed) {
    let Typed { piece, kinds, tuning, meter, bars } = typed;
    session.type_keys(&format!("{END}A{piece}: {kinds}\r"));
    session.wait_for("the segments", |screen| screen.contains(&format!("added \"{piece}\"")));
    // The last of them is selected; the tuning and the passage belong to the first.
    session.type_keys(&UP.repeat(kinds.split(',').count() - 1));
    if !tuning.is_empty() {
        session.type_keys(&format!("\x0e{tuning}\r"));
        let named = tuning.replace(" capo", ", capo");
        session.wait_for("the tuning", |screen| screen.lines().next().is_some_and(|top| top.contains(&named)));
    }
    session.type_keys(&format!("Pa{piece} riff\r{meter}\r\r"));
    session.wait_for("the passage", |screen| screen.contains("bar 1 of 1"));
    for (place, (what, keys)) in bars.iter().enumerate() {
        session.type_keys(&sent(keys));
        // A pickup is not counted.
        let pickups = bars.iter().take(place + 1).filter(|(what, _)| what.contains("pickup")).count();
        let place = match place + 1 - pickups {
            0 => "   pickup   ".to_owned(),
            number => format!("of {number}   "),
        };
        session.wait_for(what, |screen| screen.contains(&place));
    }
    session.type_keys(&format!("T{DOWN}t"));
    session.wait_for("the passages", |screen| screen.contains(&format!("] {piece} riff")));
    session.type_keys(&format!("{END} \r"));
    session.wait_for("the second segment with its music", |screen| screen.contains("▸Timeline"));
}

const STROKES: [Stroke; 6] =
    [Stroke::Down, Stroke::Up, Stroke::RakeDown, Stroke::RakeUp, Stroke::ArpeggioDown, Stroke::ArpeggioUp];

const fn stroke(stroke: Stroke) -> &'static str {
    match stroke {
        Stroke::Down => "pick stroke down",
        Stroke::Up => "pick stroke up",
        Stroke::RakeDown => "rake down",
        Stroke::RakeUp => "rake up",
        Stroke::ArpeggioDown => "rolled chord down",
        Stroke::ArpeggioUp => "rolled chord up",
    }
}

/// Returns what is in a bar beside frets and plain lengths; amounts in quarter tones.
fn found_in(bar: &Bar) -> BTreeSet<String> {
    let Bar { meter, tempo, key, pickup, repeat_start, repeat_end, endings, voices } = bar;
    let marks = [
        (meter.is_some(), "time signature"),
        (tempo.is_some(), "tempo"),
        (key.is_some(), "key"),
        (*pickup, "pickup"),
        (*repeat_start, "repeat start"),
        (voices.len() > 1, "second voice"),
    ];
    let mut found: BTreeSet<String> = marks.iter().filter(|(on, _)| *on).map(|(_, what)| (*what).to_owned()).collect();
    found.extend(repeat_end.map(|times| format!("repeat end {times}")));
    found.extend(endings.iter().map(|ending| format!("ending {ending}")));
    for event in voices.iter().flat_map(|voice| &voice.0) {
        let Event { length, notes, grace, stroke: struck, chord, voicing: _, text } = event;
        let marks = [
            (length.dots() > 0, "dotted"),
            (notes.is_empty(), "rest"),
            (!grace.is_empty(), "grace notes"),
            (chord.is_some(), "chord name"),
            (text.is_some(), "words"),
        ];
        found.extend(marks.iter().filter(|(on, _)| *on).map(|(_, what)| (*what).to_owned()));
        found.extend(length.tuplet().map(|tuplet| format!("tuplet {}:{}", tuplet.actual, tuplet.normal)));
        found.extend(struck.map(|struck| stroke(struck).to_owned()));
        for Note { join, techniques, finger, .. } in notes {
            found.extend(join.map(|join| join.name().to_owned()));
            found.extend(finger.map(|_| "fretting finger".to_owned()));
            found.extend(techniques.iter().map(|technique| match technique.given() {
                TechniqueValue::Nothing => technique.name().to_owned(),
                TechniqueValue::Amount(amount) => format!("{} {}", technique.name(), amount.count()),
                TechniqueValue::Fret(fret) => format!("{} {fret}", technique.name()),
            }));
        }
    }
    found
}

/// Checks that every bar holds what was typed, and all bars together whatever can be typed.
fn check_bars(lesson: &Lesson) {
    let (mut all, mut differ) = (BTreeSet::new(), Vec::new());
    for (typed, passage) in PIECES.iter().zip(&lesson.passages) {
        assert_eq!(
            (passage.title.as_str(), passage.bars.len()),
            (format!("{} riff", typed.piece).as_str(), typed.bars.len())
        );
        for (bar, (what, keys)) in passage.bars.iter().zip(typed.bars) {
            let what: BTreeSet<String> = what.split(", ").map(str::to_owned).collect();
            if found_in(bar) != what {
                differ.push(format!("{}, {keys}: {:?}", typed.piece, found_in(bar)));
            }
            all.extend(what);
        }
    }
    assert!(differ.is_empty(), "not what was typed: {differ:#?}");
    assert_eq!(PIECES.iter().map(|typed| typed.bars.len()).sum::<usize>(), 27);
    let techniques = TECHNIQUES.iter().map(|row| row.name);
    for name in techniques.chain(Join::ALL.map(Join::name)).chain(STROKES.map(stroke)) {
        let is_typed = |what: &String| {
            what.strip_prefix(name).is_some_and(|rest| rest.trim().parse::<u8>().is_ok() || rest.is_empty())
        };
        assert!(all.iter().any(is_typed), "no bar has a {name}");
    }
    for amount in [1, BendAmount::HALF.count(), BendAmount::FULL.count()] {
        assert!(all.contains(&format!("bend {amount}")), "no bar has a bend of {amount} quarter tones");
    }
}

/// Returns the notes of the passage of that title, as they sound, in order; a dead note sounds no pitch.
fn sounds(lesson: &Lesson, title: &str) -> Vec<Vec<MidiNote>> {
    let passage = lesson.passages.iter().find(|passage| passage.title == title).unwrap();
    let rig = lesson.passage_rig(passage).unwrap();
    let voices = passage.bars.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0);
    let mut pitches = Vec::new();
    for event in voices {
        let sound = |note: &Note| rig.sounding(note.string, note.fret).unwrap();
        let rings = |note: &&Note| note.techniques.iter().all(|technique| technique.frets() != FretUse::Damped);
        let mut column: Vec<MidiNote> = event.notes.iter().filter(rings).map(sound).collect();
        column.sort_unstable();
        pitches.push(column);
    }
    pitches
}

/// Returns the lines of the handout's tab under a heading, wherever pages break.
fn tab_of(handout: &str, heading: &str) -> String {
    // The running head, a rule and an empty line stand over every page.
    let pages: Vec<String> =
        handout.split('\u{c}').map(|page| page.split('\n').skip(3).collect::<Vec<_>>().join("\n")).collect();
    let handout = pages.join("\n");
    let from = handout.find(&format!("── {heading} ─")).unwrap_or_else(|| panic!("no {heading} in\n{handout}"));
    let lines = handout[from..].lines().skip(1).take_while(|line| !line.starts_with(['─', '═']));
    lines.filter(|line| line.contains('│')).collect::<Vec<_>>().join("\n")
}

fn lesson_in(session: &Session) -> Lesson {
    let text = session.file("harbour-evenings.lesson.ron");
    lesson_file::parse("harbour-evenings.lesson.ron".as_ref(), text.as_bytes()).unwrap().lesson
}

#[test]
fn a_week_s_lesson_is_typed_printed_and_on_another_day_reordered_retuned_and_printed_again() {
    let mut session = new_lesson("Harbour evenings", (100, 30));
    for typed in &PIECES {
        type_piece(&mut session, typed);
    }
    session.type_keys(&format!("{HOME}{DOWN}Fsx02010\rv"));
    session.wait_for("the voicing saved", |screen| screen.contains("saved Am7 in"));
    let first = finish(&mut session, "harbour-evenings.handout.txt");
    let before = lesson_in(&session);
    check_bars(&before);
    assert_eq!(before.segments.len(), 16);
    insta::assert_snapshot!("week_handout", first.replace('\u{c}', "---------- next page ----------\n"));

    // Another day: the waltz comes first, and what is in drop D is played in standard tuning, to sound the same.
    let home = session.into_home();
    let mut session = Session::start_in(home, &["open", "harbour-evenings.lesson.ron"], (80, 24), &[]);
    session.wait_for("the lesson", |screen| screen.contains("Harbour evenings") && screen.contains("saved"));
    session.type_keys(&format!("T{END}{UP}{UP}J2\r"));
    session.wait_for("the waltz moved", |screen| {
        screen.lines().any(|line| line.starts_with('▸') && line.contains(" 2 ") && line.contains("Quay Waltz: perf"))
    });
    session.type_keys(&format!("{HOME}{}PE", DOWN.repeat(5)));
    session.wait_for("the tunings", |screen| screen.contains("Tuning and capo of the passage"));
    session.type_keys(&format!("\r{DOWN}\r"));
    session
        .wait_for("the passage refingered", |screen| screen.contains("\"Tide Table riff\" is in standard: same sound"));
    // What was printed the other day is the program's own, so nothing is asked.
    session.type_keys("\x05");
    session.wait_for("the handout", |screen| screen.contains("the handout is in"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.quit();
    let second = session.file("harbour-evenings.handout.txt");
    let after = lesson_in(&session);
    insta::assert_snapshot!("week_handout_again", second.replace('\u{c}', "---------- next page ----------\n"));

    // Each piece has one box and one heading, with its music under it.
    for typed in &PIECES {
        assert_eq!(first.matches(&format!("══ {}", typed.piece)).count(), 1, "{first}");
    }
    assert_eq!(first.matches("┌─ Tuning: ").count(), PIECES.len(), "{first}");
    let place = |handout: &str, title: &str| handout.find(&format!("══ {title} ═")).unwrap();
    assert!(place(&first, "Quay Waltz") > place(&first, "Brick Kiln"), "{first}");
    assert!(place(&second, "Quay Waltz") < place(&second, "Gasworks Lantern"), "{second}");
    for untouched in ["Gasworks Lantern riff", "Osier Bed riff", "Brick Kiln riff", "Quay Waltz riff"] {
        assert_eq!(tab_of(&first, untouched), tab_of(&second, untouched));
    }
    assert_ne!(tab_of(&first, "Tide Table riff"), tab_of(&second, "Tide Table riff"));
    assert_eq!(sounds(&before, "Tide Table riff"), sounds(&after, "Tide Table riff"), "{second}");
}
