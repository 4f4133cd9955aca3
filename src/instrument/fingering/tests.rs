//! The fingering against every assignment of fingers there is, priced one by one from the words of the table.

use proptest::prelude::*;

use super::*;
use crate::instrument::catalogue::setup_from_text;
use crate::instrument::hand::HandSize;
use crate::instrument::tuning::Capo;

fn neck(instrument: &str, capo: u8) -> Neck {
    let (instrument, tuning) = setup_from_text(Some(instrument), None).unwrap();
    let capo = Fret::new(capo).filter(|fret| *fret != Fret::OPEN).map(|fret| Capo { fret, strings: Vec::new() });
    Neck::of(&Rig::new(instrument, tuning, capo).unwrap())
}

/// One assignment: for each string of `held` no finger (0), fingers 1 to 4, or the thumb.
struct Assignment<'a> {
    held: &'a [i8],
    fingers: &'a [u8],
    neck: &'a Neck,
    hand: &'a Hand,
}

impl Assignment<'_> {
    /// Returns the strings that `finger` holds.
    fn strings(&self, finger: u8) -> Vec<usize> {
        (0..self.fingers.len()).filter(|string| self.fingers[*string] == finger).collect()
    }

    /// Returns whether one of the four fingers holds `string`.
    fn is_fingered(&self, string: usize) -> bool {
        (1..=4).contains(&self.fingers[string])
    }

    /// Returns the wire that `finger` stands at.
    fn wire(&self, finger: u8) -> Option<i8> {
        self.strings(finger).first().map(|string| self.held[*string])
    }

    fn apart(&self, one: i8, other: i8) -> f32 {
        (self.neck.at(one) - self.neck.at(other)).abs()
    }

    /// Returns whether the hand can hold it: the definition in words, pair by pair.
    fn is_possible(&self) -> bool {
        for (string, wire) in self.held.iter().enumerate() {
            if (*wire > OPEN) != (self.fingers[string] != 0) || self.fingers[string] == THUMB && string != 0 {
                return false;
            }
            for other in 0..string {
                if !self.is_fingered(other) || !self.is_fingered(string) {
                    continue;
                }
                let (low, high) =
                    (self.fingers[other].min(self.fingers[string]), self.fingers[other].max(self.fingers[string]));
                let in_order = match self.held[other].cmp(wire) {
                    std::cmp::Ordering::Equal => self.fingers[other] <= self.fingers[string],
                    std::cmp::Ordering::Less => self.fingers[other] < self.fingers[string],
                    std::cmp::Ordering::Greater => self.fingers[other] > self.fingers[string],
                };
                let far = low != high
                    && self.apart(self.held[other], *wire)
                        > self.hand.pair(usize::from(low - 1), usize::from(high - 1));
                if !in_order || far {
                    return false;
                }
            }
        }
        let thumb_reaches = self.wire(THUMB).is_none_or(|thumb| {
            let lowest = (1..=4).find_map(|finger| self.wire(finger));
            lowest.is_none_or(|lowest| self.apart(thumb, lowest) <= self.hand.thumb())
        });
        // A small hand has no thumb over the neck while all four fingers are down.
        let all_five = self.wire(THUMB).is_some() && (1..=4).all(|finger| self.wire(finger).is_some());
        let has_all_five = !all_five || self.hand.has_thumb_beside_four();
        thumb_reaches && has_all_five && (1..=4).all(|finger| self.barre_is_possible(finger))
    }

    fn under(&self, finger: u8) -> &[i8] {
        let strings = self.strings(finger);
        &self.held[strings[0]..=strings[strings.len() - 1]]
    }

    fn barre_is_possible(&self, finger: u8) -> bool {
        if self.strings(finger).len() < 2 {
            return true;
        }
        let under = self.under(finger);
        let wire = under[0];
        let damped = under.iter().filter(|other| **other == MUTED).count();
        let none_lower = under.iter().all(|other| *other == MUTED || *other >= wire);
        let flat = under.iter().all(|other| *other == wire);
        let longest = [12, 4, 4, 3][usize::from(finger - 1)];
        none_lower && damped <= 1 && (finger == 1 || flat) && under.len() <= longest
    }

    /// Returns what it costs, sentence for sentence as `assets/fingering.ron` explains.
    fn price(&self, costs: &Costs) -> u32 {
        let used: Vec<u8> = (1..=4).filter(|finger| self.wire(*finger).is_some()).collect();
        let mut price: u32 = used.iter().map(|finger| costs.fingers[usize::from(finger - 1)]).sum();
        if let Some(first) = used.first() {
            price += self.first(*first, costs);
        }
        for pair in used.windows(2) {
            let (low, high) = (self.wire(pair[0]).unwrap(), self.wire(pair[1]).unwrap());
            let steps = u32::from(pair[1] - pair[0]);
            let beyond = self.apart(high, low) - self.hand.comfort() * steps as f32;
            price += (beyond.max(0.0) * costs.stretch as f32 / 10.0) as u32;
            price += costs.squeeze * steps.saturating_sub(u32::try_from(high - low).unwrap().max(1));
        }
        price += used.iter().map(|finger| self.barre(*finger, costs)).sum::<u32>();
        price + if self.wire(THUMB).is_some() { costs.thumb } else { 0 }
    }

    fn first(&self, finger: u8, costs: &Costs) -> u32 {
        let fret = self.wire(finger).unwrap() - self.neck.nut;
        if !self.held.contains(&OPEN) || fret > 3 {
            return costs.late_start * u32::from(finger - 1);
        }
        let stopped = (0..self.held.len()).filter(|string| self.is_fingered(*string)).count();
        let second = self.neck.nut + 2;
        let as_in_e_minor = self.held.len() > 4 && self.held[0] == OPEN && self.held[1..3] == [second, second];
        let price = if stopped <= 2 || as_in_e_minor { costs.off_home_few } else { costs.off_home };
        price * u32::from(finger).abs_diff(u32::try_from(fret).unwrap())
    }

    fn barre(&self, finger: u8, costs: &Costs) -> u32 {
        let strings = self.strings(finger);
        let (from, to) = (strings[0], strings[strings.len() - 1]);
        if from == to {
            return 0;
        }
        let wire = self.held[from];
        let mut price = costs.barre_extra * (to - from) as u32;
        price += costs.damped * self.under(finger).iter().filter(|other| **other == MUTED).count() as u32;
        price += [costs.index_barre, costs.middle_barre, costs.ring_barre, costs.little_barre][usize::from(finger - 1)];
        let others: Vec<usize> =
            (0..self.held.len()).filter(|s| self.is_fingered(*s) && self.fingers[*s] != finger).collect();
        let pairs = strings.len() == 2
            && others.iter().any(|other| *other < to)
            && others.iter().all(|other| *other > from && self.held[*other] == self.held[others[0]]);
        if finger == 1 && pairs {
            price += costs.split_pair;
        }
        let beyond = &self.held[to + 1..];
        if beyond.contains(&OPEN) || (finger == 1 && beyond.first() == Some(&wire)) {
            price += costs.open_beside;
        } else if beyond.first().is_some_and(|next| *next > OPEN && *next < wire) {
            price += costs.bent_barre;
        }
        if finger != 1 && self.wire(1) == Some(wire) {
            price += costs.beside_index;
        }
        price + if wire - self.neck.nut <= 2 { costs.first_frets } else { 0 }
    }
}

/// Returns the lowest price over every assignment of `fingers` to the stopped strings; `None` where none is possible.
fn cheapest(held: &[i8], neck: &Neck, hand: &Hand, fingers: std::ops::RangeInclusive<u8>, thumb: bool) -> Option<u32> {
    let stopped: Vec<usize> =
        (0..held.len()).filter(|string| held[*string] > OPEN && !(thumb && *string == 0)).collect();
    let mut best = None;
    let mut assigned = vec![0; held.len()];
    if thumb {
        assigned[0] = THUMB;
    }
    for number in 0..4usize.pow(stopped.len() as u32) {
        for (place, string) in stopped.iter().enumerate() {
            assigned[*string] = fingers.start() + (number / 4usize.pow(place as u32) % 4) as u8;
        }
        let assignment = Assignment { held, fingers: &assigned, neck, hand };
        if assignment.is_possible() {
            let price = assignment.price(costs());
            best = Some(best.map_or(price, |best: u32| best.min(price)));
        }
    }
    best
}

#[track_caller]
fn check(held: &[i8], neck: &Neck, hand: &Hand, thumb: ThumbUse) {
    let mut padded = [MUTED; STRINGS];
    padded[..held.len()].copy_from_slice(held);
    let ours = Gripper::new(neck, hand, costs(), thumb).best(&padded);
    let mut expected = cheapest(held, neck, hand, 1..=4, false);
    if expected.is_none() && thumb == ThumbUse::IfNeeded && held[0] > OPEN && held.len() >= 5 {
        expected = cheapest(held, neck, hand, 1..=4, true);
    }
    assert_eq!(ours.map(|grip| grip.strain), expected, "{held:?}: {ours:?}");
    if let Some(grip) = ours {
        let assignment = Assignment { held, fingers: &grip.fingers[..held.len()], neck, hand };
        assert!(assignment.is_possible(), "{held:?}: {grip:?}");
        assert_eq!(assignment.price(costs()), grip.strain, "{held:?}: {grip:?}");
    }
}

#[test]
fn no_assignment_of_fingers_to_four_strings_is_better() {
    // Every way to hold four strings over the first four frets and beside open strings.
    let (neck, hand) = (neck("ukulele", 0), Hand::default());
    for number in 0..6i32.pow(4) {
        let held: Vec<i8> = (0..4).map(|place| (number / 6i32.pow(place) % 6) as i8 - 1).collect();
        check(&held, &neck, &hand, ThumbUse::IfNeeded);
    }
}

fn any_held(strings: usize) -> impl Strategy<Value = Vec<i8>> {
    let string = prop_oneof![2 => Just(MUTED), 2 => Just(OPEN), 3 => 1..=2i8, 4 => 1..=5i8];
    (0..=12i8, proptest::collection::vec(string, strings))
        .prop_map(|(above, held)| held.into_iter().map(|wire| if wire > OPEN { wire + above } else { wire }).collect())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn no_assignment_of_fingers_to_five_or_six_strings_is_better(
        held in prop_oneof![any_held(5), any_held(6)],
        capo in 0..=2u8,
        size in 0..3usize,
        thumb in any::<bool>(),
    ) {
        let neck = neck(if held.len() == 5 { "5-string bass" } else { "guitar" }, capo);
        let held: Vec<i8> = held.iter().map(|wire| if *wire > OPEN { wire + capo as i8 } else { *wire }).collect();
        let hand = Hand::new(HandSize::ALL[size]);
        check(&held, &neck, &hand, if thumb { ThumbUse::IfNeeded } else { ThumbUse::Never });
    }
}
