//! Lessons that a file may hold and nobody would write: every value at the end of its range, links
//! to nothing, text that is no text. Whatever is made of them may be odd; nothing may panic, and
//! every time is read back from a file first, so that what is tried here can really arrive.

use std::path::Path;

use fingerpost::instrument::body::{Millimetres, ShortString};
use fingerpost::instrument::hand::{Barre, Finger};
use fingerpost::instrument::neck::{Fret, Shape, StringNumber};
use fingerpost::instrument::tuning::{Capo, Tuning};
use fingerpost::lesson::check::check;
use fingerpost::lesson::cut_video::VideoVersion;
use fingerpost::lesson::document::{BarRange, Lesson, PassageUse, Recorded, Segment, VideoCut, Voicing};
use fingerpost::lesson::id::PassageId;
use fingerpost::lesson::music::{Bar, BendAmount, Event, Join, Note, Passage, Stroke, Technique, Voice};
use fingerpost::lesson::time::{Length, VideoLength, VideoTime};
use fingerpost::plan::chapters::{Basis, chapter_text, chapters};
use fingerpost::plan::length::passage_length;
use fingerpost::plan::order::played_bars;
use fingerpost::plan::schedule::{Totals, recorded_lengths};
use fingerpost::plan::suggest::{Pace, suggest};
use fingerpost::store::lesson_file;
use fingerpost::tab::handout::handout;
use fingerpost::tab::handout::options::{Columns, HandoutOptions, TalkingPoints};
use fingerpost::tab::passage::{lay_out, string_labels};
use fingerpost::tab::style::TabStyle;
use fingerpost::text::charset::Charset;
use fingerpost::text::paper::Paper;
use fingerpost::theory::pitch::{Hertz, MidiNote, Pitch};
use fingerpost::theory::reading::Doubt;
use fingerpost::workbench::keys::action::Action;
use fingerpost::workbench::messages::message::Message;
use proptest::collection::vec;
use proptest::prelude::*;

use super::arbitrary::{Choices, any_lesson};
use super::workbench::bench::Bench;

/// What a text field may hold.
fn any_text(choices: &mut Choices) -> String {
    let texts = [
        "",
        " ",
        "\n\n",
        "\u{1b}[2J\u{7}",
        "\u{200b}",
        "\u{301}",
        "e\u{301}\u{301}\u{301}",
        "日本語のブルース",
        "👩‍👩‍👧‍👦🎸",
        "\u{202e}abc",
        "|--3--|",
        "x",
        "N.C.",
        "C#m7b5/G#",
        "H",
        "\t",
        "\u{fffd}",
        "ﬀ",
        "İ",
        "a b  c",
    ];
    let text = choices.one_of(&texts).unwrap();
    if choices.happens(2) { text.repeat(1 + choices.below(300)) } else { text.to_owned() }
}

fn any_byte(choices: &mut Choices) -> u8 {
    [0, 1, 2, 3, 100, 254, 255][choices.below(7)]
}

fn any_number(choices: &mut Choices) -> u32 {
    [0, 1, 2, 999, 3_599_999, u32::MAX - 1, u32::MAX][choices.below(7)]
}

fn any_fret(choices: &mut Choices) -> Fret {
    Fret::new([0, 1, 9, 10, 24, 35, 36][choices.below(7)]).unwrap()
}

fn any_string(choices: &mut Choices) -> StringNumber {
    StringNumber::new(choices.number(1..=12)).unwrap()
}

fn any_size(choices: &mut Choices) -> f64 {
    [f64::MIN_POSITIVE, 1e-9, 0.5, 440.0, 648.0, 1e12, f64::MAX][choices.below(7)]
}

fn any_length(choices: &mut Choices) -> Length {
    let lengths = ["1/1..", "1/64", "1/64..", "1/8 3:2", "1/4 15:1", "1/1 2:16", "1/16 7:16", "1/2 9:8", "1/64 15:16"];
    let length = choices.one_of(&lengths).and_then(|text| text.parse().ok());
    length.unwrap_or(Length::QUARTER)
}

fn any_amount(choices: &mut Choices) -> BendAmount {
    BendAmount::quarter_tones([1, 3, 23, BendAmount::WIDEST][choices.below(4)]).unwrap()
}

fn any_technique(choices: &mut Choices) -> Technique {
    match choices.below(12) {
        0 => Technique::Bend(any_amount(choices)),
        1 => Technique::PreBendRelease(any_amount(choices)),
        2 => Technique::TremoloBarDive(any_amount(choices)),
        3 => Technique::Trill(any_fret(choices)),
        4 => Technique::ArtificialHarmonic(any_fret(choices)),
        5 => Technique::TappedHarmonic(any_fret(choices)),
        6 => Technique::NaturalHarmonic,
        7 => Technique::Dead,
        8 => Technique::SlideDownInto,
        9 => Technique::SlideAwayUp,
        10 => Technique::TremoloPicking,
        _ => Technique::LetRing,
    }
}

fn any_note(choices: &mut Choices) -> Note {
    Note {
        string: any_string(choices),
        fret: any_fret(choices),
        join: if choices.happens(8) { choices.one_of(&Join::ALL) } else { None },
        techniques: (0..choices.below(6)).map(|_| any_technique(choices)).collect(),
        finger: if choices.happens(4) { Some(Finger::Thumb) } else { None },
    }
}

fn any_event(choices: &mut Choices) -> Event {
    let many = if choices.happens(1) { 60 } else { 4 };
    Event {
        notes: (0..choices.below(many)).map(|_| any_note(choices)).collect(),
        grace: (0..choices.below(4)).map(|_| any_note(choices)).collect(),
        stroke: choices.one_of(&[None, Some(Stroke::RakeUp), Some(Stroke::ArpeggioDown)]).flatten(),
        chord: choices.happens(5).then(|| any_text(choices)),
        text: choices.happens(4).then(|| any_text(choices)),
        voicing: choices.happens(3).then(|| any_number(choices).into()),
        ..Event::rest(any_length(choices))
    }
}

fn any_bar(choices: &mut Choices) -> Bar {
    let meters = ["1/64", "32/1", "32/64", "7/8", "4/4", "13/16"];
    let tempos = ["1/1..=600", "1/64=10", "1/4=120", "1/8.=11"];
    let parsed = |text: Option<&str>| text.map(str::to_owned);
    Bar {
        meter: parsed(choices.one_of(&meters).filter(|_| choices.happens(5))).map(|text| text.parse().unwrap()),
        tempo: parsed(choices.one_of(&tempos).filter(|_| choices.happens(4))).map(|text| text.parse().unwrap()),
        key: choices.happens(2).then(|| "C#".parse().unwrap()),
        pickup: choices.happens(4),
        repeat_start: choices.happens(5),
        repeat_end: choices.happens(5).then(|| any_byte(choices)),
        endings: (0..choices.below(7).saturating_sub(3)).map(|_| any_byte(choices)).collect(),
        voices: (0..choices.below(4))
            .map(|_| Voice((0..choices.below(12)).map(|_| any_event(choices)).collect()))
            .collect(),
    }
}

/// Puts values from the ends of their ranges all over `lesson`.
fn distort(lesson: &mut Lesson, choices: &mut Choices) {
    lesson.header.title = any_text(choices);
    lesson.header.rights = any_text(choices);
    lesson.header.number = choices.happens(8).then(|| any_number(choices));
    lesson.header.target = choices.happens(8).then(|| VideoLength(any_number(choices)));
    for owned in &mut lesson.instruments {
        owned.body.name = any_text(choices);
        owned.body.strings = choices.number(3..=12);
        owned.body.frets = any_fret(choices);
        owned.body.scale = Millimetres(any_size(choices));
        let short = ShortString { string: any_string(choices), starts_at: any_fret(choices) };
        owned.body.short = choices.happens(5).then_some(short);
    }
    for setup in &mut lesson.setups {
        setup.name = any_text(choices);
        let open =
            |choices: &mut Choices| Pitch::usual(MidiNote::new([0, 40, 90, 126, 127][choices.below(5)]).unwrap());
        setup.tuning = Tuning::new((0..choices.number(3..=12)).map(|_| open(choices)).collect()).unwrap();
        let strings = (0..choices.below(4)).map(|_| any_string(choices)).collect();
        setup.capo = choices.happens(8).then(|| Capo { fret: any_fret(choices), strings });
        setup.reference = choices.happens(5).then(|| Hertz(any_size(choices)));
    }
    for piece in &mut lesson.pieces {
        piece.title = any_text(choices);
    }
    for voicing in &mut lesson.voicings {
        distort_voicing(voicing, choices);
    }
    for segment in &mut lesson.segments {
        distort_segment(segment, choices);
    }
    for passage in &mut lesson.passages {
        passage.title = any_text(choices);
        for bar in &mut passage.bars {
            if choices.happens(8) {
                *bar = any_bar(choices);
            }
        }
    }
    if choices.happens(3) {
        lesson.passages.extend(lesson.passages.first().cloned());
        lesson.segments.extend(lesson.segments.first().cloned());
        lesson.setups.extend(lesson.setups.first().cloned());
    }
}

fn distort_voicing(voicing: &mut Voicing, choices: &mut Choices) {
    let fret = |choices: &mut Choices| if choices.happens(5) { None } else { Some(any_fret(choices)) };
    voicing.shape = Shape::new((0..choices.below(13)).map(|_| fret(choices)).collect()).unwrap();
    voicing.doubts = vec![Doubt::NotHeard; choices.below(20)];
    voicing.fingers = vec![Some(Finger::Thumb); choices.below(20)];
    voicing.readings = (0..choices.below(3)).map(|_| any_text(choices)).collect();
    voicing.tags = (0..choices.below(3)).map(|_| any_text(choices)).collect();
    voicing.notes = any_text(choices);
    let barre = Barre { fret: any_fret(choices), from: any_string(choices), to: any_string(choices) };
    voicing.barre = choices.happens(8).then_some(barre);
}

fn distort_segment(segment: &mut Segment, choices: &mut Choices) {
    segment.title = any_text(choices);
    segment.planned = VideoLength(any_number(choices));
    let end = choices.happens(8).then(|| VideoTime(any_number(choices)));
    segment.recorded = choices.happens(10).then(|| Recorded { start: VideoTime(any_number(choices)), end });
    let any_time = |choices: &mut Choices| VideoTime(any_number(choices));
    segment.cuts = (0..choices.below(4)).map(|_| VideoCut { from: any_time(choices), to: any_time(choices) }).collect();
    segment.talking_points = (0..choices.below(4)).map(|_| any_text(choices)).collect();
    for played in &mut segment.passages {
        let bars = BarRange { first: any_number(choices), last: any_number(choices) };
        *played = PassageUse {
            bars: choices.happens(8).then_some(bars),
            times: any_byte(choices),
            slow_times: any_byte(choices),
            slow_percent: any_byte(choices),
            ..PassageUse::whole(if choices.happens(2) { PassageId(u32::MAX) } else { played.passage })
        };
    }
}

/// Returns lessons out of all bounds, as they come back from a file.
fn any_extreme_lesson() -> BoxedStrategy<Lesson> {
    (any_lesson(), vec(any::<u16>(), 0..4000))
        .prop_map(|(mut lesson, numbers)| {
            distort(&mut lesson, &mut Choices::new(&numbers));
            let text = lesson_file::to_text(&lesson).unwrap();
            lesson_file::parse(Path::new("extreme.lesson.ron"), text.as_bytes()).unwrap().lesson
        })
        .boxed()
}

fn lay_out_everything(lesson: &Lesson, passage: &Passage) {
    let labels = lesson.passage_setup(passage).map(|setup| string_labels(&setup.tuning)).unwrap_or_default();
    for (width, charset) in [(0, Charset::Utf8), (24, Charset::Ascii), (72, Charset::Utf8), (500, Charset::Ascii)] {
        lay_out(passage, &labels, &TabStyle::filled(width, charset));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_lesson_that_can_be_read_breaks_the_check_the_plan_or_the_tab(lesson in any_extreme_lesson()) {
        for finding in check(&lesson) {
            prop_assert!(!finding.text(&lesson).is_empty());
        }
        for passage in &lesson.passages {
            prop_assert!(played_bars(&passage.bars).count() <= passage.bars.len() * 255);
            for percent in [1, 100, 255] {
                prop_assert!(passage_length(passage, None, percent).is_ok());
            }
            lay_out_everything(&lesson, passage);
        }
        for basis in [Basis::Planned, Basis::Recorded(VideoVersion::Cut), Basis::Recorded(VideoVersion::Uncut)] {
            if let Ok(chapters) = chapters(&lesson, basis) {
                prop_assert_eq!(chapter_text(&chapters).lines().count(), lesson.segments.len());
            }
        }
        for segment in &lesson.segments {
            suggest(&lesson, segment.id, &Pace { words_per_minute: 0, ..Pace::USUAL }).unwrap().total();
        }
        Totals::of(&lesson).balance();
        prop_assert_eq!(recorded_lengths(&lesson.segments).len(), lesson.segments.len());
    }

    #[test]
    fn no_lesson_that_can_be_read_breaks_the_handout(lesson in any_extreme_lesson()) {
        for (paper, columns, charset) in
            [(Paper::A4, None, Charset::Utf8), (Paper::Letter, Columns::new(40), Charset::Ascii)]
        {
            let talking_points = TalkingPoints::Print;
            let options = HandoutOptions { paper, columns, charset, talking_points, ..HandoutOptions::default() };
            for line in handout(&lesson, &options).pages.iter().flat_map(|page| &page.lines) {
                prop_assert!(fingerpost::text::width::width(line) <= options.width(), "{line}");
                prop_assert!(!line.chars().any(char::is_control), "{line:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn no_lesson_that_can_be_read_breaks_the_workbench(
        lesson in any_extreme_lesson(),
        steps in vec(any::<prop::sample::Index>(), 0..60),
        width in 0u16..200,
        height in 0u16..60,
    ) {
        let actions: Vec<Action> = Action::all().collect();
        let mut bench = Bench::on(lesson, (width, height));
        bench.buffer();
        for step in steps {
            bench.send(Message::Act(*step.get(&actions)));
            bench.buffer();
        }
        bench.resize(100, 30);
        bench.buffer();
    }
}
