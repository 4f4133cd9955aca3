//! What the timeline asks about a segment, in boxes.

use crate::lesson::deleting::{used_nowhere, voicings_used_nowhere};
use crate::lesson::document::{Lesson, Progress, Segment, SegmentKind, Voicing};
use crate::lesson::id::SegmentId;
use crate::lesson::music::Passage;
use crate::store::open_lesson::Access;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::jump::Jump;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::marks::{MarkLine, MarksBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::points::PointsBox;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::timeline::{Marked, SegmentText, TimelinePick, TimelineQuestion};
use crate::workbench::typing::lines::TypedLines;
use crate::workbench::typing::time::{BARE_NUMBER, write_cuts};

/// Asks for the title of a segment to put in at `place`.
pub(super) fn ask_new_segment(place: usize) -> PaneReply {
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        TimelineQuestion::NewSegment(place),
        "Title of the new segment",
        "Or a piece and its kinds: Gasworks Lantern: performance, play-along.",
        "",
    )))
}

/// Asks what of a segment's recording is left out of the video.
pub(super) fn ask_cuts(segment: &Segment) -> PaneReply {
    if segment.recorded.is_none() {
        return PaneReply::say(Notice::note("it is not recorded yet, so there is nothing to cut out"));
    }
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        TimelineQuestion::Cuts(segment.id),
        format!("What is cut out of \"{}\"", segment.title),
        format!(
            "From and to in the recording, as in 0:10-0:25; several with commas between. {BARE_NUMBER} Leave empty: nothing is cut out."
        ),
        write_cuts(&segment.cuts),
    )))
}

/// Asks for the number of the place to which a segment is moved.
pub(super) fn ask_place(lesson: &Lesson, segment: &Segment) -> PaneReply {
    let now = lesson.segment_index(segment.id).map_or(0, |place| place + 1);
    PaneReply::ask(Overlay::Entry(EntryBox::new(
        TimelineQuestion::Place(segment.id),
        format!("Move \"{}\", now {now} of {}", segment.title, lesson.segments.len()),
        "Its new place in the list, by number. Recorded times stay as they are.",
        "",
    )))
}

/// Asks for a new setup.
pub(super) fn ask_new_setup(segment: SegmentId) -> PaneReply {
    PaneReply::ask(Overlay::Entry(new_setup(segment)))
}

fn new_setup(segment: SegmentId) -> EntryBox {
    EntryBox::new(
        TimelineQuestion::NewSetup(segment),
        "Tuning and capo of the segment",
        "A tuning by name or notes, then a capo if there is one: drop D, capo 3, or D2 A2 D3 G3 A3 D4.",
        "",
    )
}

/// Returns the kinds a segment can be of.
pub(super) fn kind_choice(segment: &Segment) -> ChoiceBox {
    /// How many of the other words for a kind are shown.
    const SHOWN: usize = 3;
    let lines = SegmentKind::ALL.map(|kind| {
        let also: Vec<&str> = kind.also_called().iter().copied().take(SHOWN).collect();
        (format!("{}: {}", kind.word(), also.join(", ")), Pick::Timeline(TimelinePick::Kind(segment.id, kind)))
    });
    let selected = SegmentKind::ALL.iter().position(|kind| *kind == segment.kind).unwrap_or(0);
    ChoiceBox::new("Kind of segment", Advice::NONE, lines.into()).selecting(selected)
}

/// Returns how far a segment can be.
pub(super) fn progress_choice(segment: &Segment) -> ChoiceBox {
    let lines = Progress::ALL.map(|progress| {
        let meaning = match progress {
            Progress::Unsaid => "worked out from what is filled in",
            Progress::Idea => "may still be dropped",
            Progress::Drafted => "what to say and play is written down",
            Progress::Practised => "ready to record",
            Progress::ReRecord => "to be recorded again",
            Progress::Final => "done; it stays as it is",
        };
        (format!("{:<11} {meaning}", progress.word()), Pick::Timeline(TimelinePick::Progress(segment.id, progress)))
    });
    let selected = Progress::ALL.iter().position(|progress| *progress == segment.progress).unwrap_or(0);
    ChoiceBox::new("Progress", Advice::NONE, lines.into()).selecting(selected)
}

/// Returns the setups a segment can be played in.
pub(super) fn setup_choice(lesson: &Lesson, segment: &Segment) -> ChoiceBox {
    let keep = ("as in the segment before".to_owned(), Pick::Timeline(TimelinePick::Setup(segment.id, None)));
    let known = lesson
        .setups
        .iter()
        .map(|setup| (setup.name.clone(), Pick::Timeline(TimelinePick::Setup(segment.id, Some(setup.id)))));
    let add = ("another tuning or capo...".to_owned(), Pick::Timeline(TimelinePick::AddSetup(segment.id)));
    let change = ("change, rename or delete a tuning...".to_owned(), Pick::Timeline(TimelinePick::ListTunings));
    let change = (!lesson.setups.is_empty()).then_some(change);
    let lines: Vec<(String, Pick)> = std::iter::once(keep).chain(known).chain([add]).chain(change).collect();
    let current = Pick::Timeline(TimelinePick::Setup(segment.id, segment.setup));
    let selected = lines.iter().position(|(_, pick)| *pick == current).unwrap_or(0);
    let list = ChoiceBox::new("Tuning and capo of the segment", Advice::NONE, lines).selecting(selected);
    list.or_typed(new_setup(segment.id))
}

/// Asks for what is written in a segment; where nothing may be changed it is shown to be read.
pub(super) fn write(open: &EditedLesson, segment: &Segment, what: SegmentText) -> PaneReply {
    let word = match what {
        SegmentText::Points => "Talking points",
        SegmentText::Shot => "Shot notes (camera, light)",
        SegmentText::Tone => "Tone notes (sound of the instrument)",
    };
    let before = written_in(segment, what);
    let title = format!("{word}: {}", segment.title);
    if *open.access() != Access::Full {
        return PaneReply::ask(Overlay::List(points_list(title, &before)));
    }
    let lines = TypedLines::new(&before);
    PaneReply::ask(Overlay::Points(PointsBox { segment: segment.id, what, title, lines, before }))
}

/// Returns the points or the notes of a segment, a line each.
pub fn written_in(segment: &Segment, what: SegmentText) -> Vec<String> {
    match what {
        SegmentText::Points => segment.talking_points.clone(),
        SegmentText::Shot => segment.shot.lines().map(str::to_owned).collect(),
        SegmentText::Tone => segment.tone.lines().map(str::to_owned).collect(),
    }
}

/// Returns the list of voicings with those of the segment marked; `None` where there is none.
pub(super) fn voicing_marks(lesson: &Lesson, segment: &Segment) -> Option<MarksBox> {
    let unused = voicings_used_nowhere(lesson);
    let nowhere = |known: &Voicing| if unused.contains(&known.id) { "   not shown yet" } else { "" };
    let line = |known: &Voicing| MarkLine {
        text: format!("{}   {}{}", known.name().unwrap_or("no name"), known.shape.compact(), nowhere(known)),
        thing: Marked::Voicing(known.id),
        marked: segment.voicings.contains(&known.id),
    };
    let lines: Vec<MarkLine> = lesson.voicings.iter().map(line).collect();
    let title = "Chord shapes shown in this segment".into();
    (!lines.is_empty()).then_some(MarksBox { segment: segment.id, title, lines, selected: 0, jump: Jump::default() })
}

/// Returns the list of passages with those of the segment marked; `None` where there is none.
pub(super) fn passage_marks(lesson: &Lesson, segment: &Segment) -> Option<MarksBox> {
    let unused = used_nowhere(lesson);
    let nowhere = |known: &Passage| if unused.contains(&known.id.into()) { "   not played yet" } else { "" };
    let line = |known: &Passage| MarkLine {
        text: format!("{}{}", known.title, nowhere(known)),
        thing: Marked::Passage(known.id),
        marked: segment.passages.iter().any(|used| used.passage == known.id),
    };
    let lines: Vec<MarkLine> = lesson.passages.iter().map(line).collect();
    let title = "Passages played in this segment".into();
    (!lines.is_empty()).then_some(MarksBox { segment: segment.id, title, lines, selected: 0, jump: Jump::default() })
}

/// Returns points or notes to be read.
fn points_list(title: String, lines: &[String]) -> ListBox {
    let line = |(place, point): (usize, &String)| ListLine {
        head: (place + 1).to_string(),
        text: point.clone(),
        ..ListLine::default()
    };
    ListBox::new(title, Counted::Lines, lines.iter().enumerate().map(line).collect())
}
