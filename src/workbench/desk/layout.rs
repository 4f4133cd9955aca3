//! Where things stand on a screen of a given size. Drawing, scrolling and the mouse all ask here.

use ratatui::layout::{Position, Rect, Size};

use crate::workbench::desk::line_shares::{PaneRow, ReadingsPlace, Wants, heights, neck_share, stacked};
use crate::workbench::keys::action::Focus;
use crate::workbench::panes::fretboard::view::{wanted_height, wanted_width};

/// Below this nothing can be shown that is of use.
pub const SMALLEST: Size = Size { width: 60, height: 16 };

/// From here on all panes are on the screen together.
pub const ROOMY: Size = Size { width: 100, height: 30 };

/// How much of a pane is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// All of it.
    Whole,
    /// One line.
    Line,
}

/// A pane on the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlacedPane {
    /// The pane.
    pub focus: Focus,
    /// The part of the screen that it has.
    pub area: Rect,
    /// How much of it.
    pub extent: Extent,
}

/// Returns whether all panes are on the screen together.
pub const fn is_roomy(size: Size) -> bool {
    size.width >= ROOMY.width && size.height >= ROOMY.height
}

/// A screen with room to work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// The line at the top.
    pub header: Rect,
    /// All between the top line and the two at the foot.
    pub middle: Rect,
    /// The panes, in order.
    pub panes: [PlacedPane; 5],
    /// The line of hints.
    pub hints: Rect,
    /// The line at the foot.
    pub status: Rect,
}

impl Layout {
    /// Returns where things stand; `None` where there is no room.
    pub fn of(size: Size, focus: Focus, wants: &Wants) -> Option<Self> {
        if is_roomy(size) {
            Self::around(size, |middle| roomy(middle, focus, wants))
        } else {
            let place = readings_place(size.width);
            Self::around(size, |middle| narrow(middle, wants, stacked(usize::from(middle.height), focus, place, wants)))
        }
    }

    /// Returns where things stand when the pane in focus has all the room; `None` where there is none.
    pub fn of_one(size: Size, focus: Focus, wants: &Wants) -> Option<Self> {
        let all = |middle: Rect| {
            let height = |row| if row == PaneRow::of(focus) { usize::from(middle.height).saturating_sub(3) } else { 1 };
            PaneRow::ALL.map(|row| (row, height(row)))
        };
        Self::around(size, |middle| narrow(middle, wants, all(middle)))
    }

    fn around(size: Size, panes: impl FnOnce(Rect) -> [PlacedPane; 5]) -> Option<Self> {
        if size.width < SMALLEST.width || size.height < SMALLEST.height {
            return None;
        }
        let row = |y, height| Rect { x: 0, y, width: size.width, height };
        let middle = row(1, size.height - 3);
        let panes = panes(middle);
        Some(Self { header: row(0, 1), middle, panes, hints: row(size.height - 2, 1), status: row(size.height - 1, 1) })
    }

    /// Returns where a pane stands.
    pub fn pane(&self, focus: Focus) -> PlacedPane {
        let [timeline, passage, fretboard, readings, library] = self.panes;
        match focus {
            Focus::Timeline => timeline,
            Focus::Passage => passage,
            Focus::Fretboard => fretboard,
            Focus::Readings => readings,
            Focus::Library => library,
        }
    }

    /// Returns the size of a pane, in columns and lines; nothing where it is only a line.
    pub fn size_of(&self, focus: Focus) -> (usize, usize) {
        let placed = self.pane(focus);
        match placed.extent {
            Extent::Whole => (usize::from(placed.area.width), usize::from(placed.area.height)),
            Extent::Line => (usize::from(placed.area.width), 0),
        }
    }

    /// Returns the pane at a cell, and the column and line of the cell within it.
    pub fn at(&self, place: Position) -> Option<(PlacedPane, (usize, usize))> {
        let placed = self.panes.iter().find(|placed| placed.area.contains(place))?;
        let inside = (usize::from(place.x - placed.area.x), usize::from(place.y - placed.area.y));
        Some((*placed, inside))
    }
}

/// The frets of most necks; a pane in which they all have their usual width needs no more.
const FRETS: usize = 24;

/// Lays out all panes: timeline, then passage, then fretboard, readings and library side by side.
fn roomy(middle: Rect, focus: Focus, wants: &Wants) -> [PlacedPane; 5] {
    let short = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
    let [timeline, passage, bottom] = heights(usize::from(middle.height), focus, wants).map(short);
    let above = timeline + passage;
    let fretboard = (middle.width * 46 / 100).min(short(wanted_width(FRETS)) + 1);
    let readings = beside_library(middle.width);
    // A free column stands between neighbours.
    let part = |x, y, width, height| Rect { x: middle.x + x, y: middle.y + y, width, height };
    let whole = |focus, area| PlacedPane { focus, area, extent: Extent::Whole };
    [
        whole(Focus::Timeline, part(0, 0, middle.width, timeline)),
        whole(Focus::Passage, part(0, timeline, middle.width, passage)),
        whole(Focus::Fretboard, part(0, above, fretboard - 1, bottom)),
        whole(Focus::Readings, part(fretboard, above, readings - 1, bottom)),
        whole(Focus::Library, part(fretboard + readings, above, middle.width - fretboard - readings, bottom)),
    ]
}

/// Returns how many columns the readings have between fretboard and library, with the free one.
const fn beside_library(width: u16) -> u16 {
    width * 26 / 100
}

/// Returns how many columns the readings have as soon as there is room.
pub fn readings_width(size: Size) -> usize {
    let width = match readings_place(size.width) {
        _ if is_roomy(size) => beside_library(size.width) - 1,
        ReadingsPlace::Beside => size.width - beside_readings(size.width),
        ReadingsPlace::Below => size.width,
    };
    usize::from(width)
}

/// Returns how many columns the fretboard has beside the readings where the library stands elsewhere, with the free one.
const fn beside_readings(width: u16) -> u16 {
    width * 3 / 5
}

/// Lines that the readings need under a fretboard: the heading, four names, the reason of one; fewer where they fill fewer.
const READINGS_BELOW: usize = 6;

/// Returns where the readings stand on a screen of this width.
const fn readings_place(width: u16) -> ReadingsPlace {
    if width < ROOMY.width { ReadingsPlace::Below } else { ReadingsPlace::Beside }
}

/// Lays out the rows of panes one above the other, those of one line as a line. Fretboard and readings go together, one above the other
/// where both have room.
fn narrow(middle: Rect, wants: &Wants, rows: [(PaneRow, usize); 4]) -> [PlacedPane; 5] {
    let short = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
    let left = beside_readings(middle.width);
    let below = wanted_height(wants.strings) + READINGS_BELOW.min(wants.readings);
    let mut y = middle.y;
    let mut panes = Vec::with_capacity(5);
    for (row, lines) in rows {
        let (extent, height) = (if lines > 1 { Extent::Whole } else { Extent::Line }, short(lines));
        let area = Rect { x: middle.x, y, width: middle.width, height };
        let one = |focus| PlacedPane { focus, area, extent };
        match row {
            PaneRow::Timeline => panes.push(one(Focus::Timeline)),
            PaneRow::Passage => panes.push(one(Focus::Passage)),
            PaneRow::Library => panes.push(one(Focus::Library)),
            PaneRow::Neck => {
                let is_stacked = readings_place(middle.width) == ReadingsPlace::Below && lines >= below;
                let above = short(neck_share(lines, wants)).min(height);
                let parts = if is_stacked {
                    [Rect { height: above, ..area }, Rect { y: area.y + above, height: height - above, ..area }]
                } else {
                    [Rect { width: left - 1, ..area }, Rect { x: area.x + left, width: area.width - left, ..area }]
                };
                let both = [Focus::Fretboard, Focus::Readings].into_iter().zip(parts);
                panes.extend(both.map(|(focus, area)| PlacedPane { focus, area, extent }));
            }
        }
        y += height;
    }
    let mut panes = panes.into_iter();
    let none = PlacedPane { focus: Focus::Timeline, area: Rect::ZERO, extent: Extent::Line };
    std::array::from_fn(|_| panes.next().unwrap_or(none))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workbench::panes::passage::TabHeights;

    /// Returns what a lesson wants with a timeline and a passage of so many lines.
    fn wants(strings: usize, timeline: usize, passage: usize) -> Wants {
        let passage = TabHeights { tallest: passage, shown: passage, with_signs: passage };
        let names = Wants { labels: 4, readings: 16, ..Wants::default() };
        Wants { strings, most_strings: strings, lanes: 2, timeline, passage, library: 8, ..names }
    }

    #[test]
    fn panes_fill_the_middle_without_overlap_at_every_size() {
        for (width, height) in [(60, 16), (80, 24), (99, 60), (100, 30), (160, 48), (300, 100), (100, 200)] {
            for focus in Focus::ALL {
                for strings in [3, 6, 12] {
                    for (list, tab) in [(0, 4), (8, 12), (500, 11), (500, 500), (8, 500)] {
                        let layout = Layout::of(Size { width, height }, focus, &wants(strings, list, tab)).unwrap();
                        for (index, placed) in layout.panes.iter().enumerate() {
                            assert_eq!(placed.area.intersection(layout.middle), placed.area, "{width}x{height}");
                            assert!(placed.area.height > 0 && placed.area.width > 20, "{width}x{height} {placed:?}");
                            for other in layout.panes.iter().skip(index + 1) {
                                assert!(!placed.area.intersects(other.area), "{placed:?} {other:?}");
                            }
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn at_80_by_24_the_readings_stand_under_six_strings_and_beside_twelve() {
        let size = Size { width: 80, height: 24 };
        for focus in [Focus::Fretboard, Focus::Readings] {
            let layout = Layout::of(size, focus, &wants(6, 8, 12)).unwrap();
            assert_eq!((layout.size_of(Focus::Fretboard), layout.size_of(Focus::Readings)), ((80, 10), (80, 8)));
            let layout = Layout::of(size, focus, &wants(12, 8, 12)).unwrap();
            assert_eq!((layout.size_of(Focus::Fretboard).1, layout.size_of(Focus::Readings).1), (18, 18));
        }
    }

    #[test]
    fn from_100_by_30_every_pane_is_whole_and_the_fretboard_shows_six_strings() {
        let layout = Layout::of(ROOMY, Focus::Timeline, &wants(6, 8, 12)).unwrap();
        assert!(layout.panes.iter().all(|placed| placed.extent == Extent::Whole));
        assert!(layout.size_of(Focus::Fretboard).1 >= 10);
        assert!(layout.size_of(Focus::Passage).1 >= 9, "a system of six strings with its chord and count rows");
        assert!(Layout::of(Size { width: 40, height: 10 }, Focus::Timeline, &wants(6, 8, 12)).is_none());
    }
}
