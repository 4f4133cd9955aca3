//! The terminal: taken over, drawn on, and given back as it was, whatever happens. What is drawn is not decided here.

use std::cell::Cell;
use std::io::{self, BufWriter, Stdout, Write};
use std::panic;
use std::rc::Rc;

use anyhow::{Context, Result};
use crossterm::event::{DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture};
use crossterm::terminal::{self, EnterAlternateScreen, LeaveAlternateScreen};
use crossterm::{cursor, execute};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Size;

use crate::workbench::jobs::fault::is_caught;
use crate::workbench::messages::clipboard;
use crate::workbench::screen::frame;
use crate::workbench::state::State;

/// The terminal while the workbench holds it. Dropping it gives the terminal back as it was.
pub struct Screen {
    terminal: Terminal<CrosstermBackend<BufWriter<Wire>>>,
    broken: Broken,
}

/// The reason why the terminal takes nothing any more, once it does not.
type Broken = Rc<Cell<Option<io::ErrorKind>>>;

/// The way to the terminal. It takes everything and remembers that the terminal has not: to show the cursor again, ratatui
/// prints on a terminal that is gone why it cannot write there, which ends in a panic.
struct Wire {
    out: Stdout,
    broken: Broken,
}

impl Wire {
    fn remember<T>(&self, outcome: io::Result<T>, instead: T) -> io::Result<T> {
        match outcome {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => Err(error),
            Err(error) => {
                self.broken.set(Some(error.kind()));
                Ok(instead)
            }
            taken => taken,
        }
    }
}

impl Write for Wire {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = self.out.write(bytes);
        self.remember(taken, bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        let flushed = self.out.flush();
        self.remember(flushed, ())
    }
}

impl Screen {
    /// Takes the terminal over. Errors: the terminal cannot be read or drawn on.
    pub fn enter() -> Result<Self> {
        hook_panics();
        take_terminal().context("cannot take over the terminal")?;
        let broken = Broken::default();
        Ok(Self { terminal: new_terminal(&broken)?, broken })
    }

    /// Returns the size of the terminal. Errors: the terminal is gone.
    pub fn size(&self) -> Result<Size> {
        Ok(self.terminal.size()?)
    }

    /// Draws a frame by writing only what has changed since the frame before. Errors: the terminal is gone.
    pub fn draw(&mut self, state: &State) -> Result<()> {
        self.terminal.draw(|frame| frame::draw(state, frame.area(), frame.buffer_mut()))?;
        self.broken.get().map_or(Ok(()), |kind| Err(io::Error::from(kind).into()))
    }

    /// Forgets what is on the screen, so that the next frame draws all of it. Errors: the terminal is gone.
    pub fn forget(&mut self) -> Result<()> {
        execute!(io::stdout(), terminal::Clear(terminal::ClearType::All))?;
        self.terminal = new_terminal(&self.broken)?;
        Ok(())
    }

    /// Puts text on the terminal's clipboard. A terminal without that feature ignores the sequence. Errors: the
    /// terminal is gone.
    pub fn copy_out(text: &str) -> Result<()> {
        Ok(execute!(io::stdout(), clipboard::copied(text))?)
    }

    /// Gives the terminal to the shell until the shell continues this process. Errors: the terminal is gone.
    pub fn suspend(&mut self) -> Result<()> {
        #[cfg(unix)]
        {
            give_terminal_back();
            // The process stops here and comes back when the shell continues it.
            signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP)?;
            take_terminal()?;
            self.forget()?;
        }
        Ok(())
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        give_terminal_back();
    }
}

fn new_terminal(broken: &Broken) -> Result<Terminal<CrosstermBackend<BufWriter<Wire>>>> {
    let wire = Wire { out: io::stdout(), broken: Rc::clone(broken) };
    Ok(Terminal::new(CrosstermBackend::new(BufWriter::with_capacity(1 << 16, wire)))?)
}

fn take_terminal() -> io::Result<()> {
    terminal::enable_raw_mode()?;
    let taken = take_screen(&mut io::stdout());
    if taken.is_err() {
        give_terminal_back();
    }
    taken
}

/// Switches to the alternate screen and clears it, because a program that was killed may have left it in use. Errors:
/// the terminal cannot be written to.
fn take_screen(out: &mut impl Write) -> io::Result<()> {
    let all = terminal::Clear(terminal::ClearType::All);
    execute!(out, EnterAlternateScreen, all, cursor::Hide, EnableMouseCapture, EnableBracketedPaste)
}

/// Gives the terminal back. A failure is ignored, since nothing could be done about it.
fn give_terminal_back() {
    let _ = execute!(io::stdout(), DisableBracketedPaste, DisableMouseCapture, LeaveAlternateScreen, cursor::Show);
    let _ = io::stdout().flush();
    let _ = terminal::disable_raw_mode();
}

/// Installs a panic hook that reports a fault of the program on a restored terminal.
fn hook_panics() {
    let report = panic::take_hook();
    panic::set_hook(Box::new(move |fault| {
        // The background work goes on, and the screen reports its fault.
        if is_caught(fault) {
            return;
        }
        give_terminal_back();
        let _ = writeln!(
            io::stderr(),
            "fingerpost: this is a fault of the program, not yours. Your changes are in the journal beside the \
             lesson and come back when you open it again."
        );
        report(fault);
    }));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_screen_is_emptied_when_it_is_taken() {
        let mut sent = Vec::new();
        take_screen(&mut sent).unwrap();
        let sent = String::from_utf8(sent).unwrap();
        // ECMA-48, 5th edition, 8.3.39: ED with parameter 2 erases the whole page.
        let taken = sent.find("\u{1b}[?1049h").unwrap();
        assert!(sent[taken..].contains("\u{1b}[2J"), "{sent:?}");
    }
}
