//! Work behind the keys: what takes longer than a key may take is done by a thread and comes back as a message.
//!
//! Start with [`queue`]: [`Jobs`](queue::Jobs) takes work of a [`kind`], each kind in a queue of its own. [`running`] is
//! what running work asks (whether to give up) and says (how far it is); [`fault`] turns work that panics into words.
//!
//! Invariants: nothing here knows panes, boxes, lessons or files, only that there is work and that somebody is told; work
//! that panics ends neither the program nor its queue; what must reach the disk is waited for on leaving.

pub mod fault;
pub mod kind;
pub mod queue;
pub mod running;
