//! Every family of findings, one file for each few of them: each on a lesson that is sound but for one thing.

mod bars;
mod missing_names;
mod names;
mod notes;
mod other_shape;
mod sound;
mod things;
mod video;
