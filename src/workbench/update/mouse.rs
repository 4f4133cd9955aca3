//! What the mouse does: a click goes to a pane and to what is under it, the wheel moves there.

use ratatui::layout::Position;

use crate::workbench::boxes::list_view::measure;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::preview_view;
use crate::workbench::boxes::typed_view::{click_entry, click_points};
use crate::workbench::boxes::view::line_at;
use crate::workbench::desk::layout::Extent;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::keys::action::{
    Action, ChoiceAction, Focus, FretboardAction, HelpAction, LibraryAction, ListAction, MarksAction, PassageAction,
    PreviewAction, ReadingsAction, SearchAction, StartAction, TimelineAction,
};
use crate::workbench::messages::message::Mouse;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::neck_keys::click_ghost;
use crate::workbench::panes::fretboard::view::place_at;
use crate::workbench::panes::recording;
use crate::workbench::state::{State, View};
use crate::workbench::update::acting::act;
use crate::workbench::update::box_answers;

/// Does what the mouse asks for.
pub fn point(state: &mut State, mouse: Mouse) -> PaneReply {
    let place = match mouse {
        Mouse::Click(place) | Mouse::WheelUp(place) | Mouse::WheelDown(place) => place,
        Mouse::Drag(place) => return drag(state, place),
        Mouse::Release(_) => {
            return state.desk_mut().map_or_else(PaneReply::nothing, |desk| desk.timeline.release(&mut desk.lesson));
        }
    };
    if state.overlay.is_some() {
        return point_at_box(state, mouse);
    }
    let size = state.size;
    if let Some(desk) = state.desk().filter(|desk| desk.is_covered()) {
        let action = recording::view::pointed_at(&desk.recording, size, mouse);
        return action.map_or_else(PaneReply::nothing, |action| act(state, Action::Recording(action), None));
    }
    let Some(layout) = state.layout() else { return point_at_start(state, mouse, place) };
    let Some((placed, inside)) = layout.at(place) else { return PaneReply::nothing() };
    let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
    if !matches!(mouse, Mouse::Click(_)) {
        return wheel(desk, placed.focus, mouse);
    }
    let was = std::mem::replace(&mut desk.focus, placed.focus);
    if placed.extent == Extent::Line {
        return PaneReply::nothing();
    }
    let width = usize::from(placed.area.width);
    match placed.focus {
        Focus::Timeline => desk.timeline.press(desk.lesson.lesson(), inside, width),
        Focus::Passage => desk.passage.point_at(inside),
        Focus::Fretboard => {
            // The click that brings the pane into focus puts no finger down by accident.
            let pressed = place_at(&desk.fretboard, inside, width).filter(|_| was == Focus::Fretboard);
            if let Some((string, fret)) = pressed {
                let taken = click_ghost(&mut desk.fretboard, string, fret);
                return taken.unwrap_or_else(|| {
                    desk.fretboard.go_to(string, fret);
                    desk.fretboard.act(FretboardAction::PutFinger)
                });
            }
        }
        Focus::Readings => desk.readings.select_line(inside.1),
        Focus::Library => desk.library.select_at(inside),
    }
    PaneReply::nothing()
}

/// Moves a border of the timeline along with the mouse while its button is down.
fn drag(state: &mut State, place: Position) -> PaneReply {
    let area = state.layout().map(|layout| layout.pane(Focus::Timeline).area);
    if let (Some(area), Some(desk)) = (area, state.desk_mut()) {
        let column = usize::from(place.x.saturating_sub(area.x));
        desk.timeline.drag_to(desk.lesson.lesson(), column, usize::from(area.width));
    }
    PaneReply::nothing()
}

fn wheel(desk: &mut Desk, focus: Focus, mouse: Mouse) -> PaneReply {
    let up = matches!(mouse, Mouse::WheelUp(_));
    match focus {
        Focus::Timeline => {
            let action = if up { TimelineAction::Previous } else { TimelineAction::Next };
            desk.timeline.act(&mut desk.lesson, action)
        }
        Focus::Passage => {
            desk.act_on_passage(if up { PassageAction::ScrollUp } else { PassageAction::ScrollDown }, None)
        }
        Focus::Fretboard => desk.fretboard.act(if up { FretboardAction::GoLeft } else { FretboardAction::GoRight }),
        Focus::Readings => desk.act_on_readings(if up { ReadingsAction::Previous } else { ReadingsAction::Next }),
        Focus::Library => desk.act_on_library(if up { LibraryAction::Previous } else { LibraryAction::Next }),
    }
}

fn point_at_box(state: &mut State, mouse: Mouse) -> PaneReply {
    if let Mouse::Click(place) = mouse {
        return press_in_box(state, place);
    }
    let (choice, marks, list, search, preview, help) = match mouse {
        Mouse::WheelUp(_) => (
            ChoiceAction::Previous,
            MarksAction::Previous,
            ListAction::Up,
            SearchAction::Previous,
            PreviewAction::Up,
            HelpAction::Previous,
        ),
        Mouse::WheelDown(_) => (
            ChoiceAction::Next,
            MarksAction::Next,
            ListAction::Down,
            SearchAction::Next,
            PreviewAction::Down,
            HelpAction::Next,
        ),
        Mouse::Click(_) | Mouse::Drag(_) | Mouse::Release(_) => return PaneReply::nothing(),
    };
    let size = (usize::from(state.size.width), usize::from(state.size.height));
    let appearance = state.appearance;
    match &mut state.overlay {
        Some(Overlay::Choice(lines)) => _ = lines.act(choice),
        Some(Overlay::Marks(lines)) => _ = lines.act(marks),
        Some(Overlay::Preview(pages)) => _ = pages.act(preview, preview_view::room(size)),
        Some(Overlay::Search(lines)) => _ = lines.act(search),
        Some(Overlay::Help(lines)) => _ = lines.act(help),
        Some(Overlay::List(lines)) => _ = lines.act(list, &measure(lines, size, appearance)),
        Some(Overlay::Entry(_) | Overlay::Points(_)) | None => {}
    }
    PaneReply::nothing()
}

/// Selects the line that was pressed, or takes it where it is selected already; a line of marks is marked at once.
fn press_in_box(state: &mut State, place: Position) -> PaneReply {
    let screen = (usize::from(state.size.width), usize::from(state.size.height));
    let cell = (usize::from(place.x), usize::from(place.y));
    match &mut state.overlay {
        Some(Overlay::Entry(entry)) => click_entry(entry, screen, state.appearance, cell),
        Some(Overlay::Points(points)) => click_points(points, screen, state.appearance, cell),
        Some(
            Overlay::Choice(_)
            | Overlay::Marks(_)
            | Overlay::List(_)
            | Overlay::Preview(_)
            | Overlay::Search(_)
            | Overlay::Help(_),
        )
        | None => {}
    }
    let line = state.overlay.as_ref().and_then(|overlay| line_at(overlay, screen, state.appearance, cell));
    let Some(line) = line else { return PaneReply::nothing() };
    let taken = match &mut state.overlay {
        Some(Overlay::Choice(choice)) => std::mem::replace(&mut choice.selected, line) == line,
        Some(Overlay::List(list)) => {
            let leads = list.lines.get(line).is_some_and(|line| line.place.is_some());
            std::mem::replace(&mut list.selected, line) == line && leads
        }
        Some(Overlay::Marks(marks)) => {
            marks.selected = line;
            _ = marks.act(MarksAction::Toggle);
            false
        }
        Some(Overlay::Entry(_) | Overlay::Points(_) | Overlay::Preview(_) | Overlay::Search(_) | Overlay::Help(_))
        | None => false,
    };
    if taken { box_answers::accept(state) } else { PaneReply::nothing() }
}

fn point_at_start(state: &mut State, mouse: Mouse, place: Position) -> PaneReply {
    if !matches!(state.view, View::Start) {
        return PaneReply::nothing();
    }
    match mouse {
        Mouse::WheelUp(_) => state.start.act(StartAction::Previous),
        Mouse::WheelDown(_) => state.start.act(StartAction::Next),
        Mouse::Click(_) if state.start.select_line(usize::from(place.y)) => state.start.act(StartAction::Accept),
        Mouse::Click(_) | Mouse::Drag(_) | Mouse::Release(_) => PaneReply::nothing(),
    }
}
