//! The loudspeaker of the workbench: a player, made when something is played for the first time. Scores are not made
//! here.

use std::sync::Arc;

use crate::sound::level::Level;
use crate::sound::output::{DeviceChoice, DeviceName, devices};
use crate::sound::player::{PlayOrder, Player};
use crate::sound::rendition::Rendition;
use crate::sound::sounds::{sound_named, sounds};
use crate::store::settings::ListeningSettings;
use crate::workbench::jobs::kind::JobKind;
use crate::workbench::jobs::queue::Jobs;
use crate::workbench::jobs::running::Running;
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::Notice;
use crate::workbench::playback::playing::SoundOrder;

/// Plays what the workbench orders.
pub struct Loudspeaker {
    player: Option<Player>,
    device: String,
    /// Whether nothing can be heard, as was last reported.
    silent: bool,
    /// Delivers messages about the sound.
    tell: Box<dyn Fn(Message)>,
}

impl Loudspeaker {
    /// Returns a loudspeaker that has nothing to play yet; `tell` receives its messages.
    pub fn new(tell: impl Fn(Message) + 'static) -> Self {
        Self { player: None, device: String::new(), silent: false, tell: Box::new(tell) }
    }

    /// Plays `order`. What plays already ends.
    pub fn play(&mut self, order: SoundOrder, settings: &ListeningSettings) {
        let Some(sound) = sound_named(&order.sound).ok().or_else(|| sounds().first()) else { return };
        self.go_to(&settings.device);
        let choice =
            if self.device.is_empty() { DeviceChoice::Usual } else { DeviceChoice::Named(self.device.clone()) };
        let player = self.player.get_or_insert_with(|| Player::new(choice));
        player.set_volume(loudness(settings.volume));
        let SoundOrder { score, reference, from, span, .. } = order;
        player.play(PlayOrder { music: Arc::new(Rendition { score, sound, reference }), from, span });
    }

    /// Stops everything that plays.
    pub fn stop(&mut self) {
        if let Some(player) = &mut self.player {
            player.stop();
        }
    }

    /// Releases the device; the next order opens it again.
    pub fn let_go(&mut self) {
        self.player = None;
        if std::mem::take(&mut self.silent) {
            (self.tell)(Message::Silent(false));
        }
    }

    /// Changes to another device and releases the one before.
    fn go_to(&mut self, device: &str) {
        if self.device != device {
            self.let_go();
            self.device = device.to_owned();
        }
    }

    /// Sets the volume and the device from now on.
    pub fn set(&mut self, settings: &ListeningSettings) {
        self.go_to(&settings.device);
        if let Some(player) = &mut self.player {
            player.set_volume(loudness(settings.volume));
        }
    }

    /// Returns messages about what is heard now and about the device.
    pub fn listen(&mut self) -> Vec<Message> {
        let Some(player) = &mut self.player else { return vec![Message::Heard(None)] };
        let mut messages = vec![Message::Heard(player.heard())];
        if self.silent != player.is_silent() {
            self.silent = player.is_silent();
            messages.push(Message::Silent(self.silent));
        }
        messages.extend(player.take_notice().map(|text| Message::Told(Notice::trouble(text))));
        messages
    }
}

/// Looks for sound devices. This may take some seconds, and the answer comes as a message.
pub fn seek_devices(jobs: &mut Jobs<Message>) {
    let seek = |_: &Running<'_>| {
        let names = |found: Vec<DeviceName>| found.into_iter().map(|device| (device.name, device.label)).collect();
        Some(Message::DevicesFound(devices().map(names).map_err(|error| error.to_string())))
    };
    // The job runs in the background, so there is no answer yet.
    let _ = jobs.start(JobKind::Devices, seek);
}

/// Returns the level for a volume in per cent. It grows with the square, because the ear hears ratios: equal steps
/// then sound alike.
fn loudness(percent: u8) -> Level {
    let share = f32::from(percent.min(100)) / 100.0;
    Level(share * share)
}
