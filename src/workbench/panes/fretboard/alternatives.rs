//! Alternatives to what is on the fretboard: searched when asked for, shown as ghosts, taken or dropped.

use crate::instrument::fingering::{Fingering, FingeringError, fingering};
use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::neck::{Fret, Shape, StringNumber};
use crate::instrument::rig::Rig;
use crate::instrument::voicing::elsewhere::{
    ElsewhereError, HANDS, Keeping, OtherPlace, Smaller, StandIn, best_of_each_place, elsewhere, on_rig, same_top,
    smaller,
};
use crate::instrument::voicing::request::Request;
use crate::instrument::voicing::search::voicings;
use crate::instrument::voicing::shifting::{Across, ShiftedShape, VoiceDirection, across, along, next_inversion};
use crate::instrument::voicing::why::why;
use crate::theory::symbol::ChordSymbol;
use crate::workbench::boxes::entry::EntryBox;
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::keys::action::NeckAction;
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::Reply;
use crate::workbench::panes::fretboard::ghosts::{Ghost, GhostKind, Ghosts, fingers_in_short, hold_in_words};
use crate::workbench::panes::fretboard::pane::{FretboardPane, GripOrigin};
use crate::workbench::questions::fretboard::FretboardQuestion;

/// How many voicings of a typed chord are offered at most.
const MOST: usize = 60;

/// How the shape on the fretboard is held by a hand, worked out once.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    shape: Shape,
    hand: HandSize,
    /// The fingering, or why there is none.
    pub fingering: Result<Fingering, FingeringError>,
}

impl FretboardPane {
    /// Returns the ghosts, where there are any.
    pub const fn ghosts(&self) -> Option<&Ghosts> {
        self.ghosts.as_ref()
    }

    /// Returns how what is on the fretboard is held; `None` where no finger is needed or it cannot be played.
    pub fn holding(&self) -> Option<&Result<Fingering, FingeringError>> {
        self.holding.as_ref().map(|holding| &holding.fingering)
    }

    /// Works out how the shape is held where it, the neck or the hand has changed, and drops ghosts of
    /// another shape.
    pub(in crate::workbench) fn settle_alternatives(&mut self) {
        let shape = self.fingers.grip().shape.clone();
        if self.ghosts.as_ref().is_some_and(|ghosts| ghosts.of != shape) {
            self.ghosts = None;
        }
        if self.holding.as_ref().is_some_and(|known| known.shape == shape && known.hand == self.neck.hand()) {
            return;
        }
        let stopped = shape.strings().iter().flatten().any(|fret| *fret != Fret::OPEN);
        self.holding = (stopped && self.rig.check(&shape).is_ok()).then(|| Holding {
            hand: self.neck.hand(),
            fingering: fingering(&self.rig, &shape, &self.hand()),
            shape,
        });
    }

    fn hand(&self) -> Hand {
        Hand::new(self.neck.hand())
    }

    fn request(&self) -> Request {
        Request { hand: self.hand(), ..Request::default() }
    }

    /// Returns what sounds here as `shape` does on `rig`. Errors: as [`on_rig`].
    pub fn standing_in_for(&self, rig: &Rig, shape: &Shape) -> Result<StandIn, ElsewhereError> {
        on_rig(rig, shape, &self.rig, Keeping::Tones, &self.request())
    }

    /// Does what was asked of the alternatives.
    pub(in crate::workbench) fn seek(&mut self, action: NeckAction) -> Reply {
        match action {
            NeckAction::Elsewhere => self.seek_places(GhostKind::Elsewhere, elsewhere),
            NeckAction::SameTop => self.seek_places(GhostKind::SameTop, same_top),
            NeckAction::InversionUp => self.invert(VoiceDirection::Up),
            NeckAction::InversionDown => self.invert(VoiceDirection::Down),
            NeckAction::MoveTowardNut => self.move_shape(|rig, shape, hand| along(rig, shape, -1, hand)),
            NeckAction::MoveTowardBody => self.move_shape(|rig, shape, hand| along(rig, shape, 1, hand)),
            NeckAction::TowardFirstString => {
                self.move_shape(|rig, shape, hand| across(rig, shape, Across::TowardFirst, hand))
            }
            NeckAction::AwayFromFirstString => {
                self.move_shape(|rig, shape, hand| across(rig, shape, Across::AwayFromFirst, hand))
            }
            NeckAction::Smaller => self.seek_smaller(),
            NeckAction::NameChord => Reply::ask(Overlay::Entry(EntryBox::new(
                FretboardQuestion::ChordName,
                "A chord, to see how it can be played here",
                "As in Am7, or F#m7b5, or C/E; with a capo, by the name of the shape.",
                "",
            ))),
            NeckAction::NextGhost => self.step_ghost(Ghosts::next),
            NeckAction::PreviousGhost => self.step_ghost(Ghosts::previous),
            NeckAction::TakeGhost => self.take_ghost(),
            NeckAction::DropGhost if self.ghosts.is_none() && self.targets.is_some() => {
                self.targets = None;
                note("targets off")
            }
            NeckAction::DropGhost => match self.ghosts.take() {
                Some(_) => note("the ghost is gone; the fingers stay where they were"),
                None => note("no ghost to drop: a looks for the same chord elsewhere"),
            },
            other => self.look(other),
        }
    }

    fn seek_places(
        &mut self,
        kind: GhostKind,
        search: impl Fn(&Rig, &Shape, Keeping, &Request) -> Result<Vec<OtherPlace>, ElsewhereError>,
    ) -> Reply {
        if self.ghosts.as_ref().is_some_and(|ghosts| ghosts.kind == kind) {
            return self.step_ghost(Ghosts::next);
        }
        let shape = self.grip().shape.clone();
        let found = match search(&self.rig, &shape, Keeping::Tones, &self.request()) {
            Ok(found) => best_of_each_place(&found),
            Err(error) => return note(error.to_string()),
        };
        // What is sounded over the same bass keeps its name.
        let kept = if kind == GhostKind::Elsewhere { self.grip().kept.clone() } else { Vec::new() };
        let ghosts = found.into_iter().map(|place| Ghost {
            about: distance(place.along.0),
            shape: place.voicing.shape,
            fingering: Ok(place.voicing.fingering),
            kept: kept.clone(),
        });
        self.show(Ghosts::new(kind, shape, ghosts))
    }

    /// Returns the shape that the next step starts from: the ghost that is shown, else what lies on the strings.
    fn start(&self) -> Shape {
        self.ghosts.as_ref().map_or_else(|| self.grip().shape.clone(), |ghosts| ghosts.shown().shape.clone())
    }

    fn invert(&mut self, way: VoiceDirection) -> Reply {
        match next_inversion(&self.rig, &self.start(), way, &self.request()) {
            Ok(found) => {
                let about = if found.steps > 1 { "the nearer ones cannot be held".to_owned() } else { String::new() };
                let (shape, fingering) = (found.shape, Ok(found.fingering));
                self.show_one(GhostKind::Inversion, Ghost { shape, fingering, about, kept: Vec::new() })
            }
            Err(error) => note(error.to_string()),
        }
    }

    fn move_shape(&mut self, go: impl Fn(&Rig, &Shape, &Hand) -> Result<ShiftedShape, ElsewhereError>) -> Reply {
        if self.start().strings().iter().all(Option::is_none) {
            return note(ElsewhereError::Silent.to_string());
        }
        match go(&self.rig, &self.start(), &self.hand()) {
            Ok(ShiftedShape { shape, fingering }) => {
                let same =
                    self.rig.heard(&shape).iter().flatten().eq(self.rig.heard(&self.grip().shape).iter().flatten());
                let kept = if same { self.grip().kept.clone() } else { Vec::new() };
                let about = if same { "the same pitches".to_owned() } else { String::new() };
                self.show_one(GhostKind::Moved, Ghost { shape, fingering, about, kept })
            }
            Err(error) => note(error.to_string()),
        }
    }

    fn seek_smaller(&mut self) -> Reply {
        let shape = self.grip().shape.clone();
        match smaller(&self.rig, &shape, Keeping::Tones, &self.hand()) {
            Ok(fits @ Smaller::Fits(_)) => note(format!("{} hand: {}", self.neck.hand().name(), fits.in_words())),
            Ok(instead @ Smaller::Instead { .. }) => {
                let words = instead.in_words();
                if let Smaller::Instead { shape: found, .. } = instead {
                    let ghost = Ghost {
                        shape: found.shape,
                        fingering: Ok(found.fingering),
                        about: String::new(),
                        kept: Vec::new(),
                    };
                    self.ghosts = Ghosts::new(GhostKind::Smaller, shape, [ghost]);
                }
                note(format!("{words} Enter takes it."))
            }
            Err(error) => note(format!("{error} {HANDS}")),
        }
    }

    /// Looks for the voicings of a chord that was typed, named as it is played. Errors: in words, what is
    /// wrong with the name, or that the strings do not do.
    pub(super) fn seek_chord(&mut self, text: &str) -> Result<Reply, String> {
        let symbol: ChordSymbol = text.trim().parse().map_err(|error| format!("{error}"))?;
        let sounding = symbol.moved(self.rig.played_as().semitones(), None);
        let found = voicings(&self.rig, &sounding, &self.request(), MOST).map_err(|error| error.to_string())?;
        if found.is_empty() {
            return Err(format!("a {} hand finds no way to play {symbol} on this neck", self.neck.hand().name()));
        }
        let name = symbol.to_string();
        let ghosts = found.into_iter().map(|voicing| Ghost {
            about: format!("{name}: {}", why(&self.rig, &sounding, &voicing)),
            shape: voicing.shape,
            fingering: Ok(voicing.fingering),
            kept: vec![name.clone()],
        });
        let ghosts = Ghosts::new(GhostKind::Named, self.grip().shape.clone(), ghosts);
        Ok(self.show(ghosts))
    }

    fn show_one(&mut self, kind: GhostKind, ghost: Ghost) -> Reply {
        if ghost.shape == self.grip().shape {
            self.ghosts = None;
            return note("this is the shape on the fretboard again");
        }
        self.show(Ghosts::new(kind, self.grip().shape.clone(), [ghost]))
    }

    fn show(&mut self, ghosts: Option<Ghosts>) -> Reply {
        if ghosts.is_none() {
            return note("there is no other place for these tones that this hand can hold");
        }
        self.ghosts = ghosts;
        self.say_ghost()
    }

    fn step_ghost(&mut self, step: fn(&mut Ghosts)) -> Reply {
        match &mut self.ghosts {
            Some(ghosts) => step(ghosts),
            None => return note("no ghosts to step through: a looks for the same chord elsewhere"),
        }
        self.say_ghost()
    }

    /// Says everything of the ghost that is shown; where it is beyond the hand, with the caution.
    fn say_ghost(&self) -> Reply {
        let Some(ghosts) = &self.ghosts else { return Reply::nothing() };
        let ghost = ghosts.shown();
        let mut text = match ghosts.count() {
            1 => String::new(),
            count => format!("{} of {count}: ", ghosts.place()),
        };
        text += &ghost.shape.to_string();
        for part in [ghost.about.clone(), ghost_hold(ghost)] {
            if !part.is_empty() {
                text += &format!("; {part}");
            }
        }
        note(text)
    }

    /// Takes the ghost that is shown; without one, puts a finger under the cursor or lifts it.
    fn take_ghost(&mut self) -> Reply {
        let Some(ghosts) = self.ghosts.take() else {
            return self.act(crate::workbench::keys::action::FretboardAction::PutFinger);
        };
        let ghost = ghosts.shown().clone();
        let beyond = ghost.fingering.is_err();
        let said = format!("{} is on the fretboard; u takes it back", ghost.shape);
        self.put(ghost.grip(), GripOrigin::Hand);
        let caution = if beyond { format!(". It is beyond this hand. {HANDS}") } else { String::new() };
        Reply::say(Notice::done(format!("{said}{caution}")))
    }

    /// Takes the ghost where a click meets it; returns `None` where it does not.
    pub fn click_ghost(&mut self, string: StringNumber, fret: Fret) -> Option<Reply> {
        self.ghosts.as_ref().filter(|ghosts| ghosts.is_at(string, fret))?;
        Some(self.take_ghost())
    }

    /// Writes the fingers down that hold the shape most comfortably.
    pub(in crate::workbench) fn suggest_fingers(&mut self) -> Reply {
        self.settle_alternatives();
        match self.holding() {
            None => note("no finger is down"),
            Some(Err(error)) => {
                let text = format!("{error}. {HANDS} - shows a smaller shape");
                Reply::say(Notice::trouble(text))
            }
            Some(Ok(found)) => {
                let found = found.clone();
                let short = fingers_in_short(&found, &self.grip().shape);
                if !self.fingers.hold_with(found.fingers, found.barre) {
                    return note(format!("the fingers are {short} already"));
                }
                Reply::say(Notice::done(format!("fingers {short}; v saves them with the voicing")))
            }
        }
    }
}

/// Says how a ghost is held, or that the hand cannot.
pub fn ghost_hold(ghost: &Ghost) -> String {
    match &ghost.fingering {
        Ok(fingering) => {
            format!("{}, fingers {}", hold_in_words(fingering), fingers_in_short(fingering, &ghost.shape))
        }
        Err(error) => format!("{error}. {HANDS}"),
    }
}

fn distance(along: f64) -> String {
    match along {
        here if here.abs() < 0.5 => "in the same place".to_owned(),
        up if up > 0.0 => format!("{up:.0} mm toward the body"),
        down => format!("{:.0} mm toward the nut", -down),
    }
}

/// Says something slight.
pub(in crate::workbench) fn note(text: impl Into<String>) -> Reply {
    Reply::say(Notice::note(text.into()))
}
