//! Times for the eye: rounded to whole seconds, or to tenths where a stroke was stamped.

use crate::lesson::time::VideoTime;

/// A second, in milliseconds.
pub const SECOND: u32 = 1_000;
/// A tenth of a second, in milliseconds.
pub const TENTH: u32 = 100;

/// Returns milliseconds rounded to whole units of so many, half of one upward. What is subtracted on
/// the screen is rounded first, so that it agrees with what stands beside it.
pub const fn rounded(milliseconds: u32, unit: u32) -> u32 {
    milliseconds.saturating_add(unit / 2) / unit * unit
}

/// Returns a time in whole seconds: `4:00` for 3:59.918.
pub fn seconds(milliseconds: u32) -> String {
    VideoTime(rounded(milliseconds, SECOND)).to_string()
}

/// Returns a time in tenths of a second, without them where there are none: `0:03.5` for 0:03.460.
pub fn tenths(milliseconds: u32) -> String {
    VideoTime(milliseconds).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_rounded_and_not_cut() {
        let shown = [0, 49, 50, 3_460, 3_950, 59_960, 239_918, 3_599_499].map(|time| (seconds(time), tenths(time)));
        let expected = [
            ("0:00", "0:00"),
            ("0:00", "0:00"),
            ("0:00", "0:00.1"),
            ("0:03", "0:03.5"),
            ("0:04", "0:04"),
            ("1:00", "1:00"),
            ("4:00", "3:59.9"),
            ("59:59", "59:59.5"),
        ];
        assert_eq!(shown, expected.map(|(seconds, tenths)| (seconds.to_owned(), tenths.to_owned())));
        assert!(!tenths(u32::MAX).is_empty(), "no time is too late");
    }
}
