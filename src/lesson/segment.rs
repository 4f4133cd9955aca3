//! A segment: a stretch of the video, and how it plays what it shows.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::detailed::{Detail, Detailed, TypedText, lines, maybe, several, title, words};
use super::id::{ItemId, PassageId, PieceId, SegmentId, SetupId, VoicingId};
use super::named::Named;
use super::time::{VideoLength, VideoTime};

/// A stretch of the video.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Segment {
    /// Its identity.
    pub id: SegmentId,
    /// What sort of stretch.
    pub kind: SegmentKind,
    /// The title, also the chapter's.
    pub title: String,
    /// How long it should take.
    pub planned: VideoLength,
    /// How far the teacher says it is.
    #[serde(default, skip_serializing_if = "Progress::is_unsaid")]
    pub progress: Progress,
    /// When it was recorded, in the video's time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recorded: Option<Recorded>,
    /// What of its recording is left out of the video, in the time of the recording.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cuts: Vec<VideoCut>,
    /// The setup it is played in; without one, the one before it stays.
    #[serde(default, skip_serializing_if = "Option::is_none", rename = "tuning", alias = "setup")]
    pub setup: Option<SetupId>,
    /// The pieces it is about.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pieces: Vec<PieceId>,
    /// The passages it plays.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub passages: Vec<PassageUse>,
    /// The voicings it shows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub voicings: Vec<VoicingId>,
    /// What to say, point by point.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub talking_points: Vec<String>,
    /// Camera and light.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub shot: String,
    /// Sound of the instrument.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tone: String,
}

impl Segment {
    /// Returns a segment with nothing in it but its title.
    pub fn new(id: SegmentId, kind: SegmentKind, title: impl Into<String>, planned: VideoLength) -> Self {
        Self {
            id,
            kind,
            title: title.into(),
            planned,
            progress: Progress::Unsaid,
            recorded: None,
            cuts: Vec::new(),
            setup: None,
            pieces: Vec::new(),
            passages: Vec::new(),
            voicings: Vec::new(),
            talking_points: Vec::new(),
            shot: String::new(),
            tone: String::new(),
        }
    }
}

/// What sort of stretch a segment is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum SegmentKind {
    /// Hello and what is coming.
    Welcome,
    /// Explanation without playing.
    Talk,
    /// Played at tempo, to be heard.
    Performance,
    /// Taken apart slowly.
    #[serde(alias = "Slowly")]
    Walkthrough,
    /// Students play along.
    PlayAlong,
    /// Something to practise.
    Exercise,
    /// The camera sees strings being retuned or a capo moved.
    Retuning,
    /// Summary and goodbye.
    Goodbye,
}

impl SegmentKind {
    /// Every kind, in the order of a usual lesson.
    pub const ALL: [Self; 8] = [
        Self::Welcome,
        Self::Talk,
        Self::Performance,
        Self::Walkthrough,
        Self::PlayAlong,
        Self::Exercise,
        Self::Retuning,
        Self::Goodbye,
    ];

    /// Returns the kind that players call `text`, in any case and with hyphens, spaces or neither.
    pub fn called(text: &str) -> Option<Self> {
        let plain = |word: &str| word.to_lowercase().replace(['-', ' '], "");
        let called = plain(text);
        let named = Self::ALL.into_iter().find(|kind| plain(kind.word()) == called);
        named.or_else(|| Self::ALL.into_iter().find(|kind| kind.also_called().iter().any(|also| plain(also) == called)))
    }

    /// Returns what players call it beside its word (common practice), what is said most first.
    pub const fn also_called(self) -> &'static [&'static str] {
        match self {
            Self::Welcome => &["intro", "hello", "introduction", "opening", "greeting"],
            Self::Talk => &["explanation", "theory", "explain", "talking", "background", "history"],
            Self::Performance => &[
                "full speed",
                "at tempo",
                "play-through",
                "run-through",
                "perform",
                "play it",
                "up to speed",
                "full tempo",
                "in full",
                "demonstration",
                "demo",
            ],
            Self::Walkthrough => &[
                "slowly",
                "step by step",
                "breakdown",
                "slow",
                "bar by bar",
                "note by note",
                "slow motion",
                "slowed down",
                "half speed",
                "in detail",
                "close-up",
            ],
            Self::PlayAlong => &[
                "with me",
                "together",
                "loop",
                "jam",
                "along",
                "playing along",
                "jam along",
                "jam track",
                "backing track",
            ],
            Self::Exercise => &[
                "practice",
                "drill",
                "warm-up",
                "practise",
                "practising",
                "practicing",
                "exercises",
                "drills",
                "homework",
            ],
            Self::Retuning => &["retune", "tuning", "tune", "tune up", "tuning up", "capo"],
            Self::Goodbye => &["outro", "bye", "recap", "summary", "wrap-up", "closing", "sign-off", "conclusion"],
        }
    }

    /// Returns the word for it in lower case.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Welcome => "welcome",
            Self::Talk => "talk",
            Self::Performance => "performance",
            Self::Walkthrough => "walkthrough",
            Self::PlayAlong => "play-along",
            Self::Exercise => "exercise",
            Self::Retuning => "retuning",
            Self::Goodbye => "goodbye",
        }
    }
}

/// How far a segment is, as the teacher says; whether it is recorded shows by itself. Of two, the
/// one that is less far is the smaller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub enum Progress {
    /// Nothing was said.
    #[default]
    Unsaid,
    /// A thought that may still go.
    Idea,
    /// What is said and played is written down.
    Drafted,
    /// It is on the recording, but not well enough.
    #[serde(alias = "Again")]
    ReRecord,
    /// The teacher can play and say it.
    Practised,
    /// It is done and stays as it is.
    #[serde(alias = "Settled")]
    Final,
}

impl Progress {
    /// Every step, in the order in which they usually come.
    pub const ALL: [Self; 6] = [Self::Unsaid, Self::Idea, Self::Drafted, Self::Practised, Self::ReRecord, Self::Final];

    /// Returns the word for it in lower case.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unsaid => "automatic",
            Self::Idea => "idea",
            Self::Drafted => "drafted",
            Self::ReRecord => "re-record",
            Self::Practised => "practised",
            Self::Final => "final",
        }
    }

    /// Returns whether nothing was said.
    pub const fn is_unsaid(&self) -> bool {
        matches!(self, Self::Unsaid)
    }
}

/// When a segment was recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Recorded {
    /// Its first instant.
    pub start: VideoTime,
    /// The instant after its last; without one it runs until the next segment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub end: Option<VideoTime>,
}

/// A stretch of the recording that is left out of the video, because it was taken again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VideoCut {
    /// The first instant that is left out.
    pub from: VideoTime,
    /// The instant at which the video goes on.
    pub to: VideoTime,
}

/// Prints `0:10 to 0:25`.
impl fmt::Display for VideoCut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {}", self.from, self.to)
    }
}

/// How a segment plays a passage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PassageUse {
    /// Which passage.
    pub passage: PassageId,
    /// The first and last bar, counted from 1; without them, all of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bars: Option<BarRange>,
    /// How many times at tempo.
    #[serde(default = "once")]
    pub times: u8,
    /// How many times slowly.
    #[serde(default)]
    pub slow_times: u8,
    /// The slow tempo, in per cent of the written one.
    #[serde(default = "half_tempo")]
    pub slow_percent: u8,
}

impl PassageUse {
    /// Returns the whole passage, once, at tempo.
    pub fn whole(passage: PassageId) -> Self {
        Self { passage, bars: None, times: once(), slow_times: 0, slow_percent: half_tempo() }
    }
}

/// Bars from `first` to `last`, counted from 1, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BarRange {
    /// The first bar.
    pub first: u32,
    /// The last bar.
    pub last: u32,
}

fn once() -> u8 {
    1
}

fn half_tempo() -> u8 {
    50
}

impl Named for Segment {
    fn title(&self) -> Option<&str> {
        Some(&self.title)
    }
}

impl Detailed for Segment {
    fn details(&self, called: &dyn Fn(ItemId) -> String) -> Vec<Detail> {
        let Self { id: _, kind, title, planned, progress, recorded, cuts, .. } = self;
        let Self { setup, pieces, passages, voicings, talking_points, shot, tone, .. } = self;
        vec![
            words("title", title),
            words("kind", kind.word()),
            words("planned length", planned.exact().to_string()),
            words("progress", if progress.is_unsaid() { "" } else { progress.word() }),
            maybe("recorded", recorded.map(recorded_words)),
            several("left out of the video", cuts.iter().map(cut_words)),
            maybe("tuning", setup.map(|setup| called(setup.into()))),
            several("piece", pieces.iter().map(|piece| called((*piece).into()))),
            several("passage played", passages.iter().map(|played| played_words(*played, called))),
            several("voicing shown", voicings.iter().map(|voicing| called((*voicing).into()))),
            several("talking point", talking_points.clone()),
            words("shot", shot),
            words("tone", tone),
        ]
    }

    fn texts(&self) -> Vec<TypedText<'_>> {
        let mut texts = vec![title("the title", &self.title)];
        let points = self.talking_points.iter().enumerate();
        texts.extend(points.map(|(at, point)| lines(format!("talking point {}", at + 1), point)));
        texts.extend([lines("the shot note", &self.shot), lines("the tone note", &self.tone)]);
        texts
    }
}

/// Times are exact here: two versions may differ by less than a tenth of a second.
fn recorded_words(recorded: Recorded) -> String {
    let start = recorded.start.exact();
    recorded.end.map_or_else(|| format!("from {start}"), |end| format!("from {start} to {}", end.exact()))
}

fn cut_words(cut: &VideoCut) -> String {
    format!("{} to {}", cut.from.exact(), cut.to.exact())
}

fn played_words(played: PassageUse, called: &dyn Fn(ItemId) -> String) -> String {
    let PassageUse { passage, bars, times, slow_times, slow_percent } = played;
    let mut text = called(passage.into());
    if let Some(BarRange { first, last }) = bars {
        text += &format!(", bars {first} to {last}");
    }
    let often = |times: u8| if times == 1 { "once".to_owned() } else { format!("{times} times") };
    text += &format!(", {} at tempo", often(times));
    if slow_times > 0 {
        text += &format!(", {} slow at {slow_percent} %", often(slow_times));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_is_known_by_its_word_and_by_what_players_call_it() {
        use SegmentKind as K;
        for (called, kind) in [
            ("slowly", K::Walkthrough),
            ("Slow", K::Walkthrough),
            ("walk through", K::Walkthrough),
            ("play along", K::PlayAlong),
            ("playalong", K::PlayAlong),
            ("Play-along", K::PlayAlong),
            ("tuning", K::Retuning),
            ("retune", K::Retuning),
            ("re-tune", K::Retuning),
            ("intro", K::Welcome),
            ("outro", K::Goodbye),
            ("practise", K::Exercise),
            ("warm up", K::Exercise),
            ("full speed", K::Performance),
            ("explanation", K::Talk),
        ] {
            assert_eq!(SegmentKind::called(called), Some(kind), "{called}");
        }
        for text in ["", "verse", "1-3"] {
            assert_eq!(SegmentKind::called(text), None, "{text}");
        }
    }

    #[test]
    fn no_word_stands_for_two_kinds() {
        for kind in SegmentKind::ALL {
            for word in kind.also_called().iter().chain([&kind.word()]) {
                assert_eq!(SegmentKind::called(word), Some(kind), "{word}");
            }
        }
    }
}
