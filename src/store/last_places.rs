//! At which segment each lesson was left, so that it opens there again.
//!
//! A lesson is known by its identity, not by where its file lies. Where this cannot be read, a lesson opens at its first segment.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::folders::Folders;
use super::formats::LAST_PLACES_FORMAT;
use super::latest::Latest;
use super::user_file::{UpdateError, UserFile};
use crate::lesson::id::{LessonId, SegmentId};

/// Where the lessons left last were left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LastPlaces {
    format: u32,
    /// The latest first, at most [`Latest::KEPT`].
    places: Vec<LastPlace>,
}

/// Where a lesson was left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LastPlace {
    /// The lesson.
    pub lesson: LessonId,
    /// The segment; `None` for the first one, at which every lesson opens.
    pub segment: Option<SegmentId>,
}

impl Default for LastPlaces {
    fn default() -> Self {
        Self { format: Self::FORMAT, places: Vec::new() }
    }
}

impl UserFile for LastPlaces {
    const TOP_LINE: &'static str = "The segments at which lessons were left and open again. It may be deleted.";
    const FORMAT: u32 = LAST_PLACES_FORMAT;

    fn format(&self) -> u32 {
        self.format
    }

    fn renew_format(&mut self) {
        self.format = Self::FORMAT;
    }
}

impl Latest for LastPlaces {
    type Entry = LastPlace;
    const KEPT: usize = 200;

    fn path(folders: &Folders) -> PathBuf {
        folders.last_places()
    }

    fn entries(&mut self) -> &mut Vec<LastPlace> {
        &mut self.places
    }
}

impl LastPlaces {
    /// Returns the segment at which `lesson` was left; `None` where that was the first one or is not known.
    pub fn segment_of(folders: &Folders, lesson: LessonId) -> Option<SegmentId> {
        Self::known(folders).places.iter().find(|place| place.lesson == lesson)?.segment
    }

    /// Remembers where a lesson was left; nothing is written that is known.
    ///
    /// Errors: the file cannot be read or written; what was there is still there.
    pub fn remember(folders: &Folders, left: LastPlace) -> Result<(), UpdateError> {
        if Self::segment_of(folders, left.lesson) == left.segment {
            return Ok(());
        }
        let place = left.segment.map(|_| &left);
        Self::put_first(folders, place, |other| other.lesson == left.lesson)
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::store::user_file;

    fn left(lesson: &str, segment: Option<u32>) -> LastPlace {
        LastPlace { lesson: lesson.parse().unwrap(), segment: segment.map(SegmentId) }
    }

    #[test]
    fn the_segment_at_which_a_lesson_was_left_is_remembered_for_each_lesson() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let [one, other] = ["7k3m-q2xf-9dwb-r8tz", "7k3m-q2xf-9dwb-r8t0"];
        let at = |lesson: &str| LastPlaces::segment_of(&folders, lesson.parse().unwrap());
        assert_eq!(at(one), None);
        LastPlaces::remember(&folders, left(other, None)).unwrap();
        assert!(!folders.last_places().exists(), "at the first one it opens anyway");
        for place in [left(one, Some(4)), left(other, Some(2)), left(one, Some(3))] {
            LastPlaces::remember(&folders, place).unwrap();
        }
        assert_eq!((at(one), at(other)), (Some(SegmentId(3)), Some(SegmentId(2))));
        LastPlaces::remember(&folders, left(one, None)).unwrap();
        assert_eq!((at(one), at(other)), (None, Some(SegmentId(2))));
    }

    #[test]
    fn what_cannot_be_read_is_no_place_and_stays_as_it_is() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        for text in ["(format: 99)", "what is this"] {
            fs::write(folders.last_places(), text).unwrap();
            let place = left("7k3m-q2xf-9dwb-r8tz", Some(4));
            assert_eq!(LastPlaces::segment_of(&folders, place.lesson), None);
            assert!(LastPlaces::remember(&folders, place).is_err());
            assert_eq!(fs::read_to_string(folders.last_places()).unwrap(), text);
        }
    }

    #[test]
    fn no_more_lessons_are_remembered_than_the_last_ones() {
        let home = tempfile::tempdir().unwrap();
        let folders = Folders::under(home.path());
        let lesson = |number: usize| -> LessonId { format!("7k3m-q2xf-9dwb-{number:04}").parse().unwrap() };
        let all = (0..LastPlaces::KEPT).rev();
        let places = all.map(|number| LastPlace { lesson: lesson(number), segment: Some(SegmentId(2)) }).collect();
        let known = LastPlaces { places, ..LastPlaces::default() };
        user_file::update(folders.disk(), &folders.last_places(), folders.patience(), |file| *file = known.clone())
            .unwrap();
        let newest = LastPlace { lesson: lesson(LastPlaces::KEPT), segment: Some(SegmentId(3)) };
        LastPlaces::remember(&folders, newest).unwrap();
        assert_eq!(LastPlaces::segment_of(&folders, newest.lesson), newest.segment);
        assert_eq!(LastPlaces::segment_of(&folders, lesson(0)), None, "the oldest one is gone");
        assert_eq!(LastPlaces::segment_of(&folders, lesson(1)), Some(SegmentId(2)));
    }
}
