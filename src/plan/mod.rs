//! Planning a lesson: how long things take, when segments start, and the chapter list.
//!
//! Start with [`length`], where musical time becomes video time (nowhere else), and [`order`], the
//! bars as they are played with their repeats. [`suggest`] proposes the length of a segment and
//! says what it is made of, [`schedule`] adds up, [`chapters`] writes the list. Nothing here knows
//! the clock: every time comes from the lesson.

pub mod chapters;
pub mod length;
pub mod order;
pub mod schedule;
pub mod suggest;
