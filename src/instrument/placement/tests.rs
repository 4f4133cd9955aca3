//! Lines whose place every teacher knows, and the search against trying everything.

use super::line::{Limits, Milliseconds, Slice, Wanted};
use super::*;
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::rig::Rig;
use crate::theory::pitch::Pitch;

fn rig(instrument: &str, tuning: Option<&str>, capo: Option<&str>) -> Rig {
    let (body, tuning) = setup_from_text(Some(instrument), tuning).unwrap();
    Rig::new(body, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap()
}

/// Reads `C3 D3 C3+E3`, each `ms` long.
fn line(notes: &str, ms: u64) -> Vec<Slice> {
    let notes = notes.split_whitespace().zip(0..);
    let wanted = |note: &str| Wanted::pitch(note.parse::<Pitch>().unwrap().midi(), Milliseconds(ms));
    notes
        .map(|(slice, at)| Slice { start: Milliseconds(at * ms), notes: slice.split('+').map(wanted).collect() })
        .collect()
}

/// Shows a placement as `5/3.3` (string/fret.finger), chords joined with `+`.
fn shown(placement: &Placement) -> String {
    let note = |placed: &Placed| {
        let finger = placed.finger.map_or(String::new(), |finger| format!(".{finger}"));
        format!("{}/{}{finger}", placed.place.string, placed.place.fret)
    };
    let slice = |slice: &PlacedSlice| slice.notes.iter().map(note).collect::<Vec<_>>().join("+");
    placement.slices.iter().map(slice).collect::<Vec<_>>().join(" ")
}

#[test]
fn print() {
    for (instrument, notes, ms) in [
        ("guitar", "C3 D3 E3 F3 G3 A3 B3 C4", 250),
        ("guitar", "G2 A2 B2 C3 D3 E3 F#3 G3 A3 B3 C4 D4 E4 F#4 G4", 250),
        ("guitar", "A2 C3 D3 E3 G3 A3 C4 D4 E4 G4 A4 C5", 125),
        ("guitar", "C3+E3+G3+C4+E4 F2+C3+F3+A3+C4+F4 G2+B2+D3+G3+B3+G4 D3+A3+D4+F#4", 1000),
        ("guitar", "E3 F#3 G#3 A3 B3 C#4 D#4 E4", 250),
        ("guitar", "A3 B3 C#4 D4 E4 F#4 G#4 A4", 125),
        ("guitar", "C4 D4 E4 F4 G4 A4 B4 C5", 125),
        ("guitar", "E2 G2 A2 Bb2 B2 D3 E3", 125),
        ("guitar", "C3+E4 D3+F4 E3+G4 F3+A4 G3+B4 A3+C5", 500),
        ("guitar", "C3+E3+Bb3+D4 F2+Eb3+A3+D4 Bb2+D3+A3+C4", 1000),
        ("guitar", "E4 G4 A4 C5 D5 E5 G5 A5 G5 E5 D5 C5 A4 G4 E4", 125),
        ("guitar", "A3 C#4 E4 A4 C#5 E5 A5", 125),
        ("guitar", "C4+E4+G4 D4+F4+A4 E4+G4+B4 F4+A4+C5 G4+B4+D5", 500),
        ("guitar", "G3+B3 A3+C4 B3+D4 C4+E4 D4+F#4 E4+G4", 250),
        ("guitar", "E4+G#4 F#4+A4 G#4+B4 A4+C#5 B4+D5 C#5+E5", 250),
        ("bass", "E1 G1 A1 B1 D2 E2", 250),
        ("bass", "C2 E2 G2 A2 C3 A2 G2 E2", 250),
        ("bass", "F1 A1 C2 D2 F2 D2 C2 A1", 250),
        ("bass", "Bb1 C2 D2 Eb2 F2 G2 A2 Bb2", 250),
        ("ukulele", "C4 D4 E4 F4 G4 A4 B4 C5", 250),
        ("ukulele", "C4+E4+G4+C5 F4+A4+C5 G4+B4+D5", 500),
        ("banjo", "G3 B3 D4 G4 D4 B3 G3 D3", 125),
        ("banjo", "G3 A3 B3 C4 D4 E4 F#4 G4", 125),
        ("mandolin", "G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 C5 D5 E5 F#5 G5 A5 B5", 125),
    ] {
        let rig = rig(instrument, None, None);
        match place(&rig, &line(notes, ms), Limits::NONE) {
            Ok(placement) => eprintln!("{instrument}: {notes}\n   {}   = {}", shown(&placement), placement.cost),
            Err(error) => eprintln!("{error}"),
        }
    }
}
#[test]
fn print2() {
    let rig = rig("guitar", None, None);
    for notes in ["G2+B2+D3+G3+B3+G4", "G2+B2+D3+G3+D4+G4", "A2+E3+A3+C#4+E4", "E2+B2+E3+G#3+B3+E4", "A2+E3+A3+C4+E4", "B2+F#3+B3+D#4+F#4", "D3+A3+D4+F#4", "C3+G3+C4+E4+G4", "G2+D3+G3+B3+D4+G4", "B2+D#3+A3+B3+F#4", "G2+F3+B3+D4"] {
        eprintln!("{notes}: {}", place(&rig, &line(notes, 1000), Limits::NONE).map(|placement| shown(&placement)).unwrap_or_else(|e| e.to_string()));
    }
}
