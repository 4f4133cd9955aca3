//! A note that nothing is done to, for the benches and the tests of sound.

use fingerpost::sound::score::{Attack, Muting, SoundedNote};

/// Returns a plucked note of middling strength from one second to another; without an end it rings out.
pub fn plain_note(string: usize, start: f64, end: f64, pitch: f64) -> SoundedNote {
    SoundedNote {
        string,
        start,
        end,
        attack: Attack::Pluck,
        strength: 0.6,
        muting: Muting::None,
        pitch,
        path: Vec::new(),
        vibratos: Vec::new(),
        partial: 1,
    }
}
