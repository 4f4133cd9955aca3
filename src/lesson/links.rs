//! Every link of a lesson: who holds on to what. Nothing else walks through links by hand, so that a new field
//! that is a link needs a word here and nowhere else.
//!
//! A link is an identity; it may dangle. What is checked, mended, told apart or brought together goes through
//! [`Linked`] for one thing and [`Lesson::each_link`] for all of them.

use super::document::{Lesson, OwnedInstrument, PassageUse, Piece, Segment, Setup, Voicing};
use super::id::{Identity, ItemId};
use super::lists::each_list;
use super::music::{Bar, Event, Passage};
use super::place::{LessonPlace, Spot};

/// A link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// Who links; for an event of a passage, which one.
    pub from: LessonPlace,
    /// What is linked to.
    pub to: ItemId,
}

/// What becomes of a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It stays.
    Stays,
    /// It leads to the thing of this number in the same list.
    To(u32),
    /// It is taken out. One that cannot be missing, the instrument of a setup, stays.
    Cut,
}

/// A thing that links to others.
pub trait Linked {
    /// Shows every link, in the order of the file, with the spot where it stands.
    fn links(&self, see: &mut impl FnMut(Spot, ItemId));

    /// Decides of every link what becomes of it, in the order of the file.
    fn relink(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate);

    /// Returns whether a link leads to `item`.
    fn links_to(&self, item: ItemId) -> bool {
        let mut found = false;
        self.links(&mut |_, to| found |= to == item);
        found
    }
}

/// Says of each field of a thing whether it is a link: those before the semicolon are. A field that is not
/// named does not compile.
macro_rules! linked {
    ($($item:ident { $($link:ident),*; $($plain:ident),* })+) => {$(
        impl Linked for $item {
            fn links(&self, see: &mut impl FnMut(Spot, ItemId)) {
                let Self { $($link,)* $($plain: _,)* } = self;
                linked!(@used see);
                $($link.each(see);)*
            }

            fn relink(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate) {
                let Self { $($link,)* $($plain: _,)* } = self;
                linked!(@used decide);
                $($link.redirect(decide);)*
            }
        }
    )+};
    // A thing without links asks nobody.
    (@used $closure:ident) => {
        let _ = &$closure;
    };
}

linked! {
    OwnedInstrument { ; id, body }
    Setup { instrument; id, name, tuning, capo, reference, tone }
    Piece { setup; id, title, credit, recording, permission, key, tempo, notes }
    Passage { piece, setup, bars; id, title, key, meter, tempo, feel }
    Event { voicing; length, notes, grace, stroke, chord, text }
    Voicing { setup; id, shape, doubts, readings, fingers, barre, tags, notes }
    Segment {
        setup, pieces, passages, voicings;
        id, kind, title, planned, progress, recorded, cuts, talking_points, shot, tone
    }
}

/// A field that holds links.
trait Holds {
    fn each(&self, see: &mut impl FnMut(Spot, ItemId));
    fn redirect(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate);
}

/// A link that is always there.
impl<Id: Identity> Holds for Id {
    fn each(&self, see: &mut impl FnMut(Spot, ItemId)) {
        see(Spot::WHOLE, (*self).into());
    }

    fn redirect(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate) {
        let _ = follow(self, decide(Spot::WHOLE, (*self).into()));
    }
}

/// A link that may be missing.
impl<Id: Identity> Holds for Option<Id> {
    fn each(&self, see: &mut impl FnMut(Spot, ItemId)) {
        if let Some(id) = self {
            id.each(see);
        }
    }

    fn redirect(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate) {
        if let Some(id) = self
            && !follow(id, decide(Spot::WHOLE, (*id).into()))
        {
            *self = None;
        }
    }
}

/// Any number of links.
impl<Id: Identity> Holds for Vec<Id> {
    fn each(&self, see: &mut impl FnMut(Spot, ItemId)) {
        self.iter().for_each(|id| id.each(see));
    }

    fn redirect(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate) {
        self.retain_mut(|id| follow(id, decide(Spot::WHOLE, (*id).into())));
    }
}

/// Passages with how they are played.
impl Holds for Vec<PassageUse> {
    fn each(&self, see: &mut impl FnMut(Spot, ItemId)) {
        self.iter().for_each(|used| used.passage.each(see));
    }

    fn redirect(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate) {
        self.retain_mut(|used| {
            let fate = decide(Spot::WHOLE, used.passage.into());
            follow(&mut used.passage, fate)
        });
    }
}

/// Music, whose events may link to the voicing they are played with.
impl Holds for Vec<Bar> {
    fn each(&self, see: &mut impl FnMut(Spot, ItemId)) {
        for (bar, content) in self.iter().enumerate() {
            for (voice, line) in content.voices.iter().enumerate() {
                for (event, played) in line.0.iter().enumerate() {
                    played.links(&mut |_, to| see(Spot::bar(bar).voice(voice).event(event), to));
                }
            }
        }
    }

    fn redirect(&mut self, decide: &mut impl FnMut(Spot, ItemId) -> Fate) {
        for (bar, content) in self.iter_mut().enumerate() {
            for (voice, line) in content.voices.iter_mut().enumerate() {
                for (event, played) in line.0.iter_mut().enumerate() {
                    played.relink(&mut |_, to| decide(Spot::bar(bar).voice(voice).event(event), to));
                }
            }
        }
    }
}

/// Leads a link where its fate wants it, and returns whether it is to stay at all.
fn follow<Id: Identity>(link: &mut Id, fate: Fate) -> bool {
    match fate {
        Fate::Stays => true,
        Fate::To(number) => {
            *link = number.into();
            true
        }
        Fate::Cut => false,
    }
}

/// Goes through every list.
macro_rules! walk_lists {
    ($({ $field:ident $($rest:tt)* })+) => {
        impl Lesson {
            /// Shows every link of the things that are `wanted`, in the order of the document.
            pub fn each_link(&self, wanted: impl Fn(ItemId) -> bool, mut see: impl FnMut(Link)) {
                $(
                    for item in self.$field.iter().filter(|item| wanted(item.id.into())) {
                        let whole = LessonPlace::of(item.id);
                        item.links(&mut |spot, to| see(Link { from: whole.at(spot), to }));
                    }
                )+
            }

            /// Decides of every link what becomes of it, in the order of the document.
            pub fn relink(&mut self, mut decide: impl FnMut(Link) -> Fate) {
                $(
                    for item in &mut self.$field {
                        let whole = LessonPlace::of(item.id);
                        item.relink(&mut |spot, to| decide(Link { from: whole.at(spot), to }));
                    }
                )+
            }
        }
    };
}

each_list!(walk_lists);

impl Lesson {
    /// Returns who links to `item`, in the order of the document; an event of a passage each time.
    pub fn who_links_to(&self, item: ItemId) -> Vec<LessonPlace> {
        let mut places = Vec::new();
        self.each_link(|_| true, |link| places.extend((link.to == item).then_some(link.from)));
        places
    }
}
