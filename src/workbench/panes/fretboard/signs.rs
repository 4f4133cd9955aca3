//! The signs on the neck beside the fingers: ghosts, chord tones to aim at, harmonic nodes, notes of the key.
//!
//! Each has a sign of its own, so that none depends on a colour: `(E)` a ghost, `+E` a tone of the chord now,
//! `>E` one of the next, `=E` one of both, `<3>` the node of the third partial, a small dot a note of the key.

use crate::instrument::neck::{Fret, StringNumber};
use crate::theory::pitch::{MidiNote, NoteName, Pitch};
use crate::theory::reading::Reading;
use crate::workbench::drawing::appearance::Glyphs;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;
use crate::workbench::panes::fretboard::ghosts::hold_in_words;
use crate::workbench::panes::fretboard::pane::FretboardPane;

/// Returns the sign at a place where no finger is, if there is one.
pub fn sign(
    pane: &FretboardPane,
    reading: Option<&Reading>,
    (string, fret): (StringNumber, Fret),
    glyphs: Glyphs,
) -> Option<(String, Role)> {
    let sounding = pane.rig().sounding(string, fret).ok()?;
    if pane.ghosts().is_some_and(|ghosts| ghosts.is_at(string, fret)) {
        return Some((format!("({})", played_name(pane, reading, sounding)), Role::Strong));
    }
    if let Some(targets) = pane.targets() {
        let (now, next) = targets.tones();
        let class = sounding.pitch_class();
        let (mark, chord, role) = match (now.has(class.number()), next.has(class.number())) {
            (true, true) => ("=", targets.now(), Role::Strong),
            (true, false) => ("+", targets.now(), Role::Strong),
            (false, true) => (">", targets.next(), Role::Faint),
            (false, false) => return None,
        };
        let shift = pane.rig().played_as().semitones();
        let chord = chord.map(|(_, chord)| chord.moved(-shift, None));
        let played = sounding.up(-shift).unwrap_or(sounding).pitch_class();
        let tones = chord.iter().flat_map(|chord| chord.tones().into_iter().chain(chord.bass()));
        let name = tones.into_iter().find(|name| name.pitch_class() == played).unwrap_or(NoteName::usual(played));
        return Some((format!("{mark}{name}"), role));
    }
    if let Some(partial) =
        pane.neck().node_at(pane.rig(), pane.cursor().0, (string, fret)).filter(|_| fret != Fret::OPEN)
    {
        return Some((format!("<{partial}>"), Role::Plain));
    }
    let key = pane.neck().guide_key()?;
    let class = sounding.pitch_class();
    let mark = if class == key.tonic().pitch_class() { glyphs.tonic } else { glyphs.guide };
    key.tones().has(class.number()).then(|| (mark.to_owned(), Role::Faint))
}

/// Returns the name of a note as it is played, spelled as the reading spells it where that has it.
fn played_name(pane: &FretboardPane, reading: Option<&Reading>, sounding: MidiNote) -> NoteName {
    let played = sounding.up(-pane.rig().played_as().semitones()).unwrap_or(sounding);
    let tones = reading.into_iter().flat_map(|reading| reading.notes.iter().flatten());
    let known = tones.map(|tone| tone.name).find(|name| name.pitch_class() == played.pitch_class());
    known.unwrap_or_else(|| Pitch::usual(played).name())
}

/// Draws how the shape is held, after what stands at `x`; what is beyond the hand, with the remedy.
pub fn draw_hold(pane: &FretboardPane, (x, y): (usize, usize), region: &mut Region<'_>) {
    let hand = pane.neck().hand().name();
    // The first that fits is drawn, else the last.
    let (texts, role) = match pane.holding() {
        None => return,
        Some(Ok(fingering)) => {
            let words = hold_in_words(fingering);
            let reach = format!("reach {:.0} mm", fingering.reach.0);
            ([format!("{words} ({hand} hand)"), words, reach], Role::Faint)
        }
        Some(Err(_)) => {
            let long = format!("! beyond a {hand} hand: try a smaller shape");
            ([long, "! beyond this hand".to_owned(), "! too far".to_owned()], Role::Caution)
        }
    };
    let room = region.width().saturating_sub(x + 1);
    let [.., last] = &texts;
    let text = texts.iter().find(|text| text.chars().count() <= room).unwrap_or(last);
    region.text(x + 1, y, text, role);
}

/// Draws what there is to say of ghosts or of chords aimed at; returns whether there is anything.
pub fn draw_note(pane: &FretboardPane, y: usize, region: &mut Region<'_>) -> bool {
    let text = if let Some(ghosts) = pane.ghosts() {
        let ghost = ghosts.shown();
        let place = match (ghosts.count(), ghosts.share) {
            (1, None) => String::new(),
            (count, None) => format!("{} of {count}: ", ghosts.place()),
            (count, Some(share)) => format!("{} of {count} ({share}): ", ghosts.place()),
        };
        let long = format!("( ) {place}{}  {}", ghost.shape, ghost.hold_in_words());
        match &ghost.fingering {
            Ok(fingering) if long.chars().count() + 1 > region.width() => {
                format!("( ) {place}{}  {}", ghost.shape, hold_in_words(fingering))
            }
            Ok(_) => long,
            Err(_) => format!("( ) {place}{}  ! beyond this hand", ghost.shape),
        }
    } else if let Some((targets, (now, _))) = pane.targets().and_then(|targets| Some((targets, targets.now()?))) {
        let next = targets.next().map_or(String::new(), |(next, _)| format!("  > {next} next  = in both"));
        format!("+ {now} now{next}")
    } else {
        return false;
    };
    region.text(1, y, &text, Role::Plain);
    true
}
