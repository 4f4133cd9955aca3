//! What can be played: a voice makes samples, and whatever is audible makes voices.
//!
//! A player knows nothing of what it plays beyond these two. Strings that play a score are one kind of voice
//! ([`Rendition`](super::rendition::Rendition)); a recording, or several voices mixed, are others.

use std::fmt::Debug;

use super::rate::SampleRate;
use crate::lesson::seconds::Seconds;

/// Something that sounds, block after block, until it is over.
///
/// The callback of a sound device calls every method: none of them may allocate, free, lock, wait or panic.
pub trait SoundingVoice: Debug + Send {
    /// Makes the next samples, mono, -1 to 1. It goes on making silence once it is over.
    fn fill(&mut self, out: &mut [f32]);

    /// Returns how many samples of silence come before the first sample of what is played.
    fn latency(&self) -> usize;

    /// Returns the second of what is played that sample number `sample` belongs to, counted from 0 after the latency,
    /// whether it is made already or not.
    fn second_of(&self, sample: u64) -> Seconds;

    /// Fades out within a few hundredths of a second, and is over then.
    fn stop(&mut self);

    /// Returns whether its end is reached, so that what comes now only rings on. One that goes round has no end.
    fn is_past_end(&self) -> bool;

    /// Returns whether nothing sounds any more and nothing will.
    fn is_over(&self) -> bool;
}

/// Something that can be heard from any of its seconds on, at the rate of any device.
///
/// A device may go away and be opened anew while it plays, at another rate: then another voice goes on.
pub trait Audible: Debug + Send + Sync {
    /// Makes the voice that plays from second `from` on and, where there is a `span`, goes back to its first second
    /// whenever it reaches its second one. It runs on a thread that may wait and allocate.
    fn voice(&self, rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Box<dyn SoundingVoice>;
}
