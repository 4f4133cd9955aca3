//! Retuning segments whose title names another tuning than the one that they lead to.

use std::collections::HashMap;

use super::finding::{Finding, FindingKind};
use super::mending::{Remedy, changed};
use crate::instrument::catalogue::{own_tunings, tuning_name};
use crate::lesson::document::{Lesson, Segment, SegmentKind, Setup};
use crate::lesson::id::{SegmentId, SetupId};
use crate::lesson::place::LessonPlace;
use crate::text::quote::quoted;

/// Words before the name of a tuning that say that the hands go there.
const LEADING_THERE: [&str; 3] = ["to", "into", "for"];

/// A retuning segment whose title names another tuning.
struct TitledElsewhere<'a> {
    segment: &'a Segment,
    /// The tuning that it leads to.
    to: &'a Setup,
    /// Where in the title the other one is named, in bytes.
    from: usize,
    until: usize,
}

impl TitledElsewhere<'_> {
    /// Returns the title with the right tuning in it.
    fn title(&self) -> String {
        let title = &self.segment.title;
        let part = |range| title.get(range).unwrap_or_default();
        format!("{}{}{}", part(0..self.from), self.to.name.trim(), part(self.until..title.len()))
    }
}

/// Finds titles that name another tuning than the one that the segment leads to.
pub(super) fn check(lesson: &Lesson, findings: &mut Vec<Finding>) {
    findings.extend(named_elsewhere(lesson).iter().map(|named| {
        let other = named.segment.title.get(named.from..named.until).unwrap_or_default();
        Finding::warning(
            FindingKind::RetuningTitle,
            LessonPlace::Segment(named.segment.id),
            format!("the title names \"{}\", and it leads to \"{}\"", quoted(other), quoted(&named.to.name)),
            format!("call it \"{}\", or choose another tuning here", quoted(&named.title())),
        )
    }));
}

/// Returns what names the right tuning in the title of a retuning segment.
pub(super) fn rename(lesson: &Lesson, segment: SegmentId) -> Option<Remedy> {
    let all = named_elsewhere(lesson);
    let named = all.iter().find(|named| named.segment.id == segment)?;
    let title = named.title();
    let words = [format!("call it \"{}\"", quoted(&title)), format!("the title is now \"{}\"", quoted(&title))];
    changed(lesson, Segment { title, ..named.segment.clone() }, words)
}

fn named_elsewhere(lesson: &Lesson) -> Vec<TitledElsewhere<'_>> {
    let led: HashMap<SegmentId, Option<SetupId>> = lesson.led_to().into_iter().collect();
    let mut before = lesson.setups.first();
    let mut found = Vec::new();
    for (segment, (_, now)) in lesson.segments.iter().zip(lesson.tunings_in_force()) {
        if segment.kind == SegmentKind::Retuning {
            let to = segment.setup.or_else(|| led.get(&segment.id).copied().flatten());
            found.extend(
                to.and_then(|to| lesson.setup(to)).and_then(|to| titled_elsewhere(lesson, segment, before, to)),
            );
        }
        before = now.and_then(|now| lesson.setup(now));
    }
    found
}

fn titled_elsewhere<'a>(
    lesson: &'a Lesson,
    segment: &'a Segment,
    before: Option<&Setup>,
    to: &'a Setup,
) -> Option<TitledElsewhere<'a>> {
    // One that says the tuning it leaves leads to the next.
    if before.is_some_and(|before| before.id == to.id) || to.name.trim().is_empty() {
        return None;
    }
    let body = &lesson.instrument(to.instrument)?.body;
    let known = own_tunings(body);
    let of_lesson = lesson.setups.iter().map(|setup| setup.name.trim());
    let names = of_lesson.chain(known.iter().map(|known| known.name.as_str())).filter(|name| !name.is_empty());
    let mut places: Vec<(usize, usize)> = names.flat_map(|name| named_in(&segment.title, name)).collect();
    // Of two names that begin at one place the longer one is meant: "standard, capo 2".
    places.sort_unstable_by_key(|(from, until)| (*from, std::cmp::Reverse(*until)));
    places.dedup_by_key(|(from, _)| *from);
    let called = |name: &str, (from, until): (usize, usize)| {
        segment.title.get(from..until).is_some_and(|written| written.eq_ignore_ascii_case(name.trim()))
    };
    let is_right = |place| {
        let strings = tuning_name(&to.tuning, body);
        called(&to.name, place) || strings.is_some_and(|strings| called(strings, place))
    };
    if places.iter().any(|place| is_right(*place)) {
        return None;
    }
    let is_left = |place: &(usize, usize)| {
        let ahead = segment.title.get(..place.0).unwrap_or_default();
        let leads = ahead
            .split_whitespace()
            .next_back()
            .is_some_and(|word| LEADING_THERE.iter().any(|leading| leading.eq_ignore_ascii_case(word)));
        !leads && before.is_some_and(|before| called(&before.name, *place))
    };
    let (from, until) = places.into_iter().find(|place| !is_left(place))?;
    Some(TitledElsewhere { segment, to, from, until })
}

/// Returns where a title has a name as words of its own, in bytes.
fn named_in(title: &str, name: &str) -> Vec<(usize, usize)> {
    let is_apart = |sign: Option<char>| sign.is_none_or(|sign| !sign.is_alphanumeric());
    let at = |from: usize| {
        let until = from + name.len();
        let is_it = title.get(from..until).is_some_and(|written| written.eq_ignore_ascii_case(name));
        let ahead = title.get(..from).and_then(|ahead| ahead.chars().next_back());
        let behind = title.get(until..).and_then(|behind| behind.chars().next());
        (is_it && is_apart(ahead) && is_apart(behind)).then_some((from, until))
    };
    title.char_indices().filter_map(|(from, _)| at(from)).collect()
}
