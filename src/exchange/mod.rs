//! Music from and for other programs, in the formats of open standards.
//!
//! [`midi_in`] reads Standard MIDI Files. Bytes come in and go out as arguments; nothing here opens a file.

pub mod midi_in;
