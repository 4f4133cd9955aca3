//! Things that another program has changed as well: which version stays is decided one by one.

use std::sync::Arc;

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::detailed::{Detail, DetailValue};
use crate::lesson::document::Lesson;
use crate::lesson::edit::{Edit, ListEdit};
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::music::Passage;
use crate::lesson::place::LessonPlace;
use crate::tab::passage::string_labels;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::side_by_side::{SideBySide, VersionBars, VersionCell, VersionRow};
use crate::workbench::keys::action::{Action, ChoiceAction, Pane};
use crate::workbench::keys::table::KeyTable;
use crate::workbench::messages::effect::FileEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::program::{ProgramPick, VersionPick};
use crate::workbench::state::State;

/// Asks about the first thing that waits, or says that none does.
pub fn ask(state: &State) -> PaneReply {
    ask_from(state, 0)
}

/// Asks about the thing at `place` of those that wait.
fn ask_from(state: &State, place: usize) -> PaneReply {
    let Some(desk) = state.desk() else { return PaneReply::nothing() };
    let undecided = desk.lesson.undecided();
    let Some(version) = undecided.waiting().get(place) else {
        return PaneReply::say(Notice::note("nothing was changed on both sides"));
    };
    let pick = |pick| Pick::Program(ProgramPick::Version(pick, place));
    let rows = rows(desk.lesson.lesson(), version);
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        format!("Changed on both sides, {}", undecided.left()),
        Advice::SideBySide(Box::new(SideBySide::new(rows, paging(&state.keys)))),
        vec![
            ("keep what is in the file".into(), pick(VersionPick::Leave)),
            ("use yours instead".into(), pick(VersionPick::Take)),
            ("decide later; both versions stay".into(), pick(VersionPick::Later)),
        ],
    )))
}

/// Says which keys show what has no room.
fn paging(keys: &KeyTable) -> String {
    let key = |action| keys.key_for(Pane::Choice, Action::Choice(action));
    match (key(ChoiceAction::PageUp), key(ChoiceAction::PageDown)) {
        (Some(up), Some(down)) => format!("{up} and {down} show the rest"),
        (Some(_), None) | (None, Some(_)) | (None, None) => "there is no room for the rest".to_owned(),
    }
}

/// Returns where the thing in the lesson and the version that waits differ.
fn rows(lesson: &Lesson, version: &Edit) -> Vec<VersionRow> {
    let thing = match version.place() {
        LessonPlace::Header => "the lesson".to_owned(),
        place => place.text(lesson),
    };
    let own = lesson.own_version(version);
    let details = |version: &Edit| version.details(lesson);
    let mut rows = match (own.as_ref().and_then(details), details(version)) {
        (Some(in_file), Some(yours)) => of_details(&thing, in_file, yours),
        (in_file, yours) => taken_out(&thing, in_file, yours),
    };
    let passage = |edit: Option<&Edit>| match edit {
        Some(Edit::Passages(ListEdit::Insert { item, .. } | ListEdit::Replace(item))) => Some(Arc::new(item.clone())),
        Some(
            Edit::Passages(_)
            | Edit::Header(_)
            | Edit::Instruments(_)
            | Edit::Setups(_)
            | Edit::Pieces(_)
            | Edit::Voicings(_)
            | Edit::Segments(_)
            | Edit::Bars { .. },
        )
        | None => None,
    };
    rows.extend(of_bars(lesson, &thing, passage(own.as_ref()), passage(Some(version))));
    if rows.is_empty() {
        // As where one says of a string that it was heard and the other says nothing of it.
        let same = || VersionCell::Words("reads the same".to_owned());
        rows.push(VersionRow { about: thing, in_file: same(), yours: same() });
    }
    rows
}

/// Returns the details that differ, those that come in order one by one.
fn of_details(thing: &str, in_file: Vec<Detail>, yours: Vec<Detail>) -> Vec<VersionRow> {
    let mut rows = Vec::new();
    for (one, other) in in_file.into_iter().zip(yours).filter(|(one, other)| one != other) {
        match (one.value, other.value) {
            (DetailValue::Words(in_file), DetailValue::Words(yours)) => rows.push(VersionRow {
                about: format!("{thing}: {}", one.about),
                in_file: cell(Some(in_file)),
                yours: cell(Some(yours)),
            }),
            (one_value, other_value) => {
                let (in_file, yours) = (each(one_value), each(other_value));
                let Span { first, in_file: one_end, yours: other_end } = differing(&in_file, &yours);
                rows.extend((first..one_end.max(other_end)).map(|place| VersionRow {
                    about: format!("{thing}: {} {}", one.about, place + 1),
                    in_file: cell(in_file.get(..one_end).and_then(|list| list.get(place)).cloned()),
                    yours: cell(yours.get(..other_end).and_then(|list| list.get(place)).cloned()),
                }));
            }
        }
    }
    rows
}

fn each(value: DetailValue) -> Vec<String> {
    match value {
        DetailValue::Words(words) => vec![words],
        DetailValue::Several(list) => list,
    }
}

fn cell(words: Option<String>) -> VersionCell {
    words.filter(|words| !words.trim().is_empty()).map_or(VersionCell::Nothing, VersionCell::Words)
}

/// Returns all that is known of a thing that one side has taken out.
fn taken_out(thing: &str, in_file: Option<Vec<Detail>>, yours: Option<Vec<Detail>>) -> Vec<VersionRow> {
    let (gone, there) = (VersionCell::TakenOut, VersionCell::Words("changed".to_owned()));
    let whole = |one, other| VersionRow { about: thing.to_owned(), in_file: one, yours: other };
    let details = |details: Vec<Detail>| {
        let told = details.into_iter().map(|detail| (detail.about, each(detail.value).join("\n")));
        told.filter(|(_, words)| !words.trim().is_empty()).collect::<Vec<_>>()
    };
    let about = |word: &str| format!("{thing}: {word}");
    match (in_file, yours) {
        (Some(in_file), None) => {
            let row = |(word, words): (&str, String)| VersionRow {
                about: about(word),
                in_file: VersionCell::Words(words),
                yours: VersionCell::Nothing,
            };
            std::iter::once(whole(there, gone)).chain(details(in_file).into_iter().map(row)).collect()
        }
        (None, Some(yours)) => {
            let row = |(word, words): (&str, String)| VersionRow {
                about: about(word),
                in_file: VersionCell::Nothing,
                yours: VersionCell::Words(words),
            };
            std::iter::once(whole(gone, there)).chain(details(yours).into_iter().map(row)).collect()
        }
        (Some(_), Some(_)) | (None, None) => Vec::new(),
    }
}

/// Returns the bars that differ as tab, each run of them as one.
fn of_bars(
    lesson: &Lesson,
    thing: &str,
    in_file: Option<Arc<Passage>>,
    yours: Option<Arc<Passage>>,
) -> Vec<VersionRow> {
    let bars = |passage: &Option<Arc<Passage>>| passage.as_ref().map_or_else(Vec::new, |passage| passage.bars.clone());
    let (one, other) = (bars(&in_file), bars(&yours));
    let music = |passage: &Option<Arc<Passage>>, first: usize, end: usize| match passage {
        Some(passage) if first < end => VersionCell::Music(VersionBars {
            labels: labels(lesson, passage),
            passage: Arc::clone(passage),
            bars: first..end,
        }),
        Some(_) | None => VersionCell::Nothing,
    };
    let numbers = BarNumbers::of_bars(if other.is_empty() { &one } else { &other });
    runs(&one, &other)
        .into_iter()
        .map(|Span { first, in_file: one_end, yours: other_end }| {
            let last = one_end.max(other_end);
            let bars = numbers.stretch(first..last);
            VersionRow {
                about: format!("{thing}: {bars}"),
                in_file: music(&in_file, first, one_end),
                yours: music(&yours, first, other_end),
            }
        })
        .collect()
}

fn labels(lesson: &Lesson, passage: &Passage) -> Arc<[String]> {
    lesson.passage_setup(passage).map_or_else(Vec::new, |setup| string_labels(&setup.tuning)).into()
}

/// A stretch in which two lists differ: where it begins in both, counted from 0, and where it ends in each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Span {
    first: usize,
    in_file: usize,
    yours: usize,
}

/// Returns the stretch between what two lists have alike at their beginning and at their end.
fn differing<T: PartialEq>(in_file: &[T], yours: &[T]) -> Span {
    let first = in_file.iter().zip(yours).take_while(|(one, other)| one == other).count();
    let least = in_file.len().min(yours.len()) - first;
    let alike = in_file.iter().rev().zip(yours.iter().rev()).take(least).take_while(|(one, other)| one == other);
    let after = alike.count();
    Span { first, in_file: in_file.len() - after, yours: yours.len() - after }
}

/// Returns the stretches in which two lists differ: of lists equally long there can be several.
fn runs<T: PartialEq>(in_file: &[T], yours: &[T]) -> Vec<Span> {
    let whole = differing(in_file, yours);
    if whole.first == whole.in_file.max(whole.yours) {
        return Vec::new();
    }
    if whole.in_file != whole.yours {
        return vec![whole];
    }
    let mut runs: Vec<Span> = Vec::new();
    for (place, _) in in_file.iter().zip(yours).enumerate().filter(|(_, (one, other))| one != other) {
        let end = place + 1;
        match runs.last_mut() {
            Some(run) if run.in_file == place => (run.in_file, run.yours) = (end, end),
            Some(_) | None => runs.push(Span { first: place, in_file: end, yours: end }),
        }
    }
    runs
}

/// Does what was picked for the thing at `place` of those that wait, and asks about the next.
pub fn take(state: &mut State, pick: VersionPick, place: usize) -> PaneReply {
    let Some(desk) = state.desk_mut() else { return PaneReply::nothing() };
    let Some(version) = desk.lesson.undecided().waiting().get(place).cloned() else { return PaneReply::nothing() };
    let (said, next) = match pick {
        VersionPick::Later => (None, place + 1),
        VersionPick::Leave => (Some("kept as it is in the file"), place),
        VersionPick::Take => {
            if let Some(edit) = desk.lesson.lesson().taking_over(&version) {
                let change = Transaction::one(Reason::TakeOver, edit).at(version.place());
                if let Err(error) = desk.lesson.change(change) {
                    return PaneReply::say(Notice::trouble(error.to_string()));
                }
            }
            (Some("yours is in its place"), place)
        }
    };
    let mut reply = PaneReply::nothing();
    if let Some(said) = said {
        desk.lesson.undecided_mut().decide_on(place);
        let undecided = desk.lesson.undecided();
        reply.notice = Some(Notice::done(format!("{said}; {{Desk(Undo)}} undoes; {}", undecided.left())));
        reply.effect = Some(FileEffect::KeepApart(undecided.waiting().to_vec()).into());
    }
    if next < desk.lesson.undecided().waiting().len() {
        reply.overlay = ask_from(state, next).overlay;
    }
    reply
}
