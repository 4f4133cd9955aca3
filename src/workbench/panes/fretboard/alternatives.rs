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
use crate::instrument::voicing::search::Search;
use crate::instrument::voicing::shifting::{ShiftedShape, StringWay, VoiceDirection, across, along, next_inversion};
use crate::instrument::voicing::voicing_words::why;
use crate::lesson::harmony::named_rightly::NO_BASS_HEARD;
use crate::workbench::panes::fretboard::ghosts::{Ghost, GhostKind, Ghosts, LevelShare};
use crate::workbench::panes::fretboard::grip::Grip;
use crate::workbench::panes::fretboard::voicing_query::{SuggestionOrder, VoicingQuery};

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
    /// The level that what is found keeps to.
    pub(super) level: PlayerLevel,
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
    /// There are some, and none keeps to the level.
    NoneAtLevel(LevelShare),
}

impl SearchOutcome {
    /// Returns the same with what a level has left of all that there are.
    fn of_all(self, share: LevelShare) -> Self {
        match self {
            Self::Found(ghosts) => Self::Found(ghosts.of_all(share)),
            Self::Nothing if share.all > 0 => Self::NoneAtLevel(share),
            Self::SameShape | Self::Nothing | Self::NoneAtLevel(_) => self,
        }
    }
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
        Request { hand: self.hand(), level: self.level, ..Request::default() }
    }

    /// Returns what is asked for by a player of every level.
    fn request_of_all(&self) -> Request {
        Request { level: PlayerLevel::default(), ..self.request() }
    }

    /// Returns the shape that the next step starts from: the ghost that is shown, else what lies on the strings.
    fn shape(&self) -> &Shape {
        self.ghosts.map_or(&self.grip.shape, |ghosts| &ghosts.shown().shape)
    }

    /// Returns what sounds here as `shape` does on `rig`. Errors: as [`on_rig`].
    pub(super) fn standing_in_for(&self, rig: &Rig, shape: &Shape) -> Result<StandIn, ElsewhereError> {
        on_rig(rig, shape, self.rig, Keeping::Tones, &self.request_of_all())
    }

    /// Looks for the same tones over the same bass in other places.
    pub(super) fn elsewhere(&self) -> Result<SearchOutcome, ElsewhereError> {
        let seek = |request: &Request| elsewhere(self.rig, &self.grip.shape, Keeping::Tones, request);
        // What is sounded over the same bass keeps its name.
        self.places(GhostKind::Elsewhere, seek, self.grip.names_on(self.rig))
    }

    /// Looks for the same tones under the same highest note.
    pub(super) fn same_top(&self) -> Result<SearchOutcome, ElsewhereError> {
        let seek = |request: &Request| same_top(self.rig, &self.grip.shape, Keeping::Tones, request);
        self.places(GhostKind::SameTop, seek, &[])
    }

    /// Returns the best of each place that `seek` finds for the level.
    fn places(
        &self,
        kind: GhostKind,
        seek: impl Fn(&Request) -> Result<Vec<OtherPlace>, ElsewhereError>,
        kept: &[String],
    ) -> Result<SearchOutcome, ElsewhereError> {
        let found = best_of_each_place(&seek(&self.request())?);
        let left = found.len();
        let all = if self.level == PlayerLevel::default() {
            left
        } else {
            best_of_each_place(&seek(&self.request_of_all())?).len()
        };
        let open_shapes = OpenShapes::on(self.rig);
        let about = |place: &OtherPlace| {
            let open = open_shapes.of(&place.voicing.shape).and_then(|open| open.where_it_helps());
            [Some(distance(place.along.0)), open].into_iter().flatten().collect::<Vec<String>>().join("; ")
        };
        let ghosts = found.into_iter().map(|place| Ghost {
            about: about(&place),
            shape: place.voicing.shape,
            fingering: Ok(place.voicing.fingering),
            kept: kept.to_vec(),
        });
        Ok(self.found(kind, ghosts).of_all(LevelShare { level: self.level, left, all }))
    }

    fn found(&self, kind: GhostKind, ghosts: impl IntoIterator<Item = Ghost>) -> SearchOutcome {
        Ghosts::new(kind, self.grip.shape.clone(), ghosts).map_or(SearchOutcome::Nothing, SearchOutcome::Found)
    }

    /// Returns the one shape that was asked for, whatever the level; where it is above that, it says so.
    fn found_one(&self, kind: GhostKind, ghost: Ghost) -> SearchOutcome {
        let ghost = self.with_caution(ghost);
        if ghost.shape == self.grip.shape { SearchOutcome::SameShape } else { self.found(kind, [ghost]) }
    }

    /// Says of a shape that it is above the level.
    fn with_caution(&self, ghost: Ghost) -> Ghost {
        if ghost.fingering.is_err() || self.level.allows(self.rig, &ghost.shape, &self.hand()) {
            return ghost;
        }
        let above = format!("above {} level", self.level);
        let about = if ghost.about.is_empty() { above } else { format!("{}; {above}", ghost.about) };
        Ghost { about, ..ghost }
    }

    /// Looks for the next inversion on the same strings.
    pub(super) fn inversion(&self, way: VoiceDirection) -> Result<SearchOutcome, ElsewhereError> {
        let found = next_inversion(self.rig, self.shape(), way, &self.request_of_all())?;
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
                    Ghosts::new(GhostKind::Smaller, shape.clone(), [self.with_caution(ghost)]),
                    format!("{words} {{Neck(TakeGhost)}} uses it."),
                )
            }
        })
    }

    /// Looks for the voicings of a chord that was typed, named as it is played. Errors: in words, what is
    /// wrong with the name, or that the strings do not do.
    pub(super) fn named(&self, text: &str) -> Result<SearchOutcome, String> {
        let open_shapes = OpenShapes::on(self.rig);
        let VoicingQuery { chord: typed, from_shape, level, order } = VoicingQuery::read(text, &open_shapes)?;
        let level = level.unwrap_or(self.level);
        let symbol = self.rig.lowest_is().named(&typed);
        let sounding = symbol.moved(self.rig.played_as().semitones(), None);
        let (board, request, of_all) =
            (ChordBoard::of(self.rig), Request { level, ..self.request() }, self.request_of_all());
        let search = |request| -> Result<Search<'_>, String> {
            let found = board.search(&sounding, request).map_err(|error| error.to_string())?;
            let mut found = found.with_incomplete();
            if let Some(name) = &from_shape {
                found.retain(|shape| open_shapes.of(shape).is_some_and(|open| open.is_called(name)));
            }
            Ok(found)
        };
        let found = search(&request)?;
        let left = found.count();
        let all = if level == PlayerLevel::default() { left } else { search(&of_all)?.count() };
        let share = LevelShare { level, left, all };
        if left == 0 && all > 0 {
            return Err(format!("{share} of {symbol}: type {} after a comma for all of them", PlayerLevel::Advanced));
        }
        if let Some(name) = from_shape.filter(|_| left == 0) {
            return Err(format!("no voicing of {symbol} comes from the {name} shape: leave it out, or type another"));
        }
        let found = match order {
            SuggestionOrder::BestFirst => found.found(MOST),
            SuggestionOrder::ByOpenShape => {
                let mut found = found.found(usize::MAX);
                found.sort_by_cached_key(|voicing| open_shapes.place(&voicing.shape));
                found.truncate(MOST);
                found
            }
        };
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
        Ok(self.found(GhostKind::Named, ghosts).of_all(share))
    }
}

fn distance(along: f64) -> String {
    match along {
        here if here.abs() < 0.5 => "in the same place".to_owned(),
        up if up > 0.0 => format!("{up:.0} mm up the neck"),
        down => format!("{:.0} mm down the neck", -down),
    }
}
