//! The costs of a placement, read once from `assets/placement.ron`.

use std::sync::OnceLock;

use serde::Deserialize;

/// The costs of a placement. Each field is explained where its value stands, in `assets/placement.ron`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(missing_docs, reason = "the file that holds the values explains each of them")]
pub struct Weights {
    pub press: f64,
    pub height: f64,
    pub height_of_chord: f64,
    pub past_twelfth: f64,
    pub open_away: f64,
    pub open_away_from: u8,
    pub open_away_most: f64,
    pub misfit: f64,
    pub crowded: f64,
    pub span: f64,
    pub comfortable: [f64; 4],
    pub furthest: [f64; 4],
    pub pivot_from: f64,
    pub stretch: f64,
    pub stretch_grows: f64,
    pub reach_back: f64,
    pub barre_index: f64,
    pub barre_alone: f64,
    pub barre_other: f64,
    pub barre_string: f64,
    pub barre_other_string: f64,
    pub barre_other_most: u8,
    pub inner_mute: f64,
    pub further_mute: f64,
    pub barre_damped: f64,
    pub open_mute: f64,
    pub open_fifth: f64,
    pub open_fifth_bare: f64,
    /// A moment of a shuffle that does not lie on neighbouring strings.
    pub off_neighbours: f64,
    /// How far apart index and little finger hold a shuffle, in millimetres.
    pub shuffle_reach: f64,
    /// A note of broken octaves that is played without their form.
    pub loose_octave: f64,
    pub crossed: f64,
    pub shift: f64,
    pub shift_mm: f64,
    pub shift_most: f64,
    pub guided: f64,
    pub framed: f64,
    pub other_strings: f64,
    pub other_strings_here: f64,
    pub other_shape: f64,
    pub open_among: f64,
    pub unhurried_ms: f64,
    pub hurried_most: f64,
    pub shift_least: f64,
    pub share_of_stopped: f64,
    pub next_string: f64,
    pub skipped_string: f64,
    pub roll: f64,
    pub hop: f64,
    pub regrip: f64,
    pub moved_again: f64,
    pub moved_back: f64,
    pub phrase_ms: f64,
    pub open_in_run: f64,
    pub run_ms: f64,
    pub low_in_run: f64,
    pub low_below: u8,
    pub out_of_form: f64,
    pub fast_ms: f64,
    pub take_over: f64,
    pub let_go: f64,
    pub broken_join: f64,
    pub held_share: f64,
    pub loose: f64,
    pub loose_named: f64,
    pub other_grip: f64,
    pub usual_frame: HandFrame,
    pub fifths_frame: HandFrame,
    pub fifths_scale_below: f64,
    pub fifths_from: u8,
}

/// Which frets each finger has for its own.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandFrame {
    /// The fret that each of the fingers 1 to 4 has for its own, counted from that of the index finger.
    pub frets: [f64; 4],
    /// How many frets a finger may be off its own without a cost.
    pub slack: f64,
}

/// A cost in whole thousandths.
pub(super) type Cost = u32;

/// Returns the weights that are compiled in.
pub fn weights() -> &'static Weights {
    static TABLE: OnceLock<Weights> = OnceLock::new();
    TABLE.get_or_init(|| {
        ron::from_str(include_str!("../../../assets/placement.ron")).expect("a test reads the file that is compiled in")
    })
}

/// Returns `cost` in whole thousandths. A negative one and one that is no number count as 0.
pub(super) fn thousandths(cost: f64) -> Cost {
    // A cast saturates, and turns NaN into 0.
    (cost * 1000.0).round() as Cost
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_holds_sensible_weights() {
        let weights = weights();
        assert!(weights.press > 0.0 && weights.shift > 0.0 && weights.unhurried_ms > 0.0);
        for finger in 0..4 {
            assert!(weights.comfortable[finger] <= weights.furthest[finger], "finger {}", finger + 1);
        }
        assert!(weights.comfortable.is_sorted() && weights.furthest.is_sorted());
        assert!(weights.broken_join > weights.let_go && weights.let_go > weights.shift);
    }

    #[test]
    fn costs_are_whole_thousandths() {
        assert_eq!([thousandths(0.0), thousandths(0.0354), thousandths(2.0)], [0, 35, 2000]);
        assert_eq!([thousandths(-1.0), thousandths(f64::NAN)], [0, 0]);
    }
}
