//! A note that nothing is done to, for the benches and the tests of sound.

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::Strength;
use fingerpost::sound::score::{Attack, Muting, SoundedNote};
use fingerpost::theory::pitch::FinePitch;

/// Returns a plucked note of middling strength from one second to another; one whose end is infinite rings out.
pub fn plain_note(string: usize, start: f64, end: f64, pitch: f64) -> SoundedNote {
    SoundedNote {
        string,
        start: Seconds(start),
        end: Seconds(end),
        attack: Attack::Pluck,
        strength: Strength(0.6),
        muting: Muting::None,
        pitch: FinePitch(pitch),
        path: Vec::new(),
        vibratos: Vec::new(),
        partial: 1,
    }
}
