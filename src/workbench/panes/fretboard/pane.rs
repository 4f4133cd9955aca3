//! What the fretboard holds: fingers, mutes, open strings and doubts, on whatever the segment is played on, and the keys
//! that put them there.

use std::sync::Arc;

use crate::instrument::fingering::{Fingering, FingeringError};
use crate::instrument::neck::{Fret, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::shape_text::WrittenShape;
use crate::lesson::id::VoicingId;
use crate::store::settings::NeckSettings;
use crate::theory::key::Key;
use crate::theory::pitch::{MidiNote, NoteName};
use crate::theory::reading::Doubt;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::editing::rigs::standard_guitar;
use crate::workbench::keys::action::FretboardAction;
use crate::workbench::messages::beyond_neck::beyond_neck;
use crate::workbench::messages::effect::TerminalEffect;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::panes::fretboard::cursor::NeckCursor;
use crate::workbench::panes::fretboard::drawn_neck::{column, columns, ends, ends_of};
use crate::workbench::panes::fretboard::fingers::{Fingers, GripOrigin};
use crate::workbench::panes::fretboard::ghosts::Ghosts;
use crate::workbench::panes::fretboard::grip::{Grip, KeepOutcome};
use crate::workbench::panes::fretboard::holding::Holding;
use crate::workbench::panes::fretboard::neck_scroll::NeckScroll;
use crate::workbench::panes::fretboard::neck_view::{Labels, NeckView};
use crate::workbench::panes::fretboard::slots::ShapeSlots;
use crate::workbench::panes::fretboard::targets::Targets;
use crate::workbench::questions::fretboard::FretboardQuestion;

/// The fretboard's own state.
///
/// Invariant after [`FretboardPane::settle`]: the grip has as many strings as the rig, and the
/// cursor lies on it.
#[derive(Debug, Clone, PartialEq)]
pub struct FretboardPane {
    pub(super) rig: Arc<Rig>,
    /// Why the rig is not what the lesson says, if it is not.
    trouble: Option<String>,
    pub(super) fingers: Fingers,
    cursor: NeckCursor,
    /// How the neck is seen.
    pub(super) neck: NeckView,
    scroll: NeckScroll,
    /// How the shape is held.
    holding: Option<Holding>,
    /// Other shapes, shown before one is taken.
    pub(super) ghosts: Option<Ghosts>,
    /// The chord tones to aim at.
    pub(super) targets: Option<Targets>,
    /// Two shapes to compare.
    pub(super) slots: ShapeSlots,
    /// Where something sounds now.
    lit: Vec<(StringNumber, Fret)>,
    /// What was put down by hand on necks with other numbers of strings, each for another number.
    aside: Vec<Grip>,
}

impl Default for FretboardPane {
    fn default() -> Self {
        let rig = Arc::new(standard_guitar());
        Self {
            fingers: Fingers::off(Arc::clone(&rig)),
            cursor: NeckCursor::at_the_nut(&rig),
            rig,
            trouble: None,
            neck: NeckView::default(),
            scroll: NeckScroll::default(),
            holding: None,
            ghosts: None,
            targets: None,
            slots: ShapeSlots::default(),
            lit: Vec::new(),
            aside: Vec::new(),
        }
    }
}

impl FretboardPane {
    /// Returns what the strings do.
    pub const fn rig(&self) -> &Arc<Rig> {
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

    /// Returns the names kept for what sounds here; the first is the name.
    pub fn names(&self) -> &[String] {
        self.grip().names_on(&self.rig)
    }

    /// Takes down which bass somebody else plays under what sounds here.
    pub fn state_bass(&mut self, bass: Option<NoteName>) {
        self.fingers.state_bass(bass, &self.rig);
    }

    /// Returns where it comes from.
    pub const fn origin(&self) -> GripOrigin {
        self.fingers.origin()
    }

    /// Returns a number that differs after every change of what lies on the strings.
    pub const fn grip_revision(&self) -> u64 {
        self.fingers.revision()
    }

    /// Returns how many strings there are.
    pub fn strings(&self) -> usize {
        self.fingers.strings()
    }

    /// Returns how sure the ear is of a string.
    pub fn doubt(&self, string: StringNumber) -> Doubt {
        self.fingers.doubt(string)
    }

    /// Returns what each string sounds, strings not heard left out, highest string number first.
    pub fn heard(&self) -> Vec<Option<MidiNote>> {
        let notes = self.rig.heard(&self.grip().shape);
        let doubts = self.grip().doubts.iter().copied().chain(std::iter::repeat(Doubt::Sure));
        notes.into_iter().zip(doubts).map(|(note, doubt)| note.filter(|_| doubt != Doubt::NotHeard)).collect()
    }

    /// Returns where the cursor is.
    pub const fn cursor(&self) -> (StringNumber, Fret) {
        (self.cursor.string, self.cursor.fret)
    }

    /// Returns how the neck is seen.
    pub const fn neck(&self) -> &NeckView {
        &self.neck
    }

    /// Returns the first fret and the first string in view, both counted from 0.
    pub const fn view(&self) -> (usize, usize) {
        self.scroll.first()
    }

    /// Returns the ghosts, where there are any.
    pub const fn ghosts(&self) -> Option<&Ghosts> {
        self.ghosts.as_ref()
    }

    /// Returns how what is on the fretboard is held; `None` where no finger is needed or it cannot be played.
    pub fn holding(&self) -> Option<&Result<Fingering, FingeringError>> {
        self.holding.as_ref().map(|holding| &holding.fingering)
    }

    /// Returns what is aimed at, if anything is.
    pub const fn targets(&self) -> Option<&Targets> {
        self.targets.as_ref()
    }

    /// Returns what lies in the slots A and B.
    pub const fn slots(&self) -> &[Option<Grip>; 2] {
        self.slots.both()
    }

    /// Returns whether something sounds at a place now.
    pub fn is_lit(&self, string: StringNumber, fret: Fret) -> bool {
        self.lit.contains(&(string, fret))
    }

    /// Lights the places where something sounds now.
    pub fn light(&mut self, lit: Vec<(StringNumber, Fret)>) {
        self.lit = lit;
    }

    /// Takes on another rig. A shape with another number of strings cannot stay; one put down by hand comes back with its
    /// strings.
    pub fn tune(&mut self, rig: Rig, trouble: Option<String>) {
        self.trouble = trouble;
        if rig == *self.rig {
            return;
        }
        let strings = rig.strings().count();
        self.rig = Arc::new(rig);
        if strings != self.strings() {
            let left = self.fingers.leave(Arc::clone(&self.rig));
            let count = |grip: &Grip| grip.shape.strings().len();
            let back = self.aside.iter().position(|grip| count(grip) == strings).map(|at| self.aside.swap_remove(at));
            if let Some(left) = left {
                self.aside.retain(|grip| count(grip) != count(&left));
                self.aside.push(left);
            }
            if let Some(back) = back {
                self.fingers.put(back, GripOrigin::Hand);
            }
        }
        self.ghosts = None;
        self.holding = None;
        self.cursor = self.cursor.on(&self.rig);
    }

    /// Takes on the key of the music, as it sounds.
    pub const fn follow_key(&mut self, key: Option<Key>) {
        self.neck.follow_key(key);
    }

    /// Shows the neck as the settings have it.
    pub const fn show_neck(&mut self, settings: NeckSettings) {
        self.neck.take_settings(settings);
    }

    /// Puts a grip down that has as many strings as there are here, else leaves all as it is.
    /// Returns whether it fitted.
    pub fn put(&mut self, grip: Grip, origin: GripOrigin) -> bool {
        let fits = self.put_back(grip, origin);
        if fits {
            self.scroll.rewind();
            self.cursor = self.cursor.at_start_of(&self.rig, &self.fingers.grip().shape);
        }
        fits
    }

    /// Puts a grip back that lay here before, the cursor staying where it is. Returns whether it fitted.
    pub fn put_back(&mut self, grip: Grip, origin: GripOrigin) -> bool {
        self.fingers.put(grip, origin)
    }

    /// Takes a shape that was typed. Errors: in words, why it cannot be played here.
    pub fn take_text(&mut self, text: &str) -> Result<(), String> {
        let written: WrittenShape = text.parse().map_err(|error| format!("{error}"))?;
        let (shape, doubts) = written.into_parts();
        self.rig.check(&shape).map_err(|error| error.to_string())?;
        self.put(Grip::new(shape, doubts, Vec::new(), Arc::clone(&self.rig)), GripOrigin::Hand);
        Ok(())
    }

    /// Notes that the grip is now this voicing of the lesson.
    pub const fn is_now(&mut self, voicing: VoicingId) {
        self.fingers.are_now(voicing);
    }

    /// Keeps a reading of what sounds here as the name, or drops it.
    pub fn keep(&mut self, symbol: &str) -> KeepOutcome {
        self.fingers.keep(symbol, &self.rig)
    }

    /// Types a digit: a fret on the cursor's string, or the second digit of one.
    pub fn type_digit(&mut self, digit: u8) -> PaneReply {
        let string = self.cursor.string;
        let last = self.rig.last_fret(string).unwrap_or(Fret::OPEN).number();
        let (number, too_large) = self.fingers.number_with(digit, last);
        let Some(fret) = Fret::new(number).filter(|_| number <= last) else {
            return PaneReply::note(format!("string {string} ends at fret {last}"));
        };
        if let Err(error) = self.rig.sounding(string, fret) {
            return PaneReply::note(error.to_string());
        }
        self.fingers.set(string, Some(fret), &self.rig);
        self.cursor.fret = fret;
        let beyond = too_large.and_then(|number| beyond_neck(string, number, (last, digit)));
        beyond.map_or_else(PaneReply::nothing, PaneReply::say)
    }

    /// Moves the cursor to a place.
    pub fn go_to(&mut self, string: StringNumber, fret: Fret) {
        self.fingers.end_number();
        self.cursor = NeckCursor { string, fret }.on(&self.rig);
    }

    /// Does what was asked; typed digits come by [`FretboardPane::type_digit`].
    pub fn act(&mut self, action: FretboardAction) -> PaneReply {
        if action != FretboardAction::TypeFret {
            self.fingers.end_number();
        }
        let NeckCursor { string, fret } = self.cursor;
        let line = self.neck.line_of(&self.rig, string);
        let (up, down) = (fret.number().saturating_add(1), fret.number().saturating_sub(1));
        match action {
            FretboardAction::StringUp => self.go_to_line(line.checked_sub(1)),
            FretboardAction::StringDown => self.go_to_line(line.checked_add(1)),
            FretboardAction::GoLeft if self.neck.is_left_handed() => self.go_to_fret(up),
            FretboardAction::GoRight if !self.neck.is_left_handed() => self.go_to_fret(up),
            FretboardAction::GoLeft | FretboardAction::GoRight => self.go_to_fret(down),
            FretboardAction::ToNut => self.go_to_fret(0),
            FretboardAction::ToLastFret => self.go_to_fret(self.rig.highest_fret().number()),
            FretboardAction::PutFinger => return self.toggle(),
            FretboardAction::Mute | FretboardAction::Lift => return self.leave_string(None, "muted"),
            FretboardAction::Open => return self.leave_string(Some(Fret::OPEN), "open"),
            FretboardAction::CycleDoubt => return self.cycle_doubt(),
            FretboardAction::CycleLabels => {
                let labels = self.neck.next_labels();
                let none = labels == Labels::Fingers && self.grip().fingers.iter().all(Option::is_none);
                let rest = if none { "; none are noted for this shape" } else { "" };
                return PaneReply::note(format!("labels: {}{rest}", labels.word()));
            }
            FretboardAction::Clear => return self.clear(),
            FretboardAction::CopyOut => return copy_out(self.grip()),
            FretboardAction::TypeShape => {
                return PaneReply::ask(Overlay::Entry(EntryBox::new(
                    FretboardQuestion::Shape,
                    "Type a shape, bottom line of the tab first",
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
        PaneReply::nothing()
    }

    fn go_to_line(&mut self, line: Option<usize>) {
        let string = line.and_then(|line| self.neck.string_on_line(&self.rig, line));
        self.cursor = self.cursor.on_string(&self.rig, string);
    }

    fn go_to_fret(&mut self, number: u8) {
        self.cursor = self.cursor.at_fret(&self.rig, number);
    }

    fn toggle(&mut self) -> PaneReply {
        let NeckCursor { string, fret } = self.cursor;
        if let Err(error) = self.rig.sounding(string, fret) {
            return PaneReply::note(error.to_string());
        }
        let there = self.grip().shape.on(string) == Some(fret);
        self.fingers.set(string, if there { None } else { Some(fret) }, &self.rig);
        PaneReply::nothing()
    }

    /// Has the cursor's string muted or open, which `word` says of it.
    fn leave_string(&mut self, fret: Option<Fret>, word: &str) -> PaneReply {
        let string = self.cursor.string;
        if self.grip().shape.on(string) == fret {
            return PaneReply::note(format!("string {string} is {word} already"));
        }
        self.fingers.set(string, fret, &self.rig);
        PaneReply::nothing()
    }

    fn cycle_doubt(&mut self) -> PaneReply {
        let string = self.cursor.string;
        if self.grip().shape.on(string).is_none() {
            return PaneReply::note(format!("string {string} is muted: nothing to be unsure of"));
        }
        self.fingers.cycle_doubt(string);
        PaneReply::nothing()
    }

    fn clear(&mut self) -> PaneReply {
        if self.fingers.clear(&self.rig) {
            return PaneReply::nothing();
        }
        PaneReply::note("no finger to lift: every string is muted")
    }

    /// Works out how the shape is held where it, the neck or the hand has changed, and drops ghosts of
    /// another shape.
    pub(super) fn settle_shape(&mut self) {
        let (shape, hand) = (&self.fingers.grip().shape, self.neck.hand());
        self.ghosts.take_if(|ghosts| ghosts.of != *shape);
        if self.holding.as_ref().is_none_or(|known| !known.is_of(shape, hand)) {
            self.holding = Holding::of(&self.rig, shape, hand);
        }
    }

    /// Scrolls so that the cursor is among `frets` frets and `strings` strings in view. In a pane of
    /// another size than before, the view begins at the nut again where that shows all there is.
    pub fn settle(&mut self, frets: usize, strings: usize) {
        self.settle_shape();
        self.scroll.fit((frets, strings));
        let NeckCursor { string, fret } = self.cursor;
        self.scroll.show_line(self.neck.line_of(&self.rig, string), self.strings());
        let fingers = ends(&self.rig, &self.grip().shape);
        // Of a ghost the whole is in view, if there is room, and the fingers where they fit beside it.
        let ghost = self.ghosts.as_ref().map_or([None; 2], |ghosts| ends(&self.rig, &ghosts.shown().shape));
        let cursor = [Some(column(&self.rig, string, fret)).filter(|_| ghost == [None; 2])];
        // While it is heard, what is lit comes first.
        let lit = ends_of(&self.rig, self.lit.iter().copied());
        let last = columns(&self.rig);
        for place in fingers.into_iter().chain(cursor).chain(ghost).chain(lit).flatten() {
            self.scroll.show_column(place, last);
        }
    }
}

/// Hands the shape to the terminal's clipboard as text, in which it can be typed again.
fn copy_out(grip: &Grip) -> PaneReply {
    if grip.is_silent() {
        return PaneReply::note("nothing is on the fretboard to be copied");
    }
    let text = grip.shape.compact();
    let done = format!("{text} copied to the system clipboard, where the terminal allows it");
    PaneReply { notice: Some(Notice::done(done)), ..PaneReply::want(TerminalEffect::CopyOut(text)) }
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
        assert_eq!(pane.names(), Vec::<String>::new());
        assert!(pane.grip().doubts_to_keep().is_empty());
    }
}
