//! What was asked of the desk, and of its panes where that shows in more than one of them.

use std::path::PathBuf;
use std::sync::Arc;

use crate::lesson::harmony::named_rightly::names_of_shape;
use crate::store::open_lesson::Access;
use crate::store::undo_file::UndoFolder;
use crate::workbench::boxes::list::ListBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::desk::mending::mend_under_cursor;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::there_and_back::{NameForNotes, name_for_notes, take_to_fretboard};
use crate::workbench::desk::voicings::{insert_as_chord, insert_item};
use crate::workbench::drawing::unseen::Counted;
use crate::workbench::editing::header_changes::retitle_lesson;
use crate::workbench::editing::voicing_changes::instead_of;
use crate::workbench::keys::action::{
    DeskAction, Focus, FretboardAction, LibraryAction, NeckAction, PassageAction, ReadingsAction, RecordingAction,
};
use crate::workbench::messages::effect::{FileEffect, WorkToSave};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::fingers::GripOrigin;
use crate::workbench::panes::fretboard::grip::KeepOutcome;
use crate::workbench::panes::fretboard::neighbour::Neighbour;
use crate::workbench::panes::fretboard::{aiming, neck_keys, voicings};
use crate::workbench::panes::library::facts;
use crate::workbench::panes::passage::{Strike, rig_shown};
use crate::workbench::questions::desk::DeskQuestion;
use crate::workbench::questions::program::SaveAs;
use crate::workbench::questions::readings::ReadingsQuestion;

impl Desk {
    /// Does what was asked of the desk itself; leaving, help and the handout are the program's.
    pub fn act(&mut self, action: DeskAction) -> PaneReply {
        match action {
            DeskAction::NextPane => self.focus = self.focus.next(),
            DeskAction::PreviousPane => self.focus = self.focus.previous(),
            DeskAction::GoToTimeline => self.focus = Focus::Timeline,
            DeskAction::GoToPassage => self.focus = Focus::Passage,
            DeskAction::GoToFretboard => self.focus = Focus::Fretboard,
            DeskAction::GoToReadings => self.focus = Focus::Readings,
            DeskAction::GoToLibrary => self.focus = Focus::Library,
            DeskAction::Undo => return self.undo(),
            DeskAction::Redo => return self.redo(),
            DeskAction::Save => return self.save(SaveAs::Itself),
            DeskAction::ShowProblems if self.findings().is_empty() => {
                return PaneReply::say(Notice::done("no problems found"));
            }
            DeskAction::ShowProblems => {
                let title = "Problems".to_owned();
                return PaneReply::ask(Overlay::List(ListBox::new(title, Counted::Problems, self.problems())));
            }
            DeskAction::RetitleLesson => {
                let title = self.lesson.lesson().header.title.clone();
                let advice = "It is printed at the top of the handout.";
                return PaneReply::ask(Overlay::Entry(EntryBox::new(
                    DeskQuestion::LessonTitle,
                    "Title of the lesson",
                    advice,
                    title,
                )));
            }
            DeskAction::GoToRecording => {
                return self.recording.open(self.lesson.lesson(), self.timeline.selected());
            }
            DeskAction::ExportHandout | DeskAction::PreviewHandout | DeskAction::ShowHelp | DeskAction::GoToStart => {}
        }
        PaneReply::nothing()
    }

    /// Has the lesson saved.
    pub fn save(&mut self, to: SaveAs) -> PaneReply {
        self.lesson.begin_saving();
        PaneReply::want(FileEffect::Save(Box::new(work_of(self)), to))
    }

    /// Starts a save in another folder or another file.
    pub fn save_at(&mut self, path: PathBuf) -> PaneReply {
        self.lesson.begin_saving();
        PaneReply::want(FileEffect::SaveAt(Box::new(work_of(self)), path))
    }

    /// Does what was asked of the passage; `digit` is what it was asked with.
    pub fn act_on_passage(&mut self, action: PassageAction, digit: Option<u8>) -> PaneReply {
        if action == PassageAction::ToFretboard {
            return take_to_fretboard(self);
        }
        if action == PassageAction::Mend {
            let finding = self.passage.flaws.under_cursor().cloned();
            return mend_under_cursor(&mut self.lesson, finding);
        }
        // What is offered as a name over the tab has to be one on the strings of the passage too.
        let rig = rig_shown(&self.passage, self.lesson.lesson());
        let names = rig.map_or(self.fretboard.names(), |rig| self.fretboard.grip().names_on(&rig));
        let kept = names.first().cloned();
        self.passage.act(&mut self.lesson, action, Strike { digit, kept: kept.as_deref() })
    }

    /// Does what was asked of the fretboard.
    pub fn act_on_fretboard(&mut self, action: FretboardAction) -> PaneReply {
        match action {
            FretboardAction::SaveVoicing => self.save_voicing(),
            FretboardAction::TakeVoicingOut => {
                voicings::take_out(self.fretboard.origin(), &mut self.lesson, self.timeline.selected())
            }
            FretboardAction::NextVoicing => self.step_voicing(Neighbour::Next),
            FretboardAction::PreviousVoicing => self.step_voicing(Neighbour::Previous),
            FretboardAction::StringUp
            | FretboardAction::StringDown
            | FretboardAction::GoLeft
            | FretboardAction::GoRight
            | FretboardAction::ToNut
            | FretboardAction::ToLastFret
            | FretboardAction::PutFinger
            | FretboardAction::TypeFret
            | FretboardAction::Mute
            | FretboardAction::Open
            | FretboardAction::TypeShape
            | FretboardAction::CopyOut
            | FretboardAction::CycleDoubt
            | FretboardAction::CycleLabels
            | FretboardAction::Lift
            | FretboardAction::Clear => self.fretboard.act(action),
        }
    }

    /// Does what was asked of alternatives, of comparing and of how the neck is seen.
    pub fn act_on_neck(&mut self, action: NeckAction) -> PaneReply {
        let which = match action {
            NeckAction::NextTarget => Neighbour::Next,
            NeckAction::PreviousTarget => Neighbour::Previous,
            other => return neck_keys::act(&mut self.fretboard, other),
        };
        aiming::aim(&mut self.fretboard, &self.lesson, self.timeline.selected(), which)
    }

    /// Does what was asked of the readings.
    pub fn act_on_readings(&mut self, action: ReadingsAction) -> PaneReply {
        if action == ReadingsAction::StateBass {
            let now =
                self.fretboard.grip().bass_on(self.fretboard.rig()).map_or(String::new(), |bass| bass.to_string());
            let advice = "The note as it sounds, as in F#. Leave empty: the lowest string is the bass.";
            return PaneReply::ask(Overlay::Entry(EntryBox::new(
                ReadingsQuestion::StatedBass,
                "Bass note played by another instrument",
                advice,
                now,
            )));
        }
        if action == ReadingsAction::NameInPassage {
            return match name_for_notes(self) {
                Ok(NameForNotes { change, name, done, at: (passage, spot) }) => {
                    let refused = change.is_some() && *self.lesson.access() != Access::Full;
                    let before = self.fretboard.names().to_vec();
                    let done = format!("{done}{}", instead_of(&before, std::slice::from_ref(&name.played)));
                    if !refused {
                        // What was kept before is not the name of these notes any more.
                        let (grip, rig) = (self.fretboard.grip().clone(), Arc::clone(self.fretboard.rig()));
                        if grip.names_on(&rig) != [name.played.as_str()] {
                            self.fretboard.put_back(grip.called(&name.played, &rig), GripOrigin::Hand);
                        }
                        self.from_tab.iter_mut().for_each(|from| from.stood = Some(name.clone()));
                    }
                    let reply = match change {
                        Some(change) => PaneReply::of_change(&mut self.lesson, done, |open| open.change(change)),
                        None => PaneReply::say(Notice::done(done)),
                    };
                    self.focus = Focus::Passage;
                    self.passage.go_to_spot(self.lesson.lesson(), self.timeline.selected(), passage, spot);
                    reply
                }
                Err(why) => PaneReply::note(why),
            };
        }
        if action != ReadingsAction::Keep {
            self.readings.act(action);
            return PaneReply::nothing();
        }
        let Some(named) = self.readings.selected() else {
            return PaneReply::say(Notice::note("nothing sounds yet: put a finger on the fretboard"));
        };
        // What is ticked is dropped under the name that was kept.
        let symbol = named.kept_as.clone().unwrap_or_else(|| named.reading.symbol.clone());
        let symbol = names_of_shape(&[symbol], &self.fretboard.grip().shape, self.fretboard.rig()).concat();
        PaneReply::say(match self.fretboard.keep(&symbol) {
            KeepOutcome::Added => {
                Notice::done(format!("kept {symbol}; {{Fretboard(SaveVoicing)}} on the fretboard saves the voicing"))
            }
            KeepOutcome::Dropped => Notice::done(format!("no longer kept: {symbol}")),
        })
    }

    /// Takes what was typed as the answer to a question of the readings; an empty text: nobody else plays a bass. Errors: in
    /// words, that the text is no note.
    pub fn answer_readings(&mut self, question: ReadingsQuestion, text: &str) -> Result<PaneReply, String> {
        let bass = match (question, text.trim()) {
            (ReadingsQuestion::StatedBass, "") => None,
            (ReadingsQuestion::StatedBass, text) => Some(text.parse().map_err(|error| format!("{error}"))?),
        };
        self.fretboard.state_bass(bass);
        Ok(PaneReply::say(Notice::done(match bass {
            Some(bass) => format!("bass note {bass}, played by another instrument"),
            None => "the lowest string is the bass".to_owned(),
        })))
    }

    /// Does what was asked of the recording view; the segment that is recorded now is the selected one.
    pub fn act_on_recording(&mut self, action: RecordingAction) -> PaneReply {
        let mut selected = self.timeline.selected();
        let reply = self.recording.act(&mut self.lesson, &mut selected, action);
        if let Some(segment) = selected {
            self.timeline.select(segment);
        }
        reply
    }

    /// Does what was asked of the library.
    pub fn act_on_library(&mut self, action: LibraryAction) -> PaneReply {
        match action {
            LibraryAction::Take => self.put_item(voicings::taken),
            LibraryAction::CarryOver => self.put_item(voicings::carried_over),
            LibraryAction::Insert => self
                .with_item(|desk, item| insert_item(&mut desk.lesson, &desk.fretboard, desk.timeline.selected(), item)),
            LibraryAction::InsertAsChord => self.with_item(|desk, item| {
                let panes = (&desk.fretboard, &mut desk.passage);
                insert_as_chord(&mut desk.lesson, panes, desk.timeline.selected(), item)
            }),
            LibraryAction::EditTags => self.with_item(|desk, item| facts::ask_tags(&desk.lesson, item)),
            LibraryAction::ShowAbout => self.with_item(|desk, item| facts::show_about(&desk.lesson, item)),
            LibraryAction::TakeOut => self.library.take_out(&mut self.lesson),
            LibraryAction::JoinDuplicates => self.library.join_duplicates(),
            LibraryAction::SortByShape => PaneReply::note(self.library.sort_by_shape()),
            LibraryAction::Previous
            | LibraryAction::Next
            | LibraryAction::PageUp
            | LibraryAction::PageDown
            | LibraryAction::Left
            | LibraryAction::Right
            | LibraryAction::ToggleGrids
            | LibraryAction::First
            | LibraryAction::Last
            | LibraryAction::Find
            | LibraryAction::ShowAll => {
                self.library.act(action);
                PaneReply::nothing()
            }
        }
    }

    /// Takes what was typed as the answer to a question of the desk.
    ///
    /// Errors: none so far; every asker answers in the same way.
    pub fn answer(&mut self, question: DeskQuestion, text: &str) -> Result<PaneReply, String> {
        Ok(match question {
            DeskQuestion::LessonTitle => {
                PaneReply::of_change(&mut self.lesson, "title of the lesson changed", |open| retitle_lesson(open, text))
            }
        })
    }
}

/// Returns the lesson to be saved, with the changes that undo takes back behind the save.
fn work_of(desk: &Desk) -> WorkToSave {
    let changes = desk.steps.history.changes(UndoFolder::MOST);
    WorkToSave { lesson: desk.lesson.lesson().clone(), changes }
}
