//! Every family of findings, one file for each few of them: each on a lesson that is sound but for one thing.

mod bars;
mod names;
mod notes;
mod sound;
mod things;
mod video;
