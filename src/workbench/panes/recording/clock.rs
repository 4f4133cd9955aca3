//! The clock of the video that is being recorded. It reads no system clock: its owner tells it the time.

use std::time::Duration;

use crate::lesson::time::VideoTime;

/// A clock that runs or is held. Invariant: the time it is told never goes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct VideoClock {
    /// The time that it showed when it was last set or held.
    held: VideoTime,
    /// The time at which it was started; `None` while it is held.
    since: Option<Duration>,
    /// The time that it was told last, counted from an arbitrary moment.
    now: Duration,
}

impl VideoClock {
    /// Tells the clock the time, counted from an arbitrary but fixed moment.
    pub fn tell(&mut self, now: Duration) {
        self.now = self.now.max(now);
    }

    /// Returns the time that the clock shows.
    pub fn time(&self) -> VideoTime {
        let run = self.since.map_or(Duration::ZERO, |since| self.now.saturating_sub(since));
        VideoTime(self.held.0.saturating_add(u32::try_from(run.as_millis()).unwrap_or(u32::MAX)))
    }

    /// Returns whether the clock runs.
    pub const fn is_running(&self) -> bool {
        self.since.is_some()
    }

    /// Lets the clock run on from the time it shows.
    pub fn run(&mut self) {
        self.since.get_or_insert(self.now);
    }

    /// Holds the clock at the time it shows.
    pub fn hold(&mut self) {
        self.held = self.time();
        self.since = None;
    }

    /// Sets the clock; whether it runs does not change.
    pub fn set(&mut self, time: VideoTime) {
        self.held = time;
        self.since = self.since.map(|_| self.now);
    }

    /// Returns the time until the clock shows the next whole second; `None` while it is held.
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
