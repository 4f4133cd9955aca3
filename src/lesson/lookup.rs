//! Finding things in a lesson: by identity, and what follows from links.

use super::document::{Lesson, OwnedInstrument, Piece, Segment, Setup, Voicing};
use super::edit::Item;
use super::id::{InstrumentId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use super::music::Passage;
use super::time::{VideoLength, VideoTime};
use crate::instrument::rig::{Rig, RigError};

/// A setup from which no rig can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SetupError {
    /// Its instrument is not in the lesson.
    #[error("there is no instrument {0}")]
    NoInstrument(InstrumentId),
    /// Its instrument, tuning and capo do not fit together.
    #[error(transparent)]
    Rig(#[from] RigError),
}

impl Lesson {
    /// Returns the instrument; `None` when it is gone.
    pub fn instrument(&self, id: InstrumentId) -> Option<&OwnedInstrument> {
        find(&self.instruments, id)
    }

    /// Returns the setup; `None` when it is gone.
    pub fn setup(&self, id: SetupId) -> Option<&Setup> {
        find(&self.setups, id)
    }

    /// Returns the piece; `None` when it is gone.
    pub fn piece(&self, id: PieceId) -> Option<&Piece> {
        find(&self.pieces, id)
    }

    /// Returns the passage; `None` when it is gone.
    pub fn passage(&self, id: PassageId) -> Option<&Passage> {
        find(&self.passages, id)
    }

    /// Returns the voicing; `None` when it is gone.
    pub fn voicing(&self, id: VoicingId) -> Option<&Voicing> {
        find(&self.voicings, id)
    }

    /// Returns the segment; `None` when it is gone.
    pub fn segment(&self, id: SegmentId) -> Option<&Segment> {
        find(&self.segments, id)
    }

    /// Returns where the segment stands in the video, counted from 0.
    pub fn segment_index(&self, id: SegmentId) -> Option<usize> {
        self.segments.iter().position(|segment| segment.id == id)
    }

    /// Returns an identity no instrument has.
    pub fn next_instrument_id(&self) -> InstrumentId {
        next_id(&self.instruments)
    }

    /// Returns an identity no setup has.
    pub fn next_setup_id(&self) -> SetupId {
        next_id(&self.setups)
    }

    /// Returns an identity no piece has.
    pub fn next_piece_id(&self) -> PieceId {
        next_id(&self.pieces)
    }

    /// Returns an identity no passage has.
    pub fn next_passage_id(&self) -> PassageId {
        next_id(&self.passages)
    }

    /// Returns an identity no voicing has.
    pub fn next_voicing_id(&self) -> VoicingId {
        next_id(&self.voicings)
    }

    /// Returns an identity no segment has.
    pub fn next_segment_id(&self) -> SegmentId {
        next_id(&self.segments)
    }

    /// Returns the setup in force for a segment: its own, else the one before it, else the lesson's
    /// first. `None` when the segment is gone, the setup it links to is gone, or there are no setups.
    pub fn segment_setup(&self, id: SegmentId) -> Option<&Setup> {
        let so_far = self.segments.get(..=self.segment_index(id)?)?;
        match so_far.iter().rev().find_map(|segment| segment.setup) {
            Some(setup) => self.setup(setup),
            None => self.setups.first(),
        }
    }

    /// Returns the setup a passage is written for: its own, else its piece's, else the lesson's
    /// first. `None` when the one it links to is gone or there are no setups.
    pub fn passage_setup(&self, passage: &Passage) -> Option<&Setup> {
        match self.stated_passage_setup(passage) {
            Some(setup) => self.setup(setup),
            None => self.setups.first(),
        }
    }

    /// Returns the setup a passage or its piece says; `None` where neither does.
    pub fn stated_passage_setup(&self, passage: &Passage) -> Option<SetupId> {
        passage.setup.or_else(|| self.piece(passage.piece?)?.setup)
    }

    /// Returns the setup a voicing is played in: its own, else the lesson's first.
    pub fn voicing_setup(&self, voicing: &Voicing) -> Option<&Setup> {
        match voicing.setup {
            Some(setup) => self.setup(setup),
            None => self.setups.first(),
        }
    }

    /// Returns what `setup` makes of its instrument, or why it makes nothing.
    ///
    /// Errors: the instrument is gone, or its tuning or capo does not fit it.
    pub fn rig(&self, setup: &Setup) -> Result<Rig, SetupError> {
        let instrument =
            self.instrument(setup.instrument).ok_or(SetupError::NoInstrument(setup.instrument))?.body.clone();
        Ok(Rig::new(instrument, setup.tuning.clone(), setup.capo.clone())?)
    }

    /// Returns the rig a passage is written for; `None` where its setup is gone or makes none.
    pub fn passage_rig(&self, passage: &Passage) -> Option<Rig> {
        self.rig(self.passage_setup(passage)?).ok()
    }

    /// Returns the rig a voicing is played on; `None` where its setup is gone or makes none.
    pub fn voicing_rig(&self, voicing: &Voicing) -> Option<Rig> {
        self.rig(self.voicing_setup(voicing)?).ok()
    }

    /// Returns how long the whole video shall be: all planned lengths added up.
    pub fn planned_length(&self) -> VideoLength {
        self.segments.iter().map(|segment| segment.planned).sum()
    }

    /// Returns when each segment starts if every one takes its planned length, in order.
    pub fn planned_starts(&self) -> impl Iterator<Item = VideoTime> {
        self.segments.iter().scan(VideoTime::START, |clock, segment| {
            let start = *clock;
            *clock = *clock + segment.planned;
            Some(start)
        })
    }
}

fn find<T: Item>(list: &[T], id: T::Id) -> Option<&T> {
    list.iter().find(|item| item.id() == id)
}

/// Returns one past the highest identity, or the lowest free one where that is the last there is.
fn next_id<T: Item>(list: &[T]) -> T::Id
where
    T::Id: From<u32> + Into<u32>,
{
    let taken = |number: u32| list.iter().any(|item| item.id().into() == number);
    let highest = list.iter().map(|item| item.id().into()).max();
    let next = highest.map_or(1, |highest| highest.saturating_add(1));
    let next = if taken(next) { (1..=u32::MAX).find(|number| !taken(*number)).unwrap_or(next) } else { next };
    T::Id::from(next)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue;
    use crate::lesson::document::SegmentKind;
    use crate::lesson::time::VideoLength;

    fn setup(id: u32) -> Setup {
        Setup {
            id: SetupId(id),
            name: String::new(),
            instrument: InstrumentId(1),
            tuning: catalogue::tuning_from_text("standard", &catalogue::guitar().instrument).unwrap(),
            capo: None,
            reference: None,
            tone: String::new(),
        }
    }

    fn lesson() -> Lesson {
        let segment = |id, setup: Option<u32>| Segment {
            setup: setup.map(SetupId),
            ..Segment::new(SegmentId(id), SegmentKind::Talk, "", VideoLength::from_seconds(10))
        };
        Lesson {
            setups: vec![setup(1), setup(2)],
            segments: vec![segment(1, None), segment(7, Some(2)), segment(3, None), segment(4, Some(9))],
            ..Lesson::default()
        }
    }

    #[test]
    fn a_segment_keeps_the_setup_before_it() {
        let lesson = lesson();
        let setup = |id| lesson.segment_setup(SegmentId(id)).map(|setup| setup.id.0);
        assert_eq!([setup(1), setup(7), setup(3), setup(4)], [Some(1), Some(2), Some(2), None]);
    }

    #[test]
    fn a_new_identity_is_free_even_when_the_last_one_is_taken() {
        let mut lesson = lesson();
        assert_eq!(lesson.next_segment_id(), SegmentId(8));
        assert_eq!(lesson.next_piece_id(), PieceId(1));
        lesson.segments[0].id = SegmentId(u32::MAX);
        assert_eq!(lesson.next_segment_id(), SegmentId(1));
    }

    #[test]
    fn planned_starts_add_up() {
        let starts: Vec<u32> = lesson().planned_starts().map(|start| start.0).collect();
        assert_eq!(starts, [0, 10_000, 20_000, 30_000]);
    }

    #[test]
    fn a_setup_without_its_instrument_makes_no_rig() {
        let lesson = lesson();
        assert_eq!(lesson.rig(&lesson.setups[0]).unwrap_err().to_string(), "there is no instrument 1");
    }
}
