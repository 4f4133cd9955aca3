//! The paper that text is printed on.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// The paper, printed in type of 10 characters and 6 lines to the inch with 12.7 mm of margin on
/// every side.
///
/// The counts are what whole characters and lines fit: A4 is 210 x 297 mm (ISO 216), Letter
/// 8.5 x 11 in (common practice, no published source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename = "PaperSize")]
pub enum Paper {
    /// 210 x 297 mm
    #[default]
    A4,
    /// 8.5 x 11 in
    Letter,
}

impl Paper {
    /// Every paper.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Returns the other one.
    pub const fn other(self) -> Self {
        match self {
            Self::A4 => Self::Letter,
            Self::Letter => Self::A4,
        }
    }

    /// Returns the name by which a command takes it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Returns how large it is.
    pub const fn size(self) -> &'static str {
        match self {
            Self::A4 => "210 × 297 mm",
            Self::Letter => "8.5 × 11 in",
        }
    }

    /// Returns how many characters a line takes.
    pub const fn columns(self) -> usize {
        match self {
            Self::A4 => 72,
            Self::Letter => 75,
        }
    }

    /// Returns how many lines a page takes.
    pub const fn lines(self) -> usize {
        match self {
            Self::A4 => 64,
            Self::Letter => 60,
        }
    }
}

/// No paper has this name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no paper of this name is known: expected `a4` or `letter`")]
pub struct UnknownPaper;

/// Reads the name of a paper.
impl FromStr for Paper {
    type Err = UnknownPaper;

    fn from_str(name: &str) -> Result<Self, Self::Err> {
        Self::ALL.into_iter().find(|paper| paper.name() == name).ok_or(UnknownPaper)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_print_grid_is_what_the_paper_holds() {
        // A4: ISO 216, 210 x 297 mm; Letter: 8.5 x 11 in, common practice. An inch is 25.4 mm.
        let whole = |millimetres: f64, an_inch: f64| ((millimetres - 2.0 * 12.7) / 25.4 * an_inch).floor() as usize;
        assert_eq!((Paper::A4.columns(), Paper::A4.lines()), (whole(210.0, 10.0), whole(297.0, 6.0)));
        assert_eq!((Paper::Letter.columns(), Paper::Letter.lines()), (whole(215.9, 10.0), whole(279.4, 6.0)));
    }

    #[test]
    fn each_paper_is_read_by_its_name() {
        for paper in Paper::ALL {
            assert_eq!(paper.name().parse(), Ok(paper));
        }
        let known = Paper::ALL.map(|paper| format!("`{}`", paper.name())).join(" or ");
        assert!("a5".parse::<Paper>().is_err_and(|error| error.to_string().ends_with(&known)));
    }
}
