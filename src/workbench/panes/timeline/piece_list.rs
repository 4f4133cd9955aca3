//! A piece and its segments from one line: its title, a colon, and what the segments are, as in
//! `Gasworks Lantern: performance, walkthrough, play-along`.

use crate::lesson::document::{Piece, Segment, SegmentKind};
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::id::SegmentId;
use crate::lesson::place::LessonPlace;
use crate::lesson::time::VideoLength;
use crate::text::quote::quoted;
use crate::workbench::editing::edited_lesson::EditedLesson;

/// A piece and the kinds of its segments, as they were typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PieceLine<'a> {
    title: &'a str,
    kinds: Vec<SegmentKind>,
}

impl<'a> PieceLine<'a> {
    /// Reads a line; `None` where what is behind the last colon names no kind of segment, as in a title with a colon.
    ///
    /// Errors: in words, which part names no kind where others do.
    pub(super) fn read(text: &'a str) -> Result<Option<Self>, String> {
        let Some((title, kinds)) = text.rsplit_once(':') else { return Ok(None) };
        let (title, parts) = (title.trim(), kinds.split(',').map(str::trim).collect::<Vec<&str>>());
        let kinds: Vec<SegmentKind> = parts.iter().filter_map(|part| SegmentKind::called(part)).collect();
        if title.is_empty() || kinds.is_empty() {
            return Ok(None);
        }
        match parts.iter().find(|part| SegmentKind::called(part).is_none()) {
            None => Ok(Some(Self { title, kinds })),
            Some(unknown) => {
                let known = SegmentKind::ALL.map(SegmentKind::word).join(", ");
                Err(format!("`{}` is not a kind of segment; known are {known}", quoted(unknown)))
            }
        }
    }

    /// Returns whether it adds nothing but retunings, which are about no piece.
    fn only_retunes(&self) -> bool {
        self.kinds.iter().all(|kind| *kind == SegmentKind::Retuning)
    }

    /// Returns what was added, in words.
    pub(super) fn words(&self) -> String {
        let kinds: Vec<&str> = self.kinds.iter().map(|kind| kind.word()).collect();
        format!("added \"{}\": {}; {{Desk(Undo)}} undoes", self.title, kinds.join(", "))
    }

    /// Adds the piece, unless the lesson has one of this title, and a segment of each kind from `place` on: one step of
    /// undo. Retunings are about no piece, and where there is nothing else none is added. Returns the last of them. Errors: in words, why the lesson cannot be changed.
    pub(super) fn add(&self, open: &mut EditedLesson, place: usize, length: VideoLength) -> Result<SegmentId, String> {
        let known = open.lesson().pieces.iter().find(|piece| piece.title == self.title).map(|piece| piece.id);
        let mut edits = Vec::new();
        let piece = known.or_else(|| {
            if self.only_retunes() {
                return None;
            }
            let id = open.new_id();
            let item = Piece::new(id, self.title);
            edits.push(Edit::Pieces(ListEdit::Insert { at: open.lesson().pieces.len(), item }));
            Some(id)
        });
        let at = place.min(open.lesson().segments.len());
        let mut added = Vec::new();
        for (number, kind) in self.kinds.iter().enumerate() {
            let id = open.new_id();
            let mut item = Segment::new(id, *kind, format!("{}: {}", self.title, kind.word()), length);
            if *kind != SegmentKind::Retuning {
                item.pieces.extend(piece);
            }
            edits.push(Edit::Segments(ListEdit::Insert { at: at + number, item }));
            added.push(id);
        }
        let last = *added.last().ok_or("no kind of segment was typed")?;
        let reason = if self.only_retunes() { Reason::AddSegment } else { Reason::AddPiece };
        let change = Transaction::new(reason, edits).at(LessonPlace::Segment(last));
        open.change(change).map_err(|error| error.to_string())?;
        Ok(last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_known_by_what_players_call_them() {
        use SegmentKind as K;
        let kinds = |text| PieceLine::read(text).map(|line| line.map(|line| (line.title.to_owned(), line.kinds)));
        let line = "Gasworks Lantern: Performance, walk-through,play along";
        let expected = ("Gasworks Lantern".to_owned(), vec![K::Performance, K::Walkthrough, K::PlayAlong]);
        assert_eq!(kinds(line), Ok(Some(expected.clone())));
        assert_eq!(kinds("Gasworks Lantern: performance, slowly, play-along"), Ok(Some(expected)));
        for title in ["Warm up", "Two ways: thumb and pick", ": performance", "Half past 8:30"] {
            assert_eq!(kinds(title), Ok(None), "{title}");
        }
        assert!(
            kinds("Reel: performance, wlk")
                .unwrap_err()
                .starts_with("`wlk` is not a kind of segment; known are welcome")
        );
    }
}
