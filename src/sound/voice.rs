//! What can be played: a voice makes samples, and anything audible makes voices.
//!
//! A player knows nothing else about what it plays. Strings that play a score are one kind of voice
//! ([`Rendition`](super::rendition::Rendition)); a recording, or several voices mixed, can be others. No voice is
//! implemented here.

use std::fmt::Debug;

use super::rate::SampleRate;
use crate::lesson::seconds::Seconds;

/// A sound in progress, made block after block until it is over.
///
/// The callback of a sound device calls every method: none of them may allocate, free, lock, wait or panic.
pub trait SoundingVoice: Debug + Send {
    /// Makes the next samples, mono, -1 to 1. Once the voice is over, it makes silence.
    fn fill(&mut self, out: &mut [f32]);

    /// Returns the number of silent samples before the first sample of the music.
    fn latency(&self) -> usize;

    /// Returns the second of the music to which sample number `sample` belongs, counted from 0 after the latency,
    /// whether it has been made yet or not.
    fn second_of(&self, sample: u64) -> Seconds;

    /// Fades out within a few hundredths of a second; the voice is over then.
    fn stop(&mut self);

    /// Returns whether the end of the music is reached, so that whatever follows only rings on. A repeated voice has no
    /// end.
    fn is_past_end(&self) -> bool;

    /// Returns whether nothing sounds any more and nothing more will.
    fn is_over(&self) -> bool;
}

/// Something that can be heard from any of its seconds on, at any sample rate.
///
/// A device may disappear and be opened again at another rate while it plays; another voice then continues.
pub trait Audible: Debug + Send + Sync {
    /// Returns a voice that plays from second `from` on. With a `span`, the voice goes back to the span's first second
    /// whenever it reaches the second one. This runs on a thread that may wait and allocate.
    fn voice(&self, rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Box<dyn SoundingVoice>;
}
