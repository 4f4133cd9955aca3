//! Plans that a new lesson can start from, from `assets/templates.ron`.

use std::sync::LazyLock;

use serde::Deserialize;

use super::document::{Lesson, Segment, SegmentKind};
use super::id::{LessonId, SegmentId, SetupId};
use super::time::VideoLength;
use crate::instrument::rig::Rig;

/// A plan for a lesson.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Template {
    /// What it is called.
    pub name: String,
    /// What it is good for, in a few words.
    pub about: String,
    segments: Vec<PlannedSegment>,
}

/// A segment of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlannedSegment {
    kind: SegmentKind,
    title: String,
    planned: VideoLength,
    #[serde(default)]
    points: Vec<String>,
}

impl Template {
    /// Returns how many segments it has.
    pub const fn segments(&self) -> usize {
        self.segments.len()
    }

    /// Returns the new lesson `id` after this plan, on one instrument in one setup.
    pub fn lesson(&self, id: LessonId, title: impl Into<String>, rig: &Rig) -> Lesson {
        let segment = |(number, planned): (u32, &PlannedSegment)| Segment {
            setup: (number == 1).then_some(SetupId(1)),
            talking_points: planned.points.clone(),
            ..Segment::new(SegmentId(number), planned.kind, planned.title.clone(), planned.planned)
        };
        Lesson { segments: (1..).zip(&self.segments).map(segment).collect(), ..Lesson::blank(id, title, rig) }
    }
}

/// Returns the plans, the plainest first.
pub fn templates() -> &'static [Template] {
    static TEMPLATES: LazyLock<Vec<Template>> = LazyLock::new(|| {
        ron::from_str(include_str!("../../assets/templates.ron")).expect("a test reads the table that is compiled in")
    });
    &TEMPLATES
}

/// Returns the plan of a name.
pub fn template_named(name: &str) -> Option<&'static Template> {
    templates().iter().find(|template| template.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::catalogue::setup_from_text;
    use crate::lesson::check::{FindingKind, check};

    #[test]
    fn nothing_is_wrong_with_what_a_template_makes_but_too_few_chapters() {
        let (body, tuning) = setup_from_text(Some("guitar"), None).unwrap();
        let rig = Rig::new(body, tuning, None).unwrap();
        for template in templates() {
            let lesson = template.lesson(LessonId::new([1; 10]), "Slow reel", &rig);
            assert_eq!(lesson.segments.len(), template.segments(), "{}", template.name);
            let wrong: Vec<_> =
                check(&lesson).into_iter().filter(|found| found.kind != FindingKind::Chapters).collect();
            assert!(wrong.is_empty(), "{}: {wrong:?}", template.name);
        }
    }

    #[test]
    fn the_plainest_comes_first_and_is_what_a_blank_lesson_is() {
        let rig = Rig::new(
            crate::instrument::catalogue::guitar().instrument.clone(),
            setup_from_text(Some("guitar"), Some("drop D")).unwrap().1,
            None,
        )
        .unwrap();
        let id = LessonId::new([1; 10]);
        assert_eq!(templates()[0].lesson(id, "Reel", &rig), Lesson::blank(id, "Reel", &rig));
    }

    #[test]
    fn every_template_is_found_by_its_name_alone() {
        for template in templates() {
            assert_eq!(template_named(&template.name), Some(template));
            assert!(!template.about.is_empty());
        }
    }
}
