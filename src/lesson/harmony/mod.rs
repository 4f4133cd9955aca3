//! Which harmony the notes of a passage make, and whether a chord name agrees with it.
//!
//! Start with [`chord_under_name`] (one name held against one chord) and [`mod@stretch`] (what sounds from a name to the next).
//!
//! - [`sounding`] goes through a passage from moment to moment and says which strings ring.
//! - [`heard`] counts what sounds in a stretch: chords, and shapes that are played one string after the other.
//! - [`mod@stretch`] cuts a passage at its chord names; [`judgement`] says which names the notes contradict, and which names fit better.
//! - [`foreign`] finds power chords without any note of the chord that is named over them.
//! - [`strum`] finds the chord that stands right under a name, whatever is played behind it.
//! - [`ornaments`] takes passing notes and hammered ones out of a shape that is picked.
//! - [`suggestion`] names chords over which no name stands.
//! - [`names_after`] looks at names again where the same frets are played in another tuning.
//! - [`named_rightly`] gives names the form that players of the strings write.
//!
//! Invariants: the walk through a passage takes time that grows with its length alone. What is ambiguous, single notes
//! and two notes at a time, is no chord: it speaks against a name only as a power chord that fills a bar ([`foreign`]).

pub mod chord_under_name;
pub mod foreign;
pub mod heard;
pub mod judgement;
pub mod named_rightly;
pub mod names_after;
pub mod ornaments;
pub mod sounding;
#[cfg(test)]
pub mod steps;
pub mod stretch;
pub mod strum;
pub mod suggestion;
