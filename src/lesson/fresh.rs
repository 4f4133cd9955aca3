//! New identities: drawn at random, so that two copies of a lesson that both grow do not give one identity to
//! two things.
//!
//! Whoever edits owns an [`IdSource`]; it is seeded once, from outside (nothing here has a random source of its
//! own), and draws from then on. What is drawn stands in the edit, so replaying a journal, undoing and redoing draw
//! nothing.
//!
//! Why numbers, and why these: they stay what format 1 and hand-written files have (`id: 3`), small ones are left to
//! people and to what every new lesson has, and nobody needs to agree with anybody. A number is one of
//! 4,294,867,296, those of six to ten digits, and one of them serves all lists. Two people who each add `n` and `m`
//! things to copies of one lesson collide somewhere with a chance of about `n × m` in 4.3 thousand million: 100 and
//! 100 things, one in 430,000; 1,000 and 1,000, one in 4,300. Nothing is lost even then: the two things are told
//! apart by what they are, and a duplicate identity is a finding with a remedy.

use std::collections::BTreeSet;

use super::document::Lesson;
use super::edit::Edit;
use super::id::{Identity, ItemId};

/// Where a source begins. Any number will do; two sources that must not draw the same get numbers from the
/// operating system.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Seed(pub u64);

/// A source of identities for one lesson. It never draws one that the lesson holds, or has held since it is there.
#[derive(Debug, Clone)]
pub struct IdSource {
    state: u64,
    /// Whatever stood in the lesson or was drawn: an undo may bring it back.
    known: BTreeSet<u32>,
}

impl IdSource {
    /// The smallest number that is drawn, the first of six digits.
    pub const LEAST: u32 = 100_000;

    /// Returns a source for `lesson` that begins at `seed`.
    pub fn new(seed: Seed, lesson: &Lesson) -> Self {
        Self { state: seed.0, known: lesson.identities().map(ItemId::number).collect() }
    }

    /// Draws an identity that nothing in `lesson` has, in whatever list, and that was not drawn before.
    ///
    /// `lesson` is the one that the source was made for, as it is now.
    pub fn draw<Id: Identity>(&mut self, lesson: &Lesson) -> Id {
        Id::from(self.draw_number(lesson))
    }

    /// Draws the number of an identity, as [`IdSource::draw`] does.
    pub fn draw_number(&mut self, lesson: &Lesson) -> u32 {
        loop {
            // The upper half of the bits; any half would do.
            let number = u32::try_from(self.next() >> 32).unwrap_or(u32::MAX);
            let held = || lesson.identities().any(|item| item.number() == number);
            if number >= Self::LEAST && !held() && self.known.insert(number) {
                return number;
            }
        }
    }

    /// Notes the identities that edits bring into the lesson by another way.
    pub fn note(&mut self, edits: &[Edit]) {
        self.known.extend(edits.iter().filter_map(Edit::brings).map(ItemId::number));
    }

    /// Returns the next 64 bits.
    ///
    /// Source: SplitMix64; Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014.
    const fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.state;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::document::{Segment, SegmentKind};
    use crate::lesson::edit::ListEdit;
    use crate::lesson::id::{PieceId, SegmentId};
    use crate::lesson::time::VideoLength;

    #[test]
    fn the_generator_is_the_published_one() {
        // The first five numbers of the authors' C code (splitmix64.c, public domain) from the seed 1234567.
        let mut source = IdSource::new(Seed(1_234_567), &Lesson::default());
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!([0; 5].map(|_: u64| source.next()), expected);
    }

    fn with_segments(ids: &[SegmentId]) -> Lesson {
        let segment = |id: &SegmentId| Segment::new(*id, SegmentKind::Talk, "", VideoLength::ZERO);
        Lesson { segments: ids.iter().map(segment).collect(), ..Lesson::default() }
    }

    #[test]
    fn what_the_lesson_holds_or_held_is_not_drawn_again() {
        let seed = Seed(7);
        let first: SegmentId = IdSource::new(seed, &Lesson::default()).draw(&Lesson::default());
        // It stands there from the beginning, and is gone by the time of the draw.
        let second: PieceId = IdSource::new(seed, &with_segments(&[first])).draw(&Lesson::default());
        assert_ne!(second.0, first.0, "held when the source was made");
        // It came later.
        let third: PieceId = IdSource::new(seed, &Lesson::default()).draw(&with_segments(&[first]));
        assert_eq!(third, second, "held now");
        // It came with an edit, and is gone again.
        let mut source = IdSource::new(seed, &Lesson::default());
        source.note(&[Edit::Segments(ListEdit::Renumber { at: 0, id: first })]);
        assert_eq!(source.draw::<PieceId>(&Lesson::default()), second, "held in between");
    }

    /// The chance of a collision is the one that the head of this file states: among `n` numbers of `r`, some `n²/2r`
    /// pairs are alike.
    #[test]
    fn numbers_are_spread_over_all_that_there_are() {
        let mut source = IdSource::new(Seed(1), &Lesson::default());
        let mut alike = 0;
        let mut seen = std::collections::HashSet::new();
        for _ in 0..1_000_000 {
            let id: SegmentId = source.draw(&Lesson::default());
            assert!(id.0 >= IdSource::LEAST);
            // What it remembers would keep it from drawing the same.
            source.known.clear();
            alike += u32::from(!seen.insert(id.0));
        }
        // 116 are to be expected, give or take 11; in a range of half the size, 233.
        assert!((80..=155).contains(&alike), "{alike}");
    }
}
