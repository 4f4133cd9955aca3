//! What a teacher writes on the grid. Common practice, no published source; where two fingerings are usual, both stand.

use fingerpost::instrument::hand::Hand;

use super::{fingers_of, rig};

/// Name, shape, fingers (`.` where there is none).
const GUITAR: &[(&str, &str, &str)] = &[
    ("C", "x 3 2 0 1 0", ". 3 2 . 1 ."),
    ("C/E", "0 3 2 0 1 0", ". 3 2 . 1 ."),
    ("C/G", "3 3 2 0 1 0", "3 4 2 . 1 ."),
    ("D", "x x 0 2 3 2", ". . . 1 3 2"),
    ("E", "0 2 2 1 0 0", ". 2 3 1 . ."),
    ("G", "3 2 0 0 0 3", "2 1 . . . 3 ; 3 2 . . . 4"),
    ("G", "3 2 0 0 3 3", "2 1 . . 3 4"),
    ("A", "x 0 2 2 2 0", ". . 1 2 3 . ; . . 2 3 4 ."),
    ("Am", "x 0 2 2 1 0", ". . 2 3 1 ."),
    ("Dm", "x x 0 2 3 1", ". . . 2 3 1"),
    ("Em", "0 2 2 0 0 0", ". 2 3 . . . ; . 1 2 . . ."),
    ("F", "x x 3 2 1 1", ". . 3 2 1 1"),
    ("A7", "x 0 2 0 2 0", ". . 2 . 3 . ; . . 1 . 2 ."),
    ("B7", "x 2 1 2 0 2", ". 2 1 3 . 4"),
    ("C7", "x 3 2 3 1 0", ". 3 2 4 1 ."),
    ("D7", "x x 0 2 1 2", ". . . 2 1 3"),
    ("E7", "0 2 0 1 0 0", ". 2 . 1 . ."),
    ("G7", "3 2 0 0 0 1", "3 2 . . . 1"),
    ("Am7", "x 0 2 0 1 0", ". . 2 . 1 ."),
    ("Dm7", "x x 0 2 1 1", ". . . 2 1 1"),
    ("Em7", "0 2 0 0 0 0", ". 2 . . . . ; . 1 . . . ."),
    ("Em7", "0 2 2 0 3 0", ". 2 3 . 4 ."),
    ("Amaj7", "x 0 2 1 2 0", ". . 2 1 3 ."),
    ("Cmaj7", "x 3 2 0 0 0", ". 3 2 . . ."),
    ("Dmaj7", "x x 0 2 2 2", ". . . 1 1 1 ; . . . 1 2 3"),
    ("Fmaj7", "x x 3 2 1 0", ". . 3 2 1 ."),
    ("Asus2", "x 0 2 2 0 0", ". . 1 2 . . ; . . 2 3 . ."),
    ("Asus4", "x 0 2 2 3 0", ". . 1 2 3 . ; . . 1 2 4 ."),
    ("Dsus2", "x x 0 2 3 0", ". . . 1 3 . ; . . . 1 2 . ; . . . 2 3 ."),
    ("Dsus4", "x x 0 2 3 3", ". . . 1 2 3 ; . . . 1 3 4"),
    ("Esus4", "0 2 2 2 0 0", ". 2 3 4 . ."),
    ("Cadd9", "x 3 2 0 3 3", ". 2 1 . 3 4"),
    ("Caug", "x 3 2 1 1 0", ". 3 2 1 1 . ; . 4 3 1 2 ."),
    ("Ddim7", "x x 0 1 0 1", ". . . 1 . 2 ; . . . 2 . 3"),
    ("Dm7b5", "x x 0 1 1 1", ". . . 1 1 1 ; . . . 1 2 3"),
    ("F", "1 3 3 2 1 1", "1 3 4 2 1 1"),
    ("Fm", "1 3 3 1 1 1", "1 3 4 1 1 1"),
    ("F7", "1 3 1 2 1 1", "1 3 1 2 1 1"),
    ("Fm7", "1 3 1 1 1 1", "1 3 1 1 1 1"),
    ("Fmaj7", "1 3 2 2 1 1", "1 4 2 3 1 1"),
    ("Am", "5 7 7 5 5 5", "1 3 4 1 1 1"),
    ("B7", "7 9 7 8 7 7", "1 3 1 2 1 1"),
    ("C", "8 10 10 9 8 8", "1 3 4 2 1 1"),
    ("Bb", "x 1 3 3 3 1", ". 1 2 3 4 1 ; . 1 3 3 3 1"),
    ("Bbm", "x 1 3 3 2 1", ". 1 3 4 2 1"),
    ("Bb7", "x 1 3 1 3 1", ". 1 3 1 4 1"),
    ("Bbm7", "x 1 3 1 2 1", ". 1 3 1 2 1"),
    ("Bbmaj7", "x 1 3 2 3 1", ". 1 3 2 4 1"),
    ("Bm", "x 2 4 4 3 2", ". 1 3 4 2 1"),
    ("D", "x 5 7 7 7 5", ". 1 2 3 4 1 ; . 1 3 3 3 1"),
    ("D7", "x 5 7 5 7 5", ". 1 3 1 4 1"),
    ("Em7", "x 7 9 7 8 7", ". 1 3 1 2 1"),
    ("Gm7", "3 x 3 3 3 x", "2 . 3 3 3 . ; 1 . 1 1 1 ."),
    ("Gmaj7", "3 x 4 4 3 x", "1 . 3 4 2 ."),
    ("G7", "3 x 3 4 3 x", "1 . 1 2 1 . ; 1 . 2 4 3 ."),
    ("Gm7b5", "3 x 3 3 2 x", "2 . 3 4 1 ."),
    ("G6", "3 x 2 4 3 x", "2 . 1 4 3 ."),
    ("Gm6", "3 x 2 3 3 x", "2 . 1 3 4 . ; 2 . 1 3 3 ."),
    ("Gdim7", "3 x 2 3 2 x", "2 . 1 3 1 ."),
    ("G13", "3 x 3 4 5 x", "1 . 2 3 4 ."),
    ("C9", "x 3 2 3 3 3", ". 2 1 3 3 3"),
    ("C9", "x 3 2 3 3 x", ". 2 1 3 4 . ; . 2 1 3 3 ."),
    ("C7b9", "x 3 2 3 2 x", ". 2 1 3 1 ."),
    ("C7#9", "x 3 2 3 4 x", ". 2 1 3 4 ."),
    ("E7#9", "0 7 6 7 8 x", ". 2 1 3 4 ."),
    ("Cmaj9", "x 3 2 4 3 x", ". 2 1 4 3 ."),
    ("Cmaj7", "x 3 5 4 5 x", ". 1 3 2 4 ."),
    ("Cm7", "x 3 5 3 4 x", ". 1 3 1 2 ."),
    ("Cm7b5", "x 3 4 3 4 x", ". 1 3 2 4 ."),
    ("Ebdim7", "x x 1 2 1 2", ". . 1 3 2 4"),
    ("G7 shell", "3 x 3 4 x x", "1 . 2 3 . . ; 2 . 3 4 . ."),
    ("C7 shell", "x 3 2 3 x x", ". 2 1 3 . ."),
    ("C5", "x 3 5 5 x x", ". 1 3 4 . . ; . 1 3 3 . ."),
    ("G5", "3 5 5 x x x", "1 3 4 . . . ; 1 3 3 . . ."),
];

const UKULELE: &[(&str, &str, &str)] = &[
    ("C", "0 0 0 3", ". . . 3"),
    ("Cm", "0 3 3 3", ". 1 1 1 ; . 1 2 3"),
    ("C7", "0 0 0 1", ". . . 1"),
    ("Cmaj7", "0 0 0 2", ". . . 2"),
    ("D", "2 2 2 0", "1 2 3 . ; 2 3 4 ."),
    ("Dm", "2 2 1 0", "2 3 1 ."),
    ("D7", "2 2 2 3", "1 1 1 2"),
    ("Dm7", "2 2 1 3", "2 3 1 4"),
    ("Eb", "0 3 3 1", ". 2 3 1 ; . 3 4 1"),
    ("E", "4 4 4 2", "2 3 4 1 ; 3 3 3 1"),
    ("Em", "0 4 3 2", ". 3 2 1"),
    ("E7", "1 2 0 2", "1 2 . 3"),
    ("Em7", "0 2 0 2", ". 1 . 2 ; . 2 . 3"),
    ("F", "2 0 1 0", "2 . 1 ."),
    ("F7", "2 3 1 3", "2 3 1 4"),
    ("G", "0 2 3 2", ". 1 3 2"),
    ("Gm", "0 2 3 1", ". 2 3 1"),
    ("G7", "0 2 1 2", ". 2 1 3"),
    ("Gmaj7", "0 2 2 2", ". 1 2 3 ; . 1 1 1"),
    ("A", "2 1 0 0", "2 1 . ."),
    ("Am", "2 0 0 0", "2 . . ."),
    ("A7", "0 1 0 0", ". 1 . ."),
    ("Bb", "3 2 1 1", "3 2 1 1"),
    ("Bm", "4 2 2 2", "3 1 1 1"),
    ("B7", "2 3 2 2", "1 2 1 1"),
    ("Edim7", "0 1 0 1", ". 1 . 2"),
];

#[test]
fn well_known_shapes_are_fingered_as_teachers_write_them() {
    let mut wrong = Vec::new();
    for (instrument, table) in [("guitar", GUITAR), ("ukulele", UKULELE)] {
        let rig = rig(instrument, "standard", None);
        for (name, shape, taught) in table {
            let ours = fingers_of(&rig, shape, &Hand::default()).unwrap();
            if !taught.split(" ; ").any(|taught| taught == ours) {
                wrong.push(format!("{name} {shape}: {ours}, taught as {taught}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_capo_changes_no_fingering() {
    // The hand plays the same shape from the capo as from the nut. Low on the neck: further up the frets lie so close
    // that stretches count less.
    let open = rig("guitar", "standard", None);
    for capo in 1..=2 {
        let raised = rig("guitar", "standard", Some(capo));
        for (name, shape, _) in GUITAR {
            let fingers = |rig| fingers_of(rig, shape, &Hand::default()).unwrap();
            assert_eq!(fingers(&raised), fingers(&open), "{name} {shape} with a capo at fret {capo}");
        }
    }
}

#[test]
fn a_thumb_comes_over_the_neck_only_where_fingers_do_not_do() {
    // Five fingers, as no barre leaves string 5 open; a full F is a barre (common practice).
    let guitar = rig("guitar", "standard", None);
    assert_eq!(fingers_of(&guitar, "1 0 3 2 1 3", &Hand::default()).unwrap(), "T . 3 2 1 4");
    assert_eq!(fingers_of(&guitar, "1 3 3 2 1 1", &Hand::default()).unwrap(), "1 3 4 2 1 1");
}
