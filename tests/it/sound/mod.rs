//! What is heard: rendered and measured by estimators that share nothing with the synthesiser.

mod amp;
mod attacks;
pub mod estimator;
mod files;
mod harmonics;
mod level;
mod paths;
mod performance;
mod pitch;
mod player;
mod playing;
mod timing;
mod tones;
mod tuned;
mod turns;

use tones::{A4, DISC, RATE, between, decibels, heard, loudness, note, score, sound, tempered};
