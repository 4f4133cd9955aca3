//! Alternatives as ghosts, two slots to compare, guides on the neck, and what the readings rest on.

use fingerpost::instrument::hand::{Hand, HandSize};
use fingerpost::instrument::neck::{Shape, StringNumber};
use fingerpost::instrument::voicing::elsewhere::HANDS;
use fingerpost::instrument::voicing::level::PlayerLevel;
use fingerpost::instrument::voicing::open_shapes::OpenShapes;
use fingerpost::store::settings::{NeckSettings, StringOne};
use fingerpost::theory::pitch::MidiNote;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::keys::action::Focus;
use fingerpost::workbench::messages::effect::{Effect, FileEffect, SoundEffect, TerminalEffect};
use fingerpost::workbench::messages::message::{Message, Mouse};
use fingerpost::workbench::panes::fretboard::view::place_at;
use ratatui::layout::Position;
use ratatui::style::Color;

use super::bench::{Bench, small_lesson};

/// The small lesson with the fretboard in focus and a shape typed onto it, in segment 2, which is in C.
fn with_shape(shape: &str) -> Bench {
    let mut bench = Bench::small((100, 30));
    bench.strike(&format!("Down F s \"{shape}\" Enter"));
    bench
}

fn shape(bench: &Bench) -> String {
    bench.desk().fretboard.grip().shape.compact()
}

fn ghost(bench: &Bench) -> Shape {
    bench.desk().fretboard.ghosts().unwrap().shown().shape.clone()
}

fn notes(bench: &Bench, shape: &Shape) -> Vec<MidiNote> {
    bench.desk().fretboard.rig().heard(shape).into_iter().flatten().collect()
}

#[test]
fn the_same_chord_elsewhere_is_stepped_through_taken_and_undone() {
    let mut bench = with_shape("x32010");
    let before = notes(&bench, &bench.desk().fretboard.grip().shape);
    let classes = |notes: &[MidiNote]| {
        let mut classes: Vec<u8> = notes.iter().map(|note| note.number() % 12).collect();
        classes.sort_unstable();
        classes.dedup();
        classes
    };
    bench.strike("e");
    let count = bench.desk().fretboard.ghosts().unwrap().count();
    assert!(count > 3, "{count}");
    let mut seen = Vec::new();
    for place in 1..=count {
        let after = notes(&bench, &ghost(&bench));
        assert_eq!(classes(&after), classes(&before), "{}", ghost(&bench));
        let bass = |notes: &[MidiNote]| notes.iter().min().unwrap().number() % 12;
        assert_eq!(bass(&after), bass(&before), "{}", ghost(&bench));
        assert_eq!(bench.desk().fretboard.ghosts().unwrap().place(), place);
        assert_eq!(shape(&bench), "x32010", "the fingers stay until the ghost is taken");
        seen.push(ghost(&bench));
        bench.strike("e");
    }
    assert_eq!(ghost(&bench), seen[0], "after the last comes the first");
    bench.strike("PageUp");
    assert_eq!(ghost(&bench), seen[count - 1]);
    bench.strike("PageDown PageDown");
    assert_eq!(ghost(&bench), seen[1]);
    bench.strike("Enter");
    assert_eq!(bench.desk().fretboard.grip().shape, seen[1]);
    assert!(bench.desk().fretboard.ghosts().is_none());
    bench.strike("u");
    assert_eq!(shape(&bench), "x32010");
}

#[test]
fn a_ghost_is_dropped_by_esc_and_by_any_other_shape() {
    let mut bench = with_shape("x32010");
    bench.strike("e Esc");
    assert!(bench.desk().fretboard.ghosts().is_none());
    assert_eq!(shape(&bench), "x32010");
    bench.strike("Esc");
    assert!(bench.notice().starts_with("no suggestion to cancel"), "{}", bench.notice());
    bench.strike("e 5");
    assert!(bench.desk().fretboard.ghosts().is_none(), "it belonged to the shape before");
    bench.strike("PageDown");
    assert!(bench.notice().starts_with("no suggestions to step through"), "{}", bench.notice());
    bench.strike("Enter Enter");
    assert_eq!(shape(&bench), "x32010".replacen('3', "5", 1), "without a ghost Enter lifts and puts a finger");
}

#[test]
fn the_top_note_stays_where_it_is_asked_to() {
    let mut bench = with_shape("x32010");
    bench.strike("=");
    let count = bench.desk().fretboard.ghosts().unwrap().count();
    for _ in 0..count {
        // E4, the open first string.
        assert_eq!(notes(&bench, &ghost(&bench)).iter().max().unwrap().number(), 64);
        bench.strike("=");
    }
}

#[test]
fn inversions_go_up_and_down_on_the_same_strings() {
    // E minor, G4 B4 E5 above it: common practice with close triads, no published source.
    let mut bench = with_shape("xxx987");
    let before = notes(&bench, &bench.desk().fretboard.grip().shape);
    bench.strike("i");
    let up = notes(&bench, &ghost(&bench));
    assert!(before.iter().zip(&up).all(|(before, after)| after > before), "{before:?} {up:?}");
    assert_eq!(
        ghost(&bench).strings().iter().map(Option::is_some).collect::<Vec<_>>(),
        [false, false, false, true, true, true]
    );
    bench.strike("I");
    assert!(bench.desk().fretboard.ghosts().is_none(), "down again is the shape itself: {}", bench.notice());
    bench.strike("I Enter");
    let down = notes(&bench, &bench.desk().fretboard.grip().shape);
    assert!(before.iter().zip(&down).all(|(before, after)| after < before));
}

#[test]
fn a_shape_moves_along_the_neck_and_across_the_strings() {
    let mut bench = with_shape("x32010");
    bench.strike("Shift+Right Shift+Right");
    assert_eq!(ghost(&bench).compact(), "x54232");
    bench.strike("Shift+Left Enter");
    assert_eq!(shape(&bench), "x43121");
    bench.strike("Shift+Left");
    assert_eq!(ghost(&bench).compact(), "x32010");
    bench.strike("Esc s \"x355xx\" Enter");
    let before = notes(&bench, &bench.desk().fretboard.grip().shape);
    bench.strike("Shift+Down");
    assert_eq!(notes(&bench, &ghost(&bench)), before, "the sound is kept");
    assert_eq!(ghost(&bench).compact(), "8-10-10-x-x-x");
    bench.strike("Shift+Up");
    assert!(bench.desk().fretboard.ghosts().is_none(), "back on its own strings");
    bench.strike("Shift+Down Shift+Down");
    assert!(bench.notice().contains("no string beyond the last"), "{}", bench.notice());
    bench.strike("Shift+Up Esc");
}

#[test]
fn a_shape_too_wide_for_a_hand_has_a_smaller_one_a_key_away() {
    let mut bench = with_shape("1xx5xx");
    bench.strike("Q Q");
    assert_eq!(bench.desk().fretboard.neck().settings().hand, HandSize::Small);
    let kept = NeckSettings { hand: HandSize::Small, ..NeckSettings::default() };
    assert_eq!(bench.wanted.last(), Some(&Effect::Files(FileEffect::KeepNeckSettings(kept))));
    let pane = bench.pane(Focus::Fretboard);
    assert!(pane.contains("beyond this hand"), "{pane}");
    bench.strike("Y");
    assert!(bench.notice().contains(HANDS), "{}", bench.notice());
    bench.strike("-");
    assert!(bench.notice().contains(HANDS) && bench.notice().contains("mm"), "{}", bench.notice());
    bench.strike("Enter");
    assert!(bench.desk().fretboard.holding().is_none_or(Result::is_ok));
    bench.strike("s \"x32010\" Enter -");
    assert!(bench.notice().starts_with("small hand: this hand holds it"), "{}", bench.notice());
}

#[test]
fn the_fingers_a_teacher_would_write_are_saved_with_the_voicing() {
    let mut bench = with_shape("x32010");
    bench.strike("Y");
    // Ring, middle and index finger: common practice for this chord, no published source.
    assert_eq!(bench.notice(), "fingers x32-1-; v saves them with the voicing");
    bench.strike("v");
    let fingers = |bench: &Bench| bench.lesson().voicings[0].fingers.iter().flatten().count();
    assert_eq!(fingers(&bench), 3, "the voicing that was there is brought up to date");
    bench.strike("u");
    assert_eq!(fingers(&bench), 0);
    bench.strike("u");
    assert_eq!(bench.notice(), "undone: fingering");
    assert!(bench.desk().fretboard.grip().fingers.is_empty());
}

#[test]
fn a_chord_that_is_typed_comes_as_ghosts_and_keeps_its_name() {
    let mut bench = with_shape("x32010");
    bench.strike("n \"Am7x\" Enter");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
    assert!(entry.error.is_some());
    bench.strike("Backspace Enter PageDown Enter");
    assert_eq!(bench.desk().fretboard.names(), ["Am7"]);
    let mut classes: Vec<u8> =
        notes(&bench, &bench.desk().fretboard.grip().shape).iter().map(|note| note.number() % 12).collect();
    classes.sort_unstable();
    classes.dedup();
    // A C E G; the fifth may be left out.
    assert!([9, 0, 7].iter().all(|class| classes.contains(class)), "{classes:?}");
    assert!(classes.iter().all(|class| [0, 4, 7, 9].contains(class)), "{classes:?}");
    // With a capo the name is that of the shape.
    bench.strike("Shift+Delete T Down F n \"C\" Enter Enter");
    assert!(bench.desk().fretboard.rig().capo().is_some());
    let classes: Vec<u8> =
        notes(&bench, &bench.desk().fretboard.grip().shape).iter().map(|note| note.number() % 12).collect();
    assert!(classes.iter().all(|class| [2, 6, 9].contains(class)), "D F# A sound: {classes:?}");
}

#[test]
fn two_shapes_are_compared() {
    let mut bench = with_shape("x32010");
    bench.strike("S");
    assert!(bench.notice().starts_with("both slots are empty"), "{}", bench.notice());
    bench.strike("f A s \"x02210\" Enter B");
    assert_eq!(bench.notice(), "B is x 0 2 2 1 0, Am; f compares A and B, S swaps to the other");
    bench.strike("f");
    let Some(Overlay::List(list)) = &bench.state.overlay else { panic!("{}", bench.notice()) };
    let text: Vec<&str> = list.lines.iter().map(|line| line.text.as_str()).collect();
    assert_eq!(text[0], "x 3 2 0 1 0, C");
    assert_eq!(text[1], "x 0 2 2 1 0, Am");
    // Index and middle finger stay from C to A minor: common practice, no published source.
    assert!(text[2].starts_with("1 and 2 stay"), "{text:?}");
    assert_eq!(text[3], "C3 to A2, common E3, G3 to A3, common C4, common E4");
    // Both are heard over what is said of them.
    bench.strike("F8");
    let Some(Effect::Sound(SoundEffect::Play(order, _))) = bench.wanted.last() else { panic!("{:?}", bench.wanted) };
    assert_eq!(order.score.notes.len(), 10);
    assert!(matches!(bench.state.overlay, Some(Overlay::List(_))));
    bench.strike("Esc S");
    assert_eq!(shape(&bench), "x32010");
    bench.strike("S");
    assert_eq!(shape(&bench), "x02210");
    bench.strike("u u");
    assert_eq!(shape(&bench), "x02210");
}

#[test]
fn a_click_on_a_ghost_takes_it() {
    for keys in ["", "O", "Z", "O Z"] {
        let mut bench = with_shape("x32010");
        bench.strike(&format!("{keys} n \"G\" Enter"));
        let wanted = ghost(&bench);
        let area = bench.state.layout().unwrap().pane(Focus::Fretboard).area;
        let pane = &bench.desk().fretboard;
        let on_ghost = area.positions().find(|place| {
            let inside = (usize::from(place.x - area.x), usize::from(place.y - area.y));
            let there = place_at(pane, inside, usize::from(area.width));
            there.is_some_and(|(string, fret)| pane.ghosts().unwrap().is_at(string, fret))
        });
        bench.send(Message::Mouse(Mouse::Click(on_ghost.unwrap())));
        assert_eq!(bench.desk().fretboard.grip().shape, wanted, "{keys}");
    }
}

#[test]
fn what_is_clicked_is_what_is_drawn_there_whichever_way_the_neck_is_turned() {
    for keys in ["", "O", "Z", "O Z"] {
        let mut bench = with_shape("x32010");
        bench.strike(&format!("z z z {keys}"));
        let area = bench.state.layout().unwrap().pane(Focus::Fretboard).area;
        let buffer = bench.buffer();
        let dots: Vec<Position> = area.positions().filter(|place| buffer[*place].symbol() == "●").collect();
        assert_eq!(dots.len(), 3, "{keys}\n{}", bench.screen());
        for place in dots {
            bench.send(Message::Mouse(Mouse::Click(place)));
        }
        assert_eq!(shape(&bench), "xxx0x0", "{keys}");
    }
}

#[test]
fn the_cursor_goes_where_the_arrow_points() {
    let mut bench = with_shape("xx2xxx");
    bench.strike("O Left");
    assert_eq!(bench.desk().fretboard.cursor().1.number(), 3, "the body is on the left");
    bench.strike("Right Right Z Up");
    assert_eq!(bench.desk().fretboard.cursor().1.number(), 1);
    assert_eq!(bench.desk().fretboard.cursor().0, StringNumber::new(5).unwrap(), "string 1 is at the bottom");
    assert_eq!(bench.state.chosen.neck.string_one, StringOne::Bottom);
    assert!(bench.state.chosen.neck.left_handed, "the next lesson is seen the same way");
}

#[test]
fn the_notes_of_the_key_and_harmonic_nodes_are_marked() {
    let mut bench = with_shape("x3xxxx");
    bench.strike("K");
    assert_eq!(bench.notice(), "the notes of C are marked");
    let pane = bench.pane(Focus::Fretboard);
    assert!(pane.contains('·') && pane.contains('◇'), "{pane}");
    bench.strike("K <");
    // A third of the string lies 1200 * log2(1.5) = 702 cents up; its partial, E4, is the open first string's note.
    assert!(bench.notice().contains("7 E4") || bench.notice().contains("7.0 E4"), "{}", bench.notice());
    bench.strike("< End");
    assert!(bench.pane(Focus::Fretboard).contains("<"), "{}", bench.pane(Focus::Fretboard));
    bench.strike("< T Up Up F K");
    assert!(bench.notice().contains("no key is known"), "{}", bench.notice());
}

#[test]
fn chord_tones_are_aimed_at_chord_by_chord() {
    let mut bench = with_shape("x3xxxx");
    bench.strike("Ctrl+Right");
    assert_eq!(bench.notice(), "chord 1 of 2, C: C E G; then G: G B D");
    let (now, next) = bench.desk().fretboard.targets().unwrap().tones();
    assert_eq!(now.classes().collect::<Vec<_>>(), [0, 4, 7]);
    // C leads to B, E to D, G stays: the nearest of G B D to each.
    assert_eq!(next.classes().collect::<Vec<_>>(), [2, 7, 11]);
    let pane = bench.pane(Focus::Fretboard);
    for sign in ["+E", ">B", ">D", "=G"] {
        assert!(pane.contains(sign), "{sign} is missing\n{pane}");
    }
    bench.strike("Ctrl+Right");
    assert!(bench.notice().starts_with("chord 2 of 2, G: G B D; then C"), "{}", bench.notice());
    bench.strike("e Esc");
    assert!(bench.desk().fretboard.targets().is_some(), "the ghost went first");
    bench.strike("Ctrl+Left Esc");
    assert!(bench.desk().fretboard.targets().is_none());
    bench.strike("T Up F Ctrl+Right");
    assert!(bench.notice().starts_with("no chord names here"), "{}", bench.notice());
}

#[test]
fn the_readings_say_what_a_doubt_decides_and_take_in_what_is_known() {
    // Without its C, A E G is no longer minor for sure.
    let mut bench = with_shape("x0201?0");
    bench.strike("R");
    let pane = bench.pane(Focus::Readings).replace('\n', " ");
    let flat: String = pane.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("with string 2: Am7"), "{pane}");
    bench.strike("b \"H\" Enter");
    let Some(Overlay::Entry(entry)) = &bench.state.overlay else { panic!("the box is still open") };
    assert!(entry.error.is_some());
    bench.strike("Backspace \"F\" Enter");
    assert!(bench.pane(Focus::Readings).contains("bass F"), "{}", bench.pane(Focus::Readings));
    let first = &bench.desk().readings.list()[0];
    assert_eq!(first.reading.bass.to_string(), "F", "{}", first.reading.symbol);
    bench.strike("b Ctrl+U Backspace Enter");
    assert!(!bench.pane(Focus::Readings).contains("bass F"));
    // The segment's second voicing comes after its first, C.
    bench.strike("F Shift+Delete Ctrl+End Ctrl+End");
    assert!(bench.pane(Focus::Readings).contains("after C"), "{}", bench.pane(Focus::Readings));
    // And the first comes before the second, G.
    bench.strike("F Shift+Delete Ctrl+End");
    assert!(bench.pane(Focus::Readings).contains("before G"), "{}", bench.pane(Focus::Readings));
}

#[test]
fn a_ghost_is_drawn_with_a_sign_of_its_own() {
    let mut bench = with_shape("x32010");
    bench.strike("n \"G\" Enter");
    insta::assert_snapshot!(bench.pane(Focus::Fretboard), @r"
    ▸Fretboard ───────────────────────── standard
     e     ○║────┼────┼(G)─┼────┼────┼────┼────┼
     B   (○)║─C──┼────┼────┼────┼────┼────┼────┼
     G     ○║────┼────┼────┼────┼────┼────┼────┼
     D   (○)║────┼─E──┼────┼────┼────┼────┼────┼
     A      ║────┼(B)─┼[C─]┼────┼────┼────┼────┼
     E     ×║────┼────┼(G)─┼────┼────┼────┼────┼
               1    2   •3    4   •5    6   •7  …
     x 3 2 0 1 0   reach 67 mm, ease 60/100
     ( ) 1 of 60: 3 2 0 0 0 3  reach 32 mm, ease…
    ");
    bench.resize(80, 24);
    bench.strike("O Z");
    insta::assert_snapshot!(bench.plain().pane(Focus::Fretboard), @r"
    >Fretboard ------------------------------------------------------------ standard
    +----+----+----+----+----+----+----+----+----+----+----+(G)-+----+----|x   E
    +----+----+----+----+----+----+----+----+----+----+----+[C-]+(B)-+----|    A
    +----+----+----+----+----+----+----+----+----+----+----+----+-E--+----|(o) D
    +----+----+----+----+----+----+----+----+----+----+----+----+----+----|o   G
    +----+----+----+----+----+----+----+----+----+----+----+----+----+-C--|(o) B
    +----+----+----+----+----+----+----+----+----+----+----+(G)-+----+----|o   e
    ~  14   13  .12   11   10  .9    8   .7    6   .5    4   .3    2    1
     x 3 2 0 1 0   reach 67 mm, ease 60/100 (medium hand)
     ( ) 1 of 60: 3 2 0 0 0 3  reach 32 mm, ease 57/100, fingers 21---3

     degrees  -   1   3   5   1   3
    ");
}

#[test]
fn a_ghost_beyond_the_hand_comes_with_the_caution_and_is_taken_with_it() {
    // Four frets from the first of a 648 mm scale: 126.2 mm to the fifth, beyond an average hand.
    let mut bench = with_shape("2xx6xx");
    bench.strike("Shift+Left");
    assert_eq!(ghost(&bench).compact(), "1xx5xx");
    assert!(bench.notice().contains("126 mm") && bench.notice().contains(HANDS), "{}", bench.notice());
    assert!(bench.pane(Focus::Fretboard).contains("beyond this hand"));
    bench.strike("Enter");
    assert!(bench.notice().contains(HANDS), "{}", bench.notice());
    assert!(bench.desk().fretboard.grip().fingers.is_empty());
}

#[test]
fn every_mark_is_there_in_ascii_without_colours_at_every_size() {
    for size in [(60, 16), (80, 24), (100, 30), (160, 48)] {
        let mut bench = Bench::small(size).plain();
        bench.strike("Down F s \"x3xxxx\" Enter");
        for (script, sign) in [("e", "("), ("Esc Ctrl+Right", "+C"), ("Esc < <", "<"), ("< K", ":"), ("O Z", ":")] {
            bench.strike(script);
            let pane = bench.pane(Focus::Fretboard);
            assert!(pane.contains(sign), "{sign} is missing at {size:?} after {script}\n{pane}");
            for cell in bench.buffer().content() {
                assert!(cell.symbol().is_ascii(), "{:?} after {script}", cell.symbol());
                assert_eq!((cell.fg, cell.bg), (Color::Reset, Color::Reset), "after {script}");
            }
        }
    }
}

#[test]
fn targets_go_when_the_chords_of_the_music_are_others() {
    let mut bench = Bench::small((100, 30));
    bench.strike("Down F Ctrl+Right P Down Down Down Down v");
    assert!(bench.desk().fretboard.targets().is_some(), "a vibrato is no other chord");
    bench.strike("n Ctrl+U \"Dm\" Enter");
    assert!(bench.desk().fretboard.targets().is_none());
}

#[test]
fn the_shape_is_copied_as_text_that_can_be_typed_again() {
    let mut bench = Bench::small((80, 24));
    for shape in ["x32010", "x-10-12-12-x-x"] {
        bench.strike(&format!("F s \"{shape}\" Enter"));
        bench.wanted.clear();
        bench.strike("c");
        assert_eq!(bench.wanted, [Effect::Terminal(TerminalEffect::CopyOut(shape.to_owned()))]);
        assert!(bench.notice().starts_with(&format!("{shape} copied")), "{}", bench.notice());
    }
    bench.strike("Shift+Delete");
    bench.wanted.clear();
    bench.strike("c");
    assert_eq!(bench.wanted, []);
    assert!(bench.notice().starts_with("nothing is on the fretboard"), "{}", bench.notice());
}

#[test]
fn the_strings_have_the_labels_that_the_tab_gives_them() {
    let mut lesson = small_lesson();
    for setup in &mut lesson.setups {
        setup.tuning = fingerpost::instrument::catalogue::setup_from_text(Some("guitar"), Some("open D")).unwrap().1;
    }
    let mut bench = Bench::on(lesson, (120, 36));
    bench.strike("Down P");
    let (tab, neck) = (bench.pane(Focus::Passage), bench.pane(Focus::Fretboard));
    assert!(tab.contains("F♯") && neck.contains("F♯"), "{tab}\n{neck}");
}

/// What is told of how many shapes a level leaves, as in `beginner: 4 of 31 shapes`: the two numbers.
fn shares(said: &str, level: &str) -> Option<(usize, usize)> {
    let (_, share) = said.split_once(&format!("{level}: "))?;
    let (left, rest) = share.split_once(" of ")?;
    let (all, _) = rest.split_once(' ')?;
    Some((if left == "none" { 0 } else { left.parse().ok()? }, all.parse().ok()?))
}

#[test]
fn a_level_is_chosen_kept_in_the_settings_and_comes_back() {
    let mut bench = with_shape("x32010");
    assert_eq!(bench.desk().fretboard.neck().level(), PlayerLevel::Advanced, "where nothing is said, all are shown");
    for level in PlayerLevel::ALL {
        bench.strike("e l");
        assert_eq!(bench.desk().fretboard.neck().level(), level);
        assert!(bench.notice().starts_with(level.name()), "{}", bench.notice());
        assert!(bench.desk().fretboard.ghosts().is_none(), "what was found was found for the level before");
        let kept = NeckSettings { level, ..NeckSettings::default() };
        assert!(bench.wanted.contains(&Effect::Files(FileEffect::KeepNeckSettings(kept))), "{level}");
    }
}

#[test]
fn a_level_limits_what_is_suggested_and_says_how_much_it_leaves() {
    for (shape, chord) in [("x32010", "C"), ("133211", "F"), ("x02210", "Am7"), ("320001", "G7")] {
        let mut counts = Vec::new();
        // First all, then beginner and intermediate.
        for keys in ["", "l", "l l"] {
            let mut bench = with_shape(shape);
            bench.strike(keys);
            bench.strike("e");
            let level = bench.desk().fretboard.neck().level();
            let hand = Hand::new(HandSize::Medium);
            let ghosts = bench.desk().fretboard.ghosts().map_or(0, |ghosts| ghosts.count());
            let said = shares(bench.notice(), level.name());
            match (level, ghosts) {
                (PlayerLevel::Advanced, _) => assert_eq!(said, None, "{}", bench.notice()),
                (_, left) => assert_eq!(said, Some((left, counts[0])), "{shape}: {}", bench.notice()),
            }
            for _ in 0..ghosts {
                assert!(level.allows(bench.desk().fretboard.rig(), &ghost(&bench), &hand), "{level} {}", ghost(&bench));
                bench.strike("PageDown");
            }
            counts.push(ghosts);
            // Typed names keep to it too, unless they say otherwise.
            bench.strike(&format!("n \"{chord}\" Enter"));
            let typed = bench.desk().fretboard.ghosts().unwrap().share;
            assert_eq!(typed.is_none(), level == PlayerLevel::Advanced, "{chord} {level}: {typed:?}");
            bench.strike(&format!("n \"{chord}, advanced\" Enter"));
            assert_eq!(bench.desk().fretboard.ghosts().unwrap().share, None, "{chord} {level}");
        }
        assert!(counts[1] < counts[2] && counts[2] <= counts[0], "{shape}: {counts:?}");
    }
}

#[test]
fn a_chord_without_a_voicing_at_the_level_says_how_many_there_are() {
    let mut bench = with_shape("x32010");
    bench.strike("l n \"F#, G shape\" Enter");
    let shown = bench.screen();
    assert!(shown.contains("beginner: none of ") && shown.contains("advanced after a comma"), "{shown}");
    bench.strike("\", advanced\" Enter");
    assert!(bench.desk().fretboard.ghosts().is_some(), "{}", bench.screen());
}

#[test]
fn one_shape_that_was_asked_for_is_shown_at_every_level_and_told_where_it_is_above_it() {
    let mut bench = with_shape("133211");
    bench.strike("l Shift+Right");
    assert_eq!(ghost(&bench).compact(), "244322");
    assert!(bench.notice().contains("above beginner level"), "{}", bench.notice());
    bench.strike("Esc l Shift+Right");
    assert!(!bench.notice().contains("level"), "{}", bench.notice());
}

#[test]
fn suggestions_are_sorted_by_the_open_shape_that_they_come_from() {
    let mut bench = with_shape("x32010");
    bench.strike("n \"F, by shape\" Enter");
    let open = OpenShapes::on(bench.desk().fretboard.rig());
    let mut places = Vec::new();
    for _ in 0..bench.desk().fretboard.ghosts().unwrap().count() {
        places.push(open.place(&ghost(&bench)));
        bench.strike("PageDown");
    }
    assert!(places.is_sorted(), "{places:?}");
    let families = places.iter().map(|(family, _)| family).collect::<std::collections::BTreeSet<_>>();
    assert!(families.len() > 3, "{places:?}");
}

/// Also where the suggestion mutes or opens a string that sounds otherwise.
#[test]
fn the_cursor_hides_no_bracket_of_a_suggestion() {
    for size in [(80, 24), (100, 30), (120, 36), (200, 50)] {
        let mut bench = Bench::small(size);
        bench.strike("Down F s \"x32010\" Enter");
        for _ in 0..8 {
            bench.strike("e Home Up Up Up Up Up Up");
            let mut seen = std::collections::BTreeSet::new();
            for _ in 0..6 {
                for key in ["", "Right", "Right", "Right", "Home"] {
                    bench.strike(key);
                    let pane = bench.pane(Focus::Fretboard);
                    let neck: Vec<&str> = pane.lines().skip(1).take(6).collect();
                    let neck = neck.join("\n");
                    seen.insert((neck.matches('(').count(), neck.matches(')').count()));
                }
                bench.strike("Down");
            }
            assert!(seen.len() == 1 && seen.iter().all(|(open, close)| open == close), "{size:?} {seen:?}");
        }
    }
}
