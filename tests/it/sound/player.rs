//! The player on a device that the test holds in its hand: no clock, no sleep, every sample counted.
//!
//! What the keeper does it does on a thread of its own; a test waits until it is done, and gives up after a time in
//! which it certainly would have been.

use std::sync::Arc;
use std::time::{Duration, Instant};

use fingerpost::lesson::seconds::Seconds;
use fingerpost::sound::level::Level;
use fingerpost::sound::output::{DeviceChoice, DeviceName, OutputDevice, OutputError};
use fingerpost::sound::player::{MODEST, PlayOrder, Player};
use fingerpost::sound::rendition::Rendition;
use fingerpost::sound::score::SoundedNote;
use fingerpost::sound::voice::Audible;

use super::{A4, DISC, RATE, decibels, heard, loudness, note, score, sound};

pub mod device;
mod voices;

use device::{Device, Stuck};
use voices::{Mix, Recording};

/// Long after anything has come to pass that will.
const LONG: Duration = Duration::from_secs(20);

/// Looks again and again until `look` finds something.
#[track_caller]
fn until<T>(mut look: impl FnMut() -> Option<T>) -> T {
    let start = Instant::now();
    loop {
        if let Some(found) = look() {
            return found;
        }
        assert!(start.elapsed() < LONG, "it never came to pass");
        std::thread::yield_now();
    }
}

fn order(notes: Vec<SoundedNote>) -> PlayOrder {
    PlayOrder { music: Arc::new(rendition(notes)), from: Seconds::ZERO, span: None }
}

fn rendition(notes: Vec<SoundedNote>) -> Rendition {
    Rendition { score: Arc::new(score(notes)), sound: sound("steel"), reference: A4 }
}

/// The same notes as strings play them, as a recording of that, and as both mixed.
fn every_kind(notes: Vec<SoundedNote>) -> [(&'static str, PlayOrder); 3] {
    let strings = rendition(notes);
    let recording = Recording(heard(strings.sound, strings.score.notes.clone()).into());
    let mix = Mix(vec![Arc::new(strings.clone()), Arc::new(recording.clone())]);
    let kinds: [(&str, Arc<dyn Audible>); 3] =
        [("strings", Arc::new(strings)), ("recording", Arc::new(recording)), ("mix", Arc::new(mix))];
    kinds.map(|(kind, music)| (kind, PlayOrder { music, from: Seconds::ZERO, span: None }))
}

/// A note of two seconds.
fn one_note() -> PlayOrder {
    order(vec![note(0, 0.0, 45.0, 2.0)])
}

/// Takes samples in blocks of 5 ms until the first that sounds; returns that block.
#[track_caller]
pub fn until_it_sounds(device: &Device) -> Vec<f32> {
    until(|| Some(device.take(220)).filter(|block| block.iter().any(|sample| *sample != 0.0)))
}

#[test]
fn what_is_ordered_is_what_the_device_gets_at_a_modest_level() {
    let device = Device::default();
    let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
    assert_eq!(player.heard(), None);
    player.play(one_note());
    let mut got = until_it_sounds(&device);
    got.extend(device.take(RATE as usize));
    let meant = heard(sound("steel"), vec![note(0, 0.0, 45.0, 2.0)]);
    let first = |samples: &[f32]| samples.iter().position(|sample| *sample != 0.0).unwrap();
    let (got, meant) = (&got[first(&got)..], &meant[first(&meant)..]);
    for (place, (got, meant)) in got.iter().zip(meant).enumerate().take(40_000) {
        assert!((got - meant * MODEST.0).abs() < 1e-6, "{place}: {got} is not {meant} turned down");
    }
    assert!(decibels(loudness(&got[..40_000])) < -20.0, "that is not modest");
}

/// Plays `order` until it sounds. From then on the device has got `taken` samples; the first of them that sounds is at
/// `place`, and belongs to second `second` of the music.
struct Sounding {
    player: Player,
    taken: usize,
    place: usize,
    second: f64,
}

#[track_caller]
fn sounding(device: &Device, order: &PlayOrder) -> Sounding {
    let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
    player.play(order.clone());
    let block = until_it_sounds(device);
    let place = block.iter().position(|sample| *sample != 0.0).unwrap();
    let mut voice = order.music.voice(DISC, Seconds::ZERO, None);
    let mut meant = vec![0.0; 2 * RATE as usize];
    voice.fill(&mut meant);
    let first = meant.iter().position(|sample| *sample != 0.0).unwrap() - voice.latency();
    let second = first as f64 / f64::from(RATE);
    Sounding { player, taken: block.len(), place, second }
}

impl Sounding {
    fn take(&mut self, device: &Device, samples: usize) {
        self.taken += device.take(samples).len();
    }

    /// Which second the next sample for the device belongs to, had it not been repeated.
    fn handed_over(&self) -> f64 {
        self.second + (self.taken - self.place) as f64 / f64::from(RATE)
    }
}

#[test]
fn what_is_heard_is_what_was_handed_over_less_the_latency() {
    for (kind, order) in every_kind(vec![note(0, 0.0, 45.0, 2.0)]) {
        let device = Device::late_by(Duration::from_millis(50));
        let mut sounding = sounding(&device, &order);
        assert_eq!(sounding.player.heard(), Some(Seconds(0.0)), "{kind}: the first sample is still on its way");
        for samples in [2205, 441, 1, 44_100, 512] {
            sounding.take(&device, samples);
            let (heard, over) = (sounding.player.heard().unwrap().0, sounding.handed_over());
            assert!((heard - (over - 0.05)).abs() < 2e-5, "{kind}: {heard} after {over}");
        }
    }
}

#[test]
fn a_loop_comes_round_to_the_sample() {
    for (kind, order) in every_kind(vec![note(0, 0.0, 45.0, 0.2), note(0, 0.5, 52.0, 0.4)]) {
        let device = Device::late_by(Duration::from_millis(10));
        let order = PlayOrder { span: Some((Seconds(0.25), Seconds(1.0))), ..order };
        let mut sounding = sounding(&device, &order);
        for _ in 0..500 {
            sounding.take(&device, 441);
            let heard = sounding.player.heard().unwrap().0;
            let on = sounding.handed_over() - 0.01;
            let meant = if on < 1.0 { on.max(0.0) } else { 0.25 + (on - 1.0) % 0.75 };
            let off = (heard - meant).abs();
            assert!(off < 2e-5 || (0.75 - off) < 2e-5, "{kind}: {heard} is not {meant}");
        }
    }
}

#[test]
fn each_turn_of_a_loop_sounds_alike() {
    for (kind, order) in every_kind(vec![note(0, 0.1, 45.0, 0.3)]) {
        let device = Device::default();
        let order = PlayOrder { span: Some((Seconds(0.0), Seconds(0.5))), ..order };
        let mut sounding = sounding(&device, &order);
        // From the turn on, the parts before, at and after the note, in four turns.
        sounding.take(&device, ((0.5 - sounding.handed_over()) * f64::from(RATE)).round() as usize);
        let turns: Vec<Vec<f32>> = (0..4).map(|_| device.take(RATE as usize / 2)).collect();
        for turn in &turns {
            let part = |from: usize, to: usize| loudness(&turn[from * 441..to * 441]);
            assert!(part(5, 9) < part(12, 20) / 50.0, "{kind}: it sounds before its note");
            assert!(decibels(part(12, 38) / loudness(&turns[0][12 * 441..38 * 441])).abs() < 1.0, "{kind}");
        }
    }
}

#[test]
fn it_begins_where_it_is_told() {
    for (kind, order) in every_kind(vec![note(0, 0.0, 45.0, 0.5), note(0, 1.5, 52.0, 0.5)]) {
        let device = Device::default();
        let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
        player.play(PlayOrder { from: Seconds(1.0), ..order });
        assert_eq!(player.heard(), Some(Seconds(1.0)));
        until_it_sounds(&device);
        let heard = player.heard().unwrap().0;
        assert!((1.49..1.52).contains(&heard), "{kind}: the first note that sounds is heard at {heard}");
    }
}

#[test]
fn a_recording_comes_through_to_the_sample_and_goes_on_at_another_device() {
    // Every sample has a value of its own, none of them is 0.
    let samples: Vec<f32> = (1..=RATE).map(|place| place as f32 / RATE as f32).collect();
    let second = |place: usize| Seconds(place as f64 / f64::from(RATE));
    let (device, instead) = (Device::default(), Device::default());
    let mut player = Player::on(Box::new(device.clone()), Box::new(instead.clone()));
    let music = Arc::new(Recording(samples.clone().into()));
    player.play(PlayOrder { music, from: second(3000), span: Some((second(1000), second(6000))) });
    let mut got = until_it_sounds(&device);
    got.extend(device.take(12_000));
    let meant = (3000..6000).chain((1000..6000).cycle()).map(|place| samples[place] * MODEST.0);
    let mut sounding = got.iter().skip_while(|sample| **sample == 0.0);
    assert!(sounding.by_ref().zip(meant).all(|(got, meant)| (got - meant).abs() < 1e-6));
    let heard = player.heard().unwrap();
    device.refuse(Some(OutputError::NoDevice));
    device.fail(Some(OutputError::Gone));
    until(|| player.take_notice());
    let goes_on = until(|| Some(instead.take(220)).filter(|block| block.iter().any(|sample| *sample != 0.0)));
    let first = samples[(heard.0 * f64::from(RATE)).round() as usize] * MODEST.0;
    assert!((goes_on[0] - first).abs() < 1e-4, "{} for {first}", goes_on[0]);
}

/// The largest step from one sample to the next.
fn step(samples: &[f32]) -> f32 {
    samples.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f32::max)
}

#[test]
fn a_stop_is_at_once_and_without_a_click() {
    for (kind, order) in every_kind(vec![note(0, 0.0, 45.0, 2.0)]) {
        let device = Device::default();
        let mut sounding = sounding(&device, &order);
        let before = device.take(8820);
        sounding.player.stop();
        assert_eq!(sounding.player.heard(), None);
        let mut after = before[before.len() - 1..].to_vec();
        until(|| {
            let block = device.take(220);
            let silent = block.iter().all(|sample| *sample == 0.0);
            after.extend(block);
            silent.then_some(())
        });
        assert!(step(&after) <= step(&before), "{kind}: {} after {}", step(&after), step(&before));
        assert_eq!(sounding.player.heard(), None);
        let silent = device.take(RATE as usize);
        assert!(silent.iter().all(|sample| *sample == 0.0));
    }
}

#[test]
fn the_volume_goes_where_it_is_asked_without_a_jump() {
    let device = Device::default();
    let mut sounding = sounding(&device, &order(vec![note(0, 0.0, 40.0, 60.0)]));
    let modest = device.take(RATE as usize / 4);
    sounding.player.set_volume(Level(0.0));
    let mut fades = modest[modest.len() - 1..].to_vec();
    until(|| {
        let block = device.take(220);
        let silent = block.iter().all(|sample| *sample == 0.0);
        fades.extend(block);
        silent.then_some(())
    });
    assert!(step(&fades) <= step(&modest));
    let heard = sounding.player.heard().unwrap().0;
    device.take(4410);
    assert!(sounding.player.heard().unwrap().0 > heard, "silent, it plays on");
    sounding.player.set_volume(Level(f32::NAN));
    sounding.player.set_volume(Level(7.0));
    let loud = until(|| Some(device.take(4410)).filter(|block| loudness(block) > loudness(&modest)));
    assert!(loud.iter().all(|sample| sample.abs() <= 1.0));
}

#[test]
fn what_has_rung_out_is_heard_no_more() {
    for (kind, order) in every_kind(vec![note(0, 0.0, 60.0, 0.3)]) {
        let device = Device::late_by(Duration::from_millis(20));
        let mut sounding = sounding(&device, &order);
        let mut last = 0.0;
        until(|| {
            sounding.take(&device, 220);
            match sounding.player.heard() {
                Some(Seconds(heard)) => {
                    assert!(heard >= last, "{kind}: {heard} after {last}");
                    last = heard;
                    None
                }
                None => Some(()),
            }
        });
        assert!((0.3..7.0).contains(&last), "{kind}: it ended at {last}");
    }
}

#[test]
fn of_many_orders_the_last_one_plays() {
    let device = Device::default();
    let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
    for pitch in 0..200 {
        player.play(order(vec![note(0, 0.0, 30.0 + f64::from(pitch % 20), 2.0)]));
    }
    player.play(order(vec![note(0, 0.0, 69.0, 2.0)]));
    until(|| {
        device.take(441);
        player.heard().filter(|heard| heard.0 > 0.1)
    });
    let heard = device.take(20_000);
    let found = super::estimator::frequency(&heard, f64::from(RATE)).unwrap();
    assert!(super::estimator::cents(found, 440.0).abs() < 5.0, "{found} Hz");
}

#[test]
fn a_device_that_dies_is_replaced_by_silence_in_time_and_tried_again() {
    let (device, instead) = (Device::default(), Device::default());
    let mut player = Player::on(Box::new(device.clone()), Box::new(instead.clone()));
    player.play(one_note());
    until_it_sounds(&device);
    device.take(RATE as usize / 2);
    let heard = player.heard().unwrap().0;
    device.refuse(Some(OutputError::NoServer { looked: vec!["/run/pulse/native".into()] }));
    device.fail(Some(OutputError::Gone));
    let notice = until(|| player.take_notice());
    assert_eq!(notice, "the sound device went away; silent for now; play again to retry");
    until(|| (instead.take(441).len() == 441 && player.heard()?.0 > heard + 0.1).then_some(()));
    assert!(player.heard().unwrap().0 < heard + 0.2, "it goes on from where it was");
    // Twice in vain: it is said once.
    for _ in 0..2 {
        player.play(one_note());
        until(|| (instead.take(441).len() == 441 && player.heard()?.0 > 0.1).then_some(()));
    }
    let notice = until(|| player.take_notice());
    assert!(notice.contains("no sound server is running (looked for /run/pulse/native)"), "{notice}");
    assert_eq!(player.take_notice(), None);
    device.refuse(None);
    player.play(one_note());
    until_it_sounds(&device);
    assert_eq!(player.take_notice().unwrap(), "the sound device is back");
    assert!(!instead.is_open());
}

#[test]
fn a_device_that_dies_while_nothing_plays_is_opened_anew_without_a_word() {
    let (device, instead) = (Device::default(), Device::default());
    let mut player = Player::on(Box::new(device.clone()), Box::new(instead.clone()));
    player.play(one_note());
    until_it_sounds(&device);
    player.stop();
    until(|| device.take(220).iter().all(|sample| *sample == 0.0).then_some(()));
    device.fail(Some(OutputError::Gone));
    player.play(one_note());
    until_it_sounds(&device);
    assert_eq!((player.take_notice(), device.opened(), instead.opened()), (None, 2, 0));
}

#[test]
fn a_device_that_fails_in_passing_plays_on_and_one_that_fails_again_is_replaced() {
    let (device, instead) = (Device::default(), Device::default());
    let mut player = Player::on(Box::new(device.clone()), Box::new(instead.clone()));
    player.play(order(vec![note(0, 0.0, 45.0, 1.0), note(0, 1.0, 45.0, 2.0), note(0, 2.0, 45.0, 3.0)]));
    until_it_sounds(&device);
    device.take(RATE as usize / 2);
    device.fail(Some(OutputError::Other("I/O error".into())));
    until(|| (device.opened() == 2).then_some(()));
    // It goes on from where it was; what is struck later is heard.
    assert!(player.heard().unwrap().0 > 0.4);
    until_it_sounds(&device);
    assert_eq!((player.take_notice(), instead.opened()), (None, 0));
    device.fail(Some(OutputError::Other("I/O error".into())));
    let notice = until(|| player.take_notice());
    assert!(notice.starts_with("the sound device cannot be used: I/O error; silent for now"), "{notice}");
    until_it_sounds(&instead);
}

#[test]
fn a_name_that_no_device_has_is_told_those_that_there_are() {
    let (device, instead) = (Device::default(), Device::default());
    let known = |name: &str, label: &str| DeviceName { name: name.into(), label: label.into() };
    let names = [known("out.0", "Desk \u{7}speakers"), known("out.1", "out.1")];
    device.refuse(Some(OutputError::unknown("kazoo", &names)));
    let mut player = Player::on(Box::new(device), Box::new(instead.clone()));
    player.play(one_note());
    let notice = until(|| player.take_notice());
    let says = "no sound device is called `kazoo`; there are out.0 (Desk \\u{7}speakers), out.1; ";
    assert!(notice.starts_with(says), "{notice}");
    until_it_sounds(&instead);
    assert!(names[0].is_called("OUT.0") && names[1].is_called(" out.1 ") && !names[1].is_called("out"));
    assert!(OutputError::unknown("x", &[]).to_string().ends_with("there is none at all"));
}

#[test]
fn a_device_that_never_opens_or_never_takes_a_sample_keeps_nobody_waiting() {
    // That this test ends is what it shows: each call would wait for ever if it waited at all.
    let (stuck, release) = Stuck::new();
    for output in [Box::new(stuck) as Box<dyn OutputDevice>, Box::new(Device::default())] {
        let mut player = Player::on(output, Box::new(Device::default()));
        for turn in 0..300 {
            player.set_volume(Level(0.5));
            player.play(PlayOrder { from: Seconds(f64::from(turn)), ..one_note() });
            assert_eq!(player.heard(), Some(Seconds(f64::from(turn))));
            player.stop();
            assert_eq!(player.heard(), None);
        }
        assert_eq!((player.take_notice(), player.underruns()), (None, 0));
        drop(player);
    }
    drop(release);
}

#[test]
fn what_a_device_did_not_take_in_time_it_takes_later() {
    let device = Device::default();
    let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
    for _ in 0..500 {
        player.play(order(vec![note(0, 0.0, 40.0, 0.5)]));
        player.stop();
    }
    player.play(order(vec![note(0, 0.0, 69.0, 2.0)]));
    until(|| device.is_open().then_some(()));
    until(|| {
        device.take(441);
        player.heard().filter(|heard| heard.0 > 0.1)
    });
    let found = super::estimator::frequency(&device.take(20_000), f64::from(RATE)).unwrap();
    assert!(super::estimator::cents(found, 440.0).abs() < 5.0, "{found} Hz");
}

#[test]
fn samples_that_came_too_late_are_counted() {
    let device = Device::default();
    let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
    player.play(one_note());
    until_it_sounds(&device);
    device.run_dry(3);
    until(|| (player.underruns() == 3).then_some(()));
    device.fail(Some(OutputError::Gone));
    until(|| player.take_notice());
    assert_eq!(player.underruns(), 3);
}

#[test]
fn a_device_that_runs_dry_is_opened_anew_and_plays_on() {
    let device = Device::default();
    let mut player = Player::on(Box::new(device.clone()), Box::new(Device::default()));
    player.play(order(vec![note(0, 0.0, 45.0, 0.5), note(0, 0.9, 52.0, 1.0)]));
    until_it_sounds(&device);
    device.take(RATE as usize / 2);
    let heard = player.heard().unwrap().0;
    device.be_tight();
    until(|| (device.opened() == 2).then_some(()));
    until_it_sounds(&device);
    assert!((0.89..0.92).contains(&player.heard().unwrap().0), "it went on from {heard} to {:?}", player.heard());
    assert_eq!(player.take_notice(), None);
}

#[test]
fn who_wants_silence_is_told_nothing_and_gets_the_time() {
    let mut player = Player::new(DeviceChoice::Silent);
    player.play(PlayOrder { span: Some((Seconds(0.0), Seconds(0.1))), ..one_note() });
    until(|| player.heard().filter(|heard| heard.0 > 0.06));
    until(|| player.heard().filter(|heard| heard.0 < 0.04));
    player.stop();
    assert_eq!((player.heard(), player.take_notice()), (None, None));
}

#[cfg(target_os = "linux")]
mod servers {
    //! Servers that are not what they should be.

    use std::io::{Read, Write};
    use std::os::unix::net::{UnixListener, UnixStream};
    use std::thread;

    use fingerpost::sound::output::pulse::Pulse;
    use fingerpost::sound::output::silent::Silent;

    use super::*;

    /// What a player says about a server that does `answer` with whoever comes; it plays in silence all the same.
    #[track_caller]
    fn said_of(answer: impl Fn(UnixStream) + Send + 'static) -> String {
        let folder = tempfile::tempdir().unwrap();
        let socket = folder.path().join("native");
        let listener = UnixListener::bind(&socket).unwrap();
        // It ends with the tests.
        thread::spawn(move || listener.incoming().flatten().for_each(answer));
        let mut player = Player::on(Box::new(Pulse::at(socket, None)), Box::new(Silent));
        player.play(one_note());
        assert!(player.heard().is_some());
        let notice = until(|| player.take_notice());
        until(|| player.heard().filter(|heard| heard.0 > 0.05));
        player.stop();
        notice
    }

    #[test]
    fn one_that_never_answers_is_given_up() {
        let stay = |guest: UnixStream| std::mem::forget(guest);
        let says = "the sound server does not answer; silent for now; play again to retry";
        assert_eq!(said_of(stay), says);
    }

    #[test]
    fn one_that_hangs_up_is_not_waited_for() {
        let notice = said_of(drop);
        assert!(notice.starts_with("the sound server hung up; "), "{notice}");
    }

    #[test]
    fn one_that_talks_nonsense_is_given_up() {
        let nonsense = |mut guest: UnixStream| {
            let mut greeting = [0; 64];
            // It may have gone already.
            let _ = guest.read(&mut greeting).and_then(|_| guest.write_all(&[0x41; 4096]));
            std::mem::forget(guest);
        };
        let notice = said_of(nonsense);
        assert!(notice.starts_with("the sound server says what cannot be understood; "), "{notice}");
    }

    #[test]
    fn one_that_drips_is_given_up() {
        // Each byte comes in time, the answer never.
        let drip = |mut guest: UnixStream| {
            thread::spawn(move || {
                while guest.write_all(&[0]).is_ok() {
                    thread::sleep(Duration::from_secs(1));
                }
            });
        };
        assert!(said_of(drip).starts_with("the sound server does not answer; "));
    }

    #[test]
    fn where_there_is_none_it_is_said_where_it_was_looked_for() {
        let folder = tempfile::tempdir().unwrap();
        let socket = folder.path().join("native");
        // One that is not there, and one that nobody listens to any more.
        for stale in [false, true] {
            if stale {
                drop(UnixListener::bind(&socket).unwrap());
            }
            let mut player = Player::on(Box::new(Pulse::at(socket.clone(), None)), Box::new(Silent));
            player.play(one_note());
            let notice = until(|| player.take_notice());
            let says = format!("no sound server is running (looked for {}); ", socket.display());
            assert!(notice.starts_with(&says), "{notice}");
            until(|| player.heard().filter(|heard| heard.0 > 0.05));
        }
        let error = Pulse::at(socket, Some("kazoo".into())).devices().unwrap_err();
        assert!(matches!(error, OutputError::NoServer { .. }), "{error}");
    }
}
