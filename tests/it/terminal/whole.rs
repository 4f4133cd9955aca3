//! A whole lesson from nothing to the handout on the disk, by keys alone and with the mouse.

use super::screen::Session;

/// A minute of welcome, a minute and a half, two and a quarter, a minute: written by hand from what is typed.
const OUTLINE: &str = "
1  0:00  welcome  Welcome
2  1:00  talk     Opening
3  2:30  talk     The run
                  Mill run
4  4:45  goodbye  Goodbye
";

/// x 3 2 0 1 0, string 6 at the left as chord grids are drawn.
const GRID: &str = "
        C
   x     o   o
   ╒═╤═╤═╤═╤═╕
   │ │ │ │ ● │
   ├─┼─┼─┼─┼─┤
   │ │ ● │ │ │
   ├─┼─┼─┼─┼─┤
   │ ● │ │ │ │
";

/// Four quarters on string 5.
const TAB: &str = "
   C
1  q   q   q   q
e│─────────────────│
B│─────────────────│
G│─────────────────│
D│─────────────────│
A│─3───2───0───3───│
E│─────────────────│
   1   2   3   4
";

/// Starts a new lesson for a guitar in standard tuning, from the template that is offered first.
pub(super) fn new_lesson(title: &str, size: (u16, u16)) -> Session {
    let mut session = Session::start(&[], size, &[]);
    session.wait_for("the start screen", |screen| screen.contains("New lesson"));
    session.type_keys(&format!("\r{title}\r"));
    session.wait_for("the templates", |screen| screen.contains("Template"));
    session.type_keys("\r");
    session.wait_for("the instruments", |screen| screen.contains("Instrument"));
    session.type_keys("\r");
    session.wait_for("the tunings", |screen| screen.contains("Tuning"));
    session.type_keys("\r");
    session.wait_for("the lesson", |screen| screen.contains(title) && screen.contains("Welcome"));
    session
}

/// Writes the handout, saves, leaves, and returns the handout of that name.
pub(super) fn finish(session: &mut Session, handout: &str) -> String {
    session.type_keys("\x05");
    session.wait_for("the handout", |screen| screen.contains("the handout is in"));
    session.type_keys("\x13");
    session.wait_for("the lesson saved", |screen| screen.contains("saved in"));
    session.quit();
    session.file(handout)
}

/// Presses and lets go of the left button; xterm's control sequences (SGR, 1006), columns and rows from 1.
fn click(session: &mut Session, (column, line): (u16, u16)) {
    let (column, line) = (column + 1, line + 1);
    session.type_keys(&format!("\x1b[<0;{column};{line}M\x1b[<0;{column};{line}m"));
}

#[test]
fn by_mouse_where_something_is_pointed_at() {
    let mut session = new_lesson("Mill lane", (100, 30));
    for (title, length) in [("Opening", "1:30"), ("The run", "2:15")] {
        session.type_keys(&format!("a{title}\rl{length}\r"));
        session.wait_for("the segment", |screen| screen.contains(title) && screen.contains(&format!("{length} ")));
    }
    let row = session.place_of("talk", "Opening");
    click(&mut session, row);
    session.wait_for("the row selected", |screen| {
        screen.lines().any(|line| line.starts_with('▸') && line.contains("Opening"))
    });
    let title = session.place_of("Fretboard", "Readings");
    click(&mut session, title);
    session.wait_for("the fretboard in focus", |screen| screen.contains("▸Fretboard"));
    // The neck as it is drawn: string 1 on top, the nut at the mute signs, fret 1 between the first two wires.
    let (nut, top) = session.place_of("×", " e ");
    for (string, fret) in [(5, 3), (4, 2), (3, 0), (2, 1), (1, 0)] {
        click(&mut session, (nut + if fret == 0 { 0 } else { 5 * fret - 2 }, top + string - 1));
    }
    session.wait_for("the shape", |screen| screen.contains("x 3 2 0 1 0"));
    session.type_keys("Nv");
    session.wait_for("the voicing saved", |screen| screen.contains("saved C in \"Opening\""));
    let handout = finish(&mut session, "mill-lane.handout.txt");
    assert!(handout.contains(GRID), "{GRID}\nis not in\n{handout}");
}

#[test]
fn by_keys_alone() {
    let mut session = new_lesson("Mill lane", (100, 30));
    session.type_keys("aOpening\rl1:30\rpKeep the ring finger down\rBreathe\x13");
    session.wait_for("the first segment", |screen| screen.contains("1:30") && screen.contains("Keep"));
    session.type_keys("aThe run\rl2:15\r");
    session.wait_for("the second segment", |screen| screen.contains("2:15"));
    session.type_keys("Fsx32010\r");
    session.wait_for("the shape", |screen| screen.contains("x 3 2 0 1 0"));
    session.type_keys("Nv");
    session.wait_for("the voicing saved", |screen| screen.contains("saved C in"));
    session.type_keys("PaMill run\r\r\r");
    session.wait_for("the passage", |screen| screen.contains("bar 1 of 1"));
    session.type_keys("\x1b[B\x1b[B\x1b[B\x1b[B*3\x1b[C2\x1b[C0\x1b[C3\x1b[H");
    session.type_keys("n\x15C\r");
    session.wait_for("the chord's name", |screen| screen.contains(" C "));
    let handout = finish(&mut session, "mill-lane.handout.txt");
    for part in [OUTLINE, GRID, TAB] {
        assert!(handout.contains(part), "{part}\nis not in\n{handout}");
    }
    // What is said while filming is for the teacher.
    assert!(!handout.contains("Keep the ring finger down"), "{handout}");
}

#[test]
fn on_a_small_screen_what_was_planned_played_and_said_is_in_its_file() {
    let mut session = new_lesson("Porch swing", (80, 24));
    session.type_keys("aTwo chords\rl2:30\rpKeep the ring finger down\x13");
    session.wait_for("the segment", |screen| screen.contains("2:30") && screen.contains("point: Keep"));
    session.type_keys("Fsx32010\rv");
    session.wait_for("the voicing saved", |screen| screen.contains("saved C in \"Two chords\""));
    let handout = finish(&mut session, "porch-swing.handout.txt");
    for part in ["Porch swing", "Two chords", "C"] {
        assert!(handout.contains(part), "{handout}");
    }
    let lesson = session.file("porch-swing.lesson.ron");
    for part in ["Keep the ring finger down", "\"2:30\"", "x 3 2 0 1 0"] {
        assert!(lesson.contains(part), "{lesson}");
    }
    assert!(session.file("library.ron").contains("x 3 2 0 1 0"));
}

#[test]
fn a_riff_is_typed_as_tab_and_stands_in_the_handout() {
    const RIGHT: &str = "\x1b[C";
    const DOWN: &str = "\x1b[B";
    let mut session = new_lesson("Ferry slip", (80, 24));
    session.type_keys("PaFerry riff\r\r\r");
    session.wait_for("the new passage", |screen| screen.contains("bar 1 of 1"));
    // Four quarters on string 5, the second hammered on to the third, the last on fret 12.
    session.type_keys(&format!("{DOWN}{DOWN}{DOWN}{DOWN}*0{RIGHT}3{RIGHT}5\x1b[Dh{RIGHT}{RIGHT}12"));
    session.wait_for("the riff", |screen| screen.contains("3h──────5") && screen.contains("[12]"));
    session.type_keys("\x0b");
    session.wait_for("the word about the clipboard", |screen| screen.contains("1 bar copied as text tab"));
    assert!(session.sent().contains("\x1b]52;c;"), "the tab went to the clipboard of the terminal");
    let handout = finish(&mut session, "ferry-slip.handout.txt");
    let line = handout.lines().find(|line| line.starts_with("A│")).unwrap_or(&handout);
    assert_eq!(line.replace('─', ""), "A│03h512│", "{handout}");
}
