//! A real sound server: what is played arrives there, and a server that is cut off or stands still disturbs nobody.
//!
//! `.ci/sound` starts one that has a clock but no loudspeaker, records what it gets, and says where: without it, these
//! tests say that they ran without a server. The time is that of the server, so here, and only here, a test waits.

use std::path::PathBuf;
use std::process::Command;
use std::sync::Arc;
use std::thread::sleep;
use std::time::{Duration, Instant};

use fingerpost::sound::output::pulse::Pulse;
use fingerpost::sound::output::silent::Silent;
use fingerpost::sound::player::{MODEST, Order, Player};
use fingerpost::sound::rendering::render;
use fingerpost::sound::score::frequency;

use super::estimator::strength;
use super::{RATE, between, decibels, loudness, note, score, sound};

/// Long after anything has come to pass that will.
const LONG: Duration = Duration::from_secs(15);

/// A server that runs.
struct Server {
    socket: PathBuf,
    recording: PathBuf,
    control: PathBuf,
}

impl Server {
    fn running() -> Option<Self> {
        let set = |name| std::env::var_os(name).map(PathBuf::from);
        Some(Self {
            socket: set("FINGERPOST_SOUND_SERVER")?,
            recording: set("FINGERPOST_SOUND_RECORDING")?,
            control: set("FINGERPOST_SOUND_CONTROL")?,
        })
    }

    #[track_caller]
    fn tell(&self, word: &str) {
        let status = Command::new(&self.control).arg(word).status().unwrap();
        assert!(status.success(), "{word}: {status}");
    }

    fn player(&self) -> Player {
        Player::on(Box::new(Pulse::at(self.socket.clone(), None)), Box::new(Silent))
    }

    fn recorded(&self) -> Vec<f32> {
        let bytes = std::fs::read(&self.recording).unwrap();
        bytes.as_chunks().0.iter().map(|sample| f32::from_le_bytes(*sample)).collect()
    }

    /// What was recorded from the first sound after so many samples on.
    #[track_caller]
    fn recorded_after(&self, place: usize) -> Vec<f32> {
        let all = self.recorded();
        let start = all[place..].iter().position(|sample| sample.abs() > 1e-4).expect("nothing was recorded");
        all[place + start..].to_vec()
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

fn chord() -> Order {
    let notes = CHORD.iter().enumerate().map(|(string, pitch)| note(string, 0.0, *pitch, 1.5)).collect();
    Order { score: Arc::new(score(notes)), sound: sound("steel"), reference: 440.0, from: 0.0, span: None }
}

/// Each note of the chord stands out from what lies a quarter tone beside it, and no other note of the octave is there.
#[track_caller]
fn assert_chord(samples: &[f32]) {
    let samples = between(samples, 0.1, 1.1);
    let at = |pitch: f64| strength(samples, f64::from(RATE), frequency(pitch, 440.0));
    for pitch in CHORD {
        let beside = at(pitch - 0.5).max(at(pitch + 0.5));
        assert!(decibels(at(pitch) / beside) > 20.0, "{pitch}: {} beside {beside}", at(pitch));
    }
    for other in [49.0, 50.0, 51.0, 52.0, 53.0, 54.0, 56.0, 57.0, 58.0, 59.0] {
        assert!(decibels(at(other) / at(48.0)) < -30.0, "{other} is heard, too");
    }
}

#[test]
fn a_chord_arrives_at_a_real_server_which_may_die_and_come_back() {
    let Some(server) = Server::running() else {
        println!("there is no sound server here: what one does is checked by .ci/sound alone");
        return;
    };
    let mut player = server.player();
    arrives(&server, &mut player);
    dies_and_comes_back(&server, &mut player);
    stands_still(&server, &mut player);
}

fn arrives(server: &Server, player: &mut Player) {
    player.play(chord());
    until("the chord is over", || player.heard().is_none().then_some(()));
    assert_eq!(player.take_notice(), None);
    sleep(Duration::from_millis(200));
    let recorded = server.recorded_after(0);
    assert_chord(&recorded);
    let meant = render(sound("steel"), RATE, 440.0, chord().score);
    let start = meant.iter().position(|sample| sample.abs() > 1e-4 / MODEST).unwrap();
    for (from, to) in [(0.0, 0.3), (0.3, 0.6), (0.6, 1.2)] {
        let meant = loudness(between(&meant[start..], from, to)) * f64::from(MODEST);
        let off = decibels(loudness(between(&recorded, from, to)) / meant);
        assert!(off.abs() < 0.5, "{from} to {to} s: {off} dB off");
    }
}

fn dies_and_comes_back(server: &Server, player: &mut Player) {
    player.play(Order { span: Some((0.0, 1.0)), ..chord() });
    until("the loop is heard", || player.heard().filter(|heard| *heard > 0.3));
    server.tell("stop");
    let notice = until("a notice", || player.take_notice());
    assert!(notice.contains("the sound device went away"), "{notice}");
    // The loop goes on in silence: it comes round twice.
    for _ in 0..2 {
        until("the end of the loop", || player.heard().filter(|heard| *heard > 0.7));
        until("the start of the loop", || player.heard().filter(|heard| *heard < 0.3));
    }
    player.play(chord());
    let notice = until("a notice", || player.take_notice());
    assert!(notice.contains("no sound server"), "{notice}");
    server.tell("start");
    player.play(chord());
    assert_eq!(until("a notice", || player.take_notice()), "the sound device is back");
    until("the chord is over", || player.heard().is_none().then_some(()));
    sleep(Duration::from_millis(200));
    assert_chord(&server.recorded_after(0));
}

fn stands_still(server: &Server, player: &mut Player) {
    player.play(Order { span: Some((0.0, 1.0)), ..chord() });
    until("the loop is heard", || player.heard().filter(|heard| *heard > 0.3));
    server.tell("freeze");
    let notice = until("a notice", || player.take_notice());
    assert!(notice.contains("does not answer"), "{notice}");
    until("the end of the loop", || player.heard().filter(|heard| *heard > 0.7));
    // Another try ends as well, and says nothing new.
    player.play(chord());
    until("the chord is heard", || player.heard().filter(|heard| (0.1..0.7).contains(heard)));
    assert_eq!(player.take_notice(), None);
    server.tell("thaw");
    let place = server.recorded().len();
    player.play(chord());
    assert_eq!(until("a notice", || player.take_notice()), "the sound device is back");
    until("the chord is over", || player.heard().is_none().then_some(()));
    sleep(Duration::from_millis(200));
    assert_chord(&server.recorded_after(place + RATE as usize / 10));
    player.stop();
}
