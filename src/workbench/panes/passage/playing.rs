//! How notes are played: joins, techniques and strokes, by a key of their own or from a list. Each function says what
//! becomes of the notes, or why it cannot be; nothing here changes a lesson.

use crate::instrument::neck::Fret;
use crate::lesson::check::{Finding, unplayable};
use crate::lesson::edit::Edit;
use crate::lesson::music::{Join, Note, Passage, Stroke, Technique};
use crate::lesson::phrase::clip::{Grain, Stretch};
use crate::lesson::phrase::{PhraseEdits, PhraseError, notes, rhythm};
use crate::lesson::technique::{TECHNIQUES, Takes};
use crate::text::fit::fit_with;
use crate::text::width::width as columns;
use crate::workbench::boxes::choice::ChoiceBox;
use crate::workbench::boxes::jump::ON;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::passage::at_cursor::AtCursor;
use crate::workbench::panes::passage::writing::one;
use crate::workbench::panes::passage::written_next::AskedBy;
use crate::workbench::questions::passage::{PassagePick, PassageQuestion};
use crate::workbench::questions::pick::Pick;

/// Returns the techniques that need no amount and no second fret.
pub(super) fn plain() -> impl Iterator<Item = Technique> {
    TECHNIQUES.iter().filter_map(|row| match row.takes {
        Takes::Nothing(technique) => Some(technique),
        Takes::Amount(_) | Takes::Fret(_) => None,
    })
}

/// Returns the trill that can be played most often: with the fret above.
pub(super) fn usual_trill(note: &Note) -> Technique {
    Technique::Trill(Fret::new(note.fret.number() + 1).unwrap_or(note.fret))
}

/// What is asked for where a technique needs more.
const ASKED: [(PassageQuestion, &str); 8] = [
    (PassageQuestion::Bend, "bend, release or pre-bend..."),
    (PassageQuestion::Trill, "trill..."),
    (PassageQuestion::TouchedHarmonic, "harp (artificial) harmonic..."),
    (PassageQuestion::TappedHarmonic, "tapped harmonic..."),
    (PassageQuestion::Dip, "tremolo-bar dip..."),
    (PassageQuestion::Dive, "tremolo-bar dive..."),
    (PassageQuestion::Grace, "grace notes before it..."),
    (PassageQuestion::Finger, "fretting finger..."),
];

/// Every stroke, with what players call it.
const STROKES: [(Stroke, &str); 6] = [
    (Stroke::Down, "pick stroke down"),
    (Stroke::Up, "pick stroke up"),
    (Stroke::RakeDown, "rake down"),
    (Stroke::RakeUp, "rake up"),
    (Stroke::ArpeggioDown, "rolled chord (arpeggio) down"),
    (Stroke::ArpeggioUp, "rolled chord (arpeggio) up"),
];

/// Puts a technique on the note under the cursor, or on every selected one; or takes it off.
pub(super) fn toggle(here: &AtCursor<'_>, technique: Technique) -> Result<Vec<Edit>, Notice> {
    Ok(match here.cursor.selected() {
        Some(stretch) => notes::technique_over(here.passage, &stretch, technique)?,
        None => one(notes::technique(here.passage, here.slot(), here.string(), technique)?),
    })
}

/// Puts a technique of the picking hand on all notes that are struck together with that under the cursor, or on every selected one; or
/// takes it off.
pub(super) fn toggle_on_chord(here: &AtCursor<'_>, technique: Technique) -> Result<Vec<Edit>, Notice> {
    if here.cursor.selected().is_some() {
        return toggle(here, technique);
    }
    let event = here.event().ok_or(PhraseError::NoEvent)?;
    if event.notes.is_empty() {
        return Err(PhraseError::NoNote(here.string()).into());
    }
    let struck = Stretch::new(here.slot(), here.slot(), Grain::Events);
    Ok(notes::technique_over(here.passage, &struck, technique)?)
}

/// Takes techniques of these sorts off the note under the cursor, whatever their amounts.
pub(super) fn take_off(here: &AtCursor<'_>, sorts: &[Technique]) -> Result<PhraseEdits, Notice> {
    Ok(here.staying(one(notes::without(here.passage, here.slot(), here.string(), sorts)?)))
}

/// Puts grace notes before the note under the cursor in the place of those that are there.
pub(super) fn put_graces(here: &AtCursor<'_>, frets: &[Fret]) -> Result<Vec<Edit>, Notice> {
    Ok(one(notes::grace(here.passage, here.slot(), here.string(), frets)?))
}

/// Writes a new dead note on the string; `None` where a note is there already or something is selected.
pub(super) fn new_dead_note(here: &AtCursor<'_>) -> Option<PhraseEdits> {
    if here.cursor.selected().is_some() || here.note().is_ok() {
        return None;
    }
    let note = Note { techniques: vec![Technique::Dead], ..Note::plain(here.string(), Fret::OPEN) };
    Some(notes::put_note(here.passage, here.slot(), note, here.length))
}

/// Joins the note to the next as the frets say: hammered on or pulled off; or parts them.
pub(super) fn slur(here: &AtCursor<'_>) -> Result<Vec<Edit>, Notice> {
    let note = here.note()?;
    let join = match note.join {
        Some(Join::HammerOn | Join::PullOff) => None,
        Some(Join::Slide | Join::SlideAndPick | Join::Tie) | None => {
            let next = notes::next_note(here.passage, here.slot(), here.string());
            Some(next.map_or(Join::HammerOn, |next| notes::slur(note.fret, next.fret)))
        }
    };
    joined(here, join)
}

/// Slides to the next note: not picked, then picked, then not at all.
pub(super) fn slide(here: &AtCursor<'_>) -> Result<Vec<Edit>, Notice> {
    let join = match here.note()?.join {
        Some(Join::Slide) => Some(Join::SlideAndPick),
        Some(Join::SlideAndPick) => None,
        Some(Join::Tie | Join::HammerOn | Join::PullOff) | None => Some(Join::Slide),
    };
    joined(here, join)
}

/// Puts a join on the note, or takes the very same off.
pub(super) fn toggle_join(here: &AtCursor<'_>, join: Join) -> Result<Vec<Edit>, Notice> {
    let now = here.note()?.join;
    joined(here, (now != Some(join)).then_some(join))
}

fn joined(here: &AtCursor<'_>, join: Option<Join>) -> Result<Vec<Edit>, Notice> {
    Ok(one(notes::join(here.passage, here.slot(), here.string(), join)?))
}

/// Has the pick or hand go down, then up, then says nothing about it.
pub(super) fn next_stroke(here: &AtCursor<'_>) -> Result<Vec<Edit>, Notice> {
    let event = here.event().ok_or(PhraseError::NoEvent)?;
    let next = match event.stroke {
        None => Some(Stroke::Down),
        Some(Stroke::Down) => Some(Stroke::Up),
        Some(Stroke::Up | Stroke::RakeDown | Stroke::RakeUp | Stroke::ArpeggioDown | Stroke::ArpeggioUp) => None,
    };
    stroke(here, next)
}

/// Gives what is under the cursor or selected a stroke, or none.
pub(super) fn stroke(here: &AtCursor<'_>, stroke: Option<Stroke>) -> Result<Vec<Edit>, Notice> {
    Ok(rhythm::over(here.passage, &here.cursor.selected_or_event(), |event| event.stroke = stroke)?)
}

/// Lists every way of playing: first those that can be played here.
pub(super) fn choose_technique(here: &AtCursor<'_>) -> PaneReply {
    let (passage, slot, string) = (here.passage, here.slot(), here.string());
    let note = match here.note() {
        Ok(note) => note,
        Err(error) => return choose_without_note(here, &error),
    };
    let mut lines = Vec::new();
    let mut unfit = Vec::new();
    let mut line = |name: &str, on: bool, edit: Result<Edit, PhraseError>, pick: PassagePick| {
        let found = edit.ok().and_then(|edit| newly_unplayable(passage, &[edit]));
        match found {
            Some(finding) if !on => unfit.push((unfit_line(name, &finding.reason), Pick::Passage(pick))),
            Some(_) | None => {
                let on = if on { ON } else { "" };
                lines.push((format!("{name}{on}"), Pick::Passage(pick)));
            }
        }
    };
    for join in Join::ALL {
        let edit = notes::join(passage, slot, string, Some(join));
        line(join.name(), note.join == Some(join), edit, PassagePick::Join(join));
    }
    for technique in plain() {
        let edit = notes::technique(passage, slot, string, technique);
        line(technique.name(), note.techniques.contains(&technique), edit, PassagePick::Technique(technique));
    }
    lines.extend(ASKED.map(|(question, name)| (name.to_owned(), Pick::Passage(PassagePick::Ask(question)))));
    lines.extend(strokes(here));
    lines.append(&mut unfit);
    let title = format!("Techniques: fret {} on string {string}", note.fret);
    let advice = "What is in brackets can't be played here; choose it twice to write it anyway.";
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(title, advice, lines)))
}

/// Returns the line for what cannot be played here, with the reason; what it is called is said once, at the head.
fn unfit_line(name: &str, reason: &str) -> String {
    let begun = ["a", "an"].iter().find_map(|article| reason.strip_prefix(&format!("{article} {name} ")));
    if let Some(rest) = begun {
        let again = [format!("a {name} "), format!("an {name} ")];
        return format!(
            "({name} {})",
            again.iter().fold(rest.to_owned(), |rest, again| rest.replace(again.as_str(), "it "))
        );
    }
    let other = |pair: &str| {
        pair.split_once(" and ").map(|(one, other)| if one == name { other.to_owned() } else { one.to_owned() })
    };
    if let Some((pair, why)) = reason.split_once(" together: ").filter(|(pair, _)| pair.contains(name))
        && let Some(other) = other(pair)
    {
        return format!("({name} with {other}: {why})");
    }
    format!("({name}: {})", reason.replace(&format!("the {name} "), "it "))
}

/// Returns a line for each stroke of the column under the cursor.
fn strokes(here: &AtCursor<'_>) -> [(String, Pick); 6] {
    let stroke = here.event().and_then(|event| event.stroke);
    STROKES.map(|(known, name)| {
        let (pick, on) = if stroke == Some(known) { (None, ON) } else { (Some(known), "") };
        (format!("{name}{on}"), Pick::Passage(PassagePick::Stroke(pick)))
    })
}

/// Lists what can be done where no note is under the cursor: strokes, which belong to the whole column. Letters that are typed on
/// stay in the box, so none of them is taken for a key.
fn choose_without_note(here: &AtCursor<'_>, why: &PhraseError) -> PaneReply {
    let lines = if here.event().is_some_and(|event| !event.notes.is_empty()) {
        strokes(here).to_vec()
    } else {
        vec![("nothing: type a fret first".to_owned(), Pick::Nothing)]
    };
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(
        format!("No technique here: {why}"),
        "Techniques belong to a note: type its fret first. Pick strokes belong to all strings.",
        lines,
    )))
}

/// Returns the first thing that cannot be played after `edits` and was not there before. Looks at the
/// changed bars and their neighbours.
pub(super) fn newly_unplayable(passage: &Passage, edits: &[Edit]) -> Option<Finding> {
    let [Edit::Bars { at, remove, insert, .. }] = edits else { return None };
    let start = at.saturating_sub(1);
    let end = (at + remove + 1).min(passage.bars.len());
    let excerpt = |bars| Passage { bars, title: String::new(), ..*passage };
    let before = passage.bars.get(start..end)?.to_vec();
    let mut after = before.clone();
    let range = (at - start).min(after.len())..(at - start + remove).min(after.len());
    after.splice(range, insert.iter().cloned());
    let known: Vec<String> = unplayable(&excerpt(before)).into_iter().map(|finding| finding.reason).collect();
    unplayable(&excerpt(after)).into_iter().find(|finding| !known.contains(&finding.reason))
}

/// How many columns a refusal takes at most: a line of the narrowest screen, less its margins and the sign before trouble.
const REFUSAL_ROOM: usize = 76;

/// How many columns the name of a key takes in a refusal at most, in the table of keys that comes with the program.
const KEY_ROOM: usize = 3;

impl AskedBy {
    /// Returns how a refusal ends, with how the technique is written anyway, the fullest words first, each with how many columns it takes.
    fn written_anyway(self) -> [(String, usize); 3] {
        match self {
            Self::Key(action) => {
                let named = |before: &str, after: &str| {
                    (format!("{before}{{Passage({action:?})}}{after}"), columns(before) + KEY_ROOM + columns(after))
                };
                [
                    named("; press ", " again to write it anyway"),
                    named("; ", " again writes it anyway"),
                    named("; ", " again writes it"),
                ]
            }
            Self::List => {
                ["; choose it again to write it anyway", "; choose it again to write it", "; choose again to write"]
                    .map(with_columns)
            }
            Self::Answer => {
                ["; answer the same again to write it anyway", "; answer again to write it", "; answer again to write"]
                    .map(with_columns)
            }
        }
    }
}

fn with_columns(text: &str) -> (String, usize) {
    (text.to_owned(), columns(text))
}

/// Returns what is said where something cannot be played: as much of the reason as fits in a line, and how it is written anyway.
pub(super) fn refusal(reason: &str, asked: AskedBy) -> String {
    let cuts = reason.match_indices([':', ',']).map(|(end, _)| end);
    let shorter: Vec<&str> = cuts.chain([reason.len()]).rev().filter_map(|end| reason.get(..end)).collect();
    let ends = asked.written_anyway();
    let fitting = shorter.iter().find_map(|reason| {
        let (end, _) = ends.iter().find(|(_, room)| columns(reason) + room <= REFUSAL_ROOM)?;
        Some(format!("{reason}{end}"))
    });
    let [.., (end, room)] = &ends;
    fitting.unwrap_or_else(|| format!("{}{end}", fit_with(reason, REFUSAL_ROOM.saturating_sub(*room), "…")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::neck::StringNumber;
    use crate::lesson::id::PassageId;
    use crate::lesson::music::{Bar, Event, Voice};
    use crate::lesson::time::Length;
    use crate::workbench::keys::action::PassageAction;
    use crate::workbench::keys::table::KeyTable;

    /// Returns why these notes cannot be played one after the other.
    fn reasons(notes: [Note; 2]) -> Vec<String> {
        let event = |note| Event { notes: vec![note], ..Event::rest(Length::QUARTER) };
        let bar = Bar { voices: vec![Voice(notes.map(event).into())], ..Bar::default() };
        let passage = Passage::plain(PassageId(1), String::new(), vec![bar]);
        unplayable(&passage).into_iter().map(|finding| finding.reason).collect()
    }

    #[test]
    fn every_refusal_of_a_technique_fits_in_a_line_of_the_narrowest_screen() {
        let string = StringNumber::new(1).unwrap();
        let note = |fret, join, techniques| Note { join, techniques, ..Note::plain(string, Fret::new(fret).unwrap()) };
        let all: Vec<Technique> = TECHNIQUES.iter().map(|row| row.sample()).collect();
        let frets = [0, 1, 24];
        let mut found = Vec::new();
        for fret in frets {
            for one in &all {
                found.extend(reasons([note(fret, None, vec![*one]), note(3, None, Vec::new())]));
                for other in &all {
                    found.extend(reasons([note(fret, None, vec![*one, *other]), note(3, None, Vec::new())]));
                }
                for join in Join::ALL {
                    found.extend(reasons([note(fret, Some(join), vec![*one]), note(24, None, Vec::new())]));
                    found.extend(reasons([note(fret, Some(join), Vec::new()), note(24, None, vec![*one])]));
                    found.extend(reasons([note(24, Some(join), Vec::new()), note(fret, None, Vec::new())]));
                    found.extend(reasons([note(3, None, Vec::new()), note(fret, Some(join), Vec::new())]));
                }
            }
        }
        assert!(found.len() > 1000, "{}", found.len());
        found.sort();
        found.dedup();
        let keys = KeyTable::built_in();
        use PassageAction as A;
        let keyed = [A::Slur, A::Slide, A::Tie, A::Bend, A::Vibrato, A::PalmMute, A::DeadNote, A::Trill, A::LetRing];
        let by_keys = keyed.into_iter().chain([A::Tap, A::Harmonic, A::Stroke]).map(AskedBy::Key);
        let all: Vec<AskedBy> = by_keys.chain([AskedBy::List, AskedBy::Answer]).collect();
        for (reason, asked) in found.iter().flat_map(|reason| all.iter().map(move |asked| (reason, *asked))) {
            let text = keys.name_keys(&refusal(reason, asked));
            assert!(columns(&text) <= REFUSAL_ROOM, "{text}");
            let end = text.rsplit(';').next().unwrap();
            assert!(end.contains("again") && (end.contains("writ")), "how, and what then: {text}");
        }
    }

    /// Returns what has to be asked for a technique. The compiler asks here when a technique is new.
    const fn question(technique: Technique) -> Option<PassageQuestion> {
        use Technique as T;
        match technique {
            T::Bend(_) | T::BendRelease(_) | T::PreBend(_) | T::PreBendRelease(_) => Some(PassageQuestion::Bend),
            T::Trill(_) => Some(PassageQuestion::Trill),
            T::ArtificialHarmonic(_) => Some(PassageQuestion::TouchedHarmonic),
            T::TappedHarmonic(_) => Some(PassageQuestion::TappedHarmonic),
            T::TremoloBarDip(_) => Some(PassageQuestion::Dip),
            T::TremoloBarDive(_) => Some(PassageQuestion::Dive),
            T::SlideUpInto | T::SlideDownInto | T::SlideAwayDown | T::SlideAwayUp => None,
            T::Vibrato | T::PalmMute | T::Dead | T::Ghost | T::LetRing | T::TremoloPicking => None,
            T::Tap | T::FrettingHandTap | T::NaturalHarmonic | T::PinchHarmonic => None,
        }
    }

    #[test]
    fn every_technique_is_in_the_list_or_what_it_takes_is_asked_for() {
        for row in TECHNIQUES {
            let listed = plain().any(|technique| technique == row.sample());
            let asked = question(row.sample());
            assert_eq!(listed, asked.is_none(), "{}", row.name);
            assert!(asked.is_none() || ASKED.iter().any(|(known, _)| Some(known) == asked.as_ref()), "{}", row.name);
        }
    }

    #[test]
    fn what_cannot_be_played_here_is_named_once() {
        for (name, reason, line) in [
            (
                "pull-off",
                "a pull-off from fret 5 to fret 7: a pull-off goes to a lower fret",
                "(pull-off from fret 5 to fret 7: it goes to a lower fret)",
            ),
            (
                "hammer-on",
                "no note follows on this string for the hammer-on to lead to",
                "(hammer-on: no note follows on this string for it to lead to)",
            ),
            (
                "let ring",
                "palm mute and let ring together: it does not ring",
                "(let ring with palm mute: it does not ring)",
            ),
            (
                "slide",
                "a rest comes before the note the slide leads to",
                "(slide: a rest comes before the note it leads to)",
            ),
            ("vibrato", "some other reason", "(vibrato: some other reason)"),
        ] {
            assert_eq!(unfit_line(name, reason), line);
            assert_eq!(line.matches(name).count(), 1, "{line}");
        }
    }
}
