//! The count row: what a student says aloud.

use crate::lesson::time::{Meter, Ticks};

/// The syllables of a triplet in a beat that falls into two by nature; the first stands for the number.
pub(super) const TRIPLET: [&str; 3] = ["", "la", "li"];

/// How the time of a bar is counted.
struct Beat {
    /// The length of one numbered beat.
    ticks: u64,
    /// What it falls into by nature.
    kind: BeatKind,
}

/// What a beat falls into by nature.
#[derive(Clone, Copy, PartialEq, Eq)]
enum BeatKind {
    /// Two parts, as in 3/4.
    Simple,
    /// Three parts, as in 6/8.
    Compound,
}

/// Returns how `meter` is counted.
fn beat(meter: Meter) -> Beat {
    let kind = if meter.is_compound() { BeatKind::Compound } else { BeatKind::Simple };
    Beat { ticks: meter.beat().0, kind }
}

/// Returns where something is counted in a bar, and what: `1 & 2 &`, `1 e & a`, a triplet `1 la li`, in a meter of
/// threes `1 & a`.
///
/// The finest division used inside a beat decides how that beat is counted. `late` is how much of
/// the meter has gone before the bar begins (a pickup); `starts` are the moments, counted from the
/// start of the bar, at which events begin, in order.
pub(super) fn row(meter: Meter, late: Ticks, length: Ticks, starts: &[Ticks]) -> Vec<(Ticks, String)> {
    let Beat { ticks: beat, kind } = beat(meter);
    let end = late.0.saturating_add(length.0);
    let mut counts = Vec::new();
    let mut rest = starts;
    for number in late.0 / beat..end.div_ceil(beat) {
        let (from, to) = (number * beat, (number + 1) * beat);
        let here = rest.iter().take_while(|start| start.0 + late.0 < to).count();
        let (inside, after) = rest.split_at(here);
        rest = after;
        let words = division(inside.iter().map(|start| (start.0 + late.0).saturating_sub(from)), beat, kind);
        let step = beat / words.len() as u64;
        for (place, word) in (0..).zip(words) {
            let at = from + place * step;
            if at >= late.0 && at < end {
                let text = if place == 0 { (number + 1).to_string() } else { (*word).to_owned() };
                counts.push((Ticks(at - late.0), text));
            }
        }
    }
    counts
}

/// Returns the syllables of one beat in which events start at `offsets`; the first stands for the
/// number.
fn division(offsets: impl Iterator<Item = u64>, beat: u64, kind: BeatKind) -> &'static [&'static str] {
    const WHOLE: &[&str] = &[""];
    const HALVES: &[&str] = &["", "&"];
    const THIRDS: &[&str] = &["", "&", "a"];
    const TRIPLET: &[&str] = &self::TRIPLET;
    const QUARTERS: &[&str] = &["", "e", "&", "a"];
    let inner: Vec<u64> = offsets.filter(|offset| *offset > 0).collect();
    let fits =
        |parts: u64| beat.is_multiple_of(parts) && inner.iter().all(|offset| offset.is_multiple_of(beat / parts));
    let some =
        |parts: u64| beat.is_multiple_of(parts) && inner.iter().any(|offset| offset.is_multiple_of(beat / parts));
    match () {
        () if inner.is_empty() => WHOLE,
        () if kind == BeatKind::Compound => THIRDS,
        () if fits(2) => HALVES,
        () if fits(3) => TRIPLET,
        () if some(4) && !some(3) => QUARTERS,
        () if some(3) => TRIPLET,
        () if fits(8) => QUARTERS,
        () => WHOLE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the count of a bar in which something starts at these parts of a whole note.
    fn counted(meter: &str, late: u64, starts: &[(u64, u64)]) -> String {
        let meter: Meter = meter.parse().unwrap();
        let starts: Vec<Ticks> = starts.iter().map(|(part, of)| Ticks(Ticks::WHOLE.0 * part / of)).collect();
        let late = Ticks(meter.ticks().0 * late / 4);
        let row = row(meter, late, Ticks(meter.ticks().0 - late.0), &starts);
        row.into_iter().map(|(_, word)| word).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_finest_division_inside_a_beat_decides() {
        // Common practice, no published source.
        assert_eq!(counted("4/4", 0, &[(0, 1)]), "1 2 3 4");
        assert_eq!(counted("4/4", 0, &[(0, 1), (1, 8), (1, 2)]), "1 & 2 3 4");
        assert_eq!(counted("4/4", 0, &[(0, 1), (3, 16), (1, 4), (5, 16)]), "1 e & a 2 e & a 3 4");
        assert_eq!(counted("2/4", 0, &[(0, 1), (1, 12), (2, 12), (3, 8)]), "1 la li 2 &");
        assert_eq!(counted("2/2", 0, &[(0, 1), (1, 4)]), "1 & 2");
    }

    #[test]
    fn eighths_come_in_threes_only_where_the_meter_says_so() {
        assert_eq!(counted("6/8", 0, &[(0, 1), (1, 8), (3, 8)]), "1 & a 2");
        assert_eq!(counted("12/8", 0, &[(0, 1)]), "1 2 3 4");
        assert_eq!(counted("3/8", 0, &[(0, 1), (1, 8)]), "1 2 3");
        assert_eq!(counted("7/8", 0, &[(0, 1), (3, 16)]), "1 2 & 3 4 5 6 7");
    }

    #[test]
    fn a_pickup_is_counted_from_the_end_of_the_bar() {
        assert_eq!(counted("4/4", 3, &[(0, 1), (1, 8)]), "4 &");
        assert_eq!(counted("4/4", 2, &[(0, 1), (1, 16)]), "3 e & a 4");
    }
}
