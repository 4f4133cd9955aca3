//! What is heard and how: what plays now, and what was chosen for all that is played ([`playing`]).
//!
//! Plain data for whoever shows or plays it. What stands on the screen becomes a score elsewhere (`desk::scores`), and
//! samples are made by the runtime's loudspeaker.

pub mod playing;
