//! The search finds what a player would type.
//!
//! Common practice, no source: these are the words of the trade for what the workbench can do.

use clap::Parser as _;
use fingerpost::cli::args::CommandLine;
use fingerpost::instrument::catalogue;
use fingerpost::workbench::boxes::overlay::Overlay;
use fingerpost::workbench::boxes::search::SearchBox;
use fingerpost::workbench::keys::action::{Action, Focus, Pane};
use fingerpost::workbench::keys::table::KeyTable;
use ratatui::layout::Rect;

use super::bench::{Bench, text_of};

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
    ("trill", "Passage(Trill)"),
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
    ("chapters", "Timeline(CopyChapters)"),
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
    ("author", "Timeline(ListPieces)"),
    ("composer", "Timeline(ListPieces)"),
    ("writer", "Timeline(ListPieces)"),
    ("songwriter", "Timeline(ListPieces)"),
    ("copyright", "Timeline(ListPieces)"),
    ("permission", "Timeline(ListPieces)"),
    ("credits", "Timeline(ListPieces)"),
    ("song", "Timeline(NamePiece) Timeline(ListPieces)"),
    ("bpm", "Sound(TypeTempo) Passage(ChooseBar)"),
    ("tempo", "Passage(ChooseBar) Sound(TypeTempo)"),
    ("key change", "Passage(ChooseBar)"),
    ("modulation", "Passage(ChooseBar) Passage(Transpose)"),
    ("chord chart", "Library(ToggleGrids)"),
    ("chord diagram", "Library(ToggleGrids) Neck(NameChord)"),
    ("lyrics", "Passage(WriteWords)"),
    ("comment", "Passage(WriteWords)"),
    ("swing", "Passage(ChooseBar)"),
    ("shuffle", "Passage(ChooseBar)"),
    ("legato", "Passage(Slur) Passage(Slide)"),
    ("downstroke", "Passage(Stroke)"),
    ("upstroke", "Passage(Stroke) Sound(HearUpward)"),
    ("alternate picking", "Passage(Stroke)"),
    ("strumming", "Passage(Stroke)"),
    ("arpeggio", "Sound(HearSlowly) Passage(Techniques)"),
    ("fingering", "Neck(SuggestFingers)"),
    ("slash chord", "Readings(StateBass)"),
    ("quarter note", "Passage(TypeLength)"),
    ("sixteenth", "Passage(TypeLength)"),
    ("rename", "Timeline(Retitle) Desk(RetitleLesson)"),
    ("title", "Timeline(Retitle) Desk(RetitleLesson)"),
    ("reorder", "Timeline(MoveEarlier) Timeline(MoveLater) Timeline(MoveToPlace)"),
    ("clone", "Timeline(Duplicate)"),
    ("script", "Timeline(EditPoints)"),
    ("camera", "Timeline(EditShot) Desk(GoToRecording)"),
    ("amp", "Timeline(EditTone)"),
    ("clipboard", "Passage(CopyOut) Fretboard(CopyOut)"),
    ("paste", "Passage(Paste)"),
    ("open file", "Desk(GoToStart) Passage(ReadTab)"),
    ("new lesson", "Desk(GoToStart)"),
    ("errors", "Desk(ShowProblems)"),
    ("colors", "Program(ChooseColours)"),
    ("help", "Desk(ShowHelp)"),
    ("shortcuts", "Desk(ShowHelp)"),
    ("key signature", "Passage(ChooseBar)"),
    ("pizzicato", NOWHERE),
    ("bagpipes", NOWHERE),
    ("go to bar", "Passage(PreviousBar) Passage(NextBar)"),
    ("bass line", "Passage(SwitchVoice)"),
    ("melody", "Passage(SwitchVoice)"),
    ("select all", "Passage(Mark)"),
    ("identify chord", "Passage(ToFretboard)"),
    ("reading", "Desk(GoToReadings) Readings(Previous) Readings(Next) Readings(Keep)"),
    ("left hand", "Neck(TurnLeftHanded)"),
    ("hand size", "Neck(ChangeHand)"),
    ("beginner", "Neck(ChangeLevel)"),
    ("easy chords", "Neck(ChangeLevel)"),
    ("mute string", "Fretboard(Mute)"),
    ("tapped", "Passage(Tap) Passage(Techniques)"),
    ("tapped harmonic", "Passage(Techniques)"),
    ("pinch harmonics", "Passage(Techniques)"),
    ("trills", "Passage(Trill) Passage(Techniques)"),
    ("new bar", "Passage(InsertBar)"),
    ("add bar", "Passage(InsertBar)"),
    ("insert bar before", "Passage(InsertBarBefore)"),
    ("bar before", "Passage(InsertBarBefore)"),
    ("add a bar", "Passage(InsertBar)"),
    ("make measure", "Passage(InsertBar)"),
    ("create bar", "Passage(InsertBar)"),
    ("delete bar", "Passage(RemoveBar)"),
    ("remove measure", "Passage(RemoveBar)"),
    ("erase bars", "Passage(RemoveBar)"),
    ("new piece", "Timeline(NamePiece)"),
    ("new song", "Timeline(NamePiece)"),
    ("add piece", "Timeline(NamePiece)"),
    ("delete piece", "Timeline(ListPieces)"),
    ("rename song", "Timeline(ListPieces) Timeline(NamePiece)"),
    ("new tuning", "Timeline(AddSetup) Timeline(ChooseSetup)"),
    ("change tuning", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("delete tuning", "Timeline(ChooseSetup)"),
    ("remove tuning", "Timeline(ChooseSetup)"),
    ("new segment", "Timeline(AddAfter) Timeline(AddBefore)"),
    ("add segment", "Timeline(AddAfter) Timeline(AddBefore)"),
    ("insert segment", "Timeline(AddAfter) Timeline(AddBefore)"),
    ("delete segment", "Timeline(Delete)"),
    ("remove segment", "Timeline(Delete)"),
    ("erase segments", "Timeline(Delete)"),
    ("copy segment", "Timeline(Duplicate)"),
    ("duplicate segment", "Timeline(Duplicate)"),
    ("move segment", "Timeline(MoveEarlier) Timeline(MoveLater) Timeline(MoveToPlace)"),
    ("new passage", "Passage(NewPassage)"),
    ("add passage", "Passage(NewPassage)"),
    ("delete passage", "Passage(ChooseBar) Timeline(ChoosePassages)"),
    ("add chord", "Library(InsertAsChord) Library(Insert) Neck(NameChord)"),
    ("copy chord", "Fretboard(CopyOut)"),
    ("copy shape", "Fretboard(CopyOut)"),
    ("delete chord", "Fretboard(TakeVoicingOut) Library(TakeOut)"),
    ("delete voicing", "Fretboard(TakeVoicingOut) Library(TakeOut)"),
    ("save chord", "Fretboard(SaveVoicing)"),
    ("delete note", "Passage(Lift) Passage(RemoveEvent)"),
    ("erase note", "Passage(Lift) Passage(RemoveEvent)"),
    ("copy notes", "Passage(Copy)"),
    ("outline", "Desk(GoToTimeline)"),
    (
        "segments",
        "Timeline(AddAfter) Timeline(AddBefore) Timeline(Previous) Timeline(Next) Timeline(Delete) Desk(GoToTimeline)",
    ),
    (
        "chords",
        "Fretboard(TypeShape) Passage(NameAll) Timeline(ChooseVoicings) Neck(NameChord) Passage(NameChord) Library(ToggleGrids) Library(InsertAsChord) Fretboard(SaveVoicing)",
    ),
    ("bars", "Passage(ChooseBar) Passage(InsertBar) Passage(RemoveBar) Passage(FillBar)"),
    ("tunings", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("slides", "Passage(Slide)"),
    ("shift slide", "Passage(Slide)"),
    ("legato slide", "Passage(Slide)"),
    ("hammer-ons", "Passage(Slur)"),
    ("pull-offs", "Passage(Slur)"),
    ("bends", "Passage(Bend)"),
    (
        "voicings",
        "Desk(GoToLibrary) Timeline(ChooseVoicings) Library(Previous) Library(Next) Library(Find) Fretboard(SaveVoicing)",
    ),
    ("slow down", "Sound(Slower) Sound(TypeTempo)"),
    ("speed up", "Sound(Faster)"),
    ("change tempo", "Passage(ChooseBar) Sound(TypeTempo)"),
    ("set tempo", "Passage(ChooseBar) Sound(TypeTempo)"),
    ("change key", "Passage(ChooseBar) Passage(Transpose) Timeline(NamePiece)"),
    ("change time signature", "Passage(ChooseBar)"),
    ("change title", "Timeline(Retitle) Desk(RetitleLesson)"),
    ("edit title", "Timeline(Retitle) Desk(RetitleLesson)"),
    ("edit points", "Timeline(EditPoints)"),
    ("add points", "Timeline(EditPoints)"),
    ("drop d", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("drop tuning", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("set capo", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("damping", "Passage(PalmMute)"),
    ("downstrokes", "Passage(Stroke)"),
    ("first ending", "Passage(ChooseBar)"),
    ("second ending", "Passage(ChooseBar)"),
    ("1st ending", "Passage(ChooseBar)"),
    ("2nd ending", "Passage(ChooseBar)"),
    ("3rd ending", "Passage(ChooseBar)"),
    ("alternate ending", "Passage(ChooseBar)"),
    ("upbeat", "Passage(ChooseBar)"),
    ("pick-up", "Passage(ChooseBar)"),
    ("lead-in", "Passage(ChooseBar)"),
    ("incomplete bar", "Passage(ChooseBar)"),
    ("incomplete measure", "Passage(ChooseBar)"),
    ("partial bar", "Passage(ChooseBar)"),
    ("rename chord", "Passage(NameChord)"),
    ("finger numbers", "Neck(SuggestFingers)"),
    ("finger number", "Neck(SuggestFingers)"),
    ("bar number", "Passage(PreviousBar) Passage(NextBar)"),
    ("bar numbers", "Passage(PreviousBar) Passage(NextBar)"),
    ("copy bar", "Passage(Copy)"),
    ("copy bars", "Passage(Copy)"),
    ("duplicate bar", "Passage(Copy)"),
    ("delete recording", "Timeline(Stamp)"),
    ("remove recording", "Timeline(Stamp)"),
    ("open passage", "Passage(NewPassage)"),
    ("rename passage", "Passage(ChooseBar)"),
    ("title passage", "Passage(ChooseBar)"),
    ("passage title", "Passage(ChooseBar)"),
    ("feel", "Passage(ChooseBar)"),
    ("straight", "Passage(ChooseBar)"),
    ("swung eighths", "Passage(ChooseBar)"),
    ("play-along", "Timeline(ChooseKind)"),
    ("performance", "Timeline(ChooseKind)"),
    ("walkthrough", "Timeline(ChooseKind)"),
    ("practised", "Timeline(ChooseProgress)"),
    ("drafted", "Timeline(ChooseProgress)"),
    ("rename tuning", "Timeline(ChooseSetup)"),
    ("rename piece", "Timeline(ListPieces)"),
    ("sound device", "Sound(Choose)"),
    ("strumming pattern", "Passage(Stroke)"),
    ("sharp", "Passage(Transpose) Passage(ChooseBar)"),
    ("flat", "Passage(Transpose) Passage(ChooseBar)"),
    ("flats", "Passage(Transpose) Passage(ChooseBar)"),
    ("double stop", "Passage(TypeFret)"),
    ("ritardando", "Passage(ChooseBar)"),
    ("ukulele", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("instrument", "Timeline(ChooseSetup) Timeline(AddSetup) Sound(Choose)"),
    ("backup", "Desk(Save)"),
    ("copy", "Passage(Copy) Timeline(Duplicate) Fretboard(CopyOut)"),
    ("mute", "Fretboard(Mute) Passage(DeadNote) Passage(PalmMute)"),
    ("unmute", "Fretboard(Open) Fretboard(Mute)"),
    ("high E", "Passage(StringUp) Fretboard(StringUp) Neck(TurnStrings)"),
    ("next bar", "Passage(NextBar)"),
    ("sort", "Timeline(MoveEarlier) Timeline(MoveLater) Timeline(MoveToPlace)"),
    ("open", "Desk(GoToStart)"),
    ("recent", "Desk(GoToStart)"),
    ("notes", "Timeline(EditPoints) Timeline(EditShot) Timeline(EditTone)"),
    ("talking points", "Timeline(EditPoints)"),
    ("audio", "Sound(Choose)"),
    ("let it ring", "Passage(LetRing)"),
    ("let ring all", "Passage(LetRing)"),
    ("standard tuning", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("open tuning", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("alternate tuning", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("open g", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("half step down", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("no capo", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("mandolin", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("mixolydian", "Timeline(NamePiece) Passage(ChooseBar)"),
    ("banjo", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("baritone", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("dadgad", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("detune", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("tune down", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
    ("12-string", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("7 string", "Timeline(ChooseSetup) Timeline(AddSetup)"),
    ("nylon", "Sound(Choose)"),
    ("steel string", "Sound(Choose)"),
    ("distortion", "Sound(Choose) Timeline(EditTone)"),
    ("dampen", "Passage(PalmMute)"),
    ("choke", "Passage(DeadNote) Passage(DeadStrum)"),
    ("mute all", "Passage(DeadStrum)"),
    ("mute all strings", "Passage(DeadStrum)"),
    ("roman numeral", "Fretboard(CycleLabels)"),
    ("glissando", "Passage(Slide)"),
    ("slur", "Passage(Slur)"),
    ("minor", "Timeline(NamePiece) Passage(ChooseBar)"),
    ("barre chord", "Neck(NameChord)"),
    ("power chord", "Neck(NameChord)"),
    ("triad", "Neck(Smaller)"),
    ("broken chord", "Sound(HearSlowly)"),
    ("fret number", "Passage(TypeFret) Fretboard(TypeFret)"),
    ("whole note", "Passage(TypeLength)"),
    ("tuplet", "Passage(Triplet) Passage(TypeLength)"),
    ("intro", "Timeline(ChooseKind)"),
    ("outro", "Timeline(ChooseKind)"),
    ("verse", "Passage(NewPassage) Timeline(ChoosePassages)"),
    ("riff", "Passage(NewPassage) Timeline(ChoosePassages)"),
    ("lick", "Passage(NewPassage) Timeline(ChoosePassages)"),
    ("foot pedal", "Recording(Advance) Desk(GoToRecording)"),
    ("teleprompter", "Desk(GoToRecording)"),
    ("half speed", "Sound(Slower) Sound(TypeTempo)"),
    ("practice", "Sound(Slower) Sound(ToggleRound) Timeline(ChooseKind)"),
    ("common tones", "Neck(Compare)"),
    ("voice leading", "Neck(NextTarget)"),
    ("substitution", "Neck(Elsewhere) Neck(NameChord)"),
    ("caged", "Neck(Elsewhere) Neck(NameChord)"),
    ("zoom", "Timeline(ZoomIn) Timeline(ZoomOut)"),
    ("dark mode", "Program(ChooseColours)"),
    ("print preview", "Desk(PreviewHandout)"),
    ("repeat sign", "Passage(ChooseBar)"),
    ("merge bars", "Passage(MergeBar)"),
    ("empty bar", "Passage(InsertBar)"),
    ("pinky", "Neck(SuggestFingers) Passage(Techniques)"),
    ("thumb", "Neck(SuggestFingers) Passage(Techniques)"),
    ("bookmark", "Timeline(Stamp)"),
    ("close lesson", "Desk(GoToStart)"),
    ("loop section", "Sound(ToggleRound)"),
    ("capo 3", "Timeline(ChooseSetup) Timeline(AddSetup) Passage(PlaceAnew)"),
];

/// What the program has not: such a word finds nothing, and the box says so.
const NOWHERE: &str = "";

/// What no key does: a word of it, and what is said instead: the command that does it, or what comes near.
const POINTED: &[(&str, &str)] = &[
    ("wav", "fingerpost render"),
    ("flac", "fingerpost render"),
    ("mp3", "fingerpost render"),
    ("export", "fingerpost render"),
    ("audio file", "fingerpost render"),
    ("backing tracks", "fingerpost render"),
    ("midi", "fingerpost place"),
    ("import midi", "fingerpost place"),
    ("export midi", "fingerpost place"),
    ("subtitle", "fingerpost chapters"),
    ("subtitles", "fingerpost chapters"),
    ("captions", "fingerpost chapters"),
    ("chord progression", "fingerpost voicings --path"),
    ("json", "fingerpost name"),
    ("fermata", "writes words"),
    ("accents", "writes words"),
    ("dynamics", "writes words"),
    ("crescendo", "writes words"),
    ("staccato", "writes words"),
    ("coda", "repeats and numbered endings"),
    ("segno", "repeats and numbered endings"),
    ("da capo", "repeats and numbered endings"),
    ("sheet music", "as tab only"),
    ("standard notation", "as tab only"),
    ("font size", "in the terminal"),
    ("autosave", "journal"),
    ("delete lesson", "as any other file"),
];

/// What leads to one action before all others, though another list has it too.
const FIRST: [(&str, &str); 6] = [
    ("rename passage", "Passage(ChooseBar)"),
    ("title passage", "Passage(ChooseBar)"),
    ("dead strum", "Passage(DeadStrum)"),
    ("muted strum", "Passage(DeadStrum)"),
    ("palm mute", "Passage(PalmMute)"),
    ("time signature", "Passage(ChooseBar)"),
];

/// The search as begun in each pane, with nothing typed.
fn searches() -> Vec<(Pane, SearchBox)> {
    let table = KeyTable::built_in();
    Focus::ALL.map(Focus::pane).map(|here| (here, SearchBox::new(&table, here, &Focus::ALL))).into()
}

fn first_three(search: &SearchBox, query: &str) -> Vec<String> {
    let mut search = search.clone();
    search.type_all(query).unwrap();
    search.found().take(3).map(|offer| format!("{:?}", offer.action)).collect()
}

#[test]
fn each_leads_to_its_action_among_the_first_three_from_every_pane() {
    let all: Vec<String> = Action::all().map(|action| format!("{action:?}")).collect();
    let mut missed = Vec::new();
    let searches = searches();
    for (query, meant) in WORDS.iter().filter(|(_, meant)| *meant != NOWHERE) {
        let meant: Vec<&str> = meant.split(' ').collect();
        for name in &meant {
            assert!(all.iter().any(|action| action == name), "there is no action {name}");
        }
        for (here, search) in &searches {
            let found = first_three(search, query);
            if !found.iter().any(|action| meant.contains(&action.as_str())) {
                missed.push(format!("{query} in {here:?}: {found:?}"));
            }
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

#[test]
fn nobody_has_to_type_a_word_to_its_end() {
    let searches = searches();
    for (begun, action) in
        [("metron", "Sound(Choose)"), ("tripl", "Passage(Triplet)"), ("transp", "Passage(Transpose)")]
    {
        assert!(first_three(&searches[0].1, begun).iter().any(|found| found == action), "{begun}");
    }
}

#[test]
fn what_is_called_so_comes_before_a_list_that_has_it_too() {
    let searches = searches();
    for (query, action) in FIRST {
        for (here, search) in &searches {
            assert_eq!(first_three(search, query).first().map(String::as_str), Some(action), "{query} in {here:?}");
        }
    }
}

#[test]
fn a_word_that_leads_nowhere_is_said_to_and_others_are_suggested() {
    for (query, _) in WORDS.iter().filter(|(_, meant)| *meant == NOWHERE) {
        let mut bench = Bench::small((80, 24));
        bench.strike(&format!("P Ctrl+F \"{query}\""));
        let said = format!("Nothing found for \"{query}\"");
        assert!(bench.screen().contains(&said), "{}", bench.screen());
        assert!(bench.screen().contains("tempo, tuning"), "other words: {}", bench.screen());
        bench.strike("Enter");
        assert!(bench.notice().starts_with("nothing found"), "{}", bench.notice());
    }
    let mut bench = Bench::small((80, 24));
    bench.strike("Ctrl+F \"theme\"");
    match &bench.state.overlay {
        Some(Overlay::Search(search)) => assert_eq!(search.found().len(), 1, "{}", bench.screen()),
        _ => panic!("{}", bench.screen()),
    }
    bench.strike("Ctrl+U \"export bagpipes\"");
    assert!(bench.screen().contains("fingerpost render"), "one of the words is enough: {}", bench.screen());
    bench.strike("Ctrl+U \"tune bagpipes\"");
    assert!(bench.screen().contains("Nothing found for \"bagpipes\""), "{}", bench.screen());
    bench.strike("Ctrl+U \"vibatro\"");
    assert!(bench.screen().contains("Perhaps: vibrato"), "{}", bench.screen());
    bench.strike("Ctrl+U \"vibrato capo\"");
    assert!(bench.screen().contains("fewer of them find more"), "{}", bench.screen());
}

#[test]
fn what_no_key_does_is_said_with_the_command_or_with_what_comes_near() {
    for (query, said) in POINTED {
        for size in [(80, 24), (200, 50)] {
            let mut bench = Bench::small(size);
            bench.strike(&format!("P Ctrl+F \"{query}\""));
            let seen = inside_of_box(&bench).split_whitespace().collect::<Vec<&str>>().join(" ");
            assert!(seen.contains(said), "{query}: {said}\n{}", bench.screen());
            assert!(!seen.contains("Nothing found"), "{}", bench.screen());
            if first_three(&searches()[0].1, query).is_empty() {
                assert!(bench.strike("Enter").notice().contains(said), "{query}: {}", bench.notice());
            }
        }
    }
}

#[test]
fn a_command_that_is_pointed_to_is_one() {
    let mut seen = 0;
    for line in include_str!("../../../assets/pointers.txt").lines().filter(|line| !line.starts_with('#')) {
        for command in line.split('"').skip(1).step_by(2) {
            let words = command.replace("'Em7 D G'", "Em7");
            let parsed = CommandLine::try_parse_from(words.split_whitespace());
            assert!(parsed.is_ok_and(|line| line.command.is_some()), "{command}");
            seen += 1;
        }
    }
    assert!(seen >= 5, "{seen} commands");
}

#[test]
fn every_instrument_and_tuning_that_is_known_leads_to_the_choice_of_a_tuning() {
    let instruments = catalogue::instruments().iter().map(|known| known.instrument.name.as_str());
    let names: Vec<&str> = instruments.chain(catalogue::tunings().iter().map(|known| known.name.as_str())).collect();
    let mut missed = Vec::new();
    for (here, search) in searches() {
        for name in names.iter().filter(|name| **name != "standard") {
            let found = first_three(&search, name);
            if !found.iter().any(|action| action.starts_with("Timeline(ChooseSetup") || action == "Timeline(AddSetup)")
            {
                missed.push(format!("{name} in {here:?}: {found:?}"));
            }
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

#[test]
fn letters_within_a_word_find_nothing() {
    for (_, search) in searches() {
        for query in ["stem", "notation", "ersion"] {
            assert_eq!(first_three(&search, query), Vec::<String>::new(), "{query}");
        }
    }
}

#[test]
fn every_list_of_keys_shows_each_key_whole() {
    for script in ["P Ctrl+F \"delete\"", "P Ctrl+F \"select\"", "P Ctrl+F \"move\""] {
        let mut bench = Bench::small((80, 24));
        bench.strike(script);
        let Some(Overlay::Search(search)) = &bench.state.overlay else { panic!("{}", bench.screen()) };
        let offers: Vec<(Action, String)> = search.found().map(|offer| (offer.action, offer.keys.clone())).collect();
        for (action, keys) in offers {
            let seen = inside_of_box(&bench).split_whitespace().collect::<Vec<&str>>().join(" ");
            assert!(seen.contains(&keys), "{action:?}: {keys}\n{}", bench.screen());
            bench.strike("Down");
        }
    }
    let mut bench = Bench::small((80, 24));
    bench.strike("P ? Enter");
    for _ in 0..40 {
        let cut = inside_of_box(&bench)
            .lines()
            .filter(|line| line.contains("+"))
            .any(|line| line.split_whitespace().any(|word| word.contains('+') && word.ends_with('…')));
        assert!(!cut && !inside_of_box(&bench).contains("Delet…"), "{}", bench.screen());
        bench.strike("Down");
    }
}

/// What stands in the box on top.
fn inside_of_box(bench: &Bench) -> String {
    let buffer = bench.buffer();
    let at = |corner: &str| {
        let place = buffer.content.iter().position(|cell| cell.symbol() == corner).expect("there is a box");
        buffer.pos_of(place)
    };
    let ((left, top), (right, bottom)) = (at("┌"), at("┘"));
    text_of(&buffer, Rect { x: left + 1, y: top + 1, width: right - left - 1, height: bottom - top - 1 })
}

#[test]
fn all_of_what_the_selected_action_does_is_shown_at_every_size() {
    for size in [(80, 24), (120, 36), (200, 50)] {
        let mut bench = Bench::small(size);
        bench.strike("P Ctrl+F");
        let helps: Vec<String> = match &bench.state.overlay {
            Some(Overlay::Search(search)) => search.found().map(|offer| offer.help.clone()).collect(),
            _ => panic!("the search is open"),
        };
        // The longest at each size, and at the smallest those of the first screenfuls.
        let longest = helps.iter().map(String::len).max();
        for (number, help) in helps.iter().enumerate() {
            if Some(help.len()) != longest && (size.0 > 80 || number > 40) {
                bench.strike("Down");
                continue;
            }
            let seen = inside_of_box(&bench);
            let words = |text: &str| {
                text.split(|sign: char| !sign.is_alphanumeric())
                    .map(str::to_owned)
                    .filter(|w| !w.is_empty())
                    .collect::<Vec<_>>()
                    .join(" ")
            };
            assert!(words(&seen).contains(&words(help)), "{help}\n{}", bench.screen());
            bench.strike("Down");
        }
    }
}
