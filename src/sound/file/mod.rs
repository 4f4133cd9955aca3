//! Sound files: WAV and FLAC, mono.
//!
//! One instrument has no width to tell of. The same bits are promised for one build on one kind of processor; the sine
//! and exponential of another may round elsewhere. Start reading at [`write`]; what a file may be like is [`FileForm`].

mod flac;
mod form;
mod samples;
mod wav;
mod writing;

pub use form::{Container, Depth, FileForm};
pub use samples::{BLOCK, Samples};
pub use writing::{SoundFileError, write};
