//! What can be ordered of a player.

use std::sync::Arc;

use crate::lesson::seconds::Seconds;
use crate::sound::level::Level;
use crate::sound::voice::Audible;

/// The volume before any is set: about 10 dB below the level of a file.
pub const MODEST: Level = Level(0.3);

/// Something that is to be played.
#[derive(Debug, Clone)]
pub struct PlayOrder {
    /// The music that makes the voice: a [`Rendition`](crate::sound::rendition::Rendition) for a score.
    pub music: Arc<dyn Audible>,
    /// The second of the music at which the playing begins. Notes of a score that began earlier are not sounded.
    pub from: Seconds,
    /// Two seconds of the music between which it is repeated until another order comes; `None` plays it once.
    pub span: Option<(Seconds, Seconds)>,
}
