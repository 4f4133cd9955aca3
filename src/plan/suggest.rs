//! A length for a segment, proposed from what is in it, with its parts.

use crate::instrument::neck::StringNumber;
use crate::lesson::check::{CHANGE_INSTRUMENT, MOVE_CAPO, RETUNE_STRING, retuned_strings};
use crate::lesson::document::{Lesson, PassageUse, Segment, Setup};
use crate::lesson::id::{PassageId, SegmentId};
use crate::lesson::music::Passage;
use crate::lesson::time::VideoLength;

use super::length::{LengthError, count_in_length, passage_length};

/// How fast this teacher talks and retunes.
///
/// The values of [`Pace::USUAL`] are this project's own settings, chosen to be on the calm side;
/// they are measured nowhere, and a teacher should set their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pace {
    /// Words spoken a minute; 0 counts as 1.
    pub words_per_minute: u16,
    /// The time for each string that is retuned.
    pub retune_string: VideoLength,
    /// The time for putting on, taking off or moving a capo.
    pub move_capo: VideoLength,
    /// The time for taking up another instrument, which takes the place of the two above.
    pub change_instrument: VideoLength,
}

impl Pace {
    /// 130 words a minute, 10 s a string, 8 s for the capo, 20 s for another instrument.
    pub const USUAL: Self = Self {
        words_per_minute: 130,
        retune_string: RETUNE_STRING,
        move_capo: MOVE_CAPO,
        change_instrument: CHANGE_INSTRUMENT,
    };
}

impl Default for Pace {
    fn default() -> Self {
        Self::USUAL
    }
}

/// What a stretch of a suggestion is spent on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spent {
    /// Taking up another instrument.
    ChangingInstrument,
    /// Retuning these strings.
    Retuning(Vec<StringNumber>),
    /// Putting on, taking off or moving the capo.
    MovingCapo,
    /// Saying so many words.
    Talking {
        /// How many.
        words: usize,
    },
    /// Counting in one bar before a passage is played.
    CountingIn {
        /// The passage.
        passage: PassageId,
        /// The tempo, in per cent of the written one.
        percent: u8,
    },
    /// Playing a passage.
    Playing {
        /// The passage.
        passage: PassageId,
        /// How many times.
        times: u8,
        /// The tempo, in per cent of the written one.
        percent: u8,
    },
}

/// One stretch of a suggestion.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is spent on.
    pub on: Spent,
    /// How long it takes.
    pub length: VideoLength,
}

/// Something in a segment whose length could not be told; it is not in the suggestion.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LeftOut {
    /// The passage is not in the lesson.
    #[error("passage {0} is not in the lesson")]
    NoSuchPassage(PassageId),
    /// The passage is there, but not what is asked of it.
    #[error("passage {passage}: {reason}")]
    Length {
        /// The passage.
        passage: PassageId,
        /// Why its length cannot be told.
        #[source]
        reason: LengthError,
    },
}

/// A proposed length.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Suggestion {
    /// The parts it is made of, in the order of the video. Each of them has a length.
    pub parts: Vec<Part>,
    /// What it leaves out.
    pub left_out: Vec<LeftOut>,
}

impl Suggestion {
    /// Returns the sum of the parts.
    pub fn total(&self) -> VideoLength {
        self.parts.iter().map(|part| part.length).sum()
    }

    fn add(&mut self, on: Spent, length: VideoLength) {
        if length > VideoLength::ZERO {
            self.parts.push(Part { on, length });
        }
    }
}

/// Proposes a length for a segment; `None` when the lesson has no such segment.
///
/// The suggestion is made of the change from the setup before the segment, of its talking points read out at the
/// pace given, and of every passage, at tempo and slowly as often as the segment says. Each of these two is
/// counted in by one bar.
pub fn suggest(lesson: &Lesson, segment: SegmentId, pace: &Pace) -> Option<Suggestion> {
    let place = lesson.segments.iter().position(|known| known.id == segment)?;
    let segment = lesson.segments.get(place)?;
    let mut suggestion = Suggestion::default();
    let before = lesson.segments.iter().take(place).rev().find_map(|earlier| earlier.setup);
    if let (Some(before), Some(now)) = (before, segment.setup)
        && let (Some(before), Some(now)) = (lesson.setup(before), lesson.setup(now))
    {
        add_change(&mut suggestion, before, now, pace);
    }
    add_talk(&mut suggestion, segment, pace);
    for played in &segment.passages {
        match lesson.passage(played.passage) {
            Some(passage) => {
                if let Err(reason) = add_passage(&mut suggestion, passage, played) {
                    suggestion.left_out.push(LeftOut::Length { passage: played.passage, reason });
                }
            }
            None => suggestion.left_out.push(LeftOut::NoSuchPassage(played.passage)),
        }
    }
    Some(suggestion)
}

fn add_change(suggestion: &mut Suggestion, before: &Setup, now: &Setup, pace: &Pace) {
    if before.instrument != now.instrument {
        suggestion.add(Spent::ChangingInstrument, pace.change_instrument);
        return;
    }
    let strings = retuned_strings(before, now);
    if !strings.is_empty() {
        let count = u32::try_from(strings.len()).unwrap_or(u32::MAX);
        let length = VideoLength(pace.retune_string.0.saturating_mul(count));
        suggestion.add(Spent::Retuning(strings), length);
    }
    if before.capo != now.capo {
        suggestion.add(Spent::MovingCapo, pace.move_capo);
    }
}

fn add_talk(suggestion: &mut Suggestion, segment: &Segment, pace: &Pace) {
    let words: usize = segment.talking_points.iter().map(|point| point.split_whitespace().count()).sum();
    let milliseconds = (words as u128 * 60_000).div_ceil(u128::from(pace.words_per_minute.max(1)));
    let length = VideoLength(u32::try_from(milliseconds).unwrap_or(u32::MAX));
    suggestion.add(Spent::Talking { words }, length);
}

fn add_passage(suggestion: &mut Suggestion, passage: &Passage, played: &PassageUse) -> Result<(), LengthError> {
    let runs = [(100, played.times), (played.slow_percent, played.slow_times)];
    for (percent, times) in runs.into_iter().filter(|(_, times)| *times > 0) {
        let once = passage_length(passage, played.bars, percent)?;
        let length = VideoLength(once.0.saturating_mul(u32::from(times)));
        if length > VideoLength::ZERO {
            let counted = count_in_length(passage, played.bars, percent)?;
            suggestion.add(Spent::CountingIn { passage: passage.id, percent }, counted);
            suggestion.add(Spent::Playing { passage: passage.id, times, percent }, length);
        }
    }
    Ok(())
}
