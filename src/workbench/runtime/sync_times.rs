//! When the journal is synced to the disk, and when a large draft is kept: once the keys are quiet, and not at every key; and
//! when a journal that has stopped is tried again. None of it is done here.

use std::time::Duration;

/// How long nothing must change before the journal is synced.
pub(super) const PAUSE: Duration = Duration::from_millis(400);
/// The longest time that a change waits while others follow.
pub(super) const LONGEST: Duration = Duration::from_secs(5);

/// How long nothing must change before a large draft is kept.
const DRAFT_PAUSE: Duration = Duration::from_millis(300);
/// The longest time that a change of a large draft waits while others follow.
const DRAFT_LONGEST: Duration = Duration::from_secs(1);

/// Since when there are changes that may not have reached the disk.
#[derive(Debug)]
pub(super) struct QuietKeys {
    pause: Duration,
    longest: Duration,
    waiting: Option<Waiting>,
}

#[derive(Debug, Clone, Copy)]
struct Waiting {
    /// The time when the first of them was seen.
    first: Duration,
    /// The time when the last of them was seen.
    last: Duration,
    /// The number of changes that there had been by then.
    changes: u64,
}

impl QuietKeys {
    /// Returns the waits of the journal.
    pub(super) const fn of_journal() -> Self {
        Self { pause: PAUSE, longest: LONGEST, waiting: None }
    }

    /// Returns the waits of a large draft.
    pub(super) const fn of_draft() -> Self {
        Self { pause: DRAFT_PAUSE, longest: DRAFT_LONGEST, waiting: None }
    }

    /// Returns the time until what has changed should go to the disk: zero where that is now, `None` where nothing has to
    /// go. `unsynced` is the number of changes so far if some may not be on the disk; `now` is any clock that only
    /// runs forward.
    pub(super) fn rest(&mut self, unsynced: Option<u64>, now: Duration) -> Option<Duration> {
        let Some(changes) = unsynced else {
            self.waiting = None;
            return None;
        };
        let waiting = match self.waiting {
            None => Waiting { first: now, last: now, changes },
            Some(waiting) if waiting.changes != changes => Waiting { last: now, changes, ..waiting },
            Some(waiting) => waiting,
        };
        self.waiting = Some(waiting);
        let due = (waiting.last + self.pause).min(waiting.first + self.longest);
        Some(due.saturating_sub(now))
    }
}

/// How long a journal that has stopped waits for the next try.
pub(super) const AGAIN: Duration = Duration::from_secs(3);

/// Whether something waits for another try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tried {
    /// It works, or nobody wants it.
    Settled,
    /// It failed, and is tried again.
    InVain,
}

impl Tried {
    /// Returns `InVain` where something waits for another try.
    pub(super) const fn in_vain_if(waits: bool) -> Self {
        if waits { Self::InVain } else { Self::Settled }
    }
}

/// Since when a journal that has stopped waits for the next try.
#[derive(Debug)]
pub(super) struct NextTry {
    since: Option<Duration>,
}

impl NextTry {
    /// Returns one for which nothing waits.
    pub(super) const fn new() -> Self {
        Self { since: None }
    }

    /// Returns how long to wait until it is tried again: no time where that is now, `None` where it works. `now` is any clock that
    /// only runs forward.
    pub(super) fn rest(&mut self, tried: Tried, now: Duration) -> Option<Duration> {
        if tried == Tried::Settled {
            self.since = None;
            return None;
        }
        let since = *self.since.get_or_insert(now);
        let rest = (since + AGAIN).saturating_sub(now);
        if rest.is_zero() {
            self.since = Some(now);
        }
        Some(rest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ZERO: Duration = Duration::ZERO;

    #[test]
    fn the_disk_is_waited_for_once_the_keys_are_quiet() {
        let mut quiet = QuietKeys::of_journal();
        let at = |millis| Duration::from_secs(100) + Duration::from_millis(millis);
        assert_eq!(quiet.rest(None, at(0)), None);
        assert_eq!(quiet.rest(Some(1), at(0)), Some(PAUSE));
        // A key that changes nothing does not postpone the sync; a key that changes something does.
        assert_eq!(quiet.rest(Some(1), at(100)), Some(PAUSE - Duration::from_millis(100)));
        assert_eq!(quiet.rest(Some(2), at(300)), Some(PAUSE));
        assert_eq!(quiet.rest(Some(2), at(700)), Some(ZERO));
        assert_eq!(quiet.rest(None, at(701)), None);
        assert_eq!(quiet.rest(Some(3), at(9_000)), Some(PAUSE));
    }

    #[test]
    fn a_journal_that_has_stopped_is_tried_every_few_seconds_until_it_works() {
        let mut again = NextTry::new();
        let at = Duration::from_secs;
        assert_eq!(again.rest(Tried::Settled, at(1)), None);
        assert_eq!(again.rest(Tried::InVain, at(10)), Some(AGAIN));
        assert_eq!(again.rest(Tried::InVain, at(12)), Some(AGAIN - at(2)));
        assert_eq!(again.rest(Tried::InVain, at(13)), Some(ZERO));
        assert_eq!(again.rest(Tried::InVain, at(13)), Some(AGAIN));
        assert_eq!(again.rest(Tried::Settled, at(14)), None);
        assert_eq!(again.rest(Tried::InVain, at(15)), Some(AGAIN));
    }

    #[test]
    fn keys_without_end_do_not_put_it_off_for_ever() {
        let mut quiet = QuietKeys::of_journal();
        let keys = (0..1000).map(|key| (key, Duration::from_millis(key * 100)));
        let due = keys.into_iter().find(|(key, now)| quiet.rest(Some(*key), *now) == Some(ZERO));
        assert_eq!(due.map(|(_, now)| now), Some(LONGEST));
    }
}
