//! Sound files: WAV and FLAC, mono, written while the samples are made. The samples themselves are not made here.
//!
//! The files are mono because one instrument has no stereo width. The same bits are promised for one build on one kind
//! of processor; the sine and exponential of another may round differently. Start reading at [`write()`] (`writing`); what a file may
//! be like is [`FileForm`] (`form`). `samples` are asked for block by block, and `wav` and `flac` write them.

mod flac;
mod form;
mod samples;
mod wav;
mod writing;

pub use form::{Container, Depth, FileForm};
pub use samples::{BLOCK, Samples};
pub use writing::{SoundFileError, write};
