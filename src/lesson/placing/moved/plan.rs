//! What each note is to be on the new rig.

use std::collections::{BTreeMap, BTreeSet};

use super::note_plan::Plan;
use super::notes::{Listed, bar_length, root};
use super::remark::Remark;
use super::shapes::{ChordShapes, HeldPlace, HeldPlaces};
use crate::instrument::harmonics::NeckPoint;
use crate::instrument::neck::{Fret, Place, StringNumber};
use crate::instrument::placement::can_be_held;
use crate::instrument::placement::line::{
    ChordOver, Follows, Joined, Limits, Milliseconds, NoteTarget, Pin, Slice, Touch, Wanted,
};
use crate::instrument::rig::Rig;
use crate::lesson::joining::JoinFamily;
use crate::lesson::music::{Join, Passage, Voice};
use crate::lesson::placing::timed::Clock;
use crate::lesson::technique::FretUse;
use crate::lesson::time::Ticks;
use crate::theory::pitch::{MidiNote, Pitch};
use crate::theory::symbol::ChordSymbol;

/// How long a grace note takes, in milliseconds: about as fast as a hand can play. Our own choice.
const GRACE: u64 = 60;
/// The highest partial that rings strongly enough. Common practice, no published source.
const HIGHEST_PARTIAL: u8 = 8;

/// The line that is to be placed.
#[derive(Debug, Clone, Default)]
pub(super) struct PlannedLine {
    pub(super) slices: Vec<Slice>,
    /// The notes of each slice, as places in the list.
    pub(super) members: Vec<Vec<usize>>,
    /// The notes that lie where their chord shape has them.
    pub(super) shaped: HeldPlaces,
}

/// Notes what could not be kept of a note, and in which words it is said of several.
type NotedOfNotes<'t> = dyn FnMut(String, String) + 't;

/// Says of every note what it is to be.
pub(super) fn planned(notes: &[Listed<'_>], old: &Rig, new: &Rig, remarks: &mut Vec<Remark>) -> Vec<Plan> {
    let mut planned: Vec<Plan> = Vec::with_capacity(notes.len());
    let mut chords = SoundInChords::that_stay(notes, old, new);
    for listed in notes {
        let mut tell = |text: String, several: String| remarks.push(Remark::of_a_note(listed.spot, text, several));
        let plan = match listed.from {
            Some((from, Join::Tie)) => Plan::TiedTo(from),
            Some((_, Join::HammerOn | Join::PullOff | Join::Slide | Join::SlideAndPick)) | None => {
                plan(listed, old, new, &mut chords, &mut tell)
            }
        };
        planned.push(plan);
    }
    planned
}

/// What sounds in each chord on the new rig, as far as it is known: when, how far ahead of the beat, and the pitch.
struct SoundInChords(BTreeSet<(Ticks, usize, MidiNote)>);

impl SoundInChords {
    /// Returns the pitches that stay as they are.
    fn that_stay(notes: &[Listed<'_>], old: &Rig, new: &Rig) -> Self {
        let plain = |listed: &&Listed<'_>| {
            let frets = listed.note.techniques.iter().map(|technique| technique.frets());
            frets.into_iter().all(|frets| frets != FretUse::Damped && frets != FretUse::TouchedOpen)
        };
        let sounding = notes.iter().filter(plain).filter_map(|listed| {
            let pitch = old.sounding(listed.note.string, listed.note.fret).ok()?;
            (!new.places(pitch).is_empty()).then_some((listed.start, listed.ahead, pitch))
        });
        Self(sounding.collect())
    }

    /// Adds a pitch to the chord of a note. Returns whether it was not there before.
    fn add(&mut self, listed: &Listed<'_>, pitch: MidiNote) -> bool {
        self.0.insert((listed.start, listed.ahead, pitch))
    }
}

fn plan(listed: &Listed<'_>, old: &Rig, new: &Rig, chords: &mut SoundInChords, tell: &mut NotedOfNotes<'_>) -> Plan {
    let mut is_new = |pitch| chords.add(listed, pitch);
    let note = listed.note;
    let place = Place { string: note.string, fret: note.fret };
    let has = |frets: FretUse| note.techniques.iter().any(|technique| technique.frets() == frets);
    if has(FretUse::Damped) {
        return dead(place, new, tell);
    }
    if has(FretUse::TouchedOpen)
        && let Ok(harmonic) = old.natural_harmonic(note.string, NeckPoint(f64::from(note.fret.number())))
    {
        return natural_harmonic(harmonic.sounding, note.string, new, &mut is_new, tell);
    }
    match old.sounding(note.string, note.fret) {
        Ok(sounding) => pitch(sounding, new, &mut is_new, tell),
        Err(error) if new.wire(place).is_ok() => {
            let several = "notes have no known pitch: they stay at their frets".to_owned();
            tell(format!("its pitch is not known ({error}): it stays at {place}"), several);
            Plan::At(place)
        }
        Err(error) => {
            let text =
                format!("its pitch is not known ({error}) and the new instrument has no {place}: it is left out");
            let several = "notes have no known pitch, and the new instrument lacks their frets: they are left out";
            tell(text, several.to_owned());
            Plan::Nothing
        }
    }
}

/// Plans a dead note: it stays on its string.
fn dead(place: Place, new: &Rig, tell: &mut NotedOfNotes<'_>) -> Plan {
    let last = new.strings().next();
    let string = last.map_or(place.string, |last| last.min(place.string));
    let highest = new.last_fret(string).unwrap_or(Fret::OPEN);
    let lower = (0..=place.fret.min(highest).number()).rev().filter_map(Fret::new);
    let kept = lower.map(|fret| Place { string, fret }).find(|place| new.wire(*place).is_ok());
    match kept {
        Some(kept) => {
            if kept != place {
                let several = "dead notes are at frets that are not there any more: they go to the nearest";
                tell(
                    format!("a dead note at {place}, which is not there any more: it goes to {kept}"),
                    several.to_owned(),
                );
            }
            Plan::At(kept)
        }
        None => Plan::Nothing,
    }
}

/// Plans a harmonic: it goes where the same pitch rings, on the string nearest to its own.
fn natural_harmonic(
    sounding: MidiNote,
    string: StringNumber,
    new: &Rig,
    is_new: &mut dyn FnMut(MidiNote) -> bool,
    tell: &mut NotedOfNotes<'_>,
) -> Plan {
    let strong = new.natural_harmonics_sounding(sounding);
    let written = strong.iter().filter(|harmonic| harmonic.node.partial() <= HIGHEST_PARTIAL).filter_map(|harmonic| {
        // A touch lies on the neck: at most at its last fret.
        let fret = Fret::new(harmonic.touch.0.round() as u8)?;
        let place = Place { string: harmonic.string, fret };
        let back = new.natural_harmonic(place.string, NeckPoint(f64::from(fret.number()))).ok()?;
        (back.sounding == sounding && new.wire(place).is_ok()).then_some((
            harmonic.string.number().abs_diff(string.number()),
            fret,
            place,
        ))
    });
    if let Some((.., place)) = written.min() {
        return Plan::Harmonic(place);
    }
    let name = Pitch::usual(sounding);
    if new.places(sounding).is_empty() {
        let several = "harmonics are not on any string now, and there is no fret for them";
        tell(format!("the harmonic {name} is not on any string now, and there is no fret for it"), several.to_owned());
    } else {
        let several = "harmonics are not on any string now: they are fretted instead";
        tell(format!("the harmonic {name} is not on any string now: it is fretted instead"), several.to_owned());
    }
    pitch(sounding, new, is_new, tell)
}

/// Plans a pitch: it stays, or goes to the nearest octave; where that is in its chord already, which `is_new` says, it is left out.
fn pitch(sounding: MidiNote, new: &Rig, is_new: &mut dyn FnMut(MidiNote) -> bool, tell: &mut NotedOfNotes<'_>) -> Plan {
    let there = |note: MidiNote| !new.places(note).is_empty();
    if there(sounding) {
        return Plan::Pitch { note: sounding, raised: 0 };
    }
    let name = Pitch::usual(sounding);
    let octaves = (1..=10).flat_map(|octave| [12 * octave, -12 * octave]);
    let nearest = octaves.filter_map(|raised| Some((sounding.up(raised)?, raised))).find(|(note, _)| there(*note));
    match nearest {
        Some((note, _)) if !is_new(note) => {
            let octave = Pitch::usual(note);
            let text = format!(
                "{name} is not on the instrument, and its octave {octave} is in the chord already: it is left out"
            );
            let several =
                "notes are not on the instrument, and their octaves are in the chords already: they are left out";
            tell(text, several.to_owned());
            Plan::Nothing
        }
        Some((note, raised)) => {
            let count = raised.abs() / 12;
            let far = if count == 1 { "an octave".to_owned() } else { format!("{count} octaves") };
            let way = if raised > 0 { "higher" } else { "lower" };
            let text = format!("{name} is not on the instrument: it is played {far} {way}, {}", Pitch::usual(note));
            tell(text, format!("notes are not on the instrument: they are played {far} {way}"));
            Plan::Pitch { note, raised }
        }
        None => {
            let several = "notes are not on the instrument in any octave: they are left out";
            tell(format!("{name} is not on the instrument in any octave: it is left out"), several.to_owned());
            Plan::Nothing
        }
    }
}

/// Puts what is planned into slices; what no hand can hold is left out of `planned`. Chords that are played with one of
/// `shapes` take its places, as long as nothing else that begins then is in the way. What begins on strings that sound as before stays
/// where it is.
pub(super) fn line(
    passage: &Passage,
    notes: &[Listed<'_>],
    (planned, shapes): (&mut [Plan], &ChordShapes<'_>),
    (old, new): (&Rig, &Rig),
    remarks: &mut Vec<Remark>,
) -> PlannedLine {
    let staying = staying(notes, planned, old, new);
    let clock = Clock::new(&tempos(passage, notes));
    // Grace notes come before what starts with them.
    let mut moments: BTreeMap<(Ticks, std::cmp::Reverse<usize>), Vec<usize>> = BTreeMap::new();
    for (place, (listed, plan)) in notes.iter().zip(planned.iter()).enumerate() {
        if !matches!(plan, Plan::TiedTo(_) | Plan::Nothing) {
            moments.entry((listed.start, std::cmp::Reverse(listed.ahead))).or_default().push(place);
        }
    }
    let mut line = PlannedLine::default();
    for ((start, std::cmp::Reverse(ahead)), mut members) in moments {
        let at = clock.at(start).0.saturating_sub(GRACE * ahead as u64);
        let wanted = |place: usize, planned: &[Plan], remarks: &mut Vec<Remark>| {
            let (listed, plan) = (notes.get(place)?, planned.get(place)?);
            let end = clock.at(listed.start + listed.length).0;
            let end = if listed.ahead > 0 { at + GRACE } else { end.max(at) };
            wanted(listed, *plan, Milliseconds(end - at), new, remarks)
        };
        let mut slice = Slice { start: Milliseconds(at), notes: Vec::new() };
        slice.notes = members.iter().filter_map(|place| wanted(*place, planned, remarks)).collect();
        let shaped = shapes.places(&members, (notes, planned), new);
        let stays = shaped.is_empty() && members.iter().all(|place| staying.get(*place) == Some(&true));
        let shaped = if stays { as_written(&members, notes) } else { shaped };
        if !line.take_places(&mut slice, &mut members, shaped, new) {
            thin_out(&mut slice, &mut members, notes, planned, new, remarks);
            // What is left of a chord may be in its shape.
            let shaped = shapes.places(&members, (notes, planned), new);
            line.take_places(&mut slice, &mut members, shaped, new);
        }
        line.slices.push(slice);
        line.members.push(members);
    }
    join(&mut line, notes);
    // What is tied to a note that is left out goes with it.
    for place in 0..planned.len() {
        if let Some(Plan::TiedTo(from)) = planned.get(place).copied()
            && planned.get(from) == Some(&Plan::Nothing)
            && let Some(plan) = planned.get_mut(place)
        {
            *plan = Plan::Nothing;
        }
    }
    line
}

impl PlannedLine {
    /// Puts what begins at one moment at these places, and returns whether that could be done. What the search cannot hold
    /// there leaves the slice: its place is known.
    fn take_places(&mut self, slice: &mut Slice, members: &mut Vec<usize>, places: HeldPlaces, new: &Rig) -> bool {
        match in_shape(slice, members, &places, new) {
            None => return false,
            Some(InShape::Held(held)) => *slice = held,
            Some(InShape::Whole) => {
                members.clear();
                slice.notes.clear();
            }
        }
        self.shaped.extend(places);
        true
    }
}

/// Says of each note whether it can stay where it is: its string sounds as before, and so do those of the notes that it is joined to.
fn staying(notes: &[Listed<'_>], planned: &[Plan], old: &Rig, new: &Rig) -> Vec<bool> {
    // What is placed anew on the strings that it has is not to stay.
    let moves = old != new;
    let sounds_alike = |(listed, plan): (&Listed<'_>, &Plan)| match plan {
        Plan::Pitch { note, raised: 0 } => new.sounding(listed.note.string, listed.note.fret) == Ok(*note),
        Plan::At(place) | Plan::Harmonic(place) => {
            let open = |rig: &Rig| rig.sounding(place.string, Fret::OPEN).ok();
            open(old) == open(new) && *place == Place { string: listed.note.string, fret: listed.note.fret }
        }
        Plan::TiedTo(_) => true,
        Plan::Pitch { .. } | Plan::Nothing => false,
    };
    let mut staying: Vec<bool> = notes.iter().zip(planned).map(|note| moves && sounds_alike(note)).collect();
    // A join takes both its notes along; a chain of them is in the order of time.
    let joins: Vec<(usize, usize)> =
        notes.iter().enumerate().filter_map(|(to, listed)| Some((listed.from?.0, to))).collect();
    for (one, other) in joins.iter().copied().chain(joins.iter().rev().map(|(from, to)| (*to, *from))) {
        if staying.get(one) == Some(&false)
            && let Some(entry) = staying.get_mut(other)
        {
            *entry = false;
        }
    }
    staying
}

/// Returns where notes lie in the passage as it is written.
fn as_written(members: &[usize], notes: &[Listed<'_>]) -> HeldPlaces {
    let written = |place: &usize| {
        let note = notes.get(*place)?.note;
        Some((*place, HeldPlace { place: Place { string: note.string, fret: note.fret }, finger: note.finger }))
    };
    members.iter().filter_map(written).collect()
}

/// What begins at one moment, with a chord that lies where its shape has it.
enum InShape {
    /// So that the search can hold it.
    Held(Slice),
    /// Nothing else begins then, and the shape is held with fingers that the search does not try.
    Whole,
}

/// Returns a slice with its notes where the shapes of their chords have them; `None` where there is no such shape, or where something
/// else that begins then is in the way.
fn in_shape(slice: &Slice, members: &[usize], shaped: &HeldPlaces, new: &Rig) -> Option<InShape> {
    let places = || members.iter().map(|place| shaped.get(place));
    if places().all(|place| place.is_none()) {
        return None;
    }
    let mut pinned = slice.clone();
    for (wanted, shape) in pinned.notes.iter_mut().zip(places()) {
        if let Some(shape) = shape {
            wanted.pin.string = Some(shape.place.string);
            wanted.pin.fret = Some(shape.place.fret);
        }
    }
    if can_be_held(new, &pinned, Limits::NONE).is_ok() {
        return Some(InShape::Held(pinned));
    }
    places().all(|place| place.is_some()).then_some(InShape::Whole)
}

/// Returns the chords named over the passage, as they sound, each with the slice from which on it holds.
/// The names lie so many semitones below what sounds.
pub(super) fn chords(passage: &Passage, line: &PlannedLine, notes: &[Listed<'_>], below: i32) -> Vec<ChordOver> {
    let starts: Vec<Option<Ticks>> =
        line.members.iter().map(|members| Some(notes.get(*members.first()?)?.start)).collect();
    let mut chords: Vec<ChordOver> = Vec::new();
    let mut bar_start = Ticks::ZERO;
    let mut meter = passage.meter;
    for bar in &passage.bars {
        meter = bar.meter.unwrap_or(meter);
        let longest = bar.voices.iter().map(Voice::ticks).max();
        for (start, event) in bar.voices.iter().flat_map(Voice::timed) {
            let Some(Ok(symbol)) = event.chord.as_deref().map(str::parse::<ChordSymbol>) else { continue };
            let at = bar_start + start;
            let slice = starts.partition_point(|start| start.is_none_or(|start| start < at));
            // Names of the shapes are parted from the sound by a capo or a lowered tuning.
            chords.push(ChordOver { slice, symbol: symbol.moved(below, None) });
        }
        bar_start += bar_length(longest, meter);
    }
    chords.sort_by_key(|chord| chord.slice);
    chords
}

/// Returns the tempos of the passage with their starts.
fn tempos(passage: &Passage, notes: &[Listed<'_>]) -> Vec<(Ticks, crate::lesson::time::Tempo)> {
    let mut tempos = vec![(Ticks::ZERO, passage.tempo)];
    let mut notes = notes.iter().peekable();
    for (index, bar) in passage.bars.iter().enumerate() {
        // They stand in the order of the bars.
        while notes.next_if(|listed| listed.spot.bar_index() < Some(index)).is_some() {}
        let first = notes.peek().filter(|listed| listed.spot.bar_index() == Some(index));
        tempos.extend(bar.tempo.zip(first).map(|(tempo, first)| (first.start, tempo)));
    }
    tempos
}

fn wanted(
    listed: &Listed<'_>,
    plan: Plan,
    length: Milliseconds,
    new: &Rig,
    remarks: &mut Vec<Remark>,
) -> Option<Wanted> {
    let mut touch = Touch::Any;
    let target = match plan {
        Plan::Pitch { note, .. } => {
            let needs = listed.note.techniques.iter().find(|technique| technique.family().needs_finger());
            if let Some(technique) = needs {
                if new.places(note).iter().any(|place| place.fret != Fret::OPEN) {
                    touch = Touch::Stopped;
                } else {
                    let name = Pitch::usual(note);
                    let technique = technique.name();
                    let text = format!("{name} is there only as an open string: the {technique} is deleted");
                    let several = format!("notes are there only as open strings: their {technique} is deleted");
                    remarks.push(Remark::of_a_note(listed.spot, text, several));
                }
            }
            NoteTarget::Pitch(note)
        }
        Plan::At(place) | Plan::Harmonic(place) => NoteTarget::At(place),
        Plan::TiedTo(_) | Plan::Nothing => return None,
    };
    Some(Wanted { target, length, pin: Pin::default(), touch, follows: None })
}

/// Leaves notes out of a chord until a hand can hold it: an inner one that is enough, if there is one.
fn thin_out(
    slice: &mut Slice,
    members: &mut Vec<usize>,
    notes: &[Listed<'_>],
    planned: &mut [Plan],
    new: &Rig,
    remarks: &mut Vec<Remark>,
) {
    while slice.notes.len() > 1 && can_be_held(new, slice, Limits::NONE).is_err() {
        let height = |wanted: &Wanted| match wanted.target {
            NoteTarget::Pitch(note) => note.number(),
            NoteTarget::At(_) => 0,
        };
        let lowest = slice.notes.iter().map(height).min();
        let highest = slice.notes.iter().map(height).max();
        let is_outer = |place: &usize| {
            let height = slice.notes.get(*place).map(height);
            height == lowest || height == highest
        };
        let without = |place: usize| {
            let mut thinner = slice.clone();
            thinner.notes.remove(place);
            thinner
        };
        let mut order: Vec<usize> = (0..slice.notes.len()).collect();
        order.sort_by_key(is_outer);
        let enough = order.iter().find(|place| can_be_held(new, &without(**place), Limits::NONE).is_ok());
        let Some(&gone) = enough.or(order.first()) else { return };
        *slice = without(gone);
        let gone = members.remove(gone);
        let name = planned.get(gone).map_or_else(String::new, |plan| match plan {
            Plan::Pitch { note, .. } => Pitch::usual(*note).to_string(),
            Plan::At(place) | Plan::Harmonic(place) => place.to_string(),
            Plan::TiedTo(_) | Plan::Nothing => String::new(),
        });
        if let (Some(plan), Some(listed)) = (planned.get_mut(gone), notes.get(gone)) {
            *plan = Plan::Nothing;
            let text = format!("its chord cannot be fretted any more: {name} is left out of it");
            let several = "notes are left out of their chords, which cannot be fretted any more";
            remarks.push(Remark::of_a_note(listed.spot, text, several));
        }
    }
}

/// Tells the search which notes are joined.
fn join(line: &mut PlannedLine, notes: &[Listed<'_>]) {
    let mut places: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    for (slice, members) in line.members.iter().enumerate() {
        places.extend(members.iter().enumerate().map(|(place, member)| (*member, (slice, place))));
    }
    for (member, (slice, place)) in &places {
        let Some((from, join)) = notes.get(*member).and_then(|listed| listed.from) else { continue };
        let how = match join.row().family {
            JoinFamily::Tie => continue,
            JoinFamily::Slur => Joined::Legato,
            JoinFamily::Slide => Joined::Slide,
        };
        let source = places.get(&root(from, notes)).filter(|(from, _)| from < slice);
        if let Some((from_slice, from_note)) = source
            && let Some(wanted) = line.slices.get_mut(*slice).and_then(|slice| slice.notes.get_mut(*place))
        {
            wanted.follows = Some(Follows { slice: *from_slice, note: *from_note, how });
        }
    }
}
