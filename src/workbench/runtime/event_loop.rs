//! The loop of the workbench: it accepts what comes, has the effects performed, and draws the screen. What a message
//! changes is not decided here.

use std::io::{self, Write};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::Instant;

use anyhow::Result;

use crate::workbench::jobs::queue::Jobs;
use crate::workbench::jobs::running::Report;
#[cfg(unix)]
use crate::workbench::keys::action::{Action, ProgramAction};
use crate::workbench::messages::message::Message;
use crate::workbench::messages::notice::{Notice, Weight};
#[cfg(unix)]
use crate::workbench::runtime::events::listen_to_signals;
use crate::workbench::runtime::events::{Incoming, listen};
use crate::workbench::runtime::loudspeaker::Loudspeaker;
use crate::workbench::runtime::outside::{Outside, TerminalAndSound};
use crate::workbench::runtime::starting::{RunOptions, Started, demand_terminal, start};
use crate::workbench::runtime::terminal::Screen;
use crate::workbench::runtime::workplace::{AfterMessage, Ending, Workplace};

/// The reason why the workbench ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// The person quit.
    Quit,
    /// A signal with this number ended it.
    Signal(i32),
    /// The terminal is gone.
    TerminalGone,
    /// A fault of the program ended the thread that reads keys; the fault has been reported.
    Fault,
}

/// Runs the workbench until it ends, and leaves the terminal as it was before.
///
/// Errors: there is no terminal, the lesson asked for cannot be opened, or the key file cannot be used.
pub fn run(options: RunOptions) -> Result<Ended> {
    demand_terminal()?;
    let (sender, events) = mpsc::channel();
    let told = sender.clone();
    // Sending fails only when the program is about to end.
    let tell = move |message: Message| _ = told.send(Incoming::Message(message));
    let mut jobs = Jobs::behind(tell.clone());
    let Started { mut state, session, escape_wait } = start(options, &mut jobs)?;
    // From here on, whoever ends the program from outside has the terminal given back and the work kept, and a change of
    // size is noticed, so that none comes between the size and whoever watches it.
    #[cfg(unix)]
    listen_to_signals(sender.clone());
    let screen = Screen::enter()?;
    listen(&sender, escape_wait);
    state.size = screen.size()?;
    state.settle();
    drop(sender);
    let stage = TerminalAndSound { screen, loudspeaker: Loudspeaker::new(tell) };
    let mut workplace = Workplace::new(state, stage, session, jobs);
    // Whatever fails in the loop fails because the terminal is gone.
    let ended = serve(&mut workplace, &events).unwrap_or_else(|_| end(&mut workplace, Ended::TerminalGone));
    leave(workplace, ended, &events);
    Ok(ended)
}

/// Accepts what comes and draws the result until the workbench ends. Errors: the terminal is gone.
fn serve(workplace: &mut Workplace<TerminalAndSound>, events: &Receiver<Incoming>) -> Result<Ended> {
    let begun = Instant::now();
    workplace.outside.draw(&workplace.state)?;
    // The jobs begin after the first frame, which needs the processor itself.
    workplace.jobs.begin();
    loop {
        let rest = workplace.mind_time(begun.elapsed())?;
        let wake = workplace.state.wake_in();
        let first = match wake.into_iter().chain(rest).min() {
            Some(soon) => events.recv_timeout(soon),
            None => events.recv().map_err(RecvTimeoutError::from),
        };
        let first = match first {
            Ok(first) => first,
            // The wait was for the journal or the draft, or for a next try, or for a lock.
            Err(RecvTimeoutError::Timeout) if wake.is_none_or(|wake| rest.is_some_and(|rest| rest < wake)) => continue,
            // Nothing happened but time: the clock on the screen shows another second.
            Err(RecvTimeoutError::Timeout) => Incoming::Message(Message::Clock(begun.elapsed())),
            Err(RecvTimeoutError::Disconnected) => return Ok(Ended::TerminalGone),
        };
        let mut resized = false;
        // Everything that is waiting is accepted before the next frame, so that a storm of resizes or a slow line costs
        // one frame.
        for incoming in std::iter::once(first).chain(events.try_iter()) {
            let message = match incoming {
                Incoming::Message(message) => message,
                #[cfg(unix)]
                Incoming::Suspend => Message::Act(Action::Program(ProgramAction::Suspend)),
                #[cfg(unix)]
                Incoming::Signal(number) => return Ok(end(workplace, Ended::Signal(number))),
                Incoming::Gone => return Ok(end(workplace, Ended::TerminalGone)),
                Incoming::Fault => return Ok(end(workplace, Ended::Fault)),
            };
            resized |= matches!(message, Message::Resized(_));
            // A key stamps the time at which it was struck.
            if workplace.state.wants_time() {
                workplace.advance(Message::Clock(begun.elapsed()))?;
            }
            if workplace.advance(message)? == AfterMessage::Ends {
                return Ok(Ended::Quit);
            }
        }
        if workplace.state.playback.playing.is_some() {
            for message in workplace.outside.listen() {
                workplace.advance(message)?;
            }
        }
        // A terminal that shrank and grew again at once has lost what stood at its edges.
        if resized {
            workplace.outside.forget()?;
        }
        workplace.outside.draw(&workplace.state)?;
    }
}

/// Puts what is being written into the lesson before the program ends from outside.
fn end(workplace: &mut Workplace<TerminalAndSound>, ended: Ended) -> Ended {
    // A terminal that is gone shows nothing of it, and the journal has it all the same.
    let _ = workplace.advance(Message::Ending);
    ended
}

/// Ends the work, and prints what the person has to know afterwards.
fn leave(workplace: Workplace<TerminalAndSound>, ended: Ended, events: &Receiver<Incoming>) {
    let Ending { notice, lost_draft, unconfirmed, is_lost } = workplace.close();
    let last = notice.filter(|notice| ended == Ended::Quit && notice.weight == Weight::Note);
    // A terminal that is gone cannot show it, which is not an error.
    let told = last.map(|notice| notice.text).into_iter().chain(lost_draft).chain(unconfirmed);
    for text in told.chain(events.try_iter().filter_map(trouble)) {
        let _ = writeln!(io::stderr(), "fingerpost: {text}");
    }
    if let Ended::Signal(number) = ended {
        let kept = if is_lost {
            "the journal could not be written, and the changes that are not in it are lost"
        } else {
            "what was not saved is in the journal and comes back with the lesson"
        };
        let _ = writeln!(io::stderr(), "fingerpost: ended by signal {number}; {kept}");
    }
}

/// Returns what the person has to know of something that came after the screen was gone.
fn trouble(incoming: Incoming) -> Option<String> {
    match incoming {
        Incoming::Message(Message::LibraryChanged(Err(error))) => Some(error),
        Incoming::Message(Message::Job(report @ Report::Fault(..))) => Some(report.words()),
        Incoming::Message(Message::Told(Notice { weight: Weight::Trouble, text })) => Some(text),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workbench::jobs::kind::JobKind;

    #[test]
    fn whoever_leaves_is_told_of_a_library_that_was_not_written_and_of_nothing_less() {
        let told = |message| trouble(Incoming::Message(message));
        assert_eq!(told(Message::LibraryChanged(Err("not in the library".into()))), Some("not in the library".into()));
        let fault = told(Message::Job(Report::Fault(JobKind::Library, "no such thing".into())));
        assert!(fault.is_some_and(|words| words.ends_with("while reading or writing the library: no such thing")));
        assert_eq!(told(Message::Told(Notice::trouble("not on the disk"))), Some("not on the disk".into()));
        assert_eq!(told(Message::Told(Notice::done("saved"))), None);
    }
}
