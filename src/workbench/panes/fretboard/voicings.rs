//! Voicings on their way between the fretboard and lesson or library.

use std::sync::Arc;

use crate::instrument::rig::Rig;
use crate::instrument::voicing::elsewhere::StandIn;
use crate::lesson::document::Voicing;
use crate::lesson::history::Reason;
use crate::lesson::id::{SegmentId, VoicingId};
use crate::store::library::LibraryVoicing;
use crate::theory::reading::Doubt;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::editing::rigs::describe;
use crate::workbench::editing::segment_changes::replace;
use crate::workbench::editing::voicing_changes::new_voicing;
use crate::workbench::library::item::LibraryItem;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::neck_keys::start_of;
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::pane::FretboardPane;

/// What lies on the strings then, and what to say of it; or why it cannot lie there.
pub type Fitted = Result<(Grip, Notice), Notice>;

/// Returns a voicing of the library as it lies on the strings, and what to say of it. Errors: why it does not fit here.
pub fn taken(pane: &FretboardPane, item: &LibraryItem) -> Fitted {
    let strings = item.voicing.shape.strings().len();
    if strings != pane.strings() {
        let (name, here) = (item.name(), pane.strings());
        return Err(Notice::trouble(format!("{name} has {strings} strings, this segment's tuning has {here}")));
    }
    Ok((grip_of(pane, item), notice_of_tuning(pane.rig(), item, format!("{} is on the fretboard", item.name()))))
}

/// Returns what sounds here as a voicing of the library does on the strings that it was kept for, and what to say of it.
/// Errors: why nothing here does.
pub fn carried_over(pane: &FretboardPane, item: &LibraryItem) -> Fitted {
    let name = item.name();
    let Some(theirs) = item.rig() else {
        return Err(Notice::trouble(format!("{name} was saved for a tuning that cannot be read")));
    };
    let found = match start_of(pane).standing_in_for(&theirs, &item.voicing.shape) {
        Ok(found) => found,
        Err(error) => return Err(Notice::trouble(format!("{name} cannot be refingered: {error}"))),
    };
    let lower = theirs.played_as().semitones() - pane.rig().played_as().semitones();
    let named = |text: &String| match text.parse::<ChordSymbol>() {
        Ok(symbol) => symbol.moved(lower, None).to_string(),
        // A name of their own stays as it is.
        Err(_) => text.clone(),
    };
    let StandIn { shape, fingering, changes, .. } = found;
    let said = match &changes[..] {
        [] => "every string sounds as it did".to_owned(),
        changes => changes.iter().map(ToString::to_string).collect::<Vec<String>>().join("; "),
    };
    // What is doubted on a string says nothing of the others.
    let doubts = if changes.is_empty() { item.voicing.doubts.clone() } else { Vec::new() };
    let readings = match lower {
        0 => item.voicing.readings.clone(),
        _ => item.voicing.readings.iter().map(named).collect(),
    };
    let said = format!("{name} of {} is {} here; {said}", item.setup, shape);
    Ok((
        Grip::new(shape, doubts, readings, Arc::clone(pane.rig())).held_with(fingering.fingers, fingering.barre),
        Notice::done(said),
    ))
}

/// Says that a voicing was made for another tuning than that of `rig`, where it was.
pub fn notice_of_tuning(rig: &Rig, item: &LibraryItem, done: String) -> Notice {
    if *rig.tuning() == item.voicing.tuning {
        return Notice::done(done);
    }
    let (theirs, here) = (&item.setup, describe(rig));
    Notice::note(format!(
        "{done}; saved for {theirs}, it sounds different in {here}: {{Library(CarryOver)}} in the library refingers it"
    ))
}

/// Returns the names of a voicing of the library that it has on `rig` too: all of them, or none where it sounds something else
/// there as the hand plays it.
pub fn names_here(rig: &Rig, item: &LibraryItem) -> Vec<String> {
    let shape = &item.voicing.shape;
    let played = |rig: &Rig| rig.notes_as_played(shape).ok();
    let same = item.rig().is_none_or(|theirs| theirs == *rig || played(&theirs) == played(rig));
    if same { rig.lowest_is().all_rightly(&item.voicing.readings) } else { Vec::new() }
}

/// Returns a voicing of the library as a segment would have it that is played on `rig`; its names stay behind where it sounds
/// something else there. Errors: it has another number of strings.
pub fn voicing_from(
    rig: &Rig,
    open: &mut EditedLesson,
    segment: Option<SegmentId>,
    item: &LibraryItem,
) -> Result<Voicing, Notice> {
    let (strings, here) = (item.voicing.shape.strings().len(), rig.strings().count());
    if strings != here {
        let name = item.name();
        return Err(Notice::trouble(format!("{name} has {strings} strings, this segment's tuning has {here}")));
    }
    let names = names_here(rig, item);
    let doubts = if item.voicing.doubts.iter().all(|doubt| *doubt == Doubt::Sure) {
        Vec::new()
    } else {
        item.voicing.doubts.clone()
    };
    Ok(Voicing {
        fingers: item.voicing.fingers.clone(),
        barre: item.voicing.barre,
        tags: item.voicing.tags.clone(),
        notes: item.voicing.notes.clone(),
        ..new_voicing(open, segment, item.voicing.shape.clone(), doubts, names)
    })
}

/// Returns a voicing of the lesson as the library keeps it. Where the lesson says nothing of its
/// strings, they are those of `rig`, on which the grip has these names.
pub fn voicing_for_library(
    rig: &Rig,
    open: &EditedLesson,
    id: VoicingId,
    (grip, names): (&Grip, &[String]),
) -> LibraryVoicing {
    let lesson = open.lesson();
    let known = lesson.voicing(id);
    let kept = known.and_then(|voicing| LibraryVoicing::of_lesson(lesson, voicing, open.path()));
    kept.unwrap_or_else(|| LibraryVoicing {
        name: names.first().cloned().unwrap_or_default(),
        shape: grip.shape.clone(),
        tuning: rig.tuning().clone(),
        capo: rig.capo().cloned(),
        instrument: rig.instrument().name.clone(),
        readings: names.to_vec(),
        doubts: grip.doubts_to_keep(),
        fingers: grip.fingers.clone(),
        barre: grip.barre,
        tags: Vec::new(),
        notes: String::new(),
        taught_in: Vec::new(),
    })
}

/// Takes the voicing that the fingers on the fretboard come from out of a segment. The lesson and the library keep it.
pub fn take_out(origin: GripOrigin, open: &mut EditedLesson, segment: Option<SegmentId>) -> PaneReply {
    let segment = segment.and_then(|id| open.segment(id)).cloned();
    let (Some(mut segment), GripOrigin::Voicing(id)) = (segment, origin) else {
        return PaneReply::say(Notice::note("what is on the fretboard is no voicing of this segment"));
    };
    let before = segment.voicings.len();
    segment.voicings.retain(|known| *known != id);
    if segment.voicings.len() == before {
        let text =
            "this segment does not show that voicing; {Library(TakeOut)} in the library deletes it from the lesson";
        return PaneReply::say(Notice::note(text));
    }
    let done = format!("deleted from \"{}\"", segment.title);
    PaneReply::to_change(replace(open, Reason::UnlinkVoicing, segment), done)
}

/// Returns the voicing of a segment that comes after the one that `origin` says lies on the strings, or before it; where
/// none does, the first; and which it is, in words. Errors: why there is none.
pub fn neighbour_of(
    origin: GripOrigin,
    open: &EditedLesson,
    segment: Option<SegmentId>,
    which: Neighbour,
) -> Result<(Voicing, Notice), Notice> {
    let segment = segment.and_then(|id| open.segment(id));
    let voicings: Vec<VoicingId> = segment.map_or(Vec::new(), |segment| segment.voicings.clone());
    let now = match origin {
        GripOrigin::Voicing(id) => voicings.iter().position(|known| *known == id),
        GripOrigin::Followed | GripOrigin::Hand => None,
    };
    let count = voicings.len();
    if count == 0 {
        return Err(Notice::note("this segment has no voicings yet: {Fretboard(SaveVoicing)} saves one"));
    }
    let place = now.map_or(0, |place| which.place(place, count));
    let Some(voicing) = voicings.get(place).and_then(|id| open.lesson().voicing(*id)).cloned() else {
        return Err(Notice::trouble("this voicing of the segment is no longer in the lesson"));
    };
    let name = voicing.name().map_or_else(|| voicing.shape.compact(), str::to_owned);
    Ok((voicing, Notice::note(format!("voicing {} of {count}: {name}", place + 1))))
}

/// Returns a voicing of the lesson as it lies on the strings `on` that it belongs to.
pub fn lying(voicing: &Voicing, on: Arc<Rig>) -> Grip {
    let grip = Grip::new(voicing.shape.clone(), voicing.doubts.clone(), voicing.readings.clone(), on);
    grip.held_with(voicing.fingers.clone(), voicing.barre)
}

/// Returns a voicing of the library as it belongs to the strings that it was kept for.
fn grip_of(pane: &FretboardPane, item: &LibraryItem) -> Grip {
    let on = item.rig().map_or_else(|| Arc::clone(pane.rig()), Arc::new);
    let LibraryVoicing { shape, doubts, readings, fingers, barre, .. } = item.voicing.clone();
    Grip::new(shape, doubts, readings, on).held_with(fingers, barre)
}
