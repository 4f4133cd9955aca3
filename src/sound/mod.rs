//! Sound: the music and shapes of a lesson, made audible.
//!
//! [`score`] is the language between two halves; with a sound and a reference pitch it is a [`rendition`]. One half ([`performance`]) turns shapes and passages into a
//! [`score::Score`]: which string starts to sound when, at which pitch, and how. The other half makes samples of it
//! ([`synthesis`], with the parameters in [`sounds`]; [`rendering`] for a whole score) and sends them to a file
//! ([`mod@file`]) or, through a [`player`], to a device ([`output`]). What can be played is a [`voice`]; its [`rate`] says how many samples make a
//! second, its [`timeline`] which second of the music each of them is. A score knows no lesson, and the code that plays
//! it knows no music. How loud and how hard is said in a
//! [`level`]. Nothing here knows the terminal.

pub mod file;
pub mod level;
pub mod output;
pub mod performance;
pub mod player;
pub mod rate;
pub mod rendering;
pub mod rendition;
pub mod score;
pub mod sounds;
pub mod synthesis;
pub mod timeline;
pub mod voice;
