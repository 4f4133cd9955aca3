//! Families: the open shape that players name a shape by.

use fingerpost::instrument::voicing::open_shapes::OpenShapes;

use super::{Part, Share, rig, shape};
use crate::reference::rows;

/// How many shapes are told by the open shape that players name, at its fret, and how many by none where they name none.
fn families(part: Part) -> Share {
    let table = match part {
        Part::Seen => include_str!("../../practice/families.tsv"),
        Part::Held => include_str!("../../practice/held/families.tsv"),
    };
    let mut share = Share::default();
    for [instrument, tuning, held, family, fret] in rows(table, ["instrument", "tuning", "shape", "family", "fret"]) {
        let found = OpenShapes::on(&rig(instrument, tuning)).of(&shape(held));
        let found = found.map(|found| (found.chord.to_string(), found.fret.to_string()));
        let (found, at) = found.unwrap_or_default();
        share.add(usize::from(found == family && at == fret), 1);
    }
    share
}

#[test]
fn a_shape_is_told_by_the_open_shape_that_players_name() {
    families(Part::Seen).at_least(1000, "families", Part::Seen);
    families(Part::Held).at_least(900, "families", Part::Held);
}
