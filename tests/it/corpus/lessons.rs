//! Lessons.

use fingerpost::lesson::music::{Event, Note};

use super::*;

/// Looks at the lesson of this name in every format that has one.
#[track_caller]
fn in_every_format(name: &str, look: impl Fn(&Lesson)) {
    let paths = formats().into_iter().map(|format| format.join("lessons").join(format!("{name}.lesson.ron")));
    let lessons: Vec<Lesson> = paths.filter(|path| path.exists()).map(|path| loaded(&path)).collect();
    assert!(lessons.len() >= 2, "only {} of {name}", lessons.len());
    lessons.iter().for_each(look);
}

#[track_caller]
fn loaded(path: &Path) -> Lesson {
    lesson_file::load(path).unwrap_or_else(|error| panic!("{}", error.report())).lesson
}

/// Returns the notes of the first voices of a passage, one after the other.
fn notes(passage: &Passage) -> Vec<&Note> {
    passage
        .bars
        .iter()
        .flat_map(|bar| bar.voices.first())
        .flat_map(|voice| &voice.0)
        .flat_map(|event| &event.notes)
        .collect()
}

/// Returns the events of the first voices of a passage, one after the other.
fn events(passage: &Passage) -> Vec<&Event> {
    passage.bars.iter().flat_map(|bar| bar.voices.first()).flat_map(|voice| &voice.0).collect()
}

#[test]
fn every_lesson_opens_and_its_links_lead_where_they_led() {
    let mut count = 0;
    for path in formats().iter().flat_map(|format| in_folder(&format.join("lessons"))) {
        let loaded = lesson_file::load(&path).unwrap_or_else(|error| panic!("{}", error.report()));
        count += 1;
        let expected: &[FindingKind] = match path.ends_with("by-hand.lesson.ron") {
            true => &[FindingKind::DuplicateId, FindingKind::DanglingLink],
            false => &[],
        };
        let mut broken: Vec<FindingKind> = check(&loaded.lesson).iter().map(|finding| finding.kind).collect();
        broken.retain(|kind| matches!(kind, FindingKind::DuplicateId | FindingKind::DanglingLink));
        assert_eq!(broken, expected, "{}", path.display());
    }
    assert!(count >= 15, "only {count} lessons");
}

#[test]
fn the_demos_have_the_music_they_had() {
    for (name, title, segments, bars, notes_in_all) in [
        ("funk-rhythm", "Three strings are plenty", 13, 52, 863),
        ("dadgad-fingerstyle", "Let the thumb walk: first steps in DADGAD", 9, 26, 205),
        ("ukulele-strum", "Down, up and a little roll", 5, 21, 354),
    ] {
        in_every_format(name, |lesson| {
            let bars_of =
                |lesson: &Lesson| lesson.passages.iter().flat_map(|passage| passage.bars.clone()).collect::<Vec<Bar>>();
            let all = bars_of(lesson);
            let sounding: usize =
                all.iter().flat_map(|bar| &bar.voices).flat_map(|voice| &voice.0).map(|event| event.notes.len()).sum();
            assert_eq!(
                (lesson.header.title.as_str(), lesson.segments.len(), all.len(), sounding),
                (title, segments, bars, notes_in_all)
            );
        });
    }
}

#[test]
fn every_technique_is_what_it_was() {
    in_every_format("playing", |lesson| {
        let bend = |quarters| BendAmount::quarter_tones(quarters).unwrap();
        let one_each: Vec<Technique> = notes(&lesson.passages[0]).iter().map(|note| note.techniques[0]).collect();
        let expected = [
            Technique::SlideUpInto,
            Technique::SlideDownInto,
            Technique::SlideAwayDown,
            Technique::SlideAwayUp,
            Technique::Bend(bend(4)),
            Technique::BendRelease(bend(2)),
            Technique::PreBend(bend(6)),
            Technique::PreBendRelease(bend(1)),
            Technique::Vibrato,
            Technique::PalmMute,
            Technique::Dead,
            Technique::Ghost,
            Technique::LetRing,
            Technique::Trill(fret(7)),
            Technique::TremoloPicking,
            Technique::Tap,
            Technique::FrettingHandTap,
            Technique::NaturalHarmonic,
            Technique::ArtificialHarmonic(fret(14)),
            Technique::PinchHarmonic,
            Technique::TappedHarmonic(fret(15)),
            Technique::TremoloBarDip(bend(2)),
            Technique::TremoloBarDive(bend(24)),
            Technique::Vibrato,
        ];
        assert_eq!(one_each, expected);
        assert_eq!(notes(&lesson.passages[0])[23].techniques, [Technique::Vibrato, Technique::LetRing]);
        let joins: Vec<Join> = notes(&lesson.passages[1]).iter().filter_map(|note| note.join).collect();
        assert_eq!(joins, [Join::Tie, Join::HammerOn, Join::PullOff, Join::Slide, Join::SlideAndPick]);
        let strokes: Vec<Stroke> = events(&lesson.passages[1]).iter().filter_map(|event| event.stroke).collect();
        let both =
            [Stroke::Down, Stroke::Up, Stroke::RakeDown, Stroke::RakeUp, Stroke::ArpeggioDown, Stroke::ArpeggioUp];
        assert_eq!(strokes, both);
    });
}

#[test]
fn bars_voices_and_lengths_are_what_they_were() {
    in_every_format("playing", |lesson| {
        let passage = &lesson.passages[2];
        assert_eq!((passage.title.as_str(), passage.feel), ("Bars, voices and lengths", Feel::SwungSixteenths));
        assert_eq!(lesson.passages[1].feel, Feel::SwungEighths);
        assert_eq!((passage.key.unwrap().to_string(), passage.tempo.to_string()), ("C".into(), "1/4=100".into()));
        let [pickup, first, second, third, empty] = &passage.bars[..] else { panic!("{} bars", passage.bars.len()) };
        assert!(pickup.pickup && first.repeat_start && empty.voices.is_empty());
        assert_eq!((second.repeat_end, &second.endings[..], &third.endings[..]), (Some(3), &[1, 2][..], &[3][..]));
        let changed =
            (third.meter.unwrap().to_string(), third.tempo.unwrap().to_string(), third.key.unwrap().to_string());
        assert_eq!(changed, ("6/8".to_owned(), "1/4.=60".to_owned(), "Am".to_owned()));
        let opening = &pickup.voices[0].0[0];
        assert_eq!(opening.grace.iter().map(|note| note.fret.number()).collect::<Vec<u8>>(), [1, 2]);
        assert_eq!(opening.grace[1].join, Some(Join::HammerOn));
        let held = &first.voices[0].0[0];
        assert_eq!((held.chord.as_deref(), held.text.as_deref()), (Some("Cadd9"), Some("let it ring")));
        assert_eq!(held.voicing, Some(lesson.voicings[0].id));
        let fingers =
            |voice: usize| first.voices[voice].0.iter().map(|event| event.notes[0].finger).collect::<Vec<_>>();
        assert_eq!(fingers(0), [Some(Finger::Little), None]);
        assert_eq!(fingers(1), [Some(Finger::Middle), Some(Finger::Thumb)]);
        let lengths: Vec<String> = second.voices[0].0.iter().map(|event| event.length.to_string()).collect();
        let written =
            "1/8 3:2,1/8 3:2,1/8 3:2,1/16 5:4,1/16 5:4,1/16 5:4,1/16 5:4,1/16 5:4,1/8..,1/32,1/8,1/16,1/64,1/64,1/32";
        assert_eq!(lengths.join(","), written);
    });
}

#[test]
fn necks_setups_and_voicings_are_what_they_were() {
    in_every_format("setups", |lesson| {
        let header = &lesson.header;
        let words = [&header.title, &header.series, &header.author, &header.date, &header.credit, &header.rights];
        assert!(words.iter().all(|word| !word.is_empty()));
        assert_eq!((header.number, header.chord_names), (Some(3), ChordNames::SoundsAs));
        assert_eq!(header.target.map(|target| target.0), Some(860_500));
        let necks: Vec<(&str, u8, u8, f64)> = lesson
            .instruments
            .iter()
            .map(|owned| (&owned.body.name[..], owned.body.strings, owned.body.frets.number(), owned.body.scale.0))
            .collect();
        let banjo = ("five-string banjo", 5, 22, 666.75);
        let others =
            [("tenor ukulele", 4, 18, 430.0), ("three-string box", 3, 12, 600.0), ("long neck", 12, 36, 660.0)];
        assert_eq!(necks, [&[("guitar", 6, 20, 648.0), banjo][..], &others].concat());
        let short = lesson.instruments[1].body.short.unwrap();
        assert_eq!((short.string, short.starts_at), (string(5), fret(5)));
        let setups: Vec<(String, String, String)> = lesson
            .setups
            .iter()
            .map(|setup| {
                let neck = lesson.instruments.iter().find(|owned| owned.id == setup.instrument).unwrap();
                let capo = setup.capo.as_ref().map(ToString::to_string).unwrap_or_default();
                (neck.body.name.clone(), setup.tuning.to_string(), capo)
            })
            .collect();
        let expected = [
            ("guitar", "E2 A2 D3 G3 B3 E4", ""),
            ("guitar", "E2 A2 D3 G3 B3 E4", "3"),
            ("guitar", "E2 A2 D3 G3 B3 E4", "2 on 5 4 3"),
            ("guitar", "D2 A2 D3 F#3 A3 D4", ""),
            ("five-string banjo", "G4 D3 G3 B3 D4", "2"),
            ("tenor ukulele", "G4 C4 E4 A4", ""),
            ("three-string box", "Bb2 Eb3 Bb3", ""),
            ("long neck", "E2 E3 A2 A3 D3 D4 G3 G4 B3 B3 E4 E4", ""),
        ];
        assert_eq!(setups, expected.map(|(neck, tuning, capo)| (neck.to_owned(), tuning.to_owned(), capo.to_owned())));
        assert_eq!(lesson.setups[0].reference.map(|hertz| hertz.0), Some(432.5));
        assert_eq!(lesson.setups[0].tone, "Neck pickup\nlight strings");
        let piece = &lesson.pieces[0];
        assert_eq!((piece.key.unwrap().to_string(), piece.setup), ("Bb".to_owned(), Some(lesson.setups[1].id)));
        assert_eq!(lesson.passages[0].setup, Some(lesson.setups[4].id));
        let em9 = &lesson.voicings[0];
        assert_eq!(
            (em9.shape.to_string().as_str(), em9.doubt(1), em9.doubt(4)),
            ("x 7 5 7 7 x", Doubt::Unsure, Doubt::NotHeard)
        );
        assert_eq!((em9.readings.join(" "), em9.tags.join(" ")), ("Em9 Gmaj7".to_owned(), "soul rootless".to_owned()));
        assert_eq!(em9.notes, "the bass is \"somebody else's\"");
        let all_six = Barre { fret: fret(5), from: string(6), to: string(1) };
        assert_eq!(lesson.voicings[1].barre, Some(all_six));
        let thumb = [Some(Finger::Thumb), Some(Finger::Ring), None, Some(Finger::Ring), None, None];
        assert_eq!(lesson.voicings[2].fingers, thumb);
        assert_eq!(lesson.voicings[3].shape.to_string(), "x 10 12 12 12 x");
    });
}

#[test]
fn segments_are_what_they_were() {
    in_every_format("recorded", |lesson| {
        let kinds: Vec<(SegmentKind, Progress)> =
            lesson.segments.iter().map(|segment| (segment.kind, segment.progress)).collect();
        let expected = [
            (SegmentKind::Welcome, Progress::Final),
            (SegmentKind::Talk, Progress::Practised),
            (SegmentKind::Performance, Progress::ReRecord),
            (SegmentKind::Walkthrough, Progress::Drafted),
            (SegmentKind::PlayAlong, Progress::Idea),
            (SegmentKind::Exercise, Progress::Unsaid),
            (SegmentKind::Retuning, Progress::Unsaid),
            (SegmentKind::Goodbye, Progress::Unsaid),
        ];
        assert_eq!(kinds, expected);
        let planned: Vec<u32> = lesson.segments.iter().map(|segment| segment.planned.0 / 1000).collect();
        assert_eq!(planned, [40, 90, 120, 200, 130, 3605, 30, 20]);
        let times = |place: usize| lesson.segments[place].recorded.map(|recorded| (recorded.start, recorded.end));
        assert_eq!(times(0), Some((VideoTime(0), Some(VideoTime(38_250)))));
        assert_eq!(times(1), Some((VideoTime(38_250), None)));
        assert_eq!(times(2), Some((VideoTime(125_000), Some(VideoTime(241_007)))));
        assert_eq!((times(3), times(7)), (None, Some((VideoTime(4_200_000), None))));
        let first = &lesson.segments[0];
        assert_eq!(first.talking_points, ["who I am", "what you need: \"ears\""]);
        assert_eq!((first.shot.as_str(), first.tone.as_str()), ("wide, window behind", "dry"));
        let pieces: Vec<&str> = lesson.segments[1]
            .pieces
            .iter()
            .map(|id| lesson.pieces.iter().find(|piece| piece.id == *id).unwrap().title.as_str())
            .collect();
        assert_eq!(pieces, ["Millrace", "Gravel Waltz"]);
        let slowly = lesson.segments[3].passages[0];
        assert_eq!(slowly.passage, lesson.passages[0].id);
        assert_eq!(slowly.bars.map(|bars| (bars.first, bars.last)), Some((2, 3)));
        assert_eq!((slowly.times, slowly.slow_times, slowly.slow_percent), (0, 4, 60));
        let together: Vec<u8> = lesson.segments[4].passages.iter().map(|used| used.times).collect();
        assert_eq!(together, [1, 3]);
        assert_eq!(lesson.segments[3].voicings, [lesson.voicings[0].id]);
        assert_eq!(lesson.segments[6].setup, Some(lesson.setups[1].id));
    });
}

#[test]
fn a_lesson_typed_by_hand_reads_as_it_did() {
    in_every_format("by-hand", |lesson| {
        assert_eq!(lesson.header.title, "A \"quoted\" title // no comment");
        assert_eq!(lesson.setups[0].tuning.to_string(), "E2 A2 D3 G3 B3 E4");
        assert_eq!(lesson.setups[0].capo.as_ref().unwrap().fret, fret(1));
        let titles: Vec<&str> = lesson.segments.iter().map(|segment| segment.title.as_str()).collect();
        assert_eq!(titles, ["x", "y\n♭"]);
        assert_eq!(lesson.segments[0].id, lesson.segments[1].id, "two that share an identity still do");
        assert_eq!(lesson.segments[0].pieces.len(), 1, "a link to nothing is kept");
    });
}

/// A lesson that was only opened and saved looks as it did to whoever compares two copies of it.
#[test]
fn what_the_program_wrote_in_todays_format_it_writes_again_byte_for_byte() {
    let of_today = of_today();
    let mut files = in_folder(&of_today.join("lessons"));
    files.retain(|path| !path.ends_with("by-hand.lesson.ron"));
    assert!(files.len() >= 8, "{files:?}");
    for path in files {
        let folder = TempDir::new().unwrap();
        let copy = folder.path().join("copy.lesson.ron");
        fs::copy(&path, &copy).unwrap();
        let Opened { lesson, mut file, .. } = OpenLesson::open(&copy).unwrap();
        assert_eq!(file.notices(), []);
        assert_eq!(file.save(&lesson).unwrap(), FormatRenewal::No);
        assert!(fs::read(&copy).unwrap() == fs::read(&path).unwrap(), "{} is written differently", path.display());
    }
}

#[test]
fn identities_that_were_drawn_are_what_they_were() {
    let lesson = loaded(&corpus().join("format-2/lessons/drawn.lesson.ron"));
    let text = fs::read_to_string(corpus().join("format-2/lessons/drawn.lesson.ron")).unwrap();
    assert!(text.contains(&format!("\n    id: \"{}\",\n", lesson.id.unwrap())));
    let segment = lesson.segments.last().unwrap();
    assert!(text.contains(&format!("id: {},", segment.id)) && segment.id.0 > 99_999);
    let passage = lesson.passage(segment.passages[0].passage).unwrap();
    assert_eq!(passage.title, "Dusk, the first part");
    let named = (passage.piece.unwrap(), passage.setup.unwrap(), segment.voicings[0]);
    assert_eq!(named, (lesson.pieces[0].id, lesson.setups[1].id, lesson.voicings[0].id));
    assert_eq!(lesson.setups[1].instrument, lesson.instruments[1].id);
}
