use super::*;
use crate::instrument::neck::{Fret, StringNumber};
use crate::lesson::id::PassageId;
use crate::lesson::music::{Bar, BendAmount, Event, Feel, Join, Note, Passage, Stroke, Technique, Voice};
use crate::lesson::time::{Length, Meter, NoteValue, Tempo, Tuplet};
use crate::tab::style::{Charset, TabStyle};

fn n(string: u8, fret: u8) -> Note {
    Note::plain(StringNumber::new(string).unwrap(), Fret::new(fret).unwrap())
}

fn len(text: &str) -> Length {
    text.parse().unwrap()
}

fn ev(length: &str, notes: &[Note]) -> Event {
    Event::notes(len(length), notes.to_vec())
}

fn passage(bars: Vec<Bar>) -> Passage {
    Passage {
        id: PassageId(1),
        title: "riff".into(),
        piece: None,
        setup: None,
        key: None,
        meter: Meter::COMMON,
        tempo: Tempo::USUAL,
        feel: Feel::Straight,
        bars,
    }
}

fn bar(events: Vec<Event>) -> Bar {
    Bar { voices: vec![Voice(events)], ..Bar::default() }
}

fn labels() -> Vec<String> {
    ["E", "A", "D", "G", "B", "e"].map(str::to_owned).to_vec()
}

fn show(passage: &Passage, width: usize, charset: Charset) -> String {
    let text = render(passage, &labels(), &TabStyle { width, charset });
    let mut out = String::new();
    for system in &text.systems {
        for line in &system.lines {
            out.push_str(line);
            out.push('\n');
        }
        out.push('\n');
    }
    for entry in &text.legend {
        out.push_str(&format!("{}  {}\n", entry.sign, entry.meaning));
    }
    out
}

#[test]
fn look() {
    let join = |mut note: Note, join| {
        note.join = Some(join);
        note
    };
    let tech = |mut note: Note, t: &[Technique]| {
        note.techniques = t.to_vec();
        note
    };
    let chord = |mut event: Event, name: &str| {
        event.chord = Some(name.into());
        event
    };
    let dead = |s| tech(n(s, 0), &[Technique::Dead]);
    let stab = || vec![n(1, 7), n(2, 7), n(3, 7), n(4, 5)];
    let eighths = bar(vec![
        chord(ev("1/8", &stab()), "Em9"),
        ev("1/8", &stab()),
        ev("1/8", &[dead(1), dead(2), dead(3), dead(4)]),
        ev("1/8", &stab()),
        Event::rest(len("1/4")),
        chord(ev("1/8", &[join(n(5, 5), Join::HammerOn)]), "A13"),
        ev("1/8", &[n(5, 7)]),
    ]);
    let sixteenths = bar((0..16)
        .map(|i| {
            let mut e = ev("1/16", &[n(6, i % 5), n(5, 2)]);
            e.stroke = Some(if i % 2 == 0 { Stroke::Down } else { Stroke::Up });
            if i < 6 {
                e.notes.iter_mut().for_each(|n| n.techniques.push(Technique::PalmMute));
            }
            e
        })
        .collect());
    let trip = |e: &str| Length::new(len(e).value(), 0, Some(Tuplet { actual: 3, normal: 2 })).unwrap().to_string();
    let triplets = bar(vec![
        ev(&trip("1/8"), &[n(3, 7)]),
        ev(&trip("1/8"), &[n(3, 9)]),
        ev(&trip("1/8"), &[n(2, 7)]),
        ev("1/4", &[tech(n(2, 10), &[Technique::Bend(BendAmount::FULL), Technique::Vibrato])]),
        ev("1/4.", &[tech(n(6, 12), &[Technique::NaturalHarmonic, Technique::LetRing])]),
        ev("1/8", &[n(1, 12)]),
    ]);
    let mut two = Bar {
        voices: vec![
            Voice(vec![
                ev("1/4", &[n(1, 3)]),
                ev("1/8", &[n(2, 3)]),
                ev("1/8", &[n(2, 0)]),
                ev("1/2", &[n(1, 0), n(2, 1)]),
            ]),
            Voice(vec![ev("1/2", &[n(6, 3)]), ev("1/4", &[n(5, 3)]), ev("1/4", &[n(6, 10)])]),
        ],
        repeat_start: true,
        endings: vec![1],
        ..Bar::default()
    };
    two.repeat_end = Some(3);
    two.voices[0].0[1].text = Some("let the thumb lead".into());
    two.voices[0].0[1].grace = vec![join(n(2, 1), Join::HammerOn)];
    let mut whole = bar(vec![ev("1/1", &[n(1, 0), n(6, 0)])]);
    whole.meter = Some(Meter::COMMON);
    let mut six = bar(vec![ev("1/4", &[n(4, 2)]), ev("1/8", &[n(3, 2)]), ev("1/8", &[n(2, 3)]), ev("1/4", &[n(1, 2)])]);
    six.meter = Some(Meter::new(6, NoteValue::Eighth).unwrap());
    let mut pick = bar(vec![ev("1/8", &[n(5, 3)]), ev("1/16", &[n(4, 0)]), ev("1/16", &[n(4, 2)])]);
    pick.pickup = true;
    let p = passage(vec![pick, eighths.clone(), eighths.clone(), eighths, sixteenths, triplets, two, whole, six]);
    println!("{}", show(&p, 72, Charset::Utf8));
    println!("{}", show(&p, 72, Charset::Ascii));
    println!("{}", show(&p, 40, Charset::Ascii));
    println!("{}", show(&p, 100, Charset::Utf8));
}
