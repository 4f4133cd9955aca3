//! Finding things in a lesson: by identity, and what follows from links.

use super::document::{Lesson, Setup};
use super::id::{InstrumentId, ItemId, SegmentId, SetupId};
use super::lists::each_list;
use super::music::Passage;
use super::named::Named;
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

/// Declares what is looked up in each list.
macro_rules! lookups {
    ($({ $field:ident $id:ident $place:ident $word:literal $edit:ident $item:ty, $one:ident $($rest:tt)* })+) => {
        impl Lesson {
            $(
                #[doc = concat!("Returns the ", $word, "; `None` when it is gone.")]
                pub fn $one(&self, id: super::id::$id) -> Option<&$item> {
                    self.$field.iter().find(|item| item.id == id)
                }
            )+

            /// Returns where a thing stands in its list, counted from 0; the first of several.
            pub fn position(&self, item: ItemId) -> Option<usize> {
                match item {
                    $(ItemId::$place(id) => self.$field.iter().position(|item| item.id == id),)+
                }
            }

            /// Returns what the teacher calls a thing; `None` where that is nothing but blanks, or the thing is gone.
            pub fn title(&self, item: ItemId) -> Option<&str> {
                let title = match item {
                    $(ItemId::$place(id) => self.$one(id).and_then(Named::title),)+
                };
                title.filter(|title| !title.trim().is_empty())
            }

            /// Returns every identity of its lists, in the order of the document.
            pub fn identities(&self) -> impl Iterator<Item = ItemId> {
                std::iter::empty()$(.chain(self.$field.iter().map(|item| ItemId::$place(item.id))))+
            }
        }
    };
}

each_list!(lookups);

impl Lesson {
    /// Returns whether there is such a thing.
    pub fn has(&self, item: ItemId) -> bool {
        self.position(item).is_some()
    }

    /// Returns where all those stand in their list that have this identity, counted from 0.
    pub fn positions(&self, item: ItemId) -> impl Iterator<Item = usize> {
        let list = self.identities().filter(move |other| other.list() == item.list());
        list.enumerate().filter(move |(_, other)| *other == item).map(|(at, _)| at)
    }

    /// Returns whether nothing stands in any of its lists.
    pub fn is_empty(&self) -> bool {
        self.identities().next().is_none()
    }

    /// Returns where the segment stands in the video, counted from 0.
    pub fn segment_index(&self, id: SegmentId) -> Option<usize> {
        self.segments.iter().position(|segment| segment.id == id)
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

    /// Returns the setup a passage or its piece says; `None` where neither does.
    pub fn stated_passage_setup(&self, passage: &Passage) -> Option<SetupId> {
        passage.setup.or_else(|| self.piece(passage.piece?)?.setup)
    }

    /// Returns what `setup` makes of its instrument, or why it makes nothing.
    ///
    /// Errors: the instrument is gone, or its tuning or capo does not fit it.
    pub fn rig(&self, setup: &Setup) -> Result<Rig, SetupError> {
        let instrument =
            self.instrument(setup.instrument).ok_or(SetupError::NoInstrument(setup.instrument))?.body.clone();
        Ok(Rig::new(instrument, setup.tuning.clone(), setup.capo.clone())?)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue;
    use crate::lesson::document::{Segment, SegmentKind};
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
