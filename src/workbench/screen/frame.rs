//! Draws the whole screen. The same state always gives the same cells. What a pane or box shows is drawn in its own
//! folder.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::plan::schedule::Totals;
use crate::store::open_lesson::Access;
use crate::text::width::width as columns;
use crate::text::wrap::wrap;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::view as box_view;
use crate::workbench::desk::layout::{Extent, Layout, PlacedPane, SMALLEST};
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::drawing::region::{Focused, Region};
use crate::workbench::drawing::role::Role;
use crate::workbench::drawing::short_time::seconds;
use crate::workbench::editing::edited_lesson::{Protection, Saving};
use crate::workbench::editing::rigs::describe;
use crate::workbench::keys::action::{
    Action, DeskAction, Focus, HelpAction, ListAction, MarksAction, Pane, PassageAction, ProgramAction,
    RecordingAction, SoundAction, StartAction, TimelineAction,
};
use crate::workbench::keys::keystroke::Keystroke;
use crate::workbench::keys::table::HintWording;
use crate::workbench::messages::notice::{Notice, Weight};
use crate::workbench::panes::recording::pane::Showing;
use crate::workbench::panes::{fretboard, library, passage, readings, recording, start, timeline};
use crate::workbench::state::{State, View};

/// Draws the whole screen.
pub fn draw(state: &State, area: Rect, buffer: &mut Buffer) {
    let mut region = Region::new(buffer, area, state.appearance);
    if area.width < SMALLEST.width || area.height < SMALLEST.height {
        draw_cramped(state, &mut region);
        return;
    }
    match &state.view {
        View::Start => {
            let height = region.height().saturating_sub(2);
            let width = region.width();
            start::pane::draw(&state.start, &mut region.part(0, 0, width, height));
        }
        View::Desk(desk) if desk.is_covered() => {
            let place = desk.timeline.place(desk.lesson.lesson());
            recording::view::draw(&desk.recording, desk.lesson.lesson(), place, &mut region);
        }
        View::Desk(desk) => {
            if let Some(layout) = state.layout() {
                draw_desk(state, desk, &layout, &mut region);
            }
        }
    }
    draw_hints(state, &mut region);
    draw_status(state, &mut region);
    if let Some(overlay) = &state.overlay {
        box_view::draw(overlay, &mut region);
    }
}

/// Draws the message that there is no room and that nothing is lost; on fewer than five lines, as much of it as fits.
fn draw_cramped(state: &State, region: &mut Region<'_>) {
    let (width, height) = (region.width(), region.height());
    let quit = state.keys.key_for(Pane::Program, QUIT).map(|key| format!("{key} quits.")).unwrap_or_default();
    if height < 5 {
        let needed = format!("fingerpost needs {} x {}, has {width} x {height}. ", SMALLEST.width, SMALLEST.height);
        let x = region.text(0, 0, &needed, Role::Strong);
        if x + columns(&quit) <= width {
            region.text(x, 0, &quit, Role::Plain);
        } else {
            region.text(0, 1, &quit, Role::Plain);
        }
        return;
    }
    region.text(0, 0, "fingerpost needs more room:", Role::Strong);
    let now = format!("{} x {} or more; it has {width} x {height}.", SMALLEST.width, SMALLEST.height);
    region.text(0, 1, &now, Role::Plain);
    if state.desk().is_some() {
        region.text(0, 3, "Your lesson is safe meanwhile.", Role::Plain);
    }
    region.text(0, 4, &quit, Role::Plain);
}

const QUIT: Action = Action::Program(ProgramAction::Quit);

fn draw_desk(state: &State, desk: &Desk, layout: &Layout, region: &mut Region<'_>) {
    draw_header(state, desk, region);
    for placed in layout.panes {
        let PlacedPane { focus, area, extent } = placed;
        let of = |number: u16| usize::from(number);
        let mut part = region.part(of(area.x), of(area.y), of(area.width), of(area.height));
        let focused = Focused::of(desk.focus, focus);
        match extent {
            Extent::Whole => draw_pane(desk, focus, &mut part, focused),
            Extent::Line => draw_pane_line(desk, focus, &mut part),
        }
    }
}

/// Draws a pane.
pub fn draw_pane(desk: &Desk, focus: Focus, region: &mut Region<'_>, focused: Focused) {
    match focus {
        Focus::Timeline => timeline::view::draw(&desk.timeline, &desk.lesson, region, focused),
        Focus::Passage => passage::draw(&desk.passage, region, focused),
        Focus::Fretboard => {
            let reading = desk.readings.selected().map(|named| &named.reading);
            fretboard::view::draw(&desk.fretboard, reading, region, focused);
        }
        Focus::Readings => readings::pane::draw(&desk.readings, &desk.fretboard, region, focused),
        Focus::Library => library::pane::draw(&desk.library, region, focused),
    }
}

fn draw_pane_line(desk: &Desk, focus: Focus, region: &mut Region<'_>) {
    match focus {
        Focus::Timeline => timeline::view::draw_line(&desk.timeline, &desk.lesson, region),
        Focus::Passage => passage::draw_line(&desk.passage, region),
        Focus::Fretboard => fretboard::view::draw_line(&desk.fretboard, region),
        Focus::Readings => readings::pane::draw_line(&desk.readings, region),
        Focus::Library => library::pane::draw_line(&desk.library, region),
    }
}

/// Draws the top line: the lesson's title, its instrument, its length, and whether it is saved.
fn draw_header(state: &State, desk: &Desk, region: &mut Region<'_>) {
    let lesson = desk.lesson.lesson();
    let totals = Totals::of(lesson);
    let title = if lesson.header.title.trim().is_empty() { "untitled lesson" } else { &lesson.header.title };
    let (word, role) = saved_word(desk);
    let mut facts = vec![describe(desk.fretboard.rig())];
    if totals.recorded_segments > 0 {
        facts.push(format!("recorded {}", seconds(totals.recorded.0)));
    }
    facts.push(format!("planned {}", seconds(totals.planned.0)));
    facts.push(word.to_owned());
    // The parts that are left out first can be seen elsewhere on the screen.
    let room = region.width().saturating_sub(columns(&state.appearance.shown(title)) + 5);
    while facts.len() > 2 && columns(&state.appearance.shown(&facts.join("   "))) > room {
        facts.remove(0);
    }
    let facts = state.appearance.shown(&facts.join("   ")).into_owned();
    let x = region.width().saturating_sub(columns(&facts) + 1);
    region.cut(1, 0, x.saturating_sub(3), title, Role::Strong);
    let end = region.text(x, 0, &facts, Role::Plain);
    region.paint(end.saturating_sub(word.len()), end, 0, role);
}

fn saved_word(desk: &Desk) -> (&'static str, Role) {
    match (desk.lesson.protection(), desk.lesson.is_saved()) {
        (Protection::Nothing(_), false) => return ("NOT SAVED, NO JOURNAL", Role::Bad),
        // What was undone since is still in the journal, and would come back.
        (Protection::Nothing(_), true) => return ("saved, NO JOURNAL", Role::Bad),
        (Protection::Journal, _) => {}
    }
    match (desk.lesson.access(), desk.lesson.saving(), desk.lesson.is_saved()) {
        (Access::ReadOnly(_), _, _) => ("read only", Role::Caution),
        (Access::Full, Saving::Running, _) => ("saving", Role::Plain),
        (Access::Full, Saving::Failed, _) => ("NOT SAVED", Role::Bad),
        (Access::Full, Saving::Idle, true) => ("saved", Role::Good),
        (Access::Full, Saving::Idle, false) => ("not saved yet", Role::Caution),
    }
}

/// The columns of a screen from which on the hint line says everything in full.
const WIDE: usize = 100;

/// Draws the keys that work here, as many as fit. The keys that are always of use (the next pane and the list of all
/// keys) stand at the right end.
fn draw_hints(state: &State, region: &mut Region<'_>) {
    let y = region.height().saturating_sub(2);
    if let Some(Protection::Nothing(why)) = state.desk().map(|desk| desk.lesson.protection()) {
        let room = region.width().saturating_sub(1);
        region.cut(1, y, room, why, Role::Bad);
        return;
    }
    let always =
        [Action::Desk(DeskAction::NextPane), Action::Desk(DeskAction::ShowHelp), Action::Start(StartAction::ShowHelp)];
    let pane = state.pane();
    let wording = if region.width() < WIDE { HintWording::Short } else { HintWording::Full };
    // A key that is called as what it does says it by itself.
    let words = |(key, words): (Keystroke, &str)| {
        let key = key.to_string();
        let says_it = key.eq_ignore_ascii_case(words);
        (key, if says_it { String::new() } else { words.to_owned() })
    };
    let width = |hint: &(String, String)| columns(&hint.0) + columns(&hint.1) + 3;
    let right: Vec<(String, String)> = always
        .into_iter()
        .filter_map(|action| state.keys.hints(pane, wording).find(|(of, ..)| *of == action))
        .map(|(_, key, text)| words((key, text)))
        .collect();
    // The last one needs no gap behind it.
    let edge = (region.width() + 1).saturating_sub(right.iter().map(width).sum());
    let mut x = 1;
    let leads =
        !matches!(&state.overlay, Some(Overlay::List(list)) if list.lines.iter().all(|line| line.place.is_none()));
    let mends =
        matches!(&state.overlay, Some(Overlay::List(list)) if list.lines.iter().any(|line| line.mendable.is_some()));
    let lists = matches!(state.overlay, Some(Overlay::List(_)));
    let useful = |of: &Action| match of {
        Action::Sound(_) => !lists,
        // A space belongs to the letters then.
        Action::Marks(MarksAction::Toggle) => !state.is_searching(),
        Action::Recording(RecordingAction::ScrollDown) => state.desk().is_some_and(|desk| desk.recording.hides_cues()),
        of => (leads || *of != GO_THERE) && (mends || *of != MEND),
    };
    let idle = state.desk().filter(|desk| state.overlay.is_none() && !desk.is_covered() && has_nothing(desk, pane));
    let useful = |of: &Action| useful(of) && (idle.is_none() || works_on_nothing(*of));
    let mut here: Vec<(Action, Keystroke, &str)> =
        state.keys.hints(pane, wording).filter(|(of, ..)| !always.contains(of) && useful(of)).collect();
    bring_playback_forward(pane, &mut here);
    // In the list of all keys Enter opens a heading, and does what an action says.
    let does = matches!(&state.overlay, Some(Overlay::Help(help)) if help.offer().is_some());
    let said = |of, text| if does && of == HELP_OPEN { "do it" } else { text };
    // It leads to what there is, so it stands before what makes something new.
    if let Some((key, text)) = idle.filter(|_| pane == Pane::Passage).and_then(|desk| take_a_passage(state, desk)) {
        let hint = (key, text.to_owned());
        if x + width(&hint) <= edge {
            x = draw_hint(&hint, x, y, region);
        }
    }
    for hint in here.into_iter().map(|(of, key, text)| words((key, said(of, text)))) {
        // A shorter one that comes later may have room.
        if x + width(&hint) <= edge {
            x = draw_hint(&hint, x, y, region);
        }
    }
    let mut x = edge;
    for hint in &right {
        x = draw_hint(hint, x, y, region);
    }
}

/// Puts the key that plays what a pane shows behind the keys that are used there most: it is a key of all panes, which stand behind
/// all those of one pane.
fn bring_playback_forward(pane: Pane, hints: &mut Vec<(Action, Keystroke, &str)>) {
    const PLAY: Action = Action::Sound(SoundAction::Hear);
    let before = if matches!(pane, Pane::Passage | Pane::Timeline) { 5 } else { 3 };
    if let Some(place) = hints.iter().position(|(of, ..)| *of == PLAY).filter(|place| *place > before) {
        let play = hints.remove(place);
        hints.insert(before, play);
    }
}

/// Returns whether a pane has nothing that its keys could do something with.
fn has_nothing(desk: &Desk, pane: Pane) -> bool {
    let without_music = pane == Pane::Passage && desk.passage.whole_to_hear().is_none();
    without_music || (pane == Pane::Timeline && desk.lesson.lesson().segments.is_empty())
}

/// Returns whether an action does something in a pane that has nothing yet.
const fn works_on_nothing(action: Action) -> bool {
    use PassageAction as P;
    use TimelineAction as T;
    if let Action::Passage(action) = action {
        return matches!(action, P::NewPassage | P::ReadTab);
    }
    if let Action::Timeline(action) = action {
        return matches!(action, T::AddAfter | T::SetTarget);
    }
    !matches!(action, Action::Sound(_))
}

/// Returns the keys by which the segment takes a passage that there is, and what they do; `None` where there is none.
fn take_a_passage(state: &State, desk: &Desk) -> Option<(String, &'static str)> {
    const THERE: Action = Action::Desk(DeskAction::GoToTimeline);
    const TAKE: Action = Action::Timeline(TimelineAction::ChoosePassages);
    let lesson = desk.lesson.lesson();
    let keys = (state.keys.key_for(Pane::Passage, THERE)?, state.keys.key_for(Pane::Timeline, TAKE)?);
    let is_there = !lesson.passages.is_empty() && !lesson.segments.is_empty();
    is_there.then(|| (format!("{} {}", keys.0, keys.1), "choose one"))
}

const HELP_OPEN: Action = Action::Help(HelpAction::Open);
const GO_THERE: Action = Action::List(ListAction::GoThere);
const MEND: Action = Action::List(ListAction::Mend);

fn draw_hint((key, words): &(String, String), x: usize, y: usize, region: &mut Region<'_>) -> usize {
    let x = region.text(x, y, key, Role::Key);
    region.text(x + 1, y, words, Role::Plain) + 2
}

/// Draws the status line at the foot: the current notice and the number of problems. A long notice comes first and
/// covers the line of hints. Where it still does not fit, the key that shows all of it stands at the end.
fn draw_status(state: &State, region: &mut Region<'_>) {
    let y = region.height().saturating_sub(1);
    let problems = problems_text(state);
    let Some(Notice { weight, text }) = &state.said.notice else {
        if let Some(count) = state.count {
            region.text(1, y, &format!("{count} times: now a key that moves"), Role::Caution);
        }
        let taken =
            if problems.is_empty() { region.width() } else { region.right(y, &format!("{problems} "), Role::Caution) };
        if let Some(words) = state.playback.words() {
            region.cut(1, y, taken.saturating_sub(3), &words, Role::Good);
        }
        return;
    };
    let role = match weight {
        Weight::Done => Role::Good,
        Weight::Note => Role::Caution,
        Weight::Trouble => Role::Bad,
    };
    let text = format!("{}{text}", if *weight == Weight::Trouble { "! " } else { "" });
    let (long, room) = (columns(&state.appearance.shown(&text)), region.width().saturating_sub(2));
    let aside = columns(&problems) + 3;
    if long + aside <= room && !problems.is_empty() {
        region.right(y, &format!("{problems} "), Role::Caution);
    }
    if long <= room {
        region.text(1, y, &text, role);
        return;
    }
    // The notice covers the hints until the next key is struck, unless a box needs them: by then it has been read. That nothing
    // keeps the changes is never covered.
    let is_protected = state.desk().is_none_or(|desk| *desk.lesson.protection() == Protection::Journal);
    let mut rest = state.appearance.shown(&text).into_owned();
    if state.overlay.is_none()
        && is_protected
        && state.said.just_now
        && let [first, more @ ..] = &wrap(&rest, room)[..]
        && !more.is_empty()
    {
        rest = more.join(" ");
        region.part(0, y.saturating_sub(1), region.width(), 1).clear();
        region.text(1, y.saturating_sub(1), first, role);
    }
    if columns(&rest) <= room {
        region.text(1, y, &rest, role);
        return;
    }
    let more = way_to_messages(state);
    let left = region.right(y, &format!("{more} "), Role::Key);
    region.cut(1, y, left.saturating_sub(3), &rest, role);
}

/// Says which key shows the whole of a message that is cut; under a box in which it means something else, that it does so later.
fn way_to_messages(state: &State) -> String {
    if let Some(key) = state.keys.key_for(state.pane(), MESSAGES) {
        return format!("{key}: all of it");
    }
    let below = state.pane_below();
    state
        .keys
        .key_for(below, MESSAGES)
        .map_or_else(String::new, |key| format!("{key}, once this box is closed: all of it"))
}

const MESSAGES: Action = Action::Program(ProgramAction::ShowMessages);

/// Returns the number of problems with the key that lists them; an empty text where there are none.
fn problems_text(state: &State) -> String {
    // The recording view shows nothing but the lesson.
    let desk = state.desk().filter(|desk| desk.recording.showing() == Showing::Hidden);
    let words = match desk.map_or(0, |desk| desk.findings().len()) {
        0 => return String::new(),
        1 => "1 problem".to_owned(),
        count => format!("{count} problems"),
    };
    match state.keys.key_for(Pane::Desk, PROBLEMS) {
        Some(key) => format!("{key}: {words}"),
        None => words,
    }
}

const PROBLEMS: Action = Action::Desk(DeskAction::ShowProblems);
