//! What plays now, and what the person chose for all playback ([`playing`]).
//!
//! This is plain data for the code that shows or plays it. Neither scores nor samples are made here: `desk::scores`
//! turns the contents of the panes into a score, and the runtime's loudspeaker plays it.

pub mod playing;
