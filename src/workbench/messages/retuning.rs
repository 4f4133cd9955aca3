//! The reply to a change of tuning: what was done, and a list of what could not be kept.

use crate::lesson::bar_numbers::BarNumbers;
use crate::lesson::check::contradicted;
use crate::lesson::edit::Edit;
use crate::lesson::harmony::names_after::said_of_changes;
use crate::lesson::history::{Reason, Transaction};
use crate::lesson::keys_along::KeyChange;
use crate::lesson::place::LessonPlace;
use crate::lesson::placing::moved::{SummedRemark, summed};
use crate::lesson::tunings::{FretsOrSound, PassageRemark, Retuned};
use crate::lesson::voicings_along::VoicingsAlong;
use crate::text::quote::quoted;
use crate::workbench::boxes::list::{ListBox, ListLine};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::editing::edited_lesson::EditedLesson;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;

/// Returns what is said of each way in which passages go to another tuning.
pub const fn words(keeping: FretsOrSound) -> &'static str {
    match keeping {
        FretsOrSound::Frets => "same frets: meant for this tuning",
        FretsOrSound::Sound => "same sound: find new frets",
    }
}

/// Returns how something went to another tuning, for a message.
pub const fn done_words(keeping: FretsOrSound) -> &'static str {
    match keeping {
        FretsOrSound::Frets => "same frets",
        FretsOrSound::Sound => "same sound, new frets",
    }
}

/// Says what became of the voicings that were shown or played there, behind what was done; nothing where there were none.
pub fn voicing_words(along: &VoicingsAlong) -> String {
    let moved = match along.moved {
        0 => String::new(),
        1 => "; 1 chord shape moved with it".to_owned(),
        count => format!("; {count} chord shapes moved with it"),
    };
    let copied = match (along.copied, along.moved) {
        (0, _) => "",
        (1, 1) => ", as a copy: it is still shown in the old tuning",
        (_, _) => ", as copies where they are still shown in the old tuning",
    };
    let staying = match along.staying.as_slice() {
        [] => String::new(),
        [only] => format!("; {} stays in its tuning: it cannot be fretted in the new one", quoted(only)),
        [_, _, ..] => {
            let names = quoted(&along.staying.join(", ")).to_string();
            format!("; {names} stay in their tuning: they cannot be fretted in the new one")
        }
    };
    format!("{moved}{copied}{staying}")
}

/// Makes the edits that take passages to another tuning, after `first`: one step of undo.
pub fn make(
    open: &mut EditedLesson,
    reason: Reason,
    place: Option<LessonPlace>,
    first: Vec<Edit>,
    retuned: Retuned,
    done: String,
) -> PaneReply {
    let remarks = lost(&retuned.remarks);
    let unnamed = match &retuned.unnamed[..] {
        [] => String::new(),
        names => format!("; these sound different now and lost their names: {}", names.join(", ")),
    };
    let keys = format!("{}{}", key_words(&retuned.keys), said_of_changes(&retuned.renamed));
    let edits: Vec<Edit> = first.into_iter().chain(retuned.edits).collect();
    if edits.is_empty() {
        return PaneReply::say(Notice::note("no change"));
    }
    let before = contradicted(open.lesson());
    let changed = open.change(Transaction { place, ..Transaction::new(reason, edits) });
    let misfits = match contradicted(open.lesson()).saturating_sub(before) {
        0 => String::new(),
        1 => "; a name over the tab no longer fits, {Desk(ShowProblems)} leads to it".to_owned(),
        many => format!("; {many} names over the tab no longer fit, {{Desk(ShowProblems)}} leads to them"),
    };
    let list = (changed.is_ok() && !remarks.is_empty())
        .then(|| Overlay::List(ListBox::new("What was lost", Counted::Details, remarks)));
    PaneReply { overlay: list, ..PaneReply::to_change(changed, format!("{done}{keys}{unnamed}{misfits}")) }
}

/// Lists what could not be kept: what is said of several notes of a passage once, with its bars.
fn lost(remarks: &[PassageRemark]) -> Vec<ListLine> {
    let several = remarks.iter().any(|one| Some(&one.title) != remarks.first().map(|first| &first.title));
    let of_one_passage = |remarks: &[PassageRemark]| -> Vec<ListLine> {
        let (title, numbers) = remarks.first().map_or(("", BarNumbers::default()), |one| (&one.title, one.numbers));
        let line = |sum: SummedRemark| {
            let text = if several { format!("{title}: {}", sum.text) } else { sum.text.clone() };
            ListLine { head: sum.bars(numbers), text, ..ListLine::default() }
        };
        summed(remarks.iter().map(|one| &one.remark)).into_iter().map(line).collect()
    };
    remarks.chunk_by(|one, next| one.title == next.title).flat_map(of_one_passage).collect()
}

/// Says what became of keys, after what was done.
fn key_words(keys: &[KeyChange]) -> String {
    let word = |key: &KeyChange| match key {
        KeyChange::Moved { from, to } => format!("; the key is {to} now, it was {from}"),
        KeyChange::Stays(key) => format!("; the key still says {key}, though some strings sound different"),
    };
    keys.iter().map(word).collect()
}
