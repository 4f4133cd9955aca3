//! The search finds what a player would type.
//!
//! Common practice, no source: these are the words of the trade for what the workbench can do.

use fingerpost::workbench::boxes::search::SearchBox;
use fingerpost::workbench::keys::action::{Action, Focus, Pane};
use fingerpost::workbench::keys::table::KeyTable;

/// What is typed, and the actions that it may lead to.
const WORDS: &[(&str, &str)] = &[
    ("loop", "Sound(ToggleRound)"),
    ("repeat", "Sound(ToggleRound) Passage(ChooseBar)"),
    ("metronome", "Sound(Choose)"),
    ("click", "Sound(Choose)"),
    ("volume", "Sound(Louder) Sound(Softer) Sound(Choose)"),
    ("speed", "Sound(TypeTempo) Sound(Slower) Sound(Faster)"),
    ("slower", "Sound(Slower)"),
    ("playback", "Sound(Hear) Sound(Choose) Sound(Stop)"),
    ("stop", "Sound(Stop)"),
    ("count-in", "Sound(Choose)"),
    ("triplet", "Passage(Triplet)"),
    ("dotted", "Passage(Dot)"),
    ("time signature", "Passage(ChooseBar)"),
    ("measure", "Passage(ChooseBar) Passage(InsertBar)"),
    ("duration", "Passage(TypeLength) Passage(Shorter) Passage(Longer)"),
    ("note value", "Passage(TypeLength) Passage(Shorter) Passage(Longer)"),
    ("hammer", "Passage(Slur)"),
    ("pull", "Passage(Slur)"),
    ("slide", "Passage(Slide)"),
    ("bend", "Passage(Bend)"),
    ("release", "Passage(Bend)"),
    ("vibrato", "Passage(Vibrato)"),
    ("palm mute", "Passage(PalmMute)"),
    ("let ring", "Passage(LetRing)"),
    ("dead note", "Passage(DeadNote)"),
    ("ghost note", "Passage(Techniques)"),
    ("harmonic", "Passage(Harmonic)"),
    ("pinch", "Passage(Techniques)"),
    ("tap", "Passage(Tap)"),
    ("trill", "Passage(Techniques)"),
    ("grace", "Passage(Techniques)"),
    ("tremolo", "Passage(Techniques)"),
    ("rake", "Passage(Techniques)"),
    ("whammy", "Passage(Techniques)"),
    ("barre", "Neck(SuggestFingers)"),
    ("octave", "Passage(Transpose)"),
    ("strum", "Passage(Stroke) Passage(Techniques)"),
    ("rest", "Passage(Rest)"),
    ("tie", "Passage(Tie)"),
    ("pickup", "Passage(ChooseBar)"),
    ("ending", "Passage(ChooseBar)"),
    ("transpose", "Passage(Transpose)"),
    ("duplicate", "Timeline(Duplicate) Passage(Copy)"),
    ("delete", "Timeline(Delete) Passage(Lift) Fretboard(TakeVoicingOut) Library(TakeOut)"),
    ("undo", "Desk(Undo)"),
    ("redo", "Desk(Redo)"),
    ("import", "Passage(ReadTab)"),
    ("export", "Desk(ExportHandout) Desk(PreviewHandout)"),
    ("print", "Desk(ExportHandout) Desk(PreviewHandout)"),
    ("pdf", "Desk(ExportHandout) Desk(PreviewHandout)"),
    ("chapters", "Timeline(Stamp) Desk(GoToRecording)"),
    ("diagram", "Library(ToggleGrids) Neck(NameChord)"),
    ("chord name", "Neck(NameChord) Passage(NameChord)"),
    ("inversion", "Neck(InversionUp) Neck(InversionDown)"),
    ("scale", "Neck(ShowKeyNotes)"),
    ("capo", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("tuning", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("marker", "Timeline(Stamp)"),
    ("timer", "Desk(GoToRecording)"),
    ("record", "Desk(GoToRecording)"),
    ("retake", "Recording(Retake) Desk(GoToRecording)"),
    ("quit", "Program(Quit)"),
    ("save", "Desk(Save)"),
    ("settings", "Program(ChooseColours) Sound(Choose)"),
    ("theme", "Program(ChooseColours)"),
    ("left-handed", "Neck(TurnLeftHanded)"),
];

fn first_three(here: Pane, query: &str) -> Vec<String> {
    let mut search = SearchBox::new(&KeyTable::built_in(), here, &Focus::ALL);
    search.type_all(query).unwrap();
    search.found().take(3).map(|offer| format!("{:?}", offer.action)).collect()
}

#[test]
fn each_leads_to_its_action_among_the_first_three_from_every_pane() {
    let all: Vec<String> = Action::all().map(|action| format!("{action:?}")).collect();
    let mut missed = Vec::new();
    for (query, meant) in WORDS {
        let meant: Vec<&str> = meant.split(' ').collect();
        for name in &meant {
            assert!(all.iter().any(|action| action == name), "there is no action {name}");
        }
        for here in Focus::ALL.map(Focus::pane) {
            let found = first_three(here, query);
            if !found.iter().any(|action| meant.contains(&action.as_str())) {
                missed.push(format!("{query} in {here:?}: {found:?}"));
            }
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

#[test]
fn nobody_has_to_type_a_word_to_its_end() {
    for (begun, action) in
        [("metron", "Sound(Choose)"), ("tripl", "Passage(Triplet)"), ("transp", "Passage(Transpose)")]
    {
        assert!(first_three(Pane::Timeline, begun).iter().any(|found| found == action), "{begun}");
    }
}
