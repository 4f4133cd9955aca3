//! What the keys about sound do: have what stands in the panes played, stopped, or played in another way.
//!
//! What stands there as a score is for `desk::scores`; the runtime's player makes it heard.

use std::sync::Arc;

use crate::lesson::seconds::Seconds;
use crate::sound::sounds::sounds;
use crate::workbench::boxes::choice::{Advice, ChoiceBox};
use crate::workbench::boxes::overlay::Overlay;
use crate::workbench::boxes::typed_line::EntryBox;
use crate::workbench::desk::open_desk::Desk;
use crate::workbench::desk::scores::{ToHear, passage_part, plays_music, segment_music, to_be_heard};
use crate::workbench::keys::action::SoundAction;
use crate::workbench::messages::effect::{Effect, SoundEffect};
use crate::workbench::messages::notice::Notice;
use crate::workbench::messages::pane_reply::PaneReply;
use crate::workbench::playback::playing::{
    OtherTempo, OtherVolume, Playback, Playing, SoundOrder, SoundSubject, UNHEARD, Unsure,
};
use crate::workbench::questions::pick::Pick;
use crate::workbench::questions::sound::{SoundPick, SoundQuestion};
use crate::workbench::state::{State, View};

/// What is said before anything is heard for the first time. The limit is that of ITU-T H.870.
const CAUTION: &str = "ears: begin softly, {Sound(Softer)} is softer and {Sound(Louder)} louder; 80 dB for 40 hours a week is the most that ITU-T \
                       H.870 allows, and no program can measure it for you";

/// Does what was asked of the ear.
pub fn act(state: &mut State, action: SoundAction) -> PaneReply {
    let State { view, playback, .. } = state;
    let View::Desk(desk) = view else { return PaneReply::nothing() };
    match action {
        SoundAction::Hear if playback.plays_music() && plays_music(desk.focus) => stop(playback),
        SoundAction::Stop => stop(playback),
        SoundAction::Hear
        | SoundAction::HearUpward
        | SoundAction::HearSlowly
        | SoundAction::HearBass
        | SoundAction::HearString
        | SoundAction::HearBoth => match to_be_heard(desk, action, playback) {
            Ok(heard) => start(playback, heard),
            Err(why) => PaneReply::say(Notice::note(why)),
        },
        SoundAction::Softer | SoundAction::Louder => {
            let louder = action == SoundAction::Louder;
            playback.change_volume(if louder { OtherVolume::Louder } else { OtherVolume::Softer });
            let text = format!("volume {} %", playback.settings.volume);
            PaneReply {
                notice: Some(Notice::note(text)),
                ..PaneReply::want(SoundEffect::KeepSettings(playback.settings.clone()))
            }
        }
        SoundAction::Slower | SoundAction::Faster => {
            let faster = action == SoundAction::Faster;
            playback.change_tempo(if faster { OtherTempo::Faster } else { OtherTempo::Slower });
            again(desk, playback, format!("{} % of the written tempo", playback.percent))
        }
        SoundAction::TypeTempo => PaneReply::ask(Overlay::Entry(EntryBox::new(
            SoundQuestion::Tempo,
            "Playback speed",
            "Per cent of the written tempo, 25 to 150.",
            playback.percent.to_string(),
        ))),
        SoundAction::ToggleRound => {
            playback.round = !playback.round;
            let text = if playback.round { "loop on" } else { "loop off" };
            again(desk, playback, text.to_owned())
        }
        SoundAction::ToggleDrone => {
            playback.drone = !playback.drone;
            let text = if playback.drone { "bass drone on" } else { "bass drone off" };
            PaneReply::say(Notice::note(text))
        }
        SoundAction::ToggleUnsure => {
            playback.unsure = if playback.unsure == Unsure::In { Unsure::Out } else { Unsure::In };
            PaneReply::say(Notice::note(match playback.unsure {
                Unsure::In => "unsure strings are played",
                Unsure::Out => "unsure strings are not played",
            }))
        }
        SoundAction::Choose => PaneReply::ask(Overlay::Choice(offered_ways(playback))),
    }
}

fn stop(playback: &mut Playback) -> PaneReply {
    playback.playing = None;
    PaneReply::want(SoundEffect::Stop)
}

/// Plays what is to be heard. The first time ever, a word about ears is said.
fn start(playback: &mut Playback, heard: ToHear) -> PaneReply {
    let order = playback.order(Arc::new(heard.score), heard.sound, heard.reference);
    let score = Arc::clone(&order.score);
    // Chords are compared, not repeated.
    let order = SoundOrder { span: order.span.filter(|_| heard.subject != SoundSubject::Chord), ..order };
    let is_chord = heard.subject == SoundSubject::Chord;
    let notice = if playback.settings.warned {
        // Music says it at the foot as long as it plays.
        let unheard = if playback.silent { UNHEARD } else { "" };
        is_chord.then(|| Notice::note(format!("{}{unheard}", heard.name)))
    } else {
        playback.settings.warned = true;
        Some(Notice::note(CAUTION))
    };
    playback.playing = Some(Playing { subject: heard.subject, name: heard.name, score, heard: Seconds::ZERO });
    PaneReply { notice, ..PaneReply::want(SoundEffect::Play(Box::new(order), playback.settings.clone())) }
}

/// Plays the music that plays already in another way from where it is; says what has changed.
fn again(desk: &Desk, playback: &mut Playback, text: String) -> PaneReply {
    let Some(playing) = playback.playing.clone() else { return PaneReply::say(Notice::note(text)) };
    let heard = match playing.subject {
        SoundSubject::Chord => return PaneReply::say(Notice::note(text)),
        SoundSubject::Passage(id, part) => passage_part(desk.lesson.lesson(), id, part, playback),
        SoundSubject::Segment(id) => segment_music(desk.lesson.lesson(), id, desk.fretboard.rig(), playback),
    };
    let Ok(heard) = heard else { return PaneReply::say(Notice::note(text)) };
    let at = playing.score.marks.partition_point(|mark| mark.at <= playing.heard).saturating_sub(1);
    // The count-in may have come or gone: marks are matched from the end.
    let from_end = playing.score.marks.len().saturating_sub(at);
    let marks = &heard.score.marks;
    let from = marks.len().checked_sub(from_end).and_then(|at| marks.get(at)).map_or(Seconds::ZERO, |mark| mark.at);
    let mut reply = start(playback, heard);
    if let Some(Effect::Sound(SoundEffect::Play(order, _))) = &mut reply.effect {
        order.from = from;
    }
    if let Some(playing) = &mut playback.playing {
        playing.heard = from;
    }
    PaneReply { notice: Some(Notice::note(text)), ..reply }
}

/// Returns the list of what can be chosen for all that is played.
fn offered_ways(playback: &Playback) -> ChoiceBox {
    let mark = |is: bool, text: &str| format!("{} {text}", if is { "[x]" } else { "[ ]" });
    let chosen = playback.settings.sound.trim();
    let mut lines = vec![
        (mark(playback.click, "metronome click"), Pick::Sound(SoundPick::Click)),
        (mark(playback.count_in, "count-in (1 bar)"), Pick::Sound(SoundPick::CountIn)),
        (mark(chosen.is_empty(), "each instrument's own sound"), Pick::Sound(SoundPick::Sound(None))),
    ];
    lines.extend(sounds().iter().enumerate().map(|(place, sound)| {
        let text = mark(chosen == sound.name, &format!("use {} for everything", sound.name));
        (text, Pick::Sound(SoundPick::Sound(Some(place))))
    }));
    lines.push(("another sound device...".to_owned(), Pick::Sound(SoundPick::AskForDevice)));
    let round = if playback.round { "on" } else { "off" };
    let advice = format!("{} % tempo, loop {round}, volume {} %.", playback.percent, playback.settings.volume);
    ChoiceBox::new("Playback", advice, lines)
}

/// Takes what was typed as the answer to a question. Errors: in words, what was expected.
pub fn answer(state: &mut State, question: SoundQuestion, text: &str) -> Result<PaneReply, String> {
    match question {
        SoundQuestion::Tempo => {
            state.playback.take_tempo(text)?;
            let percent = state.playback.percent;
            Ok(play_again(state, format!("{percent} % of the written tempo")))
        }
    }
}

/// Plays the music that plays already in another way; where no lesson is open there is none.
fn play_again(state: &mut State, text: String) -> PaneReply {
    let State { view, playback, .. } = state;
    let View::Desk(desk) = view else { return PaneReply::nothing() };
    again(desk, playback, text)
}

/// Offers the sound devices that were found.
pub fn offer_devices(state: &State, found: Result<Vec<(String, String)>, String>) -> PaneReply {
    let found = match found {
        Ok(found) => found,
        Err(why) => return PaneReply::say(Notice::trouble(why)),
    };
    // Something else may have been asked meanwhile.
    if state.overlay.is_some() {
        return PaneReply::nothing();
    }
    let now = &state.playback.settings.device;
    let selected = found.iter().position(|(name, _)| name == now).map_or(0, |place| place + 1);
    let usual = ("the system's default".to_owned(), Pick::Sound(SoundPick::Device(String::new())));
    let lines = std::iter::once(usual)
        .chain(found.into_iter().map(|(name, label)| (label, Pick::Sound(SoundPick::Device(name)))));
    let (title, lines) = ("Sound device".to_owned(), lines.collect());
    PaneReply::ask(Overlay::Choice(ChoiceBox::new(title, Advice::NONE, lines).selecting(selected)))
}

/// Takes what was picked for all that is played.
pub fn take(state: &mut State, pick: SoundPick) -> PaneReply {
    let playback = &mut state.playback;
    let text = match pick {
        SoundPick::Click => {
            playback.click = !playback.click;
            if playback.click { "metronome click on" } else { "metronome click off" }
        }
        SoundPick::CountIn => {
            playback.count_in = !playback.count_in;
            if playback.count_in { "count-in on" } else { "count-in off" }
        }
        SoundPick::AskForDevice => {
            let notice = Some(Notice::note("looking for sound devices..."));
            return PaneReply { notice, ..PaneReply::want(SoundEffect::SeekDevices) };
        }
        SoundPick::Device(name) => return play_on(playback, name),
        SoundPick::Sound(place) => {
            let name = place.and_then(|place| sounds().get(place)).map(|sound| sound.name.clone());
            playback.settings.sound = name.clone().unwrap_or_default();
            let text =
                name.map_or_else(|| "each instrument's own sound".to_owned(), |name| format!("{name} for everything"));
            let keep = SoundEffect::KeepSettings(playback.settings.clone());
            return PaneReply { notice: Some(Notice::note(text)), ..PaneReply::want(keep) };
        }
    };
    play_again(state, text.to_owned())
}

/// Has everything heard on another device from now on.
fn play_on(playback: &mut Playback, device: String) -> PaneReply {
    playback.settings.device = device;
    playback.playing = None;
    PaneReply {
        notice: Some(Notice::note("playback goes to that device from now on")),
        ..PaneReply::want(SoundEffect::KeepSettings(playback.settings.clone()))
    }
}
