//! One row for each way of leading from a note to the next on its string: what players call it and how it is written.
//!
//! The compiler asks for the row of a new variant. Where the signs come from is said in [`super::technique`].

use super::music::Join;
use crate::instrument::neck::Fret;

/// What is to be known of one join.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JoinRow {
    /// What players call it.
    pub name: &'static str,
    /// How it is written between the two notes.
    pub sign: JoinSign,
    /// How it is written where the second note is the lower one, if that is another sign.
    pub falling: Option<JoinSign>,
    /// What it is one of.
    pub family: JoinFamily,
}

/// A sign that leads from one note to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct JoinSign {
    /// The sign.
    pub sign: char,
    /// How the legend shows it.
    pub example: &'static str,
    /// What it means, in a player's words.
    pub meaning: &'static str,
}

/// What several joins share.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JoinFamily {
    /// The note is held on.
    Tie,
    /// A finger of the fretting hand comes down or leaves.
    Slur,
    /// The finger slides along the string.
    Slide,
}

impl Join {
    /// Returns what players call it.
    pub const fn name(self) -> &'static str {
        self.row().name
    }

    /// Returns the sign from a note at fret `from` to one at fret `to`, where that is known.
    pub fn sign(self, from: Fret, to: Option<Fret>) -> &'static JoinSign {
        let row = self.row();
        row.falling.as_ref().filter(|_| to.is_some_and(|to| to < from)).unwrap_or(&row.sign)
    }
}

/// Makes the list of joins, and the way from a join to its row, which has no `_` arm.
macro_rules! joins {
    ($($join:ident as $name:literal { $($field:ident: $value:expr,)+ })+) => {
        impl Join {
            /// Every join, in the order in which a player is offered them.
            pub const ALL: [Self; [$(Self::$join),+].len()] = [$(Self::$join),+];

            /// Returns the row of this join.
            pub const fn row(self) -> &'static JoinRow {
                match self {
                    $(Self::$join => {
                        const ROW: JoinRow = JoinRow { name: $name, $($field: $value,)+ };
                        &ROW
                    })+
                }
            }
        }
    };
}

joins! {
    Tie as "tie" {
        sign: JoinSign { sign: '=', example: "7=(7)", meaning: "tie: hold the note, do not pick again" },
        falling: None,
        family: JoinFamily::Tie,
    }
    HammerOn as "hammer-on" {
        sign: JoinSign { sign: 'h', example: "7h9", meaning: "hammer-on to the next note" },
        falling: None,
        family: JoinFamily::Slur,
    }
    PullOff as "pull-off" {
        sign: JoinSign { sign: 'p', example: "7p5", meaning: "pull-off to the next note" },
        falling: None,
        family: JoinFamily::Slur,
    }
    Slide as "legato slide" {
        sign: JoinSign { sign: '/', example: "7/9", meaning: "legato slide: not picked" },
        falling: Some(JoinSign { sign: '\\', example: "7\\5", meaning: "legato slide down: not picked" }),
        family: JoinFamily::Slide,
    }
    SlideAndPick as "shift slide" {
        // Small, it would look like the length of a sixteenth.
        sign: JoinSign { sign: 'S', example: "7S9", meaning: "shift slide: picked too" },
        falling: None,
        family: JoinFamily::Slide,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_legend_shows_is_the_sign() {
        for join in Join::ALL {
            for sign in std::iter::once(join.row().sign).chain(join.row().falling) {
                assert_eq!(sign.example.chars().nth(1), Some(sign.sign));
            }
        }
    }
}
