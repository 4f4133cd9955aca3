//! What the workbench is seen on and heard from. The program has a terminal and a loudspeaker; a test may have neither.

use anyhow::Result;
use ratatui::layout::Size;

use crate::store::settings::ListeningSettings;
use crate::workbench::messages::message::Message;
use crate::workbench::playback::playing::SoundOrder;
use crate::workbench::runtime::loudspeaker::Loudspeaker;
use crate::workbench::runtime::terminal::Screen;
use crate::workbench::state::State;

/// What the workbench is seen on and heard from.
pub trait Outside {
    /// Shows the state. Errors: the terminal is gone.
    fn draw(&mut self, state: &State) -> Result<()>;

    /// Forgets what was drawn, so that everything is drawn again. Errors: the terminal is gone.
    fn forget(&mut self) -> Result<()>;

    /// Puts text on the clipboard of the terminal. Errors: the terminal is gone.
    fn copy_out(&mut self, text: &str) -> Result<()>;

    /// Gives terminal and sound back until the program is continued, and returns the size by then. Errors: the terminal is
    /// gone.
    fn suspend(&mut self) -> Result<Size>;

    /// Plays something.
    fn play(&mut self, order: SoundOrder, settings: &ListeningSettings);

    /// Stops everything that plays.
    fn stop(&mut self);

    /// Sets the volume and the device from now on.
    fn set(&mut self, settings: &ListeningSettings);

    /// Returns messages about what is heard now.
    fn listen(&mut self) -> Vec<Message>;
}

/// A terminal and a loudspeaker.
pub(super) struct TerminalAndSound {
    /// The terminal.
    pub screen: Screen,
    /// The sound.
    pub loudspeaker: Loudspeaker,
}

impl Outside for TerminalAndSound {
    fn draw(&mut self, state: &State) -> Result<()> {
        self.screen.draw(state)
    }

    fn forget(&mut self) -> Result<()> {
        self.screen.forget()
    }

    fn copy_out(&mut self, text: &str) -> Result<()> {
        Screen::copy_out(text)
    }

    fn suspend(&mut self) -> Result<Size> {
        // A stopped process gives its device no samples and may never be continued.
        self.loudspeaker.let_go();
        self.screen.suspend()?;
        self.screen.size()
    }

    fn play(&mut self, order: SoundOrder, settings: &ListeningSettings) {
        self.loudspeaker.play(order, settings);
    }

    fn stop(&mut self) {
        self.loudspeaker.stop();
    }

    fn set(&mut self, settings: &ListeningSettings) {
        self.loudspeaker.set(settings);
    }

    fn listen(&mut self) -> Vec<Message> {
        self.loudspeaker.listen()
    }
}
