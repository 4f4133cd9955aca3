//! A real sound server: what is played arrives there, and a server that is cut off or stands still disturbs nobody.
//!
//! `.ci/sound` starts one that has a clock but no loudspeaker, records what it gets, and says where: without it, these
//! tests say that they ran without a server. The time is that of the server, so here, and only here, a test waits.
//!
//! A binary of its own, since `.ci/sound` builds it once more with the way through ALSA.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "the helpers of a test fail the test")]

use std::io::Write;
use std::path::PathBuf;
use std::process::Command;
use std::sync::Arc;
use std::thread::sleep;
use std::time::{Duration, Instant};

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::output::OutputError;
use fingerpost::sound::output::pulse::Pulse;
use fingerpost::sound::output::silent::Silent;
use fingerpost::sound::player::{MODEST, PlayOrder, Player};
use fingerpost::sound::rendition::Rendition;
use fingerpost::sound::score::SoundedNote;

use device::Device;
use estimator::strength;
use tones::{A4, DISC, RATE, between, decibels, heard, loudness, note, score, sound, tempered};

#[allow(dead_code, reason = "the other tests of sound use the rest")]
#[path = "../it/sound/player/device.rs"]
mod device;
#[allow(dead_code, reason = "the other tests of sound use the rest")]
#[path = "../it/sound/estimator.rs"]
mod estimator;
#[path = "../it/sound/tones.rs"]
mod tones;

/// Long after anything has come to pass that will.
const LONG: Duration = Duration::from_secs(15);

/// A server that runs.
struct Server {
    socket: PathBuf,
    recording: PathBuf,
    control: PathBuf,
    /// What it is: `pulseaudio`, `pipewire`, or what is at the other end of `alsa`.
    kind: String,
}

impl Server {
    fn running() -> Option<Self> {
        let set = |name| std::env::var_os(name).map(PathBuf::from);
        Some(Self {
            socket: set("FINGERPOST_SOUND_SERVER")?,
            recording: set("FINGERPOST_SOUND_RECORDING")?,
            control: set("FINGERPOST_SOUND_CONTROL")?,
            kind: std::env::var("KIND").ok()?,
        })
    }

    #[track_caller]
    fn tell(&self, words: &str) {
        let status = Command::new(&self.control).args(words.split(' ')).status().unwrap();
        assert!(status.success(), "{words}: {status}");
    }

    fn player(&self) -> Player {
        Player::on(Box::new(Pulse::at(self.socket.clone(), None)), Box::new(Silent))
    }

    /// What was recorded on the left; servers differ in how they would make one channel of two.
    fn recorded(&self) -> Vec<f32> {
        let bytes = std::fs::read(&self.recording).unwrap();
        let samples = bytes.as_chunks().0.iter().map(|sample| f32::from_le_bytes(*sample));
        samples.step_by(2).collect()
    }

    /// What was recorded from the first sound after so many samples on.
    fn recorded_after(&self, place: usize) -> Vec<f32> {
        self.recorded().into_iter().skip(place).skip_while(|sample| sample.abs() < 1e-4).collect()
    }
}

#[track_caller]
fn until<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    let start = Instant::now();
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(start.elapsed() < LONG, "{what}: it never came to pass");
        sleep(Duration::from_millis(5));
    }
}

/// C, G and E, some octaves apart: no partial of one is near the first of another.
const CHORD: [f64; 3] = [48.0, 55.0, 64.0];

fn chord_notes() -> Vec<SoundedNote> {
    CHORD.iter().enumerate().map(|(string, pitch)| note(string, 0.0, *pitch, 1.5)).collect()
}

fn chord() -> PlayOrder {
    let strings = Rendition { score: Arc::new(score(chord_notes())), sound: sound("steel"), reference: A4 };
    PlayOrder { music: Arc::new(strings), from: Seconds::ZERO, span: None }
}

/// Each note of the chord stands out from what lies a quarter tone beside it, and no other note of the octave is there.
fn is_chord(samples: &[f32]) -> Result<(), String> {
    if samples.len() < RATE as usize * 6 / 5 {
        return Err(format!("only {} samples arrived", samples.len()));
    }
    let samples = between(samples, 0.1, 1.1);
    let at = |pitch: f64| strength(samples, f64::from(RATE), tempered(pitch, 440.0));
    for pitch in CHORD {
        let over = decibels(at(pitch) / at(pitch - 0.5).max(at(pitch + 0.5)));
        if over < 20.0 {
            return Err(format!("{pitch} is {over:.1} dB over what lies beside it"));
        }
    }
    for other in [49.0, 50.0, 51.0, 52.0, 53.0, 54.0, 56.0, 57.0, 58.0, 59.0] {
        let under = decibels(at(other) / at(48.0));
        if under > -30.0 {
            return Err(format!("{other} is heard, too, at {under:.1} dB"));
        }
    }
    Ok(())
}

/// It is as loud as it was meant to be.
fn is_modest(samples: &[f32]) -> Result<(), String> {
    let meant = heard(sound("steel"), chord_notes());
    let start = meant.iter().position(|sample| sample.abs() > 1e-4 / MODEST.0).ok_or("silence is meant")?;
    for (from, to) in [(0.0, 0.3), (0.3, 0.6), (0.6, 1.2)] {
        let meant = loudness(between(&meant[start..], from, to)) * f64::from(MODEST.0);
        let off = decibels(loudness(between(samples, from, to)) / meant);
        if off.abs() > 0.5 {
            return Err(format!("{from} to {to} s: {off:.2} dB off"));
        }
    }
    Ok(())
}

/// Plays the chord, and looks at what arrived. On a machine that has much else to do, the server, the recorder or we
/// may lose samples; then it is played again, and there is more in advance each time.
#[track_caller]
fn play_chord(server: &Server, player: &mut Player) {
    let mut wrong = Vec::new();
    for _ in 0..12 {
        let place = server.recorded().len();
        player.play(chord());
        until("the chord is over", || player.heard().is_none().then_some(()));
        sleep(Duration::from_millis(300));
        let recorded = server.recorded_after(place);
        match is_chord(&recorded).and_then(|()| is_modest(&recorded)) {
            Ok(()) => return,
            Err(error) => wrong.push(error),
        }
    }
    panic!("the chord did not arrive: {wrong:?}");
}

#[test]
fn a_chord_arrives_at_a_real_server_which_may_die_and_come_back() {
    let Some(server) = Server::running() else {
        // Past the test harness, which keeps to itself what a test prints that passes.
        let says = "there is no sound server here: the chord goes to a device of the tests; .ci/sound has a server";
        writeln!(std::io::stderr(), "{says}").unwrap();
        return arrives_in_the_hand();
    };
    if server.kind == "alsa" {
        return goes_through_alsa(&server);
    }
    let mut player = server.player();
    arrives(&server, &mut player);
    dies_and_comes_back(&server, &mut player);
    stands_still(&server, &mut player);
    is_suspended_and_unplugged(&server, &mut player);
}

/// Without a server that the program finds, it plays on the machine's own devices.
#[cfg(feature = "alsa")]
fn goes_through_alsa(server: &Server) {
    use fingerpost::sound::output::native::Native;
    let mut player = Player::on(Box::new(Native::new(None)), Box::new(Silent));
    arrives(server, &mut player);
    // Closed and opened again, by another player.
    drop(player);
    let mut player = Player::on(Box::new(Native::new(None)), Box::new(Silent));
    arrives(server, &mut player);
    player.play(PlayOrder { span: Some((Seconds(0.0), Seconds(1.0))), ..chord() });
    until("the loop is heard", || player.heard().filter(|heard| heard.0 > 0.3));
    server.tell("stop");
    until("a notice", || player.take_notice());
    until("the end of the loop", || player.heard().filter(|heard| heard.0 > 0.7));
    until("the start of the loop", || player.heard().filter(|heard| heard.0 < 0.3));
    server.tell("start");
    play_chord(server, &mut player);
    assert_eq!(player.take_notice().unwrap(), "the sound device is back");
    // A device that never opens is given up, and what is played goes on in silence.
    server.tell("freeze");
    let mut waiting = Player::on(Box::new(Native::new(None)), Box::new(Silent));
    waiting.play(chord());
    let notice = until("a notice", || waiting.take_notice());
    assert!(notice.starts_with("the sound device does not answer; "), "{notice}");
    until("the chord is over", || waiting.heard().is_none().then_some(()));
    server.tell("thaw");
    play_chord(server, &mut waiting);
    assert_eq!(waiting.take_notice().unwrap(), "the sound device is back");
    let known = Native::new(None).devices().unwrap().iter().map(ToString::to_string).collect();
    let mut named = Player::on(Box::new(Native::new(Some("kazoo".into()))), Box::new(Silent));
    named.play(chord());
    let notice = until("a notice", || named.take_notice());
    assert!(notice.starts_with(&OutputError::Unknown { name: "kazoo".into(), known }.to_string()), "{notice}");
}

#[cfg(not(feature = "alsa"))]
fn goes_through_alsa(_: &Server) {
    panic!("this was built without the way through ALSA");
}

/// The same chord, taken by a device of the tests.
fn arrives_in_the_hand() {
    let device = Device::default();
    let mut player = Player::on(Box::new(device.clone()), Box::new(Silent));
    player.play(chord());
    let mut got: Vec<f32> = Vec::new();
    until("the chord is over", || {
        got.extend(device.take(4410));
        (got.len() > 4410 && player.heard().is_none()).then_some(())
    });
    let got: Vec<f32> = got.into_iter().skip_while(|sample| sample.abs() < 1e-4).collect();
    assert_eq!(is_chord(&got).and_then(|()| is_modest(&got)), Ok(()));
}

fn arrives(server: &Server, player: &mut Player) {
    play_chord(server, player);
    assert_eq!(player.take_notice(), None);
}

fn dies_and_comes_back(server: &Server, player: &mut Player) {
    player.play(PlayOrder { span: Some((Seconds(0.0), Seconds(1.0))), ..chord() });
    until("the loop is heard", || player.heard().filter(|heard| heard.0 > 0.3));
    server.tell("stop");
    let notice = until("a notice", || player.take_notice());
    assert!(notice.contains("the sound device went away"), "{notice}");
    // The loop goes on in silence: it comes round twice.
    for _ in 0..2 {
        until("the end of the loop", || player.heard().filter(|heard| heard.0 > 0.7));
        until("the start of the loop", || player.heard().filter(|heard| heard.0 < 0.3));
    }
    player.play(chord());
    let notice = until("a notice", || player.take_notice());
    assert!(notice.contains("no sound server"), "{notice}");
    server.tell("start");
    play_chord(server, player);
    assert_eq!(player.take_notice().unwrap(), "the sound device is back");
}

fn stands_still(server: &Server, player: &mut Player) {
    player.play(PlayOrder { span: Some((Seconds(0.0), Seconds(1.0))), ..chord() });
    until("the loop is heard", || player.heard().filter(|heard| heard.0 > 0.3));
    server.tell("freeze");
    let notice = until("a notice", || player.take_notice());
    assert!(notice.contains("does not answer"), "{notice}");
    until("the end of the loop", || player.heard().filter(|heard| heard.0 > 0.7));
    // Another try ends as well, and says nothing new.
    player.play(chord());
    until("the chord is heard", || player.heard().filter(|heard| (0.1..0.7).contains(&heard.0)));
    assert_eq!(player.take_notice(), None);
    server.tell("thaw");
    play_chord(server, player);
    assert_eq!(player.take_notice().unwrap(), "the sound device is back");
}

fn is_suspended_and_unplugged(server: &Server, player: &mut Player) {
    let play = |player: &mut Player| {
        player.play(PlayOrder { span: Some((Seconds(0.0), Seconds(1.0))), ..chord() });
        until("the loop is heard", || player.heard().filter(|heard| heard.0 > 0.3));
    };
    play(player);
    server.tell("pactl suspend-sink test_sink 1");
    // PipeWire wakes a device that something plays on.
    if server.kind == "pipewire" {
        sleep(Duration::from_secs(3));
        assert_eq!(player.take_notice(), None);
    } else {
        let notice = until("a notice", || player.take_notice());
        assert!(notice.starts_with("the sound device is suspended; "), "{notice}");
        server.tell("pactl suspend-sink test_sink 0");
        play(player);
        assert_eq!(player.take_notice().unwrap(), "the sound device is back");
    }
    // With no other device a server ends the stream, or makes a device up and lets it go on there. It comes to the same.
    server.tell("pactl unload-module module-null-sink");
    let none = |notice: &str| notice.starts_with("there is no sound device; ");
    let notice = until("a notice", || player.take_notice());
    assert!(none(&notice) || notice.starts_with("the sound device went away; "), "{notice}");
    play(player);
    let said = player.take_notice();
    assert!(said.as_ref().map_or_else(|| none(&notice), |said| none(said)), "{notice}, then {said:?}");
    server.tell("pactl load-module module-null-sink sink_name=auto_null");
    server.tell("pactl set-default-sink auto_null");
    play(player);
    assert_eq!(player.take_notice(), None, "it was said before");
    let pulse = |name: &str| Pulse::at(server.socket.clone(), Some(name.into()));
    assert_eq!(pulse("kazoo").devices(), Ok(Vec::new()));
    server.tell("pactl load-module module-null-sink sink_name=desk sink_properties=device.description=Desk");
    let known: Vec<String> = pulse("kazoo").devices().unwrap().iter().map(ToString::to_string).collect();
    assert_eq!(known, ["desk (Desk)"]);
    let mut named = Player::on(Box::new(pulse("kazoo")), Box::new(Silent));
    play(&mut named);
    let error = OutputError::Unknown { name: "kazoo".into(), known };
    let notice = named.take_notice().unwrap();
    assert!(notice.starts_with(&format!("{error}; ")), "{notice}");
    let mut named = Player::on(Box::new(pulse("DESK")), Box::new(Silent));
    play(&mut named);
    assert_eq!(named.take_notice(), None);
}
