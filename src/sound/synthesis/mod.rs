//! Strings, amplifier, click and drone: from a score to samples.
//!
//! Start with [`engine`]. Each sample passes from the strings ([`plucked`], made of a [`ring`] and an [`excitation`])
//! through [`amp`] (with `oversampling`) or plain filters (`filter`) to the [`limiter`]; `click` and `drone` come beside them, and `noise` is the same each
//! time. Nothing here knows a file or a device, and nothing that runs
//! for each block allocates, locks, or asks the system for anything.

pub mod amp;
pub mod click;
pub mod drone;
pub mod engine;
pub mod excitation;
pub mod filter;
pub mod limiter;
pub mod noise;
pub mod oversampling;
pub mod plucked;
pub mod ring;
