//! The tuning of a lesson that tab belongs to which was read: the one that it states, which comes into the lesson with it
//! where the lesson has none such.

use super::outcome::{ReadTab, TuningSource, WrittenCapo};
use crate::instrument::body::Instrument;
use crate::instrument::catalogue;
use crate::instrument::rig::Rig;
use crate::instrument::tuning::{Capo, Tuning};
use crate::lesson::document::{Lesson, Setup};
use crate::lesson::edit::Edit;
use crate::lesson::harmony::named_rightly::{name_rightly, said_of_names};
use crate::lesson::id::{InstrumentId, SetupId};
use crate::lesson::tunings::{StatedTuning, brought_in, tuning_for};
use crate::theory::reading::Lowest;

/// The tuning and capo that tab belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnTuning {
    /// The tuning; `None` where no instrument is known that has so many strings.
    pub setup: Option<SetupId>,
    /// What brings it into the lesson; nothing where the lesson has it.
    pub edits: Vec<Edit>,
    /// What it is and what says so, in words: `in drop D, as its labels say`.
    pub words: String,
}

/// Returns the tuning that tab belongs to in a lesson, `here` being the one that is in force where it goes. What is new
/// gets the identities that are handed in. The chord names of the tab come to be those that players of its strings write.
pub fn own_tuning(lesson: &Lesson, here: Option<&Setup>, tab: &mut ReadTab, ids: (SetupId, InstrumentId)) -> OwnTuning {
    let own = tuning_of(lesson, here, tab, ids);
    let lowest = tab.tuning.as_ref().map_or(Lowest::Bass, Tuning::lowest_is);
    match said_of_names(&name_rightly(&mut tab.passage, lowest)) {
        Some(said) => OwnTuning { words: format!("{}; {said}", own.words), ..own },
        None => own,
    }
}

fn tuning_of(
    lesson: &Lesson,
    here: Option<&Setup>,
    tab: &ReadTab,
    (id, instrument): (SetupId, InstrumentId),
) -> OwnTuning {
    let unknown = |words: String| OwnTuning { setup: None, edits: Vec::new(), words };
    let count = tab.labels.len();
    let Some(strings) = &tab.tuning else {
        return unknown(format!("in no tuning: none is known for {count} strings"));
    };
    let capo = tab.capo.map(|capo| match capo {
        WrittenCapo::Off => None,
        WrittenCapo::At(fret) => Some(Capo { fret, strings: Vec::new() }),
    });
    let stated = StatedTuning { strings, capo: capo.as_ref().map(Option::as_ref) };
    let by = match (tab.tuning_source, tab.capo) {
        (TuningSource::Words, _) => "as its words say",
        (TuningSource::Labels, None) => "as its labels say",
        (TuningSource::Labels, Some(_)) => "as its labels and words say",
        (TuningSource::Nothing, _) => "since it names none",
    };
    // Where the strings are not named, those of the segment are meant, if there are so many.
    let same = StatedTuning { strings: here.map_or(strings, |here| &here.tuning), ..stated };
    let assumed = tab.tuning_source == TuningSource::Nothing;
    if let Some(here) = here.filter(|here| assumed && here.tuning.strings().len() == count && same.is_of(here)) {
        return OwnTuning { setup: Some(here.id), edits: Vec::new(), words: format!("in {}, {by}", here.name) };
    }
    if let Some(known) = tuning_for(lesson, here, stated) {
        return OwnTuning { setup: Some(known.id), edits: Vec::new(), words: format!("in {}, {by}", known.name) };
    }
    let Some(rig) = rig_with(lesson, here, strings, capo.flatten().as_ref()) else {
        return unknown(format!("in no tuning: no instrument is known that can be tuned to {strings}"));
    };
    let (setup, edits) = brought_in(lesson, &rig, id, instrument);
    let words = format!("in {}, {by}; that tuning is new in the lesson", setup.name);
    OwnTuning { setup: Some(setup.id), edits, words }
}

/// Returns an instrument with these strings and this capo: the one that is played here, or another of the lesson, if it is
/// of the kind that is tuned so; else the known one that is.
fn rig_with(lesson: &Lesson, here: Option<&Setup>, strings: &Tuning, capo: Option<&Capo>) -> Option<Rig> {
    let (likeliest, _) = catalogue::setup_from_text(None, Some(&strings.to_string())).ok()?;
    let family = |body: &Instrument| catalogue::kin(body).map(|known| known.family);
    let played = here.and_then(|here| lesson.instrument(here.instrument)).map(|owned| &owned.body);
    let of_lesson = lesson.instruments.iter().map(|owned| &owned.body);
    let alike = played.into_iter().chain(of_lesson).filter(|body| family(body) == family(&likeliest));
    let mut bodies = alike.chain([&likeliest]);
    bodies.find_map(|body| Rig::new(body.clone(), strings.clone(), capo.cloned()).ok())
}
