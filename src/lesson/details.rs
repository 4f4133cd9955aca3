//! What a version of a thing of a lesson holds, detail by detail: to compare two versions of it.
//!
//! The music of a passage is not told here: it is read as tab.

use super::detailed::{Detail, Detailed};
use super::document::Lesson;
use super::edit::{Edit, ListEdit};
use super::id::ItemId;
use super::lists::each_list;
use super::place::LessonPlace;

/// Declares what is told of the version of a thing in each list.
macro_rules! details_of_versions {
    ($({ $field:ident $id:ident $place:ident $word:literal $edit:ident $($rest:tt)* })+) => {
        impl Edit {
            /// Returns the details of the thing that the edit puts in place; `None` where it puts no whole thing there. `lesson` has
            /// the names of what it links to.
            pub fn details(&self, lesson: &Lesson) -> Option<Vec<Detail>> {
                let called = |item: ItemId| called(lesson, item);
                match self {
                    Self::Header(header) => Some(header.details(&called)),
                    $(Self::$edit(edit) => edit.item().map(|item| item.details(&called)),)+
                    Self::Bars { .. } => None,
                }
            }
        }
    };
}

each_list!(details_of_versions);

impl<T, Id> ListEdit<T, Id> {
    /// Returns the thing that the edit puts in place.
    pub const fn item(&self) -> Option<&T> {
        match self {
            Self::Insert { item, .. } | Self::Replace(item) => Some(item),
            Self::Remove(_) | Self::Move { .. } | Self::Renumber { .. } => None,
        }
    }
}

/// Returns what the teacher calls a thing that is linked to.
fn called(lesson: &Lesson, item: ItemId) -> String {
    lesson.title(item).map_or_else(|| LessonPlace::of(item).text(lesson), str::to_owned)
}
