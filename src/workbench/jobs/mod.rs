//! Background work: a thread does what takes longer than a key may take, and sends the outcome as a message.
//!
//! Start with [`queue`]: [`Jobs`](queue::Jobs) accepts work of a [`kind`], and each kind has a queue of its own.
//! Running work uses [`running`] to ask whether it should give up and to report its progress; [`fault`] turns a panic
//! into words.
//!
//! Invariants: nothing here knows panes, boxes, lessons or files. Work that panics ends neither the program nor its
//! queue. Leaving the program waits for whatever must reach the disk.

pub mod fault;
pub mod kind;
pub mod queue;
pub mod running;
