//! What was lost is kept as soon as it can be, whole, and only then that is said.

use std::io::ErrorKind;

use super::at_the_keys::AtTheKeys;
use super::power::{PowerCut, Unsynced};
use super::weather::{Begins, Fault};
use super::{Beginning, house};

const FULL: Fault = Fault { at: 0, calls: usize::MAX, begins: Begins::Whole, kind: ErrorKind::StorageFull };

fn has_no_journal(seat: &AtTheKeys) -> bool {
    seat.screen().lines().next().is_some_and(|head| head.trim_end().ends_with("NO JOURNAL"))
}

fn says_it_works(seat: &AtTheKeys) -> bool {
    seat.state().said.messages.iter().any(|notice| notice.text.contains("the journal works again"))
}

#[test]
fn a_journal_that_stopped_holds_all_changes_again_three_seconds_after_there_is_room() {
    let house = house(Beginning::Saved);
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Down c");
    house.weather.begin(Some(FULL));
    seat.strike("T Home Enter Home \"Re \" Enter");
    assert!(has_no_journal(&seat), "{}", seat.screen());
    seat.wait(3_100);
    seat.strike("T Home l \"+15\" Enter");
    assert!(has_no_journal(&seat) && !says_it_works(&seat), "{}", seat.screen());
    house.weather.begin(None);
    seat.wait(3_100);
    assert!(!has_no_journal(&seat) && says_it_works(&seat), "{}", seat.screen());
    let all = seat.lesson().cloned();
    seat.kill();
    assert_eq!(AtTheKeys::start(&house).unwrap().lesson().cloned(), all);
}

#[test]
fn a_large_draft_is_kept_when_the_keys_pause() {
    let house = house(Beginning::Saved);
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Down P");
    seat.paste("e|--3--5--|\nB|--1--1--|\nG|--0--0--|\n\n".repeat(600));
    seat.strike("\"Long\"");
    assert!(seat.state().draft.late().is_some());
    seat.wait(400);
    assert_eq!(seat.state().draft.late(), None);
    seat.kill();
    let again = AtTheKeys::start(&house).unwrap();
    assert!(again.screen().contains("Long"), "{}", again.screen());
}

/// The journal goes to the program's own folder where a name leaves no room for it beside the lesson; so does the draft.
#[test]
fn words_are_kept_where_the_journal_goes_that_finds_no_place_beside_the_lesson() {
    let house = house(Beginning::LongName);
    let mut seat = AtTheKeys::start(&house).unwrap();
    seat.strike("T Down c a \"half a wo\"");
    assert!(!has_no_journal(&seat), "{}", seat.screen());
    let all = seat.lesson().cloned();
    seat.kill();
    let again = AtTheKeys::start(&house).unwrap();
    assert_eq!(again.lesson().cloned(), all);
    assert!(again.screen().contains("half a wo"), "{}", again.screen());
}

/// Behind a pause of the keys the journal is brought to the disk; what comes after it may be there or not.
#[test]
fn what_was_shown_five_seconds_before_the_power_fails_is_there() {
    for names in Unsynced::ALL {
        for contents in Unsynced::ALL {
            let house = house(Beginning::Saved);
            house.weather.begin(None);
            let mut seat = AtTheKeys::start(&house).unwrap();
            seat.strike("T Down c");
            let shown = seat.lesson().cloned();
            seat.wait(5_000);
            seat.strike("T Home Enter Home \"Re \" Enter");
            let late = seat.lesson().cloned();
            seat.kill();
            house.weather.cut_power(PowerCut { names: *names, contents: *contents });
            let there = AtTheKeys::start(&house).unwrap().lesson().cloned();
            assert!(there == shown || there == late, "{names:?}, {contents:?}");
        }
    }
}
