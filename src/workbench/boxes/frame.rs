//! Where a box stands on the screen, and its frame.

use crate::text::width::width as columns;
use crate::workbench::drawing::appearance::Appearance;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::unseen::Unseen;

/// The inside of a box, in columns and lines of the screen.
pub(super) struct Inside {
    pub(super) x: usize,
    pub(super) y: usize,
    pub(super) width: usize,
    pub(super) height: usize,
}

impl Inside {
    /// Returns where a box of this many columns and lines inside stands: in the middle of the screen.
    pub(super) fn of(screen: (usize, usize), width: usize, height: usize) -> Self {
        // The two lines at the foot stay in view: they hold the keys of the box.
        let room = (screen.0.saturating_sub(4), screen.1.saturating_sub(5));
        let (width, height) = (width.clamp(1, room.0.max(1)), height.clamp(1, room.1.max(1)));
        let x = screen.0.saturating_sub(width + 4) / 2 + 2;
        let y = screen.1.saturating_sub(height + 4) / 2 + 1;
        Self { x, y, width, height }
    }

    /// Returns the line of the inside that a cell of the screen lies on.
    pub(super) fn line(&self, (x, y): (usize, usize)) -> Option<usize> {
        let inside = (self.x..self.x + self.width).contains(&x) && (self.y..self.y + self.height).contains(&y);
        inside.then(|| y - self.y)
    }
}

/// Draws an empty box of this many columns and lines inside, in the middle of the screen, and
/// returns the region inside it. Its edges say what is not in view.
pub(super) fn framed<'a>(
    region: &'a mut Region<'_>,
    title: &str,
    (width, height): (usize, usize),
    unseen: Unseen,
) -> Region<'a> {
    let Inside { x, y, width, height } = Inside::of((region.width(), region.height()), width, height);
    let (x, y) = (x - 2, y - 1);
    let glyphs = region.appearance().glyphs();
    let mut frame = region.part(x, y, width + 4, height + 2);
    frame.clear();
    let (right, bottom) = (width + 3, height + 1);
    for line in 1..bottom {
        frame.text(0, line, glyphs.upright, Role::Title);
        frame.text(right, line, glyphs.upright, Role::Title);
    }
    for line in [0, bottom] {
        frame.line(1, right, line, glyphs.level, Role::Title);
    }
    let [top_left, top_right, bottom_left, bottom_right] = glyphs.corners;
    frame.text(0, 0, top_left, Role::Title);
    frame.text(right, 0, top_right, Role::Title);
    frame.text(0, bottom, bottom_left, Role::Title);
    frame.text(right, bottom, bottom_right, Role::Title);
    let sign = |words: String| if words.is_empty() { words } else { format!(" {words} ") };
    let (mut above, mut below) = (sign(unseen.above(glyphs)), sign(unseen.below(glyphs)));
    // A title that needs the room of the upper sign has it: both signs stand in the lower edge then.
    if columns(title) + 2 > width.saturating_sub(columns(&above)) {
        (above, below) = (String::new(), sign(unseen.both(glyphs)));
    }
    let at = |words: &str| right.saturating_sub(columns(words) + 1);
    frame.text(at(&above), 0, &above, Role::Title);
    frame.text(at(&below), bottom, &below, Role::Title);
    frame.cut(2, 0, width.saturating_sub(columns(&above)), &format!(" {title} "), Role::FocusedTitle);
    region.part(x + 2, y + 1, width, height)
}

/// Returns a long title in lines for a box of so many columns inside: the first stands in the frame, the others inside.
pub(super) fn title_lines(title: &str, width: usize, appearance: Appearance) -> (String, Vec<String>) {
    let mut lines = appearance.wrapped(title, width.saturating_sub(2).max(1)).into_iter();
    let first = lines.next().unwrap_or_default();
    (first, lines.collect())
}

/// Returns a width for boxes that hold text of any length under this title, on a screen of this width.
pub(super) fn comfortable_under(title: &str, screen: usize) -> usize {
    comfortable(screen).max((columns(title) + 2).min(screen.saturating_sub(8)))
}

/// Returns a width for boxes that hold text of any length, on a screen of this width.
pub(super) fn comfortable(screen: usize) -> usize {
    (screen * 3 / 4).clamp(40, 90)
}
