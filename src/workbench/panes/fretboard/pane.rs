//! The fretboard: fingers, mutes, open strings and doubts, on whatever the segment is played on.

use crate::instrument::hand::{Barre, Finger};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::shape_text::WrittenShape;
use crate::instrument::tuning::Capo;
use crate::lesson::document::Voicing;
use crate::lesson::id::VoicingId;
use crate::store::settings::NeckSettings;
use crate::theory::key::Key;
use crate::theory::pitch::MidiNote;
use crate::theory::reading::Doubt;
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::drawing::scroll::Scroll;
use crate::workbench::editing::rigs::standard_guitar;
use crate::workbench::keys::action::{FretboardAction, NeckAction};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::alternatives::Holding;
use crate::workbench::panes::fretboard::ghosts::Ghosts;
pub use crate::workbench::panes::fretboard::neck_view::Labels;
use crate::workbench::panes::fretboard::neck_view::{Nodes, Targets};
use crate::workbench::questions::fretboard::FretboardQuestion;

/// Where the shape on the fretboard comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Origin {
    /// Nobody put it there by hand: it may make way for the next segment's.
    #[default]
    Followed,
    /// It is this voicing of the lesson, unchanged since.
    Voicing(VoicingId),
    /// Somebody put fingers down.
    Hand,
}

/// What lies on the strings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Grip {
    /// The frets, highest string number first.
    pub shape: Shape,
    /// How sure the ear is, one for each string of the shape.
    pub doubts: Vec<Doubt>,
    /// The readings kept; the first is the name.
    pub kept: Vec<String>,
    /// The finger on each string, as in the shape; shorter or empty means not decided.
    pub fingers: Vec<Option<Finger>>,
    /// The barre, if one finger holds several strings.
    pub barre: Option<Barre>,
}

impl Grip {
    fn muted(strings: usize) -> Self {
        let shape = Shape::muted(strings);
        Self { doubts: vec![Doubt::Sure; shape.strings().len()], shape, ..Self::default() }
    }

    /// Returns a grip with as many doubts as strings.
    pub fn new(shape: Shape, mut doubts: Vec<Doubt>, kept: Vec<String>) -> Self {
        doubts.resize(shape.strings().len(), Doubt::Sure);
        Self { shape, doubts, kept, ..Self::default() }
    }

    /// Returns the grip held with these fingers, one of which may lie over several strings.
    pub fn held_with(self, fingers: Vec<Option<Finger>>, barre: Option<Barre>) -> Self {
        Self { fingers, barre, ..self }
    }

    /// Returns whether no string sounds.
    pub fn is_silent(&self) -> bool {
        self.shape.strings().iter().all(Option::is_none)
    }

    /// Returns the doubts as a voicing keeps them: none where the ear is sure of all.
    pub fn doubts_to_keep(&self) -> Vec<Doubt> {
        if self.doubts.iter().all(|doubt| *doubt == Doubt::Sure) { Vec::new() } else { self.doubts.clone() }
    }
}

/// The fretboard's own state.
///
/// Invariant after [`FretboardPane::settle`]: the grip has as many strings as the rig, and the
/// cursor lies on it.
#[derive(Debug, Clone, PartialEq)]
pub struct FretboardPane {
    pub(in crate::workbench) rig: Rig,
    trouble: Option<String>,
    pub(in crate::workbench) grip: Grip,
    pub(in crate::workbench) origin: Origin,
    string: StringNumber,
    fret: Fret,
    labels: Labels,
    /// The digit typed just before, which the next one may continue.
    typed: Option<u8>,
    /// What lay there before it was cleared.
    cleared: Option<Grip>,
    frets_scroll: Scroll,
    strings_scroll: Scroll,
    /// How many frets and strings were in view last.
    room: (usize, usize),
    /// How the shape is held.
    pub(in crate::workbench) holding: Option<Holding>,
    /// Other shapes, shown before one is taken.
    pub(in crate::workbench) ghosts: Option<Ghosts>,
    /// From which side the neck is seen, and by whom it is played.
    pub(in crate::workbench) sight: NeckSettings,
    /// The key of the music, as it sounds.
    pub(in crate::workbench) key: Option<Key>,
    /// Whether its notes are marked.
    pub(in crate::workbench) key_notes: bool,
    /// Which harmonic nodes are marked.
    pub(in crate::workbench) nodes: Nodes,
    /// The chord tones to aim at.
    pub(in crate::workbench) targets: Option<Targets>,
    /// Two shapes to compare.
    pub(in crate::workbench) slots: [Option<Grip>; 2],
    /// Where something sounds now.
    lit: Vec<(StringNumber, Fret)>,
}

impl Default for FretboardPane {
    fn default() -> Self {
        let rig = standard_guitar();
        let grip = Grip::muted(rig.strings().count());
        let string = rig.strings().next().unwrap_or(TOP_STRING);
        Self {
            rig,
            trouble: None,
            grip,
            origin: Origin::Followed,
            string,
            fret: Fret::OPEN,
            labels: Labels::default(),
            typed: None,
            cleared: None,
            frets_scroll: Scroll::default(),
            strings_scroll: Scroll::default(),
            room: (0, 0),
            holding: None,
            ghosts: None,
            sight: NeckSettings::default(),
            key: None,
            key_notes: false,
            nodes: Nodes::default(),
            targets: None,
            slots: [None, None],
            lit: Vec::new(),
        }
    }
}

/// String 1.
const TOP_STRING: StringNumber = StringNumber::new(1).expect("there is a string 1");

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
        &self.grip
    }

    /// Returns where it comes from.
    pub const fn origin(&self) -> Origin {
        self.origin
    }

    /// Returns where the cursor is.
    pub const fn cursor(&self) -> (StringNumber, Fret) {
        (self.string, self.fret)
    }

    /// Returns what the fingers are labelled with.
    pub const fn labels(&self) -> Labels {
        self.labels
    }

    /// Returns the first fret and the first string in view, both counted from 0.
    pub const fn view(&self) -> (usize, usize) {
        (self.frets_scroll.first(), self.strings_scroll.first())
    }

    /// Returns how many strings there are.
    pub fn strings(&self) -> usize {
        self.grip.shape.strings().len()
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
            self.grip = Grip::muted(rig.strings().count());
            self.origin = Origin::Followed;
            self.cleared = None;
        }
        self.rig = rig;
        self.ghosts = None;
        self.holding = None;
        self.stay_on_the_neck();
    }

    /// Puts a grip down that has as many strings as there are here, else leaves all as it is.
    /// Returns whether it fitted.
    pub fn put(&mut self, grip: Grip, origin: Origin) -> bool {
        let fits = self.put_back(grip, origin);
        if fits {
            self.frets_scroll = Scroll::default();
            self.go_to_lowest_finger();
        }
        fits
    }

    /// Puts a voicing of the lesson down.
    pub fn put_voicing(&mut self, voicing: &Voicing, origin: Origin) -> bool {
        let grip = Grip::new(voicing.shape.clone(), voicing.doubts.clone(), voicing.readings.clone());
        self.put(grip.held_with(voicing.fingers.clone(), voicing.barre), origin)
    }

    /// Puts a grip back that lay here before, the cursor staying where it is. Returns whether it fitted.
    pub fn put_back(&mut self, grip: Grip, origin: Origin) -> bool {
        let fits = grip.shape.strings().len() == self.strings();
        if fits {
            self.grip = grip;
            self.origin = origin;
            self.typed = None;
            self.cleared = None;
        }
        fits
    }

    /// Notes that the grip is now this voicing of the lesson.
    pub const fn is_now(&mut self, voicing: VoicingId) {
        self.origin = Origin::Voicing(voicing);
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
        self.put(Grip::new(shape, doubts, Vec::new()), Origin::Hand);
        Ok(())
    }

    /// Keeps a reading as the name, or drops it.
    pub fn keep(&mut self, symbol: &str) -> Kept {
        self.origin = Origin::Hand;
        let before = self.grip.kept.len();
        self.grip.kept.retain(|kept| kept != symbol);
        if self.grip.kept.len() < before {
            return Kept::Dropped;
        }
        self.grip.kept.insert(0, symbol.to_owned());
        Kept::Added
    }

    /// Returns what each string sounds, strings not heard left out, highest string number first.
    pub fn heard(&self) -> Vec<Option<MidiNote>> {
        let notes = self.rig.heard(&self.grip.shape);
        let doubts = self.grip.doubts.iter().copied().chain(std::iter::repeat(Doubt::Sure));
        notes.into_iter().zip(doubts).map(|(note, doubt)| note.filter(|_| doubt != Doubt::NotHeard)).collect()
    }

    /// Types a digit: a fret on the cursor's string, or the second digit of one.
    pub fn type_digit(&mut self, digit: u8) -> Reply {
        let last = self.rig.last_fret(self.string).unwrap_or(Fret::OPEN).number();
        let joined = self.typed.map(|before| before * 10 + digit).filter(|number| *number <= last);
        let number = joined.unwrap_or(digit);
        // A third digit begins anew.
        self.typed = if joined.is_some() { None } else { Some(digit) };
        let Some(fret) = Fret::new(number).filter(|_| number <= last) else {
            return note(format!("string {} ends at fret {last}", self.string));
        };
        if let Err(error) = self.rig.sounding(self.string, fret) {
            return note(error.to_string());
        }
        self.set(Some(fret));
        self.fret = fret;
        Reply::nothing()
    }

    /// Moves the cursor to a place and puts a finger there, or lifts it: what a click does.
    pub fn point_at(&mut self, string: StringNumber, fret: Fret) -> Reply {
        self.typed = None;
        self.string = string;
        self.fret = fret;
        self.stay_on_the_neck();
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
        self.typed = None;
        self.seek(action)
    }

    /// Takes on the key of the music, as it sounds.
    pub const fn follow_key(&mut self, key: Option<Key>) {
        self.key = key;
    }

    /// Does what was asked; typed digits come by [`FretboardPane::type_digit`].
    pub fn act(&mut self, action: FretboardAction) -> Reply {
        if action != FretboardAction::TypeFret {
            self.typed = None;
        }
        match action {
            FretboardAction::StringUp => self.go_to_line(self.line_of(self.string).checked_sub(1)),
            FretboardAction::StringDown => self.go_to_line(self.line_of(self.string).checked_add(1)),
            FretboardAction::GoLeft if self.sight.left_handed => self.go_to_fret(self.fret.number().saturating_add(1)),
            FretboardAction::GoRight if !self.sight.left_handed => {
                self.go_to_fret(self.fret.number().saturating_add(1));
            }
            FretboardAction::GoLeft | FretboardAction::GoRight => {
                self.go_to_fret(self.fret.number().saturating_sub(1));
            }
            FretboardAction::ToNut => self.go_to_fret(0),
            FretboardAction::ToLastFret => self.go_to_fret(self.rig.highest_fret().number()),
            FretboardAction::PutFinger => return self.toggle(),
            FretboardAction::Mute | FretboardAction::Open => return self.mute_or_open(action),
            FretboardAction::CycleDoubt => return self.cycle_doubt(),
            FretboardAction::CycleLabels => {
                self.labels = self.labels.next();
                let none = self.labels == Labels::Fingers && self.grip.fingers.iter().all(Option::is_none);
                let rest = if none { "; none are noted for this shape" } else { "" };
                return note(format!("labels: {}{rest}", self.labels.word()));
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
        self.string = line.and_then(|line| self.string_on_line(line)).unwrap_or(self.string);
        self.stay_on_the_neck();
    }

    fn go_to_fret(&mut self, number: u8) {
        self.fret = Fret::new(number).unwrap_or(self.fret);
        self.stay_on_the_neck();
    }

    /// Moves the cursor to the sounding string with the highest number, where a shape begins.
    fn go_to_lowest_finger(&mut self) {
        let first = self.rig.strings().find_map(|string| Some((string, self.grip.shape.on(string)?)));
        if let Some((string, fret)) = first {
            self.string = string;
            self.fret = fret;
        }
        self.stay_on_the_neck();
    }

    fn stay_on_the_neck(&mut self) {
        if !self.rig.strings().any(|known| known == self.string) {
            self.string = self.rig.strings().next().unwrap_or(TOP_STRING);
        }
        self.fret = self.fret.min(self.rig.last_fret(self.string).unwrap_or(Fret::OPEN));
    }

    fn toggle(&mut self) -> Reply {
        if let Err(error) = self.rig.sounding(self.string, self.fret) {
            return note(error.to_string());
        }
        let there = self.grip.shape.on(self.string) == Some(self.fret);
        self.set(if there { None } else { Some(self.fret) });
        Reply::nothing()
    }

    fn mute_or_open(&mut self, action: FretboardAction) -> Reply {
        let (fret, word) = if action == FretboardAction::Mute { (None, "muted") } else { (Some(Fret::OPEN), "open") };
        if self.grip.shape.on(self.string) == fret {
            return note(format!("string {} is {word} already", self.string));
        }
        self.set(fret);
        Reply::nothing()
    }

    /// Puts a finger on the cursor's string at a place that is there, or lifts it.
    fn set(&mut self, fret: Option<Fret>) {
        if self.grip.shape.on(self.string) == fret {
            return;
        }
        self.grip.shape.set(self.string, fret);
        // Another note is another name and another fingering, and nobody has doubted it yet.
        self.grip.kept.clear();
        self.grip.fingers.clear();
        self.grip.barre = None;
        self.set_doubt(Doubt::Sure);
        self.origin = Origin::Hand;
    }

    fn set_doubt(&mut self, doubt: Doubt) {
        let index = self.string.index(self.strings());
        if let Some(place) = index.and_then(|index| self.grip.doubts.get_mut(index)) {
            *place = doubt;
        }
    }

    /// Returns how sure the ear is of a string.
    pub fn doubt(&self, string: StringNumber) -> Doubt {
        string.index(self.strings()).and_then(|index| self.grip.doubts.get(index)).copied().unwrap_or_default()
    }

    fn cycle_doubt(&mut self) -> Reply {
        if self.grip.shape.on(self.string).is_none() {
            return note(format!("string {} is muted: nothing to doubt", self.string));
        }
        self.set_doubt(match self.doubt(self.string) {
            Doubt::Sure => Doubt::Unsure,
            Doubt::Unsure => Doubt::NotHeard,
            Doubt::NotHeard => Doubt::Sure,
        });
        self.origin = Origin::Hand;
        Reply::nothing()
    }

    fn clear(&mut self) -> Reply {
        if self.grip.is_silent() && self.cleared.is_none() {
            return note("no finger to take off: every string is muted".to_owned());
        }
        match self.cleared.take() {
            Some(grip) if self.grip.is_silent() => self.grip = grip,
            _ => {
                let empty = Grip::muted(self.strings());
                self.cleared = Some(std::mem::replace(&mut self.grip, empty));
            }
        }
        self.origin = Origin::Hand;
        Reply::nothing()
    }

    /// Scrolls so that the cursor is among `frets` frets and `strings` strings in view. In a pane of
    /// another size than before, the view begins at the nut again where that shows all there is.
    pub fn settle(&mut self, frets: usize, strings: usize) {
        if self.room != (frets, strings) {
            self.room = (frets, strings);
            self.frets_scroll = Scroll::default();
            self.strings_scroll = Scroll::default();
        }
        self.settle_alternatives();
        self.strings_scroll.show(self.line_of(self.string), self.strings(), strings);
        let last = self.columns();
        // Open strings are drawn before the neck and are always in view.
        let column = |string: StringNumber, fret: Fret| {
            let drawn = usize::from(fret.number()) + usize::from(self.shift(string));
            if fret == Fret::OPEN { 0 } else { drawn.saturating_sub(1) }
        };
        let stopped = |string| Some((string, self.grip.shape.on(string).filter(|fret| *fret != Fret::OPEN)?));
        let fingers: Vec<usize> =
            self.rig.strings().filter_map(stopped).map(|(string, fret)| column(string, fret)).collect();
        let cursor = column(self.string, self.fret);
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
            self.frets_scroll.show(place, last, frets);
        }
    }
}

fn note(text: String) -> Reply {
    Reply::say(Notice::note(text))
}

/// What keeping a reading came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// It is the name now.
    Added,
    /// It is no longer one of the names.
    Dropped,
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
        assert_eq!(pane.keep("C"), Kept::Added);
        for _ in 0..4 {
            pane.act(FretboardAction::StringUp);
        }
        pane.type_digit(3);
        assert_eq!(pane.grip().kept, Vec::<String>::new());
        assert!(pane.grip().doubts_to_keep().is_empty());
    }
}
