//! What tells chord grids of one name apart.

use crate::instrument::neck::{Fret, Shape, StringNumber};

use super::grid::ChordGrid;

/// The last fret of the open position. Common practice, no published source.
const LAST_OF_OPEN_POSITION: u8 = 4;

/// Says of grids that share a name what tells them apart: the position of each or that it is a short form; where two
/// are alike in that, the strings they use as well; where they are alike in that too, their frets.
///
/// Two grids of one name get the same words only where they have the same shape.
pub fn tell_apart(grids: &mut [ChordGrid]) {
    let names: Vec<String> = grids.iter().map(|grid| grid.name.trim().to_owned()).collect();
    let shapes: Vec<Shape> = grids.iter().map(|grid| grid.shape.clone()).collect();
    let of_name = |name: &str| -> Vec<usize> {
        let alike = names.iter().enumerate().filter(|(_, other)| *other == name);
        alike.map(|(place, _)| place).collect()
    };
    for (place, name) in names.iter().enumerate() {
        let group = of_name(name);
        let Some(at) = group.iter().position(|other| *other == place) else { continue };
        if name.is_empty() || group.len() < 2 {
            continue;
        }
        let shapes: Vec<&Shape> = group.iter().filter_map(|place| shapes.get(*place)).collect();
        if let (Some(grid), Some(form)) = (grids.get_mut(place), forms(&shapes).into_iter().nth(at)) {
            grid.form = form;
        }
    }
}

/// Returns what tells each of these shapes of one name from the others.
fn forms(shapes: &[&Shape]) -> Vec<String> {
    let mut forms: Vec<String> = shapes.iter().map(|shape| brief(shape, shapes)).collect();
    for longer in [with_strings as fn(&Shape) -> String, ToString::to_string] {
        let ambiguous: Vec<bool> =
            forms.iter().zip(shapes).map(|(form, shape)| is_taken(form, shape, &forms, shapes)).collect();
        for ((form, shape), _) in forms.iter_mut().zip(shapes).zip(ambiguous).filter(|(_, ambiguous)| *ambiguous) {
            *form = longer(shape);
        }
    }
    forms
}

/// Returns whether another shape than `shape` has the words `form`.
fn is_taken(form: &str, shape: &Shape, forms: &[String], shapes: &[&Shape]) -> bool {
    forms.iter().zip(shapes).any(|(other, known)| other == form && *known != shape)
}

/// Returns the position of `shape`, or that it is the short form of another one there; nothing where neither tells it
/// from the others.
fn brief(shape: &Shape, all: &[&Shape]) -> String {
    let (position, strings) = (NeckPosition::of(shape), played(shape).len());
    let here = || all.iter().filter(|other| NeckPosition::of(other) == position).map(|other| played(other).len());
    let elsewhere = all.iter().any(|other| NeckPosition::of(other) != position);
    if here().any(|more| more > strings) {
        "short form".to_owned()
    } else if elsewhere {
        position.words()
    } else {
        String::new()
    }
}

/// Returns the position of a shape and the strings it uses: `fret 5, strings 4 to 1`.
fn with_strings(shape: &Shape) -> String {
    let played: Vec<u8> = played(shape).into_iter().map(StringNumber::number).collect();
    let in_a_row = played.windows(2).all(|pair| matches!(pair, [one, next] if *one == *next + 1));
    let strings = match played.as_slice() {
        [] => "no strings".to_owned(),
        [only] => format!("string {only}"),
        [first, .., last] if in_a_row => format!("strings {first} to {last}"),
        [before @ .., last] => {
            let before: Vec<String> = before.iter().map(u8::to_string).collect();
            format!("strings {} and {last}", before.join(", "))
        }
    };
    format!("{}, {strings}", NeckPosition::of(shape).words())
}

/// Where on the neck a shape is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NeckPosition {
    /// Near the nut, with open strings.
    Open,
    /// From this fret up, whether or not open strings ring along.
    From(Fret),
}

impl NeckPosition {
    fn of(shape: &Shape) -> Self {
        let frets = || shape.strings().iter().flatten().copied();
        let stopped = || frets().filter(|fret| *fret != Fret::OPEN);
        let near = stopped().all(|fret| fret.number() <= LAST_OF_OPEN_POSITION);
        match stopped().min() {
            Some(lowest) if !near || !frets().any(|fret| fret == Fret::OPEN) => Self::From(lowest),
            Some(_) | None => Self::Open,
        }
    }

    fn words(self) -> String {
        match self {
            Self::Open => "open".to_owned(),
            Self::From(fret) => format!("fret {fret}"),
        }
    }
}

/// Returns the strings that a shape plays, the highest number first.
fn played(shape: &Shape) -> Vec<StringNumber> {
    let count = shape.strings().len();
    let strings = shape.strings().iter().enumerate().filter(|(_, fret)| fret.is_some());
    strings.filter_map(|(index, _)| StringNumber::at(index, count)).collect()
}

#[cfg(test)]
mod tests {
    use proptest::collection::vec;
    use proptest::option::weighted;
    use proptest::prelude::*;

    use super::*;

    fn named(shape: Shape) -> ChordGrid {
        ChordGrid { name: "D".to_owned(), shape, ..ChordGrid::default() }
    }

    #[track_caller]
    fn check_forms(shapes: &[&str], forms: &[&str]) {
        let mut grids: Vec<ChordGrid> = shapes.iter().map(|shape| named(shape.parse().unwrap())).collect();
        tell_apart(&mut grids);
        assert_eq!(grids.iter().map(|grid| grid.form.as_str()).collect::<Vec<_>>(), forms, "{shapes:?}");
    }

    #[test]
    fn open_strings_that_ring_along_leave_a_shape_in_its_position() {
        check_forms(&["0 0 0 2 3 2", "0 0 0 7 7 5"], &["open", "fret 5"]);
        check_forms(&["x 0 4 2 3 2", "x 0 7 7 7 5", "x 5 4 2 3 2"], &["open", "fret 5", "fret 2"]);
    }

    #[test]
    fn shapes_of_one_position_are_told_apart_by_their_strings_or_frets() {
        check_forms(&["x 5 7 7 7 5", "x x 7 7 7 5"], &["", "short form"]);
        check_forms(
            &["x 5 7 7 7 5", "x x 7 7 7 5", "x 5 7 7 x x"],
            &["", "fret 5, strings 4 to 1", "fret 5, strings 5 to 3"],
        );
        check_forms(&["x 3 2 0 1 0", "x 3 2 0 1 3"], &["x 3 2 0 1 0", "x 3 2 0 1 3"]);
        check_forms(&["x 5 7 7 7 5", "x 5 7 7 7 5"], &["", ""]);
    }

    fn shape(strings: usize) -> impl Strategy<Value = Shape> {
        let fret = prop_oneof![2 => Just(0_u8), 5 => 0_u8..13];
        vec(weighted(0.8, fret), strings).prop_map(|frets| {
            Shape::new(frets.into_iter().map(|fret| fret.and_then(Fret::new)).collect()).unwrap_or_default()
        })
    }

    proptest! {
        #[test]
        fn two_shapes_of_one_name_never_have_the_same_words(
            shapes in (3_usize..8).prop_flat_map(|strings| vec(shape(strings), 2..7)),
        ) {
            let mut grids: Vec<ChordGrid> = shapes.into_iter().map(named).collect();
            tell_apart(&mut grids);
            for (place, grid) in grids.iter().enumerate() {
                for other in grids.iter().skip(place + 1).filter(|other| other.shape != grid.shape) {
                    prop_assert_ne!(&grid.form, &other.form, "{} and {}", grid.shape, other.shape);
                }
            }
        }
    }
}
