//! Voices that are no strings: a recording, and several voices mixed.

use std::sync::Arc;

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::rate::SampleRate;
use fingerpost::sound::timeline::Timeline;
use fingerpost::sound::voice::{Audible, SoundingVoice};

/// Samples in memory, at the rate of the device of these tests.
#[derive(Debug, Clone)]
pub struct Recording(pub Arc<[f32]>);

/// A recording as it is played; a stop fades it within a fiftieth of a second.
#[derive(Debug)]
struct Replay {
    samples: Arc<[f32]>,
    at: usize,
    turns: Option<(usize, usize)>,
    timeline: Timeline,
    /// How loud the next sample is, and by how much less the one after it.
    level: f32,
    fades: f32,
    fade: f32,
}

impl Audible for Recording {
    fn voice(&self, rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Box<dyn SoundingVoice> {
        let place = |seconds: Seconds| (seconds.0 * rate.per_second()).round() as usize;
        Box::new(Replay {
            samples: Arc::clone(&self.0),
            at: place(from),
            turns: span.map(|(from, to)| (place(from), place(to))),
            timeline: Timeline::new(rate, from, span),
            level: 1.0,
            fades: 0.0,
            fade: 50.0 / rate.0 as f32,
        })
    }
}

impl SoundingVoice for Replay {
    fn fill(&mut self, out: &mut [f32]) {
        for sample in out {
            if let Some((from, to)) = self.turns
                && self.at >= to
            {
                self.at = from;
            }
            *sample = self.samples.get(self.at).copied().unwrap_or(0.0) * self.level;
            self.level = (self.level - self.fades).max(0.0);
            self.at += 1;
        }
    }

    fn latency(&self) -> usize {
        0
    }

    fn second_of(&self, sample: u64) -> Seconds {
        self.timeline.at(sample)
    }

    fn stop(&mut self) {
        self.fades = self.fade;
    }

    fn is_past_end(&self) -> bool {
        self.turns.is_none() && self.at >= self.samples.len()
    }

    fn is_over(&self) -> bool {
        self.level == 0.0 || self.is_past_end()
    }
}

/// Several things at once, in time with each other.
#[derive(Debug, Clone)]
pub struct Mix(pub Vec<Arc<dyn Audible>>);

/// Voices that sound together: those that are less late than the latest are held back.
#[derive(Debug)]
struct Mixed {
    voices: Vec<(Box<dyn SoundingVoice>, usize)>,
    latency: usize,
}

impl Audible for Mix {
    fn voice(&self, rate: SampleRate, from: Seconds, span: Option<(Seconds, Seconds)>) -> Box<dyn SoundingVoice> {
        let voices: Vec<_> = self.0.iter().map(|music| music.voice(rate, from, span)).collect();
        let latency = voices.iter().map(|voice| voice.latency()).max().unwrap_or(0);
        let held = |voice: Box<dyn SoundingVoice>| {
            let wait = latency - voice.latency();
            (voice, wait)
        };
        Box::new(Mixed { voices: voices.into_iter().map(held).collect(), latency })
    }
}

impl SoundingVoice for Mixed {
    fn fill(&mut self, out: &mut [f32]) {
        out.fill(0.0);
        let share = 1.0 / self.voices.len() as f32;
        for (voice, wait) in &mut self.voices {
            let waits = out.len().min(*wait);
            *wait -= waits;
            for block in out[waits..].chunks_mut(64) {
                let mut one = [0.0; 64];
                voice.fill(&mut one[..block.len()]);
                block.iter_mut().zip(one).for_each(|(sum, sample)| *sum += share * sample);
            }
        }
    }

    fn latency(&self) -> usize {
        self.latency
    }

    fn second_of(&self, sample: u64) -> Seconds {
        self.voices[0].0.second_of(sample)
    }

    fn stop(&mut self) {
        self.voices.iter_mut().for_each(|(voice, _)| voice.stop());
    }

    fn is_past_end(&self) -> bool {
        self.voices.iter().all(|(voice, _)| voice.is_past_end())
    }

    fn is_over(&self) -> bool {
        self.voices.iter().all(|(voice, _)| voice.is_over())
    }
}
