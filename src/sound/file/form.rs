//! The forms that a sound file can have.

use crate::sound::rate::SampleRate;

/// The kinds of sound file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Container {
    /// RIFF WAVE.
    Wav,
    /// Free Lossless Audio Codec (RFC 9639).
    Flac,
}

/// The exactness of a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Depth {
    /// Whole numbers of 16 bits, with triangular dither two least significant bits wide: rounding adds noise and no tone.
    Sixteen,
    /// Whole numbers of 24 bits.
    TwentyFour,
    /// Floating point, 32 bits.
    Float,
}

/// The form of a sound file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct FileForm {
    /// The kind of file.
    pub container: Container,
    /// The sample rate.
    pub rate: SampleRate,
    /// The exactness of each sample.
    pub depth: Depth,
}

impl Depth {
    /// Returns how many bytes a sample takes.
    pub(super) const fn bytes(self) -> u8 {
        match self {
            Self::Sixteen => 2,
            Self::TwentyFour => 3,
            Self::Float => 4,
        }
    }

    /// Returns how a message calls it.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Sixteen => "16 bits",
            Self::TwentyFour => "24 bits",
            Self::Float => "32 bits",
        }
    }
}
