//! The fretboard: fingers, mutes, open strings and doubts, on whatever the segment is played on.

use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::shape_text::WrittenShape;
use crate::instrument::tuning::Capo;
use crate::lesson::document::Voicing;
use crate::lesson::id::VoicingId;
use crate::theory::key::Key;
use crate::theory::pitch::MidiNote;
use crate::theory::reading::Doubt;
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::editing::rigs::standard_guitar;
use crate::workbench::keys::action::{FretboardAction, NeckAction};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::alternatives::Holding;
use crate::workbench::panes::fretboard::cursor::NeckCursor;
use crate::workbench::panes::fretboard::fingers::Fingers;
pub use crate::workbench::panes::fretboard::fingers::{Grip, GripOrigin, KeepOutcome};
use crate::workbench::panes::fretboard::ghosts::Ghosts;
use crate::workbench::panes::fretboard::neck_scroll::NeckScroll;
pub use crate::workbench::panes::fretboard::neck_view::Labels;
use crate::workbench::panes::fretboard::neck_view::NeckView;
use crate::workbench::panes::fretboard::slots::Slots;
use crate::workbench::panes::fretboard::targets::Targets;
use crate::workbench::questions::fretboard::FretboardQuestion;

/// The fretboard's own state.
///
/// Invariant after [`FretboardPane::settle`]: the grip has as many strings as the rig, and the
/// cursor lies on it.
#[derive(Debug, Clone, PartialEq)]
pub struct FretboardPane {
    pub(super) rig: Rig,
    /// Why the rig is not what the lesson says, if it is not.
    trouble: Option<String>,
    pub(super) fingers: Fingers,
    pub(super) cursor: NeckCursor,
    /// How the neck is seen.
    pub(super) neck: NeckView,
    scroll: NeckScroll,
    /// How the shape is held.
    pub(super) holding: Option<Holding>,
    /// Other shapes, shown before one is taken.
    pub(super) ghosts: Option<Ghosts>,
    /// The chord tones to aim at.
    pub(super) targets: Option<Targets>,
    /// Two shapes to compare.
    pub(super) slots: Slots,
    /// Where something sounds now.
    lit: Vec<(StringNumber, Fret)>,
}

impl Default for FretboardPane {
    fn default() -> Self {
        let rig = standard_guitar();
        Self {
            fingers: Fingers::off(rig.strings().count()),
            cursor: NeckCursor::at_the_nut(&rig),
            rig,
            trouble: None,
            neck: NeckView::default(),
            scroll: NeckScroll::default(),
            holding: None,
            ghosts: None,
            targets: None,
            slots: Slots::default(),
            lit: Vec::new(),
        }
    }
}

impl FretboardPane {
    /// Returns what the strings do.
    pub const fn rig(&self) -> &Rig {
        &self.rig
    }

    /// Returns why the rig is not what the lesson says, if it is not.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// Returns what lies on the strings.
    pub const fn grip(&self) -> &Grip {
        self.fingers.grip()
    }

    /// Returns where it comes from.
    pub const fn origin(&self) -> GripOrigin {
        self.fingers.origin()
    }

    /// Returns where the cursor is.
    pub const fn cursor(&self) -> (StringNumber, Fret) {
        (self.cursor.string, self.cursor.fret)
    }

    /// Returns what the fingers are labelled with.
    pub const fn labels(&self) -> Labels {
        self.neck.labels()
    }

    /// Returns the first fret and the first string in view, both counted from 0.
    pub const fn view(&self) -> (usize, usize) {
        self.scroll.first()
    }

    /// Returns how many strings there are.
    pub fn strings(&self) -> usize {
        self.fingers.strings()
    }

    /// Returns how many frets to the right of its written number a place on `string` is drawn: the
    /// capo's fret, on the strings that a capo over some of the strings covers. A capo over all
    /// strings is drawn as the nut.
    pub fn shift(&self, string: StringNumber) -> u8 {
        let partial = |capo: &&Capo| self.rig.strings().any(|string| !capo.covers(string));
        let capo = self.rig.capo().filter(partial).filter(|capo| capo.covers(string));
        capo.map_or(0, |capo| capo.fret.number())
    }

    /// Returns how many frets there are to draw.
    pub fn columns(&self) -> usize {
        let last = |string| Some(self.rig.last_fret(string)?.number().saturating_add(self.shift(string)));
        usize::from(self.rig.strings().filter_map(last).max().unwrap_or(0))
    }

    /// Takes on another rig. A shape with another number of strings cannot stay.
    pub fn tune(&mut self, rig: Rig, trouble: Option<String>) {
        self.trouble = trouble;
        if rig == self.rig {
            return;
        }
        if rig.strings().count() != self.strings() {
            self.fingers = Fingers::off(rig.strings().count());
        }
        self.rig = rig;
        self.ghosts = None;
        self.holding = None;
        self.cursor = self.cursor.on(&self.rig);
    }

    /// Puts a grip down that has as many strings as there are here, else leaves all as it is.
    /// Returns whether it fitted.
    pub fn put(&mut self, grip: Grip, origin: GripOrigin) -> bool {
        let fits = self.put_back(grip, origin);
        if fits {
            self.scroll.rewind();
            self.go_to_lowest_finger();
        }
        fits
    }

    /// Puts a voicing of the lesson down.
    pub fn put_voicing(&mut self, voicing: &Voicing, origin: GripOrigin) -> bool {
        let grip = Grip::new(voicing.shape.clone(), voicing.doubts.clone(), voicing.readings.clone());
        self.put(grip.held_with(voicing.fingers.clone(), voicing.barre), origin)
    }

    /// Puts a grip back that lay here before, the cursor staying where it is. Returns whether it fitted.
    pub fn put_back(&mut self, grip: Grip, origin: GripOrigin) -> bool {
        self.fingers.put(grip, origin)
    }

    /// Notes that the grip is now this voicing of the lesson.
    pub const fn is_now(&mut self, voicing: VoicingId) {
        self.fingers.are_now(voicing);
    }

    /// Takes what was typed as the answer to a question. Errors: in words, what is wrong with it.
    pub fn answer(&mut self, question: FretboardQuestion, text: &str) -> Result<Reply, String> {
        match question {
            FretboardQuestion::Shape => self.take_text(text).map(|()| Reply::nothing()),
            FretboardQuestion::ChordName => self.seek_chord(text),
        }
    }

    /// Takes a shape that was typed. Errors: in words, why it cannot be played here.
    pub fn take_text(&mut self, text: &str) -> Result<(), String> {
        let written: WrittenShape = text.parse().map_err(|error| format!("{error}"))?;
        let (shape, doubts) = written.into_parts();
        self.rig.check(&shape).map_err(|error| error.to_string())?;
        self.put(Grip::new(shape, doubts, Vec::new()), GripOrigin::Hand);
        Ok(())
    }

    /// Keeps a reading as the name, or drops it.
    pub fn keep(&mut self, symbol: &str) -> KeepOutcome {
        self.fingers.keep(symbol)
    }

    /// Returns what each string sounds, strings not heard left out, highest string number first.
    pub fn heard(&self) -> Vec<Option<MidiNote>> {
        let notes = self.rig.heard(&self.grip().shape);
        let doubts = self.grip().doubts.iter().copied().chain(std::iter::repeat(Doubt::Sure));
        notes.into_iter().zip(doubts).map(|(note, doubt)| note.filter(|_| doubt != Doubt::NotHeard)).collect()
    }

    /// Types a digit: a fret on the cursor's string, or the second digit of one.
    pub fn type_digit(&mut self, digit: u8) -> Reply {
        let string = self.cursor.string;
        let last = self.rig.last_fret(string).unwrap_or(Fret::OPEN).number();
        let number = self.fingers.number_with(digit, last);
        let Some(fret) = Fret::new(number).filter(|_| number <= last) else {
            return note(format!("string {string} ends at fret {last}"));
        };
        if let Err(error) = self.rig.sounding(string, fret) {
            return note(error.to_string());
        }
        self.fingers.set(string, Some(fret));
        self.cursor.fret = fret;
        Reply::nothing()
    }

    /// Moves the cursor to a place and puts a finger there, or lifts it: what a click does.
    pub fn point_at(&mut self, string: StringNumber, fret: Fret) -> Reply {
        self.fingers.end_number();
        self.cursor = NeckCursor { string, fret }.on(&self.rig);
        self.toggle()
    }

    /// Lights the places where something sounds now.
    pub fn light(&mut self, lit: Vec<(StringNumber, Fret)>) {
        self.lit = lit;
    }

    /// Returns whether something sounds at a place now.
    pub fn is_lit(&self, string: StringNumber, fret: Fret) -> bool {
        self.lit.contains(&(string, fret))
    }

    /// Does what was asked of alternatives, sight and slots.
    pub fn act_on_neck(&mut self, action: NeckAction) -> Reply {
        self.fingers.end_number();
        self.seek(action)
    }

    /// Takes on the key of the music, as it sounds.
    pub const fn follow_key(&mut self, key: Option<Key>) {
        self.neck.follow_key(key);
    }

    /// Does what was asked; typed digits come by [`FretboardPane::type_digit`].
    pub fn act(&mut self, action: FretboardAction) -> Reply {
        if action != FretboardAction::TypeFret {
            self.fingers.end_number();
        }
        let NeckCursor { string, fret } = self.cursor;
        match action {
            FretboardAction::StringUp => self.go_to_line(self.line_of(string).checked_sub(1)),
            FretboardAction::StringDown => self.go_to_line(self.line_of(string).checked_add(1)),
            FretboardAction::GoLeft if self.neck.is_left_handed() => self.go_to_fret(fret.number().saturating_add(1)),
            FretboardAction::GoRight if !self.neck.is_left_handed() => {
                self.go_to_fret(fret.number().saturating_add(1));
            }
            FretboardAction::GoLeft | FretboardAction::GoRight => self.go_to_fret(fret.number().saturating_sub(1)),
            FretboardAction::ToNut => self.go_to_fret(0),
            FretboardAction::ToLastFret => self.go_to_fret(self.rig.highest_fret().number()),
            FretboardAction::PutFinger => return self.toggle(),
            FretboardAction::Mute | FretboardAction::Open => return self.mute_or_open(action),
            FretboardAction::CycleDoubt => return self.cycle_doubt(),
            FretboardAction::CycleLabels => {
                let labels = self.neck.next_labels();
                let none = labels == Labels::Fingers && self.grip().fingers.iter().all(Option::is_none);
                let rest = if none { "; none are noted for this shape" } else { "" };
                return note(format!("labels: {}{rest}", labels.word()));
            }
            FretboardAction::Clear => return self.clear(),
            FretboardAction::TypeShape => {
                return Reply::ask(Overlay::Entry(EntryBox::new(
                    FretboardQuestion::Shape,
                    "A shape, lowest line of the tab first",
                    "As in x32010, or x-10-12-12-x-x; ? after a string you are not sure of.",
                    "",
                )));
            }
            // A digit without its key says nothing, and the voicings are the lesson's to give.
            FretboardAction::TypeFret
            | FretboardAction::NextVoicing
            | FretboardAction::PreviousVoicing
            | FretboardAction::TakeVoicingOut
            | FretboardAction::SaveVoicing => {}
        }
        Reply::nothing()
    }

    fn go_to_line(&mut self, line: Option<usize>) {
        let string = line.and_then(|line| self.string_on_line(line)).unwrap_or(self.cursor.string);
        self.cursor = NeckCursor { string, ..self.cursor }.on(&self.rig);
    }

    fn go_to_fret(&mut self, number: u8) {
        let fret = Fret::new(number).unwrap_or(self.cursor.fret);
        self.cursor = NeckCursor { fret, ..self.cursor }.on(&self.rig);
    }

    /// Moves the cursor to the sounding string with the highest number, where a shape begins.
    fn go_to_lowest_finger(&mut self) {
        let first = self.rig.strings().find_map(|string| Some((string, self.grip().shape.on(string)?)));
        let cursor = first.map_or(self.cursor, |(string, fret)| NeckCursor { string, fret });
        self.cursor = cursor.on(&self.rig);
    }

    fn toggle(&mut self) -> Reply {
        let NeckCursor { string, fret } = self.cursor;
        if let Err(error) = self.rig.sounding(string, fret) {
            return note(error.to_string());
        }
        let there = self.grip().shape.on(string) == Some(fret);
        self.fingers.set(string, if there { None } else { Some(fret) });
        Reply::nothing()
    }

    fn mute_or_open(&mut self, action: FretboardAction) -> Reply {
        let (fret, word) = if action == FretboardAction::Mute { (None, "muted") } else { (Some(Fret::OPEN), "open") };
        let string = self.cursor.string;
        if self.grip().shape.on(string) == fret {
            return note(format!("string {string} is {word} already"));
        }
        self.fingers.set(string, fret);
        Reply::nothing()
    }

    /// Returns how sure the ear is of a string.
    pub fn doubt(&self, string: StringNumber) -> Doubt {
        self.fingers.doubt(string)
    }

    fn cycle_doubt(&mut self) -> Reply {
        let string = self.cursor.string;
        if self.grip().shape.on(string).is_none() {
            return note(format!("string {string} is muted: nothing to doubt"));
        }
        self.fingers.cycle_doubt(string);
        Reply::nothing()
    }

    fn clear(&mut self) -> Reply {
        if self.fingers.clear() {
            return Reply::nothing();
        }
        note("no finger to take off: every string is muted".to_owned())
    }

    /// Scrolls so that the cursor is among `frets` frets and `strings` strings in view. In a pane of
    /// another size than before, the view begins at the nut again where that shows all there is.
    pub fn settle(&mut self, frets: usize, strings: usize) {
        self.scroll.fit((frets, strings));
        self.settle_alternatives();
        self.scroll.show_line(self.line_of(self.cursor.string), self.strings());
        let last = self.columns();
        // Open strings are drawn before the neck and are always in view.
        let column = |string: StringNumber, fret: Fret| {
            let drawn = usize::from(fret.number()) + usize::from(self.shift(string));
            if fret == Fret::OPEN { 0 } else { drawn.saturating_sub(1) }
        };
        let stopped = |string| Some((string, self.grip().shape.on(string).filter(|fret| *fret != Fret::OPEN)?));
        let fingers: Vec<usize> =
            self.rig.strings().filter_map(stopped).map(|(string, fret)| column(string, fret)).collect();
        let cursor = column(self.cursor.string, self.cursor.fret);
        // Of a ghost the whole is in view, if there is room, and the fingers where they fit beside it.
        let ghost = self.ghosts.as_ref().map(|ghosts| &ghosts.shown().shape);
        let stopped = |string| Some((string, ghost?.on(string).filter(|fret| *fret != Fret::OPEN)?));
        let ghost: Vec<usize> =
            self.rig.strings().filter_map(stopped).map(|(string, fret)| column(string, fret)).collect();
        let ends = |frets: &[usize]| [frets.iter().max().copied(), frets.iter().min().copied()];
        // While it is heard, what is lit comes first.
        let stopped = self.lit.iter().filter(|(_, fret)| *fret != Fret::OPEN);
        let lit: Vec<usize> = stopped.map(|(string, fret)| column(*string, *fret)).collect();
        let cursor = [if ghost.is_empty() { Some(cursor) } else { None }];
        for place in ends(&fingers).into_iter().chain(cursor).chain(ends(&ghost)).chain(ends(&lit)).flatten() {
            self.scroll.show_column(place, last);
        }
    }
}

fn note(text: String) -> Reply {
    Reply::say(Notice::note(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pane(shape: &str) -> FretboardPane {
        let mut pane = FretboardPane::default();
        pane.take_text(shape).unwrap();
        pane
    }

    #[test]
    fn two_digits_make_one_fret_where_the_neck_is_long_enough() {
        let mut pane = FretboardPane::default();
        for digit in [1, 2] {
            pane.type_digit(digit);
        }
        assert_eq!(pane.grip().shape.to_string(), "12 x x x x x");
        pane.type_digit(7);
        assert_eq!(pane.grip().shape.to_string(), "7 x x x x x");
        pane.type_digit(9);
        assert_eq!(pane.grip().shape.to_string(), "9 x x x x x", "there is no fret 79");
    }

    #[test]
    fn a_moved_cursor_ends_the_number() {
        let mut pane = FretboardPane::default();
        pane.type_digit(1);
        pane.act(FretboardAction::StringUp);
        pane.type_digit(2);
        assert_eq!(pane.grip().shape.to_string(), "1 2 x x x x");
    }

    #[test]
    fn clearing_twice_puts_the_fingers_back() {
        let mut pane = pane("x32010");
        pane.act(FretboardAction::Clear);
        assert!(pane.grip().is_silent());
        pane.act(FretboardAction::Clear);
        assert_eq!(pane.grip().shape.compact(), "x32010");
    }

    #[test]
    fn a_string_not_heard_is_left_out_of_what_sounds() {
        let mut pane = pane("x32010");
        // Taking a shape goes to its lowest sounding string, here string 5.
        for _ in 0..3 {
            pane.act(FretboardAction::StringUp);
        }
        pane.act(FretboardAction::CycleDoubt);
        pane.act(FretboardAction::CycleDoubt);
        let heard: Vec<bool> = pane.heard().iter().map(Option::is_some).collect();
        assert_eq!(heard, [false, true, true, true, false, true]);
    }

    #[test]
    fn another_fret_takes_back_name_and_doubt() {
        let mut pane = pane("x32010?");
        assert_eq!(pane.keep("C"), KeepOutcome::Added);
        for _ in 0..4 {
            pane.act(FretboardAction::StringUp);
        }
        pane.type_digit(3);
        assert_eq!(pane.grip().kept, Vec::<String>::new());
        assert!(pane.grip().doubts_to_keep().is_empty());
    }
}
