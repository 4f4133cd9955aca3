//! What a file held when it was read, so that a change by another program is noticed.

use std::fmt;
use std::str::FromStr;

use sha2::{Digest, Sha256};

/// A fingerprint of a file's content.
///
/// It is the content alone: a time of change says nothing on file systems that count whole seconds,
/// and a copy that a backup program puts back unchanged is no change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Fingerprint([u8; 32]);

impl Fingerprint {
    /// Returns the fingerprint of `content`.
    pub fn of(content: &[u8]) -> Self {
        Self(Sha256::digest(content).into())
    }

    /// Returns its bytes.
    pub const fn bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// Returns the first eight bytes as a number, enough to notice a damaged line.
    pub fn short(&self) -> u64 {
        self.0.iter().take(8).fold(0, |sum, byte| sum << 8 | u64::from(*byte))
    }
}

/// Prints 64 hexadecimal digits.
impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

/// The text is no fingerprint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("expected 64 hexadecimal digits")]
pub struct FingerprintError;

impl FromStr for Fingerprint {
    type Err = FingerprintError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let digits: Vec<u8> = text
            .chars()
            .map(|digit| digit.to_digit(16).and_then(|value| u8::try_from(value).ok()))
            .collect::<Option<_>>()
            .ok_or(FingerprintError)?;
        let mut bytes = [0; 32];
        if digits.len() != 64 {
            return Err(FingerprintError);
        }
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = pair.iter().fold(0, |sum, digit| sum << 4 | digit);
        }
        Ok(Self(bytes))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fingerprints_are_sha_256() {
        // FIPS 180-4's usual example, `abc`; also in NIST's "SHA-256 example values".
        let fingerprint = Fingerprint::of(b"abc");
        assert_eq!(fingerprint.to_string(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(fingerprint.to_string().parse(), Ok(fingerprint));
        assert_eq!(fingerprint.short(), 0xba78_16bf_8f01_cfea);
        assert_eq!("ba78".parse::<Fingerprint>(), Err(FingerprintError));
    }
}
