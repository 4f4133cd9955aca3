//! Names in context: which name leads by the chords around it and the key.

use fingerpost::theory::reading::{Context, readings_limited};

use super::{Part, Share, answers, rig, shape};
use crate::reference::rows;

/// How many shapes lead with the name that a player gives them there.
fn first_names(part: Part) -> Share {
    let table = match part {
        Part::Seen => include_str!("../../practice/names.tsv"),
        Part::Held => include_str!("../../practice/held/names.tsv"),
    };
    let mut share = Share::default();
    let columns = ["id", "instrument", "tuning", "shape", "previous", "next", "key", "first"];
    for [id, instrument, tuning, held, previous, next, key, first] in rows(table, columns) {
        let rig = rig(instrument, tuning);
        let chord = |text: &str| (!text.is_empty()).then(|| text.parse().unwrap());
        let context = Context {
            key: (!key.is_empty()).then(|| key.parse().unwrap()),
            previous: chord(previous),
            next: chord(next),
            lowest: rig.lowest_is(),
            ..Context::default()
        };
        let notes = rig.notes(&shape(held)).unwrap();
        let found = readings_limited(&notes, &context, 1);
        let name = found.first().map_or("", |reading| reading.symbol.as_str());
        let right = answers(first).contains(&name);
        if !right && part == Part::Seen {
            println!("{id} {held}: {name}, a player says {first}");
        }
        share.add(usize::from(right), 1);
    }
    share
}

#[test]
fn the_name_that_a_player_gives_leads() {
    first_names(Part::Seen).at_least(960, "names in context", Part::Seen);
    first_names(Part::Held).at_least(940, "names in context", Part::Held);
}
