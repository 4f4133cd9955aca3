//! The clock of the video that is being recorded. It is told the time and asks nobody for it.

use std::time::Duration;

use crate::lesson::time::VideoTime;

/// A clock that runs or is held. Invariant: what it was told last never goes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct VideoClock {
    /// What it showed when it was set or held last.
    held: VideoTime,
    /// When it was started, where it runs.
    since: Option<Duration>,
    /// The time it was told last, counted from whenever the program likes.
    now: Duration,
}

impl VideoClock {
    /// Tells it the time, counted from any moment that stays the same.
    pub fn tell(&mut self, now: Duration) {
        self.now = self.now.max(now);
    }

    /// Returns what it shows.
    pub fn time(&self) -> VideoTime {
        let run = self.since.map_or(Duration::ZERO, |since| self.now.saturating_sub(since));
        VideoTime(self.held.0.saturating_add(u32::try_from(run.as_millis()).unwrap_or(u32::MAX)))
    }

    /// Returns whether it runs.
    pub const fn is_running(&self) -> bool {
        self.since.is_some()
    }

    /// Lets it run on.
    pub fn run(&mut self) {
        self.since.get_or_insert(self.now);
    }

    /// Holds it.
    pub fn hold(&mut self) {
        self.held = self.time();
        self.since = None;
    }

    /// Sets it; it runs or stays held as before.
    pub fn set(&mut self, time: VideoTime) {
        self.held = time;
        self.since = self.since.map(|_| self.now);
    }

    /// Returns how long it takes until the next whole second is shown; `None` while it is held.
    pub fn next_second(&self) -> Option<Duration> {
        self.since.map(|_| Duration::from_millis(u64::from(1000 - self.time().0 % 1000)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(clock: &mut VideoClock, milliseconds: u64) -> u32 {
        clock.tell(Duration::from_millis(milliseconds));
        clock.time().0
    }

    #[test]
    fn it_shows_only_the_time_in_which_it_ran() {
        let mut clock = VideoClock::default();
        assert_eq!(told(&mut clock, 5_000), 0);
        clock.run();
        assert_eq!(told(&mut clock, 6_250), 1_250);
        clock.hold();
        assert_eq!(told(&mut clock, 9_000), 1_250);
        clock.run();
        clock.run();
        assert_eq!(told(&mut clock, 9_500), 1_750);
    }

    #[test]
    fn set_while_it_runs_it_runs_on_from_there() {
        let mut clock = VideoClock::default();
        clock.run();
        told(&mut clock, 700);
        clock.set(VideoTime(60_000));
        assert_eq!(told(&mut clock, 800), 60_100);
    }

    #[test]
    fn a_time_that_goes_back_changes_nothing() {
        let mut clock = VideoClock::default();
        clock.run();
        told(&mut clock, 2_000);
        assert_eq!(told(&mut clock, 1_000), 2_000);
        assert_eq!(told(&mut clock, u64::MAX), u32::MAX, "and no time is too late");
    }

    #[test]
    fn it_asks_to_be_told_at_the_next_whole_second_and_only_while_it_runs() {
        let mut clock = VideoClock::default();
        assert_eq!(clock.next_second(), None);
        clock.run();
        assert_eq!(clock.next_second(), Some(Duration::from_millis(1000)));
        told(&mut clock, 1_250);
        assert_eq!(clock.next_second(), Some(Duration::from_millis(750)));
        clock.hold();
        assert_eq!(clock.next_second(), None);
    }
}
