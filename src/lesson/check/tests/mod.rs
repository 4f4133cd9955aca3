//! Every family of findings, each on a lesson that is sound but for one thing.

mod bars;
mod notes;
mod sound;
mod things;
mod video;
