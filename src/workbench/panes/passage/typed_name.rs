//! What is typed as a name over a note, read: a chord symbol, or text that somebody insists on.

use crate::lesson::harmony::named_rightly::NO_BASS_HEARD;
use crate::lesson::music::Event;
use crate::text::quote::quoted;
use crate::theory::reading::Lowest;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::messages::notice::Notice;
use crate::workbench::questions::question::Insistence;

/// What is written for what was typed as a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum TypedName {
    /// No name.
    Nothing,
    /// A chord, or that no chord is played.
    Chord(String),
    /// Text in the place of a chord.
    Text(String),
    /// A chord without the bass that was typed with it, which nobody hears, and what was typed as words.
    WithoutBass {
        /// The chord.
        chord: String,
        /// What was typed.
        words: String,
    },
}

impl TypedName {
    /// Reads a name for strings of which the lowest pitch is `lowest` to the ear. Errors: in words, why what was typed is no name
    /// there, where it is typed for the first time.
    pub(super) fn read(text: &str, lowest: Lowest, insistence: Insistence) -> Result<Self, String> {
        if text.is_empty() {
            return Ok(Self::Nothing);
        }
        let (name, why) = match (text.parse::<ChordSymbol>(), lowest.better_name(text)) {
            (Ok(_), None) => return Ok(Self::Chord(text.to_owned())),
            (Err(_), _) if text == "N.C." => return Ok(Self::Chord(text.to_owned())),
            (Err(error), _) => {
                (Self::Text(text.to_owned()), format!("{error}. {{Entry(Accept)}} again writes it as text."))
            }
            (Ok(_), Some(chord)) => {
                let why = format!(
                    "{NO_BASS_HEARD}: the name is {chord}. {{Entry(Accept)}} again writes {chord}, and {text} as words."
                );
                (Self::WithoutBass { chord, words: text.to_owned() }, why)
            }
        };
        match insistence {
            Insistence::First => Err(why),
            Insistence::Again => Ok(name),
        }
    }

    /// Writes it over a note or rest.
    pub(super) fn write(&self, event: &mut Event) {
        match self {
            Self::Nothing => event.chord = None,
            Self::Chord(name) | Self::Text(name) => event.chord = Some(name.clone()),
            Self::WithoutBass { chord, words } => {
                event.chord = Some(chord.clone());
                event.say(words);
            }
        }
    }

    /// Says what became of it where that is no plain name over a note; `over_rest`: nothing else is written there yet.
    pub(super) fn said(&self, over_rest: bool) -> Option<Notice> {
        match self {
            Self::Text(text) => Some(Notice::note(format!("`{}` is written as text, not as a chord", quoted(text)))),
            Self::WithoutBass { chord, words } => {
                Some(Notice::done(format!("the name is {chord}, and {words} stands there as words")))
            }
            Self::Chord(name) if over_rest => {
                Some(Notice::done(format!("{} is over a rest; a fret typed now replaces the rest", quoted(name))))
            }
            Self::Chord(_) | Self::Nothing => None,
        }
    }
}
