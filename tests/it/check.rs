//! The check over random music and random lessons.

use std::collections::BTreeSet;

use fingerpost::instrument::body::{Instrument, Millimetres};
use fingerpost::instrument::neck::Fret;
use fingerpost::instrument::tuning::Tuning;
use fingerpost::lesson::check::{FindingKind, check};
use fingerpost::lesson::document::{Lesson, OwnedInstrument, Setup};
use fingerpost::lesson::id::{InstrumentId, SetupId};
use fingerpost::lesson::music::{Event, Note, Passage};
use fingerpost::lesson::time::Length;
use fingerpost::theory::pitch::{MidiNote, Pitch};
use proptest::prelude::*;

use super::arbitrary::{Choices, any_lesson, any_lesson_and_chain, any_passage_on_any_neck, edit_from};

/// A lesson with one passage on an instrument of so many strings and frets.
fn lesson_with(passage: Passage, strings: u8, frets: u8) -> Lesson {
    let body = Instrument {
        name: "test neck".into(),
        strings,
        frets: Fret::new(frets).unwrap(),
        scale: Millimetres(648.0),
        short: None,
    };
    let open = (0..strings).map(|string| Pitch::usual(MidiNote::new(40 + string).unwrap())).collect();
    let setup = Setup {
        id: SetupId(1),
        name: "as it comes".into(),
        instrument: InstrumentId(1),
        tuning: Tuning::new(open).unwrap(),
        capo: None,
        reference: None,
        tone: String::new(),
    };
    Lesson {
        instruments: vec![OwnedInstrument { id: InstrumentId(1), body }],
        setups: vec![setup],
        passages: vec![passage],
        ..Lesson::default()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Ties the generator and the check together: what one makes as valid the other finds valid.
    #[test]
    fn valid_music_has_no_findings((music, passage) in any_passage_on_any_neck()) {
        let lesson = lesson_with(passage, music.strings, music.frets);
        let findings: Vec<String> = check(&lesson)
            .iter()
            .filter(|finding| finding.kind != FindingKind::NoTitle)
            .map(|finding| finding.text(&lesson))
            .collect();
        prop_assert!(findings.is_empty(), "{findings:#?}");
    }

    #[test]
    fn music_that_was_valid_until_somebody_slipped_is_found((music, mut passage) in any_passage_on_any_neck()) {
        let struck = |event: &&mut Event| !event.is_rest();
        let events = passage.bars.iter_mut().flat_map(|bar| &mut bar.voices).flat_map(|voice| &mut voice.0);
        let Some(event) = events.into_iter().find(struck) else { return Ok(()) };
        let twin = Note::plain(event.notes[0].string, event.notes[0].fret);
        event.notes.push(twin);
        if music.frets < Fret::LAST {
            event.notes.push(Note::plain(event.notes[0].string, Fret::new(music.frets + 1).unwrap()));
        }
        let voice = passage.bars.iter_mut().flat_map(|bar| &mut bar.voices).last().unwrap();
        // More than the longest meter holds, so that no pickup makes it right.
        voice.0.extend(vec![Event::rest(Length::QUARTER); 7]);
        let found: BTreeSet<FindingKind> =
            check(&lesson_with(passage, music.strings, music.frets)).iter().map(|finding| finding.kind).collect();
        for kind in [FindingKind::StringClash, FindingKind::BarLength, FindingKind::OffTheNeck] {
            prop_assert!(found.contains(&kind), "{kind:?} is not among {found:?}");
        }
    }

    #[test]
    fn findings_stand_in_the_order_of_the_document_and_read_well(lesson in any_lesson()) {
        let findings = check(&lesson);
        prop_assert!(findings.is_sorted_by_key(|finding| finding.place.order(&lesson)));
        for finding in &findings {
            for text in [&finding.reason, &finding.remedy] {
                prop_assert!(!text.is_empty() && !text.ends_with('.') || text.ends_with("N.C."), "{text}");
                prop_assert!(!text.contains(char::is_control), "{text:?}");
            }
        }
    }

    #[test]
    fn any_document_can_be_checked((mut lesson, chain) in any_lesson_and_chain()) {
        for numbers in &chain {
            let _ = lesson.apply(edit_from(&lesson, &mut Choices::new(numbers)));
        }
        let findings = check(&lesson);
        prop_assert_eq!(findings, check(&lesson.clone()));
    }
}
