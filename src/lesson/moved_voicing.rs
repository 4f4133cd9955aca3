//! A voicing on the strings of another tuning: with its frets, or with its sound. Nothing here knows what shows it.

use super::document::Voicing;
use super::harmony::named_rightly::names_of_shape;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::elsewhere::{Keeping, StandIn, on_rig};
use crate::instrument::voicing::kept::{Keeps, SoundChange};
use crate::instrument::voicing::request::Request;
use crate::theory::symbol::ChordSymbol;

/// A voicing as it is in another tuning, with the tuning and the identity that it had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedVoicing {
    /// The voicing.
    pub voicing: Voicing,
    /// The name that it has lost, because it was said of what sounded before.
    pub unnamed: Option<String>,
    /// What sounds different, in words.
    pub heard: Option<String>,
}

/// Returns a voicing with its frets, and the names that it still has on `new`: all, or none where the hand plays something else there.
pub fn with_frets(voicing: &Voicing, old: Option<&Rig>, new: &Rig) -> MovedVoicing {
    let played = |rig: &Rig| rig.notes_as_played(&voicing.shape).ok();
    let (readings, unnamed) = if voicing.readings.is_empty() || old.is_none_or(|old| played(old) == played(new)) {
        (names_of_shape(&voicing.readings, &voicing.shape, new), None)
    } else {
        (Vec::new(), voicing.name().map(str::to_owned))
    };
    MovedVoicing { voicing: Voicing { readings, ..voicing.clone() }, unnamed, heard: None }
}

/// Returns what sounds on `new` as a voicing does on `old`; `None` where no hand holds that.
pub fn with_sound(voicing: &Voicing, old: &Rig, new: &Rig) -> Option<MovedVoicing> {
    let found = on_rig(old, &voicing.shape, new, Keeping::Tones, &Request::default()).ok()?;
    let StandIn { shape, fingering, keeps, changes } = found;
    let lower = old.played_as().semitones() - new.played_as().semitones();
    let named = |name: &String| match name.parse::<ChordSymbol>() {
        Ok(symbol) if lower != 0 => symbol.moved(lower, None).to_string(),
        // A name of their own stays as it is.
        Ok(_) | Err(_) => name.clone(),
    };
    let (readings, unnamed) = match keeps {
        Keeps::Everything | Keeps::Pitches | Keeps::OuterNotes | Keeps::OuterTones | Keeps::Bass => {
            let names: Vec<String> = voicing.readings.iter().map(named).collect();
            (names_of_shape(&names, &shape, new), None)
        }
        // Over another bass it is called something else.
        Keeps::Top | Keeps::Tones => (Vec::new(), voicing.name().map(str::to_owned)),
    };
    let heard: Vec<String> =
        changes.iter().filter(|change| **change != SoundChange::OtherStrings).map(ToString::to_string).collect();
    let heard = (!heard.is_empty()).then(|| format!("{}: {}", called(voicing), heard.join("; ")));
    // What is unsure on a string says nothing of the others.
    let doubts = if changes.is_empty() { voicing.doubts.clone() } else { Vec::new() };
    let (fingers, barre) = if shape == voicing.shape {
        (voicing.fingers.clone(), voicing.barre)
    } else {
        (fingering.fingers, fingering.barre)
    };
    let voicing = Voicing { shape, doubts, readings, fingers, barre, ..voicing.clone() };
    Some(MovedVoicing { voicing, unnamed, heard })
}

/// Returns what players call a voicing: by its name, or by its shape where it has none.
pub fn called(voicing: &Voicing) -> String {
    let name = voicing.name().map(str::trim).filter(|name| !name.is_empty());
    name.map_or_else(|| voicing.shape.compact(), str::to_owned)
}
