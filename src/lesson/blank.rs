//! The lesson that a teacher starts from.

use super::document::{Header, Lesson, OwnedInstrument, Segment, SegmentKind, Setup};
use super::id::{InstrumentId, LessonId, SegmentId, SetupId};
use super::time::VideoLength;
use crate::instrument::catalogue::tuning_label;
use crate::instrument::rig::Rig;

impl Lesson {
    /// Returns the new lesson `id` on one instrument in one setup, with a first and a last segment of a minute each.
    ///
    /// What every new lesson has is counted from 1: nobody else can add to it yet.
    pub fn blank(id: LessonId, title: impl Into<String>, rig: &Rig) -> Self {
        let label = tuning_label(rig.tuning(), rig.instrument());
        let setup = Setup {
            id: SetupId(1),
            name: rig.capo().map_or(label.clone(), |capo| format!("{label}, capo {capo}")),
            instrument: InstrumentId(1),
            tuning: rig.tuning().clone(),
            capo: rig.capo().cloned(),
            reference: None,
            tone: String::new(),
        };
        let minute = VideoLength::from_seconds(60);
        let welcome = Segment::new(SegmentId(1), SegmentKind::Welcome, "Welcome", minute);
        Self {
            id: Some(id),
            header: Header { title: title.into(), ..Header::default() },
            instruments: vec![OwnedInstrument { id: InstrumentId(1), body: rig.instrument().clone() }],
            setups: vec![setup],
            segments: vec![
                Segment { setup: Some(SetupId(1)), ..welcome },
                Segment::new(SegmentId(2), SegmentKind::Goodbye, "Goodbye", minute),
            ],
            ..Self::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::setup_from_text;
    use crate::lesson::check::{FindingKind, check};

    #[test]
    fn nothing_is_wrong_with_a_lesson_to_start_from() {
        for (instrument, capo, name) in [("guitar", None, "standard"), ("banjo", Some("2"), "open G, capo 2")] {
            let (body, tuning) = setup_from_text(Some(instrument), None).unwrap();
            let rig = Rig::new(body, tuning, capo.map(|capo| capo.parse().unwrap())).unwrap();
            let lesson = Lesson::blank(LessonId::new([1; 10]), "Slow reel", &rig);
            // That two segments make too few chapters is known from the start.
            let findings = check(&lesson);
            assert!(findings.iter().all(|found| found.kind == FindingKind::Chapters), "{instrument}: {findings:?}");
            assert_eq!(lesson.rig(&lesson.setups[0]), Ok(rig));
            assert!(lesson.setups[0].name.ends_with(name), "{}", lesson.setups[0].name);
        }
    }
}
