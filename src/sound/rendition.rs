//! A rendition: a score together with the sound and the reference pitch with which it is heard.

use std::sync::Arc;

use super::rate::SampleRate;
use super::score::Score;
use super::sounds::Sound;
use super::synthesis::engine::Engine;
use super::voice::{Audible, SoundingVoice};
use crate::lesson::seconds::Seconds;
use crate::theory::pitch::Hertz;

/// A score as it is played, with its sound and its reference pitch.
#[derive(Debug, Clone)]
pub struct Rendition {
    /// The music.
    pub score: Arc<Score>,
    /// The sound that it is played with.
    pub sound: &'static Sound,
    /// The frequency of A4.
    pub reference: Hertz,
}

impl Audible for Rendition {
    fn voice(&self, rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Box<dyn SoundingVoice> {
        let mut engine = Engine::new(self.sound, rate, self.reference, self.score.strings.len());
        engine.set_loop(span);
        engine.play(Arc::clone(&self.score), from);
        Box::new(engine)
    }
}
