//! What doing something in a box comes to.

use crate::workbench::typing::lines::NoRoom;

/// What a box's action comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoxVerdict {
    /// The box stays.
    Stay,
    /// The box is put away and nothing happens.
    Cancel,
    /// What is in it is taken.
    Accept,
    /// The box stays as it is, because there is no more room in it.
    Refuse(NoRoom),
}
