//! The examples of the standard, and files that are none.

use super::*;
use crate::lesson::placing::lengths::fraction;
use crate::lesson::time::Ticks;
use crate::lesson::time::{Meter, Tempo};

/// Whole example files of RP-001 "Standard MIDI Files 1.0", with the notes they hold as mido reads them.
const EXAMPLES: &str = include_str!("../../../tests/reference/smf_examples.tsv");

struct Example {
    name: &'static str,
    bytes: Vec<u8>,
    notes: &'static str,
}

fn examples() -> Vec<Example> {
    let rows = EXAMPLES.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|row| {
        let cells: Vec<&'static str> = row.split('\t').collect();
        let bytes = cells[2].split(' ').map(|byte| u8::from_str_radix(byte, 16).unwrap()).collect();
        Example { name: cells[0], bytes, notes: cells[3] }
    })
    .collect()
}

fn told(line: &TimedLine) -> Vec<String> {
    let note = |note: &crate::lesson::placing::timed::TimedNote| {
        format!("{} {} {}", fraction(note.start), fraction(note.length), note.pitch.number())
    };
    line.notes.iter().map(note).collect()
}

/// A file of one track with 96 ticks a quarter: each note as its delta, key and length.
fn file(division: [u8; 2], events: &[u8]) -> Vec<u8> {
    let mut bytes = b"MThd\0\0\0\x06\0\0\0\x01".to_vec();
    bytes.extend(division);
    bytes.extend(b"MTrk");
    bytes.extend(u32::try_from(events.len() + 4).unwrap().to_be_bytes());
    bytes.extend(events);
    bytes.extend([0, 0xFF, 0x2F, 0]);
    bytes
}

#[test]
fn the_examples_of_the_standard_hold_four_notes_in_two_seconds() {
    let examples = examples();
    assert_eq!(examples.len(), 2);
    for Example { name, bytes, notes } in examples {
        // The second file spreads the same notes over three tracks.
        let parts: Vec<MidiLine> = match name {
            "format0" => vec![read(&bytes, TrackChoice::default()).unwrap()],
            _ => {
                (2..=4).map(|track| read(&bytes, TrackChoice { track: Some(track), channel: None }).unwrap()).collect()
            }
        };
        let mut found = Vec::new();
        for part in &parts {
            assert_eq!(part.remarks, [""; 0], "{name}");
            assert_eq!(part.line.meters, [(Ticks::ZERO, Meter::COMMON)], "{name}");
            assert_eq!(part.line.tempos, [(Ticks::ZERO, Tempo::USUAL)], "{name}");
            // Four quarters at 120 a minute are two seconds.
            assert_eq!(part.line.end, Ticks::WHOLE, "{name}");
            found.extend(part.line.notes.iter().map(|note| {
                (
                    note.start.0 * 384 / Ticks::WHOLE.0,
                    (note.start + note.length).0 * 384 / Ticks::WHOLE.0,
                    note.pitch.number(),
                )
            }));
        }
        found.sort_unstable();
        // `0-384 ch2 n48 v96;…`, 96 ticks a quarter.
        let mut expected: Vec<(u64, u64, u8)> = notes
            .split(';')
            .map(|note| {
                let fields: Vec<&str> = note.split(' ').collect();
                let (start, end) = fields[0].split_once('-').unwrap();
                (start.parse().unwrap(), end.parse().unwrap(), fields[2][1..].parse().unwrap())
            })
            .collect();
        expected.sort_unstable();
        assert_eq!(found, expected, "{name}");
    }
}

#[test]
fn a_track_has_to_be_chosen_where_several_have_notes() {
    let bytes = &examples()[1].bytes;
    let message = read(bytes, TrackChoice::default()).unwrap_err().to_string();
    assert_eq!(
        message,
        "several tracks have notes, choose one with `--track`: track 2 (1 note, channel 1); \
         track 3 (1 note, channel 2); track 4 (2 notes, channel 3)"
    );
    let message = read(bytes, TrackChoice { track: Some(1), channel: None }).unwrap_err().to_string();
    assert!(message.starts_with("track 1 has no notes; there are notes in track 2"), "{message}");
    let message = read(bytes, TrackChoice { track: None, channel: Some(16) }).unwrap_err().to_string();
    assert!(message.starts_with("channel 16 has no notes"), "{message}");
    assert_eq!(told(&read(bytes, TrackChoice { track: None, channel: Some(3) }).unwrap().line), ["0 1 48", "0 1 60"]);
}

#[test]
fn bad_files_say_what_is_wrong() {
    let example = &examples()[0].bytes;
    let message = |bytes: &[u8]| read(bytes, TrackChoice::default()).unwrap_err().to_string();
    assert_eq!(message(b""), "this is not a Standard MIDI File: it does not begin with `MThd`");
    assert_eq!(message(b"RIFF"), "this is not a Standard MIDI File: it does not begin with `MThd`");
    for length in 4..example.len() {
        let told = message(&example[..length]);
        assert!(told.starts_with("the file is cut off") || told.starts_with("the file is damaged"), "{length}: {told}");
    }
    assert_eq!(message(&file([0, 96], &[])), "there are no notes in the file");
    // 30 frames a second of 80 ticks: the division of RP-001's own example, E2 50.
    assert!(
        message(&file([0xE2, 0x50], &[0, 0x90, 60, 64, 96, 0x80, 60, 0])).starts_with("the file counts time in film")
    );
    assert!(message(&file([0, 0], &[0, 0x90, 60, 64, 96, 0x80, 60, 0])).contains("0 ticks a quarter"));
    assert!(message(&file([0, 96], &[0, 0x99, 38, 64, 96, 0x89, 38, 0])).contains("only drums on channel 10"));
}

#[test]
fn a_key_that_is_struck_while_it_sounds_ends_the_note_before() {
    // MIDI 1.0 Detailed Specification 4.2, "Note On" (from memory), leaves it to the receiver what a second Note On of a
    // sounding key does. A string sounds one note at a time, so here the second ends the first. RP-001 adds nothing.
    let notes = |events: &[u8]| {
        let read = read(&file([0, 96], events), TrackChoice::default()).unwrap();
        (told(&read.line), read.remarks)
    };
    // Struck at 0 and 96, released at 192 and 288.
    let twice = [0, 0x90, 60, 64, 96, 60, 64, 96, 60, 0, 96, 60, 0];
    assert_eq!(notes(&twice).0, ["0 1/4 60", "1/4 1/2 60"]);
    // Released once only: the second sounds to the last event.
    let once = [0, 0x90, 60, 64, 96, 60, 64, 96, 60, 0];
    let (found, remarks) = notes(&once);
    assert_eq!(found, ["0 1/4 60", "1/4 1/4 60"]);
    assert_eq!(remarks, ["1 note never ends in the file and sounds to its last event"]);
    // Another key, or the same on another channel, ends nothing.
    let others = [0, 0x90, 60, 64, 96, 62, 64, 96, 60, 0, 96, 62, 0];
    assert_eq!(notes(&others).0, ["0 1/2 60", "1/4 1/2 62"]);
}

#[test]
fn a_note_on_without_velocity_is_a_note_off() {
    // MIDI 1.0 Detailed Specification 4.2 (from memory): Note On with velocity 0 is Note Off.
    for off in [&[0x80, 60, 64][..], &[0x90, 60, 0]] {
        let events = [&[0, 0x90, 60, 64, 96][..], off, &[96, 0x90, 62, 64, 96, 0x80, 62, 0]].concat();
        let read = read(&file([0, 96], &events), TrackChoice::default()).unwrap();
        assert_eq!((told(&read.line), read.remarks), (vec!["0 1/4 60".to_owned(), "1/2 1/4 62".to_owned()], vec![]));
    }
}

#[test]
fn sloppy_playing_is_moved_to_what_can_be_written_and_told() {
    // Quarters played 2 ticks late and short, by running status; then a triplet.
    let events = [
        2, 0x90, 60, 64, 88, 60, 0, 8, 62, 64, 90, 62, 0, 4, 64, 64, 30, 64, 0, 2, 65, 64, 30, 65, 0, 2, 67, 64, 30,
        67, 0,
    ];
    let read = read(&file([0, 96], &events), TrackChoice::default()).unwrap();
    assert_eq!(told(&read.line), ["0 1/4 60", "1/4 1/4 62", "1/2 1/12 64", "7/12 1/12 65", "2/3 1/12 67"]);
    assert_eq!(read.remarks.len(), 1);
    assert!(read.remarks[0].starts_with("7 of 10 starts and ends moved"), "{}", read.remarks[0]);
}

#[test]
fn meters_and_tempos_are_read_where_they_change() {
    // 6/8 at 90 a minute; after a bar 3/4 at 150.
    let events = [
        0, 0xFF, 0x58, 4, 6, 3, 24, 8, 0, 0xFF, 0x51, 3, 0x0A, 0x2C, 0x2B, 0, 0x90, 60, 64, 0x82, 0x20, 60, 0, 0, 0xFF,
        0x58, 4, 3, 2, 24, 8, 0, 0xFF, 0x51, 3, 0x06, 0x1A, 0x80, 0, 0x90, 62, 64, 96, 62, 0,
    ];
    let read = read(&file([0, 96], &events), TrackChoice::default()).unwrap();
    let meters: Vec<String> = read.line.meters.iter().map(|(at, meter)| format!("{} {meter}", fraction(*at))).collect();
    let tempos: Vec<String> = read.line.tempos.iter().map(|(at, tempo)| format!("{} {tempo}", fraction(*at))).collect();
    assert_eq!(meters, ["0 6/8", "3/4 3/4"]);
    assert_eq!(tempos, ["0 1/4=90", "3/4 1/4=150"]);
    assert_eq!(read.remarks, [""; 0]);
}

#[test]
fn markers_that_are_chords_are_named_over_the_line_and_others_left_alone() {
    // Marker (FF 06 length text) by RP-001. "Bb", "verse" and a quarter later "F/A".
    let mut events = vec![0, 0xFF, 0x06, 2, b'B', b'b', 0, 0xFF, 0x06, 5];
    events.extend(b"verse");
    events.extend([0, 0x90, 58, 64, 96, 58, 0, 0, 0xFF, 0x06, 3, b'F', b'/', b'A', 0, 0x90, 57, 64, 96, 57, 0]);
    let read = read(&file([0, 96], &events), TrackChoice::default()).unwrap();
    let chords: Vec<String> = read.line.chords.iter().map(|(at, name)| format!("{} {name}", fraction(*at))).collect();
    assert_eq!(chords, ["0 Bb", "1/4 F/A"]);
    assert_eq!(told(&read.line), ["0 1/4 58", "1/4 1/4 57"]);
}
