//! Alternatives to what is on the fretboard: what is found when they are searched for. Nothing here shows them.

use crate::instrument::hand::{Hand, HandSize};
use crate::instrument::neck::Shape;
use crate::instrument::rig::Rig;
use crate::instrument::voicing::board::ChordBoard;
use crate::instrument::voicing::elsewhere::{
    ElsewhereError, Keeping, OtherPlace, SmallerShape, StandIn, best_of_each_place, elsewhere, on_rig, same_top,
    smaller,
};
use crate::instrument::voicing::level::PlayerLevel;
use crate::instrument::voicing::open_shapes::OpenShapes;
use crate::instrument::voicing::request::Request;
use crate::instrument::voicing::shifting::{ShiftedShape, StringWay, VoiceDirection, across, along, next_inversion};
use crate::instrument::voicing::voicing_words::why;
use crate::lesson::harmony::named_rightly::NO_BASS_HEARD;
use crate::workbench::panes::fretboard::ghosts::{Ghost, GhostKind, Ghosts};
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::voicing_query::VoicingQuery;

/// How many voicings of a typed chord are offered at most.
const MOST: usize = 60;

/// What a search sets out from.
#[derive(Debug, Clone, Copy)]
pub(super) struct SearchStart<'a> {
    /// The neck.
    pub(super) rig: &'a Rig,
    /// What lies on the strings.
    pub(super) grip: &'a Grip,
    /// The ghosts that are shown, from which the next step goes on.
    pub(super) ghosts: Option<&'a Ghosts>,
    /// The hand that is to hold what is found.
    pub(super) hand: HandSize,
}

/// What a search came to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum SearchOutcome {
    /// These shapes may be taken.
    Found(Ghosts),
    /// It led back to the shape that lies on the strings.
    SameShape,
    /// There is no such shape.
    Nothing,
}

/// Which way a shape is moved on the neck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ShapeMove {
    TowardNut,
    TowardBody,
    TowardFirstString,
    AwayFromFirstString,
}

impl SearchStart<'_> {
    fn hand(&self) -> Hand {
        Hand::new(self.hand)
    }

    fn request(&self) -> Request {
        Request { hand: self.hand(), ..Request::default() }
    }

    /// Returns the shape that the next step starts from: the ghost that is shown, else what lies on the strings.
    fn shape(&self) -> &Shape {
        self.ghosts.map_or(&self.grip.shape, |ghosts| &ghosts.shown().shape)
    }

    /// Returns what sounds here as `shape` does on `rig`. Errors: as [`on_rig`].
    pub(super) fn standing_in_for(&self, rig: &Rig, shape: &Shape) -> Result<StandIn, ElsewhereError> {
        on_rig(rig, shape, self.rig, Keeping::Tones, &self.request())
    }

    /// Looks for the same tones over the same bass in other places.
    pub(super) fn elsewhere(&self) -> Result<SearchOutcome, ElsewhereError> {
        let found = elsewhere(self.rig, &self.grip.shape, Keeping::Tones, &self.request())?;
        // What is sounded over the same bass keeps its name.
        Ok(self.places(GhostKind::Elsewhere, &found, self.grip.names_on(self.rig)))
    }

    /// Looks for the same tones under the same highest note.
    pub(super) fn same_top(&self) -> Result<SearchOutcome, ElsewhereError> {
        let found = same_top(self.rig, &self.grip.shape, Keeping::Tones, &self.request())?;
        Ok(self.places(GhostKind::SameTop, &found, &[]))
    }

    fn places(&self, kind: GhostKind, found: &[OtherPlace], kept: &[String]) -> SearchOutcome {
        let ghosts = best_of_each_place(found).into_iter().map(|place| Ghost {
            about: distance(place.along.0),
            shape: place.voicing.shape,
            fingering: Ok(place.voicing.fingering),
            kept: kept.to_vec(),
        });
        self.found(kind, ghosts)
    }

    fn found(&self, kind: GhostKind, ghosts: impl IntoIterator<Item = Ghost>) -> SearchOutcome {
        Ghosts::new(kind, self.grip.shape.clone(), ghosts).map_or(SearchOutcome::Nothing, SearchOutcome::Found)
    }

    fn found_one(&self, kind: GhostKind, ghost: Ghost) -> SearchOutcome {
        if ghost.shape == self.grip.shape { SearchOutcome::SameShape } else { self.found(kind, [ghost]) }
    }

    /// Looks for the next inversion on the same strings.
    pub(super) fn inversion(&self, way: VoiceDirection) -> Result<SearchOutcome, ElsewhereError> {
        let found = next_inversion(self.rig, self.shape(), way, &self.request())?;
        let about = if found.steps > 1 { "the nearer ones cannot be held".to_owned() } else { String::new() };
        let (shape, fingering) = (found.shape, Ok(found.fingering));
        Ok(self.found_one(GhostKind::Inversion, Ghost { shape, fingering, about, kept: Vec::new() }))
    }

    /// Moves the shape along or across the neck by a step.
    pub(super) fn moved(&self, way: ShapeMove) -> Result<SearchOutcome, ElsewhereError> {
        let from = self.shape();
        if from.strings().iter().all(Option::is_none) {
            return Err(ElsewhereError::Silent);
        }
        let (rig, hand) = (self.rig, self.hand());
        let ShiftedShape { shape, fingering } = match way {
            ShapeMove::TowardNut => along(rig, from, -1, &hand),
            ShapeMove::TowardBody => along(rig, from, 1, &hand),
            ShapeMove::TowardFirstString => across(rig, from, StringWay::TowardFirst, &hand),
            ShapeMove::AwayFromFirstString => across(rig, from, StringWay::AwayFromFirst, &hand),
        }?;
        let same = rig.heard(&shape).iter().flatten().eq(rig.heard(&self.grip.shape).iter().flatten());
        let kept = if same { self.grip.names_on(self.rig).to_vec() } else { Vec::new() };
        let about = if same { "the same pitches".to_owned() } else { String::new() };
        Ok(self.found_one(GhostKind::Moved, Ghost { shape, fingering, about, kept }))
    }

    /// Looks for what the hand holds of a shape that is too wide for it. Returns that, where the hand does not hold the
    /// shape itself, and what to say.
    pub(super) fn smaller(&self) -> Result<(Option<Ghosts>, String), ElsewhereError> {
        let shape = &self.grip.shape;
        let found = smaller(self.rig, shape, Keeping::Tones, &self.hand())?;
        let words = found.in_words();
        Ok(match found {
            SmallerShape::Fits(_) => (None, format!("{} hand: {words}", self.hand.name())),
            SmallerShape::Instead { shape: instead, .. } => {
                let (kept, about) = (Vec::new(), String::new());
                let ghost = Ghost { shape: instead.shape, fingering: Ok(instead.fingering), about, kept };
                (
                    Ghosts::new(GhostKind::Smaller, shape.clone(), [ghost]),
                    format!("{words} {{Neck(TakeGhost)}} uses it."),
                )
            }
        })
    }

    /// Looks for the voicings of a chord that was typed, named as it is played. Errors: in words, what is
    /// wrong with the name, or that the strings do not do.
    pub(super) fn named(&self, text: &str) -> Result<SearchOutcome, String> {
        let open_shapes = OpenShapes::on(self.rig);
        let VoicingQuery { chord: typed, from_shape, level } = VoicingQuery::read(text, &open_shapes)?;
        let symbol = self.rig.lowest_is().named(&typed);
        let sounding = symbol.moved(self.rig.played_as().semitones(), None);
        let (board, request) = (ChordBoard::of(self.rig), Request { level, ..self.request() });
        let mut found = board.search(&sounding, &request).map_err(|error| error.to_string())?;
        let all = found.count();
        if let Some(name) = &from_shape {
            found.retain(|shape| open_shapes.of(shape).is_some_and(|open| open.is_called(name)));
        }
        let found = found.found(MOST);
        if found.is_empty() && (all > 0 || level != PlayerLevel::default()) {
            return Err(format!("no voicing of {symbol} is left: leave out what stands behind the comma"));
        }
        if found.is_empty() {
            return Err(format!("no voicing of {symbol} that a {} hand can play on this neck", self.hand.name()));
        }
        let name = symbol.to_string();
        let said = if symbol == typed { name.clone() } else { format!("{name} ({NO_BASS_HEARD})") };
        let ghosts = found.into_iter().map(|voicing| Ghost {
            about: format!("{said}: {}", why(self.rig, &sounding, &voicing, &open_shapes)),
            shape: voicing.shape,
            fingering: Ok(voicing.fingering),
            kept: vec![name.clone()],
        });
        Ok(self.found(GhostKind::Named, ghosts))
    }
}

fn distance(along: f64) -> String {
    match along {
        here if here.abs() < 0.5 => "in the same place".to_owned(),
        up if up > 0.0 => format!("{up:.0} mm up the neck"),
        down => format!("{:.0} mm down the neck", -down),
    }
}
