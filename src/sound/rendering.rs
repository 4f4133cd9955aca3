//! Renders a score from its beginning until the last note has faded, in pieces: only one piece is in memory, however
//! long the score is. Playing on a device is not done here; see [`super::player`].

use std::sync::Arc;

use super::file::Samples;
use super::rate::SampleRate;
use super::score::Score;
use super::sounds::Sound;
use super::synthesis::engine::Engine;
use crate::lesson::seconds::Seconds;
use crate::theory::pitch::Hertz;

/// The share of a piece of work that is done, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct RenderedShare(pub f64);

/// Samples below -80 dB of full scale count as silence once they have lasted for this long.
const QUIET: f32 = 1e-4;
const QUIET_FOR: Seconds = Seconds(0.1);
/// The time for which strings may ring after the end before they are faded out.
const RINGS_ON: Seconds = Seconds(6.0);

/// A score that is being rendered.
#[derive(Debug)]
pub struct Rendering {
    engine: Engine,
    rate: SampleRate,
    end: Seconds,
    made: u64,
    quiet: Seconds,
    over: bool,
}

impl Rendering {
    /// Returns a rendering that begins with the first sample of `score`, played as [`Engine::new`] describes.
    pub fn new(sound: &Sound, rate: SampleRate, reference: Hertz, score: Arc<Score>) -> Self {
        let end = score.end.max(Seconds::ZERO);
        let mut engine = Engine::new(sound, rate, reference, score.strings.len());
        engine.play(score, Seconds::ZERO);
        // The engine has a latency. Its samples are thrown away, so that the first sample is second 0.
        let mut late = [0.0; 64];
        let mut left = engine.latency();
        while left > 0 {
            let length = left.min(late.len());
            engine.fill(&mut late[..length]);
            left -= length;
        }
        Self { engine, rate, end, made: 0, quiet: Seconds::ZERO, over: false }
    }

    /// Makes the next samples, mono, and returns how many samples of `out` it has filled: none once the score is over.
    pub fn fill(&mut self, out: &mut [f32]) -> usize {
        if self.over {
            return 0;
        }
        self.engine.fill(out);
        let seconds = self.rate.length_of(out.len() as u64);
        self.made += out.len() as u64;
        let past = self.seconds() - self.end;
        if past >= Seconds::ZERO {
            self.quiet =
                if out.iter().all(|sample| sample.abs() < QUIET) { self.quiet + seconds } else { Seconds::ZERO };
            if past > RINGS_ON {
                self.engine.stop();
            }
            self.over = self.quiet >= QUIET_FOR;
        }
        out.len()
    }

    /// Returns the longest duration that the rendering can have.
    pub fn longest(&self) -> Seconds {
        // The fading and the silence at the end take less than a second together, apart from one or two blocks of
        // samples.
        self.end + RINGS_ON + Seconds(1.0)
    }

    /// Returns the duration that has been made so far.
    pub fn seconds(&self) -> Seconds {
        self.rate.length_of(self.made)
    }

    /// Returns how much of the music has been made. What rings after the end does not count.
    pub fn progress(&self) -> RenderedShare {
        RenderedShare(if self.end > Seconds::ZERO { (self.seconds() / self.end).min(1.0) } else { 1.0 })
    }
}

impl Samples for Rendering {
    fn next(&mut self, out: &mut [f32]) -> usize {
        self.fill(out)
    }
}

/// Renders a whole score into memory, mono. It is meant for short scores; [`Rendering`] makes long ones in pieces.
pub fn render(sound: &Sound, rate: SampleRate, reference: Hertz, score: Arc<Score>) -> Vec<f32> {
    let mut rendering = Rendering::new(sound, rate, reference, score);
    let mut samples = Vec::new();
    let mut block = [0.0; 1024];
    loop {
        let made = rendering.fill(&mut block);
        if made == 0 {
            return samples;
        }
        samples.extend_from_slice(&block[..made]);
    }
}
